"""What was read of the database is read again as soon as anybody has written it."""

import sqlite3
from dataclasses import replace

import pytest

from library.room.rooms import Rooms
from library.room.unchanged import Unchanged
from tests.builders import a_room


@pytest.fixture
def database(tmp_path):
    path = tmp_path / "private.sqlite3"
    write(path, "CREATE TABLE note(words TEXT)")
    return path


def write(path, statement):
    with sqlite3.connect(path) as connection:
        connection.execute(statement)
    connection.close()


def test_it_is_read_once_while_nobody_writes(database):
    unchanged, reads = Unchanged(database), []
    for _ in range(3):
        unchanged.read("room", lambda: reads.append(1))
    assert len(reads) == 1
    unchanged.read("another", lambda: reads.append(1))
    assert len(reads) == 2


def test_it_is_read_again_after_another_connection_has_written(database):
    unchanged = Unchanged(database)
    assert unchanged.read("room", lambda: "before") == "before"
    write(database, "INSERT INTO note VALUES ('new')")
    assert unchanged.read("room", lambda: "after") == "after"


def test_what_was_read_while_somebody_wrote_is_read_again(database):
    unchanged = Unchanged(database)

    def read_slowly():
        write(database, "INSERT INTO note VALUES ('meanwhile')")
        return "old"

    assert unchanged.read("room", read_slowly) == "old"
    assert unchanged.read("room", lambda: "new") == "new"


def test_another_file_in_its_place_is_read(database, tmp_path):
    unchanged = Unchanged(database)
    unchanged.read("room", lambda: "before")
    other = tmp_path / "restored.sqlite3"
    write(other, "CREATE TABLE note(words TEXT)")
    other.replace(database)
    assert unchanged.read("room", lambda: "restored") == "restored"


def test_a_read_that_fails_is_not_remembered(database):
    unchanged = Unchanged(database)

    def fail():
        raise LookupError

    with pytest.raises(LookupError):
        unchanged.read("room", fail)
    assert unchanged.read("room", lambda: "there") == "there"


def test_a_room_is_the_same_until_it_is_saved(tmp_path):
    """Also where another program saves it."""
    rooms, elsewhere = Rooms(tmp_path / "rooms.sqlite3"), Rooms(tmp_path / "rooms.sqlite3")
    assert rooms.current() is None
    rooms.save(a_room())
    before = rooms.current()
    assert before is rooms.current()
    elsewhere.save(replace(a_room(), adults=7))
    assert (before.adults, rooms.current().adults) == (a_room().adults, 7)
    assert rooms.get(before.name).adults == 7
    elsewhere.remove(before.name)
    assert rooms.current() is None
