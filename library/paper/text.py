"""Breaks text into lines by the measures of the typeface, and finds the size at which it fits."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, TypeAlias

from library.paper.faces import ASCENT, LEADING, MM_PER_POINT, NO_BREAK, face, tidy
from library.paper.sheet import INK, MARK, Box, Item, Panel, Words


@dataclass(frozen=True, slots=True)
class Run:
    """Words of one weight and colour."""

    text: str
    bold: bool = False
    color: str = INK
    mark: bool = False
    """Whether the highlighter lies behind them."""

    def width(self, size: float) -> float:
        """In millimetres."""
        return face(self.bold).width(self.text, size)

    def saying(self, text: str) -> Run:
        """Other words in the same weight and colour."""
        return Run(text, self.bold, self.color, self.mark)


Rich: TypeAlias = str | Run | Sequence["str | Run"]
"""A text: plain, one run, or several."""
Align: TypeAlias = Literal["left", "center", "right"]
Word: TypeAlias = tuple[Run, ...]
"""What stands between two places where a line may break, its blank included."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line of words."""

    runs: tuple[Run, ...]
    cuts_word: bool = False
    """Whether a word was cut at its end because no line could hold it."""

    @property
    def text(self) -> str:
        """What it says."""
        return "".join(run.text for run in self.runs)

    def width(self, size: float) -> float:
        """In millimetres, without the blank at the end."""
        if not self.runs:
            return 0.0
        last = self.runs[-1]
        end = face(last.bold).width(last.text.rstrip(), size)
        return sum(run.width(size) for run in self.runs[:-1]) + end


def runs_of(text: Rich) -> tuple[Run, ...]:
    """A text as runs, tidied for the typeface."""
    parts = [text] if isinstance(text, str | Run) else text
    runs = (part if isinstance(part, Run) else Run(part) for part in parts)
    return tuple(run.saying(tidy(run.text)) for run in runs if run.text)


def bold(text: str, color: str = INK) -> Run:
    """A text in the bold weight."""
    return Run(text, bold=True, color=color)


def plain(text: Rich) -> str:
    """What a text says."""
    return "".join(run.text for run in runs_of(text))


def line_height(size: float) -> float:
    """Distance from line to line, in millimetres."""
    return size * LEADING * MM_PER_POINT


def break_lines(text: Rich, size: float, width: float) -> tuple[Line, ...]:
    """Breaks a text into lines no wider than a width.

    Lines break at blanks and after hyphens, dashes and strokes. A word that no line can hold is
    cut, with a hyphen where letters stand on both sides. Line breaks in the text stay.

    Args:
        text: The text.
        size: Of the type, in points.
        width: In millimetres.
    """
    return _broken(runs_of(text), size, width)


@lru_cache(maxsize=20_000)
def _broken(runs: tuple[Run, ...], size: float, width: float) -> tuple[Line, ...]:
    lines: list[Line] = []
    for paragraph in _paragraphs(runs):
        lines += _filled(_words(paragraph), size, width)
    return tuple(lines)


def fit(text: Rich, box: Box, sizes: Iterable[float]) -> tuple[float, tuple[Line, ...]] | None:
    """The largest size at which a text fits into a box, with its lines.

    A size at which a word would have to be cut is passed over while a smaller one is left.

    Args:
        text: The text.
        box: Where it must stay.
        sizes: From the largest to the smallest.

    Returns:
        Size and lines; None where it does not fit even at the smallest.
    """
    last = None
    for size in sizes:
        lines = break_lines(text, size, box.width)
        last = (size, lines) if len(lines) * line_height(size) <= box.height + 1e-6 else None
        if last and not any(line.cuts_word for line in lines):
            return last
    return last


def fit_or_cut(text: Run, box: Box, sizes: Sequence[float]) -> tuple[float, tuple[Line, ...]]:
    """The largest size at which a text fits; at the smallest it ends in dots where it does not.

    Args:
        text: One run.
        box: Where it must stay; it holds at least one line of the smallest size.
        sizes: From the largest to the smallest.
    """
    if found := fit(text, box, sizes):
        return found
    words = tidy(text.text)
    low, high = 0, len(words)
    while low < high:
        middle = (low + high + 1) // 2
        if fit(_dotted(text, words[:middle]), box, sizes[-1:]):
            low = middle
        else:
            high = middle - 1
    lines = break_lines(_dotted(text, words[:low]), sizes[-1], box.width)
    return sizes[-1], lines


