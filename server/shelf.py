"""What a running server holds of its library: the folders, the index, and what it last read.

Routes reach it as ``shelf()``. It decides nothing.
"""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, cast

from flask import current_app

from library.cards.centers import CENTERS
from library.cards.folder import CardFolder
from library.frameworks.everyday import domain_words
from library.frameworks.folder import read_frameworks
from library.materials.material import MaterialBook
from library.store.errors import IndexBusy, LibraryError
from library.store.watching import FolderWatch
from library.units.folder import UnitFolder
from server.settings import Settings

if TYPE_CHECKING:
    from library.accounts.accounts import Accounts
    from library.history.versions import History
    from library.plan.unitplan import UnitPlan
    from library.room.room import Room
    from library.room.rooms import Rooms
    from library.search.index import SearchIndex
    from library.search.view import View
    from library.search.vocabulary import Vocabulary
    from library.units.unit import Unit
    from server.planning import Plans


LONG_READING = 1_000
"""Files from which on the terminal is told how far the reading has come."""


@dataclass(frozen=True, slots=True)
class Reading:
    """How far the reading of cards has come."""

    done: int = 0
    """Files read so far."""
    total: int = 0
    """Files to read."""
    ready: bool = False
    """Whether all cards were read once."""


class Shelf:
    """One library as the server holds it."""

    def __init__(self, settings: Settings) -> None:
        """Opens nothing yet."""
        self.settings = settings
        self.paths = settings.paths
        self.reading = Reading()
        self._say: Callable[[str], None] = lambda _: None
        self._vocabulary: tuple[View, Vocabulary] | None = None
        self._watch: FolderWatch | None = None
        self._materials: tuple[tuple[int, ...], MaterialBook] = ((), MaterialBook())

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
        """The rooms; where people sign in, each sees their own."""
        from library.room.rooms import Rooms
        from server.ownrooms import OwnRooms

        kind = Rooms if self.settings.loopback else OwnRooms
        return kind(self.paths.database)

    @cached_property
    def accounts(self) -> Accounts:
        """Who may come in, where others can reach the server."""
        from library.accounts.accounts import Accounts

        return Accounts(self.paths.database)

    @cached_property
    def history(self) -> History:
        """Every version of every file."""
        from library.history.versions import History

        return History(self.paths)

    @cached_property
    def plans(self) -> Plans:
        """Units while they are planned."""
        from server.planning import Plans

        return Plans(self.units, self.history)

    def open_plan(self, unit: Unit | str, room: Room, *, today: dt.date | None = None) -> UnitPlan:
        """A unit laid out for a room, out of folders that remember what they read."""
        from library.plan.opening import open_plan

        return open_plan(self.paths, unit, room, today=today, cards=self.cards, units=self.units)

    def room(self) -> Room | None:
        """The room that is worked with, or None where there is none yet."""
        return self.rooms.current()

    def centers(self) -> tuple[str, ...]:
        """Keys of all centers: the room's in walking order, the usual ones, others that cards name."""
        room = self.room()
        return tuple(dict.fromkeys([*(room.centers if room else ()), *self.known_centers()]))

    def known_centers(self) -> tuple[str, ...]:
        """Keys of the usual centers, then of others that cards name."""
        parts = self.index.view.parts
        named = sorted({key for part in parts for key in part.arrays.values("centers")})
        return tuple(dict.fromkeys([*(center.key for center in CENTERS), *named]))

    def item_names(self) -> tuple[str, ...]:
        """The main names of all materials, in order."""
        return tuple(sorted(material.item for material in self.materials().materials))

    @cached_property
    def index(self) -> SearchIndex:
        """The search index."""
        from library.search.index import SearchIndex

        return SearchIndex(self.paths, self.cards)

    def vocabulary(self) -> Vocabulary:
        """What the library calls its things, gathered anew when the cards changed."""
        from library.search.lexicon import vocabulary_of

        view = self.index.view
        if self._vocabulary is None or self._vocabulary[0] is not view:
            goals = [
                goal for framework in read_frameworks(self.paths)[0] for goal in framework.goals
            ]
            centers = self.cards.centers()[0]
            known = self._vocabulary[1] if self._vocabulary else None
            made = vocabulary_of(view, domain_words(goals), centers, known=known)
            self._vocabulary = (view, made)
        return self._vocabulary[1]

    def refresh(self) -> None:
        """Reads what changed in the library folder since the last time."""
        self.index.refresh(self._note)
        self.reading = Reading(ready=True)

    def refresh_files(self, files: Iterable[str]) -> None:
        """Reads files that were just written or removed, and no others; of them only cards are searched.

        Args:
            files: Paths within the library folder.
        """
        cards = [file for file in files if file.startswith("activities/") and file.endswith(".md")]
        self.index.refresh_files(cards)

    def start(self, say: Callable[[str], None]) -> None:
        """Begins to read the library in the background, and to follow its folders.

        Args:
            say: Told in one line when the cards are read.
        """
        threading.Thread(target=self._begin, args=(say,), name="first-reading", daemon=True).start()
        if self.settings.watch:
            self._watch = FolderWatch((self.paths.activities, self.paths.themes), self._follow)
            self._watch.start()

    def stop(self) -> None:
        """Ends what runs in the background."""
        if self._watch is not None:
            self._watch.stop()

    def _begin(self, say: Callable[[str], None]) -> None:
        self._say = say
        try:
            self.refresh()
        except IndexBusy as error:
            say(str(error))
        self.reading = Reading(ready=True)
        problems = self.index.problems()
        say(f"{self.index.view.cards} cards are ready to search.")
        if problems:
            say(f"{len(problems)} problems in the files; 'lowshelf card check' lists them.")
        self._keep_versions()

    def _follow(self) -> None:
        """Follows what another program changed; what cannot be done now is done at the next change."""
        try:
            self.refresh()
        except (LibraryError, OSError) as error:
            self._say(f"A change could not be read just now: {error}")
        self._keep_versions()

    def _keep_versions(self) -> None:
        """Keeps a version of every file that was changed outside."""
        from library.history.versions import History

        try:
            History(self.paths).record_outside_changes()
        except (LibraryError, OSError) as error:
            self._say(f"No version could be kept just now: {error}")

    def _note(self, done: int, total: int) -> None:
        before = self.reading.done
        self.reading = Reading(done, total, self.reading.ready)
        if total >= LONG_READING and done // 500 > before // 500 and not self.reading.ready:
            bar = "#" * (30 * done // total)
            self._say(f"Reading cards  [{bar:<30}]  {done:,} of {total:,}")

    def materials(self) -> MaterialBook:
        """The library's materials, read again when a file of theirs changed."""
        files = (self.paths.activities / name for name in ("materials.yaml", "allergens.yaml"))
        stamp = tuple(path.stat().st_mtime_ns if path.is_file() else 0 for path in files)
        if self._materials[0] != stamp:
            self._materials = (stamp, self.cards.materials()[0])
        return self._materials[1]


def shelf() -> Shelf:
    """The library of the app that answers now."""
    return cast(Shelf, current_app.extensions["lowshelf"])
