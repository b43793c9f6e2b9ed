"""After the unit: what goes back into which bin, what is left over, and what stays out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from library.room.room import StockLine
from library.supplies.lines import Supplies, SupplyLine, on_day
from library.supplies.wording import center_words, date_words, listed
from library.units.calendar import DAYS_A_WEEK
from library.units.unit import Unit

NO_BIN = "No bin noted"


@dataclass(frozen=True, slots=True)
class Packed:
    """One thing at the end of a unit."""

    item: str
    amount: str
    """How much was in use, or what is left over."""
    after: dt.date
    """The last day on which it is used."""
    wash: str
    """How often it is washed; empty: not said."""
    stays: str
    """Why it stays out; empty: it is packed away."""


@dataclass(frozen=True, slots=True)
class Packing:
    """The whole list."""

    bins: tuple[tuple[str, tuple[Packed, ...]], ...]
    """Each bin with what goes into it, in the order of their names; without a bin last."""
    out: tuple[Packed, ...]
    """What stays out."""


def packing(
    supplies: Supplies, last_day: dt.date | None, needed_next: Mapping[str, str]
) -> Packing:
    """What to do with everything that a unit used and that lasts.

    Shared things go back; of what is used up, what is left over goes back. What a standing
    center still uses on the unit's last day stays, and so does what the next unit needs.

    Args:
        supplies: What the unit needed.
        last_day: Its last open day.
        needed_next: Main name of a thing in lower case → what needs it next, in words.
    """
    bins: dict[str, list[Packed]] = {}
    out: list[Packed] = []
    for line in supplies.lines:
        packed = _packed(line, last_day, needed_next)
        if packed is None:
            continue
        if packed.stays:
            out.append(packed)
        else:
            bins.setdefault(listed(line.bins) or NO_BIN, []).append(packed)
    names = sorted(bins, key=lambda name: (name == NO_BIN, name))
    return Packing(tuple((name, tuple(bins[name])) for name in names), tuple(out))


def _packed(
    line: SupplyLine, last_day: dt.date | None, needed_next: Mapping[str, str]
) -> Packed | None:
    days = [day for each in line.needs for day in each.placed.days]
    left = left_over(line.stock)
    if not days or not (line.is_shared or left):
        return None
    stays = _stands_on(line, last_day) or needed_next.get(line.item.casefold(), "")
    material = line.needs[0].material
    wash = (material.wash if material else "") or ""
    amount = str(line.need) if line.is_shared else f"what is left of {left}"
    return Packed(line.item, amount, max(days), wash, stays)


def left_over(stock: Iterable[StockLine]) -> str:
    """What the stock list has of a thing, in words; empty: nothing."""
    return listed(str(line.amount) for line in stock if line.amount.number)


def _stands_on(line: SupplyLine, last_day: dt.date | None) -> str:
    """The standing centers that still use a thing on the last day."""
    there = on_day(line.needs, last_day) if last_day else ()
    centers = dict.fromkeys(
        center_words(each.placed.center) for each in there if each.placed.placement.standing
    )
    return f"it stays at {listed(centers)}" if centers else ""


def needed_next(unit: Unit, supplies: Supplies) -> dict[str, str]:
    """What the unit that follows needs in its first week: name in lower case → why, in words."""
    week = unit.starts + dt.timedelta(days=DAYS_A_WEEK)
    return {
        line.item.casefold(): f"needed again from {date_words(line.first_use)} for {unit.title}"
        for line in supplies.lines
        if line.first_use and line.first_use < week
    }
