"""The jot sheet: a grid by label and day, to be filled with a pen while children play."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from library.paper.children import attending
from library.paper.flow import FOOT_HEIGHT
from library.paper.furniture import Heading, foot, head, nothing
from library.paper.job import Job, day_words
from library.paper.sheet import FAINT, INK, MARGIN, Audience, Box, Item, Page, Panel, Rule, Sheet
from library.paper.tables import table
from library.paper.text import Run, bold, fit_or_cut, set_lines
from library.room.room import Child
from library.units.calendar import open_days_of_week

HEADING = Heading(
    "Jot sheet", "What you saw, in a few words, with the center. Nobody is scored.", Audience.STAFF
)
LABEL_WIDTH, HEAD_HEIGHT = 34.0, 7.0
LOWEST, HIGHEST = 15.0, 30.0
"""Height of a row, in millimetres: room for two lines of handwriting, and no more than it needs."""
SPARE_ROWS = 8
"""Empty rows of a room that names no children."""


def jot_sheet(job: Job) -> Sheet:
    """A landscape page for each week; where a child does not come, the field is grey."""
    plan = [
        (days, part)
        for days, children in _weeks(job)
        for part in _pages_of(children, _rows_a_page(job))
    ]
    if not plan:
        return nothing("jot-sheet", HEADING, job, "The room is open on no day of this unit.")
    pages = tuple(
        _page(job, days, part, number, len(plan)) for number, (days, part) in enumerate(plan, 1)
    )
    rows = [
        (day.isoformat(), child.label if child else "", "")
        for days, part in plan
        for child in part
        for day in days
        if child is None or child.attends(day)
    ]
    title = f"{HEADING.title}: {job.title}"
    tables = (table("jots", "day label seen", rows),)
    return Sheet("jot-sheet", title, Audience.STAFF, pages, tables=tables)


Rows = Sequence[Child | None]


def _weeks(job: Job) -> Iterator[tuple[tuple[dt.date, ...], Rows]]:
    for week in range(1, job.plan.unit.weeks + 1):
        if days := open_days_of_week(job.plan.unit, week, job.room):
            yield days, attending(job, days) or (None,) * SPARE_ROWS


def _grid(job: Job) -> Box:
    """Where the grid may lie: below the head, above the foot."""
    paper = job.paper.turned
    frame = Box(0, 0, paper.width, paper.height).inset(MARGIN)
    top = head(HEADING, job, 1).lay(frame.width).height
    return Box(frame.x, frame.y + top, frame.width, frame.height - top - FOOT_HEIGHT)


def _rows_a_page(job: Job) -> int:
    return max(1, int((_grid(job).height - HEAD_HEIGHT) // LOWEST))


def _pages_of(children: Rows, most: int) -> Iterator[Rows]:
    for first in range(0, len(children), most):
        yield children[first : first + most]


def _page(job: Job, days: tuple[dt.date, ...], rows: Rows, number: int, count: int) -> Page:
    paper, grid = job.paper.turned, _grid(job)
    items = head(HEADING, job, 1).lay(grid.width).place(grid.x, MARGIN)
    column = (grid.width - LABEL_WIDTH) / len(days)
    high = min(HIGHEST, (grid.height - HEAD_HEIGHT) / len(rows))
    for place, day in enumerate(days):
        at = Box(grid.x + LABEL_WIDTH + place * column + 1.5, grid.y, column - 2, HEAD_HEIGHT)
        items += _set(bold(day_words(day)), at, (11.0, 9.0))
    y = grid.y + HEAD_HEIGHT
    items.append(Rule(grid.x, y, grid.right, y, 1.0, INK))
    for child in rows:
        items += _row(child, days, Box(grid.x, y, grid.width, high), column)
        y += high
    for place in range(len(days)):
        x = grid.x + LABEL_WIDTH + place * column
        items.append(Rule(x, grid.y, x, y, 0.5))
    strip = Box(grid.x, paper.height - MARGIN - FOOT_HEIGHT, grid.width, FOOT_HEIGHT)
    return Page(paper, (*items, *foot(HEADING, job, number, count, strip)))


def _row(child: Child | None, days: tuple[dt.date, ...], box: Box, column: float) -> Iterator[Item]:
    if child is not None:
        for place, day in enumerate(days):
            if not child.attends(day):
                x = box.x + LABEL_WIDTH + place * column
                yield Panel(Box(x, box.y, column, box.height), fill=FAINT)
        label = Box(box.x, box.y, LABEL_WIDTH - 2, box.height)
        yield from _set(bold(child.label), label, (15.0, 13.0, 11.0, 9.0))
    yield Rule(box.x, box.bottom, box.right, box.bottom, 0.5)


def _set(text: Run, box: Box, sizes: tuple[float, ...]) -> list[Item]:
    size, lines = fit_or_cut(text, box, sizes)
    return set_lines(lines, size, box, middle=True)
