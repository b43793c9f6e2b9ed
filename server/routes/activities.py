"""Activity cards: show one."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, render_template, request

from library.cards.card import Card
from library.cards.portions import Portion, portions
from library.cards.rendering import Section, split_sections
from library.cards.values import Step, When
from library.units.dressing import Dressed, dress
from server.shelf import shelf
from server.words import center_title, facts

bp = Blueprint("activities", __name__, url_prefix="/activities")
CHILDREN, ADULTS = 8, 2
"""Taken where no room is loaded."""


@dataclass(frozen=True, slots=True)
class CardPage:
    """Everything the page of a card shows."""

    card: Card
    """The card in the dress that was chosen, its own where none was."""
    dressed: Dressed
    """Where each prop came from."""
    centers: tuple[str, ...]
    """Titles of its centers."""
    facts: tuple[tuple[str, str], ...]
    """What to know at a glance: name and value."""
    sections: tuple[Section, ...]
    """The body by its headings, without the summary."""
    portions: tuple[Portion, ...]
    """Materials for the number of children that was chosen."""
    children: int
    steps: tuple[tuple[str, tuple[Step, ...]], ...]
    """Steps by when they are done."""


@bp.get("/<card_id>")
def show(card_id: str) -> str:
    """The page of one card."""
    card = shelf().cards.read(card_id).card
    children = request.args.get("children", CHILDREN, type=int)
    return render_template("activities/show.html", page=card_page(card, min(max(children, 1), 60)))


def card_page(card: Card, children: int) -> CardPage:
    """The page of a card for a number of children."""
    dressed = dress(card)
    sections = split_sections(dressed.card.body)
    return CardPage(
        card=dressed.card,
        dressed=dressed,
        centers=tuple(center_title(key) for key in card.centers),
        facts=facts(dressed.card),
        sections=tuple(sections[1:] if sections and not sections[0].heading else sections),
        portions=portions(dressed.card, children=children, adults=ADULTS),
        children=children,
        steps=_steps_by_time(dressed.card),
    )


def _steps_by_time(card: Card) -> tuple[tuple[str, tuple[Step, ...]], ...]:
    titles = ((When.AHEAD, "Ahead"), (When.MORNING, "In the morning"), (When.DAILY, "Each day"))
    groups = ((title, tuple(s for s in card.steps if s.on is when)) for when, title in titles)
    return tuple((title, steps) for title, steps in groups if steps)
