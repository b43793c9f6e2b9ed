"""Adults within reach, ratio and group size."""

from __future__ import annotations

import datetime as dt

import pytest

from library.cards.values import Adult
from library.room.room import Block
from library.safety.adults import check_adults, check_ratio, ratio_tables
from library.units.findings import Level
from library.units.placed import lay_out
from tests.builders import MONDAY, a_card, a_child, a_placement, a_room, a_unit

TABLES = ratio_tables()
FREE = Block("free play", dt.time(8, 30), dt.time(10))
LATE = Block("late play", dt.time(15), dt.time(16))


def close_cards(*centers):
    """One card within reach for each center."""
    return {f"at-{c}": a_card(f"at-{c}", adult=Adult.WITHIN_REACH, centers=(c,)) for c in centers}


def adults_found(room, *placements, cards=None):
    centers = {placement.center for placement in placements}
    cards = cards if cards is not None else close_cards(*centers)
    unit = a_unit(*placements, weeks=1)
    return list(check_adults(lay_out(unit, None, cards, room), room))


def at(center, **fields):
    return a_placement(center, f"at-{center}", **fields)


def a_class(*months, **room):
    """A room of children of these ages by the under-age rule, on the first Monday of October 2026."""
    born = [divmod(2026 * 12 + 9 - (age + 1), 12) for age in months]
    return a_room(*(a_child(f"c{n}", (y, m + 1)) for n, (y, m) in enumerate(born)), **room)


def ratio_found(room):
    return list(check_ratio([MONDAY], room))


def test_two_tables_at_once_leave_no_adult_for_the_floor():
    """FIND2: more than adults - 1; CFOC 6.2.4.2 and 6.2.4.3 want an adult at both."""
    found = adults_found(a_room(), at("water"), at("sensory"))
    assert len(found) == 5  # one a day of the week
    assert {(f.level, f.kind) for f in found} == {(Level.CAUTION, "adults")}
    assert "At water at water, At sensory at sensory" in found[0].text
    assert "Monday 2026-10-05" in found[0].text


@pytest.mark.parametrize(("adults", "count"), [(1, 5), (2, 0), (3, 0)])
def test_one_adult_alone_can_sit_down_at_none(adults, count):
    """FIND2: with one adult 0."""
    assert len(adults_found(a_room(adults=adults), at("water"))) == count


def test_only_days_they_share_count():
    found = adults_found(a_room(), at("water", on=("mon", "tue")), at("sensory", on=("tue",)))
    assert len(found) == 1
    assert "Tuesday" in found[0].text


def test_other_blocks_of_the_day_do_not_meet():
    room = a_room(day=(FREE, LATE))
    apart = at("water", when=("free play",)), at("sensory", when=("late play",))
    assert not adults_found(room, *apart)
    together = at("water", when=("free play",)), at("sensory", when=("free play",))
    found = adults_found(room, *together)
    assert len(found) == 5
    assert "free play" in found[0].text


def test_each_block_of_a_day_has_its_own_finding():
    """FIND2: one finding a day and block."""
    found = adults_found(a_room(day=(FREE, LATE)), at("water", on=("mon",)), at("sensory"))
    assert [finding.text.split(": ")[0] for finding in found] == [
        "Monday 2026-10-05, free play",
        "Monday 2026-10-05, late play",
    ]


def test_blocks_in_a_chain_count_only_where_they_meet():
    """FIND2: the first and the last of three overlapping blocks never stand at once."""
    chain = (
        Block("early", dt.time(8), dt.time(9)),
        Block("middle", dt.time(8, 30), dt.time(9, 30)),
        Block("later", dt.time(9), dt.time(10)),
    )
    rows = [
        at(c, when=(n,))
        for c, n in zip(("water", "art", "light"), ("early", "middle", "later"), strict=True)
    ]
    assert not adults_found(a_room(day=chain, adults=3), *rows)
    assert len(adults_found(a_room(day=chain, adults=2), *rows)) == 10


def test_circle_and_outdoors_have_times_of_their_own():
    """FIND2: without a day they are not counted."""
    assert not adults_found(a_room(), at("circle"), at("outdoors"), at("water"))


