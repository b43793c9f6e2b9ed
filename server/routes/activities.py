"""Activity cards: the page of one."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass

from flask import Blueprint, render_template, request
from markupsafe import Markup

from library.cards.card import Card
from library.cards.centers import center_title
from library.cards.linked import card_json_ld
from library.cards.portions import Portion, portions
from library.cards.rendering import Section, split_sections
from library.cards.values import Step, When
from library.frameworks.folder import read_frameworks
from library.frameworks.framework import Goal
from library.room.room import Room
from library.safety.hygiene import Around, around_play
from library.search.similar import Similar, similar_cards
from library.supplies.at_hand import AtHand, at_hand
from library.supplies.sharing import joint_stock
from library.units.dressing import Dressed, dress
from library.units.lookback import Stood, history_of, minutes_it_took, took_in_words
from library.units.theme import Theme
from server.cautions import CardCautions, card_cautions
from server.photos import photo_numbers
from server.placing import placing
from server.reviewpage import looking_at
from server.roomlook import stops_here
from server.shelf import shelf
from server.visitors import may
from server.words import facts

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
    around: tuple[Around, ...]
    """Hands, water and tables, moment by moment, at its usual place."""
    room: Room | None
    """The room that is worked with; its stock shows where things lie."""
    at_hand: tuple[AtHand, ...]
    """The same materials beside the shelf; empty where no room is loaded."""
    cautions: CardCautions
    """What the checks say of the card by itself."""
    stops: str
    """What stops it for the children of the room, things by rule; empty where nothing does."""
    goals: tuple[Goal, ...]
    stood: tuple[Stood, ...]
    """The units it stands or stood in, the latest first, and how it went."""
    took: str
    """What its prep was said to take and what it took; empty if nobody noted it."""
    similar: tuple[Similar, ...]
    themes: tuple[Theme, ...]
    """Themes whose dress can be tried on."""
    theme: Theme | None
    """The theme that dresses it here."""
    photos: tuple[int, ...]
    """Places of the pictures whose files are there, from 1."""
    linked: Markup
    """The card as JSON-LD."""
    file: str
    """Path of its file within the library folder."""


@bp.get("/<card_id>")
def show(card_id: str) -> str:
    """The page of one card."""
    read = shelf().cards.read(card_id)
    looking = looking_at(read.card, read.fingerprint) if may("review.comment") else None
    return render_template("activities/show.html", page=card_page(read.card), looking=looking)


def card_page(card: Card) -> CardPage:
    """The page of a card, for the number of children and in the dress that the address asks for."""
    here = shelf()
    room, book, units = here.room(), here.materials(), here.units.read_all()[0]
    themes = tuple(here.units.themes())
    choice = placing()
    usual = choice.theme.id if choice else ""
    asked = request.args.get("theme", usual)
    theme = next((each for each in themes if each.id == asked), None)
    dressed = dress(card, theme)
    sections = split_sections(dressed.card.body)
    children = _children(room)
    put_out = portions(dressed.card, children=children, adults=room.adults if room else ADULTS)
    return CardPage(
        card=dressed.card,
        dressed=dressed,
        centers=tuple(center_title(key) for key in card.centers),
        facts=facts(dressed.card),
        sections=tuple(sections[1:] if sections and not sections[0].heading else sections),
        portions=put_out,
        children=children,
        steps=_steps_by_time(dressed.card),
        around=around_play(dressed.card, card.centers[0], book, children=children),
        room=room,
        at_hand=at_hand(put_out, joint_stock(room, here.rooms.sharing(room)), book) if room else (),
        cautions=card_cautions(dressed.card, book, room, dt.date.today()),
        stops=stops_here(card, room, book, dt.date.today()) if room and room.children else "",
        goals=tuple(_goals(card)),
        stood=history_of(card.id, units),
        took=took_in_words(card.prep_minutes, minutes_it_took(units).get(card.id, ())),
        similar=similar_cards(card, here.index.view),
        themes=themes if dressed.props else (),
        theme=theme,
        photos=photo_numbers(card),
        linked=script_json(card_json_ld(dressed.card, book, request.base_url)),
        file=here.cards.find(card.id).file,
    )


def script_json(value: object) -> Markup:
    """A value as JSON that cannot end the element it stands in."""
    text = json.dumps(value, ensure_ascii=False)
    for sign in "<>&":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return Markup(text)  # nosec B704 - no sign is left that HTML reads


def _children(room: Room | None) -> int:
    """How many children amounts are for: asked for, else those of the room today, else eight."""
    attending = len(room.attending(dt.date.today())) if room else 0
    usual = attending or (len(room.children) if room and room.children else CHILDREN)
    return min(max(request.args.get("children", usual, type=int), 1), 60)


def _goals(card: Card) -> list[Goal]:
    frameworks = read_frameworks(shelf().paths)[0]
    found = (framework.find(code) for code in card.domains for framework in frameworks)
    return [goal for goal in found if goal is not None]


def _steps_by_time(card: Card) -> tuple[tuple[str, tuple[Step, ...]], ...]:
    titles = ((When.AHEAD, "Ahead"), (When.MORNING, "In the morning"), (When.DAILY, "Each day"))
    groups = ((title, tuple(s for s in card.steps if s.on is when)) for when, title in titles)
    return tuple((title, steps) for title, steps in groups if steps)
