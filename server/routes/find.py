"""Find: one box that reads plain English."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from functools import cache

from flask import Blueprint, g, render_template, request

from library.frameworks.framework import head_start
from library.materials.allergens import name_of
from library.materials.material import MaterialBook
from library.room.room import Room
from library.safety.allergens import not_known
from library.safety.checks import caution
from library.search.facets import FACETS
from library.search.question import read_question
from library.search.searching import Hit, Relaxation, SearchResult
from library.search.snippets import Segment
from library.units.dressing import dress, props_used
from server.asking import Asked, answer, kind_keys, read_asked, stock_of, suggestion
from server.pages import pictogram
from server.placing import placing
from server.roomlook import SecondLook, main_names, on_hand, second_look
from server.shelf import Reading, shelf

bp = Blueprint("find", __name__)
PAGE, MOST = 20, 400
TITLES = {
    "centers": "Center",
    "domains": "Domain",
    "season": "Season",
    "prep": "Prep",
    "place": "Place",
    "age": "Age",
    "group": "Children at once",
    "mess": "Mess",
}
SORTS = (("fit", "best fit"), ("prep", "least prep"), ("newest", "newest"))


@dataclass(frozen=True, slots=True)
class Link:
    """A link with what it shows."""

    shown: str
    url: str
    here: bool = False
    count: int = 0


@dataclass(frozen=True, slots=True)
class ReadPart:
    """A part of the sentence, and the address without it."""

    before: str
    shown: str
    url: str


@dataclass(frozen=True, slots=True)
class Tally:
    """The counts of one facet."""

    title: str
    entries: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class HitRow:
    """A result as the list shows it."""

    id: str
    title: tuple[Segment, ...]
    summary: str
    snippet: tuple[Segment, ...]
    facts: tuple[str, ...]
    pictogram: str
    on_hand: str = ""
    """How much of it is on the room's shelf; empty without a room."""
    look: SecondLook | None = None
    not_known: tuple[str, ...] = ()
    """Where an allergen was ruled out: things of which nobody knows what they hold."""


@dataclass(frozen=True, slots=True)
class FindPage:
    """Everything that Find shows."""

    text: str
    kept: tuple[tuple[str, str], ...]
    reading: Reading | None
    """Set while the cards are still being read."""
    parts: tuple[ReadPart, ...]
    corrected: Link | None
    """The corrected question, where what was asked had a slip."""
    total: int
    sorts: tuple[Link, ...]
    tallies: tuple[Tally, ...]
    hits: tuple[HitRow, ...]
    without: str
    """Allergens that were ruled out, in words; empty where none was."""
    more: str
    """Address with more results; empty where all are shown."""
    ways_out: tuple[Link, ...]
    library_empty: bool
    room: Room | None
    caution: str
    """Said where a result wants a second look."""
    can_ask_room: str
    """Address that asks for the room's ages; empty where that makes no sense."""
    elsewhere: Link | None
    """To every center, or back to the one an activity is chosen for; None where none is."""


@bp.get("/")
def index() -> str:
    """The page, or with ``part=found`` only what changes while typing."""
    part = request.args.get("part") == "found"
    page = find_page(typing=part)
    return render_template("find/_found.html" if part else "find/index.html", page=page)


