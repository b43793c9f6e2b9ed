"""Units: the plan of a theme."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from flask import Blueprint, render_template

from library.plan.checks import CHECKS, check_unit
from library.plan.grid import Grid, plan_grid
from library.plan.opening import open_plan
from library.plan.totals import Totals, total
from library.room.room import Room
from library.safety.checks import caution, nothing_found
from library.safety.grouping import Group, group_findings
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
    """None where no room is loaded; then only the table is shown."""
    grid: Grid
    ends: dt.date
    totals: Totals | None
    groups: tuple[Group, ...]
    """Findings by rule and material, stops first."""
    nothing_found: str
    caution: str


@bp.get("/<theme>/<name>")
def show(theme: str, name: str) -> str:
    """The plan of one unit."""
    return render_template("units/show.html", page=unit_page(f"{theme}/{name}"))


def unit_page(unit_id: str) -> UnitPage:
    """Reads a unit and lays it out for the current room."""
    room = shelf().room()
    plan = open_plan(shelf().paths, unit_id, room or NO_ROOM, today=dt.date.today())
    unit = plan.unit
    return UnitPage(
        unit=unit,
        theme=shelf().units.read_theme(unit.theme).theme,
        room=room,
        grid=plan_grid(unit, plan.placed, room or NO_ROOM),
        ends=unit.starts + dt.timedelta(days=7 * unit.weeks - 1),
        totals=total(plan, shelf().units.read_all()[0]) if room else None,
        groups=group_findings(check_unit(plan).findings) if room else (),
        nothing_found=nothing_found(CHECKS),
        caution=caution(),
    )
