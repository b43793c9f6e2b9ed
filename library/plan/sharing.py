"""Looks at the other rooms that share a room's closet, and at what their units take."""

from __future__ import annotations

from library.cards.folder import CardFolder
from library.materials.material import MaterialBook
from library.plan.unitplan import cards_named
from library.room.room import Room
from library.room.rooms import Rooms
from library.store.errors import LibraryError
from library.store.paths import LibraryPaths
from library.supplies.needs import needs_of
from library.supplies.sharing import Claim, claims_of
from library.units.folder import UnitFolder
from library.units.placed import lay_out


def rooms_sharing(paths: LibraryPaths, room: Room) -> tuple[Room, ...]:
    """The other rooms that share a room's closet; none is read where it shares none."""
    return Rooms(paths.database).sharing(room) if room.shelf else ()


def claims_on(
    paths: LibraryPaths, others: tuple[Room, ...], book: MaterialBook
) -> tuple[Claim, ...]:
    """What the units of other rooms take out of the closet.

    A unit that is gone or cannot be read claims nothing; the page of that room says so.
    """
    found: list[Claim] = []
    for other in others:
        for unit_id in other.units:
            found += _claims_of_unit(paths, other, unit_id, book)
    return tuple(found)


def _claims_of_unit(
    paths: LibraryPaths, room: Room, unit_id: str, book: MaterialBook
) -> tuple[Claim, ...]:
    units, cards = UnitFolder(paths), CardFolder(paths)
    try:
        unit = units.read(unit_id).unit
        theme = units.read_theme(unit.theme).theme
    except LibraryError:
        return ()
    named = {name: card for name in cards_named(unit) if (card := cards.card(name))}
    placed = lay_out(unit, theme, named, room)
    return claims_of(room, unit.title, needs_of(placed, room, book))
