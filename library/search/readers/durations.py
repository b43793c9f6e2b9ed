"""Stretches of clock time: ten minutes, 1½ hours, half an hour, three quarters of an hour."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from library.search.readers.numbers import NUMBERS, Number, read_number
from library.search.readers.phrases import meanings, openings_of, telling
from library.search.readers.text import Text
from library.search.readers.typos import is_slip_for

MINUTES = frozenset("minute minutes min mins mn minits minuites".split())
_HOURS = frozenset("hour hours hr hrs h".split())
_FIXED = meanings({
    30: "half an hour | half hour | half a hour | a half hour | a half an hour",
    15: "a quarter of an hour | quarter of an hour | quarter hour | a quarter hour"
    " | quarter of hour",
    45: "three quarters of an hour | three quarter hour | 3 quarters of an hour"
    " | three quarter of an hour | ¾ of an hour | ¾ hour",
    90: "an hour and a half | hour and a half",
    75: "an hour and a quarter",
    60: "an hour",
    1: "a minute",
    2: "a couple of minutes | a couple minutes | couple of minutes",
    5: "a few minutes | few minutes | a handful of minutes",
})  # fmt: skip
DURATIONS = openings_of(_FIXED, words=NUMBERS)
TELLING_TIME = telling(_FIXED, words=NUMBERS)
"""What a stretch of time may begin with, and words of which one stands in each."""
_WHOLE = frozenset(
    "limit max maximum minimum prep preparation setup time total up upwards work".split()
)
"""Behind "of" after these stands all of a stretch of time, not what a part is taken of."""
_LONGEST_METER = 17
""""10m" is ten minutes; from 18 on it is more likely an age in months."""


class Duration(NamedTuple):
    """A stretch of time in minutes, and the place behind it."""

    minutes: Fraction
    end: int


def read_duration(text: Text, at: int) -> Duration | None:
    """The stretch of time that begins at a place; None where none does."""
    fixed = _FIXED.at(text, at)
    if fixed and not _is_part_of(text, at):
        return Duration(Fraction(fixed[0][0]), fixed[1])
    number = read_number(text, at)
    if number and text.word(number.end) == "ish" and text.joined(number.end):
        number = Number(number.value, number.end + 1)
    if number is None or text.breaks(number.end) or not text.free(number.end):
        return None
    unit = text.word(number.end)
    if text.joined(at) and text.word(at - 1) in {"y", "yr"}:
        return None
    if is_minutes(unit):
        return Duration(number.value, number.end + 1)
    if unit == "m" and text.joined(number.end) and number.value <= _LONGEST_METER:
        return Duration(number.value, number.end + 1)
    if unit in _HOURS:
        return _and_minutes(text, Duration(number.value * 60, number.end + 1))
    return None


def _is_part_of(text: Text, at: int) -> bool:
    """Whether a part of the stretch is named before it in a word that nobody knows: "a qrtr of an hour"."""
    return text.word(at - 1) == "of" and text.word(at - 2) not in _WHOLE


def is_minutes(word: str) -> bool:
    """Whether a word behind a number means minutes, one slip of typing allowed."""
    return word in MINUTES or is_slip_for(word, "minutes") or is_slip_for(word, "minute")


def _and_minutes(text: Text, hours: Duration) -> Duration:
    at = hours.end + 1 if text.word(hours.end) == "and" else hours.end
    number = None if text.breaks(at) else read_number(text, at)
    if number and (is_minutes(text.word(number.end)) or text.word(number.end) == "m"):
        return Duration(hours.minutes + number.value, number.end + 1)
    if number and text.word(at - 1) == "h" and text.joined(at):
        return Duration(hours.minutes + number.value, number.end)
    return hours
