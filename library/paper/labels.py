"""Bin and shelf labels: picture and word in one or two languages, measured in millimetres, with cut marks.

They are cut along the hairlines between the marks, so each has exactly the size that is stated.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from library.paper.blocks import Outline
from library.paper.codes import code_outline
from library.paper.job import Job, center_name
from library.paper.setup_sheets import put_out
from library.paper.sheet import (
    INK,
    LEAST_MARGIN,
    Audience,
    Box,
    Figure,
    Item,
    Page,
    Paper,
    Rule,
    Sheet,
)
from library.paper.tables import table
from library.paper.text import Align, Run, bold, fit_or_cut, line_height, set_lines
from library.units.placed import Placed

HAIRLINE, MARK_WEIGHT = 0.25, 0.6
MARK_GAP = 1.0
"""Between a cut mark and the labels, in millimetres."""
PAD = 3.0


@dataclass(frozen=True, slots=True)
class Size:
    """The size of a label."""

    width: float
    height: float
    big: tuple[float, ...]
    """Points of the word, from the largest that may be to the smallest."""
    small: tuple[float, ...]
    """Points of what stands below it."""


BIN = Size(
    95.0, 50.0, (34.0, 28.0, 24.0, 20.0, 16.0, 13.0, 10.0), (13.0, 12.0, 11.0, 10.0, 9.0, 8.0)
)
SHELF = Size(63.0, 40.0, (24.0, 20.0, 17.0, 14.0, 12.0, 10.0, 8.0), (15.0, 13.0, 11.0, 9.0, 8.0))


@dataclass(frozen=True, slots=True)
class Label:
    """What stands on one label."""

    word: str
    below: str = ""
    """The second language, or what a bin holds."""
    picture: Outline = ()
    address: str = ""
    """What its printed code says; empty: no code."""


def bin_labels(job: Job) -> Sheet:
    """A label of 95 by 50 mm for the theme's bin and each bin of the stock list, with what lies in it."""
    return _label_sheet(job, "bin-labels", "Bin labels", BIN, tuple(_bins(job)))


def shelf_labels(job: Job) -> Sheet:
    """A label of 63 by 40 mm for each center of the room and each word of the theme."""
    labels = (*_centers(job), *_theme_words(job))
    return _label_sheet(job, "shelf-labels", "Shelf labels", SHELF, labels)


