"""The prep of a unit: which step in which nap time, and what will not fit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from library.prep.arranging import Slot
from library.prep.lateness import why_late
from library.prep.pinning import PinnedStep, Refused, settle_pins
from library.prep.stages import Best, Proof, best_plan
from library.prep.tasks import Task, tasks_of
from library.prep.windows import Window, moment_of, windows_between
from library.prep.work import Work, lay_work_out
from library.room.room import Room
from library.units.calendar import DAYS_A_WEEK
from library.units.placed import Placed
from library.units.unit import Unit

WEEKS_BACK = 6
"""How long before a unit starts its prep may begin (PREP10)."""


@dataclass(frozen=True, slots=True)
class PlannedStep:
    """A step, or a piece of one, in a session."""

    key: str
    """Names the step of its batch; stays the same when the plan is worked out again."""
    activity: str
    do: str
    minutes: int
    of: int
    """Minutes of the whole step; more than ``minutes`` where it is done in pieces."""
    begins: dt.datetime
    ready_for: dt.date
    """The day for whose morning it is made."""
    batch: int
    """Which making of the card's things, from 1 (PREP3)."""
    away: bool
    pinned: bool = False
    outlasted: bool = False
    """Whether it lies longer before its day than what its batch makes keeps. The card's last step
    does not, and that alone is what keeps is counted from (PREP4)."""

    @property
    def ends(self) -> dt.datetime:
        """When it has ended."""
        return self.begins + dt.timedelta(minutes=self.minutes)


@dataclass(frozen=True, slots=True)
class Session:
    """One adult's prep in one window."""

    date: dt.date
    window: str
    """``13:00-13:40``."""
    adult: int
    """From 1."""
    steps: tuple[PlannedStep, ...]
    """In order of time."""

    @property
    def minutes(self) -> int:
        """Minutes of work."""
        return sum(step.minutes for step in self.steps)

    @property
    def groups(self) -> tuple[tuple[str, tuple[PlannedStep, ...]], ...]:
        """Steps with the same words together, in order of first mention; none is moved (PREP16)."""
        found: dict[str, list[PlannedStep]] = {}
        for step in self.steps:
            found.setdefault(" ".join(step.do.casefold().split()), []).append(step)
        return tuple((steps[0].do, tuple(steps)) for steps in found.values())


@dataclass(frozen=True, slots=True)
class LateStep:
    """A step, or the rest of one, that cannot be done in time (PREP14)."""

    key: str
    activity: str
    do: str
    minutes: int
    """Minutes that are late."""
    ready_for: dt.date
    why: str
    """What keeps it from being in time, one sentence."""


@dataclass(frozen=True, slots=True)
class Prep:
    """The plan."""

    unit: str
    """``theme/unit``."""
    sessions: tuple[Session, ...]
    """In order of time, then adult. Late work is in none of them (PREP15)."""
    late: tuple[LateStep, ...]
    proof: Proof
    missing: tuple[str, ...] = ()
    """Ids of cards that the library does not have; their prep is left out (FIND7)."""
    refused: tuple[Refused, ...] = ()
    """Steps that were put somewhere they cannot stay."""

    @property
    def late_minutes(self) -> int:
        """Minutes that cannot be done in time."""
        return sum(step.minutes for step in self.late)

    @property
    def starts(self) -> dt.date | None:
        """Date of the earliest session; None where there is nothing to do (PREP13)."""
        return self.sessions[0].date if self.sessions else None

    @property
    def is_feasible(self) -> bool:
        """Whether every step is in time."""
        return not self.late

    @property
    def needs_a_person(self) -> bool:
        """Whether something is late or missing."""
        return bool(self.late or self.missing)

    def as_json(self) -> dict[str, Any]:
        """The object that ``unit prep --json`` prints."""
        return {
            "unit": self.unit,
            "feasible": self.is_feasible,
            "late_minutes": self.late_minutes,
            "starts": self.starts.isoformat() if self.starts else None,
            "sessions": [_session_json(session) for session in self.sessions],
            "late": [_late_json(step) for step in self.late],
            "missing": list(self.missing),
            "proven": self.proof.proven,
            "bounds": {
                "late_minutes": self.proof.late_minutes_at_least,
                "starts": str(self.proof.starts_at_latest) if self.proof.starts_at_latest else None,
                "sessions": self.proof.sessions_at_least,
            },
        }


def plan_prep(
    unit: Unit, placed: Sequence[Placed], room: Room, pins: Iterable[PinnedStep] = ()
) -> Prep:
    """Plans the ahead steps of a unit into the room's prep windows.

    Every deadline is met if that can be done, else as few minutes as possible are late; of such
    plans one that starts on the latest date, of those one with the fewest sessions, of those one
    with the latest (PREP13, PREP14); within its sessions each step lies as late as there is room for
    it. The same input gives the same plan; today plays no part (CAL7).

    Args:
        unit: Says from when: prep goes back six weeks before it starts (PREP10).
        placed: Its placements, laid out.
        room: Its windows and open days.
        pins: Steps that a person has put somewhere; they stay and the rest is planned around them.
    """
    tasks, windows = tasks_and_windows(unit, placed, room)
    work, best, refused = _around_pins(tasks, windows, tuple(pins))
    return Prep(
        unit=unit.id,
        sessions=_sessions(work, best.slots),
        late=_late(work, best.slots),
        proof=best.proof,
        missing=tuple(
            dict.fromkeys(each.placement.activity or "" for each in placed if each.is_missing)
        ),
        refused=refused,
    )


