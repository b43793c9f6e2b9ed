"""Gathers what the prep page of a unit shows: nap times with their tasks, and each day's own steps."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from library.cards.card import Card
from library.paper.job import Job
from library.paper.prep_sheet import bins_for_next, is_too_early, notes_for, take_out
from library.plan.stops import stop_words, stops_instead, stops_on_card
from library.plan.unitplan import UnitPlan
from library.prep.day import DayStep, minutes_on, steps_on
from library.prep.moving import Movable
from library.prep.prep import LateStep, PlannedStep, Prep, Session, units_beside
from library.prep.swaps import with_less_prep
from library.prep.windows import Window, windows_between
from library.room.prepbook import PrepBook, Settled
from library.safety.checks import caution
from library.units.placed import Placed
from library.units.unit import Unit
from server.placing import find_url
from server.printing import Wishes, print_job
from server.shelf import shelf
from server.unitpage import working_room

DAYS_BACK = 14
"""How long before its day the windows are listed to which a task may be moved by hand."""
NAP_RULE = (
    "Somebody leaves the room in this window. At nap, Caring for Our Children 1.1.1.2 keeps the full "
    "ratio for children to 30 months, and one adult in the room for those from 31 months. Your local "
    "licensing rules decide."
)
"""Source: Caring for Our Children, standard 1.1.1.2, as read for the ratios of the checks."""


@dataclass(frozen=True, slots=True)
class Place:
    """A window that a task may be moved to."""

    value: str
    """``2026-10-01 13:00-13:40``."""
    day: dt.date
    hours: str
    here: bool


@dataclass(frozen=True, slots=True)
class Task:
    """A task, or a piece of one, in its nap time."""

    step: PlannedStep
    title: str
    center: str
    at: str
    """The place where it stands, as forms send it."""
    places: tuple[Place, ...]
    done: bool
    who: str
    too_early: bool
    """Whether it would fill with water what stands until the next day."""
    stop: str
    """What must not be put out of its card, and by which rule; empty where nothing stops it."""


@dataclass(frozen=True, slots=True)
class Column:
    """One adult's prep in one window."""

    session: Session
    tasks: tuple[tuple[str, tuple[Task, ...]], ...]
    """Tasks that say the same together under their words."""
    take_out: tuple[tuple[str, tuple[str, ...]], ...]
    """Items with their bins."""
    notes: tuple[tuple[str, str], ...]
    """Titles with what was noted."""
    next_bins: tuple[dt.date, tuple[str, ...]] | None
    """The bins to pull for the next day that needs any; only on the last column of a day."""
    nap_rule: str

    @property
    def id(self) -> str:
        """Its name in the page."""
        hours = self.session.window.replace(":", "")
        return f"nap-{self.session.date}-{hours}-{self.session.adult}"


@dataclass(frozen=True, slots=True)
class Late:
    """A task that will not fit, with ways out."""

    step: LateStep
    title: str
    swaps: tuple[Card, ...]
    find: str
    """Address of Find for its center."""


@dataclass(frozen=True, slots=True)
class Day:
    """What is done on the day itself."""

    date: dt.date
    steps: tuple[tuple[str, DayStep], ...]
    """Title of the card and the step."""
    minutes: int


@dataclass(frozen=True, slots=True)
class PrepPage:
    """Everything the page shows."""

    unit: Unit
    has_room: bool
    prep: Prep
    columns: tuple[Column, ...]
    late: tuple[Late, ...]
    refused: tuple[tuple[str, str], ...]
    """What could not stay where it was put, and why."""
    days: tuple[Day, ...]
    beside: tuple[Unit, ...]
    """Other units in the same weeks, which want the same windows (PREP19)."""

    @property
    def minutes(self) -> int:
        """Minutes of work ahead that are planned."""
        return sum(column.session.minutes for column in self.columns)

    @property
    def again(self) -> int:
        """Minutes among them that make again what does not keep; the plan counts each card once."""
        steps = (step for column in self.columns for step in column.session.steps)
        return sum(step.minutes for step in steps if step.batch > 1)

    @property
    def has_stop(self) -> bool:
        """Whether a stop stands on something that would be made ready."""
        return any(task.stop for each in self.columns for _, tasks in each.tasks for task in tasks)

    @property
    def caution(self) -> str:
        """What no check can know."""
        return caution()

    @property
    def windows(self) -> int:
        """How many windows are used."""
        return len({(column.session.date, column.session.window) for column in self.columns})


