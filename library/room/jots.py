"""Jots: dated lines in a teacher's words about children. Private to the room; nobody is scored."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum


class Answer(StrEnum):
    """What is asked of an activity after it was watched."""

    AGAIN = "again"
    EASIER = "easier"
    HARDER = "harder"


@dataclass(frozen=True, slots=True)
class Jot:
    """One line about one or several children."""

    day: dt.date
    words: str
    """What was seen, in the teacher's words; empty once its only child was removed."""
    children: tuple[str, ...] = ()
    """Labels."""
    activity: str | None = None
    """Id of the card it was seen at."""
    answer: Answer | None = None
    id: int | None = None
    """Number in the database; None before it is kept."""
