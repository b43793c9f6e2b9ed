"""What a running server holds of its library: the folders, the index, and what it last read.

Routes reach it as ``shelf()``. It decides nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, cast

from flask import current_app

from library.cards.card import Card
from library.cards.folder import CardFolder
from library.materials.material import MaterialBook
from library.units.folder import UnitFolder
from library.units.unit import Unit
from server.settings import Settings

if TYPE_CHECKING:
    from library.room.room import Room
    from library.room.rooms import Rooms


@dataclass(frozen=True, slots=True)
class Reading:
    """How far the reading of cards has come."""

    done: int = 0
    total: int = 0


class Shelf:
    """One library as the server holds it."""

    def __init__(self, settings: Settings) -> None:
        """Opens nothing yet."""
        self.settings = settings
        self.paths = settings.paths
        self.reading = Reading()
        self._materials: tuple[int, MaterialBook] = (-1, MaterialBook())

    @cached_property
    def cards(self) -> CardFolder:
        """The folder of cards."""
        return CardFolder(self.paths)

    @cached_property
    def units(self) -> UnitFolder:
        """The folder of themes and units."""
        return UnitFolder(self.paths)

    @cached_property
    def rooms(self) -> Rooms:
        """The private database of rooms."""
        from library.room.rooms import Rooms

        return Rooms(self.paths.database)

    def room(self) -> Room | None:
        """The room that is worked with, or None where there is none yet."""
        return self.rooms.current()

    def cards_of(self, unit: Unit) -> dict[str, Card]:
        """The cards a unit names that can be read, by id."""
        named = [p.activity for p in unit.placements] + [p.instead for p in unit.placements]
        found = {name: self.cards.card(name) for name in dict.fromkeys(named) if name}
        return {name: card for name, card in found.items() if card is not None}

    def centers(self) -> tuple[str, ...]:
        """Keys of all centers: the room's in walking order, then others that cards name."""
        room = self.room()
        named = [key for card in self.cards.read_all()[0] for key in card.centers]
        return tuple(dict.fromkeys([*(room.centers if room else ()), *sorted(named)]))

    def item_names(self) -> tuple[str, ...]:
        """The main names of all materials, in order."""
        return tuple(sorted(material.item for material in self.materials().materials))

    def refresh(self) -> None:
        """Reads what changed in the library folder since the last time."""

    def start(self, say: Callable[[str], None]) -> None:
        """Begins to read the library in the background.

        Args:
            say: Told in one line when the cards are read.
        """
        say(f"{len(self.cards.files())} cards.")

    def stop(self) -> None:
        """Ends what runs in the background."""

    def materials(self) -> MaterialBook:
        """The library's materials, read again when their file changed."""
        path = self.paths.activities / "materials.yaml"
        stamp = path.stat().st_mtime_ns if path.is_file() else 0
        if self._materials[0] != stamp:
            self._materials = (stamp, self.cards.materials()[0])
        return self._materials[1]


def shelf() -> Shelf:
    """The library of the app that answers now."""
    return cast(Shelf, current_app.extensions["lowshelf"])
