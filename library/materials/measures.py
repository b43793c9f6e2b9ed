"""Arithmetic with measures, exact: conversions, and sums of volume and weight of one material.

pint does the conversions with fractions. It takes nearly half a second to load, so it is loaded
when two different measures first meet, and each factor is kept.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import cache
from itertools import combinations
from typing import TYPE_CHECKING

from library.materials.amounts import Quantity
from library.materials.words import STANDARD, dimension, singular

if TYPE_CHECKING:
    from pint import UnitRegistry

    from library.materials.material import Weight


class Unlike(ValueError):  # noqa: N818 - a state of two quantities, not an error of the program
    """Two quantities that do not add up.

    Attributes:
        first: What there was.
        second: What should have been added or compared.
    """

    def __init__(self, first: Quantity, second: Quantity) -> None:
        self.first, self.second = first, second
        super().__init__(f"{first} and {second} do not add up")


def convert(quantity: Quantity, to: str, weight: Weight | None = None) -> Quantity:
    """The same amount in another measure, exactly.

    A bare number and a counted word of one item are the same thing (SUP20). Volume (or a counted
    word) and weight meet only through ``weight``, what one measure of the material weighs.

    Units: US customary volumes by 1 gallon = 231 cubic inches, pounds of 0.45359237 kg, inches of
    2.54 cm. Source: NIST Handbook 44, Appendix C, and NIST SP 811, Appendix B.

    Raises:
        Unlike: Where the two measure different things.
    """
    if quantity.measure == to:
        return quantity
    if dimension(quantity.measure) == dimension(to):
        return Quantity(quantity.number * _factor(quantity, to), to)
    if weight is not None:
        across = _across(quantity, to, weight)
        if across is not None:
            return across
    raise Unlike(quantity, Quantity(Fraction(1), to))


def add(quantities: Iterable[Quantity], weight: Weight | None = None) -> Quantity:
    """The sum, in the measure of the first quantity; in grams where volume and weight meet (SUP11).

    Nothing at all adds up to a bare 0.

    Raises:
        Unlike: With the first two quantities that do not add up.
    """
    parts = list(quantities)
    first_of_each = {part.measure: part for part in reversed(parts)}
    unlike = [part for part in parts if first_of_each[part.measure] is part]
    for first, second in combinations(unlike, 2):
        if not adds_up(first, second, weight):
            raise Unlike(first, second)
    measure = sum_measure([part.measure for part in parts])
    numbers = (convert(part, measure, weight).number for part in parts)
    return Quantity(sum(numbers, Fraction(0)), measure)


def adds_up(first: Quantity, second: Quantity, weight: Weight | None = None) -> bool:
    """Whether two quantities of one material can be added."""
    common = sum_measure((first.measure, second.measure))
    try:
        convert(first, common, weight)
        convert(second, common, weight)
    except Unlike:
        return False
    return True


def sum_measure(measures: Iterable[str]) -> str:
    """The measure in which quantities of these measures add up: the first, or grams (SUP11)."""
    listed = list(measures)
    found = {dimension(measure) for measure in listed}
    if "weight" in found and len(found) > 1:
        return "g"
    return listed[0] if listed else ""


@cache
def registry() -> UnitRegistry[Fraction]:
    """The one registry of measures, which counts in fractions; made on the first call."""
    from pint import UnitRegistry

    return UnitRegistry(non_int_type=Fraction, cache_folder=None)


@cache
def _size(measure: str) -> Fraction:
    """How many milliliters, grams or millimeters one of a standard measure is, exactly."""
    base = {"volume": "milliliter", "weight": "gram", "length": "millimeter"}[dimension(measure)]
    name = STANDARD[singular(measure)]
    return Fraction(registry().Quantity(Fraction(1), name).to(base).magnitude)


def _factor(quantity: Quantity, to: str) -> Fraction:
    """How many of ``to`` one of the quantity's measure is; both are of one dimension."""
    start, end = singular(quantity.measure), singular(to)
    if start == end:
        return Fraction(1)
    if dimension(start) != "count":
        return _size(start) / _size(end)
    if start and end:
        raise Unlike(quantity, Quantity(Fraction(1), to))
    return Fraction(1)


def _across(quantity: Quantity, to: str, weight: Weight) -> Quantity | None:
    """Volume (or pieces) as weight or weight as volume; None where the material's weight is no bridge."""
    try:
        if dimension(to) == "weight":
            measures = convert(quantity, weight.per.measure).number / weight.per.number
            return convert(Quantity(measures * weight.weight.number, weight.weight.measure), to)
        if dimension(quantity.measure) == "weight":
            weighed = convert(quantity, weight.weight.measure).number / weight.weight.number
            return convert(Quantity(weighed * weight.per.number, weight.per.measure), to)
    except Unlike:
        return None
    return None
