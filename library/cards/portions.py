"""What a card puts out for a number of children, on one day: its page and its set-up sheet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from library.cards.card import Card
from library.cards.values import MaterialLine
from library.materials.amounts import Amount, Basis, Quantity
from library.store.problems import Unreadable


@dataclass(frozen=True, slots=True)
class Portion:
    """One material in the amount that is put out."""

    line: MaterialLine
    quantity: Quantity | None
    """None where the amount cannot be read; the line then shows what was written."""
    how: str
    """How the amount came about: ``1 for each of 4 places``."""


def portions(card: Card, *, children: int, adults: int) -> tuple[Portion, ...]:
    """The materials of a card for one day with these children and adults.

    ``per place`` counts the most children the card takes at once, 1 if it does not say (SUP2);
    ``per setup`` and ``in all`` count once. What a whole unit needs is reckoned by ``supplies``.
    """
    return tuple(_portion(line, card, children, adults) for line in card.materials)


def _portion(line: MaterialLine, card: Card, children: int, adults: int) -> Portion:
    try:
        amount = line.counted()
    except Unreadable:
        return Portion(line, None, line.amount)
    count, how = _count(amount, card, children, adults)
    number = amount.quantity.number * count
    return Portion(line, replace(amount.quantity, number=Fraction(number)), how)


def _count(amount: Amount, card: Card, children: int, adults: int) -> tuple[int, str]:
    each = str(amount.quantity)
    if amount.basis is Basis.CHILD:
        return children, f"{each} for each of {children} children"
    if amount.basis is Basis.ADULT:
        return adults, f"{each} for each of {adults} adults"
    if amount.basis is Basis.PLACE:
        places = card.group.high if card.group else 1
        return places, f"{each} for each of {places} places"
    return 1, "in all" if amount.basis is Basis.ALL else "for the set-up"