def _dotted(text: Run, words: str) -> Run:
    return text.saying(words.rstrip() + "…")


def set_lines(
    lines: Sequence[Line], size: float, box: Box, *, align: Align = "left", middle: bool = False
) -> list[Item]:
    """The items of lines set into a box from its top.

    Args:
        lines: Broken for the box's width.
        size: Of the type, in points.
        box: Where they must stay.
        align: left, center or right.
        middle: Whether they stand halfway down.
    """
    step = line_height(size)
    top = box.y + (box.height - step * len(lines)) / 2 if middle else box.y
    items: list[Item] = []
    for number, line in enumerate(lines):
        free = box.width - line.width(size)
        x = box.x + {"left": 0.0, "center": free / 2, "right": free}[align]
        upper = top + number * step
        items += _set_line(line, size, x, upper, box)
    return items


def _set_line(line: Line, size: float, x: float, top: float, frame: Box) -> Iterator[Item]:
    step, letters = line_height(size), size * ASCENT * MM_PER_POINT
    slack = (step - size * 1.2 * MM_PER_POINT) / 2
    for run in _merged(line.runs):
        width = run.width(size)
        if run.mark:
            mark = face(run.bold).width(run.text.rstrip(), size)
            yield Panel(Box(x - 0.4, top + slack, mark + 0.8, step - 2 * slack), fill=MARK)
        if run.text.strip():
            plain_text = run.text.replace(NO_BREAK, " ")
            yield Words(plain_text, x, top + slack + letters, size, frame, run.bold, run.color)
        x += width


def _merged(runs: Sequence[Run]) -> list[Run]:
    merged: list[Run] = []
    for run in runs:
        if merged and run == merged[-1].saying(run.text):
            merged[-1] = run.saying(merged[-1].text + run.text)
        else:
            merged.append(run)
    return merged


def _paragraphs(runs: Sequence[Run]) -> list[list[Run]]:
    paragraphs: list[list[Run]] = [[]]
    for run in runs:
        first, *rest = run.text.split("\n")
        paragraphs[-1].append(run.saying(first))
        paragraphs += [[run.saying(text)] for text in rest]
    return paragraphs


_PIECE = re.compile(r"[ ]+|[^ ]+?(?:(?<=\w\w)[-–—/]+(?=\w\w)|(?=[ ])|$)")


def _words(runs: Sequence[Run]) -> list[Word]:
    """Cuts runs where a line may break; a word that goes over two runs stays whole."""
    words: list[list[Run]] = []
    is_open = False
    for run in runs:
        for match in _PIECE.finditer(run.text):
            piece = run.saying(match[0])
            blank = not match[0].strip()
            if words and (is_open or blank):
                words[-1].append(piece)
            else:
                words.append([piece])
            is_open = not blank and match[0][-1] not in "-–—/"
    return [tuple(word) for word in words]


def _filled(words: Sequence[Word], size: float, width: float) -> list[Line]:
    lines: list[Line] = []
    current: list[Run] = []
    used = 0.0
    for word in words:
        solid = Line(word).width(size)
        if current and used + solid > width + 1e-6:
            lines.append(Line(tuple(current)))
            current, used = [], 0.0
        if solid > width + 1e-6:
            *cut, word = _cut(word, size, width)
            lines += [Line(piece, cuts_word=True) for piece in cut]
        current += word
        used += sum(run.width(size) for run in word)
    lines.append(Line(tuple(current)))
    return lines


def _cut(word: Word, size: float, width: float) -> list[Word]:
    """Cuts a word that no line holds into pieces that lines hold."""
    letters = [run.saying(letter) for run in word for letter in run.text]
    pieces: list[list[Run]] = [[]]
    used = 0.0
    for number, letter in enumerate(letters):
        after = letters[number + 1 : number + 2]
        hyphen = letter.saying("-")
        room = hyphen.width(size) if after and (letter.text + after[0].text).isalpha() else 0.0
        if pieces[-1] and letter.text.strip() and used + letter.width(size) + room > width:
            if (pieces[-1][-1].text + letter.text).isalpha():
                pieces[-1].append(pieces[-1][-1].saying("-"))
            pieces.append([])
            used = 0.0
        pieces[-1].append(letter)
        used += letter.width(size)
    return [tuple(_merged(piece)) for piece in pieces]
