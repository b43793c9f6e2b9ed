"""The set-up walk: what to carry where, in the order in which one walks the room."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from library.cards.card import Card
from library.cards.values import Refresh, When
from library.paper.bins import bin_words, theme_bin
from library.paper.blocks import Block, Gap, Picture, Prose, Row, Stack, heading, listing
from library.paper.furniture import Heading, build, limits, stopped
from library.paper.job import (
    Job,
    amount_words,
    center_name,
    day_words,
    days_words,
    in_walking_order,
    minutes_words,
    title_of,
)
from library.paper.setup_sheets import put_out
from library.paper.sheet import Audience, Sheet
from library.paper.tables import Table, table
from library.paper.text import Run, bold
from library.plan.stops import stop_words, stopped_trays, stops_on
from library.units.placed import Placed

HEADING = Heading(
    "Set-up walk", "What to carry where, center by center, once around the room.", Audience.STAFF
)


def setup_walk(job: Job) -> Sheet:
    """A section for each day on which something new stands, and one for every morning."""
    blocks: list[Block] = []
    if place := theme_bin(job):
        blocks.append(Prose((bold("Bring the theme bin "), bold(place), "."), 12))
    for day in _set_up_days(job):
        blocks += [heading(f"Before {day_words(day)}"), _walk(job, day)]
    if rows := tuple(_every_day(job)):
        blocks += [heading("Every day"), listing((("Center", 42), ("Do", 1.0)), rows)]
    if stopped_trays(job.plan):
        blocks.append(limits())
    return build("setup-walk", HEADING, job, [blocks], tables=(_table(job),))


def _set_up_days(job: Job) -> list[dt.date]:
    return sorted({p.days[0] for p in job.plan.placed if p.days})


def _walk(job: Job, day: dt.date) -> Block:
    starting = [p for p in job.plan.placed if p.first_day == day]
    rows = [
        (_center(job, placed), _what(job, placed, day), _things(job, placed))
        for placed in in_walking_order(job, starting)
    ]
    return listing((("Center", 42), ("What stands there", 0.45), ("Take", 0.55)), rows)


def _center(job: Job, placed: Placed) -> Block:
    name = Prose(bold(center_name(placed.center)), 13, after=0)
    return Row((Picture(job.pictograms.of(placed.center), 7.0), name), (7.0, 1.0), gap=2.0)


def _what(job: Job, placed: Placed, day: dt.date) -> Block:
    stops = stops_on(job.plan, placed)
    lines: list[Block] = [
        Prose(bold(title_of(placed)), 11.5, 0.2, "" if stops else "box"),
        Prose(days_words(placed), 10, 0.4),
    ]
    if before := _clears(job, placed, day):
        lines.append(Prose(f"First put away: {', '.join(before)}", 10.5, 0.4))
    if stops:
        return Stack((*lines, stopped(stop_words(stops), 10.5)))
    for step in placed.card.steps if placed.card else ():
        if step.on is When.MORNING:
            text = (f"{step.do} ", bold(minutes_words(step.minutes)))
            lines.append(Prose(text, 10.5, 0.4, "box"))
    if placed.placement.note:
        lines.append(Prose(Run(placed.placement.note, mark=True), 10.5, 0.4))
    return Stack(tuple(lines))


def _clears(job: Job, placed: Placed, day: dt.date) -> tuple[str, ...]:
    """What stood at the center until now and stands there no longer."""
    gone = (
        title_of(other)
        for other in job.plan.placed
        if other.center == placed.center and other.days and other.days[-1] < day and other.card
    )
    return tuple(dict.fromkeys(gone))


def _things(job: Job, placed: Placed) -> Block:
    if stops_on(job.plan, placed):
        return Prose("nothing, until the plan is changed", 10.5, after=0)
    lines: list[Block] = []
    if placed.placement.add:
        lines.append(Prose(placed.placement.add, 10.5, 0.3, "box"))
    for portion in put_out(placed, job.room):
        amount = amount_words(portion.quantity, portion.line.amount)
        where = bin_words(portion.line.item, job)
        text = (portion.line.item, bold(f" {amount}"), Run(f" · {where}" if where else ""))
        lines.append(Prose(text, 10.5, 0.3, "box"))
    return Stack(tuple(lines) or (Prose("nothing to carry", 10.5, after=0),))


def _every_day(job: Job) -> Iterator[tuple[Block, ...]]:
    """What is done again every day, center by center; each card once."""
    seen: set[tuple[str, str]] = set()
    for placed in in_walking_order(job, (p for p in job.plan.placed if p.days and p.card)):
        card = placed.card
        if card is None or (placed.center, card.id) in seen or stops_on(job.plan, placed):
            continue
        seen.add((placed.center, card.id))
        if said := [*_renewed(job, placed), *_daily(card)]:
            yield _center(job, placed), Stack((Prose(bold(card.title), 10.5, 0.3), *said, Gap(0.2)))


def _renewed(job: Job, placed: Placed) -> Iterator[Block]:
    for portion in put_out(placed, job.room):
        if portion.line.refresh is Refresh.EACH_DAY:
            amount = amount_words(portion.quantity, portion.line.amount)
            yield Prose((f"new {portion.line.item} ", bold(amount)), 10.5, 0.3, "box")


def _daily(card: Card) -> Iterator[Block]:
    for step in card.steps:
        if step.on is When.DAILY:
            text = (f"{step.do} ", bold(minutes_words(step.minutes)))
            yield Prose(text, 10.5, 0.3, "box")


def _table(job: Job) -> Table:
    rows = [
        (
            day_words(placed.days[0]),
            center_name(placed.center),
            title_of(placed),
            portion.line.item,
            amount_words(portion.quantity, portion.line.amount),
            bin_words(portion.line.item, job).removeprefix("bin "),
        )
        for placed in in_walking_order(job, (p for p in job.plan.placed if p.days))
        if not stops_on(job.plan, placed)
        for portion in put_out(placed, job.room)
    ]
    return table("walk", "day center activity item amount bin", rows)
