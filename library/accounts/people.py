"""People, what they may do, and how they are called. Pure values."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import Enum

from library.store.problems import Problem

LONGEST_NAME = 60
"""Signs of a name; longer ones break every list they stand in."""


class Role(Enum):
    """What a person may do. Each may do everything that the one before may."""

    READER = "reader"
    CONTRIBUTOR = "contributor"
    LEAD = "lead"

    @property
    def about(self) -> str:
        """What the role may do, in one sentence."""
        return _ABOUT[self]


_ABOUT = {
    Role.READER: "A reader looks at cards, plans and sheets, and changes nothing.",
    Role.CONTRIBUTOR: "A contributor writes cards and plans, and keeps the rooms they work in.",
    Role.LEAD: "A lead does everything, in every room, and decides who may come in.",
}


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody with an account."""

    id: int
    name: str
    """What they sign in with and what others see; unique in any case."""
    role: Role
    rooms: tuple[str, ...] = ()
    """Names of the rooms they work in."""
    ended: bool = False
    """Whether the account is closed; the name stays, so that old entries can be read."""

    @property
    def is_lead(self) -> bool:
        """Whether this person may do everything."""
        return self.role is Role.LEAD and not self.ended

    @property
    def may_write(self) -> bool:
        """Whether this person may write cards and plans."""
        return self.role is not Role.READER and not self.ended


@dataclass(frozen=True, slots=True)
class SignedIn:
    """A browser in which somebody is signed in, or a tablet that shows only the day."""

    id: int
    person: Person | None
    """None for a shared tablet."""
    tablet: str
    """Name of the tablet; empty for a person."""
    rooms: tuple[str, ...]
    """Names of the rooms it may see: the person's, or the one the tablet lies in."""
    since: dt.datetime
    seen: dt.datetime
    """When it last asked for something, to the minute."""


@dataclass(frozen=True, slots=True)
class Invitation:
    """A link or a code that lets somebody in once."""

    id: int
    kind: str
    """``join`` makes an account, ``enter`` opens an existing one, ``tablet`` is a code."""
    name: str
    """For whom it is meant, or the name of the tablet."""
    role: Role
    rooms: tuple[str, ...]
    ends: dt.datetime
    person: int | None = None
    """The account that an ``enter`` link opens."""
    by: str = ""
    """Who made it; empty: it was made in the terminal of the computer itself."""


def name_key(name: str) -> str:
    """What makes two names one: case and blanks do not part them."""
    return " ".join(name.split()).casefold()


def name_problems(name: str) -> list[Problem]:
    """What is wrong with a name to sign in with; empty: nothing."""
    said = " ".join(name.split())
    if not said:
        return [Problem("", 0, "name", "there is no name", "write how the team calls this person")]
    if len(said) > LONGEST_NAME:
        found = f"the name has {len(said)} signs"
        return [Problem("", 0, "name", found, f"use at most {LONGEST_NAME}")]
    if not said.isprintable():
        found = "the name has a sign that cannot be shown"
        return [Problem("", 0, "name", found, "type it again by hand")]
    return []