def find_page(*, typing: bool) -> FindPage:
    """Reads the question of the address and searches."""
    here = shelf()
    room = here.room()
    asked = _at_the_center(read_asked(request.args, here.vocabulary(), room, dt.date.today()))
    view = here.index.view
    limit = min(max(request.args.get("limit", PAGE, type=int), 1), MOST)
    stock = stock_of(room, here.rooms)
    result = answer(asked, view, limit=limit, stock=stock, typing=typing)
    book = here.materials()
    there = main_names(stock, book)
    without = _ruled_out(asked)
    hits = tuple(
        _in_room(_dressed(_row(hit, book if without else None)), hit, room, there, book)
        for hit in result.hits
    )
    return FindPage(
        text=asked.question.text,
        kept=(*asked.kept, *asked.chosen),
        reading=None if here.reading.ready else here.reading,
        parts=tuple(read_parts(asked)),
        corrected=_corrected(asked, result),
        total=result.total,
        sorts=tuple(
            Link(shown, asked.address(sort=name), name == asked.sort) for name, shown in SORTS
        ),
        tallies=tuple(_tallies(asked, result)),
        hits=hits,
        without=without,
        caution=caution() if any(hit.look for hit in hits) else "",
        more=asked.address(limit=str(limit + PAGE)) if result.total > limit < MOST else "",
        ways_out=tuple(_way_out(asked, way) for way in result.relaxations),
        library_empty=view.cards == 0,
        room=asked.room,
        can_ask_room=asked.address(**{"for": "room"})
        if room and room.children and not asked.room
        else "",
        elsewhere=_elsewhere(asked),
    )


def _at_the_center(asked: Asked) -> Asked:
    """The question, which while a card is chosen for a center is about its cards."""
    choice = placing()
    return replace(asked, at=choice.center) if choice and "anywhere" not in request.args else asked


def _elsewhere(asked: Asked) -> Link | None:
    choice = placing()
    if choice is None:
        return None
    if asked.is_at_its_center:
        return Link("in every center", asked.address(anywhere="yes"))
    only = {"centers": None, "anywhere": None}
    return Link(
        f"only for {_center(choice.center)}", asked.address(asked.text_without("centers"), **only)
    )


def read_parts(asked: Asked) -> list[ReadPart]:
    """The sentence part by part, those that were chosen by a count at its end."""
    overridden = {
        key
        for facet in FACETS
        for name, _ in asked.chosen
        if name == facet.name
        for key in facet.keys
    }
    parts = [
        ReadPart(part.lead, part.shown, asked.address(asked.question.without(part)))
        for part in asked.question.parts
        if not kind_keys(part) & overridden
    ]
    parts += [
        ReadPart(
            ", ",
            f"{TITLES[name].lower()}: {shown_value(name, value)}",
            asked.address(**{name: None}),
        )
        for name, value in asked.chosen
    ]
    if asked.is_at_its_center:
        lead = ", at " if parts else " at "
        parts.append(ReadPart(lead, _center(asked.at), asked.address(anywhere="yes")))
    if asked.room is not None:
        parts.append(
            ReadPart(
                " for ", f"the children of the {asked.room.name}", asked.address(**{"for": None})
            )
        )
    return parts


def shown_value(facet: str, value: str) -> str:
    """A value of a facet in words."""
    if facet == "centers":
        return _center_titles().get(value, value)
    if facet == "domains":
        return _areas().get(value, value)
    if facet == "prep":
        return (
            f"{value[:-1]} minutes or more" if value.endswith("+") else f"{value} minutes or less"
        )
    if facet == "age":
        return value.replace("-", " to ") + " months"
    if facet == "mess":
        return ("none", "a little at most", "some at most", "any")[int(value)]
    return value


def _center_titles() -> dict[str, str]:
    """What the library's centers are called; read once a page."""
    if "center_titles" not in g:
        g.center_titles = {each.key: each.title for each in shelf().cards.centers()[0]}
    titles: dict[str, str] = g.center_titles
    return titles


@cache
def _areas() -> dict[str, str]:
    series = {"IT": "under three", "P": "three and up"}
    return {
        goal.code.rpartition("-")[0]: f"{goal.area} ({series[goal.code.split('-')[0]]})"
        for goal in head_start().goals
    }


def _tallies(asked: Asked, result: SearchResult) -> list[Tally]:
    tallies = []
    chosen = dict(asked.chosen)
    for facet, counts in result.counts.items():
        left = asked.text_without(facet)
        entries = tuple(
            Link(
                shown_value(facet, value),
                asked.address(**{facet: None})
                if chosen.get(facet) == value
                else asked.address(left, **{facet: value}),
                chosen.get(facet) == value,
                count,
            )
            for value, count in counts.items()
            if count or chosen.get(facet) == value
        )
        if entries:
            tallies.append(Tally(TITLES[facet], entries))
    return tallies