def label_boxes(paper: Paper, size: Size) -> tuple[Box, ...]:
    """Where the labels of one page lie: as many as fit, in the middle, row by row."""
    wide, high = paper.width - 2 * LEAST_MARGIN, paper.height - 2 * LEAST_MARGIN
    columns, rows = int(wide // size.width), int(high // size.height)
    left = (paper.width - columns * size.width) / 2
    top = (paper.height - rows * size.height) / 2
    return tuple(
        Box(left + x * size.width, top + y * size.height, size.width, size.height)
        for y in range(rows)
        for x in range(columns)
    )


def _label_sheet(job: Job, name: str, title: str, size: Size, labels: Sequence[Label]) -> Sheet:
    boxes = label_boxes(job.paper, size)
    pages = []
    for first in range(0, max(1, len(labels)), len(boxes)):
        items: list[Item] = list(_cut_lines(job.paper, boxes))
        for label, box in zip(labels[first : first + len(boxes)], boxes, strict=False):
            items += _label(label, box, size)
        pages.append(Page(job.paper, tuple(items)))
    rows = [(label.word, label.below, label.address) for label in labels]
    whole = f"{title}: {job.title}"
    tables = (table(name, "word below address", rows),)
    return Sheet(name, whole, Audience.POSTED, tuple(pages), tables=tables)


# What the labels say


def _bins(job: Job) -> Iterator[Label]:
    """The theme's bin first, then the bins of the stock list in order."""
    theme = job.plan.theme
    address = f"{job.address}/materials" if job.address else ""
    if theme and theme.bin:
        unit = f"{job.address}/units/{job.plan.unit.id}" if job.address else ""
        yield Label(theme.bin, theme.title, job.pictograms.of("other"), unit)
    held: dict[str, list[str]] = {}
    for line in job.room.stock:
        if line.bin:
            held.setdefault(line.bin, []).append(job.plan.materials.main_name(line.item))
    for name in sorted(held):
        items = tuple(dict.fromkeys(held[name]))
        yield Label(name, ", ".join(items), _picture(job, items), address)


def _picture(job: Job, items: Sequence[str]) -> Outline:
    """The drawing of the center that uses most of what a bin holds; the plain one where none does."""
    counts: dict[str, int] = {}
    for placed in job.plan.placed:
        used = _items(job, placed) & set(items)
        counts[placed.center] = counts.get(placed.center, 0) + len(used)
    best = max(counts, key=lambda center: counts[center], default="")
    return job.pictograms.of(best if counts.get(best) else "other")


def _items(job: Job, placed: Placed) -> set[str]:
    return {job.plan.materials.main_name(p.line.item) for p in put_out(placed, job.room)}


def _centers(job: Job) -> Iterator[Label]:
    address = f"{job.address}/today" if job.address else ""
    for center in job.walk():
        others = (center_name(center, language) for language in job.room.languages)
        yield Label(
            center_name(center),
            next((name for name in others if name), ""),
            job.pictograms.of(center),
            address,
        )


def _theme_words(job: Job) -> Iterator[Label]:
    for word in job.plan.theme.words if job.plan.theme else ():
        others = (word[language] for language in job.room.languages if word.get(language))
        yield Label(word["en"], next(others, ""))


# The sheet


def _cut_lines(paper: Paper, boxes: Sequence[Box]) -> Iterator[Item]:
    """Hairlines between the labels, and a mark at both ends of each."""
    left, top = boxes[0].x, boxes[0].y
    right, bottom = boxes[-1].right, boxes[-1].bottom
    for x in sorted({round(side, 4) for box in boxes for side in (box.x, box.right)}):
        yield Rule(x, top, x, bottom, HAIRLINE)
        yield Rule(x, LEAST_MARGIN, x, top - MARK_GAP, MARK_WEIGHT, INK)
        yield Rule(x, bottom + MARK_GAP, x, paper.height - LEAST_MARGIN, MARK_WEIGHT, INK)
    for y in sorted({round(side, 4) for box in boxes for side in (box.y, box.bottom)}):
        yield Rule(left, y, right, y, HAIRLINE)
        yield Rule(LEAST_MARGIN, y, left - MARK_GAP, y, MARK_WEIGHT, INK)
        yield Rule(right + MARK_GAP, y, paper.width - LEAST_MARGIN, y, MARK_WEIGHT, INK)


def _label(label: Label, box: Box, size: Size) -> Iterator[Item]:
    inner = box.inset(PAD)
    side = min(inner.height * 0.62, inner.width * 0.3)
    text = inner
    if label.picture:
        top = inner.y + (inner.height - side) / 2
        yield Figure(label.picture, Box(inner.x, top, side, side), weight=1.8)
        text = Box(inner.x + side + PAD, inner.y, inner.width - side - PAD, inner.height)
    if label.address:
        code = min(inner.height * 0.5, 19.0)
        corner = Box(inner.right - code, inner.bottom - code, code, code)
        yield Figure(code_outline(label.address), corner, weight=0, filled=True)
        text = Box(text.x, text.y, text.width - code - 1, text.height)
    yield from _label_text(label, text, size)


def _label_text(label: Label, box: Box, size: Size) -> Iterator[Item]:
    """The word, and what stands below it; shrunk to the smallest size, then cut with dots."""
    share = 0.58 if label.below else 1.0
    upper = Box(box.x, box.y, box.width, box.height * share)
    found = fit_or_cut(bold(label.word), upper, size.big)
    high = len(found[1]) * line_height(found[0])
    align: Align = "left" if label.picture else "center"
    if not label.below:
        yield from set_lines(found[1], found[0], box, align=align, middle=True)
        return
    rest = Box(box.x, box.y, box.width, box.height - high)
    below = fit_or_cut(Run(label.below), rest, size.small)
    low = len(below[1]) * line_height(below[0])
    top = box.y + (box.height - high - low) / 2
    yield from set_lines(found[1], found[0], Box(box.x, top, box.width, high), align=align)
    under = Box(box.x, top + high, box.width, low)
    yield from set_lines(below[1], below[0], under, align=align)
