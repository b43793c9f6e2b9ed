"""Choosing an activity for a center: the way from the plan to Find, and back with the card.

An address of Find that chooses for a plan carries ``place_in`` (``theme/unit``) and ``center``, and
where it is meant ``week``, or ``row`` with ``as`` (``swap``, ``rain``, or ``clone`` with ``clone``, which
holds what the clone page was asked). Nothing of a child is in it; the room travels as ``for=room``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import cast

from flask import g, request, url_for

from library.plan.totals import prep_minutes_left
from library.plan.unitplan import UnitPlan
from library.store.errors import LibraryError
from library.units.theme import Theme
from library.units.unit import Unit
from server.figures import read_whole
from server.links import unit_url
from server.shelf import shelf

KEPT = ("place_in", "center", "week", "row", "as", "clone")
"""What an address carries while an activity is chosen for a plan."""
VERBS = {
    "place": "Place it",
    "swap": "Put it in its place",
    "rain": "Take it for rain",
    "clone": "Take it instead",
}
"""What a button says, by what it does."""


@dataclass(frozen=True, slots=True)
class Placing:
    """A choice under way."""

    unit: Unit
    theme: Theme
    center: str
    do: str
    """place, swap, rain or clone."""
    fields: tuple[tuple[str, str], ...]
    """What the form of a card sends beside the card."""
    url: str
    """Where it sends it."""
    plan_url: str
    where: str
    """Center and week in words."""
    kept: tuple[tuple[str, str], ...]
    """What links of the way keep in their addresses."""
    method: str = "post"
    """How the form is sent; a choice for a clone writes nothing, and is asked for."""

    @property
    def verb(self) -> str:
        """What the button says."""
        return VERBS[self.do]


def placing(values: Mapping[str, str] | None = None) -> Placing | None:
    """The choice that an address speaks of; None where it speaks of none, or the unit is gone.

    Args:
        values: The values of the address; those of the present request unless said.

    Raises:
        WrongUse: If its row is no number.
    """
    if values is None:
        if "placing" not in g:
            g.placing = placing(request.args)
        return cast("Placing | None", g.placing)
    if not values.get("place_in") or not values.get("center"):
        return None
    try:
        read = shelf().plans.read(values["place_in"])
        theme = shelf().units.read_theme(read.unit.theme).theme
    except LibraryError:
        return None
    unit, center, week = read.unit, values["center"], values.get("week", "")
    row = read_whole(values, "row", None)
    do = values.get("as", "") if row is not None and values.get("as") in VERBS else "place"
    if row is not None and do == "clone":
        return _for_a_clone(values, unit, theme, row)
    url = unit_url("units.place", unit) if do == "place" else unit_url("units.edit", unit, row=row)
    fields = {"do": do, "fingerprint": read.fingerprint, "center": center, "week": week}
    return Placing(
        unit=unit,
        theme=theme,
        center=center,
        do=do,
        fields=tuple((name, value) for name, value in fields.items() if value),
        url=url,
        plan_url=unit_url("units.show", unit, _anchor=f"at-{center}"),
        where=f"week {week}" if week and unit.weeks > 1 else "",
        kept=tuple((name, values[name]) for name in KEPT if values.get(name)),
    )


def _for_a_clone(values: Mapping[str, str], unit: Unit, theme: Theme, row: int) -> Placing:
    """The choice of a card for a line of the clone page, with everything that was asked there."""
    from server.cloneasking import fields_of

    fields = fields_of(values.get("clone", ""))
    return Placing(
        unit=unit,
        theme=theme,
        center=values["center"],
        do="clone",
        fields=fields,
        url=unit_url("clone.choose", unit, row=row),
        plan_url=f"{unit_url('clone.show', unit, **dict(fields))}#line-{row}",
        where="",
        kept=tuple((name, values[name]) for name in KEPT if values.get(name)),
        method="get",
    )


def choosing() -> dict[str, str]:
    """What links carry on while an activity is chosen for a plan; nothing otherwise."""
    choice = placing()
    return dict(choice.kept) if choice else {}


def find_url(
    plan: UnitPlan, center: str, *, week: int | None = None, row: int | None = None, do: str = ""
) -> str:
    """The address of Find for a center of a plan, with what is known of it already understood.

    While a card is chosen, Find shows those of the center. The question names the season of a theme
    that has only one, and the prep minutes that the windows before the week still hold (before the
    first week where none is meant) where one window could hold them all; what many windows hold
    together is no limit for one card. The room is meant wherever there is one. What is found is
    shown in the theme's dress.

    Args:
        plan: The unit in its room.
        center: Key of the center.
        week: The week it is for; None: all of them.
        row: The placement that gets another card or a rain swap.
        do: ``swap`` or ``rain``, with a row.
    """
    words = [_minutes_left(plan, week or 1)]
    if plan.theme and len(plan.theme.seasons) == 1:
        words.append(f"in {plan.theme.seasons[0]}")
    values: dict[str, str | int] = {"place_in": plan.unit.id, "center": center}
    if any(words):
        values = {"q": ", ".join(filter(None, words)), **values}
    if plan.room.children:
        values["for"] = "room"
    if week:
        values["week"] = week
    if row is not None:
        values |= {"row": row, "as": do}
    return url_for("find.index", **values)  # type: ignore[arg-type]


def _minutes_left(plan: UnitPlan, week: int) -> str:
    """``20 minutes or less``; empty where more is left than the longest window holds."""
    longest = max((window.minutes for window in plan.room.prep_windows), default=0)
    left = prep_minutes_left(plan, week)
    if not longest or left > longest:
        return ""
    return f"{left} minutes or less" if left else "no prep"
