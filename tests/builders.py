"""Makes values for tests: say only what the test is about."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

from library.cards.card import Card
from library.cards.parsing import parse_card
from library.cards.values import AgeRange, Group, MaterialLine, Refresh
from library.materials.material import Kind, Material, MaterialBook
from library.room.room import WORKING_WEEK, Child, PrepWindow, Room
from library.store.paths import LibraryPaths
from library.units.theme import Theme
from library.units.unit import Placement, Unit

MONDAY = dt.date(2026, 10, 5)
"""A Monday in fall."""
NAP = PrepWindow(WORKING_WEEK, dt.time(13), dt.time(13, 40))

CARD_TEXT = """\
---
title: Sponge rain
centers: [water, science]      # the first is its usual place
ages: 24-48                    # months
prep: 8
group: 1-4
adult: within reach
mess: 2
place: indoors
seasons: [fall, spring]
technique: sponge squeezing
props: {catcher: shallow lids}
materials:
  - {item: hand sponge, amount: 1 per place}
  - {item: water, amount: 500 ml per setup, refresh: each day}
steps:
  - {do: Trim the sponges, minutes: 6, on: ahead, away: true}
  - {do: Fill the tub, minutes: 2, on: morning}
status: ready
---

A soaked sponge rains on {{catcher}}.

## Set up

Two fingers of water in the tub.
"""


def a_card(id: str = "sponge-rain", **fields: Any) -> Card:
    """A card for two- and three-year-olds at the water table."""
    usual: dict[str, Any] = {
        "title": id.replace("-", " ").capitalize(),
        "centers": ("water",),
        "ages": AgeRange(24, 48),
        "prep": 5,
        "group": Group(1, 4),
    }
    return Card(id=id, **{**usual, **fields})


def a_material_line(item: str, amount: str = "1 per setup", refresh: str = "once") -> MaterialLine:
    """One line of a card's materials."""
    return MaterialLine(item, amount, Refresh(refresh))


def a_placement(center: str = "water", activity: str | None = "sponge-rain", **fields: Any):
    """An activity at a center, every week unless said."""
    return Placement(center, activity, **fields)


def a_unit(*placements: Placement, **fields: Any) -> Unit:
    """Two weeks of leaves and wind from the first Monday of October 2026."""
    usual: dict[str, Any] = {
        "theme": "leaves-and-wind",
        "name": "2026-fall",
        "title": "Leaves and wind, fall 2026",
        "starts": MONDAY,
        "weeks": 2,
    }
    return Unit(**{**usual, "placements": placements, **fields})


def a_theme(id: str = "leaves-and-wind", **fields: Any) -> Theme:
    """The theme of :func:`a_unit`, without props unless given."""
    return Theme(id=id, **{"title": "Leaves and wind", **fields})


def a_child(label: str = "wren", born: tuple[int, int] = (2024, 3), **fields: Any) -> Child:
    """A child of two and a half in October 2026."""
    return Child(label, born, **fields)


def a_room(*children: Child, **fields: Any) -> Room:
    """The Fern Room with two adults, a nap time to prepare in, and no blocks."""
    usual = {"name": "Fern Room", "adults": 2, "prep_windows": (NAP,)}
    return Room(**{**usual, "children": children, **fields})


def a_material(item: str, **fields: Any) -> Material:
    """A material that is a durable, not loose, unless said."""
    return Material(item, **{"kind": Kind.DURABLE, "loose": False, **fields})


def a_book(*materials: Material) -> MaterialBook:
    """A book of materials."""
    return MaterialBook(materials)


def write_library(
    folder: Path, cards: dict[str, str] | None = None, materials: str = ""
) -> LibraryPaths:
    """A library folder with these cards (path below ``activities`` → text), and a data folder beside it."""
    library = folder / "library"
    (library / "activities").mkdir(parents=True, exist_ok=True)
    (library / "themes").mkdir(exist_ok=True)
    for name, text in (cards or {}).items():
        path = library / "activities" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    if materials:
        (library / "activities" / "materials.yaml").write_text(materials, encoding="utf-8")
    return LibraryPaths(library, folder / "data")


def the_card(text: str = CARD_TEXT, file: str = "activities/water/sponge-rain.md") -> Card:
    """The card of a text that is known to hold one."""
    card = parse_card(text, file).card
    assert card is not None
    return card
