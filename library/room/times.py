"""Dates, clock times and weekdays as people write them; plain local ones without zones (CAL6)."""

from __future__ import annotations

import datetime as dt
import re

from library.room.room import WEEKDAYS, Weekday
from library.store.fields import Fields
from library.store.problems import Unreadable

FIRST_YEAR, LAST_YEAR = 1970, 2199
"""Dates outside these years are slips of the pen; inside them no arithmetic here can overflow."""

_DATE = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_MONTH = re.compile(r"(\d{4})-(\d{1,2})")
_TIME = re.compile(r"(\d{1,2})[:.](\d{2})(?::00)?")
_DAY_NAMES = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def read_date(text: str) -> dt.date:
    """Reads ``2026-10-05``.

    Raises:
        Unreadable: Where it is no date, or outside the years 1970 to 2199.
    """
    match = _DATE.fullmatch(text.strip())
    if match is None or not text.isascii():
        raise Unreadable(text, "a date such as 2026-10-05")
    try:
        day = dt.date(int(match[1]), int(match[2]), int(match[3]))
    except ValueError as error:
        raise Unreadable(text, "a day that the calendar has, such as 2026-10-05") from error
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise Unreadable(text, f"a date from {FIRST_YEAR} to {LAST_YEAR}")
    return day


def read_month(text: str) -> tuple[int, int]:
    """Reads a year with a month, ``2024-03``. A day is refused: nobody needs to keep it.

    Raises:
        Unreadable: Where it is no month.
    """
    match = _MONTH.fullmatch(text.strip())
    if match is None or not text.isascii():
        fix = "leave the day out" if _DATE.fullmatch(text.strip()) else ""
        raise Unreadable(text, "a year and a month such as 2024-03", fix)
    year, month = int(match[1]), int(match[2])
    if not FIRST_YEAR <= year <= LAST_YEAR or not 1 <= month <= 12:
        raise Unreadable(text, "a year and a month such as 2024-03")
    return year, month


def read_time(text: str) -> dt.time:
    """Reads ``08:30``; bare digits are the minutes since midnight that YAML makes of 13:00 (CMD9).

    YAML makes no number below 60 of a time, so a bare 8 stays a question.

    Raises:
        Unreadable: Where it is no time of day.
    """
    plain = text.strip()
    match = _TIME.fullmatch(plain)
    hours, minutes = -1, 0
    if plain.isascii() and match:
        hours, minutes = int(match[1]), int(match[2])
    elif plain.isascii() and plain.isdigit() and len(plain) < 5 and int(plain) >= 60:
        hours, minutes = divmod(int(plain), 60)
    if not 0 <= hours <= 23 or minutes > 59:
        raise Unreadable(text, "a time such as 08:30 or 13:00")
    return dt.time(hours, minutes)


def read_weekday(text: str) -> Weekday:
    """Reads ``mon`` or ``Monday``.

    Raises:
        Unreadable: For any other word.
    """
    plain = text.strip().casefold().rstrip(".")
    for short, long in zip(WEEKDAYS, _DAY_NAMES, strict=True):
        if len(plain) >= 3 and long.startswith(plain):
            return short
    raise Unreadable(text, "a weekday: mon, tue, wed, thu, fri, sat or sun")


def read_weekdays(fields: Fields, key: str) -> tuple[Weekday, ...]:
    """The weekdays that a key names, once each, from Monday on."""
    named = set(fields.read_each(key, read_weekday))
    return tuple(day for day in WEEKDAYS if day in named)


def day_name(day: dt.date) -> str:
    """``Monday``."""
    return _DAY_NAMES[day.weekday()].capitalize()


def show_day(day: dt.date) -> str:
    """``Monday 2026-10-05``: the weekday with the date in digits, the same in every place."""
    return f"{day_name(day)} {day.isoformat()}"
