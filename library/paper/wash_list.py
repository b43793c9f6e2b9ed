"""The wash list: what is washed after each use, at the end of the day, and once a week."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from library.cards.values import When
from library.paper.blocks import Block, Prose, heading, listing
from library.paper.furniture import Heading, build
from library.paper.job import Job, center_name, in_walking_order, minutes_words, weekday
from library.paper.sheet import Audience, Sheet
from library.paper.tables import Table, table
from library.paper.text import Run, bold
from library.safety.hygiene import Moment, hygiene_steps
from library.units.calendar import open_days_of_week
from library.units.placed import Placed

HEADING = Heading(
    "Wash list",
    "What is washed when, with a box for each day. Mouthed things come off at once.",
    Audience.STAFF,
)
TIMES = (
    ("after each use", "After each use"),
    ("daily", "At the end of each day"),
    ("weekly", "Once a week"),
)
"""What ``wash`` says of a material, and the heading that it goes under."""
BOX = 12.0
"""Width of a day's column, in millimetres."""
SIZE = 10.5


def wash_list(job: Job) -> Sheet:
    """A page for each week: things by how often they are washed, then each center's own steps."""
    sections = [tuple(_week(job, days)) for days in _weeks(job)]
    if not sections:
        sections = [(Prose("The room is open on no day of this unit.", 12),)]
    return build("wash-list", HEADING, job, sections, tables=(_table(job),))


def _weeks(job: Job) -> Iterator[tuple[dt.date, ...]]:
    for week in range(1, job.plan.unit.weeks + 1):
        if days := open_days_of_week(job.plan.unit, week, job.room):
            yield days


def _week(job: Job, days: Sequence[dt.date]) -> Iterator[Block]:
    number = (days[0] - job.plan.unit.starts).days // 7 + 1
    yield Prose(bold(f"Week {number}"), 13, 0.5)
    here = [p for p in job.plan.placed if set(p.days) & set(days)]
    for key, title in TIMES:
        if things := _things(job, here, key):
            yield heading(title)
            each = (days[-1],) if key == "weekly" else tuple(days)
            yield _boxes(job, things, each)
    if steps := [*_steps(job, here)]:
        yield heading("At the centers, each day they stand")
        yield listing((("Center", 34), ("Do", 1.0), ("Minutes", 20)), steps)


Thing = tuple[str, tuple[Placed, ...]]


def _things(job: Job, here: Sequence[Placed], how_often: str) -> list[Thing]:
    """The materials of some placements that are washed so often, each with where it stands."""
    found: dict[str, list[Placed]] = {}
    for placed in in_walking_order(job, here):
        for line in placed.card.materials if placed.card else ():
            material = job.plan.materials.find(line.item)
            if (
                material
                and material.wash == how_often
                and placed not in found.get(material.item, ())
            ):
                found.setdefault(material.item, []).append(placed)
    return [(item, tuple(where)) for item, where in found.items()]


def _boxes(job: Job, things: Sequence[Thing], days: Sequence[dt.date]) -> Block:
    columns = (("What", 0.5), ("Where", 0.5), *((weekday(day), BOX) for day in days))
    rows = []
    for item, where in things:
        centers = dict.fromkeys(center_name(placed.center) for placed in where)
        stands = {day for placed in where for day in placed.days}
        weekly = len(days) == 1
        rows.append(
            (
                Prose(item, SIZE, after=0),
                Prose(", ".join(centers), SIZE, after=0),
                *(
                    Prose(" ", SIZE, 0, "box") if weekly or day in stands else Prose(" ", SIZE, 0)
                    for day in days
                ),
            )
        )
    return listing(columns, rows)


def _steps(job: Job, here: Sequence[Placed]) -> Iterator[tuple[Block, ...]]:
    """What each card and the published hygiene steps ask for when a center is packed away."""
    seen: set[tuple[str, str]] = set()
    for placed in in_walking_order(job, here):
        card = placed.card
        if card is None or (placed.center, card.id) in seen:
            continue
        seen.add((placed.center, card.id))
        own = [(step.do, step.minutes) for step in card.steps if step.on is When.DAILY]
        published = [
            (step.do, step.minutes)
            for step in hygiene_steps(card, placed.center, job.plan.materials)
            if step.at is Moment.PACK_AWAY
        ]
        for number, (do, minutes) in enumerate(dict.fromkeys([*own, *published])):
            name = Run(center_name(placed.center), bold=True) if number == 0 else Run(" ")
            took = minutes_words(minutes) if minutes else " "
            yield Prose(name, SIZE, after=0), Prose(do, SIZE, 0, "box"), Prose(took, SIZE, after=0)


def _table(job: Job) -> Table:
    rows = [
        (item, key, ", ".join(dict.fromkeys(center_name(placed.center) for placed in where)))
        for key, _ in TIMES
        for item, where in _things(job, [p for p in job.plan.placed if p.days], key)
    ]
    return table("wash", "item how-often centers", rows)
