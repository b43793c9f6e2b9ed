"""Conditions as columns: for each document whether it may be a match."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import reduce
from typing import Any, TypeAlias

import numpy as np

from library.materials.material import Material, MaterialBook, name_key
from library.search.analysis import fold
from library.search.arrays import Arrays, Mask
from library.search.conditions import NOTHING_SAID, Conditions

FROM_THE_TAP = frozenset({"water"})
"""Main names that nobody counts as stock."""


@dataclass(frozen=True, slots=True)
class Tagged:
    """A document has one of some exact values in a field, or has none of them."""

    field: str
    values: frozenset[str]
    wanted: bool = True
    or_none: bool = False
    """Whether a document without any value in the field meets it too."""
    beginnings: bool = False
    """Whether a value also stands for all that begin with it and a hyphen."""

    def column(self, arrays: Arrays) -> Mask:
        """The column of the documents that meet it."""
        found = np.zeros(arrays.width, dtype=np.bool_)
        for value in self._meant(arrays):
            found[arrays.tagged(self.field, value)] = True
        if self.or_none:
            found |= _without_any(arrays, self.field)
        return found if self.wanted else ~found

    def _meant(self, arrays: Arrays) -> Iterable[str]:
        if not self.beginnings:
            return self.values
        starts = tuple(f"{value}-" for value in self.values)
        return [
            value
            for value in arrays.values(self.field)
            if value in self.values or value.startswith(starts)
        ]


@dataclass(frozen=True, slots=True)
class Overlaps:
    """A number, or a range of two numbers, has something in common with a range."""

    low: str
    high: str
    least: int
    most: int

    def column(self, arrays: Arrays) -> Mask:
        """The column of the documents that meet it."""
        return _wide(
            arrays,
            (arrays.numbers[self.low] <= self.most) & (arrays.numbers[self.high] >= self.least),
        )


@dataclass(frozen=True, slots=True)
class Covers:
    """A range of two numbers holds a whole range."""

    low: str
    high: str
    least: int
    most: int

    def column(self, arrays: Arrays) -> Mask:
        """The column of the documents that meet it."""
        return _wide(
            arrays,
            (arrays.numbers[self.low] <= self.least) & (arrays.numbers[self.high] >= self.most),
        )


@dataclass(frozen=True, slots=True)
class Stocked:
    """All materials of a document are among some."""

    items: frozenset[str]

    def column(self, arrays: Arrays) -> Mask:
        """The column of the documents that meet it."""
        found = arrays.everything()
        for value in arrays.values("materials"):
            if value not in self.items:
                found[arrays.tagged("materials", value)] = False
        return found


Requirement: TypeAlias = Tagged | Overlaps | Covers | Stocked


@dataclass(frozen=True, slots=True)
class Demand:
    """One thing that was asked, and what it requires of a document."""

    key: str
    """Attribute of the conditions."""
    value: Any
    """What was said; one entry where the attribute holds several that must all hold."""
    requirement: Requirement

    def taken_from(self, conditions: Conditions) -> Conditions:
        """The conditions without this demand."""
        left: Any = getattr(Conditions(), self.key)
        if self.key in {"with_", "without"}:
            left = tuple(each for each in getattr(conditions, self.key) if each != self.value)
        return replace(conditions, **{self.key: left})


def demands_of(
    conditions: Conditions, book: MaterialBook, stock: Collection[str] = ()
) -> tuple[Demand, ...]:
    """What some conditions require.

    Args:
        conditions: The conditions.
        book: The library's materials, which know each other's names and what they contain.
        stock: Names of what is on hand, for ``on_hand``.
    """
    if conditions is NOTHING_SAID:
        return ()
    found = [
        Demand(name, getattr(conditions, name), make(getattr(conditions, name)))
        for name, make in SIMPLE.items()
        if getattr(conditions, name) not in (None, ())
    ]
    for group in conditions.with_:
        found.append(Demand("with_", group, Tagged("materials", material_keys(group, book))))
    for name in conditions.without:
        keys = material_keys((name,), book)
        found.append(Demand("without", name, Tagged("materials", keys, wanted=False)))
    if conditions.on_hand:
        items = material_keys((*stock, *FROM_THE_TAP), book, contents=False)
        found.append(Demand("on_hand", True, Stocked(items)))
    return tuple(found)


SIMPLE: dict[str, Any] = {
    "prep_max": lambda most: Overlaps("prep", "prep", 0, most),
    "prep_min": lambda least: Overlaps("prep", "prep", least, 100_000),
    "age_months": lambda age: Overlaps("ages_low", "ages_high", age, age),
    "age_range": lambda ages: Overlaps("ages_low", "ages_high", *ages),
    "centers": lambda keys: Tagged("centers", frozenset(map(fold, keys))),
    "place": lambda place: Tagged("place", frozenset({place, "either"})),
    "season": lambda season: Tagged("seasons", frozenset({season}), or_none=True),
    "group": lambda size: Overlaps("group_low", "group_high", size, size),
    "mess_max": lambda most: Overlaps("mess", "mess", 0, most),
    "adult": lambda adult: Tagged("adult", frozenset({adult})),
    "domains": lambda codes: Tagged("domains", frozenset(map(fold, codes)), beginnings=True),
    "technique": lambda text: Tagged("technique", frozenset({" ".join(fold(text).split())})),
    "status": lambda status: Tagged("status", frozenset({status})),
}
"""Attribute of the conditions → what its value requires. Materials and stock need the book besides."""

READY = Tagged("status", frozenset({"ready"}))
"""What is required where no status was asked for."""


def requirements_of(conditions: Conditions, demands: Iterable[Demand]) -> list[Requirement]:
    """Everything that a match has to meet: the demands, and that drafts show only where asked for."""
    found = [demand.requirement for demand in demands]
    return found if conditions.status else [*found, READY]


def covering(conditions: Conditions) -> Covers | None:
    """What puts a card first: that its ages hold the whole range that was asked for."""
    if conditions.age_range is None:
        return None
    return Covers("ages_low", "ages_high", *conditions.age_range)


def column(arrays: Arrays, requirement: Requirement) -> Mask:
    """The column of a requirement; it is kept for the next search and must not be changed."""
    return arrays.column(requirement, lambda: requirement.column(arrays))


def columns(arrays: Arrays, alive: Mask, requirements: Iterable[Requirement]) -> Mask:
    """The documents that are there and meet all of some requirements."""
    return reduce(np.logical_and, (column(arrays, each) for each in requirements), alive)


def material_keys(
    names: Iterable[str], book: MaterialBook, *, contents: bool = True
) -> frozenset[str]:
    """The exact values under which cards may keep some materials.

    Args:
        names: Names of materials, and allergens.
        book: The library's materials.
        contents: Whether a name may be an allergen, and then means all that contain it.
    """
    return frozenset(key for name in names for key in _keys(name, book, contents))


def _keys(name: str, book: MaterialBook, contents: bool) -> Iterator[str]:
    yield name_key(name)
    known = book.find(name)
    meant: list[Material] = [known] if known else []
    if contents:
        meant += [each for each in book if name.casefold() in each.allergens]
    for material in meant:
        yield from (name_key(other) for other in material.names)


def _without_any(arrays: Arrays, field: str) -> Mask:
    found = arrays.everything()
    for value in arrays.values(field):
        found[arrays.tagged(field, value)] = False
    return found


def _wide(arrays: Arrays, narrow: Mask) -> Mask:
    wide = np.zeros(arrays.width, dtype=np.bool_)
    wide[: arrays.size] = narrow
    return wide
