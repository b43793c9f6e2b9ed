"""Sizes as people write them: ``ball 66 mm``, ``cylinder 1/2" x 2 in``, ``about 4 x 3 x 2 cm``.

What a shape means for a child who mouths things is ``library.safety``.
"""

from __future__ import annotations

import re
from dataclasses import astuple, dataclass
from fractions import Fraction
from functools import lru_cache
from typing import TypeAlias

from library.materials.amounts import GLYPHS
from library.store.problems import Unreadable


@dataclass(frozen=True, slots=True)
class Sphere:
    """Something round that is not meant to be thrown or rolled, in mm."""

    diameter: float


@dataclass(frozen=True, slots=True)
class Ball:
    """Something round to throw, hit, kick, roll, drop or bounce, in mm."""

    diameter: float


@dataclass(frozen=True, slots=True)
class Cylinder:
    """A rod, dowel, tube or drum, in mm."""

    diameter: float
    length: float


@dataclass(frozen=True, slots=True)
class Disc:
    """A lid, ring or coin: a cylinder that is thought of as flat, in mm."""

    diameter: float
    thickness: float


@dataclass(frozen=True, slots=True)
class Box:
    """Something with square corners, in mm."""

    a: float
    b: float
    c: float


@dataclass(frozen=True, slots=True)
class Ellipsoid:
    """Something egg-shaped, by its three widths, in mm."""

    a: float
    b: float
    c: float


@dataclass(frozen=True, slots=True)
class About:
    """Something of no plain form, by its three widths, in mm."""

    a: float
    b: float
    c: float


Shape: TypeAlias = Sphere | Ball | Cylinder | Disc | Box | Ellipsoid | About

FORMS: dict[str, tuple[type[Shape], int]] = {
    "sphere": (Sphere, 1),
    "ball": (Ball, 1),
    "cylinder": (Cylinder, 2),
    "disc": (Disc, 2),
    "disk": (Disc, 2),
    "box": (Box, 3),
    "ellipsoid": (Ellipsoid, 3),
    "about": (About, 3),
}
"""Word at the front → the value and how many sizes it takes."""

MM_PER_INCH = Fraction(254, 10)
"""NIST Handbook 44, appendix C: 1 inch is exactly 2.54 cm."""

LONGEST_MM = 10_000
"""Anything longer is a slip of the pen: nothing of 10 m stands on a shelf."""

EXPECTED = (
    "a shape such as 'ball 66 mm', 'sphere 2 in', 'cylinder 30 x 80 mm', 'disc 86 x 15 mm', "
    "'box 110 x 70 x 45 mm', 'ellipsoid 60 x 50 x 50 mm' or 'about 4 x 3 x 2 in'"
)
EXPECTED_LENGTH = "a length in mm, cm or in, such as '290 mm', '3/4 in' or '1 1/2\"'"

_MEASURES = {
    "mm": Fraction(1), "millimeter": Fraction(1), "millimetre": Fraction(1),
    "cm": Fraction(10), "centimeter": Fraction(10), "centimetre": Fraction(10),
    "in": MM_PER_INCH, "inch": MM_PER_INCH, '"': MM_PER_INCH,
}  # fmt: skip
_LENGTH = re.compile(
    r"(?:(?P<whole>[0-9]+)(?:\s+|\s?-\s?))?(?P<top>[0-9]+)\s?/\s?(?P<bottom>[0-9]+)\s*(?P<one>.*)"
    r"|(?P<decimal>[0-9]+(?:\.[0-9]+)?|\.[0-9]+)\s*(?P<two>.*)"
)
_BETWEEN = re.compile(r"\s*×\s*|(?<=[0-9\"])\s*x\s*|(?<=[a-z.])\s+x\s*|\s+by\s+")
_DECIMAL_COMMA = re.compile(r"[0-9],[0-9]")


@lru_cache(maxsize=4096)
def parse_shape(text: str) -> Shape:
    """Reads a shape with its sizes in mm, cm or inches.

    A measure stands for every size before it that has none of its own; sizes without any are mm
    (PART7). Metres and feet are not read: an ``m`` for ``mm`` would pass a bead for a boulder.

    Raises:
        Unreadable: With the form that is expected, also for zero, a decimal comma, a size over
            10 m, or a measure that stands in the middle only.
    """
    plain = _plain(text)
    word, _, rest = plain.partition(" ")
    if word not in FORMS:
        raise Unreadable(text, EXPECTED, _fix_for_form(plain))
    form, count = FORMS[word]
    sizes = [_split_length(part, text) for part in _BETWEEN.split(rest.strip())]
    if len(sizes) != count:
        raise Unreadable(text, f"{count} size{'s' if count > 1 else ''} after '{word}'")
    return form(*(float(size) for size in _in_mm(sizes, text)))


