"""Rooms that share a closet: what the others take on a day, and where there is not enough for all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from library.materials.amounts import Quantity
from library.materials.measures import Unlike, add, convert
from library.room.room import Room
from library.supplies.lines import SupplyLine, on_day, used_up, weight_of
from library.supplies.needs import SHARED, Need, Needs
from library.supplies.wording import center_words, dates_words


@dataclass(frozen=True, slots=True)
class Claim:
    """What another room's placement takes out of the shared closet, on each of its days."""

    room: str
    """Name of the room."""
    unit: str
    """Title of its unit."""
    need: Need


@dataclass(frozen=True, slots=True)
class Taker:
    """Who takes how much of a thing on one day."""

    who: str
    amount: Quantity
    movable: bool
    """Whether it is a placement of the unit that is looked at."""


def joint_stock(room: Room, others: Iterable[Room]) -> Room:
    """A room with the stock of all rooms that share its closet."""
    lines = [line for other in others for line in other.stock]
    return replace(room, stock=(*room.stock, *lines)) if lines else room


def claims_of(room: Room, unit: str, needs: Needs) -> tuple[Claim, ...]:
    """What a room's unit takes of things that are used again on another day.

    What is used up belongs to whoever bought it, so it is no claim.
    """
    return tuple(Claim(room.name, unit, each) for each in needs.needs if each.kind in SHARED)


def takers_on(line: SupplyLine, day: dt.date, claims: Iterable[Claim] = ()) -> tuple[Taker, ...]:
    """Who takes of a thing on a day, this unit's placements first; in the measure of the line."""
    weight, measure = weight_of(line.needs), line.need.measure
    found = []
    for name, needs in _by_placement(on_day(line.needs, day)).items():
        found.append(Taker(name, convert(used_up(needs, weight), measure, weight), True))
    for (room, unit), needs in _by_unit(line, day, claims).items():
        cards = ", ".join(dict.fromkeys(_title(each) for each in needs))
        try:
            amount = convert(used_up(needs, weight), measure, weight)
        except Unlike:
            continue  # another room counts it otherwise; its own page names that
        found.append(Taker(f"{room} for {unit} ({cards})", amount, False))
    return tuple(found)


def fullest_day(line: SupplyLine, claims: Sequence[Claim]) -> tuple[dt.date, Quantity] | None:
    """The day on which a shared thing is taken most by all rooms, and what they take of it then.

    Only days on which this unit takes some; of several the first. None where it takes none. Without
    other rooms it is the day that decides what the unit needs (SUP9).
    """
    if not claims:
        return (line.fullest, line.need) if line.fullest else None
    days = sorted({day for each in line.needs for day in each.placed.days})
    sums = {day: add(taker.amount for taker in takers_on(line, day, claims)) for day in days}
    fullest = max(days, key=lambda day: sums[day].number, default=None)
    return (fullest, sums[fullest]) if fullest else None


def claim_words(line: SupplyLine, claims: Sequence[Claim]) -> tuple[str, ...]:
    """What the other rooms take of a thing on days of this unit, by days with the same takers.

    ``Moss Room for Puddle days (Boats) 3, on Tue 6 Oct and Thu 8 Oct``.
    """
    found: dict[str, list[dt.date]] = {}
    for day in sorted({day for each in line.needs for day in each.placed.days}):
        for taker in takers_on(line, day, claims):
            if not taker.movable:
                found.setdefault(f"{taker.who} {taker.amount}", []).append(day)
    return tuple(f"{words}, {dates_words(days)}" for words, days in found.items())


def _by_placement(needs: Iterable[Need]) -> dict[str, list[Need]]:
    """Needs by card and center. A line ``in all`` of a card that stands twice counts at its first."""
    found: dict[str, list[Need]] = {}
    counted: set[tuple[str, int]] = set()
    for each in needs:
        if each.once and (each.activity, each.place) in counted:
            continue
        counted.add((each.activity, each.place))
        found.setdefault(f"{_title(each)} at {center_words(each.placed.center)}", []).append(each)
    return found


def _by_unit(
    line: SupplyLine, day: dt.date, claims: Iterable[Claim]
) -> dict[tuple[str, str], list[Need]]:
    found: dict[tuple[str, str], list[Need]] = {}
    for claim in claims:
        same = claim.need.item.casefold() == line.item.casefold()
        if same and day in claim.need.placed.days:
            found.setdefault((claim.room, claim.unit), []).append(claim.need)
    return found


def _title(need: Need) -> str:
    return need.placed.card.title if need.placed.card else need.activity
