"""``python -m tests.bench.supplies``: a year of supplies, 18 units with 250 placements in all.

The units are laid out over the starter library's cards for the example room, two weeks each, and
every number opens in words. Prints the seconds of the first unit, in which the measures are loaded,
of all units in a row, of the middle unit, and the most memory.
"""

from __future__ import annotations

import datetime as dt
import resource
import time
from itertools import cycle, islice

from library.room.demo import demo_room
from library.supplies.checks import check_durables
from library.supplies.lines import Supplies, supplies_of
from library.supplies.reckoning import reckon
from library.supplies.shopping import shopping
from library.units.placed import lay_out
from library.units.unit import Placement, Unit
from tests.shelf import cards_by_id, materials, themes

UNITS, PLACEMENTS = 18, 250
STARTS = dt.date(2026, 8, 31)
WAYS = ((), ((1,), ()), ((2,), ()), ((), ("tue", "thu")), ((1, 2), ("mon", "wed", "fri")))
"""Weeks and weekdays of placements, in turn."""


def main() -> None:
    """Measures a year and prints a row for each figure."""
    units, book = a_year(), materials()
    room = demo_room(STARTS)
    placed = sum(len(unit.placements) for unit in units)
    times, lines, bought = [], 0, 0
    began = time.perf_counter()
    for unit in units:
        start = time.perf_counter()
        found = reckoned(unit, room)
        times.append(time.perf_counter() - start)
        lines += len(found.lines)
        bought += len(shopping(found, book).things)
    whole = time.perf_counter() - began
    later = sorted(times[1:])
    print(f"{len(units)} units, {placed} placements, {lines} lines, {bought} things to fetch")
    print(f"first unit, measures loaded on the way   {times[0] * 1000:>8.1f} ms")
    print(f"the middle one of the others             {later[len(later) // 2] * 1000:>8.1f} ms")
    print(f"the slowest of the others                {later[-1] * 1000:>8.1f} ms")
    print(f"the whole year                           {whole * 1000:>8.1f} ms")
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
    print(f"most memory                              {most:>8.1f} MB")


def a_year() -> list[Unit]:
    """Eighteen units of two weeks in a row, with the library's cards in turn."""
    named = cycle(sorted(card.id for card in cards_by_id().values()))
    ways = cycle(WAYS)
    dressed = cycle(sorted(theme.id for theme in themes()))
    units = []
    for number in range(UNITS):
        many = PLACEMENTS // UNITS + (number < PLACEMENTS % UNITS)
        placements = tuple(_placement(card, next(ways)) for card in islice(named, many))
        starts = STARTS + dt.timedelta(weeks=2 * number)
        units.append(Unit(next(dressed), f"{number}", f"Unit {number}", starts, 2, placements))
    return units


def _placement(card: str, way: tuple) -> Placement:
    weeks, on = way or ((), ())
    return Placement(cards_by_id()[card].centers[0], card, weeks=weeks, on=on)


def reckoned(unit: Unit, room) -> Supplies:
    """The supplies of a unit with every number opened and what is short on a day."""
    theme = next(theme for theme in themes() if theme.id == unit.theme)
    placed = lay_out(unit, theme, cards_by_id(), room)
    found = supplies_of(unit.id, placed, room, materials())
    for line in found.lines:
        reckon(line)
    list(check_durables(found))
    return found


if __name__ == "__main__":
    main()
