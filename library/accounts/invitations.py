"""Links and codes that let somebody in once, for a while."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from sqlalchemy import Connection, Engine, RowMapping, delete, insert, select

from library.accounts.people import Invitation, Role
from library.accounts.secrets import (
    hashed,
    is_same,
    joined,
    new_code,
    new_secret,
    only_digits,
    parted,
)
from library.accounts.staff import Clock, room_numbers
from library.room import tables as t
from library.store.errors import NotFound

LASTS = {"join": 7 * 86_400, "enter": 86_400, "tablet": 900}
"""Seconds from making to ending: a week for an invitation, a day for a link that opens an account,
a quarter of an hour for a tablet's code."""
GONE = "this link was used already, has ended, or has a slip; ask the lead for a new one"


class Invitations:
    """What waits to be used."""

    def __init__(self, engine: Engine, clock: Clock) -> None:
        """Takes an open database."""
        self._engine = engine
        self._clock = clock

    def waiting(self) -> list[Invitation]:
        """Those that can still be used, the one that ends first in front."""
        with self._engine.connect() as connection:
            still = select(t.invitation).where(t.invitation.c.ends > self._clock())
            rows = connection.execute(still.order_by(t.invitation.c.ends)).mappings().all()
            return [_read(connection, row) for row in rows]

    def invite(self, name: str, role: Role, rooms: Iterable[str]) -> str:
        """The secret part of a link that makes an account of this role and these rooms, once."""
        secret = new_secret()
        return joined(self._add("join", name, role, rooms, secret, None), secret)

    def let_in(self, person_id: int, name: str, role: Role, by: str = "") -> str:
        """The secret part of a link with which a person sets another password; earlier ones end.

        Args:
            person_id: Whose password it sets.
            name: Their name.
            role: Their role.
            by: Who makes it; empty: it is made in the terminal.
        """
        secret = new_secret()
        with self._engine.begin() as connection:
            earlier = t.invitation.c.person_id == person_id
            connection.execute(delete(t.invitation).where(earlier))
        return joined(self._add("enter", name, role, (), secret, person_id, by), secret)

    def pair_tablet(self, name: str, room: str) -> str:
        """A code to type on a tablet that will show the day of a room.

        Raises:
            NotFound: If there is no such room.
        """
        code = new_code()
        with self._engine.connect() as connection:
            if not room_numbers(connection, (room,)):
                raise NotFound("there is no such room")
        self._add("tablet", name, Role.READER, (room,), only_digits(code), None)
        return code

    def find(self, text: str) -> Invitation:
        """The invitation of a link.

        Raises:
            NotFound: If it was used, has ended, or never was.
        """
        parts = parted(text)
        with self._engine.connect() as connection:
            row = self._row(connection, parts[0]) if parts else None
            if parts is None or row is None or not is_same(parts[1], row["secret"]):
                raise NotFound(GONE)
            return _read(connection, row)

    def find_code(self, code: str) -> Invitation:
        """The invitation of a tablet's code.

        Raises:
            NotFound: If it was used, has ended, or never was.
        """
        digits = only_digits(code)
        with self._engine.connect() as connection:
            still = (t.invitation.c.kind == "tablet") & (t.invitation.c.ends > self._clock())
            rows = connection.execute(select(t.invitation).where(still)).mappings().all()
            same = [row for row in rows if is_same(digits, row["secret"])]
            if not same:
                raise NotFound("this code was used already, has ended, or has a slip")
            return _read(connection, same[0])

    def use_up(self, invitation_id: int) -> None:
        """Takes an invitation away, so that it lets nobody in again.

        Raises:
            NotFound: If somebody else used it in the same moment.
        """
        with self._engine.begin() as connection:
            used = delete(t.invitation).where(t.invitation.c.id == invitation_id)
            if not connection.execute(used).rowcount:
                raise NotFound(GONE)

    def withdraw_first(self) -> None:
        """Takes back links for a first lead, so that only the newest counts."""
        with self._engine.begin() as connection:
            first = (t.invitation.c.kind == "join") & (t.invitation.c.name == "")
            connection.execute(delete(t.invitation).where(first))

    def _add(
        self,
        kind: str,
        name: str,
        role: Role,
        rooms: Iterable[str],
        secret: str,
        person_id: int | None,
        by: str = "",
    ) -> int:
        values = {
            "secret": hashed(secret),
            "kind": kind,
            "name": " ".join(name.split()),
            "role": role.value,
            "person_id": person_id,
            "ends": self._clock() + LASTS[kind],
            "by": by,
        }
        with self._engine.begin() as connection:
            connection.execute(delete(t.invitation).where(t.invitation.c.ends <= self._clock()))
            made = insert(t.invitation).values(values).returning(t.invitation.c.id)
            number = connection.execute(made).scalar_one()
            for room_id in room_numbers(connection, rooms):
                pair = {"invitation_id": number, "room_id": room_id}
                connection.execute(insert(t.invitation_room).values(pair))
            return int(number)

    def _row(self, connection: Connection, number: int) -> RowMapping | None:
        still = (t.invitation.c.id == number) & (t.invitation.c.ends > self._clock())
        usable = still & (t.invitation.c.kind != "tablet")
        return connection.execute(select(t.invitation).where(usable)).mappings().first()


def _read(connection: Connection, row: RowMapping) -> Invitation:
    own = t.invitation_room.c.invitation_id == row["id"]
    rooms = select(t.room.c.name).join(t.invitation_room).where(own).order_by(t.room.c.key)
    return Invitation(
        id=row["id"],
        kind=row["kind"],
        name=row["name"],
        role=Role(row["role"]),
        rooms=tuple(connection.scalars(rooms)),
        ends=dt.datetime.fromtimestamp(row["ends"], dt.UTC),
        person=row["person_id"],
        by=row["by"],
    )
