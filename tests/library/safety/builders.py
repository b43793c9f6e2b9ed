"""Cases for the checks: say only what the test is about."""

from __future__ import annotations

import datetime as dt
from typing import Any

from library.cards.values import AgeRange
from library.materials.material import Material
from library.safety.case import Case, case_of_card, case_of_placement
from library.units.placed import lay_out
from tests import builders
from tests.builders import (
    MONDAY,
    a_book,
    a_card,
    a_child,
    a_material_line,
    a_placement,
    a_room,
    a_unit,
)

THREE_IN_OCTOBER = (2023, 10)
"""Born so: 36 completed months in October 2026 by the calendar, 35 by the under-age rule."""

FOUR = (2022, 6)
"""Born so: well over 36 months in October 2026."""

TWO = (2024, 6)
"""Born so: 28 completed months in October 2026."""


def a_material(item: str = "wooden ring", **fields: Any) -> Material:
    """A durable that nobody can pick up, unless said."""
    return builders.a_material(item, **fields)


def a_piece(shape: str | None, item: str = "wooden ring", **fields: Any) -> Material:
    """A loose durable of a shape."""
    return a_material(item, **{"loose": True, "shape": shape, **fields})


def a_case(*materials: Material, youngest: int = 24, **card: Any) -> Case:
    """A card at blocks with one of each material, judged for an age in months."""
    lines = tuple(a_material_line(material.item) for material in materials)
    fields = {"centers": ("blocks",), "materials": lines, **card}
    return case_of_card(a_card(ages=AgeRange(youngest, 60), **fields), a_book(*materials))


def a_room_case(*materials: Material, born: tuple[int, int], on: dt.date = MONDAY, **card: Any):
    """The same card placed on one day in a room with one child."""
    lines = tuple(a_material_line(material.item) for material in materials)
    made = a_card("ring-posting", **{"centers": ("blocks",), "materials": lines, **card})
    room = a_room(a_child(born=born))
    unit = a_unit(
        a_placement("blocks", made.id, days=(on,)), starts=on - dt.timedelta(on.weekday())
    )
    (placed,) = lay_out(unit, None, {made.id: made}, room)
    return case_of_placement(placed, room, a_book(*materials))


def text_case(body: str, *, youngest: int = 24, **card: Any) -> Case:
    """A card that names something in its text alone."""
    return a_case(youngest=youngest, body=body, **card)
