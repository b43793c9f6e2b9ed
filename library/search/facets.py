"""Counts: for each value of a facet the number of matches there would be if it were chosen."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from itertools import compress
from typing import Any

import numpy as np

from library.materials.material import MaterialBook
from library.search.arrays import Arrays, Bits, count_rows, pack
from library.search.conditions import Conditions
from library.search.filters import demands_of


@dataclass(frozen=True, slots=True)
class Facet:
    """One thing that matches can be told apart by."""

    name: str
    keys: tuple[str, ...]
    """Attributes of the conditions that choosing a value sets anew."""
    changes: Callable[[str], dict[str, Any]]
    """What choosing a value sets them to; those not named are cleared."""
    values: Callable[[Arrays], Sequence[str]]
    """The values there are, as text."""

    def choose(self, conditions: Conditions, value: str) -> Conditions:
        """The conditions with this value in place of what was chosen of this facet before."""
        cleared = {key: getattr(Conditions(), key) for key in self.keys}
        return replace(conditions, **{**cleared, **self.changes(value)})


def _fixed(*values: str) -> Callable[[Arrays], Sequence[str]]:
    return lambda _: values


def _areas(arrays: Arrays) -> Sequence[str]:
    """Areas of the frameworks: the codes without their last part, ``IT-PMP`` of ``IT-PMP-6``."""
    return sorted({code.rpartition("-")[0].upper() for code in arrays.values("domains")} - {""})


def _prep(value: str) -> dict[str, Any]:
    minutes = int(value.rstrip("+"))
    return {"prep_min": minutes} if value.endswith("+") else {"prep_max": minutes}


def _mess(value: str) -> dict[str, Any]:
    return {"mess_max": ("0", "1", "2", "3").index(value)}


def _ages(value: str) -> dict[str, Any]:
    low, _, high = value.partition("-")
    return {"age_range": (int(low), int(high))}


FACETS: tuple[Facet, ...] = (
    Facet("centers", ("centers",), lambda v: {"centers": (v,)}, lambda a: a.values("centers")),
    Facet("domains", ("domains",), lambda v: {"domains": (v,)}, _areas),
    Facet("season", ("season",), lambda v: {"season": v},
          _fixed("spring", "summer", "fall", "winter")),
    Facet("prep", ("prep_max", "prep_min"), _prep, _fixed("0", "5", "10", "20", "20+")),
    Facet("place", ("place",), lambda v: {"place": v}, _fixed("indoors", "outdoors")),
    Facet("age", ("age_months", "age_range"), _ages, _fixed("24-29", "30-35", "36-41")),
    Facet("group", ("group",), lambda v: {"group": int(v)}, _fixed("1", "2", "4", "8")),
    Facet("mess", ("mess_max",), _mess, _fixed("0", "1", "2", "3")),
)  # fmt: skip
"""Every facet, in the order in which they fold out. Prep of ``10`` is ten minutes or less, ``20+`` is
twenty or more; mess of ``1`` is 1 or less; an age is met by a card whose range overlaps it."""


def choose(conditions: Conditions, facet: str, value: str) -> Conditions:
    """The conditions that the link on a count stands for."""
    chosen = next(each for each in FACETS if each.name == facet)
    return chosen.choose(conditions, value)


@dataclass(frozen=True, slots=True)
class Rows:
    """All values of all facets over some documents, as bits."""

    named: Sequence[str]
    """What each row counts: a value of its facet."""
    spans: Mapping[str, slice]
    """Facet → its rows."""
    bits: Bits


def rows_of(arrays: Arrays) -> Rows:
    """The bits of every value; they are made once."""
    rows: Rows = arrays.kept("facets", lambda: _make_rows(arrays))
    return rows


def _make_rows(arrays: Arrays) -> Rows:
    values = {facet.name: facet.values(arrays) for facet in FACETS}
    bits = np.zeros((sum(map(len, values.values())), arrays.width // 64), dtype=np.uint64)
    spans: dict[str, slice] = {}
    row = 0
    for facet in FACETS:
        spans[facet.name] = slice(row, row + len(values[facet.name]))
        for value in values[facet.name]:
            demands = demands_of(facet.choose(Conditions(), value), MaterialBook())
            met = [demand.requirement.column(arrays) for demand in demands]
            bits[row] = pack(reduce(np.logical_and, met))
            row += 1
    return Rows([value for each in values.values() for value in each], spans, bits)


def count(arrays: Arrays, matches: Bits, free: Mapping[str, Bits]) -> dict[str, dict[str, int]]:
    """How many documents there would be for each value of each facet, zeros left out.

    Args:
        arrays: The documents.
        matches: Those that match.
        free: For each facet of which something is chosen, those that match but for that choice.
    """
    rows = rows_of(arrays)
    numbers = count_rows(rows.bits, matches).tolist()
    for name, bits in free.items():
        numbers[rows.spans[name]] = count_rows(rows.bits[rows.spans[name]], bits).tolist()
    pairs = list(zip(rows.named, numbers, strict=True))
    return {name: dict(compress(pairs[span], numbers[span])) for name, span in rows.spans.items()}
