"""Whole numbers out of an address or a form, each between two bounds.

A number without end would break what it is handed to: the database, the calendar, Python itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from werkzeug.routing import IntegerConverter, Map

from library.store.errors import WrongUse

BIGGEST = 2**31 - 1
"""No number of an entry, a person or a row is greater."""
Usual = TypeVar("Usual", int, None)


class WholeNumber(IntegerConverter):
    """A whole number within an address, ``<int:row>``; a greater one leads to no page."""

    def __init__(self, map: Map, *, max: int = BIGGEST) -> None:
        super().__init__(map, max=max)


def read_whole(
    values: Mapping[str, str], name: str, usual: Usual, *, least: int = 0, most: int = BIGGEST
) -> int | Usual:
    """A whole number out of an address or a form.

    Args:
        values: The fields.
        name: The field that is meant.
        usual: What counts where the field is empty or missing.
        least: Least number.
        most: Greatest number.

    Raises:
        WrongUse: For anything else, with the numbers that are expected.
    """
    text = values.get(name, "").strip()
    if not text:
        return usual
    digits = text.isascii() and text.isdigit() and len(text) <= len(str(BIGGEST))
    if not digits or not least <= int(text) <= most:
        expected = f"a whole number from {least} to {most}" if most < BIGGEST else "a whole number"
        raise WrongUse(f"{name}: found '{text[:20]}'; expected {expected}")
    return int(text)
