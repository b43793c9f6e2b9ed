"""Set-up sheets: half a page a placement, to lie where the hands are.

Put out · Say · Easier · Harder · Adults · Pack away, in the theme's dress, with hands, water and tables
around it. They stand in the room for anyone to read, so they know how many children come and nothing
else about them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement

from library.cards.card import Card
from library.cards.portions import Portion, portions
from library.cards.values import Refresh, When
from library.paper.blocks import Block, Framed, Gap, Laid, Picture, Prose, Row, Stack
from library.paper.codes import code_block
from library.paper.flow import flow
from library.paper.furniture import Heading, foot, nothing
from library.paper.job import (
    Job,
    adult_words,
    amount_words,
    center_name,
    days_words,
    group_words,
    in_walking_order,
    minutes_words,
    title_of,
)
from library.paper.marks import cut_across
from library.paper.prose import prose, sections_of
from library.paper.sheet import INK, MARGIN, MARK, SOFT, Audience, Box, Item, Page, Sheet
from library.paper.tables import Table, table
from library.paper.text import Run, bold
from library.plan.stops import stops_on
from library.room.room import Room
from library.safety.hygiene import Around, Moment, around_play
from library.units.placed import Placed

SIZES = (13.0, 12.0, 11.5, 11.0, 10.5, 10.0)
"""Points of the text with everything that is said; the largest at which half a page holds it."""
BRIEF_SIZES = (10.5, 10.0, 9.5, 9.0)
"""Points of the text without "Watch for", which the card has, where the whole does not fit."""
SMALLEST = 9.0
"""Points below which nothing is set."""
PAGE_SIZE = 11.0
"""Points of the text that needs more than half a page."""
CUT_GAP = 4.0
"""Empty space on both sides of the cut, in millimetres."""
HEADING = Heading("Set-up sheets", "Cut in half; one lies at each center.", Audience.POSTED)
NOT_YET = "Do not put this out. The lead changes the plan first; then this sheet is printed again."
"""In place of everything else, where a stop stands on a placement; who stops it is for staff."""
DRAFT = "Draft translation: no speaker has read it yet."


def setup_sheets(job: Job) -> Sheet:
    """Half a page for each placement and each rain swap, in walking order.

    Text is set in 13 to 9 points. What does not fit on half a page gets a page of its own, and more
    where it needs them.
    """
    pages: list[Page] = []
    waiting: list[Laid] = []
    for placed in _printed(job):
        laid = _on_half(job, placed)
        if laid is not None:
            waiting.append(laid)
            continue
        pages += _paired(job, waiting)
        waiting = []
        pages += _on_pages(job, placed)
    pages += _paired(job, waiting)
    if not pages:
        return nothing("setup-sheets", HEADING, job, "No activity stands on any open day yet.")
    title = f"{HEADING.title}: {job.title}"
    return Sheet("setup-sheets", title, Audience.POSTED, tuple(pages), tables=(_table(job),))


def children_at_once(placed: Placed, room: Room) -> int:
    """The most children who attend on one of a placement's days; 0 where the room names none."""
    return max((len(room.attending(day)) for day in placed.days), default=0)


def put_out(placed: Placed, room: Room) -> tuple[Portion, ...]:
    """What a placement puts out on a day for the children who come; as written where none are known."""
    if placed.card is None:
        return ()
    children = children_at_once(placed, room)
    found = portions(placed.card, children=children, adults=room.adults)
    if children:
        return found
    return tuple(
        Portion(p.line, None if "per child" in p.line.amount else p.quantity, p.how) for p in found
    )


def _printed(job: Job) -> tuple[Placed, ...]:
    """What gets a sheet: whatever stands on a day and has a card or something added."""
    every = (*job.plan.placed, *job.plan.swaps)
    return in_walking_order(
        job, (p for p in every if p.days and (p.placement.activity or p.placement.add))
    )


# One placement


@dataclass(frozen=True, slots=True)
class Parts:
    """What a set-up sheet says, part by part."""

    put_out: tuple[Block, ...]
    say: tuple[Block, ...]
    rest: tuple[Block, ...]
    around: tuple[Block, ...]
    """Hands, water and tables, a paragraph for each moment."""


def _on_half(job: Job, placed: Placed) -> Laid | None:
    box = _half(job, 0)
    whole = ((size, True, True) for size in SIZES)
    brief = ((size, False, in_full) for in_full in (True, False) for size in BRIEF_SIZES)
    for size, watch, in_full in (*whole, *brief):
        laid = _in_columns(job, placed, size, watch, in_full, box.width).lay(box.width)
        if laid.height <= box.height + 1e-6:
            return laid
    return None


