"""What has to be prepared by when: the ahead steps of a unit's cards, batch by batch.

Morning and daily steps are no tasks; they stand on the day's sheet (PREP18).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from library.cards.card import Card
from library.prep.windows import MINUTES_A_DAY, minute_of
from library.room.room import Room
from library.units.calendar import first_morning
from library.units.placed import Placed

WHOLE_UP_TO = 20
"""Minutes up to which a step is done in one go (PREP7)."""
SHORTEST_PIECE = 10
"""Minutes of the shortest piece of a longer step (PREP7)."""


@dataclass(frozen=True, slots=True)
class Task:
    """One ahead step of one batch of a card."""

    number: int
    """Place in the list of tasks, from 0."""
    activity: str
    """Id of the card."""
    do: str
    minutes: int
    away: bool
    """Cannot be done in the room."""
    batch: int
    """Which making of the card's things this is, from 1 (PREP3)."""
    step: int
    """Place among the card's ahead steps, from 1."""
    morning: int
    """Minute of the morning the batch is made for."""
    latest_end: int
    """The minute by which it must have ended: the morning less the wait (PREP2)."""
    earliest_end: int | None
    """Of the card's last step: a minute before which it must not have ended, or what is made
    would not keep (PREP4). Both limits are inclusive."""
    after: int | None
    """Number of the task that must have ended before this one begins (PREP5)."""
    spoils: bool = False
    """What the batch makes waits longer than it keeps, so none of its steps can be in time (PREP23)."""

    @property
    def key(self) -> str:
        """A name that stays the same when the plan is worked out again."""
        return f"{self.activity}/{self.batch}/{self.step}"

    @property
    def may_split(self) -> bool:
        """Whether it may be done in pieces (PREP7)."""
        return self.minutes > WHOLE_UP_TO


def tasks_of(placed: Iterable[Placed], room: Room) -> tuple[Task, ...]:
    """The tasks of a unit, card by card in placement order, each batch in the order of its steps.

    A card placed twice is prepared over all its open days together (PREP9). A placement without an
    open day, without a card, or with prep 0 gives none (PREP8).
    """
    by_card: dict[str, list[Placed]] = {}
    for each in placed:
        if each.card is not None and each.days:
            by_card.setdefault(each.card.id, []).append(each)
    tasks: list[Task] = []
    for places in by_card.values():
        days = sorted({day for place in places for day in place.days})
        card = places[0].card
        assert card is not None  # only placements with a card were kept
        for batch, day in enumerate(batch_days(card, days, room), start=1):
            dressed = next((p.card for p in places if day in p.days and p.card), card)
            tasks += _batch(dressed, batch, first_morning(day, room), len(tasks))
    return tuple(tasks)


def batch_days(card: Card, days: Sequence[dt.date], room: Room) -> list[dt.date]:
    """The days for whose mornings a card's things are made.

    Without ``keeps`` the first of its days. With it, again for the first open morning that lies
    ``keeps`` or more after the morning the last batch was made for (PREP3).
    """
    made = list(days[:1])
    if card.keeps is None:
        return made
    for day in days:
        gap = minute_of(first_morning(day, room)) - minute_of(first_morning(made[-1], room))
        if gap >= max(card.keeps.minutes, MINUTES_A_DAY):
            made.append(day)
    return made


def _batch(card: Card, batch: int, morning: dt.datetime, number: int) -> list[Task]:
    """The tasks of one batch, the first of which gets ``number``. Steps of no minutes take none."""
    steps = [step for step in card.ahead if step.minutes > 0]
    ready = minute_of(morning)
    done_by = ready - (card.wait.minutes if card.wait else 0)
    fresh_from = ready - card.keeps.minutes if card.keeps else None
    return [
        Task(
            number=number + place,
            activity=card.id,
            do=step.do,
            minutes=step.minutes,
            away=step.away,
            batch=batch,
            step=place + 1,
            morning=ready,
            latest_end=done_by,
            earliest_end=fresh_from if place == len(steps) - 1 else None,
            after=number + place - 1 if place else None,
            spoils=fresh_from is not None and fresh_from > done_by,
        )
        for place, step in enumerate(steps)
    ]
