"""Makes this year's unit from an earlier one, with what was learned built in.

Week k and weekday w go to the same week and weekday of the new calendar. A single date that falls
on a closed day goes to the next open day of its week. The source is never touched. A person may
choose otherwise for each placement before anything is written.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any

from library.room.room import Room
from library.store.frontmatter import change_fields
from library.store.rows import change_row, remove_row
from library.units.calendar import open_days, require_monday, week_days, week_of
from library.units.naming import name_days
from library.units.parsing import (
    PLACEMENT_FIELDS,
    UNIT_FIELDS,
    parse_unit,
    plain_placement,
)
from library.units.theme import Theme
from library.units.unit import Again, LookBack, Placement, Unit, split_unit_id


class Why(StrEnum):
    """Why a placement was left out or changed."""

    LOOK_BACK = "look-back"
    EDITED = "edited"
    REMOVED = "removed"
    CLOSED = "closed"
    CHOICE = "choice"
    """A person left it out."""


@dataclass(frozen=True, slots=True)
class Noted:
    """A placement that is left out of the new unit, or that deserves a look in it."""

    activity: str
    center: str
    why: Why
    note: str = ""
    """The look-back's note, the card's change in words, or the reason."""
    row: int = field(default=-1, compare=False)
    """The placement's row in the source."""

    def as_json(self) -> dict[str, str]:
        """The entry of ``left_out`` and ``changed``."""
        return {
            "activity": self.activity,
            "center": self.center,
            "why": self.why.value,
            "note": self.note,
        }


@dataclass(frozen=True, slots=True)
class Moved:
    """A single date that could not keep its weekday."""

    activity: str | None
    center: str
    start: dt.date
    """The closed day of the new calendar on which it would have stood."""
    end: dt.date | None
    """The open day it stands on now; None: no open day was left in the week."""
    row: int = field(default=-1, compare=False)
    """The placement's row in the source."""

    def as_json(self) -> dict[str, str | None]:
        """The entry of ``moved``."""
        return {
            "activity": self.activity,
            "center": self.center,
            "from": self.start.isoformat(),
            "to": self.end.isoformat() if self.end else None,
        }


@dataclass(frozen=True, slots=True)
class Choice:
    """What a person wants for one placement of the source in place of what is proposed."""

    take: bool | None = None
    """True: also if the look-back says no; False: leave it out; None: as proposed."""
    activity: str = ""
    """Another card in its place; empty: the same. Props and note go, as they spoke of the first."""
    days: frozenset[dt.date] = frozenset()
    """Exactly these days of the new calendar; empty: as proposed."""
    note: bool = True
    """Whether what was learned is written into its note."""


AS_PROPOSED = Choice()


@dataclass(frozen=True, slots=True)
class Clone:
    """A new unit before it is saved, with everything that differs from the old one."""

    unit: Unit
    text: str
    """The whole new file."""
    left_out: tuple[Noted, ...]
    changed: tuple[Noted, ...]
    moved: tuple[Moved, ...]
    edits_known: bool
    """Whether the history reaches back far enough to say which cards were edited since (CLONE10)."""
    rows: Mapping[int, int] = field(default_factory=dict, compare=False)
    """Row of a placement in the new unit by its row in the source; those left out are not there."""

    def as_json(self, findings: Iterable[Mapping[str, Any]] = ()) -> dict[str, Any]:
        """The object of ``unit clone --json`` (CLONE14), with findings as ``unit check`` gives them."""
        return {
            "unit": self.unit.id,
            "placements": [_json_placement(placement) for placement in self.unit.placements],
            "left_out": [entry.as_json() for entry in self.left_out],
            "changed": [entry.as_json() for entry in self.changed],
            "moved": [entry.as_json() for entry in self.moved],
            "edits_known": self.edits_known,
            "findings": list(findings),
        }


def clone_unit(
    source: Unit,
    source_text: str,
    *,
    to: str,
    starts: dt.date,
    room: Room,
    theme: Theme,
    cards: Collection[str],
    edits: Mapping[str, str] | None,
    choices: Mapping[int, Choice] | None = None,
) -> Clone:
    """Makes a new unit from an earlier one; nothing is written.

    Args:
        source: The earlier unit.
        source_text: The text of its file; comments and unknown keys go along (CLONE9).
        to: ``theme/unit`` of the new one.
        starts: Its first day, a Monday.
        room: The room whose closed days count.
        theme: The theme of the new unit; its props dress it, its title names it (CLONE15).
        cards: Ids of the cards that the library has now.
        edits: Change in words by the id of each card edited since the old unit's last open day;
            None where the history does not say (CLONE10).
        choices: What a person wants otherwise, by the placement's row in the source.

    Raises:
        WrongUse: If the start is no Monday or the name is none (CLONE11).
        Invalid: If the source's front matter cannot be changed row by row.
    """
    require_monday(starts)
    theme_id, name = split_unit_id(to)
    clone = _Cloning(
        source, starts, room, cards, edits or {}, _last_words(source.look_back), choices or {}
    )
    text = change_fields(
        source_text,
        {
            "title": title_for(theme, name),
            "starts": starts,
            "cloned_from": source.id,
            "look_back": None,
        },
        UNIT_FIELDS,
    )
    for placement in source.placements:
        clone.take(placement)
    for placement in reversed(source.placements):
        text = clone.written(text, placement)
    unit = parse_unit(text, theme_id, name).unit
    assert unit is not None, "starts and weeks were written above"
    found = (tuple(clone.left_out), tuple(clone.changed), tuple(clone.moved))
    return Clone(unit, text, *found, edits_known=edits is not None, rows=clone.new_rows())


