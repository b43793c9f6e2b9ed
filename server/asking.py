"""A question as it comes with an address or a command: text, chosen values, and the room."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from library.room.room import Room, age_in_months
from library.search.conditions import Conditions
from library.search.facets import FACETS, choose
from library.search.question import Question, read_question
from library.search.searching import SearchResult, Sort, search
from library.supplies.sharing import joint_stock

if TYPE_CHECKING:
    from library.room.rooms import Rooms
    from library.search.joining import Part
    from library.search.view import View
    from library.search.vocabulary import Vocabulary

SORTS: dict[str, Sort] = {"fit": "fit", "prep": "prep", "newest": "newest"}
KEPT = ("sort", "for", "place_in", "center", "week", "row", "as", "clone", "anywhere")
"""What an address keeps when the question changes."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question with everything that was chosen beside its words."""

    question: Question
    chosen: tuple[tuple[str, str], ...]
    """Facet and value, where a count was chosen."""
    kept: tuple[tuple[str, str], ...]
    """What the address keeps: sorting, the room, where to place what is found."""
    room: Room | None = None
    """The room whose children are meant, where ``for=room`` was said."""
    today: dt.date | None = None
    at: str = ""
    """Key of the center an activity is chosen for, where every center was not asked for."""

    @property
    def is_at_its_center(self) -> bool:
        """Whether only cards of the center chosen for are meant; one that is named is meant instead."""
        named = self.question.conditions.centers or "centers" in dict(self.chosen)
        return bool(self.at) and not named

    @property
    def conditions(self) -> Conditions:
        """All conditions: those of the text, the chosen values, the center, then the room's ages."""
        conditions = self.question.conditions
        for facet, value in self.chosen:
            conditions = choose(conditions, facet, value)
        if self.is_at_its_center:
            conditions = replace(conditions, centers=(self.at,))
        aged = conditions.age_months is not None or conditions.age_range is not None
        ages = room_ages(self.room, self.today) if not aged else None
        return replace(conditions, age_range=ages) if ages else conditions

    @property
    def sort(self) -> Sort:
        """The order that was asked for."""
        return SORTS.get(dict(self.kept).get("sort", "fit"), "fit")

    def address(self, text: str | None = None, **changes: str | None) -> str:
        """An address of Find like this one, with another text or other values; None takes one out."""
        values = {
            "q": self.question.text if text is None else text,
            **dict(self.kept),
            **dict(self.chosen),
        }
        values.update({name: value or "" for name, value in changes.items()})
        said = {name: value for name, value in values.items() if value}
        return f"/?{urlencode(said)}" if said else "/"

    def text_without(self, facet: str) -> str:
        """The question with all struck out that speaks of the kind of thing that a facet counts."""
        keys = set(next(each.keys for each in FACETS if each.name == facet))
        question = self.question
        for _ in range(20):
            said = next((part for part in question.parts if kind_keys(part) & keys), None)
            if said is None:
                break
            question = read_question(question.without(said), question.vocabulary)
        return question.text


def kind_keys(part: Part) -> set[str]:
    """The conditions a part of the sentence sets."""
    return {"age_months", "age_range"} if part.kind == "age" else {part.kind}


def stock_of(room: Room | None, rooms: Rooms) -> tuple[str, ...]:
    """Names of what a room has, also in a closet that it shares; what has run out is not there."""
    if room is None:
        return ()
    stock = joint_stock(room, rooms.sharing(room)).stock
    return tuple(line.item for line in stock if line.amount.number)


def room_ages(room: Room | None, today: dt.date | None) -> tuple[int, int] | None:
    """Youngest and oldest age in completed months of a room's children; None without children.

    Those who have left do not count, and one who is not born yet is 0 months old.
    """
    if room is None or today is None or not room.staying(today):
        return None
    ages = [max(0, age_in_months(child.born, today)) for child in room.staying(today)]
    return min(ages), max(ages)


def read_asked(
    values: Mapping[str, str], vocabulary: Vocabulary, room: Room | None, today: dt.date
) -> Asked:
    """Reads the values of an address.

    Args:
        values: ``q``, a value for each facet that was chosen, ``sort``, ``for``, ``place_in`` and
            ``center``. A value that is none of a facet's is passed over.
        vocabulary: What the library calls its things.
        room: The room that is worked with, used only where ``for=room`` was said.
        today: For the ages of its children.
    """
    question = read_question(values.get("q", ""), vocabulary)
    chosen = []
    for facet in FACETS:
        value = values.get(facet.name, "")
        try:
            if value and facet.choose(Conditions(), value):
                chosen.append((facet.name, value))
        except ValueError:
            continue
    kept = tuple((name, values[name]) for name in KEPT if values.get(name))
    wanted = room if values.get("for") == "room" else None
    return Asked(question, tuple(chosen), kept, wanted, today)


def answer(
    asked: Asked, view: View, *, limit: int, stock: tuple[str, ...] = (), typing: bool = False
) -> SearchResult:
    """Searches for what was asked."""
    words = " ".join(asked.question.words)
    return search(view, asked.conditions, words, limit, stock, sort=asked.sort, typing=typing)


def search_json(asked: Asked, result: SearchResult) -> dict[str, Any]:
    """What ``search --json`` and ``/api/search`` give."""
    return {
        "total": result.total,
        "read_as": {**asked.conditions.as_read(), "words": list(asked.question.words)},
        "sentence": asked.question.sentence(),
        "did_you_mean": result.did_you_mean or suggestion(asked),
        "results": [
            {
                "id": hit.card.id,
                "title": hit.card.title,
                "centers": list(hit.card.centers),
                "prep": hit.card.prep,
                "ages": hit.card.ages,
                "summary": hit.card.summary,
                "snippet": "".join(piece.text for piece in hit.snippet),
                "place": hit.card.place,
                "group": hit.card.group,
                "adult": hit.card.adult,
                "mess": hit.card.mess,
                "seasons": list(hit.card.seasons),
                "technique": hit.card.technique,
                "materials": list(hit.card.materials),
                "status": hit.card.status,
                "file": hit.card.file,
            }
            for hit in result.hits
        ],
        "facets": result.counts,
    }


def suggestion(asked: Asked) -> str | None:
    """The question with a doubtful slip in a condition put right, or None."""
    offered = asked.question.did_you_mean
    return offered[0].text if offered else None
