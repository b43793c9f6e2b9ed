"""The posted plan: days across, centers down in walking order, to be read from two steps away.

It says what is played where, and nothing about children; no finding, level or policy stands on it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from library.paper.furniture import Heading, dates_of, foot
from library.paper.job import Job, center_name, clock, day_words, title_of, weekday
from library.paper.sheet import (
    FAINT,
    INK,
    LEAST_MARGIN,
    SOFT,
    Audience,
    Box,
    Figure,
    Item,
    Page,
    Panel,
    Rule,
    Sheet,
)
from library.paper.tables import Table, table
from library.paper.text import (
    Line,
    Rich,
    Run,
    bold,
    break_lines,
    fit_or_cut,
    line_height,
    set_lines,
)
from library.plan.grid import Cell, Row, plan_grid
from library.plan.rules import hold_against

MARGIN = 7.0
NAME_SIZE = 24.0
"""Points of a center's name."""
CELL_SIZES = (15.0, 14.0, 13.0, 12.0)
"""Points of what stands in a cell; the largest at which a sheet holds the plan."""
TITLE_SIZES = (22.0, 18.0, 15.0, 12.0)
DAY_SIZE, STRIP_SIZE = 12.0, 10.5
WIDEST_NAME, NARROW_NAME = 72.0, 47.0
"""Millimetres for a name, and where every column counts; a longer one breaks."""
PICTURE, PAD, STRETCH = 8.6, 0.35, 8.0
"""Side of a pictogram, space around what stands in a cell, most that a row grows to fill a page."""
FOOT = 5.0
MOST_WIDE_COLUMNS = 7
"""Columns that are wide enough for a weekday with its date on one line."""
HEADING = Heading("What we play", "", Audience.POSTED)


@dataclass(frozen=True, slots=True)
class Drawn:
    """A row with its text broken for its columns."""

    row: Row
    name: tuple[Line, ...]
    cells: tuple[tuple[Cell, tuple[Line, ...]], ...]
    height: float
    cuts_word: bool


@dataclass(frozen=True, slots=True)
class Try:
    """One way to put some weeks onto a sheet."""

    job: Job
    weeks: tuple[tuple[dt.date, ...], ...]
    size: float
    widest: float = WIDEST_NAME
    """Millimetres for a name at most."""

    @property
    def days(self) -> tuple[dt.date, ...]:
        """Its columns."""
        return tuple(day for week in self.weeks for day in week)

    @property
    def is_narrow(self) -> bool:
        """Whether a column holds a day only on two lines."""
        return len(self.days) > MOST_WIDE_COLUMNS

    @property
    def frame(self) -> Box:
        """What may be printed on."""
        paper = self.job.paper.turned
        return Box(0, 0, paper.width, paper.height).inset(MARGIN)

    def name_width(self, rows: Sequence[Row]) -> float:
        """Width of the column of names, pictogram included."""
        names = [Line((bold(center_name(row.center)),)).width(NAME_SIZE) for row in rows]
        return min(max(names, default=0), self.widest) + PICTURE + 5.0


def posted_plan(job: Job) -> Sheet:
    """One landscape sheet for the whole unit where that holds it, else one for each week.

    Names of centers have 24 points and cells 12 or more. Where that does not fit, the centers for which
    nothing is planned are left out; then all weeks stand on two sheets of centers; and where
    even that does not fit, a week goes onto as many sheets as it needs.
    """
    grid = plan_grid(job.plan.unit, job.plan.placed, job.room)
    parts = _share_out(job, grid.weeks, grid.rows)
    pages = [
        _page(attempt, rows, number, len(parts))
        for number, (attempt, rows) in enumerate(parts, start=1)
    ]
    title = f"{HEADING.title}: {job.title}"
    return Sheet("posted-plan", title, Audience.POSTED, tuple(pages), tables=(_table(job),))


