"""What helps where a thing is short on one day: move one, other weekdays, borrow, buy."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from library.materials.amounts import Quantity
from library.supplies.sharing import Taker
from library.supplies.wording import listed

FIRST_DAYS, OTHER_DAYS = "Mondays, Wednesdays and Fridays", "Tuesdays and Thursdays"


def ways_out(takers: Sequence[Taker], there: Quantity) -> tuple[str, ...]:
    """Each way out in words, the one that changes least first.

    Args:
        takers: Who takes of the thing on the day.
        there: How much there is.
    """
    short = sum((taker.amount.number for taker in takers), Fraction(0)) - there.number
    return (*_moves(takers, short), *_weekdays(takers, there), *_more(takers, there, short))


def _moves(takers: Sequence[Taker], short: Fraction) -> Iterator[str]:
    """One placement that, moved to other days, leaves enough for the rest; the smallest."""
    enough = [each for each in takers if each.movable and each.amount.number >= short]
    if enough and len(takers) > 1:
        yield f"move {min(enough, key=lambda each: each.amount.number).who} to other days"


def _weekdays(takers: Sequence[Taker], there: Quantity) -> Iterator[str]:
    """Two groups of placements that can take turns, where two groups are enough.

    First fit by falling amounts: it may miss a split that exists, and never names one that is
    short.
    """
    if len(takers) < 2 or not all(each.movable for each in takers):
        return
    groups: tuple[list[Taker], list[Taker]] = ([], [])
    for taker in sorted(takers, key=lambda each: -each.amount.number):
        held = [sum((t.amount.number for t in g), taker.amount.number) for g in groups]
        fits = next((n for n, number in enumerate(held) if number <= there.number), None)
        if fits is None:
            return
        groups[fits].append(taker)
    first, other = (listed(taker.who for taker in group) for group in groups)
    yield f"let {first} stand on {FIRST_DAYS} and {other} on {OTHER_DAYS}"


def _more(takers: Sequence[Taker], there: Quantity, short: Fraction) -> Iterator[str]:
    alone = [each for each in takers if each.amount.number > there.number]
    if alone and alone[0].movable:
        yield f"make do with fewer for {alone[0].who}, which takes {alone[0].amount} by itself"
    yield f"borrow or buy {Quantity(short, there.measure)}"
