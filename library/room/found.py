"""Finds a room in the private database by its name, and a child by its label."""

from __future__ import annotations

from sqlalchemy import ColumnElement, Connection, func, select, update

from library.room import tables as t
from library.store.errors import NotFound


def is_room(name: str) -> ColumnElement[bool]:
    """Whether a row is that of a room, however its name is written."""
    return t.room.c.key == name.strip().casefold()


def is_label(column: ColumnElement[str], label: str) -> ColumnElement[bool]:
    """Whether a column holds a child's label, in any case; SQLite's own ``lower`` knows no É."""
    return func.folded(column) == label.strip().casefold()


def lock_room(connection: Connection, name: str) -> int:
    """The room's id. Writing first makes another writer wait, so that nobody changes old rows.

    Raises:
        NotFound: If there is no such room any more.
    """
    connection.execute(update(t.room).where(is_room(name)).values(name=t.room.c.name))
    room_id = connection.scalar(select(t.room.c.id).where(is_room(name)))
    if room_id is None:
        raise NotFound(f"there is no room '{name[:60]}' any more")
    return int(room_id)
