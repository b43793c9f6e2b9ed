"""What the staff say to each other about cards, in the private database."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import delete, func, insert, select

from library.room import tables as t
from library.room.database import compact, open_database

LONGEST = 2_000
"""Signs of a comment that are kept."""


@dataclass(frozen=True, slots=True)
class Comment:
    """What somebody said about a card."""

    id: int
    card: str
    """Id of the card."""
    at: dt.datetime
    by: str
    """Who said it; empty where nobody signs in."""
    text: str


class Comments:
    """The comments on all cards of a library."""

    def __init__(self, database: Path, clock: Callable[[], float] = time.time) -> None:
        """Opens the database.

        Args:
            database: File of the private database.
            clock: Gives the seconds since 1970 for new comments.
        """
        self._engine = open_database(database)
        self._clock = clock

    def add(self, card: str, text: str, by: str) -> None:
        """Keeps a comment, at most ``LONGEST`` signs of it."""
        values = {"card": card, "at": int(self._clock()), "by": by, "text": text[:LONGEST]}
        with self._engine.begin() as connection:
            connection.execute(insert(t.card_comment).values(values))

    def of(self, card: str) -> list[Comment]:
        """The comments on a card, the first in front."""
        mine = select(t.card_comment).where(t.card_comment.c.card == card)
        with self._engine.connect() as connection:
            rows = connection.execute(mine.order_by(t.card_comment.c.id)).mappings().all()
        return [
            Comment(
                row["id"],
                row["card"],
                dt.datetime.fromtimestamp(row["at"], dt.UTC),
                row["by"],
                row["text"],
            )
            for row in rows
        ]

    def counts(self) -> Mapping[str, int]:
        """How many comments each card has; cards without any are left out."""
        counted = select(t.card_comment.c.card, func.count().label("count")).group_by(
            t.card_comment.c.card
        )
        with self._engine.connect() as connection:
            return {row[0]: row[1] for row in connection.execute(counted)}

    def remove(self, comment_id: int, card: str) -> None:
        """Removes a comment on a card for good."""
        mine = (t.card_comment.c.id == comment_id) & (t.card_comment.c.card == card)
        with self._engine.begin() as connection:
            connection.execute(delete(t.card_comment).where(mine))
        compact(self._engine)
