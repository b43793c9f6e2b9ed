"""A printed sheet as a value: words, rules, panels and drawings at millimetres on pages.

Lengths are millimetres from the top left corner of the page, as one measures a sheet on a table.
Sizes of type and weights of rules are points.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal, TypeAlias

from library.paper.faces import ASCENT, DESCENT, MM_PER_POINT, face, unprintable
from library.paper.tables import Table

MARGIN = 8.0
"""Empty edge of every page; home printers need 6.35 mm (0.25 in) (common practice, no source)."""
LEAST_MARGIN = 6.35
"""Nothing, not even a cut mark, lies nearer to the edge."""

INK, SOFT, RULE, FAINT, MARK = "#1d2430", "#515a68", "#9aa2ae", "#f1f2f5", "#fff3a6"
"""Ink, soft ink, rules, the ground of closed days and heads of tables, and the one highlighter."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A size of paper in upright format."""

    name: str
    title: str
    width: float
    height: float

    @property
    def turned(self) -> Paper:
        """The same paper on its long side."""
        return Paper(self.name, self.title, self.height, self.width)

    @property
    def is_landscape(self) -> bool:
        """Whether its long side lies."""
        return self.width > self.height


LETTER = Paper("letter", "Letter", 215.9, 279.4)
A4 = Paper("a4", "A4", 210.0, 297.0)
PAPERS: dict[str, Paper] = {paper.name: paper for paper in (LETTER, A4)}
"""Name → paper. Sources: ANSI/ASME Y14.1 size A (8.5 × 11 in); ISO 216 A4."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Its right side."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """Its lower side."""
        return self.y + self.height

    def inset(self, by: float, down: float | None = None) -> Box:
        """The box with less on each side; ``down`` is for above and below."""
        down = by if down is None else down
        return Box(self.x + by, self.y + down, self.width - 2 * by, self.height - 2 * down)

    def holds(self, other: Box, slack: float = 0.01) -> bool:
        """Whether another box lies inside."""
        return (
            self.x - slack <= other.x
            and self.y - slack <= other.y
            and other.right <= self.right + slack
            and other.bottom <= self.bottom + slack
        )

    def meets(self, other: Box, slack: float = 0.01) -> bool:
        """Whether the two share more than an edge."""
        return (
            self.x + slack < other.right
            and other.x + slack < self.right
            and self.y + slack < other.bottom
            and other.y + slack < self.bottom
        )


@dataclass(frozen=True, slots=True)
class Words:
    """Words on one line, in one weight."""

    text: str
    x: float
    y: float
    """Of the line that the letters stand on."""
    size: float
    """In points."""
    frame: Box
    """Where they must stay."""
    bold: bool = False
    color: str = INK

    @property
    def width(self) -> float:
        """As the font measures them, without blanks at the end."""
        return face(self.bold).width(self.text.rstrip(), self.size)

    @property
    def box(self) -> Box:
        """What the letters take up at most."""
        up = self.size * ASCENT * MM_PER_POINT
        return Box(self.x, self.y - up, self.width, up + self.size * DESCENT * MM_PER_POINT)


@dataclass(frozen=True, slots=True)
class Rule:
    """A straight line."""

    x1: float
    y1: float
    x2: float
    y2: float
    weight: float = 0.5
    color: str = RULE
    dashes: tuple[float, ...] = ()
    """Lengths of dash and gap in points; empty: unbroken."""


@dataclass(frozen=True, slots=True)
class Panel:
    """A filled or framed rectangle."""

    box: Box
    fill: str | None = None
    weight: float = 0.0
    """Of its frame; 0: no frame."""
    color: str = RULE
    dashes: tuple[float, ...] = ()


Step: TypeAlias = tuple[Literal["move", "line", "curve", "close"], tuple[float, ...]]
"""A piece of an outline: where to go, with control points before the end of a curve."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A line drawing, scaled into a square box."""

    outline: tuple[Step, ...]
    """In units of ``view``."""
    box: Box
    view: float = 24.0
    weight: float = 1.0
    color: str = INK
    filled: bool = False

    @property
    def steps(self) -> Iterator[Step]:
        """The outline in millimetres of the page."""
        scale = self.box.width / self.view
        for name, numbers in self.outline:
            at = (self.box.x, self.box.y)
            yield name, tuple(at[i % 2] + n * scale for i, n in enumerate(numbers))


Item: TypeAlias = Words | Rule | Panel | Figure


@dataclass(frozen=True, slots=True)
class Page:
    """One side of one sheet; its items in the order in which they are drawn and read."""

    paper: Paper
    items: tuple[Item, ...]

    @property
    def words(self) -> tuple[Words, ...]:
        """Everything that is written on it, in reading order."""
        return tuple(item for item in self.items if isinstance(item, Words))


class Audience(StrEnum):
    """For whom a sheet is."""

    POSTED = "posted"
    """Hangs where anyone may read it: nothing about children, no levels, no policies."""
    FAMILY = "family"
    """Goes home."""
    STAFF = "staff"
    """Stays with the team; may name children by label."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """What one command prints."""

    name: str
    title: str
    audience: Audience
    pages: tuple[Page, ...]
    language: str = "en"
    tables: tuple[Table, ...] = ()
    """The same in rows, for JSON, CSV and XLSX."""

    @property
    def text(self) -> str:
        """Everything that is written, line by line, in reading order."""
        return "\n".join(words.text for page in self.pages for words in page.words)

    @property
    def unprinted(self) -> str:
        """Characters that the typeface does not have; a frame is drawn for each."""
        return unprintable(self.text)

    @property
    def load(self) -> str:
        """What to put into the printer: ``2 sheets of Letter, landscape``."""
        paper = self.pages[0].paper if self.pages else LETTER
        count = len(self.pages)
        turn = ", landscape" if paper.is_landscape else ""
        return f"{count} {'sheet' if count == 1 else 'sheets'} of {paper.title}{turn}"
