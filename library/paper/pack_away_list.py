"""The pack-away list: what goes back where when the unit is over, in walking order."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from library.materials.material import Kind
from library.paper.bins import bin_words, theme_bin
from library.paper.blocks import Block, Prose, Stack, heading, listing
from library.paper.furniture import Heading, build
from library.paper.job import Job, center_name, day_words, in_walking_order, title_of
from library.paper.prose import prose, sections_of
from library.paper.setup_sheets import put_out
from library.paper.sheet import Audience, Sheet
from library.paper.tables import Table, table
from library.paper.text import bold
from library.paper.writing import write_in
from library.units.placed import Placed

HEADING = Heading(
    "Pack-away list", "What goes back where, and what to remember for next time.", Audience.STAFF
)
SIZE = 10.5


def pack_away_list(job: Job) -> Sheet:
    """A part for each day after which something goes, and lines for what was learned."""
    blocks: list[Block] = []
    days = sorted({p.days[-1] for p in job.plan.placed if p.days and p.card})
    for day in days:
        blocks += [heading(f"After {day_words(day)}"), _gone(job, day)]
    if not days:
        blocks.append(Prose("No activity stands on any open day yet.", 12))
    if place := theme_bin(job):
        blocks.append(
            Prose((bold(f"Bin {place}: "), "the theme's own things go back"), 12, 1.0, "box")
        )
    lines = (write_in("Again"), write_in("Change"), write_in("Not again"))
    blocks.append(Stack((heading("For the look back"), *lines), whole=True))
    return build("pack-away-list", HEADING, job, [blocks], tables=(_table(job),))


def _gone(job: Job, day: dt.date) -> Block:
    gone = (p for p in job.plan.placed if p.card and p.days and p.days[-1] == day)
    rows = [
        (
            Prose(bold(center_name(placed.center)), 12, after=0),
            Stack(tuple(_how(placed))),
            Stack(tuple(_things(job, placed)) or (Prose(" ", SIZE, after=0),)),
        )
        for placed in in_walking_order(job, gone)
    ]
    return listing((("Center", 34), ("How", 0.5), ("Back to its place", 0.5)), rows)


def _how(placed: Placed) -> Iterator[Block]:
    yield Prose(bold(title_of(placed)), SIZE, 0.3)
    if placed.card:
        yield from prose(sections_of(placed.card).get("pack away", ""), SIZE, after=0.3)


def _things(job: Job, placed: Placed) -> Iterator[Block]:
    for item in _lasting(job, placed):
        where = bin_words(item, job)
        yield Prose((item, bold(f" {where}") if where else ""), SIZE, 0.3, "box")


def _lasting(job: Job, placed: Placed) -> tuple[str, ...]:
    """The things of a placement that last, by their main names."""
    book = job.plan.materials
    names = (book.main_name(portion.line.item) for portion in put_out(placed, job.room))
    kinds = {name: book.find(name) for name in names}
    return tuple(n for n, m in kinds.items() if m and m.kind in (Kind.DURABLE, Kind.BOOK))


def _table(job: Job) -> Table:
    rows = [
        (
            placed.days[-1].isoformat(),
            center_name(placed.center),
            item,
            bin_words(item, job).removeprefix("bin "),
        )
        for placed in in_walking_order(job, (p for p in job.plan.placed if p.days))
        for item in _lasting(job, placed)
    ]
    return table("pack-away", "after center item bin", rows)
