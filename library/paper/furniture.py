"""What stands on every sheet: the head that says what it is for, and the foot."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from library.paper.blocks import Block, Framed, Gap, Outline, Picture, Prose, Row, Stack
from library.paper.flow import flow
from library.paper.job import Job, span_words, title_of
from library.paper.sheet import INK, SOFT, Audience, Box, Item, Paper, Rule, Sheet, Words
from library.paper.tables import Table
from library.paper.text import Run, bold, break_lines, fit_or_cut, line_height, set_lines
from library.plan.stops import stop_words
from library.safety.checks import caution
from library.units.calendar import open_days
from library.units.findings import Finding
from library.units.placed import Placed

TITLE_SIZE, AGAIN_SIZE, FOOT_SIZE = 22.0, 12.0, 8.5
STAFF_ONLY = "Staff only"
KINDS = {
    Audience.POSTED: "to post",
    Audience.FAMILY: "for families",
    Audience.STAFF: "staff only",
}


@dataclass(frozen=True, slots=True)
class Heading:
    """What the top of a sheet says."""

    title: str
    purpose: str
    """One sentence: what the sheet is for."""
    audience: Audience
    picture: Outline = ()


def dates_of(job: Job) -> str:
    """The unit's first and last open day."""
    return span_words(open_days(job.plan.unit, job.room))


def head(heading: Heading, job: Job, page: int) -> Block:
    """The top of a page: in full on the first, one line on the others."""
    if page > 1:
        text = (bold(heading.title), f", continued · {job.title}")
        return Stack((Prose(text, AGAIN_SIZE, after=0.5), Gap(3.0, weight=1.0, color=INK)))
    about = " · ".join(part for part in (job.title, dates_of(job), job.room.name) if part)
    words = Stack(
        (
            Prose(bold(heading.title), TITLE_SIZE, after=0.3),
            Prose(heading.purpose, 11.5, after=0.4),
            Prose(about, 10.0, after=0),
        )
    )
    cells: list[Block] = [words]
    shares: list[float] = [1.0]
    if heading.picture:
        cells.insert(0, Picture(heading.picture, 14.0, 1.4))
        shares.insert(0, 14.0)
    if heading.audience is Audience.STAFF:
        mark = Prose(bold(STAFF_ONLY.upper()), 10, after=0, align="center")
        cells.append(Framed(mark, weight=1.4, color=INK, pad=1.2, after=0))
        shares.append(28.0)
    return Stack((Row(tuple(cells), tuple(shares), gap=4.0), Gap(4.0, weight=1.2, color=INK)))


def foot(heading: Heading, job: Job, page: int, pages: int, strip: Box) -> list[Item]:
    """The bottom of a page: unit and room at the left, for whom and which page at the right."""
    number = f", {KINDS[heading.audience]} · page {page} of {pages}"
    top = strip.bottom - line_height(FOOT_SIZE)
    right = _cut_to(heading.title, strip.width * 0.3) + number
    width = break_lines(right, FOOT_SIZE, strip.width)[0].width(FOOT_SIZE)
    left = Box(strip.x, top, strip.width - width - 4, line_height(FOOT_SIZE))
    here = Box(strip.right - width - 0.01, top, width + 0.01, line_height(FOOT_SIZE))
    about = _cut_to(f"{job.title} · {job.room.name}" if job.room.name else job.title, left.width)
    return [
        Rule(strip.x, top - 1.0, strip.right, top - 1.0, 0.4),
        *_soft_line(about, left),
        *_soft_line(right, here),
    ]


def _soft_line(text: str, box: Box) -> list[Item]:
    items = set_lines(break_lines(text, FOOT_SIZE, box.width)[:1], FOOT_SIZE, box)
    return [
        Words(i.text, i.x, i.y, i.size, i.frame, i.bold, SOFT) if isinstance(i, Words) else i
        for i in items
    ]


def _cut_to(text: str, width: float) -> str:
    """What one line of a foot holds of a text; the sheet's head has all of it."""
    box = Box(0, 0, width, line_height(FOOT_SIZE))
    return "".join(line.text for line in fit_or_cut(Run(text), box, (FOOT_SIZE,))[1])


def build(
    name: str,
    heading: Heading,
    job: Job,
    sections: Sequence[Sequence[Block]],
    *,
    paper: Paper | None = None,
    tables: tuple[Table, ...] = (),
    language: str = "en",
) -> Sheet:
    """A sheet from blocks: each section begins a new page, with head and foot on every page."""
    pages = flow(
        sections,
        paper or job.paper,
        lambda page: head(heading, job, page),
        lambda page, count, strip: foot(heading, job, page, count, strip),
    )
    return Sheet(name, heading.title, heading.audience, pages, language, tables)


def stopped(things: str, size: float) -> Block:
    """What staff read in place of what to put out, in a heavy frame.

    Args:
        things: What stops it, as ``stop_words`` says it.
        size: Points of the text.
    """
    words = (bold("Stop. Do not put this out: "), f"{things}. The plan says why.")
    return Framed(Prose(words, size, after=0), weight=1.6, color=INK, pad=1.6, after=0.6)


def stopped_list(trays: Sequence[tuple[Placed, tuple[Finding, ...]]], why: str) -> Iterator[Block]:
    """In a heavy frame the placements on which stops stand, with what that means for this sheet.

    Args:
        trays: Placements with their stops; none: nothing is said.
        why: What staff do not do for them, as a sentence without its full stop.
    """
    if not trays:
        return
    said = dict.fromkeys(f"{title_of(placed)}: {stop_words(stops)}." for placed, stops in trays)
    lines = [Prose((bold("Stop. "), f"{why}. The plan says why."), 11, 0.5)]
    lines += [Prose(words, 10.5, 0.3, "dot") for words in said]
    yield Framed(Stack((*lines, limits())), weight=1.6, color=INK, pad=1.6, after=1.2)


def limits() -> Block:
    """What no check can know; stands on every staff copy with findings."""
    return Prose(Run(caution(), color=SOFT), FOOT_SIZE, after=0)


def nothing(name: str, heading: Heading, job: Job, why: str) -> Sheet:
    """A sheet that says why nothing stands on it."""
    return build(name, heading, job, [[Prose(why, 12)]])