def _half(job: Job, number: int) -> Box:
    """The upper or lower half of a page, less the margins, the cut and the foot below."""
    paper = job.paper
    height = paper.height / 2 - MARGIN - CUT_GAP
    return Box(MARGIN, MARGIN + number * (height + 2 * CUT_GAP), paper.width - 2 * MARGIN, height)


def _paired(job: Job, laid: list[Laid]) -> Iterator[Page]:
    for first in range(0, len(laid), 2):
        items: list[Item] = []
        for number, half in enumerate(laid[first : first + 2]):
            box = _half(job, number)
            items += half.place(box.x, box.y)
        items += cut_across(job.paper, job.paper.height / 2)
        yield Page(job.paper, tuple(items))


def _on_pages(job: Job, placed: Placed) -> tuple[Page, ...]:
    """A placement whose text needs more than half a page, one part below the other."""
    parts = _parts(job, placed, PAGE_SIZE, watch=True)
    blocks = (*parts.put_out, *parts.say, *parts.rest, *parts.around)
    heading = Heading(title_of(placed), "", Audience.POSTED)
    return flow(
        [blocks],
        job.paper,
        lambda page: _head(job, placed, PAGE_SIZE),
        lambda page, count, strip: foot(heading, job, page, count, strip),
    )


def _in_columns(
    job: Job, placed: Placed, size: float, watch: bool, in_full: bool, width: float
) -> Block:
    parts = _parts(job, placed, size, watch, in_full=in_full)
    if stops_on(job.plan, placed):
        return Stack((_head(job, placed, size), *parts.put_out))
    columns = (parts.put_out, parts.say, parts.rest)
    bare = Row(tuple(map(Stack, columns)), (0.36, 0.32, 0.32), gap=5.0)
    spread = _spread(columns, parts.around, bare.widths(width))
    return Stack((_head(job, placed, size), replace(bare, cells=tuple(map(Stack, spread)))))


def _spread(
    columns: Sequence[tuple[Block, ...]], around: tuple[Block, ...], widths: Sequence[float]
) -> tuple[tuple[Block, ...], ...]:
    """Paragraphs shared out over columns in their order, the longest column as short as can be."""
    own = [Stack(column).lay(width).height for column, width in zip(columns, widths, strict=True)]
    heights = [[block.lay(width).height for width in widths] for block in around]

    def longest(places: tuple[int, ...]) -> float:
        told = list(own)
        for place, height in zip(places, heights, strict=True):
            told[place] += height[place]
        return max(told)

    ways = combinations_with_replacement(range(len(columns)), len(around))
    best = min(ways, key=longest)
    return tuple(
        (*column, *(block for block, place in zip(around, best, strict=True) if place == number))
        for number, column in enumerate(columns)
    )


def _head(job: Job, placed: Placed, size: float) -> Block:
    center = center_name(placed.center)
    above = [Run(f"{center} · {days_words(placed)}", color=SOFT)]
    if placed in job.plan.swaps:
        above.append(Run(" · when it pours", color=SOFT))
    words: list[Block] = [
        Prose(above, 10.0, after=0),
        Prose(bold(title_of(placed)), _title_size(title_of(placed)), after=0.6),
    ]
    cells: list[Block] = [Picture(job.pictograms.of(placed.center), 12.0, 1.3), Stack(tuple(words))]
    shares = [12.0, 1.0]
    if job.address and placed.placement.activity:
        cells.append(code_block(f"{job.address}/activities/{placed.placement.activity}", 14.0))
        shares.append(14.0)
    head: list[Block] = [Row(tuple(cells), tuple(shares), gap=4.0)]
    if placed.card is not None:
        head.append(_summaries(placed.card, size))
    return Stack((*head, Gap(2.6, weight=1.0, color=INK)), keep=True)


def _title_size(title: str) -> float:
    return 19.0 if len(title) <= 45 else 15.0 if len(title) <= 80 else 12.0


def _summaries(card: Card, size: float) -> Block:
    """The card in a sentence, with the second language beside it."""
    english = Prose(card.summary, size, after=0)
    if card.es is None or not (card.es.title or card.es.summary):
        return english
    other: list[Block] = [Prose((bold(card.es.title + " "), card.es.summary), size, after=0)]
    if not card.es.read_by:
        other.append(Prose(Run(DRAFT, color=SOFT), 8.5, after=0))
    return Row((english, Stack(tuple(other))), (0.5, 0.5), gap=5.0)


