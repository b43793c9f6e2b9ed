"""The prep sheet: what is done in which nap time, day by day, and what to have at hand for tomorrow."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from library.paper.bins import bins_of, bins_to_pull, theme_bin
from library.paper.blocks import Block, Framed, Gap, Prose, Stack, heading, listing
from library.paper.furniture import Heading, build, stopped_list
from library.paper.job import Job, day_words, minutes_words
from library.paper.setup_sheets import put_out
from library.paper.sheet import Audience, Sheet
from library.paper.tables import Table, table
from library.paper.text import Run, bold
from library.plan.stops import stopped_trays, stops_on, stops_on_card
from library.prep.prep import LateStep, PlannedStep, Session
from library.safety.standing import NOT_AHEAD, filled_ahead
from library.units.placed import Placed

HEADING = Heading(
    "Prep sheet",
    "What to make ready in which nap time, and what to pull for tomorrow.",
    Audience.STAFF,
)
SIZE = 10.5
OUTLASTED = "longer before its day than it keeps, which counts from the last step"
"""Said of a step that lies so early that only the step after it keeps (PREP4)."""


def prep_sheet(job: Job) -> Sheet:
    """A part for each day with prep; what does not fit comes first."""
    prep = job.plan.prep
    trays = stopped_trays(job.plan)
    blocks: list[Block] = [
        *stopped_list(trays, "Make nothing ready for these, and pull nothing for them"),
        *_late(job, prep.late),
    ]
    days = sorted({session.date for session in prep.sessions})
    for day in days:
        blocks += [heading(_day_title(prep.sessions, day)), *_day(job, prep.sessions, day)]
    if not days:
        blocks.append(Prose("No step of this unit has to be done before its day.", 12))
    return build("prep-sheet", HEADING, job, [blocks], tables=(_table(job),))


def _day_title(sessions: tuple[Session, ...], day: dt.date) -> str:
    minutes = sum(session.minutes for session in sessions if session.date == day)
    return f"{day_words(day)}, {minutes_words(minutes)}"


def _late(job: Job, late: tuple[LateStep, ...]) -> Iterator[Block]:
    if not late:
        return
    yield heading("Does not fit before its day")
    for step in late:
        words = (
            Run(f"{step.do} ", bold=True),
            f"for {_title(job, step.activity)}, {minutes_words(step.minutes)}, "
            f"wanted for {day_words(step.ready_for)}. {step.why}",
        )
        yield Prose(words, SIZE, 0.5, "box")


def _day(job: Job, sessions: tuple[Session, ...], day: dt.date) -> Iterator[Block]:
    rows = [
        (
            Prose(bold(_when(session)), SIZE, after=0),
            Stack((*(_step(job, step) for step in session.steps), *_carried(job, session))),
            Stack(tuple(_bins(job, session)) or (Prose(" ", SIZE, after=0),)),
        )
        for session in sessions
        if session.date == day
    ]
    yield listing((("When", 30), ("Do", 0.62), ("Take out", 0.38)), rows)
    if pull := bins_for_next(job, sessions, day):
        next_day, names = pull
        words = (bold("Bins to pull for "), bold(day_words(next_day)), f": {', '.join(names)}")
        yield Gap(1.0)
        yield Prose(words, SIZE, 1.5, "box")


def _when(session: Session) -> str:
    window = session.window.replace("-", " to ")
    return f"{window}, adult {session.adult}" if session.adult > 1 else window


def is_too_early(job: Job, step: PlannedStep) -> bool:
    """Whether a step would fill with water, before its day, what children play in on that day."""
    places = (
        p for p in (*job.plan.placed, *job.plan.swaps) if p.placement.activity == step.activity
    )
    early = {each.do for p in places if p.card for each in filled_ahead(p.card, p.center)}
    return step.do in early and step.begins.date() < step.ready_for


def _step(job: Job, step: PlannedStep) -> Block:
    if stops_on_card(job.plan, step.activity):
        why = f"A stop stands on {_title(job, step.activity)}."
        told = Prose((bold(f"Not now: {step.do}. "), why), SIZE, 0)
        return Framed(told, weight=1.2, pad=1.5)
    if is_too_early(job, step):
        return Framed(
            Prose((bold(f"Not now: {step.do}. "), NOT_AHEAD), SIZE, 0), weight=1.2, pad=1.5
        )
    piece = "" if step.minutes == step.of else f" of {step.of}"
    away = "; not in the room" if step.away else ""
    early = f"; {OUTLASTED}" if step.outlasted else ""
    words = (
        f"{step.do} ",
        bold(minutes_words(step.minutes) + piece),
        f" · {_title(job, step.activity)}, for {day_words(step.ready_for)}{away}{early}",
    )
    return Prose(words, SIZE, 0.4, "box")


def _carried(job: Job, session: Session) -> Iterator[Block]:
    for activity, note in notes_for(job, session):
        words = (bold(f"{_title(job, activity)}: "), Run(note, mark=True))
        yield Prose(words, SIZE, 0.4)


def notes_for(job: Job, session: Session) -> Iterator[tuple[str, str]]:
    """What was noted for the session's activities, on this plan or looking back on the last."""
    for activity in dict.fromkeys(step.activity for step in session.steps):
        own = (p.placement.note for p in job.plan.placed if p.placement.activity == activity)
        for note in dict.fromkeys(filter(None, own)):
            yield activity, note


