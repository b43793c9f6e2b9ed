"""Rooms in the private database: kept whole, chosen, and forgotten without a trace."""

import datetime as dt
import os
import stat
from dataclasses import replace

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from hypothesis import HealthCheck, given, settings

from library.room import tables
from library.room.database import alembic_config, open_database
from library.room.jotbook import JotBook
from library.room.jots import Answer, Jot
from library.room.room import Policy, age_in_months
from library.room.rooms import Rooms, load_room_file
from library.store.errors import Invalid, NameTaken, NotFound, WrongUse
from library.store.paths import LibraryPaths
from tests.builders import MONDAY, a_child, a_room
from tests.library.room.strategies import rooms as any_room

LABEL = "zaunkoenig-quux"
"""Long and unlikely, so that finding it in a file means what it seems to mean."""


@pytest.fixture
def database(tmp_path):
    return tmp_path / "data" / "lowshelf.sqlite3"


@pytest.fixture
def rooms(database):
    return Rooms(database)


def test_the_migrations_have_one_head_and_it_is_the_tables():
    """Two heads would leave it to chance which tables a person gets."""
    script = ScriptDirectory.from_config(alembic_config())
    assert script.get_heads() == [tables.HEAD]


def test_the_migrations_make_exactly_the_tables(database):
    with open_database(database).connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, tables.metadata) == []


def test_migrations_lead_back_to_nothing(database):
    from alembic import command

    engine = open_database(database)
    with engine.begin() as connection:
        command.downgrade(alembic_config(connection), "base")
    with engine.connect() as connection:
        assert connection.dialect.get_table_names(connection) == ["alembic_version"]


def test_decisions_from_before_ages_were_kept_count_for_the_children_of_their_day(database):
    from alembic import command

    rooms = Rooms(database)
    made = Policy("water", "basins only", "M. Ortiz", dt.date(2026, 9, 1), youngest=5)
    later = a_child("moth", born=(2025, 1), since=dt.date(2026, 10, 15))
    rooms.save(a_room(a_child("wren", born=(2024, 3)), later, policies=(made,)))
    rooms.save(a_room(name="Moss Room", policies=(made,)))
    with open_database(database).begin() as connection:
        command.downgrade(alembic_config(connection), "0006")
        command.upgrade(alembic_config(connection), "head")
    anew = Rooms(database)
    assert [anew.get(name).policies[0].youngest for name in anew.names()] == [30, None]


def test_a_database_of_a_newer_program_is_refused_and_left_alone(database):
    engine = open_database(database)
    with engine.begin() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num='9999'")
    before = database.read_bytes()
    from library.room import database as module

    module._READY.clear()
    with pytest.raises(WrongUse, match="newer Lowshelf"):
        Rooms(database)
    assert database.read_bytes() == before


@pytest.mark.skipif(os.name != "posix", reason="file modes are POSIX")
def test_only_the_owner_may_read_the_database(rooms, database):
    assert stat.S_IMODE(database.stat().st_mode) == 0o600


@given(any_room)
@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_a_room_kept_and_read_again_is_the_same(rooms, room):
    rooms.save(room)
    assert rooms.get(room.name) == room
    assert rooms.current() == room


def test_a_decision_is_kept_with_how_old_the_youngest_child_was(rooms):
    """AGE1: completed calendar months on its day; a child who had left or had not come does not count."""
    made = Policy("water", "basins only", "M. Ortiz", dt.date(2026, 9, 1))
    wren = a_child("wren", born=(2024, 3))
    gone = a_child("robin", born=(2025, 1), until=dt.date(2026, 8, 31))
    later = a_child("moth", born=(2025, 1), since=dt.date(2026, 10, 15))
    rooms.save(a_room(wren, gone, later, policies=(made,)))
    assert rooms.current().policies == (replace(made, youngest=30),)


def test_a_decision_keeps_that_age_when_the_room_is_changed_by_who_does_not_know_it(rooms):
    made = Policy("water", "basins only", "M. Ortiz", dt.date(2026, 9, 1))
    rooms.save(a_room(a_child("wren", born=(2024, 3)), policies=(made,)))
    before = rooms.current()
    both = (*before.children, a_child("moth", born=(2025, 1)))
    rooms.save(replace(before, children=both), was=before)
    now = rooms.current()
    typed = (replace(made, note="basins only, emptied at once"),)
    rooms.save(replace(now, policies=typed), was=now)
    assert rooms.current().policies == (replace(typed[0], youngest=30),)


