"""The list of what was done by whom, for the lead. It never holds anything about a child."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from sqlalchemy import Engine, delete, insert, select

from library.accounts.staff import Clock
from library.room import tables as t

KEPT = 400 * 86_400
"""Seconds: a bit more than a year."""
LONGEST = 300
"""Signs of an entry."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that was done."""

    id: int
    at: dt.datetime
    who: str
    """The person's name as it was then, the tablet's, or empty where nobody was signed in."""
    did: str
    address: str
    """Where a try to sign in came from; empty otherwise."""


class AuditList:
    """Everything that was done while people had to sign in."""

    def __init__(self, engine: Engine, clock: Clock) -> None:
        """Takes an open database."""
        self._engine = engine
        self._clock = clock

    def note(self, who: str, did: str, address: str = "") -> None:
        """Adds an entry; entries of more than a year ago go."""
        now = self._clock()
        with self._engine.begin() as connection:
            connection.execute(delete(t.audit).where(t.audit.c.at < now - KEPT))
            text = "".join(sign if sign.isprintable() else " " for sign in did)[:LONGEST]
            values = {"at": now, "who": who, "did": text, "address": address}
            connection.execute(insert(t.audit).values(values))

    def latest(self, limit: int = 100, before: int | None = None) -> list[Entry]:
        """Entries, the latest in front.

        Args:
            limit: How many at most.
            before: Only those older than the entry of this number.
        """
        found = select(t.audit).order_by(t.audit.c.id.desc()).limit(limit)
        if before is not None:
            found = found.where(t.audit.c.id < before)
        with self._engine.connect() as connection:
            return [
                Entry(
                    row["id"],
                    dt.datetime.fromtimestamp(row["at"], dt.UTC),
                    row["who"],
                    row["did"],
                    row["address"],
                )
                for row in connection.execute(found).mappings()
            ]