def tasks_and_windows(
    unit: Unit, placed: Sequence[Placed], room: Room
) -> tuple[tuple[Task, ...], tuple[Window, ...]]:
    """What a unit has to have made ready, and the prep windows from six weeks before it to its end."""
    first = unit.starts - dt.timedelta(weeks=WEEKS_BACK)
    last = unit.starts + dt.timedelta(days=DAYS_A_WEEK * unit.weeks - 1)
    return tasks_of(placed, room), windows_between(room, first, last)


def units_beside(unit: Unit, others: Iterable[Unit]) -> tuple[Unit, ...]:
    """The other units in the same weeks, which want the same windows (PREP19)."""
    end = unit.starts + dt.timedelta(weeks=unit.weeks)
    return tuple(
        other
        for other in others
        if other.id != unit.id
        and other.starts < end
        and unit.starts < other.starts + dt.timedelta(weeks=other.weeks)
    )


@lru_cache(maxsize=64)
def _around_pins(
    tasks: tuple[Task, ...], windows: tuple[Window, ...], pins: tuple[PinnedStep, ...]
) -> tuple[Work, Best, tuple[Refused, ...]]:
    """The best plan around the pins; the last ones give way where together they leave none.

    What was worked out lately is remembered: the plan page, a clone and the prep page ask the same.
    """
    given_way: list[Refused] = []
    while True:
        settled, refused = settle_pins(tasks, windows, pins)
        work = lay_work_out(tasks, windows, settled)
        best = best_plan(work)
        if best is not None:
            return work, best, (*refused, *given_way)
        given_way.append(Refused(pins[-1], "Nothing else could be planned around it."))
        pins = pins[:-1]


def _sessions(work: Work, slots: Sequence[Slot]) -> tuple[Session, ...]:
    by_session: dict[tuple[int, int], list[Slot]] = {}
    for slot in sorted(slots, key=lambda s: (s.piece.window, s.adult, s.start, s.piece.task)):
        by_session.setdefault((slot.piece.window, slot.adult), []).append(slot)
    found = []
    for (number, adult), there in by_session.items():
        window: Window = work.windows[number]
        steps = tuple(_planned(work, slot) for slot in there)
        found.append(Session(window.date, window.label, adult, steps))
    return tuple(found)


def _planned(work: Work, slot: Slot) -> PlannedStep:
    task = work.tasks[slot.piece.task]
    return PlannedStep(
        key=task.key,
        activity=task.activity,
        do=task.do,
        minutes=slot.piece.minutes,
        of=task.minutes,
        begins=moment_of(slot.start),
        ready_for=moment_of(task.morning).date(),
        batch=task.batch,
        away=task.away,
        pinned=(task.number, slot.piece.window) in work.pinned,
        outlasted=slot.end < _fresh_from(work, task),
    )


def _fresh_from(work: Work, task: Task) -> int:
    """The minute from which what a task's batch makes keeps; 0 where it keeps any time."""
    same = (
        each for each in work.tasks if (each.activity, each.batch) == (task.activity, task.batch)
    )
    return max(each.earliest_end or 0 for each in same)


def _late(work: Work, slots: Sequence[Slot]) -> tuple[LateStep, ...]:
    done: dict[int, int] = {}
    for slot in slots:
        done[slot.piece.task] = done.get(slot.piece.task, 0) + slot.piece.minutes
    late = [task for task in work.tasks if done.get(task.number, 0) < task.minutes]
    numbers = {task.number for task in late}
    return tuple(_late_step(work, task, done.get(task.number, 0), numbers) for task in late)


def _late_step(work: Work, task: Task, done: int, late: set[int]) -> LateStep:
    return LateStep(
        key=task.key,
        activity=task.activity,
        do=task.do,
        minutes=task.minutes - done,
        ready_for=moment_of(task.morning).date(),
        why=why_late(task, work.windows, follows_late=task.after in late),
    )


def _session_json(session: Session) -> dict[str, Any]:
    return {
        "date": session.date.isoformat(),
        "window": session.window,
        "adult": session.adult,
        "tasks": [
            {
                "activity": step.activity,
                "do": step.do,
                "minutes": step.minutes,
                "begins": f"{step.begins:%H:%M}",
                "ready_for": step.ready_for.isoformat(),
            }
            for step in session.steps
        ],
    }


def _late_json(step: LateStep) -> dict[str, Any]:
    return {
        "activity": step.activity,
        "do": step.do,
        "minutes": step.minutes,
        "ready_for": step.ready_for.isoformat(),
        "why": step.why,
    }
