"""The starter library as tests see it: every card, material, theme and unit of this repository."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from library.cards.card import Card
from library.cards.folder import CardFolder
from library.cards.rendering import split_sections
from library.materials.material import Kind, Material, MaterialBook
from library.store.paths import LibraryPaths
from library.units.dressing import dress
from library.units.folder import UnitFolder
from library.units.theme import Theme
from library.units.unit import Unit

ROOT = Path(__file__).parent.parent
HYGIENE = re.compile(
    r"\b(wash|washed|washing|rinse|rinsed|wipe|wiped|launder|laundered|sanitize|mouthed|dry|dried|"
    r"dries|laundry|mouth|mouths)\b",
    re.IGNORECASE,
)
"""A sentence about washing, drying or mouths: many cards must say nearly the same."""
_SENTENCE_END = re.compile(r"(?<=[.?])[\"”]?\s+")


@cache
def paths() -> LibraryPaths:
    """The repository as a library folder. Nothing is written to its data folder."""
    return LibraryPaths(ROOT, ROOT / "not-there")


@cache
def cards() -> tuple[Card, ...]:
    """Every card; a file that holds none is an error."""
    found, problems = CardFolder(paths()).read_all()
    assert not problems, problems
    return tuple(found)


@cache
def cards_by_id() -> dict[str, Card]:
    """Every card by its id."""
    return {card.id: card for card in cards()}


@cache
def materials() -> MaterialBook:
    """The list of materials; a problem in it is an error."""
    book, problems = CardFolder(paths()).materials()
    assert not problems, problems
    return book


@cache
def themes() -> tuple[Theme, ...]:
    """Every theme."""
    return tuple(UnitFolder(paths()).themes())


@cache
def units() -> tuple[Unit, ...]:
    """Every unit; a file that holds none is an error."""
    found, problems = UnitFolder(paths()).read_all()
    assert not problems, problems
    return tuple(found)


def things(card: Card, theme: Theme | None = None) -> list[Material]:
    """What a card uses, in its own dress or a theme's; a name that is not listed is an error."""
    found = []
    for line in dress(card, theme).card.materials:
        material = materials().find(line.item)
        assert material, f"{card.id}: '{line.item}' is not in materials.yaml"
        found.append(material)
    return found


def buys_nothing(card: Card) -> bool:
    """Whether nothing that is used up comes from a shop or a printer."""
    used_up = [thing for thing in things(card) if thing.kind in (Kind.CONSUMABLE, Kind.PRINTABLE)]
    return not any(thing.origin in ("shop", "printed") for thing in used_up)


def prose(card: Card) -> str:
    """A card's body in its own dress, without headings."""
    dressed = dress(card).card
    return "\n\n".join(section.text for section in split_sections(dressed.body))


def sentences(card: Card, *, hygiene: bool = True) -> list[str]:
    """The sentences of a card's body, of three words or more.

    Args:
        card: The card.
        hygiene: False: without sentences about washing and mouths.
    """
    plain = " ".join(prose(card).split())
    found = [part.strip() for part in _SENTENCE_END.split(plain) if len(part.split()) > 2]
    return found if hygiene else [part for part in found if not HYGIENE.search(part)]
