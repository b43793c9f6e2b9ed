"""A room's own policy beside a finding."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from library.cards.values import Adult, Step
from library.room.room import Child, Policy, Room
from library.safety.listed import check_water
from library.safety.policies import asks_again_on, decided_by, may_decide_about, weigh
from library.units.findings import Finding, Level
from tests.library.safety.builders import a_case, a_material

MADE = dt.date(2026, 9, 1)
RICE = Policy("loose-fill", "rice stays in the deep table, an adult sits there", "M. Ortiz", MADE)


def a_finding(level=Level.CAUTION, kind="hazard", hazard="loose-fill"):
    return Finding(
        level, kind, "white rice falls under loose fill", "why", "source", "fix", hazard=hazard
    )


def decided(policies, *children):
    """A room that has recorded these."""
    return Room("Fern Room", children=children, policies=tuple(policies))


def test_a_policy_folds_its_finding_and_the_finding_stays():
    (found,) = weigh([a_finding()], decided([RICE]), dt.date(2026, 10, 5))
    assert found.is_folded
    assert found.finding == a_finding()
    line = found.in_a_line()
    assert "\n" not in line
    for part in ("white rice", "rice stays", "M. Ortiz", "2026-09-01"):
        assert part in line


@pytest.mark.parametrize(
    ("today", "folded"),
    [(dt.date(2027, 8, 31), True), (dt.date(2027, 9, 1), False), (dt.date(2028, 1, 1), False)],
)
def test_it_asks_again_after_twelve_months(today, folded):
    (found,) = weigh([a_finding()], decided([RICE]), today)
    assert found.is_folded is folded
    assert found.policy == RICE
    assert (found.asks_again == "is a year old") is not folded


WREN, MOTH, LATER = (
    Child("Wren", born=(2024, 3)),
    Child("Moth", born=(2024, 5)),
    Child("Pip", born=(2024, 6), since=dt.date(2026, 11, 2)),
)
WEIGHED_FOR_WREN = replace(RICE, youngest=30)
"""Wren, born in March 2024, was 30 months on the first of September 2026."""


@pytest.mark.parametrize(
    ("children", "folded"),
    [
        ((WREN,), True),
        ((WREN, MOTH), False),
        ((WREN, LATER), False),  # known to come: the team looks at it before the first day
        ((WREN, replace(MOTH, until=dt.date(2026, 9, 30))), True),  # gone again
        ((replace(WREN, born=(2024, 1)),), True),
        ((), True),
    ],
)
def test_it_asks_again_when_a_younger_child_comes(children, folded):
    room = decided([WEIGHED_FOR_WREN], *children)
    (found,) = weigh([a_finding()], room, dt.date(2026, 10, 5))
    assert found.is_folded is folded
    assert ("made before a younger child came, look at it again" in found.in_a_line()) is not folded


def test_it_does_not_ask_because_the_children_grow():
    room = decided([WEIGHED_FOR_WREN], WREN)
    (found,) = weigh([a_finding()], room, dt.date(2027, 8, 31))
    assert found.is_folded


def test_a_policy_made_when_no_child_was_known_asks_as_soon_as_one_is():
    for children, folded in (((), True), ((WREN,), False)):
        (found,) = weigh([a_finding()], decided([RICE], *children), dt.date(2026, 10, 5))
        assert found.is_folded is folded
    assert "was made before any child was known, look at it again" in found.in_a_line()


def test_of_two_made_on_one_day_the_one_written_last_counts():
    anew = replace(WEIGHED_FOR_WREN, note="rice only behind glass", youngest=28)
    room = decided([WEIGHED_FOR_WREN, anew], WREN, MOTH)
    (found,) = weigh([a_finding()], room, dt.date(2026, 10, 5))
    assert found.policy == anew
    assert found.is_folded


def test_without_a_room_nothing_is_folded():
    (found,) = weigh([a_finding()], None, dt.date(2026, 10, 5))
    assert not found.is_folded


def test_the_latest_policy_counts():
    newer = Policy("loose-fill", "sand only", "M. Ortiz", dt.date(2027, 9, 2))
    (found,) = weigh([a_finding()], decided([newer, RICE]), dt.date(2027, 10, 1))
    assert found.policy == newer
    assert found.is_folded


@pytest.mark.parametrize(
    "finding",
    [
        a_finding(level=Level.STOP),
        a_finding(kind="allergen", hazard=None),
        a_finding(kind="small-part", hazard=None),
    ],
)
def test_stops_allergens_and_small_parts_are_never_folded(finding):
    policies = [RICE, *(Policy(kind, "n", "b", MADE) for kind in ("allergen", "small-part"))]
    (found,) = weigh([finding], decided(policies), dt.date(2026, 10, 5))
    assert not found.is_folded
    assert found.in_a_line() == finding.text


def test_a_policy_for_a_kind_folds_findings_of_that_kind():
    adults = a_finding(kind="adults", hazard=None)
    policy = Policy("adults", "the director joins at 9", "M. Ortiz", MADE)
    (found,) = weigh([adults], decided([policy]), dt.date(2026, 10, 5))
    assert found.is_folded


def test_a_leap_day_asks_again_on_the_first_of_march():
    assert asks_again_on(Policy("adults", "", "", dt.date(2028, 2, 29))) == dt.date(2029, 3, 1)


def test_one_policy_never_folds_the_whole_list_of_hazards():
    """What is on the list is decided one by one; round pieces are judged by their size."""
    policies = [Policy(kind, "n", "b", MADE) for kind in ("hazard", "food")]
    foam, choking = (
        a_finding(hazard="foam-block"),
        a_finding(kind="food", hazard="choking-food"),
    )
    round_piece = a_finding(hazard=None)
    for found in weigh([foam, choking, round_piece], decided(policies), MADE):
        assert not found.is_folded
    assert [decided_by(each) for each in (foam, choking, round_piece)] == [
        "foam-block",
        "choking-food",
        None,
    ]


def test_what_may_be_decided_about_leaves_out_what_is_never_folded():
    offered = may_decide_about()
    assert len(offered) == len(set(offered))
    assert {"water", "loose-fill", "adults"} <= set(offered)
    assert {"small-part", "ball", "allergen", "missing", "prep", "hazard"}.isdisjoint(offered)


def test_a_policy_answers_for_no_fault_of_a_card():
    """Water that is filled ahead, or an adult out of reach, stands in full whatever was decided."""
    water = Policy("water", "basins only", "M. Ortiz", MADE)
    plain = a_finding(kind="water", hazard="water")
    faulty = replace(plain, in_the_card=True)
    assert [found.is_folded for found in weigh([plain, faulty], decided([water]), MADE)] == [
        True,
        False,
    ]


def test_water_that_is_filled_ahead_is_a_fault_of_the_card():
    ahead = Step("Fill the tub with water", 3)
    for steps, adult, faulty in (
        ((ahead,), Adult.WITHIN_REACH, True),
        ((), Adult.WITHIN_SIGHT, True),
        ((), Adult.WITHIN_REACH, False),
    ):
        case = a_case(a_material("water tub"), centers=("water",), steps=steps, adult=adult)
        (found,) = check_water(case)
        assert found.in_the_card is faulty
