"""Makes values for tests: say only what the test is about."""

from __future__ import annotations

import datetime as dt
from typing import Any

from library.cards.card import Card
from library.cards.values import AgeRange, Group, MaterialLine, Refresh
from library.room.room import Child, Room
from library.units.theme import Theme
from library.units.unit import Placement, Unit

MONDAY = dt.date(2026, 10, 5)
"""A Monday in fall."""


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
    """The Fern Room with two adults and no blocks."""
    return Room(**{"name": "Fern Room", "adults": 2, "children": children, **fields})
