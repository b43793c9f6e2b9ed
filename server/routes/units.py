"""Units: the plan of a theme."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from flask import Blueprint, render_template

from library.plan.grid import Grid, plan_grid
from library.room.room import Room
from library.units.placed import Placed, lay_out
from library.units.theme import Theme
from library.units.unit import Unit
from server.shelf import shelf

bp = Blueprint("units", __name__, url_prefix="/units")
NO_ROOM = Room("")
"""Stands in where no room is loaded: open Monday to Friday, nobody in it."""


@dataclass(frozen=True, slots=True)
class UnitPage:
    """Everything the plan page shows."""

    unit: Unit
    theme: Theme
    room: Room | None
    grid: Grid
    placed: tuple[Placed, ...]
    ends: dt.date


@bp.get("/<theme>/<name>")
def show(theme: str, name: str) -> str:
    """The plan of one unit."""
    return render_template("units/show.html", page=unit_page(f"{theme}/{name}"))


def unit_page(unit_id: str) -> UnitPage:
    """Reads a unit and lays it out for the current room."""
    folder = shelf().units
    unit = folder.read(unit_id).unit
    theme = folder.read_theme(unit.theme).theme
    room = shelf().room()
    placed = lay_out(unit, theme, shelf().cards_of(unit), room or NO_ROOM)
    return UnitPage(
        unit=unit,
        theme=theme,
        room=room,
        grid=plan_grid(unit, placed, room or NO_ROOM),
        placed=placed,
        ends=unit.starts + dt.timedelta(days=7 * unit.weeks - 1),
    )
