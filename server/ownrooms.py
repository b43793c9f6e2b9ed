"""The rooms that whoever asks may know of. To everybody else a room of others does not exist."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import replace

from flask import has_request_context, session

from library.room.room import Child, Room
from library.room.rooms import Cleared, Rooms
from library.store.errors import NotFound
from server.visitors import ROOM, look_again, visitor


class OwnRooms(Rooms):
    """Rooms as seen by the visitor of a request; outside of one, by whoever runs the program.

    Everything that :class:`Rooms` offers is looked at here, so that a posted name of another room
    gets the answer of a room that is not there. A test names what is missing.
    """

    def names(self) -> list[str]:
        """The names of one's own rooms, in order."""
        own = _own()
        return [name for name in super().names() if own is None or name.casefold() in own]

    def current(self) -> Room | None:
        """The room that was chosen in this session, else the first of one's own."""
        if not has_request_context():
            return super().current()
        names = self.names()
        found = next((name for name in names if _mark(name) == session.get(ROOM)), None)
        if found is None and _own() is None:
            return super().current()
        return self.get(found or names[0]) if names else None

    def get(self, name: str) -> Room:
        """The room of a name, if it is one's own."""
        self._refuse_others(name)
        return super().get(name)

    def sharing(self, room: Room) -> tuple[Room, ...]:
        """The other rooms that share a closet; of those of others only how many come on which days."""
        own = _own()
        return tuple(
            each
            if own is None or each.name.casefold() in own
            else replace(each, children=_nameless(each.children), policies=())
            for each in super().sharing(room)
        )

    def save(self, room: Room, *, make_current: bool = True, was: Room | None = None) -> None:
        """Keeps one's own room; a new one only where all rooms are one's own."""
        self._refuse_others(room.name)
        super().save(room, make_current=make_current and not has_request_context(), was=was)
        if make_current and has_request_context():
            session[ROOM] = _mark(room.name)

    def make_current(self, name: str) -> None:
        """Works with another of one's own rooms, in this session alone."""
        room = self.get(name)
        if has_request_context():
            session[ROOM] = _mark(room.name)
        else:
            super().make_current(name)

    def rename(self, name: str, new: str) -> None:
        """Gives one's own room another name."""
        self._refuse_others(name)
        super().rename(name, new)
        if has_request_context():
            session[ROOM] = _mark(new)
            look_again()

    def rename_children(self, name: str, labels: Mapping[str, str]) -> None:
        """Gives children of one's own room other labels."""
        self._refuse_others(name)
        super().rename_children(name, labels)

    def remove(self, name: str) -> None:
        """Removes one's own room."""
        self._refuse_others(name)
        super().remove(name)

    def remove_child(self, name: str, label: str) -> None:
        """Removes what is known of a child of one's own room."""
        self._refuse_others(name)
        super().remove_child(name, label)

    def clear_year(self, name: str, before: dt.date, *, only_count: bool = False) -> Cleared:
        """Clears one's own room at the end of a year."""
        self._refuse_others(name)
        return super().clear_year(name, before, only_count=only_count)

    def load_demo(self, today: dt.date) -> Room:
        """Adds the example room, for somebody to whom all rooms are open."""
        self._refuse_others("")
        return super().load_demo(today)

    def remove_demo(self) -> bool:
        """Removes the example room, for somebody to whom all rooms are open."""
        self._refuse_others("")
        return super().remove_demo()

    def labels(self, names: Iterable[str] | None = None) -> tuple[str, ...]:
        """The labels of children in one's own rooms; others cannot be found out by asking."""
        own = self.names()
        return super().labels(own if names is None else [name for name in names if name in own])

    def _refuse_others(self, name: str) -> None:
        own = _own()
        if own is not None and name.strip().casefold() not in own:
            there = ", ".join(self.names())
            raise NotFound(
                f"there is no room '{name[:60]}' for you"
                + (f"; yours: {there}" if there else "; the lead can give you one")
            )


def _mark(name: str) -> str:
    """What the session's cookie says of a room: short, however long the name is, and not its name."""
    return hashlib.sha256(name.strip().casefold().encode()).hexdigest()[:16]


def _nameless(children: Iterable[Child]) -> tuple[Child, ...]:
    """Children that count and are nobody: amounts need how many come, and nothing else of them."""
    return tuple(
        replace(child, label=f"child {number}", born=(2000, 1), allergens=())
        for number, child in enumerate(children, start=1)
    )


def _own() -> frozenset[str] | None:
    """The names of one's own rooms in lower case; None where all are."""
    rooms = visitor().rooms if has_request_context() else None
    return None if rooms is None else frozenset(name.casefold() for name in rooms)
