"""Where a person may put a step: in time, in order, and late enough for what is made to keep."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from library.prep.prep import PlannedStep, tasks_and_windows
from library.prep.windows import Window
from library.prep.work import Work, lay_work_out, tightened
from library.room.room import Room
from library.units.placed import Placed
from library.units.unit import Unit


class Movable:
    """The windows that each step of a unit could lie in, if nothing else lay there."""

    def __init__(self, unit: Unit, placed: Sequence[Placed], room: Room) -> None:
        tasks, windows = tasks_and_windows(unit, placed, room)
        self._windows = windows
        self._work = lay_work_out(tasks, windows)
        self._numbers = {task.key: task.number for task in tasks}

    def windows_for(self, step: PlannedStep) -> tuple[Window, ...]:
        """The windows for a step, or for a piece of one, earliest first.

        Each leaves time for the steps above and below it in the same batch, and what the batch
        makes still keeps (PREP2, PREP4, PREP5).
        """
        number = self._numbers.get(step.key)
        if number is None:
            return ()
        work = self._alone(number)
        return tuple(
            self._windows[window]
            for window in work.usable[number]
            if work.longest_piece(number, window) >= step.minutes
            and (step.minutes < step.of or work.ends_fresh(number, window))
        )

    def _alone(self, number: int) -> Work:
        """The batch of a task with nothing else to do."""
        chain = next((c for c in self._work.chains if number in c), ())
        others = frozenset(range(len(self._work.tasks))) - frozenset(chain)
        alone = replace(self._work, given_up=others)
        return tightened(alone) or alone
