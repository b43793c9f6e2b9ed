"""Keeps what a room has settled about its prep: where a step is done, by whom, and that it is done."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, RowMapping, delete, insert, select

from library.room import tables as t
from library.room.database import open_database
from library.room.found import is_room, lock_room

LONGEST_WHO = 40
"""Letters of a name or of initials."""


@dataclass(frozen=True, slots=True)
class Settled:
    """What is settled about one step, or about one piece of a step that is done in pieces."""

    step: str
    """Key of the step."""
    day: dt.date | None = None
    """The day it is done on; None: wherever the plan puts it."""
    window: str = ""
    """``13:00-13:40``."""
    adult: int | None = None
    """Which of the adults of the window, from 1; None: whoever is free."""
    minutes: int | None = None
    """Minutes of this piece; None: the whole step."""
    done: bool = False
    who: str = ""
    """Who does it, in the team's own word; empty: nobody was asked."""

    @property
    def is_placed(self) -> bool:
        """Whether it has a day and a window."""
        return self.day is not None

    def is_at(self, day: dt.date, window: str) -> bool:
        """Whether it lies there."""
        return (self.day, self.window) == (day, window)


class PrepBook:
    """What one room has settled. Nothing here names a child."""

    def __init__(self, database: Path, room: str) -> None:
        """Opens the database; makes or migrates it if need be.

        Args:
            database: File of the private database.
            room: Name of the room.
        """
        self._engine = open_database(database)
        self._room = room

    def settled(self, unit: str) -> tuple[Settled, ...]:
        """What is settled for a unit, the earliest first; nothing for a room that is not there."""
        with self._engine.connect() as connection:
            room_id = connection.scalar(select(t.room.c.id).where(is_room(self._room)))
            return self._rows(connection, room_id, unit) if room_id else ()

    def put(self, unit: str, place: Settled, was: tuple[dt.date, str] | None = None) -> None:
        """Puts a step somewhere; it stays there and the rest is planned around it.

        Args:
            unit: ``theme/unit``.
            place: The step with day and window.
            was: Where the piece lay before, of a step in pieces; None: all pieces give way.
        """
        with self._engine.begin() as connection:
            room_id = lock_room(connection, self._room)
            there = self._of_step(connection, room_id, unit, place.step)
            kept = [each for each in there if was is not None and not _gives_way(each, place, was)]
            who = place.who or next((each.who for each in there if each.who), "")
            kept.append(replace(place, who=who))
            self._write(connection, room_id, unit, place.step, kept)

    def let_go(self, unit: str, step: str, at: tuple[dt.date, str] | None = None) -> None:
        """Lets a step be planned anywhere again; one that is done stays.

        Args:
            unit: ``theme/unit``.
            step: Its key.
            at: The place of one piece; None: all of them.
        """
        with self._engine.begin() as connection:
            room_id = lock_room(connection, self._room)
            there = self._of_step(connection, room_id, unit, step)
            left = [
                each if each.done or (at is not None and not each.is_at(*at)) else _unplaced(each)
                for each in there
            ]
            self._write(connection, room_id, unit, step, left)

    def tick(self, unit: str, place: Settled) -> None:
        """Notes that a step, or a piece of one, was done; it stays where it was done."""
        assert place.day is not None  # what is done was done on some day
        with self._engine.begin() as connection:
            room_id = lock_room(connection, self._room)
            there = self._of_step(connection, room_id, unit, place.step)
            others = [e for e in there if e.is_placed and not e.is_at(place.day, place.window)]
            who = next((each.who for each in there if each.who), "")
            rows = [*others, replace(place, done=True, who=who)]
            self._write(connection, room_id, unit, place.step, rows)

    def untick(self, unit: str, step: str, at: tuple[dt.date, str]) -> None:
        """Takes a tick back; the step stays where it is."""
        with self._engine.begin() as connection:
            room_id = lock_room(connection, self._room)
            there = self._of_step(connection, room_id, unit, step)
            rows = [replace(e, done=False) if e.is_at(*at) else e for e in there]
            self._write(connection, room_id, unit, step, rows)

    def ask(self, unit: str, step: str, who: str) -> None:
        """Notes who does a step; an empty word asks nobody."""
        who = " ".join(who.split())[:LONGEST_WHO]
        with self._engine.begin() as connection:
            room_id = lock_room(connection, self._room)
            there = self._of_step(connection, room_id, unit, step) or [Settled(step)]
            self._write(connection, room_id, unit, step, [replace(each, who=who) for each in there])

    def _rows(self, connection: Connection, room_id: int, unit: str) -> tuple[Settled, ...]:
        wanted = (t.prep_step.c.room_id == room_id) & (t.prep_step.c.unit == unit)
        rows = connection.execute(select(t.prep_step).where(wanted).order_by(t.prep_step.c.id))
        return tuple(_read(row) for row in rows.mappings())

    def _of_step(self, connection: Connection, room_id: int, unit: str, step: str) -> list[Settled]:
        return [each for each in self._rows(connection, room_id, unit) if each.step == step]

    def _write(
        self, connection: Connection, room_id: int, unit: str, step: str, rows: list[Settled]
    ) -> None:
        same = (t.prep_step.c.room_id == room_id) & (t.prep_step.c.unit == unit)
        connection.execute(delete(t.prep_step).where(same, t.prep_step.c.step == step))
        placed = [row for row in rows if row.is_placed]
        says = [row for row in rows if row.who]
        for row in placed or says[:1]:
            values = {"room_id": room_id, "unit": unit, **_values(row)}
            connection.execute(insert(t.prep_step).values(values))


def _gives_way(there: Settled, place: Settled, was: tuple[dt.date, str]) -> bool:
    """Whether a row makes room for a piece that is put somewhere: it lay there, or lies there now."""
    assert place.day is not None  # callers put it somewhere
    return not there.is_placed or there.is_at(*was) or there.is_at(place.day, place.window)


def _unplaced(row: Settled) -> Settled:
    return Settled(row.step, who=row.who)


def _values(row: Settled) -> dict[str, Any]:
    return {
        "step": row.step,
        "day": row.day,
        "window": row.window,
        "adult": row.adult,
        "minutes": row.minutes,
        "done": row.done,
        "who": row.who,
    }


def _read(row: RowMapping) -> Settled:
    return Settled(
        row["step"],
        row["day"],
        row["window"],
        row["adult"],
        row["minutes"],
        row["done"],
        row["who"],
    )
