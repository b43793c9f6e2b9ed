"""What the private database says of a card follows it to its new name."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import update

from library.room import tables as t
from library.room.database import open_database


def follow_card(database: Path, old: str, new: str) -> None:
    """Moves the comments on a card and every room's jots about it along with its new id.

    Args:
        database: File of the private database.
        old: The id the card had.
        new: The id it has.
    """
    with open_database(database).begin() as connection:
        for table, column in ((t.card_comment, "card"), (t.jot, "activity")):
            connection.execute(update(table).where(table.c[column] == old).values({column: new}))
