"""Edits of a unit: old text → new text. Only the rows that are meant change.

A placement is named by its ``row`` in the file. Each edit is one step that :class:`Edited` can take
back to the same bytes.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from library.room.room import Room
from library.room.times import show_day
from library.store.errors import Invalid, NotFound, StaleFile, WrongUse
from library.store.frontmatter import change_fields
from library.store.rows import add_row, change_row, remove_row
from library.units.calendar import DAYS_A_WEEK, placement_days, week_of
from library.units.parsing import (
    MAX_WEEKS,
    PLACEMENT_FIELDS,
    UNIT_FIELDS,
    parse_unit,
    plain_placement,
)
from library.units.unit import Placement, Unit


@dataclass(frozen=True, slots=True)
class Edited:
    """One edit, with what is needed to take it back."""

    before: str
    after: str

    def undone(self, now: str) -> str:
        """The bytes as they were before.

        Raises:
            StaleFile: If the text changed since; undoing would lose that change.
        """
        if now != self.after:
            raise StaleFile("the plan changed since; undo would lose that change")
        return self.before


def add(text: str, placement: Placement) -> str:
    """Puts one more placement at the end of the list."""
    return add_row(text, "placements", plain_placement(placement), UNIT_FIELDS)


def remove(text: str, row: int) -> str:
    """Takes a placement out.

    Raises:
        NotFound: If there is no placement in that row.
    """
    _placement(_unit(text), row)
    return remove_row(text, "placements", row)


def change(text: str, row: int, fields: Mapping[str, Any]) -> str:
    """Gives a placement other values; naming days takes its weeks away, and the other way round.

    Args:
        text: Text of the unit.
        row: The placement's row.
        fields: New values by the names of :class:`Placement`; empty ones take the key away.

    Raises:
        NotFound: If there is no placement in that row.
        WrongUse: If a name is none of a placement, or nothing would be left to stand there.
    """
    old = _placement(_unit(text), row)
    unknown = [name for name in fields if name not in PLACEMENT_FIELDS]
    if unknown:
        raise WrongUse(f"a placement has no '{unknown[0]}'; it has: {', '.join(PLACEMENT_FIELDS)}")
    other = {"days": (), "weeks": ()}
    exclusive = {
        key: other[key]
        for key, value in (("weeks", fields.get("days")), ("days", fields.get("weeks")))
        if value
    }
    new = replace(old, **{**exclusive, **fields})
    if not new.center or not (new.activity or new.standing):
        raise WrongUse("a placement needs a center, and an activity unless the center is standing")
    return _write(text, old, new)


def move(text: str, row: int, center: str) -> str:
    """Puts a placement at another center."""
    return change(text, row, {"center": center})


def swap(text: str, row: int, activity: str) -> str:
    """Puts another card in a placement's place; days and center stay.

    Props and note go, since they spoke of the card that leaves.
    """
    return change(text, row, {"activity": activity, "props": {}, "note": ""})


def copy_to_week(text: str, row: int, week: int) -> str:
    """Adds a placement like this one in another week.

    Single dates of its first week go to the same weekdays of that week.

    Raises:
        NotFound: If there is no placement in that row.
        WrongUse: If the unit has no such week.
    """
    unit = _unit(text)
    old = _placement(unit, row)
    _require_week(unit, week)
    if not old.days:
        return add(text, replace(old, weeks=(week,)))
    inside = [(day, held) for day in old.days if (held := week_of(unit, day))]
    first = min((held for _, held in inside), default=week)
    step = dt.timedelta(days=DAYS_A_WEEK * (week - first))
    days = tuple(day + step for day, held in inside if held == first)
    return add(text, replace(old, days=days or old.days))


def push(text: str, row: int, weeks: int = 1) -> str:
    """Puts a placement off to the next week (or by more weeks; negative ones bring it forward).

    A placement of every week stands from the second week on.

    Raises:
        NotFound: If there is no placement in that row.
        WrongUse: If a week or date would leave the unit.
    """
    unit = _unit(text)
    old = _placement(unit, row)
    if old.days:
        days = tuple(day + dt.timedelta(days=DAYS_A_WEEK * weeks) for day in old.days)
        _require_days(unit, days)
        return _write(text, old, replace(old, days=days))
    if not old.weeks:
        left = tuple(week for week in range(1 + weeks, unit.weeks + 1 + weeks) if week > 0)
        new = tuple(week for week in left if week <= unit.weeks)
    else:
        new = tuple(week + weeks for week in old.weeks)
    for week in new or (unit.weeks + 1,):
        _require_week(unit, week)
    return _write(text, old, replace(old, weeks=new))


def shorten(text: str, row: int, last: dt.date, room: Room) -> str:
    """Lets a placement stand until a day and no longer.

    Args:
        text: Text of the unit.
        row: The placement's row.
        last: Its last day.
        room: Its open days decide whether whole weeks are left.

    Raises:
        NotFound: If there is no placement in that row.
        WrongUse: If no day would be left.
    """
    unit = _unit(text)
    old = _placement(unit, row)
    new = _until(old, unit, last, room)
    if new is None:
        raise WrongUse(f"it would not stand at all until {show_day(last)}; take it out instead")
    return _write(text, old, new)


def stretch(text: str) -> str:
    """Makes a unit a week longer; what stands in its last week stands on.

    Raises:
        WrongUse: If it is as long as a unit can be.
    """
    unit = _unit(text)
    if unit.weeks >= MAX_WEEKS:
        raise WrongUse(f"a unit has at most {MAX_WEEKS} weeks")
    for placement in unit.placements:
        if unit.weeks in placement.weeks:
            longer = replace(placement, weeks=(*placement.weeks, unit.weeks + 1))
            text = _write(text, placement, longer)
    return change_fields(text, {"weeks": unit.weeks + 1}, UNIT_FIELDS)


def stop_early(text: str, last: dt.date, room: Room) -> str:
    """Ends a unit on a day: what would stand later is shortened or taken out.

    Raises:
        WrongUse: If the day lies outside the unit.
    """
    unit = _unit(text)
    week = week_of(unit, last)
    if week is None:
        raise WrongUse(f"{show_day(last)} lies outside the unit")
    for placement in reversed(unit.placements):
        new = _until(placement, unit, last, room)
        if new is None and placement_days(placement, unit, room):
            text = remove_row(text, "placements", placement.row)
        else:
            text = _write(text, placement, _ended(new or placement, placement, week))
    return change_fields(text, {"weeks": week}, UNIT_FIELDS)


def _until(placement: Placement, unit: Unit, last: dt.date, room: Room) -> Placement | None:
    """The placement up to a day, in whole weeks where it can be; None where nothing is left."""
    days = placement_days(placement, unit, room)
    kept = tuple(day for day in days if day <= last)
    if not kept:
        return None
    if kept == days:
        return placement
    if placement.days:
        return replace(placement, days=tuple(day for day in placement.days if day <= last))
    held = {
        week: [d for d in days if week_of(unit, d) == week] for week in range(1, unit.weeks + 1)
    }
    whole = tuple(week for week, own in held.items() if own and own[-1] <= last)
    if sum(len(held[week]) for week in whole) == len(kept):
        return replace(placement, weeks=whole)
    return replace(placement, weeks=(), days=kept, on=())


def _ended(new: Placement, old: Placement, week: int) -> Placement:
    """A placement in a unit that ends with a week; one of every week stays one of every week."""
    weeks = tuple(each for each in new.weeks if each <= week)
    fills = weeks == tuple(range(1, week + 1)) and not old.weeks and not old.days
    return replace(new, weeks=() if fills else weeks or new.weeks)


def _write(text: str, old: Placement, new: Placement) -> str:
    before, after = plain_placement(old), plain_placement(new)
    changes = {key: after.get(key) for key in PLACEMENT_FIELDS if after.get(key) != before.get(key)}
    return change_row(text, "placements", old.row, changes, PLACEMENT_FIELDS)


def _unit(text: str) -> Unit:
    parsed = parse_unit(text, "theme", "unit")
    if parsed.unit is None:
        raise Invalid(problem.in_file("") for problem in parsed.problems)
    return parsed.unit


def _placement(unit: Unit, row: int) -> Placement:
    for placement in unit.placements:
        if placement.row == row:
            return placement
    raise NotFound("this placement is gone; the plan was changed meanwhile")


def _require_week(unit: Unit, week: int) -> None:
    if not 1 <= week <= unit.weeks:
        raise WrongUse(f"week {week} is not in the unit, which has {unit.weeks}; stretch it first")


def _require_days(unit: Unit, days: tuple[dt.date, ...]) -> None:
    for day in days:
        if week_of(unit, day) is None:
            raise WrongUse(f"{show_day(day)} lies outside the unit; stretch it by a week first")
