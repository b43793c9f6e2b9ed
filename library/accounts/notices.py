"""What somebody is told about their own account until they have seen it: how they sign in was changed.

Nothing is mailed from here, so it is said on every page of every browser but the one that did it.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from sqlalchemy import ColumnElement, Engine, delete, insert, select

from library.accounts.staff import Clock
from library.room import tables as t

MOST = 20
"""Notices of one person that are kept; the oldest go."""


@dataclass(frozen=True, slots=True)
class Notice:
    """One change of the way somebody signs in."""

    id: int
    at: dt.datetime
    said: str
    """What goes on after the day and the hour."""


class Notices:
    """What was not seen yet, by person."""

    def __init__(self, engine: Engine, clock: Clock) -> None:
        """Takes an open database."""
        self._engine = engine
        self._clock = clock

    def tell(self, person_id: int, said: str, *, session: int = 0) -> None:
        """Adds a notice.

        Args:
            person_id: Whom it concerns.
            said: What goes on after the day and the hour, without a full stop.
            session: The session in which the change was made; there it is not shown, so that nobody
                who took somebody's place can put it away.
        """
        with self._engine.begin() as connection:
            values = {"person_id": person_id, "at": self._clock(), "said": said, "session": session}
            connection.execute(insert(t.account_notice).values(values))
            own = t.account_notice.c.person_id == person_id
            latest = select(t.account_notice.c.id).where(own)
            kept = latest.order_by(t.account_notice.c.id.desc()).limit(MOST)
            old = own & t.account_notice.c.id.not_in(kept)
            connection.execute(delete(t.account_notice).where(old))

    def of(self, person_id: int, session: int) -> list[Notice]:
        """What a person has not seen, the latest in front, as shown in one of their sessions."""
        with self._engine.connect() as connection:
            rows = connection.execute(
                select(t.account_notice)
                .where(_shown(person_id, session))
                .order_by(t.account_notice.c.id.desc())
            ).mappings()
            return [
                Notice(row["id"], dt.datetime.fromtimestamp(row["at"], dt.UTC), row["said"])
                for row in rows
            ]

    def seen(self, person_id: int, session: int) -> None:
        """Puts away what is shown to a person in a session."""
        with self._engine.begin() as connection:
            connection.execute(delete(t.account_notice).where(_shown(person_id, session)))


def _shown(person_id: int, session: int) -> ColumnElement[bool]:
    elsewhere: ColumnElement[bool] = t.account_notice.c.session != session
    return (t.account_notice.c.person_id == person_id) & elsewhere