def test_within_sight_is_not_counted():
    """FIND14: what a card does not say is within sight."""
    cards = {**close_cards("water"), "at-sensory": a_card("at-sensory")}
    assert not adults_found(a_room(), at("water"), at("sensory"), cards=cards)


def test_a_day_with_one_adult_more_counts_that_one():
    room = a_room(adults_on=((MONDAY, 3),))
    assert len(adults_found(room, at("water"), at("sensory"))) == 4


@pytest.mark.parametrize(
    ("table", "age", "children", "adults"),
    [
        ("cfoc", 24, 8, 2),  # CFOC 1.1.1.2: 13-35 months 4 and 8
        ("cfoc", 24, 9, None),
        ("cfoc", 40, 14, 2),  # 3 years 7 and 14
        ("cfoc", 40, 15, None),
        ("cfoc", 10, 6, 2),
        ("cfoc", 50, 16, 2),
        ("head-start", 30, 8, 2),  # 45 CFR 1302.21(b)(2)
        ("head-start", 30, 9, 3),
        ("head-start", 30, 10, None),
        ("head-start", 40, 17, 2),
        ("connecticut", 30, 10, 2),
        ("montana", 30, 16, 2),
        ("missouri", 30, 8, 1),
        ("missouri", 40, 20, 2),
    ],
)
def test_adults_needed_by_published_tables(table, age, children, adults):
    assert TABLES[table].band([age]).adults_needed(children) == adults


def test_nine_twos_with_two_teachers_and_with_three():
    """45 CFR 1302.21(b)(2): 2 teachers for 8, 3 for 9."""
    band = TABLES["head-start"].band([30])
    assert [band.limit(adults) for adults in (1, 2, 3, 4)] == [4, 8, 9, 9]


def test_the_strictest_of_several_limits():
    limits = [table.band([30]).limit(2) for table in TABLES.values()]
    assert min(limits) == 8


def test_whose_age_decides():
    """45 CFR 1302.21(b)(1): the majority's; Montana and Connecticut: the youngest child's."""
    assert TABLES["head-start"].age == "majority"
    assert TABLES["montana"].age == TABLES["connecticut"].age == "youngest"
    assert TABLES["head-start"].band([30, 40, 40]).low == 36
    assert TABLES["head-start"].band([30, 30, 40, 40]).high == 35
    assert TABLES["montana"].band([30, 40, 40]).low == 24


def test_eight_twos_and_two_adults_give_nothing():
    assert not ratio_found(a_class(*[30] * 8))


def test_a_passed_group_is_one_caution():
    """FIND3."""
    found = ratio_found(a_class(*[30] * 9, adults=3))
    assert (found[0].level, found[0].kind) == (Level.CAUTION, "ratio")
    assert "9 children with 3 adults" in found[0].text
    assert "at most 8" in found[0].text
    assert "licence" in found[0].fix


def test_the_youngest_child_decides_and_counts_through_the_birthday_month():
    """FIND3, AGE1."""
    assert not ratio_found(a_class(*[40] * 14))
    assert ratio_found(a_class(35, *[40] * 13))
    assert not ratio_found(a_class(36, *[40] * 13))


def test_other_tables_are_one_note():
    found = ratio_found(a_class(*[30] * 9, rules="montana"))
    assert [(f.level, f.kind) for f in found] == [(Level.NOTE, "ratio")]
    assert "Caring for Our Children" in found[0].text
    assert "Head Start" in found[0].text


def test_a_table_that_wants_a_second_adult_says_so():
    """45 CFR 1302.21(b): a teacher and an assistant for three-year-olds."""
    (found,) = ratio_found(a_class(*[40] * 7, adults=1))
    assert "asks for one more adult" in found.text


def test_an_unknown_table_is_read_as_the_usual_one():
    assert ratio_found(a_class(*[30] * 9, rules="moonland"))[0].level is Level.CAUTION


def test_many_days_are_one_finding():
    room = a_class(*[30] * 9)
    days = [MONDAY + dt.timedelta(n) for n in range(5)]
    cautions = [f for f in check_ratio(days, room) if f.level is Level.CAUTION]
    assert len(cautions) == 1
    assert "4 other days" in cautions[0].text