@lru_cache(maxsize=4096)
def parse_length(text: str) -> float:
    """Reads one length, such as a cord's, in mm.

    Raises:
        Unreadable: As :func:`parse_shape` does.
    """
    return float(_in_mm([_split_length(_plain(text), text)], text)[0])


def sizes(shape: Shape) -> tuple[float, ...]:
    """The sizes of a shape in mm, in the order in which they are written."""
    return tuple(astuple(shape))


def describe(shape: Shape) -> str:
    """A shape in words, in mm: ``a cylinder 12 mm across and 290 mm long``."""
    numbers = [show_mm(size) for size in sizes(shape)]
    widths = " × ".join(numbers)
    match shape:
        case Sphere():
            return f"a round piece {numbers[0]} mm across"
        case Ball():
            return f"a ball {numbers[0]} mm across"
        case Cylinder():
            return f"a cylinder {numbers[0]} mm across and {numbers[1]} mm long"
        case Disc():
            return f"a disc {numbers[0]} mm across and {numbers[1]} mm thick"
        case Box():
            return f"a box of {widths} mm"
        case Ellipsoid():
            return f"an oval of {widths} mm"
        case About():
            return f"a piece of about {widths} mm"


def show_mm(size: float) -> str:
    """A length in mm with at most two decimals and no trailing zeros."""
    return f"{size:.2f}".rstrip("0").rstrip(".")


def _plain(text: str) -> str:
    """Lower case, single blanks, one sign for inches and for times, fractions in digits."""
    plain = " ".join(str(text).casefold().split())
    for sign in ("''", "”", "“", "″"):
        plain = plain.replace(sign, '"')
    for sign in ("✕", "✖", "*"):
        plain = plain.replace(sign, "×")
    for glyph, digits in GLYPHS.items():
        plain = plain.replace(glyph, f" {digits}")
    return " ".join(plain.split())


def _fix_for_form(plain: str) -> str:
    if plain[:1].isdigit():
        return f"say its form first, such as 'about {plain}'"
    return f"begin with one of {', '.join(FORMS)} and give sizes in mm, cm or in"


def _split_length(part: str, text: str) -> tuple[Fraction, str]:
    """A number and the measure behind it as written, empty if there is none."""
    if _DECIMAL_COMMA.search(part):
        raise Unreadable(
            text, "a decimal point, as in 31.5", "write the size with a point, not a comma"
        )
    match = _LENGTH.fullmatch(part)
    if match is None:
        raise Unreadable(text, EXPECTED_LENGTH)
    measure = (match["one"] or match["two"] or "").strip().removesuffix(".")
    measure = {"inches": "inch"}.get(measure, measure)
    measure = measure if measure in _MEASURES else measure.removesuffix("s")
    if measure and measure not in _MEASURES:
        raise Unreadable(text, EXPECTED_LENGTH, "give the size in mm, cm or in")
    if match["decimal"]:
        return Fraction(match["decimal"]), measure
    if int(match["bottom"]) == 0:
        raise Unreadable(text, EXPECTED_LENGTH)
    return Fraction(match["whole"] or 0) + Fraction(
        int(match["top"]), int(match["bottom"])
    ), measure


def _in_mm(lengths: list[tuple[Fraction, str]], text: str) -> list[Fraction]:
    """All sizes in mm, each by the next measure at or behind it."""
    measure = lengths[-1][1]
    if not measure and any(own for _, own in lengths):
        raise Unreadable(
            text, "one measure behind the last size, or one behind each", "write it there"
        )
    found: list[Fraction] = []
    for number, own in reversed(lengths):
        measure = own or measure
        size = number * _MEASURES[measure or "mm"]
        if not 0 < size <= LONGEST_MM:
            raise Unreadable(text, f"each size above 0 and up to {LONGEST_MM // 1000} m")
        found.append(size)
    return found[::-1]
