"""Which goals a unit serves by week, against a slow recount."""

import datetime as dt

from hypothesis import given, settings
from hypothesis import strategies as st

from library.frameworks.coverage import ages_in_week, cover
from library.frameworks.framework import head_start
from library.units.placed import lay_out
from tests.builders import MONDAY, a_card, a_child, a_placement, a_room, a_unit

TWO = a_child("wren", (2024, 3))
THREE = a_child("swift", (2023, 8))


def covered(unit, cards, room):
    return cover(unit, lay_out(unit, None, {c.id: c for c in cards}, room), room, head_start())


def test_counts_stand_by_week_with_gaps_first():
    cards = (a_card("rain", domains=("IT-PMP-6", "IT-C-4")), a_card("tub", domains=("IT-C-4",)))
    unit = a_unit(a_placement("water", "rain", weeks=(1,)), a_placement("sensory", "tub"))
    coverage = covered(unit, cards, a_room(TWO))
    counts = {line.goal.code: line.weeks for line in coverage.goals}
    assert counts["IT-C-4"] == (2, 1)
    assert counts["IT-PMP-6"] == (1, 0)
    assert [line.is_gap for line in coverage.goals] == [True] * 57 + [False] * 2


def test_one_gap_for_each_area_without_any_goal_in_a_week():
    """FIND15: per area and week, not per goal."""
    cards = (a_card("rain", domains=("IT-PMP-6", "IT-C-4")),)
    unit = a_unit(a_placement("water", "rain", weeks=(1,)))
    gaps = covered(unit, cards, a_room(TWO)).gaps
    assert [(gap.week, gap.area) for gap in gaps] == [
        (1, "Approaches to Learning"),
        (1, "Social and Emotional Development"),
        (1, "Language and Communication"),
        (2, "Approaches to Learning"),
        (2, "Social and Emotional Development"),
        (2, "Language and Communication"),
        (2, "Cognition"),
        (2, "Perceptual, Motor, and Physical Development"),
    ]


def test_a_mixed_room_is_held_against_both_series():
    """FIND15: both if mixed; a room without children is held against both as well."""
    unit = a_unit(weeks=1)
    assert len(covered(unit, (), a_room(TWO)).gaps) == 5
    assert len(covered(unit, (), a_room(THREE)).gaps) == 7
    assert len(covered(unit, (), a_room(TWO, THREE)).gaps) == 12
    assert len(covered(unit, (), a_room()).gaps) == 12


def test_a_week_in_which_the_room_is_closed_has_no_gaps():
    room = a_room(TWO, closed=frozenset(MONDAY + dt.timedelta(days=d) for d in range(5)))
    unit = a_unit(weeks=1)
    assert covered(unit, (), room).gaps == ()
    assert ages_in_week(unit, 1, room) == ()


def test_codes_of_another_framework_are_named():
    cards = (a_card("rain", domains=("HANDS-1", "IT-C-4")),)
    assert covered(a_unit(a_placement("water", "rain")), cards, a_room(TWO)).unknown == ("HANDS-1",)


codes = st.sets(st.sampled_from(["IT-C-4", "IT-PMP-6", "IT-SE-1", "P-SCI-1"]))


@given(
    st.lists(st.tuples(codes, st.sets(st.integers(1, 3))), max_size=6),
    st.sets(st.integers(0, 20)),
)
@settings(max_examples=60, deadline=None)
def test_counts_equal_a_slow_recount(rows, closed):
    cards = [a_card(f"card-{i}", domains=tuple(sorted(c))) for i, (c, _) in enumerate(rows)]
    unit = a_unit(
        *(
            a_placement("water", f"card-{i}", weeks=tuple(sorted(w)))
            for i, (_, w) in enumerate(rows)
        ),
        weeks=3,
    )
    room = a_room(TWO, THREE, closed=frozenset(MONDAY + dt.timedelta(days=d) for d in closed))
    coverage = covered(unit, cards, room)
    for line in coverage.goals:
        for week in (1, 2, 3):
            slow = 0
            for wanted, weeks in rows:
                days = [7 * (week - 1) + d for d in range(5) if 7 * (week - 1) + d not in closed]
                slow += line.goal.code in wanted and (week in weeks or not weeks) and bool(days)
            assert line.weeks[week - 1] == slow