def prep_page(unit_id: str) -> PrepPage:
    """Works out the prep of a unit and lays it out.

    Raises:
        NotFound: If there is no such unit.
    """
    room = working_room(shelf().room())
    job = print_job(shelf().settings, unit_id, room, Wishes(), dt.date.today())
    settled = PrepBook(shelf().paths.database, room.name).settled(unit_id) if room.name else ()
    return PrepPage(
        unit=job.plan.unit,
        has_room=bool(room.name),
        prep=job.plan.prep,
        columns=tuple(_columns(job, settled)),
        late=tuple(_late(job)),
        refused=tuple((_do_of(job, each.step.key), each.why) for each in job.plan.prep.refused),
        days=tuple(_days(job)),
        beside=units_beside(job.plan.unit, shelf().units.read_all()[0]),
    )


def _columns(job: Job, settled: tuple[Settled, ...]) -> Iterator[Column]:
    sessions = job.plan.prep.sessions
    windows = _windows(job)
    away = {(window.date, window.label) for window in windows if window.away}
    last = {session.date: number for number, session in enumerate(sessions)}
    movable = Movable(job.plan.unit, job.plan.placed, job.room)
    for number, session in enumerate(sessions):
        leaves = (session.date, session.window) in away and _at_rest(job, session)
        yield Column(
            session,
            tuple(
                (do, tuple(_task(job, each, session, settled, movable) for each in steps))
                for do, steps in session.groups
            ),
            tuple(take_out(job, session)),
            tuple((_title(job, activity), note) for activity, note in notes_for(job, session)),
            bins_for_next(job, sessions, session.date) if last[session.date] == number else None,
            NAP_RULE if leaves and any(step.away for step in session.steps) else "",
        )


def _at_rest(job: Job, session: Session) -> bool:
    """Whether children rest during a session."""
    opens, _, closes = session.window.partition("-")
    return any(
        block.kind == "rest" and f"{block.start:%H:%M}" < closes and opens < f"{block.end:%H:%M}"
        for block in job.room.day
    )


def _task(
    job: Job,
    step: PlannedStep,
    session: Session,
    settled: tuple[Settled, ...],
    movable: Movable,
) -> Task:
    mine = [each for each in settled if each.step == step.key]
    here = [each for each in mine if each.day and each.is_at(session.date, session.window)]
    at = f"{session.date} {session.window}"
    first = step.ready_for - dt.timedelta(days=DAYS_BACK)
    places = tuple(
        Place(f"{w.date} {w.label}", w.date, w.label, f"{w.date} {w.label}" == at)
        for w in movable.windows_for(step)
        if first <= w.date or f"{w.date} {w.label}" == at
    )
    return Task(
        step=step,
        title=_title(job, step.activity),
        center=_center(job, step.activity),
        at=at,
        places=places,
        done=any(each.done for each in here),
        who=next((each.who for each in mine if each.who), ""),
        too_early=is_too_early(job, step),
        stop=stop_words(stops_on_card(job.plan, step.activity)),
    )


def _windows(job: Job) -> tuple[Window, ...]:
    sessions = job.plan.prep.sessions
    if not sessions:
        return ()
    first = min(session.date for session in sessions) - dt.timedelta(days=DAYS_BACK)
    last = max(step.ready_for for session in sessions for step in session.steps)
    return windows_between(job.room, first, last)


def _late(job: Job) -> Iterator[Late]:
    cards = shelf().cards.read_all()[0] if job.plan.prep.late else []
    used = {placed.placement.activity or "" for placed in job.plan.placed}
    for step in job.plan.prep.late:
        placed = next(p for p in job.plan.placed if p.placement.activity == step.activity)
        card = job.plan.cards[step.activity]
        day = placed.days[0] if placed.days else step.ready_for
        swaps = with_less_prep(
            card, placed.center, cards, job.room, day, used,
            fits=partial(_has_no_stop, job.plan, placed),
        )  # fmt: skip
        find = find_url(job.plan, placed.center, row=placed.placement.row, do="swap")
        yield Late(step, _title(job, step.activity), swaps, find)


def _has_no_stop(plan: UnitPlan, placed: Placed, card: Card) -> bool:
    return not stops_instead(plan, placed, card)


def _days(job: Job) -> Iterator[Day]:
    for date in sorted({day for placed in job.plan.placed for day in placed.days}):
        steps = steps_on(date, job.plan.placed, job.plan.materials)
        if steps:
            titled = tuple((_title(job, step.activity), step) for step in steps)
            yield Day(date, titled, minutes_on(steps))


def _title(job: Job, activity: str) -> str:
    placed = (p for p in job.plan.placed if p.placement.activity == activity)
    return next((job.plan.title_of(each) for each in placed), activity)


def _center(job: Job, activity: str) -> str:
    return next((p.center for p in job.plan.placed if p.placement.activity == activity), "")


def _do_of(job: Job, key: str) -> str:
    prep = job.plan.prep
    words = {step.key: step.do for session in prep.sessions for step in session.steps}
    words.update((step.key, step.do) for step in prep.late)
    return words.get(key, "A step")
