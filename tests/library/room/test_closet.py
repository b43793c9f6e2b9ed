"""The shelf: what one takes, puts back, uses up and breaks adds up, whoever else does so too."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from library.materials.amounts import parse_quantity
from library.materials.material import Weight
from library.room.closet import Closet, Move, Place, mark_of_stock, moved
from library.room.room import StockLine
from library.room.rooms import Rooms
from library.store.errors import NotFound, StaleFile, WrongUse
from tests.builders import a_child, a_room

SPONGE = Place("hand sponge", "B4", "")
RICE = Place("white rice", "D2", "kg")
STOCK = (
    StockLine("hand sponge", parse_quantity("6"), "B4"),
    StockLine("white rice", parse_quantity("2 kg"), "D2"),
)
CUP = Weight(parse_quantity("185 g"), parse_quantity("1 cup"))


@pytest.fixture
def database(tmp_path):
    return tmp_path / "data" / "lowshelf.sqlite3"


@pytest.fixture
def rooms(database):
    rooms = Rooms(database)
    rooms.save(a_room(a_child(), stock=STOCK))
    return rooms


@pytest.fixture
def closet(rooms, database):
    return Closet(database, "Fern Room")


def test_taking_out_moves_and_using_up_takes_away(closet, rooms):
    assert closet.move(SPONGE, Move.TAKE_OUT, parse_quantity("4")).shelved.number == 2
    assert closet.move(SPONGE, Move.BROKEN, parse_quantity("1")).amount.number == 5
    line = closet.move(SPONGE, Move.PUT_BACK, parse_quantity("3"))
    assert (line.amount.number, line.out) == (5, 0)
    assert rooms.current().stock[0] == line


def test_an_amount_may_come_in_another_measure(closet):
    line = closet.move(RICE, Move.USED_UP, parse_quantity("2 cups"), CUP)
    assert line.amount == parse_quantity("1.63 kg")
    with pytest.raises(WrongUse, match="expected an amount like"):
        closet.move(RICE, Move.USED_UP, parse_quantity("2 rolls"), CUP)


@pytest.mark.parametrize(
    ("move", "amount", "words"),
    [
        (Move.TAKE_OUT, "7", "6 are in the bin now"),
        (Move.PUT_BACK, "1", "0 is out now"),
        (Move.USED_UP, "7", "6 are there in all now"),
        (Move.BROKEN, "7", "nothing was changed"),
    ],
)
def test_nobody_takes_what_is_not_there(closet, rooms, move, amount, words):
    with pytest.raises(WrongUse, match=words):
        closet.move(SPONGE, move, parse_quantity(amount))
    assert rooms.current().stock == STOCK


def test_two_people_at_the_closet_lose_nothing(closet, rooms):
    """Forty hands at once: every sponge that was used up and every bag that came is counted."""
    closet.arrive("hand sponge", parse_quantity("100"), "B4")

    def act(number):
        if number % 2:
            closet.move(SPONGE, Move.USED_UP, parse_quantity("1"))
        else:
            closet.arrive("white rice", parse_quantity("500 g"), "D2")

    with ThreadPoolExecutor(8) as people:
        list(people.map(act, range(40)))
    assert [line.amount for line in rooms.current().stock] == [
        parse_quantity("86"),
        parse_quantity("12 kg"),
    ]


def test_a_form_about_something_else_undoes_nothing_at_the_closet(closet, rooms):
    was = rooms.current()
    closet.move(SPONGE, Move.USED_UP, parse_quantity("2"))
    rooms.save(replace(was, adults=3), was=was)
    assert rooms.current().stock[0].amount.number == 4
    assert rooms.current().adults == 3


def test_two_forms_about_different_parts_of_a_room_both_count(rooms):
    was = rooms.current()
    rooms.save(replace(was, adults=3), was=was)
    rooms.save(replace(was, shelf="hall"), was=was)
    assert (rooms.current().adults, rooms.current().shelf) == (3, "hall")


def test_a_form_about_a_room_that_is_gone_brings_nothing_back(rooms):
    was = rooms.current()
    rooms.remove(was.name)
    with pytest.raises(NotFound):
        rooms.save(replace(was, adults=3), was=was)
    assert rooms.names() == []


def test_a_list_of_stock_that_was_overtaken_is_not_written(closet, rooms):
    was = rooms.current()
    closet.move(SPONGE, Move.USED_UP, parse_quantity("2"))
    with pytest.raises(StaleFile):
        rooms.save(replace(was, stock=STOCK[:1], adults=3), was=was)
    now = rooms.current()
    assert (len(now.stock), now.stock[0].amount.number, now.adults) == (2, 4, 2)


def test_a_parcel_is_put_away_once(closet, rooms):
    """Two people check off the same parcel: the second is told, and may say it was another one."""
    seen = mark_of_stock(STOCK[1:])
    closet.arrive("white rice", parse_quantity("2 kg"), "D2", seen=seen)
    with pytest.raises(StaleFile, match="there is 4 kg now"):
        closet.arrive("white rice", parse_quantity("2 kg"), "D2", seen=seen)
    closet.arrive("white rice", parse_quantity("2 kg"), "D2")
    assert rooms.current().stock[1].amount == parse_quantity("6 kg")


def test_what_arrives_finds_its_line_or_gets_one(closet, rooms):
    names = {"rice": "white rice"}.get
    closet.arrive("rice", parse_quantity("1 kg"), "d2", names=lambda name: names(name, name))
    closet.arrive("white rice", parse_quantity("1 kg"), "D3")
    closet.arrive("paper", parse_quantity("50 sheets"), "C1")
    assert rooms.current().stock == (
        STOCK[0],
        StockLine("white rice", parse_quantity("3 kg"), "D2"),
        StockLine("white rice", parse_quantity("1 kg"), "D3"),
        StockLine("paper", parse_quantity("50 sheets"), "C1"),
    )


def test_counting_again_says_what_it_saw(closet):
    assert closet.recount(SPONGE, parse_quantity("5"), Fraction(6)).amount.number == 5
    with pytest.raises(StaleFile, match="from 6 to 5"):
        closet.recount(SPONGE, parse_quantity("4"), Fraction(6))


def test_counting_again_leaves_no_more_out_than_there_is(closet):
    closet.move(SPONGE, Move.TAKE_OUT, parse_quantity("6"))
    line = closet.recount(SPONGE, parse_quantity("4"), Fraction(6))
    assert (line.out, line.shelved.number) == (4, 0)


def test_a_line_that_is_gone_is_said_to_be_gone(closet):
    with pytest.raises(NotFound, match="moon dust"):
        closet.move(Place("moon dust", "", ""), Move.TAKE_OUT, parse_quantity("1"))


@given(st.lists(st.tuples(st.sampled_from(Move), st.integers(1, 4)), max_size=30))
@settings(max_examples=200, deadline=None)
def test_there_is_never_less_than_nothing_nor_more_out_than_there_is(moves):
    line = STOCK[0]
    for move, number in moves:
        before = line
        try:
            line = moved(line, move, Fraction(number))
        except WrongUse:
            assert line == before
        assert 0 <= line.out <= line.amount.number
        gone = number if move in (Move.USED_UP, Move.BROKEN) and line != before else 0
        assert line.amount.number == before.amount.number - gone


DOINGS = st.one_of(
    st.tuples(st.just("look"), st.sampled_from("ab"), st.just(0)),
    st.tuples(st.just("count"), st.sampled_from("ab"), st.integers(1, 9)),
    st.tuples(st.just("parcel"), st.sampled_from("ab"), st.integers(1, 4)),
    st.tuples(st.sampled_from(Move), st.sampled_from("ab"), st.integers(1, 4)),
)


@given(st.lists(DOINGS, max_size=12))
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_of_two_at_one_shelf_nothing_that_was_taken_up_is_lost_again(rooms, closet, doings):
    """Takings and parcels add up in any order; a count made on a number that is gone is refused."""
    rooms.save(a_room(a_child(), stock=STOCK))
    there = Fraction(6)
    seen = dict.fromkeys("ab", there)
    for what, who, number in doings:
        line = rooms.current().stock[0]
        if what == "look":
            seen[who] = line.amount.number
        elif what == "count":
            try:
                closet.recount(SPONGE, parse_quantity(str(number)), seen[who])
            except StaleFile:
                assert seen[who] != there
            else:
                assert seen[who] == there
                there = Fraction(number)
        elif what == "parcel":
            mark = mark_of_stock([replace(line, amount=replace(line.amount, number=seen[who]))])
            try:
                closet.arrive("hand sponge", parse_quantity(str(number)), "B4", seen=mark)
            except StaleFile:
                assert seen[who] != there
            else:
                assert seen[who] == there
                there += number
        else:
            try:
                closet.move(SPONGE, what, parse_quantity(str(number)))
            except WrongUse:
                continue
            there -= number if what in (Move.USED_UP, Move.BROKEN) else 0
        now = rooms.current().stock
        assert now[0].amount.number == there
        assert now[1:] == STOCK[1:]
