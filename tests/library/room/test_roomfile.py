"""The room file: what it reads, what it refuses, and that it reads back."""

import datetime as dt
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from library.materials.amounts import Quantity
from library.room.room import (
    BuyLine,
    Child,
    Loans,
    PrepWindow,
    Room,
    StockLine,
)
from library.room.roomfile import FIELDS, read_room, write_room
from tests.library.room.strategies import rooms

FERN = """\
name: Fern Room
adults: 2
children:
  - {label: wren, born: 2024-03, allergens: [Wheat], days: [mon, wed, fri]}
  - {label: robin, born: 2023-06, from: 2026-10-12}
day:
  - {name: free play, from: "08:30", to: "10:00", kind: free}
  - {name: outside, from: 10:00, to: 660, kind: outdoor}
prep_windows: [{days: [mon, tue], from: 13:00, to: 820, adults: 1, away: no}]
open: [mon, tue, wed, thu, fri]
closed: [2026-11-26, 2026-11-27]
centers: [sensory, water, art]
rules: cfoc
languages: [es]
stock: [{item: hand sponge, amount: 6, bin: B4}, {item: white rice, amount: 2 kg}]
buy: [{item: white rice, pack: 2 kg, price: 3.40, delivery_days: 2}]
"""


def test_the_whole_of_a_room_file_is_read():
    read = read_room(FERN)
    assert read.problems == ()
    assert read.remarks == ()
    room = read.room
    assert (room.name, room.adults, room.rules, room.languages) == ("Fern Room", 2, "cfoc", ("es",))
    assert room.children[0] == Child("wren", (2024, 3), ("wheat",), ("mon", "wed", "fri"))
    assert room.children[1].since == dt.date(2026, 10, 12)
    assert room.closed == {dt.date(2026, 11, 26), dt.date(2026, 11, 27)}
    assert room.stock[1] == StockLine("white rice", Quantity(Fraction(2), "kg"))
    assert room.buy == (BuyLine("white rice", Quantity(Fraction(2), "kg"), Decimal("3.40"), 2),)


def test_what_yaml_makes_of_times_flags_and_numbers_is_understood():
    """CMD9: 780 is 13:00, false is no, one value is a list of one."""
    text = """\
name: Fern Room
prep_windows: {days: mon, from: 780, to: 13:40, away: false}
closed: 2026-11-26
centers: water
"""
    room = read_room(text).room
    window = PrepWindow(("mon",), dt.time(13), dt.time(13, 40))
    assert room.prep_windows == (window,)
    assert window.minutes == 40
    assert room.closed == {dt.date(2026, 11, 26)}
    assert room.centers == ("water",)


def test_a_room_without_more_is_open_monday_to_friday():
    """CAL1; FIND3: the room's rules are cfoc by default."""
    assert read_room("name: Fern Room").room == Room("Fern Room", adults=2, rules="cfoc")
    assert read_room("name: Fern Room").room.open == ("mon", "tue", "wed", "thu", "fri")


def test_all_problems_are_told_at_once_with_their_lines():
    text = """\
adults: two
children:
  - {label: wren, born: 2024-13}
  - {label: wren, born: 2024-03-09}
  - {born: 2024-03}
  - wren
day:
  - {name: lunch, from: "12:00", to: "11:30", kind: banquet}
  - {name: nap, from: noon, to: "14:00"}
prep_windows: [{days: [mo], from: "13:00"}]
closed: [2026-02-30, tomorrow]
stock: [{item: sponge, amount: some}, {amount: 3}]
buy: [{item: rice, pack: 2 kg, price: cheap, delivery_days: -1}]
"""
    problems = read_room(text, "fern.yaml").problems
    where = {(p.line, p.field) for p in problems}
    assert {
        (0, "name"),
        (1, "adults"),
        (3, "children[0].born"),
        (4, "children[1].born"),
        (5, "children[2].label"),
        (6, "children[3]"),
        (8, "day[0].to"),
        (9, "day[1].from"),
        (10, "prep_windows[0].days[0]"),
        (10, "prep_windows[0].to"),
        (11, "closed[0]"),
        (11, "closed[1]"),
        (12, "stock[0].amount"),
        (12, "stock[1].item"),
        (13, "buy[0].price"),
        (13, "buy[0].delivery_days"),
    } <= where
    assert all(p.file == "fern.yaml" and p.fix for p in problems)


def test_a_birthday_is_refused_because_the_month_is_enough():
    (problem,) = read_room("name: F\nchildren: [{label: wren, born: 2024-03-09}]").problems
    assert problem.fix == "leave the day out"


def test_two_children_of_one_label_are_a_problem():
    text = "name: F\nchildren: [{label: Wren, born: 2024-03}, {label: wren, born: 2024-04}]"
    assert [p.problem for p in read_room(text).problems] == ["'wren' is there twice"]


def test_a_misspelt_key_is_remarked_with_the_nearest_one():
    """A child's line that nobody reads must not pass in silence."""
    read = read_room("name: Fern Room\nchilden: []\n")
    assert [(r.line, r.fix) for r in read.remarks] == [(2, "write 'children'")]
    assert read.problems == ()


@pytest.mark.parametrize(
    "text", ["", "- a\n- b\n", "just words", "name: [a", "name: x\n\tadults: 2"]
)
def test_a_text_that_is_no_room_is_a_problem_never_an_exception(text):
    assert read_room(text).problems


def test_stock_may_be_used_up():
    room = read_room("name: F\nstock: [{item: glue, amount: 0}, {item: rice, amount: 0 kg}]").room
    assert [line.amount for line in room.stock] == [
        Quantity(Fraction(0), ""),
        Quantity(Fraction(0), "kg"),
    ]
    assert read_room(write_room(room)).room == room


@given(rooms)
@settings(max_examples=120, deadline=None)
def test_a_room_written_and_read_again_is_the_same(room):
    read = read_room(write_room(room))
    assert read.problems == ()
    assert read.remarks == ()
    assert read.room == room


def test_every_field_of_a_room_has_a_key_in_the_file():
    """A new attribute that the file does not know would be lost by an export."""
    names = set(Room.__dataclass_fields__) - {"demo", "loans"}
    names |= {f"loan_{name}" for name in Loans.__dataclass_fields__}
    assert names == set(FIELDS)


@given(st.text(max_size=80))
@settings(max_examples=100, deadline=None)
def test_no_text_makes_the_reader_fail(text):
    read_room(text)
    read_room("name: F\n" + text)
