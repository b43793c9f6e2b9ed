"""Names of measures, and one word for singular and plural. Only letters; no arithmetic."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal, TypeAlias

Dimension: TypeAlias = Literal["count", "volume", "weight", "length"]

_VOLUME: dict[str, str] = {
    "ml": "milliliter", "milliliter": "milliliter", "millilitre": "milliliter",
    "cl": "centiliter", "centiliter": "centiliter", "centilitre": "centiliter",
    "dl": "deciliter", "deciliter": "deciliter", "decilitre": "deciliter",
    "l": "liter", "liter": "liter", "litre": "liter",
    "tsp": "teaspoon", "teaspoon": "teaspoon",
    "tbsp": "tablespoon", "tbs": "tablespoon", "tablespoon": "tablespoon",
    "fl oz": "fluid_ounce", "fluid oz": "fluid_ounce", "fluid ounce": "fluid_ounce",
    "cup": "cup",
    "pint": "pint", "pt": "pint",
    "quart": "quart", "qt": "quart",
    "gallon": "gallon", "gal": "gallon",
}  # fmt: skip
_WEIGHT: dict[str, str] = {
    "mg": "milligram", "milligram": "milligram",
    "g": "gram", "gram": "gram", "gramme": "gram",
    "kg": "kilogram", "kilo": "kilogram", "kilogram": "kilogram",
    "oz": "ounce", "ounce": "ounce",
    "lb": "pound", "pound": "pound",
}  # fmt: skip
_LENGTH: dict[str, str] = {
    "mm": "millimeter", "millimeter": "millimeter", "millimetre": "millimeter",
    "cm": "centimeter", "centimeter": "centimeter", "centimetre": "centimeter",
    "m": "meter", "meter": "meter", "metre": "meter",
    "in": "inch", "inch": "inch",
    "ft": "foot", "foot": "foot",
    "yd": "yard", "yard": "yard",
}  # fmt: skip

STANDARD: dict[str, str] = {**_VOLUME, **_WEIGHT, **_LENGTH}
"""Every name of a measure that stands for a fixed size, with the name the arithmetic uses. All
other words are counted. ``oz`` is weight; ``cup``, ``pint`` and their kin are US customary (SUP21).
A list of our own, because a registry of every measure there is would read ``hand`` as four inches
and ``bar`` as a pressure."""

_DIMENSIONS: tuple[tuple[Dimension, dict[str, str]], ...] = (
    ("volume", _VOLUME),
    ("weight", _WEIGHT),
    ("length", _LENGTH),
)
_SHORT = frozenset(name for name in STANDARD if len(name) < 4 and name != "cup") | {"tbsp"}
"""Abbreviations; they take no plural."""

_IRREGULAR = {
    "feet": "foot", "children": "child", "teeth": "tooth", "mice": "mouse",
    "leaves": "leaf", "halves": "half", "loaves": "loaf", "scarves": "scarf", "shelves": "shelf",
    "knives": "knife", "wolves": "wolf", "potatoes": "potato", "tomatoes": "tomato",
    "cookies": "cookie", "brownies": "brownie", "pies": "pie", "ties": "tie", "lenses": "lens",
    "gases": "gas", "buses": "bus", "canvases": "canvas",
    "cactuses": "cactus", "crocuses": "crocus", "octopuses": "octopus",
}  # fmt: skip
_PLURALS = {one: many for many, one in _IRREGULAR.items()}
_ENDINGS = (
    ("ches", "ch"), ("shes", "sh"), ("sses", "ss"), ("xes", "x"), ("ies", "y"),
    ("ss", "ss"), ("us", "us"), ("lens", "lens"), ("canvas", "canvas"), ("gas", "gas"), ("s", ""),
)  # fmt: skip


@lru_cache(maxsize=8192)
def singular(word: str) -> str:
    """A word or measure in the singular: sheets → sheet, pouches → pouch, lbs → lb.

    Of several words only the last changes. A word that is singular already comes back as it is.
    """
    front, blank, last = word.rpartition(" ")
    if word in STANDARD:
        return word
    if word.removesuffix("s") in _SHORT:
        return word.removesuffix("s")
    return front + blank + _singular(last)


def plural(word: str) -> str:
    """A word or measure for more than one: sheet → sheets, inch → inches; ``ml`` stays."""
    if not word or word in _SHORT or word.endswith(" oz"):
        return word
    front, blank, last = word.rpartition(" ")
    if last in _PLURALS:
        return front + blank + _PLURALS[last]
    if last.endswith(("ch", "sh", "ss", "x", "us")):
        return word + "es"
    if last.endswith("y") and last[-2:-1] not in set("aeiou"):
        return word[:-1] + "ies"
    return word + "s"


def dimension(measure: str) -> Dimension:
    """What a measure measures; ``count`` for a bare number and for every counted word."""
    key = singular(measure)
    for name, table in _DIMENSIONS:
        if key in table:
            return name
    return "count"


def _singular(word: str) -> str:
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    for whole, one in _IRREGULAR.items():
        if len(whole) > 4 and word.endswith(whole):
            return word[: -len(whole)] + one
    if len(word) < 4:
        return word
    for ending, instead in _ENDINGS:
        if word.endswith(ending):
            return word[: -len(ending)] + instead
    return word
