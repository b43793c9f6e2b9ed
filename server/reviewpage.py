"""Gathers what waits for a person: drafts, files to mend, what to measure, cards alike, cards unused."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from library.cards.card import Card
from library.cards.checking import check_card
from library.cards.lone import lone_pictures
from library.cards.merging import Key, Side, differences
from library.cards.values import Status
from library.materials.material import Material
from library.room.comments import Comment, Comments
from library.safety.allergens import label_to_read
from library.safety.pieces import what_to_measure
from library.search.similar import pairs_alike
from library.store.problems import Problem
from library.units.dressing import dress
from library.units.unit import Unit
from library.units.unused import Unused, unused_cards
from server.known import known_to_cards
from server.mergepage import Choice, titled
from server.shelf import shelf
from server.visitors import people_sign_in, visitor

STATUS: Key = ("status", "", 0)
"""Never taken from another card: only somebody who has looked at this one marks it ready."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A card that waits for a second pair of eyes."""

    card: Card
    by: str
    """Who changed it last; empty where nobody signs in."""
    comments: int


@dataclass(frozen=True, slots=True)
class Pair:
    """Two cards that may be one activity."""

    one: Card
    other: Card
    why: str


@dataclass(frozen=True, slots=True)
class ReviewPage:
    """Everything that waits for a person."""

    drafts: tuple[Draft, ...]
    problems: tuple[Problem, ...]
    """In cards, materials, themes and units, file by file."""
    unmeasured: tuple[tuple[Material, str], ...]
    """Materials without a size where one is needed, and what to measure."""
    unread: tuple[tuple[Material, str], ...]
    """Materials whose label has to be read, and why."""
    alike: tuple[Pair, ...]
    unused: tuple[Unused, ...]
    pictures: tuple[str, ...]
    """Pictures that no card names, as paths within the library folder."""


@dataclass(frozen=True, slots=True)
class Looking:
    """What the page of a card shows of its review."""

    is_draft: bool
    comments: tuple[Comment, ...]
    by: str
    """Who changed it last."""
    mine: bool
    """Whether that was the person who looks, where somebody else has to look at it."""
    fingerprint: str


def review_page() -> ReviewPage:
    """What waits, in the whole library."""
    here = shelf()
    known, problems = known_to_cards(here.paths, here.cards)
    cards, unreadable = here.cards.read_all()
    problems += unreadable
    problems += [problem for card in cards for problem in check_card(card, known)]
    units, broken = here.units.read_all()
    problems += broken
    problems += [problem for theme in here.units.themes() for problem in theme.problems]
    problems += [problem for unit in units for problem in unit.problems]
    unmeasured = [(m, what) for m in here.materials() if (what := what_to_measure(m))]
    unread = [(m, why) for m in here.materials() if (why := label_to_read(m))]
    counts = Comments(here.paths.database).counts()
    dressed = [dress(card, None).card for card in cards]  # what is read here names no prop
    drafts = [card for card in dressed if card.status is Status.DRAFT]
    return ReviewPage(
        drafts=tuple(Draft(card, last_hand(card), counts.get(card.id, 0)) for card in drafts),
        problems=tuple(problems),
        unmeasured=tuple(unmeasured),
        unread=tuple(unread),
        alike=tuple(Pair(*pair) for pair in pairs_alike(dressed, known.materials)),
        unused=_unused(cards, units),
        pictures=lone_pictures(here.paths),
    )


def looking_at(card: Card, fingerprint: str) -> Looking:
    """What the review of a card has come to."""
    by = last_hand(card) if card.status is Status.DRAFT else ""
    return Looking(
        is_draft=card.status is Status.DRAFT,
        comments=tuple(Comments(shelf().paths.database).of(card.id)),
        by=by,
        mine=needs_another(by),
        fingerprint=fingerprint,
    )


def last_hand(card: Card) -> str:
    """Who changed a card last; empty where the program cannot know."""
    versions = shelf().history.versions(card.file, limit=1)
    return versions[0].by if versions else ""


def needs_another(by: str) -> bool:
    """Whether a card that somebody changed last waits for another person than the one who asks.

    Where one person works alone, on this machine or among readers, nobody is waited for.
    """
    if not people_sign_in() or not shelf().accounts.staff.several_write():
        return False
    return by == visitor().name


def skips_the_second_person(before: Card | None, after: Card) -> bool:
    """Whether a text would make a card ready that somebody else has to look at.

    Args:
        before: The card as it is; None where there is none that can be read.
        after: The card that the text makes.
    """
    was_ready = before is not None and before.status is Status.READY
    return after.status is Status.READY and not was_ready and needs_another(visitor().name)


def join_choices(kept: Card, gone: Card, picked: dict[str, str]) -> tuple[Choice, ...]:
    """What differs between two cards that become one, with what is proposed for each piece."""
    sides = proposed(kept, gone)
    return tuple(
        titled(each, number, picked, sides[each.key])
        for number, each in enumerate(differences(kept, gone, kept))
        if each.key != STATUS
    )


def proposed(kept: Card, gone: Card) -> dict[Key, Side]:
    """The value of the card that stays; of the other, what the first says nothing about."""
    return {
        each.key: "mine" if each.theirs in (None, "", ()) else "theirs"
        for each in differences(kept, gone, kept)
    }


def _unused(cards: list[Card], units: list[Unit]) -> tuple[Unused, ...]:
    written = {
        file.id: dt.date.fromtimestamp(file.modified_ns / 1e9) for file in shelf().cards.files()
    }
    return unused_cards(cards, units, written, dt.date.today())
