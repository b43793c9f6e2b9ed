"""The shopping list: what to get where and by when, from what the unit needs and the shelf lacks."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence

from library.paper.blocks import Block, Framed, Gap, Prose, Stack, heading, listing
from library.paper.faces import NO_BREAK
from library.paper.furniture import Heading, build, limits
from library.paper.job import Job, day_words
from library.paper.sheet import INK, Audience, Sheet
from library.paper.tables import Table, table
from library.paper.text import bold
from library.plan.prepneeds import WantedForPrep, day_to_order, wanted_for_prep
from library.plan.stops import HeldBack, held_back, to_fetch
from library.supplies.lines import Supplies, SupplyLine
from library.supplies.shopping import PLACES, how_much, order_of_places, place_of

HEADING = Heading(
    "Shopping list", "What the shelf lacks, where to get it, and by when.", Audience.STAFF
)
SIZE = 10.5


def shopping_list(job: Job) -> Sheet:
    """A part for each shop and each other source, what is needed first on top."""
    found, held = to_fetch(job.plan), held_back(job.plan)
    wanted = (line for line in found.lines if line.buy > 0 and line.is_fetched)
    early = wanted_for_prep(job.plan, found.lines)
    lines = sorted(wanted, key=lambda line: (day_to_order(line, early) or dt.date.max, line.item))
    blocks: list[Block] = [*_held(held), *_problems(found)]
    book = job.plan.materials
    for place in order_of_places(place_of(line, book) for line in lines):
        blocks.append(heading(place))
        columns = (("What", 0.5), ("How much", 40), ("Order by", 26), ("About", 18), ("For", 0.5))
        rows = [tuple(_cells(job, line, early)) for line in lines if place_of(line, book) == place]
        blocks.append(listing(columns, rows))
    if not lines and not held and not found.cannot_add:
        blocks.append(Prose("The shelf has everything that this unit needs.", 12))
    blocks += _sum(job, found, lines)
    return build(
        "shopping-list",
        HEADING,
        job,
        [blocks],
        tables=(_table(job, lines, early), *_table_held(held)),
    )


def _held(held: Sequence[HeldBack]) -> Iterator[Block]:
    """What stands on no part of the list, in a heavy frame."""
    if not held:
        return
    lines = [Prose((bold("Stop. "), f"{each.said}."), SIZE, after=0.4) for each in held]
    yield Framed(Stack((*lines, limits())), weight=1.6, color=INK, pad=1.6, after=0.6)


def _table_held(held: Sequence[HeldBack]) -> tuple[Table, ...]:
    rows = [(each.line.item, ", ".join(each.cards), each.said) for each in held]
    return (table("held-back", "item for stop", rows),) if rows else ()


def _cells(job: Job, line: SupplyLine, early: Mapping[str, WantedForPrep]) -> Iterator[Block]:
    day, wanted = day_to_order(line, early), early.get(line.item)
    prep = f", for prep on {day_words(wanted.day)}" if wanted else ""
    yield Prose(f"{line.item}{prep}", 11, 0, "box")
    yield Prose(bold(how_much(line).replace(" ", NO_BREAK)), SIZE, 0)
    yield Prose(day_words(day) if day else " ", SIZE, 0)
    yield Prose(f"{line.cost:.2f}" if line.cost is not None else " ", SIZE, 0)
    yield Prose(", ".join(_titles(job, line)), 9.5, 0)


def _titles(job: Job, line: SupplyLine) -> tuple[str, ...]:
    titles = {p.placement.activity: p.card.title for p in job.plan.placed if p.card}
    return tuple(titles.get(name, name) for name in line.activities)


def _problems(found: Supplies) -> Iterator[Block]:
    """What could not be counted stands on the list too, so that nobody trusts it too far."""
    for problem in (*found.cannot_add, *found.problems):
        yield Prose((bold("Not counted: "), f"{problem.problem}; {problem.fix}"), SIZE, 0.8, "dot")
    for name in found.missing:
        yield Prose((bold("Not counted: "), f"there is no card '{name}'"), SIZE, 0.8, "dot")


def _sum(job: Job, found: Supplies, lines: Sequence[SupplyLine]) -> Iterator[Block]:
    bought = [line for line in lines if place_of(line, job.plan.materials) not in PLACES.values()]
    without = [line.item for line in bought if line.cost is None]
    if found.total_cost:
        beside = f", without what has no price yet: {', '.join(without)}" if without else ""
        yield Gap(2.5)
        yield Prose((bold(f"About {found.total_cost:.2f} in all"), beside), 11.5, 1.0)


def _table(job: Job, lines: Sequence[SupplyLine], early: Mapping[str, WantedForPrep]) -> Table:
    rows = [
        (
            place_of(line, job.plan.materials),
            line.item,
            how_much(line),
            day.isoformat() if (day := day_to_order(line, early)) else None,
            float(line.cost) if line.cost is not None else None,
            ", ".join(line.activities),
        )
        for line in lines
    ]
    return table("shopping", "where item how-much order-by about for", rows)