def test_a_decision_of_a_room_without_children_has_no_age(rooms):
    made = Policy("water", "basins only", "M. Ortiz", dt.date(2026, 9, 1))
    rooms.save(a_room(policies=(made,)))
    assert rooms.current().policies == (made,)


def test_loading_replaces_the_room_of_that_name_and_makes_it_current(rooms):
    """CMD2."""
    rooms.save(a_room(a_child("wren")))
    rooms.save(a_room(name="Moss Room"))
    assert rooms.choose().name == "Moss Room"
    rooms.save(a_room(a_child("robin"), name="FERN room", adults=3))
    assert rooms.names() == ["FERN room", "Moss Room"]
    assert [c.label for c in rooms.choose().children] == ["robin"]
    assert rooms.choose("moss room").name == "Moss Room"
    rooms.make_current("Moss Room")
    assert rooms.choose().name == "Moss Room"


def test_without_a_room_one_is_told_what_to_run(rooms):
    """CMD2: exit 2 with what to run."""
    with pytest.raises(WrongUse, match="lowshelf room load"):
        rooms.choose()
    rooms.save(a_room())
    with pytest.raises(WrongUse, match="there is: Fern Room"):
        rooms.choose("Moss Room")


def test_a_room_saved_beside_the_current_one_leaves_it_current(rooms):
    rooms.save(a_room(name="Moss Room"), make_current=False)
    assert rooms.choose().name == "Moss Room"
    rooms.save(a_room(), make_current=False)
    assert rooms.choose().name == "Moss Room"


def test_removing_the_current_room_goes_on_with_another(rooms):
    rooms.save(a_room(name="Moss Room"))
    rooms.save(a_room())
    rooms.remove("fern room")
    assert rooms.choose().name == "Moss Room"
    rooms.remove("Moss Room")
    assert rooms.current() is None
    with pytest.raises(NotFound):
        rooms.remove("Moss Room")


def jots_of(database):
    return JotBook(database, "Fern Room")


def test_a_removed_child_leaves_no_trace_and_counts_stay(rooms, database):
    rooms.save(a_room(a_child(LABEL, allergens=("sesame-xyzzy",)), a_child("robin")))
    jots = jots_of(database)
    alone = Jot(MONDAY, f"{LABEL} squeezed for ten minutes", (LABEL,), "sponge-rain", Answer.AGAIN)
    both = Jot(MONDAY, f"robin and {LABEL.upper()} poured", ("robin", LABEL), "sponge-rain")
    jots.add(alone)
    jots.add(both)
    assert LABEL.encode() in database.read_bytes()
    rooms.remove_child("Fern Room", LABEL)
    trace = b"".join(path.read_bytes() for path in database.parent.iterdir()).lower()
    assert LABEL.encode() not in trace
    assert b"sesame-xyzzy" not in trace
    assert [c.label for c in rooms.choose().children] == ["robin"]
    kept = jots.find(activity="sponge-rain")
    assert [(j.words, j.children, j.answer) for j in kept] == [
        ("robin and … poured", ("robin",), None),
        ("", (), Answer.AGAIN),
    ]
    with pytest.raises(NotFound) as refused:
        rooms.remove_child("Fern Room", LABEL)
    assert LABEL not in str(refused.value)


@pytest.mark.parametrize(
    ("label", "asked"), [("Élan", "élan"), ("Ñusta", "ÑUSTA"), ("Wren", "wren")]
)
def test_a_child_is_known_by_its_label_in_any_case_in_any_alphabet(rooms, database, label, asked):
    """Unicode's own rule for letters without case; SQLite's ``lower`` knows those of ASCII only."""
    rooms.save(a_room(a_child(label), a_child("robin")))
    jots = jots_of(database)
    jots.add(Jot(MONDAY, f"{label} and robin poured", ("robin", label), "sponge-rain"))
    assert len(jots.find(child=asked)) == 1
    rooms.remove_child("Fern Room", asked)
    assert [child.label for child in rooms.choose().children] == ["robin"]
    assert [(jot.words, jot.children) for jot in jots.find()] == [
        ("… and robin poured", ("robin",))
    ]


