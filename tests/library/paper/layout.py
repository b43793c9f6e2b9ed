"""What a laid-out sheet must keep to, looked at on its values."""

from __future__ import annotations

from collections.abc import Iterator

from library.paper.sheet import LEAST_MARGIN, Box, Figure, Item, Page, Panel, Rule, Sheet, Words


def box_of(item: Item) -> Box:
    """The rectangle that an item takes up, without the width of its pen."""
    if isinstance(item, Words | Panel | Figure):
        return item.box
    assert isinstance(item, Rule)
    left, top = min(item.x1, item.x2), min(item.y1, item.y2)
    return Box(left, top, abs(item.x2 - item.x1), abs(item.y2 - item.y1))


def faults(sheet: Sheet) -> Iterator[str]:
    """Everything that lies where it must not: nearer to the edge, out of its frame, over other words."""
    for number, page in enumerate(sheet.pages, start=1):
        for fault in page_faults(page):
            yield f"{sheet.name}, page {number}: {fault}"


def page_faults(page: Page) -> Iterator[str]:
    """The faults of one page."""
    printable = Box(0, 0, page.paper.width, page.paper.height).inset(LEAST_MARGIN)
    for item in page.items:
        if not printable.holds(box_of(item)):
            yield f"too near to the edge: {item}"
    for words in page.words:
        if not words.frame.holds(words.box):
            yield f"out of its frame: {words}"
    yield from overlaps(page.words)


def overlaps(words: tuple[Words, ...]) -> Iterator[str]:
    """Pairs of words that lie over one another, found along the height of the page."""
    ordered = sorted(words, key=lambda each: each.box.y)
    for number, upper in enumerate(ordered):
        for lower in ordered[number + 1 :]:
            if lower.box.y > upper.box.bottom:
                break
            if upper.box.meets(lower.box, slack=0.05):
                yield f"over one another: {upper.text!r} and {lower.text!r}"
