"""Clones a unit within a library: reads what it needs, checks the new unit, and saves it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from library.cards.folder import CardFolder
from library.history.versions import History
from library.plan.ages import AgeFit, age_fit
from library.plan.checks import UnitCheck, check_unit
from library.plan.opening import open_plan
from library.plan.unitplan import UnitPlan, cards_named, plan_unit
from library.room.room import WEEKDAYS, Room, age_in_months, rule_age_in_months
from library.room.times import show_day
from library.store.errors import NameTaken, NotFound, WrongUse
from library.store.paths import LibraryPaths
from library.units.calendar import last_open_day, named_days, open_days, require_monday, unit_days
from library.units.changes import cards_as_of, edits_since
from library.units.cloning import Choice, Clone, Moved, Noted, clone_unit
from library.units.findings import Finding, Level, by_level
from library.units.folder import UnitFolder
from library.units.unit import Placement, Unit, split_unit_id

THREE_YEARS = 36
"""Months; the published rules about things change here (16 CFR 1501.2, CFOC 6.4.1.2)."""
WITHOUT_CHILDREN = frozenset({"missing", "durable", "closed", "repeat", "coverage", "prep"})
"""Kinds of findings that look at no child."""


@dataclass(frozen=True, slots=True)
class CloneLine:
    """What becomes of one placement of the source."""

    old: Placement
    new: Placement | None
    """None: it is left out."""
    left_out: Noted | None
    changed: tuple[Noted, ...]
    moved: tuple[Moved, ...]
    lost: tuple[dt.date, ...]
    """Closed days on which it would have stood (CLONE1)."""
    ages: AgeFit | None
    """How many of the children attending on its first day the card's ages fit."""


@dataclass(frozen=True)
class CheckedClone:
    """A new unit before it is saved, laid out and checked for its room."""

    source: Unit
    clone: Clone
    plan: UnitPlan
    check: UnitCheck
    """All findings of the new unit, and those of dates that found no open day (CLONE13)."""
    new: tuple[Finding, ...]
    """Those that the source did not have in its time; what to order by now speaks of today alone."""

    @property
    def has_stop(self) -> bool:
        """Whether something is to be changed; the clone is saved all the same (FIND8)."""
        return self.check.has_stop

    @property
    def closed(self) -> tuple[dt.date, ...]:
        """Days of the new unit on whose weekday the room is open otherwise."""
        room, days = self.plan.room, unit_days(self.plan.unit)
        return tuple(d for d in days if WEEKDAYS[d.weekday()] in room.open and d in room.closed)

    def lines(self) -> tuple[CloneLine, ...]:
        """What becomes of each placement, in the room's walking order."""
        order = {center: place for place, center in enumerate(self.plan.room.centers)}
        placements = sorted(
            self.source.placements, key=lambda p: (order.get(p.center, len(order)), p.row)
        )
        return tuple(self._line(placement) for placement in placements)

    def as_json(self) -> dict[str, Any]:
        """The object that ``unit clone --json`` prints (CLONE14).

        ``new_findings`` are the places in ``findings`` of those that are new, from 0.
        """
        found = self.check.findings
        return {
            **self.clone.as_json([finding.as_json() for finding in found]),
            "new_findings": [place for place, each in enumerate(found) if each in self.new],
        }

    def _line(self, old: Placement) -> CloneLine:
        made, row = self.clone, self.clone.rows.get(old.row)
        placed = next((each for each in self.plan.placed if each.placement.row == row), None)
        new = placed.placement if placed else None
        asked = named_days(new, self.plan.unit) if new else ()
        return CloneLine(
            old=old,
            new=new,
            left_out=next((each for each in made.left_out if each.row == old.row), None),
            changed=tuple(each for each in made.changed if each.row == old.row),
            moved=tuple(each for each in made.moved if each.row == old.row),
            lost=tuple(day for day in asked if day in self.closed),
            ages=age_fit(placed, self.plan.room) if placed else None,
        )


