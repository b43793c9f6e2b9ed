"""Numbers as people write them: 10, ten, twenty-five, half, 2½, 1 1/2, two and a half."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from library.search.readers.text import DIGITS, Text

_ONES = {
    word: number
    for number, word in enumerate(
        "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
        "fifteen sixteen seventeen eighteen nineteen".split()
    )
}
_TENS = {
    word: 10 * number
    for number, word in enumerate(
        "twenty thirty forty fifty sixty seventy eighty ninety".split(), 2
    )
} | {"fourty": 40}
_SIGNS = {
    "½": Fraction(1, 2),
    "¼": Fraction(1, 4),
    "¾": Fraction(3, 4),
    "⅓": Fraction(1, 3),
    "⅔": Fraction(2, 3),
    "⅛": Fraction(1, 8),
}
_PARTS = {"half": Fraction(1, 2), "quarter": Fraction(1, 4), "quarters": Fraction(3, 4)}
NUMBERS = frozenset((*_ONES, *_TENS, *_SIGNS, "dozen", DIGITS))
"""What a number may begin with."""
_LONGEST_DIGITS = 6
"""Longer runs of digits are no number that a question is about."""


class Number(NamedTuple):
    """A number that was read, and the place behind it."""

    value: Fraction
    end: int

    @property
    def whole(self) -> bool:
        """Whether it is a whole number."""
        return self.value.denominator == 1


def read_number(text: Text, at: int) -> Number | None:
    """The number that begins at a place, with its fraction; None where none does.

    "A", "an" and "half" alone are no numbers; durations know them.
    """
    known = text.read_already
    if at not in known:
        known[at] = _read(text, at)
    number: Number | None = known[at]
    return number


def _read(text: Text, at: int) -> Number | None:
    if not text.free(at):
        return None
    word = text.word(at)
    if word in _SIGNS:
        return Number(_SIGNS[word], at + 1)
    if word[0].isdecimal():
        return _from_digits(text, at)
    if word == "dozen":
        return Number(Fraction(12), at + 1)
    if word in _TENS:
        one = _ONES.get(text.word(at + 1), 0) if not text.breaks(at + 1) else 0
        if 0 < one < 10 and text.free(at + 1):
            return _with_fraction(text, Number(Fraction(_TENS[word] + one), at + 2))
        return _with_fraction(text, Number(Fraction(_TENS[word]), at + 1))
    if word in _ONES:
        return _with_fraction(text, Number(Fraction(_ONES[word]), at + 1))
    return None


def _from_digits(text: Text, at: int) -> Number | None:
    value = _digits(text, at)
    if value is None:
        return None
    below = _digits(text, at + 2) if text.word(at + 1) == "/" else None
    if below:
        return Number(value / below, at + 3)
    return _with_fraction(text, Number(value, at + 1))


def _digits(text: Text, at: int) -> Fraction | None:
    word = text.word(at)
    if not word[:1].isdecimal() or len(word) > _LONGEST_DIGITS or not text.free(at):
        return None
    return _value(word)


@lru_cache(maxsize=1_024)
def _value(digits: str) -> Fraction:
    return Fraction(digits)


def _with_fraction(text: Text, number: Number) -> Number:
    """Adds what follows a whole number: ½, 1/2, "and a half", "and three quarters"."""
    at = number.end
    if text.breaks(at) or not number.whole:
        return number
    if text.word(at) in _SIGNS and text.free(at):
        return Number(number.value + _SIGNS[text.word(at)], at + 1)
    over, under = _digits(text, at), _digits(text, at + 2)
    if text.word(at + 1) == "/" and over and under and over < under and text.tokens[at].gap == "":
        return Number(number.value + over / under, at + 3)
    if text.word(at) == "and" and text.free(at):
        return _with_words(text, number)
    return number


def _with_words(text: Text, number: Number) -> Number:
    at = number.end + 1
    if text.word(at) in {"a", "one", "three"} and text.free(at + 1):
        part = _PARTS.get(text.word(at + 1))
        if part is not None and (text.word(at) == "three") == (part == Fraction(3, 4)):
            return Number(number.value + part, at + 2)
    return number
