"""Says in words what keeps a step from being done in time."""

from __future__ import annotations

from collections.abc import Sequence

from library.cards.values import Span
from library.prep.tasks import SHORTEST_PIECE, Task
from library.prep.windows import Window, moment_of
from library.prep.work import fits_window
from library.room.times import show_day


def why_late(task: Task, windows: Sequence[Window], *, follows_late: bool) -> str:
    """One sentence, from the plainest reason to the last one left (PREP2, PREP23, PREP24).

    Args:
        task: A task that is late, or a part of it.
        windows: All windows of the plan.
        follows_late: Whether the step above it is late too.
    """
    if task.spoils:
        return _spoils(task)
    if not windows:
        return "The room has no prep window in the six weeks before the unit or during it."
    if task.away and not any(window.away for window in windows):
        return "It cannot be done in the room, and no prep window lets an adult leave the room."
    usual = [window for window in windows if window.away or not task.away]
    longest = max(window.minutes for window in usual)
    shortest = SHORTEST_PIECE if task.may_split else task.minutes
    if longest < shortest:
        return f"It takes {task.minutes} minutes, and the longest window for it has {longest}."
    if not any(fits_window(task, window) for window in usual):
        return _no_window(task)
    if task.earliest_end is not None and not any(
        w.end >= task.earliest_end for w in _in_time(task, usual)
    ):
        return _no_window(task)
    if follows_late:
        return "The step above it is late, and it cannot begin before that has ended."
    return "The windows that would be in time for it are full."


def _in_time(task: Task, windows: Sequence[Window]) -> list[Window]:
    return [window for window in windows if fits_window(task, window)]


def _spoils(task: Task) -> str:
    wait = Span(task.morning - task.latest_end).in_words()
    return f"What is made has to wait {wait} and would not keep that long; mend the card."


def _no_window(task: Task) -> str:
    until = moment_of(task.latest_end)
    if task.earliest_end is None:
        return f"No prep window ends by {show_day(until.date())}, {until:%H:%M}, when it has to be done."
    since = moment_of(task.earliest_end)
    return (
        f"No prep window lies between {show_day(since.date())}, {since:%H:%M}, from when it keeps, "
        f"and {show_day(until.date())}, {until:%H:%M}, when it has to be done."
    )
