"""An activity card, and the one catalogue of its fields.

Parser, form, index schema, JSON Schema and the README's table all read the annotations of
:class:`Card`. A new field is one attribute here, with its help and an example.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from functools import cache
from typing import Annotated, Any, get_args, get_type_hints

from library.cards.values import (
    Adult,
    AgeRange,
    Group,
    MaterialLine,
    Place,
    Season,
    Span,
    Status,
    Step,
    Translation,
    When,
)
from library.store.problems import Problem


@dataclass(frozen=True, slots=True)
class Field:
    """What there is to know about one field of a card beside its type."""

    help: str
    """One sentence for the form and the table."""
    example: str
    """A value as it stands in a file."""
    required: bool = False
    """Without it the card cannot be used."""
    form: str = "text"
    """The kind of form field: text, number, choice, several, rows or none."""
    schema: Mapping[str, Any] = field(default_factory=dict)
    """What JSON Schema says of a value."""
    searched: float = 0.0
    """How much a word here weighs in a search, where 1 is a word of the body; 0: not searched."""
    filtered: bool = False
    """Whether a search can ask for exact values or ranges of it."""


_TEXT = {"type": "string"}
_LIST = {"type": ["array", "string"], "items": _TEXT}
_SPAN = {"type": "string", "examples": ["30 min", "12 h", "2 d", "overnight"]}
_OBJECT = {"type": "object"}
_ROWS = {"type": "array", "items": {"type": "object"}}


def _choice(*values: str) -> dict[str, Any]:
    return {"enum": list(values)}


@dataclass(frozen=True, slots=True)
class Card:
    """One activity card. Cards compare by id; every other value can change under it."""

    id: str = field(compare=True)
    """Stem of the file: a-z, 0-9 and hyphens, unique over the library."""
    title: Annotated[
        str, Field("What teachers call it", "Sponge rain", True, "text", _TEXT, searched=3.0)
    ]
    centers: Annotated[
        tuple[str, ...],
        Field(
            "Where it can stand; the first is its usual place",
            "[water, science]",
            True,
            "several",
            _LIST,
            filtered=True,
        ),
    ] = field(compare=False)
    ages: Annotated[
        AgeRange,
        Field(
            "Months of age, both ends included",
            "24-48",
            True,
            "text",
            {"type": ["string", "integer"]},
            filtered=True,
        ),
    ] = field(compare=False)
    prep: Annotated[
        int,
        Field(
            "Minutes of an adult's hands-on work before children arrive the first time",
            "8",
            True,
            "number",
            {"type": "integer", "minimum": 0, "maximum": 480},
            filtered=True,
        ),
    ] = field(compare=False)
    wait: Annotated[
        Span | None, Field("Drying, soaking or freezing after the work", "12 h", schema=_SPAN)
    ] = field(default=None, compare=False)
    keeps: Annotated[
        Span | None, Field("How long what was prepared stays good", "2 d", schema=_SPAN)
    ] = field(default=None, compare=False)
    runs: Annotated[
        int | None,
        Field("Minutes a child usually stays", "15", form="number", schema={"type": "integer"}),
    ] = field(default=None, compare=False)
    group: Annotated[
        Group | None,
        Field("Children at once", "1-4", schema={"type": ["string", "integer"]}, filtered=True),
    ] = field(default=None, compare=False)
    adult: Annotated[
        Adult,
        Field(
            "How close an adult stays",
            "within reach",
            form="choice",
            schema=_choice(*Adult),
            filtered=True,
        ),
    ] = field(default=Adult.WITHIN_SIGHT, compare=False)
    mess: Annotated[
        int,
        Field(
            "0 none to 3 change of clothes",
            "2",
            form="number",
            schema={"type": "integer", "minimum": 0, "maximum": 3},
            filtered=True,
        ),
    ] = field(default=0, compare=False)
    place: Annotated[
        Place,
        Field(
            "Indoors, outdoors or either",
            "indoors",
            form="choice",
            schema=_choice(*Place),
            filtered=True,
        ),
    ] = field(default=Place.EITHER, compare=False)
    seasons: Annotated[
        tuple[Season, ...],
        Field("Empty: any season", "[fall, spring]", form="several", schema=_LIST, filtered=True),
    ] = field(default=(), compare=False)
    technique: Annotated[
        str,
        Field(
            "What the hands do; ties the same play together",
            "sponge squeezing",
            schema=_TEXT,
            searched=2.0,
            filtered=True,
        ),
    ] = field(default="", compare=False)
    domains: Annotated[
        tuple[str, ...],
        Field(
            "Goal codes of a learning framework",
            "[IT-PMP-6, IT-C-4]",
            form="several",
            schema=_LIST,
            filtered=True,
        ),
    ] = field(default=(), compare=False)
    props: Annotated[
        Mapping[str, str],
        Field(
            "What a theme may swap, with what the card says by itself",
            "{catcher: shallow lids}",
            form="rows",
            schema=_OBJECT,
        ),
    ] = field(default_factory=dict, compare=False)
    materials: Annotated[
        tuple[MaterialLine, ...],
        Field(
            "What is put out, with amounts",
            "[{item: hand sponge, amount: 1 per place}]",
            form="rows",
            schema=_ROWS,
            searched=2.0,
            filtered=True,
        ),
    ] = field(default=(), compare=False)
    steps: Annotated[
        tuple[Step, ...],
        Field(
            "The hands-on work piece by piece",
            "[{do: Fill the tub, minutes: 2, on: morning}]",
            form="rows",
            schema=_ROWS,
            searched=1.0,
        ),
    ] = field(default=(), compare=False)
    status: Annotated[
        Status,
        Field(
            "Draft until a second person has read it",
            "ready",
            form="choice",
            schema=_choice(*Status),
            filtered=True,
        ),
    ] = field(default=Status.READY, compare=False)
    by: Annotated[str, Field("Who wrote it", "Fern Room", schema=_TEXT)] = field(
        default="", compare=False
    )
    photos: Annotated[
        tuple[str, ...],
        Field("Picture files beside the card", "[sponge-rain-1.jpg]", form="none", schema=_LIST),
    ] = field(default=(), compare=False)
    es: Annotated[
        Translation | None,
        Field(
            "Title and summary in Spanish",
            "{title: Lluvia, summary: …, read_by: }",
            form="rows",
            schema=_OBJECT,
            searched=1.0,
        ),
    ] = field(default=None, compare=False)
    body: str = field(default="", compare=False)
    """Markdown below the front matter."""
    file: str = field(default="", compare=False)
    """Path within the library folder."""
    problems: tuple[Problem, ...] = field(default=(), compare=False)
    """What a person should mend; the card serves all the same."""

    @property
    def summary(self) -> str:
        """The first paragraph of the body that is no heading, on one line."""
        for paragraph in self.body.split("\n\n"):
            text = " ".join(paragraph.split())
            if text and text[0] not in "#-*|>":
                return text
        return ""

    @property
    def ahead(self) -> tuple[Step, ...]:
        """The steps that are scheduled before the first morning (PREP8, PREP18)."""
        if self.steps:
            return tuple(step for step in self.steps if step.on is When.AHEAD)
        return (Step(self.title, self.prep),) if self.prep else ()

    @property
    def prep_minutes(self) -> int:
        """Minutes of prep: of the ahead and morning steps where there are steps (PREP21)."""
        if not self.steps:
            return self.prep
        return sum(step.minutes for step in self.steps if step.on is not When.DAILY)


@cache
def catalogue() -> dict[str, Field]:
    """The fields of a card as they stand in a file, in their usual order."""
    hints = get_type_hints(Card, include_extras=True)
    found = {}
    for each in fields(Card):
        for extra in get_args(hints[each.name])[1:]:
            if isinstance(extra, Field):
                found[each.name] = extra
    return found


@cache
def field_order() -> tuple[str, ...]:
    """Names of the catalogue's fields in their usual order."""
    return tuple(catalogue())
