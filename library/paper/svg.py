"""A page as a picture for the screen: the same words in the same places, in the screen's own font."""

from __future__ import annotations

from html import escape

from library.paper.faces import MM_PER_POINT
from library.paper.sheet import Figure, Item, Page, Panel, Rule, Words

_LETTERS = {"move": "M", "line": "L", "curve": "C", "close": "Z"}


def as_svg(page: Page, label: str) -> str:
    """The page as one ``<svg>`` element in millimetres, with no style of its own.

    Words keep the width that they have on paper, whatever font the screen has.

    Args:
        page: The page.
        label: What a screen reader calls the picture.
    """
    paper = page.paper
    parts = "".join(_drawn(item) for item in page.items)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{escape(label)}" '
        f'viewBox="0 0 {paper.width:g} {paper.height:g}" class="sheet">'
        f'<rect width="{paper.width:g}" height="{paper.height:g}" fill="#fff"/>{parts}</svg>'
    )


def _drawn(item: Item) -> str:
    if isinstance(item, Words):
        weight = ' font-weight="700"' if item.bold else ""
        return (
            f'<text x="{item.x:.2f}" y="{item.y:.2f}" font-size="{item.size * MM_PER_POINT:.3f}" '
            f'fill="{item.color}"{weight} textLength="{item.width:.2f}" '
            f'lengthAdjust="spacingAndGlyphs">{escape(item.text.rstrip())}</text>'
        )
    if isinstance(item, Rule):
        return (
            f'<line x1="{item.x1:.2f}" y1="{item.y1:.2f}" x2="{item.x2:.2f}" y2="{item.y2:.2f}"'
            f"{_stroke(item.weight, item.color, item.dashes)}/>"
        )
    if isinstance(item, Panel):
        box = item.box
        stroke = _stroke(item.weight, item.color, item.dashes) if item.weight else ""
        return (
            f'<rect x="{box.x:.2f}" y="{box.y:.2f}" width="{box.width:.2f}" '
            f'height="{box.height:.2f}" fill="{item.fill or "none"}"{stroke}/>'
        )
    return _figure(item)


def _figure(figure: Figure) -> str:
    path = " ".join(
        _LETTERS[name] + " ".join(f"{number:.2f}" for number in numbers)
        for name, numbers in figure.steps
    )
    if figure.filled:
        return f'<path d="{path}" fill="{figure.color}"/>'
    return (
        f'<path d="{path}" fill="none" stroke-linecap="round" stroke-linejoin="round"'
        f"{_stroke(figure.weight, figure.color, ())}/>"
    )


def _stroke(weight: float, color: str, dashes: tuple[float, ...]) -> str:
    dash = " ".join(f"{d * MM_PER_POINT:.2f}" for d in dashes)
    pattern = f' stroke-dasharray="{dash}"' if dash else ""
    return f' stroke="{color}" stroke-width="{weight * MM_PER_POINT:.3f}"{pattern}'
