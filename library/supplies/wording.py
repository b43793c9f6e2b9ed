"""How a number of supplies came about, in words a teacher can follow on paper."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Sequence

from library.cards.centers import CENTERS
from library.room.room import WEEKDAYS, Room
from library.units.unit import Placement

LONG_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
MOST_DATES = 3
"""Single dates that are named; more are counted."""


def listed(words: Iterable[str]) -> str:
    """``one``, ``one and two``, ``one, two and three``."""
    parts = list(words)
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def counted(number: int, one: str, many: str = "") -> str:
    """``1 child``, ``3 children``."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def date_words(day: dt.date) -> str:
    """``Tue 6 Oct``."""
    return f"{LONG_DAYS[day.weekday()][:3]} {day.day} {_MONTHS[day.month - 1]}"


def dates_words(days: Iterable[dt.date]) -> str:
    """``on Tue 6 Oct and Thu 8 Oct``, or ``on 8 days from Tue 6 Oct`` where there are many."""
    dates = sorted(set(days))
    if len(dates) <= MOST_DATES:
        return f"on {listed(map(date_words, dates))}"
    return f"on {len(dates)} days from {date_words(dates[0])}"


def weekdays_words(numbers: Iterable[int]) -> str:
    """``Tuesdays and Thursdays``, from 0 for Monday."""
    return listed(f"{LONG_DAYS[number]}s" for number in sorted(set(numbers)))


def when_words(placement: Placement) -> str:
    """The days a placement asks for: ``week 1``, ``weeks 1 and 2, on Tuesdays``, ``on Tue 6 Oct``."""
    if placement.days:
        return dates_words(placement.days)
    weeks = sorted(set(placement.weeks))
    shown = listed(map(str, weeks))
    parts = [f"{'week' if len(weeks) == 1 else 'weeks'} {shown}"] if weeks else ["every week"]
    if placement.on:
        parts.append(f"on {weekdays_words(map(WEEKDAYS.index, placement.on))}")
    return ", ".join(parts)


def children_by_day(days: Sequence[dt.date], room: Room) -> tuple[int, str]:
    """How many children usually come, and in words when it is another number.

    Returns:
        The number that comes on most of the days (of two, the larger), and ``6 on Tuesdays`` for
        each other number; empty where it is always the same.
    """
    numbers = {day: len(room.attending(day)) for day in days}
    if not numbers:
        return 0, ""
    tally = Counter(numbers.values())
    usual = max(tally, key=lambda number: (tally[number], number))
    others = sorted((number for number in tally if number != usual), reverse=True)
    return usual, "; ".join(f"{number} {_those(number, numbers)}" for number in others)


def _those(number: int, numbers: dict[dt.date, int]) -> str:
    """On which days a number of children comes: by weekday where all of that weekday agree."""
    days = [day for day, count in numbers.items() if count == number]
    whole = {
        day.weekday()
        for day in days
        if all(count == number for other, count in numbers.items() if _same(day, other))
    }
    single = [day for day in days if day.weekday() not in whole]
    repeated = {n for n in whole if sum(day.weekday() == n for day in numbers) > 1 or not single}
    words = [f"on {weekdays_words(repeated)}"] if repeated else []
    dates = [day for day in days if day.weekday() not in repeated]
    if dates:
        shown = listed(map(date_words, dates))
        words.append(f"on {shown}" if len(dates) <= MOST_DATES else f"on {len(dates)} other days")
    return " and ".join(words)


def _same(day: dt.date, other: dt.date) -> bool:
    return day.weekday() == other.weekday()


def center_words(key: str) -> str:
    """What a center is called in the middle of a sentence: ``dramatic play``."""
    return next((each.title.lower() for each in CENTERS if each.key == key), key.replace("-", " "))


def joined(parts: Iterable[str], between: str = ", ") -> str:
    """What there is of some parts; empty ones are left out."""
    return between.join(part for part in parts if part)
