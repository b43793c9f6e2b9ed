"""What the private database says of a card goes with it when its file gets another name."""

import datetime as dt

import pytest

from library.room.following import follow_card
from library.room.prepbook import PrepBook, Settled
from library.room.rooms import Rooms
from tests.builders import MONDAY, a_room

UNIT, WINDOW = "leaves-and-wind/2026-fall", "13:00-13:40"
FRIDAY = MONDAY - dt.timedelta(3)


@pytest.fixture
def database(tmp_path):
    return tmp_path / "db.sqlite3"


@pytest.fixture
def book(database):
    Rooms(database).save(a_room())
    return PrepBook(database, "Fern Room")


def settled(step, **fields):
    return Settled(step, FRIDAY, WINDOW, **fields)


def test_prep_that_is_done_placed_or_asked_of_somebody_follows_a_renamed_card(book, database):
    done = settled("sponge-rain/1/1", adult=2, done=True, who="Ada")
    book.put(UNIT, done)
    piece = settled("sponge-rain/2/10", minutes=15)
    book.put(UNIT, piece)
    book.ask("rain/2025-fall", "sponge-rain/1/2", "Bo")
    others = [settled(f"{name}/1/1") for name in ("sponge-rain-two", "sponge", "spongeXrain")]
    for each in others:
        book.put(UNIT, each)
    follow_card(database, "sponge-rain", "slow-rain")
    assert book.settled(UNIT) == (
        settled("slow-rain/1/1", adult=2, done=True, who="Ada"),
        settled("slow-rain/2/10", minutes=15),
        *others,
    )
    assert book.settled("rain/2025-fall") == (Settled("slow-rain/1/2", who="Bo"),)


def test_prep_of_every_room_follows(book, database):
    Rooms(database).save(a_room(name="Moss Room"))
    moss = PrepBook(database, "Moss Room")
    for each in (book, moss):
        each.put(UNIT, settled("sponge-rain/1/1"))
    follow_card(database, "sponge-rain", "slow-rain")
    assert book.settled(UNIT) == moss.settled(UNIT) == (settled("slow-rain/1/1"),)


def test_what_was_done_for_a_removed_card_of_the_new_name_is_not_taken_for_this_one(book, database):
    book.put(UNIT, settled("slow-rain/1/1", done=True))
    book.put(UNIT, settled("sponge-rain/1/1"))
    follow_card(database, "sponge-rain", "slow-rain")
    assert book.settled(UNIT) == (settled("slow-rain/1/1"),)


def test_prep_done_for_a_card_that_went_into_another_is_not_taken_for_the_others(book, database):
    there = (settled("rain-sponge/1/1", done=True), settled("sponge-rain/1/1"))
    for each in there:
        book.put(UNIT, each)
    follow_card(database, "rain-sponge", "sponge-rain", joined=True)
    assert book.settled(UNIT) == there
