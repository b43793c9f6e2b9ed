"""Who is signed in where. A session ends after a while without use, and after a while altogether."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import Connection, Engine, RowMapping, delete, insert, select, update

from library.accounts.people import SignedIn
from library.accounts.secrets import hashed, is_same, joined, new_secret, parted
from library.accounts.staff import Clock, read_person, room_numbers
from library.room import tables as t
from library.store.errors import NotFound

IDLE, LONGEST = 12 * 3600, 14 * 86_400
"""Seconds of a person's session: without use, and altogether. ASVS 4.0.3, 3.3.2 (from memory) asks for
a new sign-in within 30 days."""
TABLET_IDLE, TABLET_LONGEST = 14 * 86_400, 180 * 86_400
"""Seconds of a shared tablet, which shows only the day."""
NOTED_EVERY = 60
"""Seconds between two notes that a session is in use, so that reading writes little."""


class Sessions:
    """Browsers in which somebody is signed in, and shared tablets."""

    def __init__(self, engine: Engine, clock: Clock) -> None:
        """Takes an open database."""
        self._engine = engine
        self._clock = clock

    def begin(self, person_id: int) -> str:
        """The secret of a new session of a person."""
        return self._add({"person_id": person_id, "tablet": ""})

    def begin_tablet(self, name: str, room: str) -> str:
        """The secret of a new session of a shared tablet in a room."""
        with self._engine.connect() as connection:
            numbers = room_numbers(connection, (room,))
        if not numbers:
            raise NotFound("the room of this code is gone; ask the lead for a new code")
        return self._add({"room_id": numbers[0], "tablet": name or "Tablet"})

    def find(self, text: str) -> SignedIn | None:
        """The session of a secret; None if it has ended or never was."""
        parts = parted(text)
        if parts is None:
            return None
        now = self._clock()
        with self._engine.connect() as connection:
            found = select(t.signed_in).where(t.signed_in.c.id == parts[0])
            row = connection.execute(found).mappings().first()
            if row is None or not is_same(parts[1], row["secret"]):
                return None
            session = _read(connection, row)
        if _is_over(row, now) or (session.person and session.person.ended):
            self.end(session.id)
            return None
        if now - row["seen"] >= NOTED_EVERY:
            self._note(session.id, now)
        return session

    def of(self, person_id: int) -> list[SignedIn]:
        """The sessions of a person, the latest in front."""
        return self._list(t.signed_in.c.person_id == person_id)

    def tablets(self) -> list[SignedIn]:
        """The shared tablets."""
        return self._list(t.signed_in.c.person_id.is_(None))

    def end(self, session_id: int) -> None:
        """Ends a session; one that is gone already is no mistake."""
        with self._engine.begin() as connection:
            connection.execute(delete(t.signed_in).where(t.signed_in.c.id == session_id))

    def end_all(self, person_id: int, *, but: int = 0) -> int:
        """Ends every session of a person, except one where that is said; how many they were."""
        with self._engine.begin() as connection:
            theirs = (t.signed_in.c.person_id == person_id) & (t.signed_in.c.id != but)
            return int(connection.execute(delete(t.signed_in).where(theirs)).rowcount)

    def _add(self, values: dict[str, object]) -> str:
        secret, now = new_secret(), self._clock()
        with self._engine.begin() as connection:
            for table_row in connection.execute(select(t.signed_in)).mappings().all():
                if _is_over(table_row, now):
                    over = t.signed_in.c.id == table_row["id"]
                    connection.execute(delete(t.signed_in).where(over))
            row = {"secret": hashed(secret), "since": now, "seen": now, **values}
            made = insert(t.signed_in).values(row).returning(t.signed_in.c.id)
            number = connection.execute(made).scalar_one()
            # A number comes again once its session is gone; what that one did is told in this one.
            before = t.account_notice.c.session == number
            connection.execute(update(t.account_notice).where(before).values(session=0))
            return joined(number, secret)

    def _list(self, which: object) -> list[SignedIn]:
        with self._engine.connect() as connection:
            found = select(t.signed_in).where(which).order_by(t.signed_in.c.seen.desc())  # type: ignore[arg-type]
            rows = connection.execute(found).mappings().all()
            return [_read(connection, row) for row in rows if not _is_over(row, self._clock())]

    def _note(self, session_id: int, now: int) -> None:
        with self._engine.begin() as connection:
            seen = update(t.signed_in).where(t.signed_in.c.id == session_id)
            connection.execute(seen.values(seen=now))


def _is_over(row: RowMapping, now: int) -> bool:
    idle, longest = (IDLE, LONGEST) if row["person_id"] else (TABLET_IDLE, TABLET_LONGEST)
    return bool(now - row["seen"] > idle or now - row["since"] > longest)


def _read(connection: Connection, row: RowMapping) -> SignedIn:
    person = None
    if row["person_id"] is not None:
        who = select(t.person).where(t.person.c.id == row["person_id"])
        person = read_person(connection, connection.execute(who).mappings().one())
        rooms = person.rooms
    else:
        here = select(t.room.c.name).where(t.room.c.id == row["room_id"])
        rooms = tuple(connection.scalars(here))
    since, seen = (dt.datetime.fromtimestamp(row[key], dt.UTC) for key in ("since", "seen"))
    return SignedIn(row["id"], person, row["tablet"], rooms, since, seen)
