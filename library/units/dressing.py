"""Dresses a card for a theme: ``{{prop}}`` becomes the placement's, the theme's or the card's word."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from library.cards.card import Card
from library.cards.checking import PROP
from library.cards.values import MaterialLine, Step, Translation
from library.units.theme import Theme
from library.units.unit import Placement


@dataclass(frozen=True, slots=True)
class Dressed:
    """A card as the children meet it, and where each prop came from."""

    card: Card
    """The card with every known prop filled in."""
    bare: Card
    """The card as it stands in its file."""
    props: Mapping[str, str]
    """What fills each prop the card uses."""
    defaults: tuple[str, ...]
    """Props that the theme lacks, so that the card's own word shows."""
    unknown: tuple[str, ...]
    """Props with no word anywhere; they stay visible as ``{{name}}``."""


def dress(card: Card, theme: Theme | None = None, placement: Placement | None = None) -> Dressed:
    """Fills a card's props, the placement's word first, then the theme's, then its own (SUP27).

    Args:
        card: The card as it stands in its file.
        theme: The theme whose props are used; None: none.
        placement: The placement whose props win; None: none.

    Returns:
        The dressed card. The card given is not changed, and dressing it with nothing shows its
        own words.
    """
    chosen = {**(theme.props if theme else {}), **(placement.props if placement else {})}
    used = props_used(card)
    words = {name: chosen.get(name) or card.props.get(name, "") for name in used}
    known = {name: word for name, word in words.items() if word}
    return Dressed(
        card=_filled(card, known) if used else card,
        bare=card,
        props=known,
        defaults=tuple(name for name in known if not chosen.get(name)),
        unknown=tuple(name for name in used if name not in known),
    )


def props_used(card: Card) -> tuple[str, ...]:
    """The props a card's texts mention, in the order of their first mention."""
    texts = [card.title, card.body]
    texts += [part for line in card.materials for part in (line.item, line.amount)]
    texts += [step.do for step in card.steps]
    texts += [card.es.title, card.es.summary] if card.es else []
    return tuple(dict.fromkeys(name for text in texts for name in PROP.findall(text)))


def fill(text: str, words: Mapping[str, str]) -> str:
    """The text with each prop that has a word replaced by it; others stay as they are."""
    return PROP.sub(lambda match: words.get(match[1], match[0]), text)


def _filled(card: Card, words: Mapping[str, str]) -> Card:
    return replace(
        card,
        title=fill(card.title, words),
        body=fill(card.body, words),
        materials=tuple(
            MaterialLine(fill(line.item, words), fill(line.amount, words), line.refresh)
            for line in card.materials
        ),
        steps=tuple(
            Step(fill(step.do, words), step.minutes, step.on, step.away) for step in card.steps
        ),
        es=_filled_translation(card.es, words),
    )


def _filled_translation(es: Translation | None, words: Mapping[str, str]) -> Translation | None:
    return es and replace(es, title=fill(es.title, words), summary=fill(es.summary, words))
