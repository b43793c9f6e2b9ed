"""Placements that meet closed days."""

import datetime as dt

from library.plan.closures import check_closed
from library.plan.unitplan import plan_unit
from library.units.findings import Level
from tests.builders import MONDAY, a_card, a_placement, a_room, a_unit


def day(step):
    return MONDAY + dt.timedelta(days=step)


def found(*placements, closed=(), weeks=2):
    room = a_room(closed=frozenset(day(step) for step in closed))
    plan = plan_unit(a_unit(*placements, weeks=weeks), None, {"sponge-rain": a_card()}, room)
    findings = list(check_closed(plan))
    assert all((f.level, f.kind) == (Level.CAUTION, "closed") for f in findings)
    return findings


def test_weeks_and_days_outside_the_unit_are_found():
    """CAL3: also days on a weekend."""
    assert ["week 3" in f.text for f in found(a_placement(weeks=(1, 3)))] == [True]
    outside = found(a_placement(days=(day(-3), day(1), day(5), day(14))))
    assert [f.text.split("names ")[1][:17] for f in outside] == [
        "Friday 2026-10-02", "Saturday 2026-10-", "Monday 2026-10-19",
    ]  # fmt: skip


def test_a_closed_date_is_found_once():
    """CAL5, CAL8."""
    findings = found(a_placement(days=(day(1), day(1), day(2))), closed=[1])
    assert [(f.center, f.activity) for f in findings] == [("water", "sponge-rain")]
    assert "Tuesday 2026-10-06" in findings[0].text


def test_a_week_is_found_only_when_it_has_no_open_day():
    """FIND13, CLONE4: a week that merely loses a day gives none."""
    assert found(a_placement(weeks=(1, 2)), closed=[0, 1]) == []
    assert len(found(a_placement(weeks=(1, 2)), closed=range(7, 12))) == 1
    assert found(a_placement(), closed=range(7, 12)) == []


def test_a_placement_without_any_open_day_is_found():
    """SUP24."""
    assert len(found(a_placement(weeks=(1,), on=("tue",)), closed=[1])) == 1
    assert len(found(a_placement(), closed=range(14))) == 1
    assert len(found(a_placement(days=(day(1),)), closed=[1])) == 1
