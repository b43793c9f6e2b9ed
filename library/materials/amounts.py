"""Amounts as people write them: ``1 1/2 cups per setup``, ``½ sheet per child``, ``1 roll in all``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from library.store.problems import Unreadable


class Basis(StrEnum):
    """What an amount is counted by."""

    CHILD = "child"
    PLACE = "place"
    SETUP = "setup"
    ADULT = "adult"
    ALL = "all"


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its measure."""

    number: Fraction
    measure: str
    """The measure as written, singular where it is a counted word; empty for a bare count."""

    def __str__(self) -> str:
        return f"{show_number(self.number)} {self.measure}".strip()


@dataclass(frozen=True, slots=True)
class Amount:
    """A quantity and what it is counted by."""

    quantity: Quantity
    basis: Basis

    def __str__(self) -> str:
        tail = "in all" if self.basis is Basis.ALL else f"per {self.basis.value}"
        return f"{self.quantity} {tail}"


GLYPHS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8"}
_SHOWN = {Fraction(text): glyph for glyph, text in GLYPHS.items()}
WORDS: dict[str, int | Fraction] = {
    "a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6,
    "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12,
    "dozen": 12, "half": Fraction(1, 2),
}  # fmt: skip
_NUMBER = r"\d+\s+\d+/\d+|\d+/\d+|\d+(?:\.\d+)?|\.\d+"
_AMOUNT = re.compile(
    r"^(?P<what>.*?)\s+(?:per\s+(?P<per>child|place|setup|set-up|adult)|(?P<all>in all))$"
)
_QUANTITY = re.compile(rf"^(?P<low>{_NUMBER})(?:\s*[-–]\s*(?P<high>{_NUMBER}))?\s*(?P<measure>.*)$")
_MEASURE = re.compile(r"^[^\W\d_][\w .'-]*$")
EXPECTED_AMOUNT = (
    "an amount such as '1 per place', '500 ml per setup', '½ sheet per child' or '1 roll in all'"
)
EXPECTED_QUANTITY = "a number with a measure, such as '6', '2 kg', '1 1/2 cups' or 'a dozen'"


def parse_amount(text: str) -> Amount:
    """Reads ``QTY [MEASURE] per child|place|setup|adult`` or ``QTY [MEASURE] in all``.

    Raises:
        Unreadable: With the form that is expected.
    """
    match = _AMOUNT.match(" ".join(text.lower().split()))
    if match is None:
        raise Unreadable(text, EXPECTED_AMOUNT)
    try:
        quantity = parse_quantity(match["what"])
    except Unreadable as error:
        raise Unreadable(text, EXPECTED_AMOUNT) from error
    basis = Basis.ALL if match["all"] else Basis(match["per"].replace("-", ""))
    return Amount(quantity, basis)


def parse_quantity(text: str) -> Quantity:
    """Reads a number with a measure: words, fractions and ranges (of which the larger counts).

    Raises:
        Unreadable: With the form that is expected; also for zero, a decimal comma and anything
            that is no measure.
    """
    plain = " ".join(str(text).lower().split())
    for glyph, digits in GLYPHS.items():
        plain = plain.replace(glyph, f" {digits}")
    match = _QUANTITY.match(_digits(plain.strip()))
    if match is None:
        raise Unreadable(text, EXPECTED_QUANTITY)
    number = max(_fraction(match["low"]), _fraction(match["high"] or match["low"]))
    measure = match["measure"].strip()
    if number <= 0 or (measure and not _MEASURE.match(measure)):
        raise Unreadable(text, EXPECTED_QUANTITY)
    return Quantity(number, singular(measure.removeprefix("of ")))


def show_number(number: Fraction) -> str:
    """A number as a person writes it: 1½, ⅔, 2.75, 12."""
    whole, rest = divmod(number, 1)
    if not rest:
        return str(whole)
    if rest in _SHOWN:
        return f"{whole or ''}{_SHOWN[rest]}"
    return f"{float(number):.4g}"


def singular(word: str) -> str:
    """A counted word in the singular: sheets → sheet, pouches → pouch, leaves → leaf."""
    if word in {"oz", "fl oz", "gas", "glass", "lens"} or len(word) < 4:
        return word
    for ending, instead in (
        ("leaves", "leaf"), ("halves", "half"), ("loaves", "loaf"), ("ches", "ch"), ("shes", "sh"),
        ("sses", "ss"), ("xes", "x"), ("ies", "y"), ("ss", "ss"), ("s", ""),
    ):  # fmt: skip
        if word.endswith(ending):
            return word[: -len(ending)] + instead
    return word


def _digits(text: str) -> str:
    """Number words at the front as digits: ``a dozen`` → 12, ``half a`` → 1/2, ``two`` → 2."""
    words = text.split(" ")
    if words[:2] in (["half", "a"], ["half", "an"]):
        return " ".join(["1/2", *words[2:]])
    if len(words) > 1 and words[0] in WORDS and words[1] == "dozen":
        return " ".join([str(WORDS[words[0]] * 12), *words[2:]])
    if words[0] in WORDS:
        return " ".join([str(WORDS[words[0]]), *words[1:]])
    if len(words) > 1 and words[1] == "dozen" and words[0].isdigit():
        return " ".join([str(int(words[0]) * 12), *words[2:]])
    return text


def _fraction(text: str) -> Fraction:
    whole, _, part = text.rpartition(" ")
    try:
        return (Fraction(whole) if whole else Fraction(0)) + Fraction(part)
    except ZeroDivisionError as error:
        raise Unreadable(text, EXPECTED_QUANTITY) from error