def _parts(job: Job, placed: Placed, size: float, watch: bool, *, in_full: bool = True) -> Parts:
    card, note = placed.card, placed.placement.note
    carried: list[Block] = []
    if note:
        carried.append(Framed(Prose((bold("Remember: "), note), size, after=0), fill=MARK, pad=1.8))
    if stops_on(job.plan, placed):
        told = Framed(Prose(bold(NOT_YET), size + 2, after=0), weight=2.0, color=INK, pad=3.0)
        return Parts((told, *carried), (), (), ())
    around = _around(job, placed, size, in_full)
    if card is None:
        return Parts((*carried, *_added(placed, size)), (), (), around)
    texts = sections_of(card)
    say = (
        *_part("Say", texts.get("invite", ""), size),
        *_part("Easier", texts.get("easier", ""), size),
        *_part("Harder", texts.get("harder", ""), size),
    )
    rest = (
        *_adults(job, placed, card, texts.get("cautions", ""), size),
        *(_part("Watch for", texts.get("watch for", ""), size) if watch else ()),
        *_part("Pack away", texts.get("pack away", ""), size),
    )
    return Parts((*carried, *_put_out(job, placed, card, texts, size)), say, rest, around)


HYGIENE = {
    Moment.SET_UP: "Just before",
    Moment.DURING: "While they play",
    Moment.BETWEEN: "Between groups",
    Moment.PACK_AWAY: "Right after",
}
"""What a sheet calls each moment."""


def _around(job: Job, placed: Placed, size: float, in_full: bool) -> tuple[Block, ...]:
    """Hands, water and tables on a day of a placement; it names no child.

    What only has to be kept in mind stands on the page of the card as well, and is left out where
    half a page has no room for it.
    """
    children = children_at_once(placed, job.room)
    parts = around_play(placed.card, placed.center, job.plan.materials, children=children)
    shown = (part if in_full else part.hands_on for part in parts)
    return tuple(_hygiene(part, size) for part in shown if part.steps)


def _hygiene(part: Around, size: float) -> Block:
    """The steps of one moment as a paragraph, smaller than the rest, since they recur every day."""
    small = max(size - 1.5, SMALLEST)
    took = f", {minutes_words(part.minutes)}" if part.minutes else ""
    said = "; ".join(step.do[:1].lower() + step.do[1:] for step in part.steps)
    return Prose((bold(f"{HYGIENE[part.at]}{took}: "), f"{said}."), small, after=0.8)


def _added(placed: Placed, size: float) -> Iterator[Block]:
    if placed.is_missing:
        yield Prose(f"There is no card '{placed.placement.activity}' in this library.", size)
    if placed.placement.add:
        yield from _part("Put out", placed.placement.add, size)


def _part(title: str, text: str, size: float) -> tuple[Block, ...]:
    if not text:
        return ()
    return (_title(title, size), *prose(text, size, after=0.8), Gap(0.8))


def _title(title: str, size: float) -> Block:
    return Prose(bold(title), size + 1.5, after=0.2, keep=True)


def _adults(job: Job, placed: Placed, card: Card, cautions: str, size: float) -> Iterator[Block]:
    yield _title("Adults", size)
    yield Prose(f"{adult_words(job, placed)} {group_words(card)}".strip(), size, after=0.8)
    yield from prose(cautions, size, after=0.8)
    yield Gap(0.8)


def _put_out(
    job: Job, placed: Placed, card: Card, texts: dict[str, str], size: float
) -> Iterator[Block]:
    yield _title("Put out", size)
    if placed.placement.add:
        yield Prose(placed.placement.add, size, 0.4, "box")
    for portion in put_out(placed, job.room):
        yield Prose(_portion(portion), size, 0.4, "box")
    yield Gap(0.6)
    yield from prose(texts.get("set up", ""), size, after=0.8)
    for step in card.steps:
        if step.on is not When.AHEAD:
            when = "In the morning" if step.on is When.MORNING else "Each day"
            yield Prose((f"{when}, {minutes_words(step.minutes)}: ", step.do), size, 0.4, "dot")


def _portion(portion: Portion) -> tuple[Run, ...]:
    amount = amount_words(portion.quantity, portion.line.amount)
    fresh = "" if portion.line.refresh is Refresh.ONCE else f", new {portion.line.refresh.value}"
    return Run(portion.line.item), bold(f" {amount}"), Run(fresh)


def _table(job: Job) -> Table:
    rows = [
        (
            center_name(placed.center),
            title_of(placed),
            portion.line.item,
            amount_words(portion.quantity, portion.line.amount),
            portion.line.refresh.value,
        )
        for placed in _printed(job)
        if not stops_on(job.plan, placed)
        for portion in put_out(placed, job.room)
    ]
    return table("put-out", "center activity item amount new", rows)
