"""Amounts as people write them: ``1 1/2 cups per setup``, ``½ sheet per child``, ``1 roll in all``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from library.materials.words import STANDARD, plural, singular
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
    """The measure as written, in the singular; empty for a bare count."""

    def __str__(self) -> str:
        measure = self.measure if 0 < self.number <= 1 else plural(self.measure)
        return f"{show_number(self.number)} {measure}".strip()


@dataclass(frozen=True, slots=True)
class Amount:
    """A quantity and what it is counted by."""

    quantity: Quantity
    basis: Basis

    def __str__(self) -> str:
        tail = "in all" if self.basis is Basis.ALL else f"per {self.basis.value}"
        return f"{self.quantity} {tail}"


GLYPHS = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3",
    "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_SHOWN = {Fraction(text): glyph for glyph, text in GLYPHS.items()}
WORDS: dict[str, str] = {
    "a": "1", "an": "1", "one": "1", "two": "2", "three": "3", "four": "4", "five": "5",
    "six": "6", "seven": "7", "eight": "8", "nine": "9", "ten": "10", "eleven": "11",
    "twelve": "12", "dozen": "12", "half": "1/2", "third": "1/3", "quarter": "1/4",
}  # fmt: skip
PARTS = {"half": 2, "halves": 2, "third": 3, "thirds": 3, "quarter": 4, "quarters": 4}
VAGUE = frozenset(("few", "some", "several", "many", "little", "lot", "lots", "bit", "enough"))
"""Words for no number in particular; an amount that holds one cannot be counted."""
BASIS_WORDS = frozenset(("per", "all", "each", "every"))
"""Words that belong to what an amount is counted by; a second one is a slip."""
MOST_CHARACTERS = 100
MOST_DIGITS = 9
"""Of a whole number; a longer one is a slip of the key."""
_WHOLE = rf"\d{{1,{MOST_DIGITS}}}"
_DECIMALS = r"\.\d{1,18}"
_NUMBER = rf"{_WHOLE}[ -]{_WHOLE}/{_WHOLE}|{_WHOLE}/{_WHOLE}|{_WHOLE}(?:{_DECIMALS})?|{_DECIMALS}"
_AMOUNT = re.compile(
    r"^(?P<what>.*?) (?:per (?P<per>child|place|setup|set-up|set up|adult)|(?P<all>in all))$"
)
_QUANTITY = re.compile(
    rf"^(?P<low>{_NUMBER})(?:(?: ?- ?| to | or )(?P<high>{_NUMBER}))? ?(?P<measure>.*)$",
    re.ASCII,
)
_MEASURE = re.compile(r"^[^\W\d_][\w '-]*$")
_EXPONENT = re.compile(r"^e[+-]?\d+\b")
EXPECTED_AMOUNT = (
    "an amount such as '1 per place', '500 ml per setup', '½ sheet per child' or '1 roll in all'"
)
EXPECTED_QUANTITY = "a number with a measure, such as '6', '2 kg', '1 1/2 cups' or 'a dozen'"


def parse_amount(text: str) -> Amount:
    """Reads ``QTY [MEASURE] per child|place|setup|adult`` or ``QTY [MEASURE] in all``.

    Raises:
        Unreadable: With the form that is expected.
    """
    match = _AMOUNT.match(_plain(text, EXPECTED_AMOUNT))
    if match is None:
        raise Unreadable(text, EXPECTED_AMOUNT)
    try:
        quantity = parse_quantity(match["what"])
    except Unreadable as error:
        raise Unreadable(text, EXPECTED_AMOUNT, error.fix) from error
    basis = Basis.ALL if match["all"] else Basis(re.sub("[ -]", "", match["per"]))
    return Amount(quantity, basis)


def parse_quantity(text: object, *, zero: bool = False) -> Quantity:
    """Reads a number with a measure: words, fractions and ranges, of which the larger counts (SUP19).

    Args:
        text: As written, or a number as YAML gives it.
        zero: Whether "0" may stand, as it does for what has run out.

    Raises:
        Unreadable: With the form that is expected; also for zero, a negative number, a decimal
            comma, a number of more than nine digits and anything that is no measure.
    """
    match = _QUANTITY.match(_figures(_plain(text, EXPECTED_QUANTITY)))
    if match is None:
        raise Unreadable(text, EXPECTED_QUANTITY, _advice(str(text)))
    number = max(_fraction(match["low"], text), _fraction(match["high"] or match["low"], text))
    measure = match["measure"].replace(".", "").strip().removeprefix("of ")
    if re.match(r"dozens?\b", measure):
        number, measure = number * 12, measure.removeprefix("dozen").removeprefix("s").strip()
    measure = measure.removeprefix("of ").removeprefix("a ")
    if number < 0 or (number == 0 and not zero) or not _is_measure(measure):
        raise Unreadable(text, EXPECTED_QUANTITY, _advice(str(text)))
    return Quantity(number, singular(measure))


def show_number(number: Fraction) -> str:
    """A number as a person writes it: 1½, ⅔, 2.75, 12; at most two decimals, three below one."""
    whole, rest = divmod(number, 1)
    if not rest:
        return str(whole)
    if rest in _SHOWN:
        return f"{whole or ''}{_SHOWN[rest]}"
    return f"{float(number):.{2 if whole else 3}f}".rstrip("0").rstrip(".")


def _plain(text: object, expected: str) -> str:
    """Lower case, single blanks, one kind of hyphen and of fraction; refuses what is no short text."""
    plain = " ".join(str(text).lower().split())
    if isinstance(text, bool) or len(plain) > MOST_CHARACTERS:
        raise Unreadable(text, expected)
    for glyph, digits in GLYPHS.items():
        plain = plain.replace(glyph, f" {digits}")
    return " ".join(plain.replace("⁄", "/").replace("–", "-").replace("’", "'").split())


def _figures(text: str) -> str:
    """Number words at the front as figures: ``half a`` → 1/2, ``two and a half`` → 2 1/2."""
    words = text.split(" ")
    if words[:2] == ["a", "couple"]:
        words = ["2", *words[2:]]
    words = _figure(words)
    if words[1:2] == ["and"]:
        rest = words[3:] if words[2:3] == ["a"] else words[2:]
        words = [words[0], *_figure(rest)]
    return " ".join(words)


def _figure(words: list[str]) -> list[str]:
    """The first one or two words as one figure: ``two thirds`` → 2/3, ``half a`` → 1/2."""
    if not words:
        return words
    first, rest = WORDS.get(words[0], words[0]), words[1:]
    if rest and first.isdigit() and rest[0] in PARTS:
        return [f"{first}/{PARTS[rest[0]]}", *rest[1:]]
    if "/" in first and rest[:1] in (["a"], ["an"]):
        return [first, *rest[1:]]
    return [first, *rest]


def _fraction(number: str, text: object) -> Fraction:
    """A whole, broken, mixed or decimal number; "1-1/2" is one and a half, as many write it."""
    whole, _, part = number.replace("-", " ").rpartition(" ")
    try:
        return (Fraction(whole) if whole else Fraction(0)) + Fraction(part)
    except ZeroDivisionError as error:
        raise Unreadable(text, EXPECTED_QUANTITY) from error


def _is_measure(measure: str) -> bool:
    """Whether this can be a measure: letters first, no lone letter but g, l and m, nothing vague."""
    if not measure:
        return True
    if len(measure) == 1 and measure not in STANDARD:
        return False
    words = set(measure.split(" "))
    if VAGUE & words or BASIS_WORDS & words or _EXPONENT.match(measure):
        return False
    return bool(_MEASURE.match(measure))


def _advice(text: str) -> str:
    """What to do, where a usual slip is recognised; empty otherwise."""
    if re.search(r"\d,\d", text):
        return "write a decimal point and no comma, such as '1.5 kg' or '1000 g'"
    if re.search(r"\d\s*[tc]\b", text, re.IGNORECASE):
        return "write 'tsp', 'tbsp' or 'cup' in full, since one letter can mean two things"
    if VAGUE & set(text.lower().split()):
        return "write how many, such as '6' or 'a dozen'"
    return ""
