"""What the index keeps of a card: weighed words, exact values, numbers, and what a hit shows."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from types import UnionType
from typing import Any, Literal, get_args, get_type_hints

from library.cards.card import Card, catalogue
from library.cards.values import AgeRange, Group, MaterialLine, Step, Translation
from library.materials.material import name_key
from library.search.analysis import STOP_WORDS, fold, stem, words_of
from library.search.names import CENTER, Names
from library.search.snippets import headings_of, sentences_of
from library.units.dressing import dress

HEADING_WEIGHT = 1.5
BODY_WEIGHT = 1.0
"""A word in a field of the catalogue weighs what its ``searched`` says. Weights are quarters, so that
sums are exact in the four bytes that the index gives them."""
NO_END = 30_000
"""Stands for "no upper end" in a range."""

Kind = Literal["tag", "number", "range"]


@dataclass(frozen=True, slots=True)
class Document:
    """One card as the index keeps it."""

    id: str
    words: Mapping[str, float] = field(default_factory=dict)
    """Stem, or term of a thing with several names → its weight over all fields."""
    length: float = 0.0
    """All weights of words together; terms of things do not count."""
    forms: tuple[str, ...] = ()
    """The different words as they are written, for spelling, beginnings and marking."""
    tags: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Field → its exact values."""
    numbers: Mapping[str, int] = field(default_factory=dict)
    """Name → number; a range has two, ``ages_low`` and ``ages_high``."""
    title: str = ""
    shown: str = "{}"
    """What a hit shows, as JSON."""
    text: str = ""
    """The sentences of the body and then the steps, one a line."""


@cache
def filtered_fields() -> dict[str, Kind]:
    """The fields that a search can filter by, and how: read off the types in the catalogue."""
    hints = get_type_hints(Card)
    return {name: _kind(hints[name]) for name, about in catalogue().items() if about.filtered}


def _kind(hint: Any) -> Kind:
    types = set(get_args(hint)) if isinstance(hint, UnionType) else {hint}
    if types & {AgeRange, Group}:
        return "range"
    return "number" if int in types else "tag"


@cache
def number_names() -> tuple[str, ...]:
    """The names of all numbers of a document."""
    names = ["changed", "length"]
    for name, kind in filtered_fields().items():
        if kind == "range":
            names += [f"{name}_low", f"{name}_high"]
        elif kind == "number":
            names.append(name)
    return tuple(names)


@cache
def tag_names() -> tuple[str, ...]:
    """The fields that are kept as exact values."""
    return tuple(name for name, kind in filtered_fields().items() if kind == "tag")


def document_of(card: Card, names: Names, *, changed: int = 0) -> Document:
    """What the index keeps of a card, dressed in its own props.

    Args:
        card: The card as it stands in its file.
        names: Things with several names.
        changed: Time of the file in whole seconds, for the order "newest first".
    """
    worn = dress(card).card
    sentences = sentences_of(worn.body)
    words = _Words(names)
    for name, about in catalogue().items():
        if about.searched:
            words.add("\n".join(_texts(getattr(worn, name))), about.searched)
    words.add("\n".join(headings_of(worn.body)), HEADING_WEIGHT)
    words.add("\n".join(sentences), BODY_WEIGHT)
    for term in names.of_centers(worn.centers):
        words.weights[term] += 1.0
    return Document(
        id=card.id,
        words=words.weights,
        length=words.length,
        forms=tuple(sorted(words.forms)),
        tags={name: tuple(dict.fromkeys(_tags(getattr(worn, name)))) for name in tag_names()},
        numbers={**dict(_numbers(worn)), "changed": changed, "length": round(words.length * 4)},
        title=worn.title,
        shown=json.dumps(_shown(worn), ensure_ascii=False, separators=(",", ":")),
        text="\n".join([*sentences, *(" ".join(step.do.split()) for step in worn.steps)]),
    )


class _Words:
    """Adds up what texts weigh, word by word."""

    def __init__(self, names: Names) -> None:
        self.weights: defaultdict[str, float] = defaultdict(float)
        self.forms: set[str] = set()
        self.length = 0.0
        self._names = names

    def add(self, text: str, weight: float) -> None:
        kept = [word for word in words_of(text) if word not in STOP_WORDS]
        stems = [stem(word) for word in kept]
        self.forms.update(kept)
        self.length += weight * len(stems)
        for each, times in Counter(stems).items():
            self.weights[each] += weight * times
        for term in self._names.things_in(stems):
            if not term.startswith(CENTER):
                self.weights[term] += weight


def _texts(value: object) -> Iterator[str]:
    """The words in a field, whatever its type."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, MaterialLine):
        yield value.item
    elif isinstance(value, Step):
        yield value.do
    elif isinstance(value, Translation):
        yield value.title
        yield value.summary
    elif isinstance(value, tuple):
        for part in value:
            yield from _texts(part)


def _tags(value: object) -> Iterator[str]:
    """The exact values in a field, as a filter names them."""
    if isinstance(value, StrEnum):
        yield value.value
    elif isinstance(value, str):
        if value.strip():
            yield " ".join(fold(value).split())
    elif isinstance(value, MaterialLine):
        yield name_key(value.item)
    elif isinstance(value, tuple):
        for part in value:
            yield from _tags(part)


def _numbers(card: Card) -> Iterator[tuple[str, int]]:
    for name, kind in filtered_fields().items():
        value = getattr(card, name)
        if kind == "number":
            yield name, value
        elif kind == "range":
            low, high = (0, -1) if value is None else (value.low, value.high)
            yield f"{name}_low", low
            yield f"{name}_high", NO_END if high is None else high


def _shown(card: Card) -> dict[str, object]:
    return {
        "id": card.id,
        "title": card.title,
        "file": card.file,
        "summary": card.summary,
        "centers": card.centers,
        "prep": card.prep,
        "ages": str(card.ages),
        "group": str(card.group) if card.group else "",
        "adult": card.adult,
        "mess": card.mess,
        "place": card.place,
        "seasons": card.seasons,
        "technique": card.technique,
        "materials": tuple(line.item for line in card.materials),
        "status": card.status,
    }
