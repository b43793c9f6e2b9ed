"""What the private database says of a card follows it to its new name."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import ColumnElement, Connection, delete, func, literal, update

from library.room import tables as t
from library.room.database import open_database


def follow_card(database: Path, old: str, new: str, *, joined: bool = False) -> None:
    """Moves the comments on a card, every room's jots about it and its prep along with its new id.

    Args:
        database: File of the private database.
        old: The id the card had.
        new: The id it has.
        joined: Whether it went into another card. What is settled about its prep stays behind then,
            for a step that was done is none of the other's.
    """
    with open_database(database).begin() as connection:
        for table, column in ((t.card_comment, "card"), (t.jot, "activity")):
            connection.execute(update(table).where(table.c[column] == old).values({column: new}))
        if not joined:
            _follow_prep(connection, old, new)


def _follow_prep(connection: Connection, old: str, new: str) -> None:
    """Gives the steps of a card its new id.

    Steps under that id are of a card that is gone; nobody did them for this one, so they go.
    """
    connection.execute(delete(t.prep_step).where(_is_of(new)))
    rest = func.substr(t.prep_step.c.step, len(old) + 1)
    connection.execute(
        update(t.prep_step).where(_is_of(old)).values(step=literal(new).concat(rest))
    )


def _is_of(card: str) -> ColumnElement[bool]:
    """Whether a step is one of a card: its key begins with the card's id and a slash."""
    return func.substr(t.prep_step.c.step, 1, len(card) + 1) == f"{card}/"
