"""The closet list: bin by bin, what this unit takes from the shelves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from library.materials.material import MADE
from library.paper.bins import bins_of, theme_bin
from library.paper.blocks import Block, Prose, heading, listing
from library.paper.furniture import Heading, build, stopped_list
from library.paper.job import Job, amount_words, center_name, day_words, in_walking_order
from library.paper.setup_sheets import put_out
from library.paper.sheet import Audience, Sheet
from library.paper.tables import Table, table
from library.paper.text import bold
from library.plan.stops import stopped_trays, stops_on
from library.units.placed import Placed

HEADING = Heading(
    "Closet list", "Bin by bin: what this unit takes from the shelves.", Audience.STAFF
)
NO_BIN = "No bin noted"
SIZE = 10.5


def closet_list(job: Job) -> Sheet:
    """Each bin with what to take from it, for which center and by when; things without a bin last."""
    blocks: list[Block] = []
    if place := theme_bin(job):
        blocks.append(
            Prose((bold(f"Bin {place}: "), "all of it, the theme's own things"), 12, 1.0, "box")
        )
    blocks += stopped_list(stopped_trays(job.plan), "Take nothing for these")
    rows = taken(job)
    for name in sorted({row[0] for row in rows}, key=lambda bin_: (bin_ == "", bin_)):
        blocks.append(heading(f"Bin {name}" if name else NO_BIN))
        columns = (("What", 0.45), ("Amount", 34), ("Center", 34), ("By", 26))
        blocks.append(listing(columns, [tuple(_cells(row)) for row in rows if row[0] == name]))
    if not rows:
        blocks.append(Prose("This unit takes nothing from the shelves.", 12))
    return build("closet-list", HEADING, job, [blocks], tables=(_table(rows),))


Taken = tuple[str, str, str, str, str]
"""Bin, item, amount, center, first day in words."""


def taken(job: Job) -> list[Taken]:
    """What each placement takes, in walking order: bin (empty: none), item, amount, center, day.

    A placement on which a stop stands takes nothing.
    """
    found: dict[tuple[str, str, str, str], Taken] = {}
    taking = (p for p in job.plan.placed if p.days and not stops_on(job.plan, p))
    for placed in in_walking_order(job, taking):
        for row in _of(job, placed):
            found.setdefault(row[:4], row)
    return list(found.values())


def _of(job: Job, placed: Placed) -> Iterator[Taken]:
    day = day_words(placed.days[0])
    for portion in put_out(placed, job.room):
        item = job.plan.materials.main_name(portion.line.item)
        material = job.plan.materials.find(item)
        if (
            material
            and material.origin in ("kitchen", MADE)
            and not bins_of(item, job.room, job.plan.materials)
        ):
            continue
        amount = amount_words(portion.quantity, portion.line.amount)
        names = bins_of(item, job.room, job.plan.materials)
        yield ", ".join(names), item, amount, center_name(placed.center), day


def _cells(row: Taken) -> Iterator[Block]:
    _, item, amount, center, day = row
    yield Prose(item, SIZE, 0, "box")
    yield Prose(bold(amount), SIZE, 0)
    yield Prose(center, SIZE, 0)
    yield Prose(day, SIZE, 0)


def _table(rows: Sequence[Taken]) -> Table:
    return table("closet", "bin item amount center by", rows)
