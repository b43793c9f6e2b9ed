"""Things that the planned prep wants earlier than the day from which their order is counted.

The day to order by is counted back from the last day on which prep could be done, whatever is
planned (SUP18). Where the plan prepares earlier, the thing has to be there earlier.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from library.plan.unitplan import UnitPlan
from library.supplies.lines import SupplyLine, order_day
from library.supplies.wording import date_words


@dataclass(frozen=True, slots=True)
class WantedForPrep:
    """When the planned prep wants a thing that is not there yet."""

    day: dt.date
    """Of the first session in which a card is prepared that takes the thing."""
    order_by: dt.date
    """Counted back from that day as for a first use (SUP17)."""
    is_earlier_order: bool
    """Whether that is before the line's own day to order by."""

    @property
    def said(self) -> str:
        """``Prep begins on Wed 6 Jan: have it by then, so order by Mon 4 Jan``."""
        order = f", so order by {date_words(self.order_by)}" if self.is_earlier_order else ""
        return f"Prep begins on {date_words(self.day)}: have it by then{order}"


def day_to_order(line: SupplyLine, early: Mapping[str, WantedForPrep]) -> dt.date | None:
    """The day that every list names to order a thing by: the line's own, or the earlier one for prep."""
    wanted = early.get(line.item)
    return wanted.order_by if wanted else line.order_by


def wanted_for_prep(plan: UnitPlan, lines: Iterable[SupplyLine]) -> dict[str, WantedForPrep]:
    """By item, what the planned prep wants before the day its order is counted from.

    A card is taken to want all its things when its prep begins, since steps do not say which.

    Args:
        plan: The unit with its prep.
        lines: What it needs; only what has to be fetched is looked at.
    """
    begins: dict[str, dt.date] = {}
    for session in plan.prep.sessions:
        for step in session.steps:
            begins.setdefault(step.activity, session.date)
    found = {}
    for line in lines:
        days = [begins[name] for name in line.activities if name in begins]
        if line.order_by is None or line.first_use is None or not line.is_fetched or not days:
            continue
        if (day := min(days)) < line.first_use:
            delivery = line.bought.delivery_days if line.bought else 0
            order_by = order_day(day, delivery, plan.room)
            found[line.item] = WantedForPrep(day, order_by, order_by < line.order_by)
    return found
