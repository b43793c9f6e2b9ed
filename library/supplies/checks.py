"""What supplies have to say of a plan: something shared that is short, something to have ordered."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from library.materials.amounts import Quantity
from library.materials.material import Kind
from library.supplies.lines import Supplies
from library.units.findings import Finding, Level


def check_durables(supplies: Supplies) -> Iterator[Finding]:
    """FIND9: what is shared is needed more often on its fullest day than the room has it."""
    for line in supplies.lines:
        if line.kind is Kind.DURABLE and line.buy:
            short = Quantity(line.buy, line.need.measure)
            yield Finding(
                level=Level.CAUTION,
                kind="durable",
                text=f"{line.item}: {line.need} needed on its fullest day, {short} more than the room has; "
                f"needed for {', '.join(line.activities)}",
                why="what is shared by two activities on one day has to be there twice",
                source="the cards' amounts and the room's stock",
                fix="move one of them to other weekdays, borrow what is short, or buy it",
                activity=line.activities[0],
                item=line.item,
            )


def check_orders(supplies: Supplies, today: dt.date) -> Iterator[Finding]:
    """FIND11: something to buy should have been ordered before today."""
    for line in supplies.lines:
        if line.order_by is not None and line.order_by < today:
            yield Finding(
                level=Level.CAUTION,
                kind="order",
                text=f"{line.item} was to be ordered by {line.order_by.isoformat()}",
                why="it would not be there for its first use with a day in hand",
                source="the room's delivery days",
                fix="fetch it yourself, or start the activity later",
                activity=line.activities[0],
                item=line.item,
            )
