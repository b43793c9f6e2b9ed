"""Adults: how many are needed within reach at once, and how many for the children there.

Ratios are guidance of a published table, or the law of one place. The room's own licence decides.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Literal

from library.room.room import Room, rule_age_in_months
from library.room.times import show_day
from library.units.findings import Finding, Level
from library.units.placed import Placed
from library.units.together import adults_for_reach, at_once

USUAL = "cfoc"
"""The table that counts where a room names none (FIND3)."""


@dataclass(frozen=True, slots=True)
class Band:
    """A line of a table, for ages in completed months, both ends included."""

    low: int
    high: int
    per_adult: int | None = None
    group: int | None = None
    most: tuple[int, ...] = ()
    """Most children with one, two, three … adults."""

    def limit(self, adults: int) -> int | None:
        """The most children that these adults may have; None where the table does not say."""
        if self.most:
            return self.most[min(adults, len(self.most)) - 1] if adults else 0
        limits = [self.group, None if self.per_adult is None else self.per_adult * adults]
        return min((limit for limit in limits if limit is not None), default=None)

    def adults_needed(self, children: int) -> int | None:
        """The fewest adults for so many children; None where the group would be too large."""
        for adults in range(children + 1):
            limit = self.limit(adults)
            if limit is None or children <= limit:
                return adults
        return None


@dataclass(frozen=True, slots=True)
class RatioTable:
    """A published table."""

    key: str
    title: str
    source: str
    age: Literal["youngest", "majority"]
    """Whose age decides."""
    bands: tuple[Band, ...]

    def band(self, ages: Iterable[int]) -> Band | None:
        """The line for children of these ages in months; None where the table has none.

        Where most decide and neither half is the larger, the younger half does.
        """
        ordered = sorted(ages)
        if not ordered:
            return None
        age = ordered[0] if self.age == "youngest" else ordered[(len(ordered) - 1) // 2]
        return next((band for band in self.bands if band.low <= age <= band.high), None)


@cache
def ratio_tables() -> Mapping[str, RatioTable]:
    """The published tables that come with the program, by key."""
    import yaml

    file = resources.files("library.safety") / "ratios.yaml"
    rows: list[dict[str, Any]] = yaml.load(file.read_text(encoding="utf-8"), yaml.CSafeLoader)
    return {row["key"]: _read_table(row) for row in rows}


def check_adults(placed: Iterable[Placed], room: Room) -> Iterator[Finding]:
    """One finding for each day and block in which too many placements want an adult within reach.

    One adult floats, so with n adults n − 1 such placements can stand at once; blocks that
    overlap count together where they meet. Circle and outdoors have times of their own
    (FIND2, FIND14).

    Source: CFOC 6.2.4.2, 6.2.4.3 and 5.2.9.7 ask for an adult at water, the sensory table and
    art; that one stays free for the floor is common practice, no source.
    """
    standing = tuple(placed)
    for day in sorted({day for each in standing for day in each.days}):
        for moment in at_once(standing, day):
            if len(moment.placed) > adults_for_reach(room.adults_at(day)):
                yield _too_many(moment.placed, day, moment.block.name, room)


def check_ratio(days: Iterable[dt.date], room: Room) -> Iterator[Finding]:
    """A caution where the room's own table is passed, and one note for stricter tables (FIND3).

    Each open day is looked at: the children attending, their ages by the under-age rule (AGE1),
    and all adults of that day. One finding names the day with most children over, and how many
    days it holds on.

    Source: the tables of ``ratios.yaml``, each with its own.
    """
    open_days = [day for day in days if room.attending(day)]
    own = ratio_tables().get(room.rules, ratio_tables()[USUAL])
    passed = _passed(own, open_days, room)
    if passed:
        yield _ratio(own, passed, room)
    others = {
        table: found
        for table in ratio_tables().values()
        if table is not own and (found := _passed(table, open_days, room))
    }
    if others:
        yield _stricter(others, own)


def _read_table(row: dict[str, Any]) -> RatioTable:
    return RatioTable(
        row["key"],
        row["title"],
        row["source"],
        row["age"],
        tuple(
            Band(
                band["from"],
                band["to"],
                band.get("per_adult"),
                band.get("group"),
                tuple(band.get("most", ())),
            )
            for band in row["bands"]
        ),
    )


def _too_many(there: tuple[Placed, ...], day: dt.date, block: str, room: Room) -> Finding:
    adults = room.adults_at(day)
    names = ", ".join(f"{p.card.title} at {p.center}" for p in there if p.card)
    free = adults_for_reach(adults)
    return Finding(
        level=Level.CAUTION,
        kind="adults",
        text=(
            f"{show_day(day)}, {block}: {len(there)} placements want an adult within reach at "
            f"once ({names}); with {adults} adult{'' if adults == 1 else 's'} in the room "
            f"{free or 'none'} can sit down while one stays free for the floor"
        ),
        why="Water, sensory tables and art are published as play with an adult close by; that one "
        "adult floats is common practice, no source",
        source="CFOC 6.2.4.2, 6.2.4.3, 5.2.9.7; common practice, no source, for the adult who floats",
        fix="move one of them to another day or block, open it while another is closed, or ask for "
        "one more adult",
    )


@dataclass(frozen=True, slots=True)
class _Passed:
    """A day on which a table is passed."""

    day: dt.date
    children: int
    limit: int


def _passed(table: RatioTable, days: Iterable[dt.date], room: Room) -> list[_Passed]:
    """The days on which a table is passed, the one with most children over first."""
    found = []
    for day in days:
        ages = [rule_age_in_months(child.born, day) for child in room.attending(day)]
        band = table.band(ages)
        limit = band.limit(room.adults_at(day)) if band else None
        if limit is not None and len(ages) > limit:
            found.append(_Passed(day, len(ages), limit))
    return sorted(found, key=lambda passed: (passed.limit - passed.children, passed.day))


def _ratio(table: RatioTable, passed: list[_Passed], room: Room) -> Finding:
    worst = passed[0]
    adults = room.adults_at(worst.day)
    more = f", and on {len(passed) - 1} other days" if len(passed) > 1 else ""
    return Finding(
        level=Level.CAUTION,
        kind="ratio",
        text=(
            f"{show_day(worst.day)}: {worst.children} children with {adults} "
            f"adult{'' if adults == 1 else 's'}; {table.title} {_at_most(worst)} for the ages "
            f"there{more}"
        ),
        why=f"The table goes by the age of {_whose(table)}; group size and ratio both count",
        source=table.source,
        fix="ask for one more adult, or split the group; your licence and local rules decide",
    )


def _stricter(others: Mapping[RatioTable, list[_Passed]], own: RatioTable) -> Finding:
    parts = [
        f"{table.title} {_at_most(passed[0])} (there are {passed[0].children} on "
        f"{show_day(passed[0].day)})"
        for table, passed in others.items()
    ]
    return Finding(
        level=Level.NOTE,
        kind="ratio",
        text=f"Other published tables are passed as well: {'; '.join(parts)}",
        why=f"This room goes by {own.title}; where a stricter rule is the law, it decides",
        source="; ".join(table.source for table in others),
        fix="look up which table is the law where the room is",
    )


def _at_most(passed: _Passed) -> str:
    return f"has at most {passed.limit}" if passed.limit else "asks for one more adult"


def _whose(table: RatioTable) -> str:
    return "the youngest child there" if table.age == "youngest" else "most of the children"