def _bins(job: Job, session: Session) -> Iterator[Block]:
    for item, bins in take_out(job, session):
        yield Prose((f"{item} ", bold(f"bin {', '.join(bins)}")), SIZE, 0.3, "box")


def take_out(job: Job, session: Session) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What a session's cards use, with the bins it lies in; what lies in none is left out."""
    wanted = {step.activity for step in session.steps}
    seen: set[str] = set()
    for placed in _first_of_each(job):
        if placed.placement.activity not in wanted or stops_on(job.plan, placed):
            continue
        for portion in put_out(placed, job.room):
            item = job.plan.materials.main_name(portion.line.item)
            bins = bins_of(item, job.room, job.plan.materials)
            if bins and item not in seen:
                seen.add(item)
                yield item, bins


def _first_of_each(job: Job) -> Iterator[Placed]:
    seen: set[str | None] = set()
    for placed in job.plan.placed:
        if placed.card and placed.placement.activity not in seen:
            seen.add(placed.placement.activity)
            yield placed


def bins_for_next(
    job: Job, sessions: tuple[Session, ...], day: dt.date
) -> tuple[dt.date, tuple[str, ...]] | None:
    """The next day on which anything begins or is prepared, and the bins for it."""
    later = {each.date for each in sessions if each.date > day}
    later |= {placed.days[0] for placed in job.plan.placed if placed.days and placed.days[0] > day}
    if not later:
        return None
    tomorrow = min(later)
    preparing = {step.activity for each in sessions if each.date == tomorrow for step in each.steps}
    needed = [
        placed
        for placed in job.plan.placed
        if placed.days and (placed.first_day == tomorrow or placed.placement.activity in preparing)
    ]
    bins = {name for name, _ in bins_to_pull(job, needed)}
    first = min(placed.days[0] for placed in job.plan.placed if placed.days)
    if theme_bin(job) and tomorrow == first:
        bins.add(theme_bin(job))
    return (tomorrow, tuple(sorted(bins))) if bins else None


def _title(job: Job, activity: str) -> str:
    card = job.plan.cards.get(activity)
    return card.title if card else activity


def _table(job: Job) -> Table:
    planned = [
        (s.date.isoformat(), s.window, s.adult, _title(job, p.activity), p.do, p.minutes, "")
        for s in job.plan.prep.sessions
        for p in s.steps
    ]
    late = [
        ("", "", "", _title(job, each.activity), each.do, each.minutes, "late")
        for each in job.plan.prep.late
    ]
    return table("prep", "day window adult activity do minutes late", [*planned, *late])
