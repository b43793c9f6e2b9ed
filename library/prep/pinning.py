"""Steps that a person has put somewhere: which of them can stay there."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from library.prep.arranging import arrange
from library.prep.tasks import SHORTEST_PIECE, Task
from library.prep.windows import Window
from library.prep.work import Piece, Pin, Work, fits_window, lay_work_out


@dataclass(frozen=True, slots=True)
class PinnedStep:
    """A step with the place a person has given it."""

    key: str
    """Key of the step."""
    date: dt.date
    window: str
    """``13:00-13:40``."""
    adult: int | None = None
    """From 1; None: whoever is free."""
    minutes: int | None = None
    """Of a step that is done in pieces: the minutes of this piece; None: all of it."""


@dataclass(frozen=True, slots=True)
class Refused:
    """A pinned step that cannot stay where it was put; it is planned as if it had not been."""

    step: PinnedStep
    why: str
    """One sentence."""


def settle_pins(
    tasks: Sequence[Task], windows: Sequence[Window], steps: Iterable[PinnedStep]
) -> tuple[tuple[Pin, ...], tuple[Refused, ...]]:
    """Turns pinned steps into pins, one after the other, each beside those before it.

    A pin is refused where the step or the window is gone, where the step would be too late, too
    early to keep, or away from the room when nobody may leave it, and where it does not go in
    beside what was pinned before.
    """
    kept: list[Pin] = []
    refused = []
    for step in steps:
        pin, why = _settled(tasks, windows, step)
        if pin is not None:
            why = _clash(tasks, windows, [*kept, pin])
        if pin is None or why:
            refused.append(Refused(step, why))
        else:
            kept.append(pin)
    return tuple(kept), tuple(refused)


def _settled(
    tasks: Sequence[Task], windows: Sequence[Window], step: PinnedStep
) -> tuple[Pin | None, str]:
    """The pin, looked at by itself; or why it cannot be."""
    task = next((each for each in tasks if each.key == step.key), None)
    here = [w for w in windows if (w.date, w.label) == (step.date, step.window)]
    if task is None:
        return None, "The step is no longer in the unit."
    if not here:
        return None, f"There is no prep window {step.window} on that day any more."
    window = next((w for w in here if fits_window(task, w)), None)
    if window is None:
        return None, _misfit(task, here[0])
    if step.adult is not None and not 1 <= step.adult <= window.adults:
        return None, f"The window is for {window.adults} adults; there is no adult {step.adult}."
    minutes = None if step.minutes in (None, task.minutes) else step.minutes
    least = SHORTEST_PIECE if minutes else task.minutes
    if minutes is not None:
        if not task.may_split:
            return None, f"A step of {task.minutes} minutes is done in one go."
        if not least <= minutes <= task.minutes - SHORTEST_PIECE:
            return None, f"Pieces of a step have at least {SHORTEST_PIECE} minutes."
    if (minutes or task.minutes) > min(window.minutes, task.latest_end - window.start):
        return None, f"It takes {minutes or task.minutes} minutes; that is more than there is."
    return Pin(task.number, window.number, step.adult, minutes), ""


def _misfit(task: Task, window: Window) -> str:
    if task.away and not window.away:
        return "It cannot be done in the room, and in this window nobody may leave it."
    if window.start + min(task.minutes, SHORTEST_PIECE) > task.latest_end or (
        window.end > task.morning
    ):
        return "That would be too late for the morning it is made for."
    if task.earliest_end is not None and window.end < task.earliest_end:
        return "What is made then would not keep until it is needed."
    return f"It takes {task.minutes} minutes; the window has {window.minutes}."


def _clash(tasks: Sequence[Task], windows: Sequence[Window], pins: Sequence[Pin]) -> str:
    """Why the last pin does not go beside the others; empty where it does."""
    last = pins[-1]
    mine = [pin for pin in pins[:-1] if pin.task == last.task]
    if any(pin.window == last.window or None in (pin.minutes, last.minutes) for pin in mine):
        return "The step has been put somewhere else already."
    asked = sum(pin.minutes or 0 for pin in (*mine, last))
    whole = tasks[last.task].minutes
    if (last.minutes is not None and 0 < whole - asked < SHORTEST_PIECE) or asked > whole:
        return f"The pieces add up to {asked} of {whole} minutes; what is left must be none or ten."
    work = lay_work_out(tasks, windows, pins)
    if last.task in work.given_up:
        return "A step above it cannot be done in time, so it cannot be done then."
    if _out_of_order(work, pins):
        return "It would come before a step above it, or after a step below it."
    place = work.place[last.window]
    there = [pin for pin in pins if work.place[pin.window] == place]
    pieces = [Piece(p.task, p.window, p.minutes or tasks[p.task].minutes) for p in there]
    crews = {p.window: range(1, windows[p.window].adults + 1) for p in there}
    ending = [p.task for p in there if p.minutes is None]
    if arrange(work, pieces, crews, ending).slots is None:
        return "It does not go into the window beside what has been put there."
    return ""


def _out_of_order(work: Work, pins: Sequence[Pin]) -> bool:
    places = [(work.tasks[pin.task], work.place[pin.window]) for pin in pins]
    return any(
        (one.activity, one.batch) == (two.activity, two.batch)
        and one.step < two.step
        and first > second
        for one, first in places
        for two, second in places
    )
