"""Jots: dated lines in a teacher's words about children. Private to the room; nobody is scored."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Mapping
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


def answers_of(jots: Iterable[Jot]) -> Mapping[str, Counter[Answer]]:
    """How often each answer was given, by activity. It is the activity that is asked about."""
    found: dict[str, Counter[Answer]] = {}
    for jot in jots:
        if jot.activity and jot.answer:
            found.setdefault(jot.activity, Counter())[jot.answer] += 1
    return found
