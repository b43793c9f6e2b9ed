"""Jots: kept in the teacher's words, found by child, activity and date."""

import datetime as dt

import pytest

from library.room.jotbook import JotBook
from library.room.jots import Answer, Jot
from library.room.labels import labels_in
from library.room.rooms import Rooms
from library.store.errors import NotFound
from tests.builders import MONDAY, a_room

TUESDAY = MONDAY + dt.timedelta(days=1)


@pytest.fixture
def book(tmp_path):
    Rooms(tmp_path / "db.sqlite3").save(a_room())
    Rooms(tmp_path / "db.sqlite3").save(a_room(name="Moss Room"))
    return JotBook(tmp_path / "db.sqlite3", "fern room")


def test_a_jot_is_found_by_child_activity_and_date(book):
    squeeze = book.add(Jot(MONDAY, "squeezed with both hands", ("wren",), "sponge-rain"))
    pour = book.add(
        Jot(TUESDAY, "poured side by side", ("robin", "wren"), "jug-line", Answer.HARDER)
    )
    assert book.find() == [pour, squeeze]
    assert book.find(child="WREN") == [pour, squeeze]
    assert book.find(child="robin") == [pour]
    assert book.find(activity="sponge-rain") == [squeeze]
    assert book.find(since=TUESDAY) == [pour]
    assert book.find(until=MONDAY) == [squeeze]
    assert book.find(child="finch") == []


def test_the_latest_jots_come_first_and_the_book_knows_whom_and_what_it_speaks_of(book):
    for step in range(3):
        day = MONDAY + dt.timedelta(days=step)
        book.add(
            Jot(day, f"jot {step}", ("wren", "robin")[: step + 1], ("tub", None, "rain")[step])
        )
    assert [jot.words for jot in book.find(limit=2)] == ["jot 2", "jot 1"]
    assert book.find(limit=2)[0].children == ("robin", "wren")
    assert book.labels() == ("robin", "wren")
    assert book.activities() == ("rain", "tub")
    assert book.get(1).words == "jot 0"


def test_a_jot_can_be_changed_and_removed(book):
    jot = book.add(Jot(MONDAY, "poured", ("wren",)))
    changed = Jot(TUESDAY, "poured and stopped", ("robin",), "jug-line", Answer.EASIER, jot.id)
    book.change(changed)
    assert book.find() == [changed]
    book.remove(changed.id)
    assert book.find() == []
    with pytest.raises(NotFound):
        book.remove(changed.id)


def test_jots_of_one_room_are_not_seen_or_changed_from_another(book, tmp_path):
    jot = book.add(Jot(MONDAY, "poured", ("wren",)))
    other = JotBook(tmp_path / "db.sqlite3", "Moss Room")
    assert other.find() == []
    assert (other.labels(), other.activities()) == ((), ())
    with pytest.raises(NotFound):
        other.change(jot)
    with pytest.raises(NotFound):
        other.get(jot.id)
    with pytest.raises(NotFound):
        JotBook(tmp_path / "db.sqlite3", "Nobody's Room")


def test_a_jot_holds_no_score():
    """AGE6: nobody is scored; the three answers are about the activity."""
    assert set(Jot.__dataclass_fields__) == {
        "day", "words", "children", "activity", "answer", "id",
    }  # fmt: skip
    assert {answer.value for answer in Answer} == {"again", "easier", "harder"}


def test_labels_are_found_as_words_of_their_own():
    text = "Wren's cup. The robins came."
    assert labels_in(text, ["wren", "robin", "finch", ""]) == ("wren",)
    assert labels_in("A.B. poured", ["a.b.", "ab"]) == ("a.b.",)
