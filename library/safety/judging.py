"""A material by itself: how its size stands to the small-parts cylinder, and what the checks find in it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from library.materials.material import Material
from library.materials.shapes import About, Box, Ellipsoid, Shape, sizes
from library.safety.case import Case, item_of
from library.safety.checks import CARD_CHECKS
from library.safety.pieces import known_shape, what_to_measure
from library.safety.small_parts import Fit, fit
from library.units.findings import Finding, by_level


@dataclass(frozen=True, slots=True)
class Judged:
    """A size read as one form, in the cylinder."""

    reading: str
    """As what it was read: ``as written``, ``as a box`` or ``as an oval``."""
    shape: Shape
    fit: Fit
    decides: bool
    """Whether it is the reading with most room, the one that counts."""


def judge(shape: Shape) -> tuple[Judged, ...]:
    """A shape in the cylinder; one that is ``about`` so large is judged as a box and as an oval.

    The reading with more room in the cylinder decides: it is the more cautious one.

    Source: 16 CFR 1501.4(a), (b); that a thing of no plain form is read twice is our own caution.
    """
    if not isinstance(shape, About):
        return (Judged("as written", shape, fit(shape), True),)
    widths = sizes(shape)
    readings: tuple[tuple[str, Shape], ...] = (
        ("as a box", Box(*widths)),
        ("as an oval", Ellipsoid(*widths)),
    )
    most = max(fit(form).margin for _, form in readings)
    return tuple(
        Judged(reading, form, fit(form), fit(form).margin == most) for reading, form in readings
    )


def material_findings(material: Material, youngest: int) -> tuple[Finding, ...]:
    """What the checks find in one material for a child of so many months, wherever it may stand."""
    case = Case(None, None, None, youngest, items=(item_of(material),))
    return by_level(finding for check in CARD_CHECKS for finding in check.run(case))


def to_measure_first(materials: Iterable[Material]) -> tuple[tuple[Material, str | None], ...]:
    """Each material with what is to be measured, by name; those with something to measure first."""
    told = [(material, what_to_measure(material)) for material in materials]
    return tuple(sorted(told, key=lambda row: (row[1] is None, row[0].item.casefold())))


def pieces_to_draw(material: Material | None) -> tuple[Judged, ...]:
    """The readings of a loose piece, for the drawing; none where it has no size or is no piece."""
    shape = known_shape(material)
    if material is None or material.loose is False or shape is None:
        return ()
    return judge(shape)
