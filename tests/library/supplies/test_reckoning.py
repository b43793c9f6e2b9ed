"""Every number of supplies opens to how it came about."""

import datetime as dt
from decimal import Decimal

import pytest

from library.materials.amounts import parse_quantity
from library.room.room import BuyLine, StockLine
from library.supplies.reckoning import reckon
from library.supplies.wording import children_by_day, when_words
from tests.builders import MONDAY, a_card, a_child, a_material_line, a_placement, a_room
from tests.library.supplies.test_lines import line_of, supplies

WEEK = tuple(MONDAY + dt.timedelta(days=step) for step in range(5))
EIGHT = (
    *(a_child(f"child{number}") for number in range(6)),
    *(a_child(f"away{number}", days=("mon", "wed", "thu", "fri")) for number in range(2)),
)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({}, "every week"),
        ({"weeks": (1,)}, "week 1"),
        ({"weeks": (1, 2, 3)}, "weeks 1, 2 and 3"),
        ({"weeks": (1,), "on": ("thu", "tue")}, "week 1, on Tuesdays and Thursdays"),
        ({"on": ("tue",)}, "every week, on Tuesdays"),
        ({"days": (dt.date(2026, 10, 6),)}, "on Tue 6 Oct"),
        ({"days": WEEK}, "on 5 days from Mon 5 Oct"),
    ],
)
def test_a_placement_says_when_it_stands(fields, words):
    assert when_words(a_placement(**fields)) == words


def test_another_number_of_children_is_said_by_its_weekday():
    assert children_by_day(WEEK, a_room(*EIGHT)) == (8, "6 on Tuesdays")
    two_weeks = (*WEEK, *(day + dt.timedelta(days=7) for day in WEEK))
    assert children_by_day(two_weeks, a_room(*EIGHT)) == (8, "6 on Tuesdays")
    ill = a_room(*EIGHT[:6], a_child("gone", until=WEEK[3]))
    assert children_by_day(two_weeks[:6], ill) == (7, "6 on Fri 9 Oct and Mon 12 Oct")


def test_sup1_a_sheet_for_each_child_each_day_says_who_comes_when():
    line = line_of(
        "paper",
        "2 sheets per child",
        refresh="each day",
        room=a_room(*EIGHT),
        placements=[a_placement(weeks=(1,))],
    )
    assert reckon(line).need == (
        "sponge-rain: 8 children × 2 sheets, new on each of 5 days, week 1; 6 on Tuesdays "
        "= 76 sheets",
    )


def test_sup1_weekdays_alone_are_named():
    """SUP1: the different children of those weekdays."""
    line = line_of(
        "paper", "2 sheets per child", room=a_room(*EIGHT), placements=[a_placement(on=("tue",))]
    )
    assert line.how == ("sponge-rain: 6 children × 2 sheets, every week, on Tuesdays",)


@pytest.mark.parametrize(
    ("amount", "refresh", "how"),
    [
        ("1 per place", "once", "4 places × 1, week 1"),
        ("1 per adult", "once", "2 adults × 1, week 1"),
        ("500 ml per setup", "each day", "500 ml for the set-up, new on each of 5 days, week 1"),
        ("500 ml per setup", "each week", "500 ml for the set-up, week 1"),
        ("1 roll in all", "each day", "1 roll in all"),
    ],
)
def test_each_basis_has_its_words(amount, refresh, how):
    line = line_of("paper", amount, refresh=refresh, placements=[a_placement(weeks=(1,))])
    assert line.needs[0].how == how


def test_sup9_what_is_shared_names_the_day_that_decides():
    """SUP9."""
    cards = [
        a_card(name, materials=(a_material_line("hand sponge", f"{number} per setup"),))
        for name, number in (("rain", 4), ("boats", 3))
    ]
    placements = [a_placement(activity="rain"), a_placement(activity="boats", on=("wed",))]
    line = supplies(*placements, cards=cards).lines[0]
    assert reckon(line, str.capitalize).need[-1] == (
        "most on Wed 7 Oct: Rain 4 and Boats 3, together 7"
    )


def test_sup5_what_counts_once_says_so_the_second_time():
    """SUP5."""
    line = line_of("paper", "1 roll in all", placements=[a_placement(), a_placement("art")])
    assert reckon(line).need == (
        "sponge-rain: 1 roll in all",
        "sponge-rain: the same 1 roll again, so nothing more",
        "together 1 roll",
    )


def test_sup13_sup17_stock_packs_and_days_add_up_in_words():
    """SUP13, SUP17."""
    room = a_room(
        stock=(StockLine("white rice", parse_quantity("370 g"), "D2"),),
        buy=(BuyLine("white rice", parse_quantity("2 kg"), Decimal("3.40"), 2),),
    )
    opened = reckon(line_of("white rice", "30 cups per setup", room=room))
    assert opened.on_hand == "370 g = 2 cups in bin D2"
    assert opened.buy == "30 cups needed − 2 cups there = 28 cups"
    assert opened.packs == "28 cups in packs of 2 kg = 3 packs × 3.40 = 10.20"
    assert opened.order_by == (
        "first in hand on Fri 2 Oct at the latest; 2 days until it comes and 1 day in hand before that; "
        "ordered the day before, or on the last open day: Mon 28 Sep"
    )


def test_sup14_what_is_not_known_is_said():
    """SUP14."""
    opened = reckon(line_of("paper", "3 sheets per setup"))
    assert opened.on_hand == "the shelf list does not have it"
    assert "not known" in opened.packs
