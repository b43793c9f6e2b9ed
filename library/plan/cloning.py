"""Clones a unit within a library: reads what it needs, checks the new unit, and saves it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from library.cards.folder import CardFolder
from library.history.versions import History
from library.plan.checks import UnitCheck, by_level, check_unit
from library.plan.opening import open_plan
from library.plan.unitplan import UnitPlan, cards_named
from library.room.room import Room
from library.room.times import show_day
from library.store.errors import NameTaken, NotFound, WrongUse
from library.store.paths import LibraryPaths
from library.units.calendar import last_open_day, require_monday
from library.units.changes import edits_since
from library.units.cloning import Clone, clone_unit
from library.units.findings import Finding, Level
from library.units.folder import UnitFolder
from library.units.unit import split_unit_id


@dataclass(frozen=True)
class CheckedClone:
    """A new unit before it is saved, laid out and checked for its room."""

    clone: Clone
    plan: UnitPlan
    check: UnitCheck
    """All findings of the new unit, and those of dates that found no open day (CLONE13)."""

    @property
    def has_stop(self) -> bool:
        """Whether something is to be changed; the clone is saved all the same (FIND8)."""
        return self.check.has_stop

    def as_json(self) -> dict[str, Any]:
        """The object that ``unit clone --json`` prints (CLONE14)."""
        return self.clone.as_json([finding.as_json() for finding in self.check.findings])


def look_at_clone(
    paths: LibraryPaths,
    source: str,
    to: str,
    starts: dt.date,
    room: Room,
    *,
    today: dt.date | None = None,
) -> CheckedClone:
    """Makes a new unit from an earlier one and checks it; nothing is written.

    Args:
        paths: The library's places.
        source: ``theme/unit`` of the earlier one.
        to: ``theme/unit`` of the new one.
        starts: Its first day, a Monday.
        room: The room it is for.
        today: For what should have been ordered by now.

    Raises:
        WrongUse: If the start is no Monday, the new name is taken or none, or its theme is not
            there (CLONE11).
        NotFound: If there is no such unit.
        Invalid: If its file cannot be read.
    """
    require_monday(starts)
    units, cards = UnitFolder(paths), CardFolder(paths)
    read = units.read(source)
    if units.exists(to):
        raise WrongUse(f"there is a unit '{to}' already; nothing was written; choose another name")
    try:
        theme = units.read_theme(split_unit_id(to)[0]).theme
    except NotFound as error:
        raise WrongUse(f"{error}; make the theme first") from error
    names = cards_named(read.unit)
    last = last_open_day(read.unit, room)
    clone = clone_unit(
        read.unit,
        read.text,
        to=to,
        starts=starts,
        room=room,
        theme=theme,
        cards={name for name in names if cards.exists(name)},
        edits=edits_since(last, names, cards, History(paths)) if last else None,
    )
    plan = open_plan(paths, clone.unit, room, today=today)
    check = check_unit(plan)
    findings = by_level((*check.findings, *_dropped(clone, plan)))
    return CheckedClone(clone, plan, replace(check, findings=findings))


def save_clone(paths: LibraryPaths, checked: CheckedClone, by: str = "") -> None:
    """Writes the new unit's file and keeps it in the history; nothing else changes.

    Raises:
        WrongUse: If a unit of that name came to be meanwhile (CLONE11).
    """
    unit = checked.clone.unit
    try:
        UnitFolder(paths).create(unit.id, checked.clone.text)
    except NameTaken as error:
        raise WrongUse(f"{error}; nothing was written") from error
    History(paths).record([unit.file], f"cloned {unit.cloned_from} to {unit.id}", by)


def _dropped(clone: Clone, plan: UnitPlan) -> Iterator[Finding]:
    """One finding for each date that found no open day in its week (CLONE3)."""
    for moved in clone.moved:
        if moved.end is None:
            name = moved.activity or moved.center
            yield Finding(
                level=Level.CAUTION,
                kind="closed",
                text=f"{name} would stand on {show_day(moved.start)}, when the room is closed, and "
                "no open day is left in that week; the date was left out",
                why=f"on such a day nothing is put out in {plan.room.name}",
                source="the room's open and closed days",
                fix="name another day, if it is to stand",
                center=moved.center,
                activity=moved.activity,
            )