def title_for(theme: Theme, name: str) -> str:
    """The title of a unit by its theme and its name: ``2026-fall`` → ``Leaves and wind, fall 2026``."""
    words = name.split("-")
    if words[0].isdigit() and len(words) > 1:
        words = [*words[1:], words[0]]
    return f"{theme.title}, {' '.join(words)}"


def moved_day(day: dt.date, old: Unit, starts: dt.date, room: Room) -> dt.date | None:
    """Where a date of an old unit goes in a calendar that begins at another start.

    Args:
        day: A date of the old unit.
        old: The old unit.
        starts: First day of the new one.
        room: The room whose closed days count.

    Returns:
        The same weekday of the same week; where the room is closed then, the next open day of that
        week; None where none is left (CLONE3).
    """
    same = day + (starts - old.starts)
    week = week_of(old, day)
    if week is None or room.is_open(same):
        return same
    later = (each for each in week_days(starts, week) if each > same)
    return next((each for each in later if room.is_open(each)), None)


@dataclass(slots=True)
class _Cloning:
    """One cloning under way: what became of each placement."""

    source: Unit
    starts: dt.date
    room: Room
    cards: Collection[str]
    edits: Mapping[str, str]
    words: Mapping[str, LookBack]
    choices: Mapping[int, Choice]
    kept: dict[int, Placement] = field(default_factory=dict)
    """Placements of the new unit by their row in the source."""
    left_out: list[Noted] = field(default_factory=list)
    changed: list[Noted] = field(default_factory=list)
    moved: list[Moved] = field(default_factory=list)

    def take(self, old: Placement) -> None:
        """Decides about one placement of the source."""
        choice = self.choices.get(old.row, AS_PROPOSED)
        word = self.words.get(old.activity or "")
        if choice.take is False:
            self._leave_out(old, Why.CHOICE, "left out here")
            return
        if choice.activity:
            old, word = replace(old, activity=choice.activity, props={}, note=""), None
        if word and word.again is Again.NO and not choice.take:
            self._leave_out(old, Why.LOOK_BACK, word.note)
            return
        new = self._on_chosen_days(old, choice) if choice.days else self._on_new_days(old)
        if new is None:
            self._leave_out(old, Why.CLOSED, "no open day is left in its week")
            return
        new = self._with_rain_swap(new)
        if word and old.activity and word.again is not Again.YES:
            self._note(old.activity, old, Why.LOOK_BACK, word.note)
            new = replace(new, note=join_notes(old.note, word.note)) if choice.note else new
        for activity in filter(None, (new.activity, new.instead)):
            self._name_edits(activity, old)
        self.kept[old.row] = new

    def written(self, text: str, old: Placement) -> str:
        """The text with one placement of the source as it stands in the new unit."""
        new = self.kept.get(old.row)
        if new is None:
            return remove_row(text, "placements", old.row)
        before, after = plain_placement(old), plain_placement(new)
        changes = {
            key: after.get(key) for key in after | before if after.get(key) != before.get(key)
        }
        if not changes:
            return text
        return change_row(text, "placements", old.row, changes, PLACEMENT_FIELDS)

    def new_rows(self) -> dict[int, int]:
        """Row in the new unit by row in the source: less the rows left out above it."""
        gone = [old.row for old in self.source.placements if old.row not in self.kept]
        return {row: row - sum(each < row for each in gone) for row in self.kept}

    def _on_chosen_days(self, old: Placement, choice: Choice) -> Placement | None:
        """The placement on days that a person chose; None where none of them is open."""
        frame = replace(self.source, starts=self.starts)
        if not choice.days & set(open_days(frame, self.room)):
            return None
        names = name_days(choice.days, frame, self.room)
        return replace(old, weeks=names.weeks, days=names.days, on=names.on)

    def _on_new_days(self, old: Placement) -> Placement | None:
        """The placement with its dates in the new calendar; None where none is left (CLONE3)."""
        if not old.days:
            return old
        days = set()
        for day in old.days:
            same = day + (self.starts - self.source.starts)
            new = moved_day(day, self.source, self.starts, self.room)
            if new != same:
                self.moved.append(Moved(old.activity, old.center, same, new, old.row))
            if new is not None:
                days.add(new)
        return replace(old, days=tuple(sorted(days))) if days else None

    def _with_rain_swap(self, placement: Placement) -> Placement:
        """The placement without its rain swap if the look-back says no to that card."""
        word = self.words.get(placement.instead or "")
        if placement.instead is None or word is None or word.again is Again.YES:
            return placement
        self._note(placement.instead, placement, Why.LOOK_BACK, word.note)
        return replace(placement, instead=None) if word.again is Again.NO else placement

    def _name_edits(self, activity: str, old: Placement) -> None:
        if activity not in self.cards:
            self._note(activity, old, Why.REMOVED, "the card was removed; it is kept as missing")
        elif activity in self.edits:
            self._note(activity, old, Why.EDITED, self.edits[activity])

    def _leave_out(self, old: Placement, why: Why, note: str) -> None:
        self.left_out.append(Noted(old.activity or "", old.center, why, note, old.row))

    def _note(self, activity: str, old: Placement, why: Why, note: str) -> None:
        self.changed.append(Noted(activity, old.center, why, note, old.row))


def join_notes(own: str, learned: str) -> str:
    """A placement's own note first, then ``; `` and the look-back's (CLONE6)."""
    return "; ".join(filter(None, (own, learned)))


def _last_words(look_back: Iterable[LookBack]) -> dict[str, LookBack]:
    """The look-back by activity; of two entries the last wins (CLONE5)."""
    return {entry.activity: entry for entry in look_back}


def _json_placement(placement: Placement) -> dict[str, Any]:
    row: dict[str, Any] = plain_placement(placement)
    if "days" in row:
        row["days"] = [day.isoformat() for day in placement.days]
    return row
