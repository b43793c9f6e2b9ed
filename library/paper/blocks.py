"""Blocks of a sheet: text, rows, frames. Each is laid for a width and can then be placed or split."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, Protocol, TypeAlias

from library.paper.faces import MM_PER_POINT
from library.paper.sheet import INK, RULE, Box, Figure, Item, Panel, Rule, Step
from library.paper.text import Align, Line, Rich, bold, break_lines, line_height, set_lines

Outline = tuple[Step, ...]
TEXT_SIZE = 11.0
"""Points of running text on staff sheets and letters."""


Parts: TypeAlias = "tuple[Laid, Laid] | None"


class Laid(Protocol):
    """A block laid for a width."""

    @property
    def height(self) -> float:
        """In millimetres."""

    def place(self, x: float, y: float) -> list[Item]:
        """Its items with the upper left corner there."""

    def split(self, height: float, force: bool = False) -> Parts:
        """An upper part no higher than this and the rest; None where it is not to be parted so.

        Args:
            height: Of the upper part at most.
            force: Whether what should stay whole may be parted, since a page cannot hold it.
        """


class Block(Protocol):
    """A part of a sheet that does not know its width yet."""

    @property
    def keep(self) -> bool:
        """Whether it stays on the page of what follows, as a heading does."""

    def lay(self, width: float) -> Laid:
        """The block at a width in millimetres."""


# Text


@dataclass(frozen=True, slots=True)
class Prose:
    """A paragraph, or an item of a list."""

    text: Rich
    size: float = TEXT_SIZE
    after: float = 1.2
    """Empty space below, in millimetres."""
    marker: Literal["", "dot", "box"] = ""
    """What stands before it: a dot, or a box to tick."""
    align: Align = "left"
    keep: bool = False

    def lay(self, width: float) -> Laid:
        """Its lines."""
        indent = self.indent
        lines = break_lines(self.text, self.size, width - indent)
        return LaidProse(self, lines, width - indent, first=True)

    @property
    def indent(self) -> float:
        """Space for the marker, in millimetres."""
        share = {"": 0.0, "dot": 0.9, "box": 1.7}[self.marker]
        return share * self.size * MM_PER_POINT


@dataclass(frozen=True, slots=True)
class LaidProse:
    """Lines of a paragraph."""

    prose: Prose
    lines: tuple[Line, ...]
    width: float
    first: bool
    """Whether the marker stands before them."""

    @property
    def height(self) -> float:
        """Of the lines with the space below."""
        return len(self.lines) * line_height(self.prose.size) + self.prose.after

    def place(self, x: float, y: float) -> list[Item]:
        """The marker and the lines."""
        size = self.prose.size
        x += self.prose.indent
        box = Box(x, y, self.width, len(self.lines) * line_height(size))
        marker = _marker(self.prose, x, y) if self.first else []
        return [*marker, *set_lines(self.lines, size, box, align=self.prose.align)]

    def split(self, height: float, force: bool = False) -> Parts:
        """Between two lines; a paragraph of three lines or fewer stays whole."""
        count = int((height - self.prose.after + 1e-6) // line_height(self.prose.size))
        if count < 1 or len(self.lines) < 2 or (not force and (len(self.lines) <= 3 or count < 2)):
            return None
        count = min(count, len(self.lines) - 1)
        rest = replace(self, lines=self.lines[count:], first=False)
        return replace(self, lines=self.lines[:count]), rest


def _marker(prose: Prose, x: float, y: float) -> list[Item]:
    size = prose.size * MM_PER_POINT
    middle = y + line_height(prose.size) / 2
    if prose.marker == "dot":
        dot = size * 0.2
        return [Panel(Box(x - 0.62 * size, middle - dot / 2, dot, dot), fill=INK)]
    if prose.marker == "box":
        side = size * 0.95
        return [Panel(Box(x - 1.55 * size, middle - side / 2, side, side), weight=0.9, color=INK)]
    return []


# Space and rules


@dataclass(frozen=True, slots=True)
class Gap:
    """Empty space, with a rule through its middle where a weight is given."""

    high: float
    weight: float = 0.0
    color: str = RULE
    keep: bool = False

    def lay(self, width: float) -> Laid:
        """The space at a width."""
        return LaidGap(self, width)


@dataclass(frozen=True, slots=True)
class LaidGap:
    """Empty space."""

    gap: Gap
    width: float

    @property
    def height(self) -> float:
        """Of the space."""
        return self.gap.high

    def place(self, x: float, y: float) -> list[Item]:
        """The rule, where there is one."""
        if not self.gap.weight:
            return []
        middle = y + self.gap.high / 2
        return [Rule(x, middle, x + self.width, middle, self.gap.weight, self.gap.color)]

    def split(self, height: float, force: bool = False) -> Parts:
        """Never."""
        return None


@dataclass(frozen=True, slots=True)
class Picture:
    """A line drawing of a side in millimetres."""

    outline: Outline
    side: float
    weight: float = 1.1
    filled: bool = False
    keep: bool = False

    def lay(self, width: float) -> Laid:
        """The drawing; a width does not change it."""
        return LaidPicture(self)


@dataclass(frozen=True, slots=True)
class LaidPicture:
    """A line drawing."""

    picture: Picture

    @property
    def height(self) -> float:
        """Its side."""
        return self.picture.side

    def place(self, x: float, y: float) -> list[Item]:
        """The figure."""
        box = Box(x, y, self.picture.side, self.picture.side)
        picture = self.picture
        return [Figure(picture.outline, box, weight=picture.weight, filled=picture.filled)]

    def split(self, height: float, force: bool = False) -> Parts:
        """Never."""
        return None


# Blocks of blocks


@dataclass(frozen=True, slots=True)
class Stack:
    """Blocks below one another."""

    blocks: tuple[Block, ...]
    whole: bool = False
    """Whether it goes to a new page rather than be parted, where it fits on one."""
    keep: bool = False

    def lay(self, width: float) -> Laid:
        """Each block at the width."""
        keeps = tuple(block.keep for block in self.blocks)
        return LaidStack(tuple(block.lay(width) for block in self.blocks), keeps, self.whole)


@dataclass(frozen=True, slots=True)
class LaidStack:
    """Laid blocks below one another."""

    parts: tuple[Laid, ...]
    keeps: tuple[bool, ...]
    whole: bool = False
    head: Laid | None = None
    """What is said again at the top of the rest when it is parted."""

    @property
    def height(self) -> float:
        """Of all parts."""
        return sum(part.height for part in self.parts)

    def place(self, x: float, y: float) -> list[Item]:
        """All parts from the top."""
        items: list[Item] = []
        for part in self.parts:
            items += part.place(x, y)
            y += part.height
        return items

    def split(self, height: float, force: bool = False) -> Parts:
        """Between parts, or through one; a heading stays with what follows."""
        if self.whole and not force:
            return None
        count, used = self._fitting(height)
        if count == len(self.parts):
            return None
        alone = all(self.keeps[:count])
        through = self.parts[count].split(height - used, force and alone)
        if through is None:
            while count and self.keeps[count - 1]:
                count -= 1
            if count == 0:
                return None
        return self._parted(count, through)

    def _fitting(self, height: float) -> tuple[int, float]:
        """How many parts fit into a height, and how high they are."""
        count, used = 0, 0.0
        while count < len(self.parts) and used + self.parts[count].height <= height + 1e-6:
            used += self.parts[count].height
            count += 1
        return count, used

    def _parted(self, count: int, through: Parts) -> tuple[Laid, Laid]:
        """The first parts, and the rest under the head; one part may go through the cut."""
        above, below = self.parts[:count], self.parts[count:]
        keeps = self.keeps[count:]
        if through is not None:
            above, below = (*above, through[0]), (through[1], *below[1:])
        if self.head is not None:
            below, keeps = (self.head, *below), (True, *keeps)
        upper = replace(self, parts=above, keeps=(*self.keeps[:count], False)[: len(above)])
        return upper, replace(self, parts=below, keeps=keeps)


@dataclass(frozen=True, slots=True)
class Row:
    """Blocks side by side."""

    cells: tuple[Block, ...]
    shares: tuple[float, ...]
    """Widths: above 1 in millimetres, else as a share of what those leave."""
    gap: float = 3.0
    pad: float = 0.0
    """Space above and below, in millimetres."""
    weight: float = 0.0
    """Of the rule below; 0: none."""
    fill: str | None = None
    keep: bool = False

    def lay(self, width: float) -> Laid:
        """Each cell at its width."""
        widths = self.widths(width)
        laid = tuple(cell.lay(w) for cell, w in zip(self.cells, widths, strict=True))
        return LaidRow(self, laid, widths, width)

    def widths(self, width: float) -> tuple[float, ...]:
        """The widths of the cells in millimetres."""
        free = width - self.gap * (len(self.shares) - 1) - sum(s for s in self.shares if s > 1)
        total = sum(share for share in self.shares if share <= 1)
        return tuple(share if share > 1 else free * share / total for share in self.shares)


@dataclass(frozen=True, slots=True)
class LaidRow:
    """Laid blocks side by side."""

    row: Row
    cells: tuple[Laid, ...]
    widths: tuple[float, ...]
    width: float

    @property
    def height(self) -> float:
        """Of the highest cell."""
        return max(cell.height for cell in self.cells) + 2 * self.row.pad

    def place(self, x: float, y: float) -> list[Item]:
        """The ground, the cells from left to right, the rule below."""
        items: list[Item] = []
        bottom = y + self.height
        if self.row.fill:
            items.append(Panel(Box(x, y, self.width, self.height), fill=self.row.fill))
        left = x
        for cell, width in zip(self.cells, self.widths, strict=True):
            items += cell.place(left, y + self.row.pad)
            left += width + self.row.gap
        if self.row.weight:
            items.append(Rule(x, bottom, x + self.width, bottom, self.row.weight))
        return items

    def split(self, height: float, force: bool = False) -> Parts:
        """Only by force: through every cell that is too high; the others stay above."""
        if not force:
            return None
        room = height - 2 * self.row.pad
        above: list[Laid] = []
        below: list[Laid] = []
        for cell, width in zip(self.cells, self.widths, strict=True):
            nothing = Gap(0).lay(width)
            if cell.height <= room + 1e-6:
                parts: Parts = (cell, nothing)
            else:
                parts = cell.split(room, force)
            if parts is None:
                return None
            above.append(parts[0])
            below.append(parts[1])
        return replace(self, cells=tuple(above)), replace(self, cells=tuple(below))


@dataclass(frozen=True, slots=True)
class Framed:
    """A block on a ground or in a frame."""

    block: Block
    fill: str | None = None
    weight: float = 0.0
    pad: float = 2.5
    after: float = 2.0
    color: str = RULE
    dashes: tuple[float, ...] = ()
    keep: bool = False

    def lay(self, width: float) -> Laid:
        """The block within its padding."""
        return LaidFramed(self, self.block.lay(width - 2 * self.pad), width)


@dataclass(frozen=True, slots=True)
class LaidFramed:
    """A laid block in its frame."""

    framed: Framed
    laid: Laid
    width: float

    @property
    def height(self) -> float:
        """Of the frame with the space below."""
        return self.laid.height + 2 * self.framed.pad + self.framed.after

    def place(self, x: float, y: float) -> list[Item]:
        """The frame, then what it holds."""
        framed = self.framed
        box = Box(x, y, self.width, self.height - framed.after)
        frame = Panel(box, framed.fill, framed.weight, framed.color, framed.dashes)
        return [frame, *self.laid.place(x + framed.pad, y + framed.pad)]

    def split(self, height: float, force: bool = False) -> Parts:
        """Only by force; the frame goes around both parts."""
        room = height - 2 * self.framed.pad - self.framed.after
        parts = self.laid.split(room, force) if force else None
        return parts and (replace(self, laid=parts[0]), replace(self, laid=parts[1]))


@dataclass(frozen=True, slots=True)
class Listing:
    """Rows under a head that is said again on each page."""

    head: Row
    rows: tuple[Row, ...]
    keep: bool = False

    def lay(self, width: float) -> Laid:
        """Head and rows at the width."""
        head = self.head.lay(width)
        rows = tuple(row.lay(width) for row in self.rows)
        return LaidStack((head, *rows), (True, *(row.keep for row in self.rows)), head=head)


def heading(text: str, size: float = 14.0, before: float = 2.5) -> Stack:
    """A heading that stays with what follows."""
    return Stack((Gap(before), Prose(bold(text), size, after=1.0)), whole=True, keep=True)


def listing(columns: Sequence[tuple[str, float]], rows: Sequence[Sequence[Block]]) -> Listing:
    """A ruled table.

    Args:
        columns: Title and width of each: above 1 in millimetres, else a share.
        rows: The blocks of each row.
    """
    shares = tuple(width for _, width in columns)
    titles = tuple(Prose(bold(title), 10, after=0) for title, _ in columns)
    return Listing(
        Row(titles, shares, pad=1.0, weight=1.0, keep=True),
        tuple(Row(tuple(cells), shares, pad=1.0, weight=0.4) for cells in rows),
    )
