"""The shopping list: what to get where and by when, from what the unit needs and the shelf lacks."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction

from library.materials.amounts import Quantity
from library.materials.words import STANDARD
from library.paper.blocks import Block, Gap, Prose, heading, listing
from library.paper.faces import NO_BREAK
from library.paper.furniture import Heading, build
from library.paper.job import Job, counted, day_words
from library.paper.sheet import Audience, Sheet
from library.paper.tables import Table, table
from library.paper.text import bold
from library.room.room import BuyLine
from library.supplies.lines import Supplies, SupplyLine

HEADING = Heading(
    "Shopping list", "What the shelf lacks, where to get it, and by when.", Audience.STAFF
)
PLACES = {
    "kitchen": "From the kitchen",
    "recycling": "From recycling",
    "outdoors": "From outdoors",
    "printed": "To print",
    "library": "From the library",
}
"""Where a material comes from (its key ``from``) → a heading; anything else is bought."""
TO_BUY = "To buy"
FROM_THE_TAP = "water"
"""What nobody carries home."""
SMALL = frozenset(("ml", "g", "mm", "cm"))
"""Measures of which nobody buys a part."""
SIZE = 10.5


def shopping_list(job: Job) -> Sheet:
    """A part for each shop and each other source, what is needed first on top."""
    found = job.plan.supplies
    wanted = (line for line in found.lines if line.buy > 0 and line.item != FROM_THE_TAP)
    lines = sorted(wanted, key=_when)
    blocks: list[Block] = [*_problems(found)]
    for place in dict.fromkeys(_order_of_places(job, lines)):
        blocks.append(heading(place))
        columns = (("What", 0.5), ("How much", 40), ("Order by", 26), ("About", 18), ("For", 0.5))
        rows = [tuple(_cells(job, line)) for line in lines if _place(job, line) == place]
        blocks.append(listing(columns, rows))
    if not lines and not found.cannot_add:
        blocks.append(Prose("The shelf has everything that this unit needs.", 12))
    blocks += _sum(job, found, lines)
    return build("shopping-list", HEADING, job, [blocks], tables=(_table(job, lines),))


def _when(line: SupplyLine) -> tuple[str, str]:
    return (line.order_by.isoformat() if line.order_by else "9999"), line.item


def _order_of_places(job: Job, lines: Sequence[SupplyLine]) -> list[str]:
    """Shops first, then what costs nothing, in the order of the table."""
    known = list(PLACES.values())
    return sorted(
        (_place(job, line) for line in lines),
        key=lambda place: (known.index(place) + 1 if place in known else 0, place),
    )


def _place(job: Job, line: SupplyLine) -> str:
    if (bought := _bought(job, line)) and bought.shop:
        return bought.shop
    material = job.plan.materials.find(line.item)
    return PLACES.get((material and material.origin) or "", TO_BUY)


def _bought(job: Job, line: SupplyLine) -> BuyLine | None:
    book = job.plan.materials
    return next((b for b in job.room.buy if book.main_name(b.item) == line.item), None)


def how_much(job: Job, line: SupplyLine) -> str:
    """What to get: packs where it is known how it is sold, else the amount, rounded up (SUP12)."""
    bought = _bought(job, line)
    if line.packs and bought and bought.pack:
        words = f"{counted(line.packs, 'pack')} of {bought.pack}"
    else:
        words = str(Quantity(rounded_up(line.buy, line.need.measure), line.need.measure))
    return words.replace(" ", NO_BREAK)


def rounded_up(number: Fraction, measure: str) -> Fraction:
    """A number that one can buy: whole for counts and small measures, a quarter for the others."""
    if measure in STANDARD and measure not in SMALL:
        return Fraction(math.ceil(number * 4), 4)
    return Fraction(math.ceil(number))


def _cells(job: Job, line: SupplyLine) -> Iterator[Block]:
    yield Prose(line.item, 11, 0, "box")
    yield Prose(bold(how_much(job, line)), SIZE, 0)
    yield Prose(day_words(line.order_by) if line.order_by else " ", SIZE, 0)
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
    bought = [line for line in lines if _place(job, line) not in PLACES.values()]
    without = [line.item for line in bought if line.cost is None]
    if found.total_cost:
        beside = f", without what has no price yet: {', '.join(without)}" if without else ""
        yield Gap(2.5)
        yield Prose((bold(f"About {found.total_cost:.2f} in all"), beside), 11.5, 1.0)


def _table(job: Job, lines: Sequence[SupplyLine]) -> Table:
    rows = [
        (
            _place(job, line),
            line.item,
            how_much(job, line).replace(NO_BREAK, " "),
            line.order_by.isoformat() if line.order_by else None,
            float(line.cost) if line.cost is not None else None,
            ", ".join(line.activities),
        )
        for line in lines
    ]
    return table("shopping", "where item how-much order-by about for", rows)