Weeks = tuple[tuple[dt.date, ...], ...]
Rows = tuple[Row, ...]
Part = tuple[Try, tuple[Drawn, ...]]


def _share_out(job: Job, weeks: Weeks, rows: Rows) -> list[Part]:
    """The way that takes the fewest sheets, weeks side by side only where no word is cut for it."""
    filled = tuple(row for row in rows if not row.is_empty)
    half = -(-len(filled) // 2)
    halves = (filled[:half], filled[half:])
    pair = len(weeks) <= 2
    ways = [
        [_on_one(job, weeks, rows, cut=False)],
        [_on_one(job, (week,), rows) for week in weeks],
        [_on_one(job, (week,), filled) for week in weeks],
        [_on_one(job, weeks, part, cut=False) for part in halves if part],
        [_on_one(job, weeks, part, cut=False, widest=NARROW_NAME) for part in halves if part],
        [_on_one(job, weeks, part, widest=NARROW_NAME) for part in halves if part and pair],
    ]
    whole = [[part for part in way if part] for way in ways if way and all(way)]
    return min(whole, key=len) if whole else _on_many(job, weeks, filled)


def _on_one(
    job: Job, weeks: Weeks, rows: Rows, *, cut: bool = True, widest: float = WIDEST_NAME
) -> Part | None:
    """Rows on one sheet at the largest size that goes; None where none does.

    Args:
        job: The job.
        weeks: Whose days are the columns.
        rows: The rows, of which only the cells of those weeks count.
        cut: Whether, at the smallest size, a word may be cut that is wider than its column.
        widest: Millimetres for a center's name.
    """
    for size in CELL_SIZES:
        attempt = Try(job, weeks, size, widest)
        drawn = _draw_rows(attempt, rows)
        whole = not any(row.cuts_word for row in drawn)
        if _fits(attempt, drawn) and (whole or (cut and size == CELL_SIZES[-1])):
            return attempt, drawn
    return None


def _on_many(job: Job, weeks: Weeks, rows: Rows) -> list[Part]:
    """One week after the other, each on as many sheets as it needs, about equally full."""
    parts: list[Part] = []
    for week in weeks:
        attempt = Try(job, (week,), CELL_SIZES[-1])
        for drawn in _equally(attempt, _draw_rows(attempt, rows)):
            here = tuple(each.row for each in drawn)
            parts.append(_on_one(job, (week,), here) or (attempt, drawn))
    return parts


def _equally(attempt: Try, rows: Sequence[Drawn]) -> Iterator[tuple[Drawn, ...]]:
    room = _room(attempt)
    total = sum(row.height for row in rows)
    target = total / max(1, -(-total // room)) + 1e-6
    part: list[Drawn] = []
    for row in rows:
        used = sum(each.height for each in part)
        if part and (used + row.height > room + 1e-6 or used + row.height / 2 > target):
            yield tuple(part)
            part = []
        part.append(row)
    yield tuple(part)


# What stands in a row


def _draw_rows(attempt: Try, rows: Sequence[Row]) -> tuple[Drawn, ...]:
    width = attempt.name_width(rows)
    columns = (attempt.frame.width - width) / max(1, len(attempt.days))
    return tuple(_draw_row(attempt, row, width, columns) for row in rows)


def _draw_row(attempt: Try, row: Row, name_width: float, column: float) -> Drawn:
    name = break_lines(bold(center_name(row.center)), NAME_SIZE, name_width - PICTURE - 4.5)
    most = int((_room(attempt) - 2 * PAD) // line_height(attempt.size))
    cells = []
    for cell in row.cells:
        if cell.days[0] not in attempt.days:
            continue
        width = column * len(cell.days) - 3.0
        lines = break_lines(_cell_text(attempt.job, cell), attempt.size, width)
        cells.append(
            (cell, lines if len(lines) <= most else (*lines[: most - 1], Line((Run("…"),))))
        )
    high = max(
        [len(name) * NAME_SIZE * 1.2 * 25.4 / 72]
        + [len(lines) * line_height(attempt.size) for _, lines in cells]
    )
    cuts = any(line.cuts_word for _, lines in cells for line in lines)
    return Drawn(row, name, tuple(cells), high + 2 * PAD, cuts)


def _cell_text(job: Job, cell: Cell) -> Rich:
    if cell.closed:
        return Run("closed", color=SOFT)
    texts: list[Run] = []
    for placed in cell.placed:
        start = "\n" if texts else ""
        texts.append(Run(start + title_of(placed), bold=placed.card is not None))
        if placed.card and placed.placement.add:
            texts.append(Run(f", {placed.placement.add}"))
    return texts


# The sheet


def _fits(attempt: Try, rows: Sequence[Drawn]) -> bool:
    return sum(row.height for row in rows) <= _room(attempt) + 1e-6


def _room(attempt: Try) -> float:
    """Height that is left for rows."""
    frame = attempt.frame
    strip = sum(len(lines) for lines in _strip(attempt)) * line_height(STRIP_SIZE)
    head = line_height(TITLE_SIZES[0]) + _days_height(attempt) + 1.0
    return frame.height - head - (strip + 1.5 if strip else 0) - FOOT


def _days_height(attempt: Try) -> float:
    """Height of the days above the columns: one line, or two where columns are narrow."""
    return (2 if attempt.is_narrow else 1) * line_height(DAY_SIZE)


def _strip(attempt: Try) -> list[tuple[Line, ...]]:
    """The day's blocks, and what local rules want named, below the table."""
    job, width = attempt.job, attempt.frame.width
    texts: list[Rich] = []
    if job.room.day:
        blocks = " · ".join(f"{clock(b.start)} {b.name}" for b in job.room.day)
        texts.append((bold("Our day "), blocks))
    if swaps := [f"{s.card.title} ({center_name(s.center)})" for s in job.plan.swaps if s.card]:
        texts.append((bold("When it pours "), " · ".join(dict.fromkeys(swaps))))
    texts += _domains(job)
    return [break_lines(text, STRIP_SIZE, width) for text in texts]


def _domains(job: Job) -> list[Rich]:
    """The domains that the chosen local rules name, each with what the plan has for it."""
    if job.rules is None:
        return []
    named = [each for each in hold_against(job.plan, job.rules) if each.rule.looks == "area"]
    parts: list[Run] = []
    for each in named:
        titles = [text.rpartition(" at ")[0] for text in each.on_plan[:2]]
        parts += [bold(f"{each.rule.asks.capitalize()}: "), Run(", ".join(titles) or "–")]
        parts.append(Run(" · "))
    return [tuple(parts[:-1])] if parts else []


def _page(attempt: Try, rows: Sequence[Drawn], number: int, count: int) -> Page:
    frame, job = attempt.frame, attempt.job
    name_width = attempt.name_width([row.row for row in rows])
    column = (frame.width - name_width) / max(1, len(attempt.days))
    items = _head(attempt, frame)
    y = frame.y + line_height(TITLE_SIZES[0])
    items += _days(attempt, Box(frame.x + name_width, y, frame.width - name_width, 0), column)
    y += _days_height(attempt) + 1.0
    items.append(Rule(frame.x, y, frame.right, y, 1.2, INK))
    free = _room(attempt) - sum(row.height for row in rows)
    grow = min(STRETCH, max(0.0, free) / max(1, len(rows)))
    for row in rows:
        box = Box(frame.x, y, frame.width, row.height + grow)
        items += _row(attempt, row, box, name_width, column)
        y = box.bottom
    items += _set_strip(attempt, y + 1.0)
    strip = Box(frame.x, frame.bottom - FOOT, frame.width, FOOT)
    return Page(job.paper.turned, (*items, *foot(HEADING, job, number, count, strip)))


def _head(attempt: Try, frame: Box) -> list[Item]:
    job = attempt.job
    when = f"{day_words(attempt.days[0])} to {day_words(attempt.days[-1])}" if attempt.days else ""
    right = break_lines(when or dates_of(job), 14, frame.width)[:1]
    width = right[0].width(14) if right else 0
    box = Box(frame.x, frame.y, frame.width - width - 6, line_height(TITLE_SIZES[0]))
    title = _one_line(bold(job.title), box)
    there = Box(frame.right - width - 0.1, frame.y + 1.8, width + 0.1, line_height(14))
    return [*set_lines(title[1], title[0], box, middle=True), *set_lines(right, 14, there)]


def _one_line(text: Run, box: Box) -> tuple[float, tuple[Line, ...]]:
    """A title on one line: smaller where it is long, and cut with dots at 12 points."""
    for size in TITLE_SIZES:
        lines = break_lines(text, size, box.width)
        if len(lines) == 1:
            return size, lines
    last = TITLE_SIZES[-1]
    return fit_or_cut(text, Box(box.x, box.y, box.width, line_height(last)), (last,))


def _days(attempt: Try, box: Box, column: float) -> list[Item]:
    items: list[Item] = []
    for number, day in enumerate(attempt.days):
        at = Box(box.x + number * column + 1.5, box.y, column - 2, _days_height(attempt))
        date = day_words(day).partition(" ")[2]
        between = "\n" if attempt.is_narrow else " "
        lines = break_lines([bold(weekday(day) + between), date], DAY_SIZE, at.width)
        items += set_lines(lines, DAY_SIZE, at)
    return items


def _row(attempt: Try, row: Drawn, box: Box, name_width: float, column: float) -> Iterator[Item]:
    picture = Box(box.x + 0.5, box.y + (box.height - PICTURE) / 2, PICTURE, PICTURE)
    yield Figure(attempt.job.pictograms.of(row.row.center), picture, weight=1.2)
    name = Box(box.x + PICTURE + 3, box.y, name_width - PICTURE - 4.5, box.height)
    yield from _set_name(row.name, name)
    for cell, lines in row.cells:
        first = attempt.days.index(cell.days[0])
        x, width = box.x + name_width + first * column, column * len(cell.days)
        if cell.closed:
            yield Panel(Box(x, box.y, width, box.height), fill=FAINT)
        new_week = first > 0 and any(cell.days[0] == week[0] for week in attempt.weeks)
        yield Rule(x, box.y, x, box.bottom, *((1.4, INK) if new_week else (0.5,)))
        yield from set_lines(
            lines, attempt.size, Box(x + 1.5, box.y, width - 3.0, box.height), middle=True
        )
    yield Rule(box.x, box.bottom, box.right, box.bottom, 0.5)


def _set_name(lines: Sequence[Line], box: Box) -> Iterator[Item]:
    """A center's name, its lines set close, since a row is just high enough for one."""
    step = NAME_SIZE * 1.2 * 25.4 / 72
    top = box.y + (box.height - step * len(lines)) / 2 - (line_height(NAME_SIZE) - step) / 2
    for number, line in enumerate(lines):
        at = Box(box.x, top + number * step, box.width, line_height(NAME_SIZE))
        yield from set_lines((line,), NAME_SIZE, at)


def _set_strip(attempt: Try, y: float) -> Iterator[Item]:
    for lines in _strip(attempt):
        high = len(lines) * line_height(STRIP_SIZE)
        yield from set_lines(lines, STRIP_SIZE, Box(attempt.frame.x, y, attempt.frame.width, high))
        y += high


def _table(job: Job) -> Table:
    rows = [
        (center_name(placed.center), day.isoformat(), title_of(placed))
        for placed in job.plan.placed
        for day in placed.days
    ]
    return table("plan", "center day activity", rows)


assert LEAST_MARGIN <= MARGIN
