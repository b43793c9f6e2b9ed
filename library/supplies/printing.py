"""What a unit needs printed: pieces, and the sheets of plain paper and card stock they take."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from library.materials.amounts import Quantity
from library.materials.material import CARD_STOCK, PLAIN_PAPER, Material
from library.materials.shapes import Box, parse_shape
from library.store.problems import Unreadable
from library.supplies.lines import Supplies, SupplyLine
from library.supplies.shopping import is_printed

SAFE_LETTER = (203.2, 266.7)
"""What a home printer reaches of a Letter sheet, in mm: all but 6.35 mm (0.25 in) at each edge.
Letter is 215.9 x 279.4 mm (8.5 x 11 in; ANSI/ASME Y14.1 A); the edge is common practice, no source."""
FLAT = 2.0
"""Millimetres; what is thicker is no single sheet."""


@dataclass(frozen=True, slots=True)
class ToPrint:
    """One thing to print."""

    line: SupplyLine
    stock: str
    """Plain paper or card stock; empty where it is not known."""
    sheets: int | None
    """None where it is not known how many pieces a sheet holds."""
    how: str
    """``8 pieces, 2 to a sheet``."""


def to_print(supplies: Supplies, sheet: tuple[float, float] = SAFE_LETTER) -> tuple[ToPrint, ...]:
    """What is missing of printed things, in the order of the lines.

    Args:
        supplies: What the unit needs.
        sheet: Width and height of a sheet that the printer reaches, in mm.
    """
    return tuple(
        _to_print(line, sheet) for line in supplies.lines if is_printed(line) and line.buy > 0
    )


def sheets_by_stock(things: tuple[ToPrint, ...]) -> tuple[tuple[str, int], ...]:
    """Sheets by what to load; what is not known counts nowhere."""
    stocks = dict.fromkeys(each.stock for each in things if each.sheets)
    return tuple(
        (stock, sum(each.sheets or 0 for each in things if each.stock == stock)) for stock in stocks
    )


def pieces_on(sheet: tuple[float, float], piece: tuple[float, float]) -> int:
    """How many pieces of a size a sheet holds, all of them upright or all turned.

    Rows and columns without gaps, since neighbours share a cut; 50.8 mm (2 in) squares: 20 on
    Letter.
    """
    upright = math.floor(sheet[0] / piece[0]) * math.floor(sheet[1] / piece[1])
    turned = math.floor(sheet[0] / piece[1]) * math.floor(sheet[1] / piece[0])
    return max(upright, turned)


def _to_print(line: SupplyLine, sheet: tuple[float, float]) -> ToPrint:
    pieces = math.ceil(line.buy)
    material = line.needs[0].material
    shown = str(Quantity(Fraction(pieces), line.need.measure or "piece"))
    for sheets, stock, how in _ways(material, pieces, sheet):
        return ToPrint(line, stock, sheets, f"{shown}, {how}")
    how = (
        f"{shown}; how many fit on a sheet is not written down yet "
        "(in materials.yaml: print: 1 sheet of card stock)"
    )
    return ToPrint(line, "", None, how)


def _ways(
    material: Material | None, pieces: int, sheet: tuple[float, float]
) -> Iterator[tuple[int, str, str]]:
    """What is said of the material first, then what its size tells."""
    if material is None:
        return
    if material.sheets:
        each, stock = material.sheets
        yield math.ceil(pieces * each), stock, f"{Quantity(each, 'sheet')} each"
    if (size := _flat(material)) and (many := pieces_on(sheet, size)):
        stock = CARD_STOCK if material.loose else PLAIN_PAPER
        yield math.ceil(pieces / many), stock, f"{many} to a sheet"


def _flat(material: Material) -> tuple[float, float] | None:
    """Width and height of something flat; None for anything else."""
    try:
        shape = parse_shape(material.shape) if material.shape else None
    except Unreadable:
        return None
    if not isinstance(shape, Box):
        return None
    thin, width, height = sorted((shape.a, shape.b, shape.c))
    return (width, height) if thin <= FLAT else None
