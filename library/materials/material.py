"""A material and the book of all of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from functools import cached_property

from library.materials.amounts import Quantity
from library.materials.words import singular

PLAIN_PAPER, CARD_STOCK = "plain paper", "card stock"
"""What a printer is loaded with."""
MADE = "made"
"""Where a thing comes from that the team makes itself, of what else its cards name (the key ``from``)."""


class Kind(StrEnum):
    """How a material is used up."""

    DURABLE = "durable"
    CONSUMABLE = "consumable"
    PRINTABLE = "printable"
    BOOK = "book"


@dataclass(frozen=True, slots=True)
class Weight:
    """How much one measure of a material weighs: ``185 g per cup``."""

    weight: Quantity
    per: Quantity


@dataclass(frozen=True, slots=True)
class Material:
    """One entry of ``materials.yaml``."""

    item: str
    """Main name."""
    also: tuple[str, ...] = ()
    """Other words people use; unique over the file."""
    kind: Kind = Kind.CONSUMABLE
    loose: bool | None = None
    """True: a piece a child can pick up by itself. None: not stated."""
    shape: str | None = None
    """Size as written; ``library.materials.shapes`` reads it."""
    soft: bool = False
    """Can be squeezed, torn or bitten off."""
    cord: str | None = None
    """Free length of a cord as written; empty text where it has one of unknown length."""
    wash: str | None = None
    """after each use, daily or weekly."""
    weight: Weight | None = None
    """Lets volume and weight add up."""
    allergens: tuple[str, ...] = ()
    """Allergen names, lower case."""
    label_read: bool | None = None
    """True: what its label names is stated, be it nothing. False: the key stands there without a value,
    since nobody has read the label. None: no word of it."""
    hazards: tuple[str, ...] = ()
    """Hazard keys."""
    origin: str | None = None
    """The key ``from``: kitchen, recycling, outdoors, shop, printed, library or made."""
    pack: str | None = None
    """How it is usually sold, a hint for the room's buying list."""
    sheets: tuple[Fraction, str] | None = None
    """Of something printed, the sheets that one piece takes, and of what (the key ``print``)."""
    line: int = field(default=0, compare=False)
    """Line in the file."""

    @property
    def names(self) -> tuple[str, ...]:
        """The main name and all others."""
        return (self.item, *self.also)


@dataclass(frozen=True)
class MaterialBook:
    """All materials, found by any of their names."""

    materials: tuple[Material, ...] = ()
    eu: bool = False
    """Whether the library reads the European Union's list of allergens too."""

    def find(self, name: str) -> Material | None:
        """The material of this name, in any case, singular or plural; None if it is unknown."""
        return self._by_name.get(name_key(name))

    def main_name(self, name: str) -> str:
        """The main name behind a name; the name itself, tidied, if it is unknown."""
        known = self.find(name)
        return known.item if known else " ".join(name.split())

    def __iter__(self) -> Iterator[Material]:
        return iter(self.materials)

    def __len__(self) -> int:
        return len(self.materials)

    @cached_property
    def _by_name(self) -> Mapping[str, Material]:
        return {name_key(name): material for material in self.materials for name in material.names}


def name_key(name: str) -> str:
    """What two spellings of one name have in common: lower case, single blanks, last word singular."""
    words = name.casefold().split()
    return " ".join([*words[:-1], singular(words[-1])]) if words else ""
