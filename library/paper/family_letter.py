"""The family letter: plain text, as composed or as a person has edited it, set on one page or two."""

from __future__ import annotations

from collections.abc import Iterator

from library.paper.blocks import Block, Gap, Prose
from library.paper.flow import flow
from library.paper.furniture import Heading, foot
from library.paper.job import Job
from library.paper.letter_text import letter_text
from library.paper.sheet import MARGIN, Audience, Page, Sheet
from library.paper.tables import table
from library.paper.text import Rich, bold

SIZE = 11.5
SMALLEST = 10.0
"""Points to which a letter shrinks to stay on one page."""
LONGEST_HEADING = 60
"""Letters; a longer line that ends in a colon is a sentence."""
LETTER_MARGIN = 20.0
"""Empty edge at both sides, as letters have."""


def family_letter(job: Job) -> Sheet:
    """The letter in the text that ``letter_text`` composes, or in ``job.letter``.

    The first line is the title; a line that ends in a colon is a heading; "- " begins an item. One
    page at 11.5 to 10 points where that holds it, else as many as it needs.
    """
    text = job.letter if job.letter is not None else letter_text(job)
    title = text.strip().split("\n", 1)[0].strip() or job.title
    heading = Heading(title, "", Audience.FAMILY)
    pages: tuple[Page, ...] = ()
    for size in (SIZE, 11.0, 10.5, SMALLEST):
        pages = _set(job, heading, text, size)
        if len(pages) == 1:
            break
    else:
        pages = _set(job, heading, text, SIZE)
    rows = [(line,) for line in text.strip().split("\n")]
    tables = (table("letter", "line", rows),)
    return Sheet("family-letter", title, Audience.FAMILY, pages, tables=tables)


def _set(job: Job, heading: Heading, text: str, size: float) -> tuple[Page, ...]:
    return flow(
        [tuple(_blocks(text, size))],
        job.paper,
        lambda page: Gap(LETTER_MARGIN - MARGIN),
        lambda page, count, strip: foot(heading, job, page, count, strip),
        side=LETTER_MARGIN,
    )


def _blocks(text: str, size: float) -> Iterator[Block]:
    first, _, rest = text.strip().partition("\n")
    yield Prose(bold(first.strip()), 2 * size, after=2.5)
    for paragraph in rest.split("\n\n"):
        lines = [line.rstrip() for line in paragraph.strip("\n").split("\n") if line.strip()]
        for number, line in enumerate(lines):
            last = number == len(lines) - 1
            after = 2.2 if last else 0.3
            if line.endswith(":") and len(line) <= LONGEST_HEADING and number == 0:
                yield Prose(bold(line[:-1]), size + 2, 0.6, keep=True)
            elif line.startswith("- "):
                yield Prose(_item(line[2:].strip()), size, after if last else 0.8, "dot")
            else:
                yield Prose(line, size, after)


def _item(text: str) -> Rich:
    """An item of a list: what stands before a colon is set bold, as a title is."""
    title, colon, rest = text.partition(": ")
    return [bold(title + ": "), rest] if colon and len(title) <= LONGEST_HEADING else text
