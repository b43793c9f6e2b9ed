"""The small values a card is made of. Each reads its own text and says what it expected."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from library.materials.amounts import Amount, parse_amount
from library.store.problems import Unreadable


class Adult(StrEnum):
    """How close an adult stays."""

    WITHIN_REACH = "within reach"
    WITHIN_SIGHT = "within sight"


class Place(StrEnum):
    """Where an activity is set up."""

    INDOORS = "indoors"
    OUTDOORS = "outdoors"
    EITHER = "either"


class Season(StrEnum):
    """The seasons, by their North American names."""

    SPRING = "spring"
    SUMMER = "summer"
    FALL = "fall"
    WINTER = "winter"


class Status(StrEnum):
    """Whether a second pair of eyes has seen a card."""

    DRAFT = "draft"
    READY = "ready"


class When(StrEnum):
    """When a step is done."""

    AHEAD = "ahead"
    MORNING = "morning"
    DAILY = "daily"


class Refresh(StrEnum):
    """How often a material is put out anew."""

    ONCE = "once"
    EACH_DAY = "each day"
    EACH_WEEK = "each week"


@dataclass(frozen=True, slots=True)
class AgeRange:
    """Ages in completed months, both ends included."""

    low: int
    high: int | None
    """None: no upper end."""

    def holds(self, months: int) -> bool:
        """Whether an age lies in the range."""
        return self.low <= months and (self.high is None or months <= self.high)

    def __str__(self) -> str:
        return f"{self.low}+" if self.high is None else f"{self.low}-{self.high}"

    def in_words(self) -> str:
        """``24 to 48 months``, ``30 months and up``."""
        if self.high is None:
            return f"{self.low} months and up"
        return f"{self.low} to {self.high} months"


@dataclass(frozen=True, slots=True)
class Group:
    """How many children at once."""

    low: int
    high: int

    def __str__(self) -> str:
        return str(self.high) if self.low == self.high else f"{self.low}-{self.high}"


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of clock time, in minutes; nights and weekends count (PREP2)."""

    minutes: int

    def __str__(self) -> str:
        for unit, size in (("w", 10_080), ("d", 1_440), ("h", 60)):
            if self.minutes and self.minutes % size == 0:
                return f"{self.minutes // size} {unit}"
        return f"{self.minutes} min"

    def in_words(self) -> str:
        """``12 hours``, ``2 days``."""
        number, unit = str(self).split()
        word = {"w": "week", "d": "day", "h": "hour", "min": "minute"}[unit]
        return f"{number} {word}{'' if number == '1' else 's'}"


@dataclass(frozen=True, slots=True)
class MaterialLine:
    """One line of a card's materials."""

    item: str
    """Any name of a material, or ``{{prop}}``."""
    amount: str
    """As written; may hold ``{{prop}}``, which is dressed before it is counted (SUP27)."""
    refresh: Refresh = Refresh.ONCE

    def counted(self) -> Amount:
        """The amount, read.

        Raises:
            Unreadable: Where the text is no amount (or still holds a prop).
        """
        return _amount(self.amount)


@dataclass(frozen=True, slots=True)
class Step:
    """A piece of an adult's hands-on work."""

    do: str
    minutes: int
    on: When = When.AHEAD
    away: bool = False
    """Cannot be done in the room."""


@dataclass(frozen=True, slots=True)
class Translation:
    """Title and summary in a second language."""

    title: str = ""
    summary: str = ""
    read_by: str = ""
    """The speaker who has read it; empty: a draft translation."""


_amount = lru_cache(maxsize=4096)(parse_amount)

_AGE = r"(?:(\d+)\s*y(?:ears?|rs?)?)?\s*(?:(\d+)\s*m(?:onths?|os?)?)?"
_AGE_END = re.compile(rf"^{_AGE}$")
_SPAN = re.compile(r"^(\d+(?:\.\d+)?)\s*(min|minutes?|m|h|hrs?|hours?|d|days?|w|wks?|weeks?)$")
_SPAN_MINUTES = {"m": 1, "h": 60, "d": 1_440, "w": 10_080}


def read_ages(text: str) -> AgeRange:
    """Reads ``24-48``, ``2y-4y``, ``2y6m-4y``, ``30m+`` (AGE4).

    Raises:
        Unreadable: With the form that is expected.
    """
    plain = text.strip().lower().replace("–", "-").replace(" to ", "-")
    expected = "months such as '24-48', '2y-4y', '2y6m-4y' or '30m+'"
    low_text, dash, high_text = plain.partition("-")
    if plain.endswith("+"):
        low = _months(plain[:-1])
        if low is None:
            raise Unreadable(text, expected)
        return AgeRange(low, None)
    low, high = _months(low_text), _months(high_text)
    if not dash or low is None or high is None:
        raise Unreadable(text, expected)
    if low > high or high > 216:
        raise Unreadable(text, f"{expected}, the younger age first")
    return AgeRange(low, high)


def _months(text: str) -> int | None:
    text = text.strip()
    if text.isascii() and text.isdigit():
        return int(text) if len(text) < 5 else None
    match = _AGE_END.match(text)
    if not text or match is None or not (match[1] or match[2]):
        return None
    return int(match[1] or 0) * 12 + int(match[2] or 0)


def read_minutes(text: str) -> int:
    """Reads whole minutes from 0 to 480.

    Raises:
        Unreadable: With the form that is expected.
    """
    plain = text.strip().lower().removesuffix("minutes").removesuffix("min").strip()
    if not (plain.isascii() and plain.isdigit()) or len(plain) > 4 or int(plain) > 480:
        raise Unreadable(text, "whole minutes from 0 to 480, such as 20")
    return int(plain)


def read_span(text: str) -> Span:
    """Reads ``30 min``, ``12 h``, ``2 d``, ``1 w`` or ``overnight`` (PREP20).

    Raises:
        Unreadable: With the form that is expected.
    """
    plain = text.strip().lower()
    if plain == "overnight":
        return Span(12 * 60)
    match = _SPAN.match(plain)
    if match is None:
        raise Unreadable(text, "a span such as '30 min', '12 h', '2 d', '1 w' or 'overnight'")
    return Span(round(float(match[1]) * _SPAN_MINUTES[match[2][0]]))


def read_group(text: str) -> Group:
    """Reads ``4`` or ``1-4``.

    Raises:
        Unreadable: With the form that is expected.
    """
    ends = re.fullmatch(r"\s*(\d{1,2})\s*(?:[-–]\s*(\d{1,2}))?\s*", text)
    if ends is None or int(ends[1]) < 1 or int(ends[2] or ends[1]) < int(ends[1]):
        raise Unreadable(text, "children at once, such as '4' or '1-4'")
    return Group(int(ends[1]), int(ends[2] or ends[1]))


def read_mess(text: str) -> int:
    """Reads 0 (none) to 3 (change of clothes).

    Raises:
        Unreadable: With the form that is expected.
    """
    if text.strip() not in {"0", "1", "2", "3"}:
        raise Unreadable(text, "a number from 0 (none) to 3 (change of clothes)")
    return int(text)


def read_season(text: str) -> Season:
    """Reads a season by its North American name; autumn is fall.

    Raises:
        Unreadable: For any other word.
    """
    plain = text.strip().lower()
    try:
        return Season("fall" if plain == "autumn" else plain)
    except ValueError:
        raise Unreadable(text, "one of " + ", ".join(Season)) from None