def test_the_end_of_a_year_clears_children_jots_and_past_dates(rooms, database):
    summer = dt.date(2027, 7, 1)
    room = a_room(
        a_child(LABEL),
        closed=frozenset({MONDAY, dt.date(2027, 11, 25)}),
        adults_on=((MONDAY, 1),),
        centers=("water",),
    )
    rooms.save(room)
    jots_of(database).add(Jot(MONDAY, "poured", (LABEL,)))
    told = rooms.clear_year("Fern Room", summer, only_count=True)
    assert rooms.choose() == room
    assert rooms.clear_year("Fern Room", summer) == told
    assert (told.children, told.jots, told.closed_days, told.other_adults) == (1, 1, 1, 1)
    left = rooms.choose()
    assert (left.children, left.closed) == ((), {dt.date(2027, 11, 25)})
    assert left.centers == ("water",)
    assert LABEL.encode() not in database.read_bytes()


def test_the_example_room_is_marked_and_goes_in_one_step(rooms):
    today = dt.date(2026, 10, 5)
    demo = rooms.load_demo(today)
    assert rooms.choose().demo
    assert rooms.choose() == demo
    ages = [age_in_months(child.born, today) for child in demo.children]
    assert (len(ages), min(ages), max(ages), demo.adults) == (8, 24, 41, 2)
    assert rooms.remove_demo()
    assert not rooms.remove_demo()
    assert rooms.current() is None


def test_the_example_never_takes_the_place_of_a_room_of_the_teams_own(rooms):
    rooms.save(a_room(a_child("wren")))
    with pytest.raises(NameTaken):
        rooms.load_demo(MONDAY)
    assert [c.label for c in rooms.choose().children] == ["wren"]


def test_a_room_file_inside_the_library_folder_is_refused(tmp_path):
    """CMD5: it names children; the message says where to put it."""
    paths = LibraryPaths(tmp_path / "library", tmp_path / "data")
    paths.activities.mkdir(parents=True)
    inside = paths.folder / "fern.yaml"
    inside.write_text("name: Fern Room\n")
    with pytest.raises(WrongUse, match="names children; move it out first") as refused:
        load_room_file(inside, paths)
    assert str(paths.data) in str(refused.value)
    outside = inside.rename(tmp_path / "fern.yaml")
    assert load_room_file(outside, paths).room.name == "Fern Room"
    assert Rooms(paths.database).choose().name == "Fern Room"


def test_a_room_file_with_problems_changes_nothing(tmp_path):
    paths = LibraryPaths(tmp_path / "library", tmp_path / "data")
    Rooms(paths.database).save(a_room(a_child("wren")))
    file = tmp_path / "fern.yaml"
    file.write_text("name: Fern Room\nchildren: [{label: robin, born: soon}]\n")
    with pytest.raises(Invalid, match=r"fern.yaml:2:children\[0\].born"):
        load_room_file(file, paths)
    assert [c.label for c in Rooms(paths.database).choose().children] == ["wren"]
    with pytest.raises(WrongUse, match="there is no file"):
        load_room_file(tmp_path / "other.yaml", paths)


def test_labels_of_all_rooms_are_known_for_the_question_before_sharing(rooms, database):
    rooms.save(a_room(a_child("wren")))
    rooms.save(a_room(a_child("robin"), name="Moss Room"))
    jots_of(database).add(Jot(MONDAY, "left in spring", ("finch",)))
    assert rooms.labels() == ("finch", "robin", "wren")


def test_a_renamed_room_keeps_everything_and_never_takes_another_ones_name(rooms, database):
    rooms.save(a_room(a_child(), name="Fern Room"))
    rooms.save(a_room(name="Moss Room"), make_current=False)
    JotBook(database, "Fern Room").add(Jot(MONDAY, "poured", ("wren",)))
    with pytest.raises(NameTaken):
        rooms.rename("Fern Room", "moss room")
    rooms.rename("Fern Room", "Ferns")
    assert rooms.names() == ["Ferns", "Moss Room"]
    assert rooms.current() == a_room(a_child(), name="Ferns")
    assert len(JotBook(database, "Ferns").find()) == 1
    rooms.rename("Ferns", "FERNS")
    assert rooms.names() == ["FERNS", "Moss Room"]


def test_renamed_children_are_followed_by_their_jots_even_when_two_swap(rooms, database):
    rooms.save(a_room(a_child("wren"), a_child("robin")))
    book = JotBook(database, "Fern Room")
    alone, both = (book.add(Jot(MONDAY, "x", labels)) for labels in (("wren",), ("wren", "robin")))
    rooms.rename_children("Fern Room", {"wren": "robin", "robin": "wren"})
    assert [child.label for child in rooms.current().children] == ["robin", "wren"]
    kept = {jot.id: set(jot.children) for jot in JotBook(database, "Fern Room").find()}
    assert kept == {alone.id: {"robin"}, both.id: {"robin", "wren"}}