def _corrected(asked: Asked, result: SearchResult) -> Link | None:
    if result.did_you_mean:
        return Link(result.did_you_mean, asked.address(result.did_you_mean), here=True)
    offered = suggestion(asked)
    return Link(offered, asked.address(offered)) if offered else None


def _way_out(asked: Asked, way: Relaxation) -> Link:
    """The address without the conditions that stand in the way."""
    removed = {key.rstrip("_") for key, _ in way.removed}
    facets = {facet.name for facet in FACETS if set(facet.keys) & removed}
    stands_out = [part for part in asked.question.parts if kind_keys(part) & removed]
    text = asked.question.text
    for part in stands_out:
        question = read_question(text, asked.question.vocabulary)
        again = next((each for each in question.parts if each.shown == part.shown), None)
        text = question.without(again) if again else text
    shown = [part.shown for part in stands_out]
    shown += [shown_value(name, value) for name, value in asked.chosen if name in facets]
    cleared: dict[str, str | None] = {name: None for name, _ in asked.chosen if name in facets}
    if asked.room is not None and removed & {"age_range"} and not shown:
        shown, cleared = [f"the ages of the {asked.room.name}"], {"for": None}
    if asked.is_at_its_center and "centers" in removed:
        shown.append(_center(asked.at))
        cleared["anywhere"] = "yes"
    return Link(" and ".join(shown), asked.address(text, **cleared), count=way.total)


def _ruled_out(asked: Asked) -> str:
    """The allergens that a question rules out, in words; empty where it rules out none."""
    known = asked.question.vocabulary.allergens
    return " or ".join(name_of(each) for each in asked.conditions.without if each in known)


def _in_room(
    row: HitRow, hit: Hit, room: Room | None, there: frozenset[str], book: MaterialBook
) -> HitRow:
    """A result with what the room has of it, and what needs a second look there."""
    card = shelf().cards.card(row.id) if room else None
    if room is None or card is None:
        return row
    look = second_look(card, room, book, dt.date.today())
    return replace(row, on_hand=on_hand(hit.card.materials, there, book), look=look)


def _dressed(row: HitRow) -> HitRow:
    """A result as the theme of the plan dresses it, while one is chosen for a plan."""
    choice = placing()
    card = shelf().cards.card(row.id) if choice else None
    if choice is None or card is None or not props_used(card):
        return row
    worn = dress(card, choice.theme).card
    plain = "".join(piece.text for piece in row.title) == worn.title
    title = row.title if plain else (Segment(worn.title, False),)
    return replace(row, title=title, summary=worn.summary if row.summary else "")


def _row(hit: Hit, held_by: MaterialBook | None) -> HitRow:
    """A result by itself.

    Args:
        hit: What was found.
        held_by: What things hold, where an allergen was ruled out.
    """
    place = "indoors or outdoors" if hit.card.place == "either" else hit.card.place
    facts = [
        f"{hit.card.prep} min prep",
        f"{hit.card.ages.replace('-', ' to ')} months",
        " · ".join(_center(key) for key in hit.card.centers),
        place,
        "adult within arm's reach" if hit.card.adult == "within reach" else "",
        "draft" if hit.card.status == "draft" else "",
    ]
    snippet = hit.snippet if "".join(s.text for s in hit.snippet) != hit.card.summary else ()
    summary = hit.card.summary if snippet or not hit.snippet else ""
    return HitRow(
        hit.card.id,
        hit.title,
        summary,
        hit.snippet if not summary else snippet,
        tuple(fact for fact in facts if fact),
        pictogram(hit.card.centers[0] if hit.card.centers else ""),
        not_known=not_known(hit.card.materials, held_by) if held_by else (),
    )


def _center(key: str) -> str:
    return shown_value("centers", key)
