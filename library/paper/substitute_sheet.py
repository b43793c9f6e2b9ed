"""The substitute sheet: one day for someone who has never been in the room."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from library.paper.bins import bins_to_pull, theme_bin
from library.paper.blocks import Block, Gap, Picture, Prose, Row, Stack, heading, listing
from library.paper.children import attending, meets, not_known_of
from library.paper.furniture import Heading, build, limits, stopped
from library.paper.job import (
    Job,
    adult_words,
    center_name,
    clock,
    day_words,
    group_words,
    in_walking_order,
    title_of,
)
from library.paper.sheet import Audience, Sheet
from library.paper.tables import Table, table
from library.paper.text import Rich, Run, bold
from library.paper.writing import write_in
from library.plan.reach import wants_reach
from library.plan.stops import stop_words, stops_on
from library.room.room import Block as PartOfDay
from library.supplies.wording import counted
from library.units.placed import Placed

SIZE = 10.5
CAUTION = (
    "Wash hands with the children before food and after water, sand and toilet. Nobody is ever out "
    "of sight and sound. Each child's own plan, in the file, comes before anything on this page."
)
"""Common practice of child care; each center's own rules come first."""


def substitute_sheet(job: Job) -> Sheet:
    """The day's blocks, who stands where, what is set up, portions by label, where things are, whom to ask."""
    day = job.one_day
    when = day_words(day) if day else "no open day"
    top = Heading("For the substitute", f"All you need for {when}.", Audience.STAFF)
    here = in_walking_order(job, (p for p in job.plan.placed if day in p.days))
    blocks: list[Block] = [
        *_who(job, day),
        *_day(job, here),
        *_portions(job, day, here),
        *_set_up(job, day, here),
        *_places(job, day, here),
        *_ask(),
    ]
    if day and any(stops_on(job.plan, placed, (day,)) for placed in here):
        blocks.append(limits())
    return build("substitute-sheet", top, job, [blocks], tables=(_table(job, here),))


def _who(job: Job, day: dt.date | None) -> Iterator[Block]:
    if day is None:
        return
    children = attending(job, (day,))
    adults = job.room.adults_at(day)
    count = f"{counted(len(children), 'child', 'children')} and {counted(adults, 'adult')} today. "
    labels = ", ".join(child.label for child in children)
    yield Prose(
        (bold(count if children else ""), f"Children: {labels}." if labels else ""), 11.5, 1.0
    )
    yield Prose(CAUTION, SIZE, 1.0)


def _day(job: Job, here: Sequence[Placed]) -> Iterator[Block]:
    if not job.room.day:
        return
    yield heading("The day")
    columns = (("Time", 30), ("What", 0.3), ("An adult stays right here", 0.45), ("Who", 0.25))
    rows = [
        (
            Prose(bold(f"{clock(part.start)} to {clock(part.end)}"), SIZE, after=0),
            Prose(part.name, SIZE, after=0),
            Prose(_right_here(job, part, here), SIZE, after=0),
            Prose(" ", SIZE, after=0),
        )
        for part in job.room.day
    ]
    yield listing(columns, rows)


def _right_here(job: Job, part: PartOfDay, here: Sequence[Placed]) -> str:
    held = [p for p in here if part in p.blocks and wants_reach(job.plan, p)]
    return ", ".join(f"{center_name(p.center)} ({title_of(p)})" for p in held)


def _set_up(job: Job, day: dt.date | None, here: Sequence[Placed]) -> Iterator[Block]:
    if not here:
        return
    yield heading("What is set up")
    rows = [
        (
            Row(
                (
                    Picture(job.pictograms.of(placed.center), 6.0, 1.0),
                    Prose(bold(center_name(placed.center)), 11.5, after=0),
                ),
                (6.0, 1.0),
                gap=1.5,
            ),
            _about(job, placed, day),
            Prose(_adults(job, placed), SIZE, after=0),
        )
        for placed in here
    ]
    yield listing((("Center", 36), ("What", 0.62), ("Adults", 0.38)), rows)


def _about(job: Job, placed: Placed, day: dt.date | None) -> Block:
    if stops := stops_on(job.plan, placed, (day,) if day else None):
        return Stack((Prose(bold(title_of(placed)), SIZE, 0.2), stopped(stop_words(stops), SIZE)))
    return Prose(_told(placed), SIZE, after=0)


def _told(placed: Placed) -> Rich:
    card = placed.card
    if card is None:
        return Run(f"As it is, with {placed.placement.add}" if placed.placement.add else "As it is")
    note = placed.placement.note
    runs = [bold(card.title), Run(f" · {card.summary}")]
    return [*runs, Run(" "), Run(note, mark=True)] if note else runs


def _adults(job: Job, placed: Placed) -> str:
    card = placed.card
    return f"{adult_words(job, placed)} {group_words(card)}".strip() if card else ""


def _portions(job: Job, day: dt.date | None, here: Sequence[Placed]) -> Iterator[Block]:
    """Children with allergies, and which of today's materials name what they must not meet."""
    children = [c for c in attending(job, (day,) if day else ()) if c.allergens]
    if not children:
        return
    yield heading("Portions by label")
    yield Prose(
        "These children have their own portion and their own place. Read the label of what is there; "
        "only the materials list was looked at.",
        SIZE,
    )
    rows = []
    for child in children:
        found = meets(job, child, here)
        today = [
            f"{m.item} at {center_name(m.placed.center)}, which is not put out"
            if stops_on(job.plan, m.placed, (day,) if day else None)
            else f"{m.item} at {center_name(m.placed.center)}"
            for m in found
        ]
        unknown = not_known_of(job, child, here)
        if unknown:
            today.append(f"not known, read the label first: {', '.join(unknown)}")
        rows.append(
            (
                Prose(bold(child.label), 12, after=0),
                Prose(", ".join(child.allergens), 11, after=0),
                Prose("; ".join(today) or "nothing listed in today's materials", SIZE, after=0),
            )
        )
    yield listing((("Label", 32), ("Must not meet", 45), ("Today", 1.0)), rows)


def _places(job: Job, day: dt.date | None, here: Sequence[Placed]) -> Iterator[Block]:
    pulled = bins_to_pull(job, here, (day,) if day else None)
    place = theme_bin(job)
    if not pulled and not place:
        return
    yield heading("Where things are")
    if place:
        yield Prose((bold(f"Bin {place} "), "the theme's own things"), SIZE, 0.4, "dot")
    for name, items in pulled:
        yield Prose((bold(f"Bin {name} "), ", ".join(items)), SIZE, 0.4, "dot")


def _ask() -> Iterator[Block]:
    lines = (
        write_in("Lead teacher", "Phone"),
        write_in("Office", "Phone"),
        write_in("First aid kit", "Medicine"),
    )
    yield Stack((heading("Whom to ask"), *lines, Gap(1.0)), whole=True)


def _table(job: Job, here: Sequence[Placed]) -> Table:
    rows = [(center_name(placed.center), title_of(placed), _adults(job, placed)) for placed in here]
    return table("today", "center activity adults", rows)
