"""Reads from the library folder what a plan of one unit needs, and no more."""

from __future__ import annotations

import datetime as dt

from library.cards.folder import CardFolder
from library.frameworks.folder import read_frameworks
from library.plan.sharing import claims_on, rooms_sharing
from library.plan.unitplan import UnitPlan, cards_named, plan_unit
from library.prep.pinning import PinnedStep
from library.room.room import Room
from library.store.paths import LibraryPaths
from library.supplies.sharing import joint_stock
from library.units.folder import UnitFolder
from library.units.lookback import as_it_took, minutes_it_took
from library.units.unit import Unit


def open_plan(
    paths: LibraryPaths,
    unit: Unit | str,
    room: Room,
    *,
    today: dt.date | None = None,
    cards: CardFolder | None = None,
    units: UnitFolder | None = None,
) -> UnitPlan:
    """Reads a unit's theme, cards and materials and lays it out for a room.

    Cards that the unit does not name are not read, so that a broken one elsewhere changes nothing
    (CMD8); a named one that cannot be read counts as missing. Where the room says so, cards count
    with the minutes of prep that look-backs noted.

    Args:
        paths: The library's places.
        unit: A unit, or its ``theme/unit``.
        room: The room it is for.
        today: The day on which it is asked.
        cards: The folder of cards, where it is open already and remembers what it read.
        units: The folder of units, likewise.

    Raises:
        NotFound: If there is no such unit.
        Invalid: If its file cannot be read.
        WrongUse: If it does not start on a Monday, or the name is none.
    """
    units, folder = units or UnitFolder(paths), cards or CardFolder(paths)
    found = units.read(unit).unit if isinstance(unit, str) else unit
    named = {name: card for name in cards_named(found) if (card := folder.card(name))}
    if room.prep_as_it_took:
        took = minutes_it_took(units.read_all()[0])
        named = {name: as_it_took(card, took.get(name, ())) for name, card in named.items()}
    materials = folder.materials()[0]
    others = rooms_sharing(paths, room)
    return plan_unit(
        found,
        units.read_theme(found.theme).theme,
        named,
        joint_stock(room, others),
        materials=materials,
        frameworks=read_frameworks(paths)[0],
        today=today,
        claims=claims_on(paths, others, materials),
        pins=pins_of(paths, found, room),
    )


def pins_of(paths: LibraryPaths, unit: Unit, room: Room) -> tuple[PinnedStep, ...]:
    """The steps of a unit's prep that the room has put somewhere, done ones first.

    What is done stays where it was done, whatever was put beside it later.
    """
    if not room.name or not paths.database.exists():
        return ()
    from library.room.prepbook import PrepBook

    settled = PrepBook(paths.database, room.name).settled(unit.id)
    return tuple(
        PinnedStep(each.step, each.day, each.window, each.adult, each.minutes)
        for each in sorted(settled, key=lambda each: not each.done)
        if each.day is not None
    )
