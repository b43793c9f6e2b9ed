"""Opens every number of a line of supplies: where it comes from, in words that add up on paper."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from library.materials.amounts import Quantity
from library.materials.measures import convert
from library.supplies.lines import DAY_IN_HAND, SupplyLine, on_day, used_up, weight_of
from library.supplies.needs import Need
from library.supplies.wording import counted, date_words, listed

Titles: TypeAlias = Callable[[str], str]
"""Id of a card → what a page calls it."""


@dataclass(frozen=True, slots=True)
class Reckoned:
    """How the numbers of one line came about."""

    need: tuple[str, ...]
    """A phrase a placement, and what makes the sum of them."""
    on_hand: str
    buy: str
    packs: str
    """Empty where nothing is bought."""
    order_by: str
    """Empty where nothing is bought."""


def reckon(line: SupplyLine, title_of: Titles = str) -> Reckoned:
    """How the numbers of a line came about.

    Args:
        line: The line.
        title_of: What to call a card by its id; the id itself unless given.
    """
    return Reckoned(
        tuple(_need(line, title_of)), _on_hand(line), _buy(line), _packs(line), _order_by(line)
    )


def _need(line: SupplyLine, title_of: Titles) -> Iterator[str]:
    counted_once: set[tuple[str, int]] = set()
    for each in line.needs:
        again = each.once and (each.activity, each.place) in counted_once
        counted_once.add((each.activity, each.place))
        if again:
            yield f"{title_of(each.activity)}: the same {each.quantity} again, so nothing more"
        else:
            total = "" if each.once else f" = {each.quantity}"
            yield f"{title_of(each.activity)}: {each.how}{total}"
    if line.is_shared and line.fullest and len(line.needs) > 1:
        yield fullest_words(line, title_of)
    elif len(line.needs) > 1:
        yield f"together {line.need}"


def fullest_words(line: SupplyLine, title_of: Titles = str) -> str:
    """The day that decides, and what each placement takes on it: ``most on Tue 6 Oct: …``."""
    if line.fullest is None:
        return ""
    there = on_day(line.needs, line.fullest)
    parts = listed(f"{title_of(name)} {_of(there, name)}" for name in _names(there))
    return f"most on {date_words(line.fullest)}: {parts}, together {line.need}"


def _names(needs: tuple[Need, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(each.activity for each in needs))


def _of(needs: tuple[Need, ...], activity: str) -> Quantity:
    mine = [each for each in needs if each.activity == activity]
    return used_up(mine, weight_of(mine))


def _on_hand(line: SupplyLine) -> str:
    if not line.stock:
        return "the shelf list does not have it"
    weight = weight_of(line.needs)
    parts = []
    for each in line.stock:
        there = convert(each.amount, line.need.measure, weight)
        same = "" if there.measure == each.amount.measure else f" = {there}"
        parts.append(f"{each.amount}{same}{f' in bin {each.bin}' if each.bin else ''}")
    return listed(parts)


def _buy(line: SupplyLine) -> str:
    have = Quantity(line.on_hand, line.need.measure)
    if not line.buy:
        return f"{line.need} needed, {have} there"
    return f"{line.need} needed − {have} there = {line.short}"


def _packs(line: SupplyLine) -> str:
    if not line.buy:
        return ""
    if line.packs is None or line.bought is None:
        return "how it is bought is not noted, so packs and cost are not known"
    pack = line.bought.pack or Quantity(Fraction(1), line.need.measure)
    many = f"{line.short} in packs of {pack} = {counted(line.packs, 'pack')}"
    if line.cost is None:
        return f"{many}; the price is not noted"
    return f"{many} × {line.bought.price:.2f} = {line.cost:.2f}"


def _order_by(line: SupplyLine) -> str:
    if line.order_by is None or line.first_use is None:
        return ""
    delivery = line.bought.delivery_days if line.bought else 0
    before = listed(
        (
            *([f"{counted(delivery, 'day')} until it comes"] if delivery else []),
            f"{counted(DAY_IN_HAND, 'day')} in hand",
        )
    )
    return (
        f"first in hand on {date_words(line.first_use)} at the latest; {before} before that; ordered the day "
        f"before, or on the last open day: {date_words(line.order_by)}"
    )
