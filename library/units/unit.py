"""A unit: the plan of a theme, with placements of activities at centers on certain days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from enum import StrEnum

from library.room.room import Weekday
from library.store.errors import WrongUse
from library.store.paths import ID
from library.store.problems import Problem


class Again(StrEnum):
    """What a look-back says of an activity."""

    YES = "yes"
    CHANGE = "change"
    NO = "no"


@dataclass(frozen=True, slots=True)
class Placement:
    """An activity at a center on certain days of a unit, or a center that stays as it is."""

    center: str
    activity: str | None = None
    """Id of the card; None only where ``standing``."""
    weeks: tuple[int, ...] = ()
    """Weeks counted from 1; with neither weeks nor days: every week (CAL4)."""
    days: tuple[dt.date, ...] = ()
    on: tuple[Weekday, ...] = ()
    """Only these weekdays; empty: all."""
    standing: bool = False
    add: str = ""
    """What is added to a standing center."""
    props: Mapping[str, str] = field(default_factory=dict)
    note: str = ""
    when: tuple[str, ...] = ()
    """Names of the day's blocks; empty: all that suit."""
    instead: str | None = None
    """Id of the card for a rainy day."""
    row: int = field(default=-1, compare=False)
    """Place in the file's list of placements, from 0; -1 where it stands in no file yet."""

    @property
    def key(self) -> tuple[object, ...]:
        """All that it says, to tell by whether another one says the same."""
        values = (getattr(self, each.name) for each in fields(self))
        return tuple(tuple(v.items()) if isinstance(v, Mapping) else v for v in values)


@dataclass(frozen=True, slots=True)
class LookBack:
    """What was learned about an activity in a unit."""

    activity: str
    again: Again
    took: int | None = None
    """Minutes of prep it really took."""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Unit:
    """``themes/<theme>/<name>.md``."""

    theme: str
    """Id of the theme's folder."""
    name: str
    """Stem of the file."""
    title: str
    starts: dt.date
    """A Monday."""
    weeks: int
    placements: tuple[Placement, ...] = ()
    cloned_from: str | None = None
    """``theme/unit`` it was made from."""
    look_back: tuple[LookBack, ...] = ()
    body: str = ""
    problems: tuple[Problem, ...] = ()
    """What is wrong with the file; the rest still counts."""

    @property
    def id(self) -> str:
        """``theme/unit``."""
        return f"{self.theme}/{self.name}"

    @property
    def file(self) -> str:
        """Path within the library folder."""
        return f"themes/{self.theme}/{self.name}.md"


MAX_NAME = 200
"""Letters of a folder's or file's name that every disk takes, with room for an ending."""


def split_unit_id(text: str) -> tuple[str, str]:
    """Theme and name of ``theme/unit``; the path of the unit's file is understood as well.

    Raises:
        WrongUse: If it is no such name.
    """
    plain = text.strip().replace("\\", "/").removeprefix("./").removeprefix("themes/")
    parts = plain.removesuffix(".md").split("/")
    named = len(parts) == 2 and all(ID.match(p) and len(p) <= MAX_NAME for p in parts)
    if not named or parts[1] == "theme":
        raise WrongUse(
            f"unit: found '{text[:80]}'; expected THEME/UNIT in a-z, 0-9 and hyphens, "
            "such as leaves-and-wind/2026-fall"
        )
    return parts[0], parts[1]
