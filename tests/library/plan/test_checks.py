"""The table of checks, and the JSON of ``unit check``."""

import datetime as dt

import pytest

from library.cards.values import AgeRange
from library.plan.checks import CHECKS, NOT_LOOKED_AT, check_unit
from library.plan.unitplan import cards_named, plan_unit
from library.store.errors import WrongUse
from library.units.findings import Level
from tests.builders import MONDAY, a_card, a_child, a_placement, a_room, a_unit

CONTRACT_KEYS = {"level", "kind", "center", "activity", "item", "why", "source", "fix"}


def planned(*placements, cards=(), room=None, **unit):
    named = {card.id: card for card in cards}
    return plan_unit(a_unit(*placements, **unit), None, named, room or a_room(a_child()))


def test_the_json_has_the_keys_that_checks_rely_on():
    plan = planned(a_placement("water", "gone"), a_placement("art", "wash"), cards=[a_card("wash")])
    found = check_unit(plan).as_json()
    assert set(found) >= {"unit", "findings", "ages"}
    assert found["unit"] == "leaves-and-wind/2026-fall"
    assert all(set(finding) >= CONTRACT_KEYS for finding in found["findings"])
    assert found["ages"] == [
        {"center": "art", "activity": "wash", "fit": 1, "younger": 0, "older": 0}
    ]


def test_stops_come_first_and_decide_the_exit():
    """FIND8: 1 exactly when a stop finding is listed."""
    stop = check_unit(planned(a_placement("water", "gone")))
    levels = [finding.level for finding in stop.findings]
    assert levels == sorted(levels, key=list(Level).index)
    assert levels[0] is Level.STOP
    assert stop.has_stop
    calm = check_unit(planned(a_placement(), cards=[a_card(ages=AgeRange(36, 48))]))
    assert {finding.level for finding in calm.findings} == {Level.CAUTION, Level.NOTE}
    assert not calm.has_stop


def test_each_check_says_what_it_looks_at_and_there_is_more_that_none_sees():
    assert len({check.name for check in CHECKS}) == len(CHECKS)
    assert all(check.looks_at for check in CHECKS)
    assert NOT_LOOKED_AT


def test_a_unit_that_does_not_start_on_a_monday_is_refused():
    """CAL2."""
    with pytest.raises(WrongUse, match="the Monday before"):
        planned(starts=MONDAY + dt.timedelta(days=1))


def test_today_changes_nothing_here():
    """CAL7."""
    unit = a_unit(a_placement())
    first, second = (
        check_unit(plan_unit(unit, None, {}, a_room(a_child()), today=day))
        for day in (None, dt.date(2030, 1, 1))
    )
    assert first == second


def test_findings_claim_no_safety():
    """The program says what it found, never that something is safe or allowed."""
    plan = planned(
        a_placement("water", "gone"),
        a_placement("art", "a", days=(MONDAY + dt.timedelta(days=60),)),
        a_placement("light", "b", weeks=(1,)),
        a_placement("easel", "b", weeks=(1,)),
        cards=[a_card("a", ages=AgeRange(40, 48)), a_card("b", technique="painting")],
        room=a_room(a_child(), centers=("books",)),
    )
    findings = check_unit(plan).findings
    kinds = {finding.kind for finding in findings}
    assert kinds == {"missing", "closed", "repeat", "coverage", "water"}
    for finding in findings:
        words = f"{finding.text} {finding.why} {finding.fix}".lower().split()
        assert not {"safe", "ok", "approved", "compliant", "meets"} & set(words)
        assert finding.text
        assert finding.why
        assert finding.source
        assert finding.fix


def test_a_unit_names_its_cards_and_rain_swaps_once():
    unit = a_unit(
        a_placement("outdoors", "rake-run", instead="tunnel-crawl"),
        a_placement("water", "rake-run"),
        a_placement("blocks", None, standing=True),
    )
    assert cards_named(unit) == ("rake-run", "tunnel-crawl")