def look_at_clone(
    paths: LibraryPaths,
    source: str,
    to: str,
    starts: dt.date,
    room: Room,
    *,
    stood_in: Room | None = None,
    choices: Mapping[int, Choice] | None = None,
    today: dt.date | None = None,
) -> CheckedClone:
    """Makes a new unit from an earlier one and checks it; nothing is written.

    Args:
        paths: The library's places.
        source: ``theme/unit`` of the earlier one.
        to: ``theme/unit`` of the new one.
        starts: Its first day, a Monday.
        room: The room it is for.
        stood_in: The room in which the earlier one stood, with the children it had; None: the same
            room, with those of :func:`room_then`.
        choices: What a person wants otherwise, by the placement's row in the earlier one.
        today: For what should have been ordered by now.

    Raises:
        WrongUse: If the start is no Monday, the new name is taken or none, or its theme is not
            there (CLONE11), or a card that was chosen is not there.
        NotFound: If there is no such unit.
        Invalid: If its file cannot be read.
    """
    require_monday(starts)
    units, cards, history = UnitFolder(paths), CardFolder(paths), History(paths)
    read = units.read(source)
    if units.exists(to):
        raise WrongUse(f"there is a unit '{to}' already; nothing was written; choose another name")
    try:
        theme = units.read_theme(split_unit_id(to)[0]).theme
    except NotFound as error:
        raise WrongUse(f"{error}; make the theme first") from error
    names, last = cards_named(read.unit), last_open_day(read.unit, room)
    clone = clone_unit(
        read.unit,
        read.text,
        to=to,
        starts=starts,
        room=room,
        theme=theme,
        cards={*filter(cards.exists, names), *_chosen(choices, cards)},
        edits=edits_since(last, names, cards, history) if last else None,
        choices=choices,
    )
    plan = open_plan(paths, clone.unit, room, today=today)
    check = check_unit(plan)
    found = by_level((*check.findings, *_dropped(clone, plan)))
    stood = stood_in or room_then(room, read.unit, starts)
    then = None if read.unit.starts.weekday() else _plan_then(paths, read.unit, stood, history)
    new = new_findings(found, plan, then)
    return CheckedClone(read.unit, clone, plan, replace(check, findings=found), new)


def new_findings(
    found: Iterable[Finding], now: UnitPlan, then: UnitPlan | None
) -> tuple[Finding, ...]:
    """Those findings of a plan that an earlier one did not have in its room.

    What looks at children is always new where nobody was there then, or nobody under three and
    somebody is now. What should have been ordered by now is never new: it speaks of today alone.

    Args:
        found: What was found for the new plan.
        now: The new plan in its room.
        then: The earlier plan in the room as it was; None: it cannot be laid out (CAL2).
    """
    before = check_unit(then).findings if then else ()
    if then and is_younger(youngest(now.unit, now.room), youngest(then.unit, then.room)):
        before = tuple(each for each in before if each.kind in WITHOUT_CHILDREN)
    marks = set(map(mark_of, before))
    return tuple(each for each in found if each.kind != "order" and mark_of(each) not in marks)


def room_then(room: Room, unit: Unit, now: dt.date) -> Room:
    """A room with the children who were there when an earlier unit stood.

    Who has a first day in the room is believed. Of the others only those count who were then as
    old as the youngest child that the room lists is now: a room keeps its ages, and children leave
    it from below. So a finding that no child of then could have raised is a new one.

    Args:
        room: The room as it is known now.
        unit: The earlier unit.
        now: First day of the new one.
    """
    least = min((age_in_months(child.born, now) for child in room.children), default=0)
    there = (
        child
        for child in room.children
        if child.since is not None or age_in_months(child.born, unit.starts) >= least
    )
    return replace(room, children=tuple(there))


def youngest(unit: Unit, room: Room) -> int | None:
    """The age in months, as under-age rules count it (AGE1), of the youngest child of a unit's days.

    None where nobody attends.
    """
    ages = (
        rule_age_in_months(child.born, day)
        for day in open_days(unit, room)
        for child in room.attending(day)
    )
    return min(ages, default=None)


def is_younger(now: int | None, then: int | None) -> bool:
    """Whether what was looked at then says nothing of now: nobody was there, or no one under three."""
    return then is None or (now is not None and now < THREE_YEARS <= then)


def mark_of(finding: Finding) -> tuple[str | None, ...]:
    """What makes two findings of different years the same: level, reason, card, center and thing.

    Texts hold dates and counts, so only those of goals, which name nothing else, are compared.
    """
    where = (finding.center, finding.activity, finding.item, finding.hazard)
    text = finding.text if finding.kind == "coverage" and not any(where) else None
    return (finding.level.value, finding.kind, finding.why, *where, text)


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


def _plan_then(paths: LibraryPaths, unit: Unit, room: Room, history: History) -> UnitPlan:
    """An earlier unit on its own days, with its cards as they were then.

    Where the history is younger than the unit, its cards count as they are now.
    """
    last = last_open_day(unit, room)
    cards = cards_as_of(last, cards_named(unit), history) if last else None
    plan = open_plan(paths, unit, room)
    if cards is None:
        return plan
    return plan_unit(
        unit, plan.theme, cards, room, materials=plan.materials, frameworks=plan.frameworks
    )


def _chosen(choices: Mapping[int, Choice] | None, cards: CardFolder) -> Iterator[str]:
    """The cards that were chosen in place of others.

    Raises:
        WrongUse: If one is not there.
    """
    for choice in (choices or {}).values():
        if choice.activity and not cards.exists(choice.activity):
            raise WrongUse(f"there is no card '{choice.activity[:60]}'; choose another one")
        yield choice.activity
