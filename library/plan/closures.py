"""Placements that meet closed days, or days that the unit does not have."""

from __future__ import annotations

from collections.abc import Iterator

from library.plan.unitplan import UnitPlan
from library.room.times import show_day
from library.units.calendar import open_days_of_week, week_of
from library.units.findings import Finding, Level
from library.units.placed import Placed


def check_closed(plan: UnitPlan) -> Iterator[Finding]:
    """Findings of kind ``closed``.

    One for each named date that is closed or outside the unit (CAL3, CAL5), one for each named
    week that the unit does not have or in which the room never opens (CAL3, FIND13), and one for a
    placement that has no day for another reason (SUP24). A week that merely loses a day gives none.
    """
    for placed in plan.placed:
        found = [*_dates(plan, placed), *_weeks(plan, placed)]
        yield from found
        if not placed.days and not found:
            yield _finding(
                plan,
                placed,
                f"{plan.title_of(placed)} stands on no day: the room is closed on all of its days",
                "choose other days or weekdays, or take it out",
            )


def _dates(plan: UnitPlan, placed: Placed) -> Iterator[Finding]:
    title = plan.title_of(placed)
    for day in sorted(set(placed.placement.days)):
        if week_of(plan.unit, day) is None:
            text = f"{title} names {show_day(day)}, which lies outside the unit"
            yield _finding(plan, placed, text, "name a day of the unit, or leave this one out")
        elif not plan.room.is_open(day):
            text = f"{title} names {show_day(day)}, when the room is closed"
            yield _finding(plan, placed, text, "name an open day, or leave this one out")


def _weeks(plan: UnitPlan, placed: Placed) -> Iterator[Finding]:
    title, unit = plan.title_of(placed), plan.unit
    for week in sorted(set(placed.placement.weeks)):
        if week > unit.weeks:
            text = f"{title} names week {week}, but the unit has {unit.weeks}"
            yield _finding(plan, placed, text, "name a week of the unit, or stretch the unit")
        elif not open_days_of_week(unit, week, plan.room):
            text = f"{title} names week {week}, when the room is closed all week"
            yield _finding(plan, placed, text, "name another week; nothing can stand in this one")


def _finding(plan: UnitPlan, placed: Placed, text: str, fix: str) -> Finding:
    return Finding(
        level=Level.CAUTION,
        kind="closed",
        text=text,
        why=f"on such a day nothing is put out, and nothing is counted for it in {plan.room.name}",
        source="the room's open and closed days",
        fix=fix,
        center=placed.center,
        activity=placed.placement.activity,
    )
