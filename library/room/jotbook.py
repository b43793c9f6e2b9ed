"""Keeps jots in the private database and finds them by child, activity and date."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, RowMapping, Select, delete, insert, select, update

from library.room import tables as t
from library.room.database import compact, open_database
from library.room.found import is_label
from library.room.jots import Answer, Jot
from library.store.errors import NotFound

GONE = "this jot is gone; it may have been removed"


class JotBook:
    """The jots of one room."""

    def __init__(self, database: Path, room_name: str) -> None:
        """Opens the database.

        Args:
            database: File of the private database.
            room_name: Whose jots.

        Raises:
            NotFound: If there is no such room.
        """
        self._engine = open_database(database)
        with self._engine.connect() as connection:
            key = room_name.strip().casefold()
            room_id = connection.scalar(select(t.room.c.id).where(t.room.c.key == key))
        if room_id is None:
            raise NotFound("there is no such room")
        self._room_id = room_id

    def add(self, jot: Jot) -> Jot:
        """Keeps a new jot.

        Returns:
            The jot with its number.
        """
        with self._engine.begin() as connection:
            values = {"room_id": self._room_id, **_values(jot)}
            statement = insert(t.jot).values(values).returning(t.jot.c.id)
            jot_id = connection.execute(statement).scalar_one()
            _write_children(connection, jot_id, jot.children)
        return replace(jot, id=jot_id)

    def change(self, jot: Jot) -> None:
        """Replaces a jot by one of the same number.

        Raises:
            NotFound: If it is gone.
        """
        with self._engine.begin() as connection:
            self._require(connection, jot.id)
            connection.execute(update(t.jot).where(t.jot.c.id == jot.id).values(_values(jot)))
            connection.execute(delete(t.jot_child).where(t.jot_child.c.jot_id == jot.id))
            _write_children(connection, jot.id, jot.children)

    def remove(self, jot_id: int) -> None:
        """Removes a jot for good.

        Raises:
            NotFound: If it is gone already.
        """
        with self._engine.begin() as connection:
            self._require(connection, jot_id)
            connection.execute(delete(t.jot).where(t.jot.c.id == jot_id))
        compact(self._engine)

    def get(self, jot_id: int) -> Jot:
        """The jot of a number.

        Raises:
            NotFound: If it is gone, or another room's.
        """
        found = self._read(self._mine().where(t.jot.c.id == jot_id))
        if not found:
            raise NotFound(GONE)
        return found[0]

    def find(
        self,
        *,
        child: str | None = None,
        activity: str | None = None,
        since: dt.date | None = None,
        until: dt.date | None = None,
        limit: int | None = None,
    ) -> list[Jot]:
        """The jots that meet all that is asked, the latest first.

        Args:
            child: Label, in any case.
            activity: Id of a card.
            since: First day.
            until: Last day.
            limit: How many at most; None: all.
        """
        query = self._mine()
        if child is not None:
            same = is_label(t.jot_child.c.label, child)
            query = query.where(t.jot.c.id.in_(select(t.jot_child.c.jot_id).where(same)))
        if activity is not None:
            query = query.where(t.jot.c.activity == activity)
        if since is not None:
            query = query.where(t.jot.c.day >= since)
        if until is not None:
            query = query.where(t.jot.c.day <= until)
        return self._read(query.order_by(t.jot.c.day.desc(), t.jot.c.id.desc()).limit(limit))

    def labels(self) -> tuple[str, ...]:
        """The children whom jots mention, in order."""
        query = select(t.jot_child.c.label).where(t.jot_child.c.jot_id.in_(self._mine("id")))
        with self._engine.connect() as connection:
            return tuple(connection.scalars(query.distinct().order_by(t.jot_child.c.label)))

    def activities(self) -> tuple[str, ...]:
        """Ids of the cards that jots speak of, in order."""
        query = self._mine("activity").where(t.jot.c.activity.is_not(None)).distinct()
        with self._engine.connect() as connection:
            return tuple(connection.scalars(query.order_by(t.jot.c.activity)))

    def _mine(self, column: str = "") -> Select[Any]:
        """The room's jots, or one column of them."""
        what = t.jot.c[column] if column else t.jot
        return select(what).where(t.jot.c.room_id == self._room_id)

    def _read(self, query: Select[Any]) -> list[Jot]:
        """The jots of a query, in its order; their children come with one more query."""
        with self._engine.connect() as connection:
            rows = connection.execute(query).mappings().all()
            ids = query.with_only_columns(t.jot.c.id).subquery()
            pairs = select(t.jot_child).where(t.jot_child.c.jot_id.in_(select(ids.c.id)))
            labels: dict[int, list[str]] = {}
            for jot_id, label in connection.execute(pairs.order_by(t.jot_child.c.label)):
                labels.setdefault(jot_id, []).append(label)
        return [_jot(row, tuple(labels.get(row["id"], ()))) for row in rows]

    def _require(self, connection: Connection, jot_id: int | None) -> None:
        mine = (t.jot.c.id == jot_id) & (t.jot.c.room_id == self._room_id)
        if connection.scalar(select(t.jot.c.id).where(mine)) is None:
            raise NotFound(GONE)


def _values(jot: Jot) -> dict[str, Any]:
    answer = jot.answer.value if jot.answer else None
    return {"day": jot.day, "words": jot.words, "activity": jot.activity, "answer": answer}


def _write_children(connection: Connection, jot_id: int | None, labels: tuple[str, ...]) -> None:
    for label in dict.fromkeys(labels):
        connection.execute(insert(t.jot_child).values(jot_id=jot_id, label=label))


def _jot(row: RowMapping, labels: tuple[str, ...]) -> Jot:
    answer = Answer(row["answer"]) if row["answer"] else None
    return Jot(row["day"], row["words"], labels, row["activity"], answer, row["id"])
