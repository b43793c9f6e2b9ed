"""What must not be put out before the plan is changed, in words for whoever sets a tray out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable
from dataclasses import replace

from library.plan.unitplan import UnitPlan
from library.safety.checks import placement_findings
from library.units.findings import KINDS, Finding, Level
from library.units.placed import Placed


def stops_on(
    plan: UnitPlan, placed: Placed, days: Collection[dt.date] | None = None
) -> tuple[Finding, ...]:
    """The stops that stand on a placement, for the children who come on some of its days.

    Args:
        plan: The unit in its room.
        placed: One of its placements or rain swaps.
        days: Which of its days; None: all.
    """
    there = placed.days if days is None else tuple(day for day in placed.days if day in days)
    found = placement_findings(replace(placed, days=there), plan.room, plan.materials)
    return tuple(each for each in found if each.level is Level.STOP)


def stop_words(stops: Iterable[Finding]) -> str:
    """``metal token and river glass (small parts); flour (allergens)``.

    It names things and rules, never whose allergen it is.
    """
    things: dict[str, list[str]] = {}
    for each in stops:
        about = each.item or (each.hazard or "").replace("-", " ")
        things.setdefault(KINDS.get(each.kind, each.kind).lower(), []).append(about)
    return "; ".join(_with_things(kind, about) for kind, about in things.items())


def _with_things(kind: str, about: Iterable[str]) -> str:
    *most, last = dict.fromkeys(filter(None, about)) or ("",)
    if not last:
        return kind
    return f"{', '.join(most)} and {last} ({kind})" if most else f"{last} ({kind})"
