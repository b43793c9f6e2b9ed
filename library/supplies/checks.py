"""What supplies have to say of a plan: something shared that is short, something to have ordered."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from library.materials.amounts import Quantity
from library.materials.material import Kind
from library.supplies.lines import Supplies, SupplyLine
from library.supplies.sharing import Claim, fullest_day, takers_on
from library.supplies.ways_out import ways_out
from library.supplies.wording import date_words, listed
from library.units.findings import Finding, Level


def check_durables(supplies: Supplies, claims: Sequence[Claim] = ()) -> Iterator[Finding]:
    """FIND9: what is shared is needed more often on its fullest day than there is.

    One finding a thing, which names every placement of that day and the ways out.

    Args:
        supplies: What the unit needs.
        claims: What other rooms take out of a closet that is shared.
    """
    for line in supplies.lines:
        if line.kind is Kind.DURABLE and (finding := _short(line, claims)):
            yield finding


def _short(line: SupplyLine, claims: Sequence[Claim]) -> Finding | None:
    found = fullest_day(line, claims)
    if found is None or found[1].number <= line.on_hand:
        return None
    day, total = found
    takers = takers_on(line, day, claims)
    there = Quantity(line.on_hand, total.measure)
    more = Quantity(total.number - line.on_hand, total.measure)
    parts = listed(f"{taker.who} {taker.amount}" for taker in takers)
    return Finding(
        level=Level.CAUTION,
        kind="durable",
        text=f"{line.item}: {total} needed on {date_words(day)}, its fullest day, {more} more than "
        f"the {'closet' if claims else 'room'} has ({there}); {parts}",
        why="what is used by two activities on one day has to be there twice",
        source="the cards' amounts and the room's stock",
        fix="; or ".join(ways_out(takers, there)),
        activity=line.activities[0],
        item=line.item,
    )


def check_orders(supplies: Supplies, today: dt.date) -> Iterator[Finding]:
    """FIND11: something to buy should have been ordered before today; what nobody fetches never is."""
    for line in supplies.lines:
        if line.order_by and line.order_by < today and line.is_fetched:
            yield Finding(
                level=Level.CAUTION,
                kind="order",
                text=f"{line.item} was to be ordered by {date_words(line.order_by)} "
                f"{line.order_by.year}",
                why="it would not be there for its first use with a day in hand",
                source="the room's delivery days",
                fix="fetch it yourself, or start the activity later",
                activity=line.activities[0],
                item=line.item,
            )
