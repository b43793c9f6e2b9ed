"""What is to be scheduled: tasks, windows, and which window each task may use.

Everything that solves works on these values and on whole minutes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from library.prep.tasks import SHORTEST_PIECE, Task
from library.prep.windows import Window, moment_of


@dataclass(frozen=True, slots=True)
class Piece:
    """Minutes of a task in a window."""

    task: int
    """Number of the task."""
    window: int
    """Number of the window."""
    minutes: int


@dataclass(frozen=True, slots=True)
class Pin:
    """A task, or a piece of one, that a person has put somewhere; the rest is worked out around it."""

    task: int
    window: int
    adult: int | None = None
    """From 1; None: whoever is free."""
    minutes: int | None = None
    """Of a task in pieces: the minutes of this piece. None: the whole task."""


@dataclass(frozen=True)
class Work:
    """One scheduling problem. Tasks and windows are found by their numbers."""

    tasks: tuple[Task, ...]
    windows: tuple[Window, ...]
    usable: tuple[tuple[int, ...], ...]
    """By task: the windows it may use, in order."""
    pins: tuple[Pin, ...] = ()
    given_up: frozenset[int] = field(default_factory=frozenset)
    """Tasks that no plan can do in time; they take no part."""

    @cached_property
    def place(self) -> tuple[int, ...]:
        """By window: its place in time. Windows that overlap, in a chain or directly, share one."""
        places: list[int] = []
        until = -1
        for window in self.windows:
            if not places:
                places.append(0)
            elif window.start < until:
                places.append(places[-1])
            else:
                places.append(places[-1] + 1)
            until = max(until, window.end)
        return tuple(places)

    @cached_property
    def chains(self) -> tuple[tuple[int, ...], ...]:
        """Tasks that take part, batch by batch in the order of their steps."""
        chains: dict[tuple[str, int], list[int]] = {}
        for task in self.tasks:
            if task.number not in self.given_up:
                chains.setdefault((task.activity, task.batch), []).append(task.number)
        return tuple(tuple(chain) for chain in chains.values())

    @cached_property
    def active(self) -> tuple[int, ...]:
        """Numbers of the tasks that take part."""
        return tuple(t.number for t in self.tasks if t.number not in self.given_up)

    @cached_property
    def pinned(self) -> dict[tuple[int, int], Pin]:
        """Pins by task and window."""
        return {(pin.task, pin.window): pin for pin in self.pins}

    def since(self, first: int) -> Work:
        """The same with the windows from number ``first`` on; a pinned task keeps its window."""
        usable = tuple(tuple(w for w in windows if w >= first) for windows in self.usable)
        return replace(self, usable=usable)

    def span(self, place: int) -> int:
        """Minutes from the first opening to the last closing of the windows that share a place."""
        return self._spans[place]

    @cached_property
    def _spans(self) -> tuple[int, ...]:
        found: dict[int, tuple[int, int]] = {}
        for window, place in zip(self.windows, self.place, strict=True):
            start, end = found.get(place, (window.start, window.end))
            found[place] = (min(start, window.start), max(end, window.end))
        return tuple(end - start for start, end in found.values())

    def longest_piece(self, task: int, window: int) -> int:
        """The most minutes of a task that fit into a window before the task's time is up."""
        each, where = self.tasks[task], self.windows[window]
        return min(each.minutes, where.minutes, each.latest_end - where.start)

    def ends_fresh(self, task: int, window: int) -> bool:
        """Whether a task that ends in this window can end late enough to keep."""
        earliest = self.tasks[task].earliest_end
        return earliest is None or self.windows[window].end >= earliest


def lay_work_out(
    tasks: Sequence[Task], windows: Sequence[Window], pins: Sequence[Pin] = ()
) -> Work:
    """The scheduling problem, with what can never be in time given up from the start.

    A task is given up where no window will take it, and with it every later step of its batch: no
    plan does them in time, so no plan is worse for leaving them out. A pinned whole task may use
    its own window only.
    """
    whole = {pin.task: pin.window for pin in pins if pin.minutes is None}
    usable: list[tuple[int, ...]] = []
    given_up: set[int] = set()
    for task in tasks:
        may = [w.number for w in windows if fits_window(task, w)]
        if task.number in whole:
            may = [w for w in may if w == whole[task.number]]
        if task.spoils or not may or task.after in given_up:
            given_up.add(task.number)
        usable.append(() if task.number in given_up else tuple(may))
    return Work(tuple(tasks), tuple(windows), tuple(usable), tuple(pins), frozenset(given_up))


def fits_window(task: Task, window: Window) -> bool:
    """Whether a task, or a piece of it, may lie in a window (PREP4, PREP11).

    A window that is open when the children arrive is no window for that morning. An away task
    needs an away window. A whole task must fit into the window, end by the time it has to, and,
    where it is the last step, end late enough to keep. Of a task in pieces the shortest piece must fit.
    """
    if task.away and not window.away:
        return False
    if window.end > task.morning and window.date >= moment_of(task.morning).date():
        return False
    shortest = SHORTEST_PIECE if task.may_split else task.minutes
    if shortest > min(window.minutes, task.latest_end - window.start):
        return False
    return task.may_split or task.earliest_end is None or window.end >= task.earliest_end


def tightened(work: Work) -> Work | None:
    """The same, where every task that takes part must be in time; None where that cannot be.

    A step leaves out the windows after the last one in which it can end if the steps below it are
    still to follow in their windows, and the windows before the first one in which it can begin if
    the steps above it come first, with nothing else to do. Exact: no plan in time uses them.
    """
    usable = [list(windows) for windows in work.usable]
    for chain in work.chains:
        first = _reach(work, usable, chain, forward=True)
        last = _reach(work, usable, chain[::-1], forward=False)
        if first is None or last is None:
            return None
        for task in chain:
            here = (first[task], last[task])
            usable[task] = [w for w in usable[task] if here[0] <= work.place[w] <= here[1]]
            if not _can_finish(work, task, usable[task]):
                return None
    return replace(work, usable=tuple(tuple(windows) for windows in usable))


def _reach(
    work: Work, usable: Sequence[Sequence[int]], chain: Sequence[int], *, forward: bool
) -> dict[int, int] | None:
    """By task, the first place in time it can lie at (or the last, going backward).

    One step after the other takes the next time there is. A long step is cut as finely as one
    likes, which only makes more possible.
    """
    reached: dict[int, int] = {}
    at, free = (-1, 0) if forward else (max(work.place, default=0) + 1, 0)
    for task in chain:
        places = sorted({work.place[w] for w in usable[task]}, reverse=not forward)
        open_places = [p for p in places if (p >= at if forward else p <= at)]
        left = work.tasks[task].minutes
        least = SHORTEST_PIECE if work.tasks[task].may_split else left
        for place in open_places:
            room = free if place == at else work.span(place)
            if room < least:
                continue
            reached.setdefault(task, place)
            done = min(left, room)
            at, free, left = place, room - done, left - done
            least = min(least, max(left, 1))
            if not left:
                break
        if left:
            return None
    return reached


def _can_finish(work: Work, task: int, windows: Sequence[int]) -> bool:
    """Whether these windows could hold the whole task, taken by itself."""
    most = sum(max(0, work.longest_piece(task, window)) for window in windows)
    fresh = any(work.ends_fresh(task, window) for window in windows)
    return most >= work.tasks[task].minutes and fresh
