"""Writes a sheet as a PDF file: fonts embedded, title and language set, words in reading order."""

from __future__ import annotations

import io
from typing import Any

from library.paper.faces import FILES, MM_PER_POINT, NAMES, face, shown
from library.paper.sheet import Figure, Item, Page, Panel, Rule, Sheet, Words

PRODUCER = "Lowshelf"


def as_pdf(sheet: Sheet) -> bytes:
    """The sheet as a PDF file; the same sheet gives the same bytes."""
    from reportlab.pdfgen.canvas import Canvas

    for bold in FILES:
        face(bold)
    out = io.BytesIO()
    canvas = Canvas(out, lang=sheet.language, invariant=1, initialFontName=NAMES[False])
    canvas.setTitle(sheet.title)
    canvas.setAuthor(PRODUCER)
    canvas.setCreator(PRODUCER)
    canvas.setProducer(PRODUCER)
    canvas.setViewerPreference("DisplayDocTitle", "true")
    for page in sheet.pages:
        canvas.setPageSize((_points(page.paper.width), _points(page.paper.height)))
        _draw_page(canvas, page)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _points(mm: float) -> float:
    return mm / MM_PER_POINT


def _draw_page(canvas: Any, page: Page) -> None:
    canvas.translate(0, _points(page.paper.height))
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    for item in page.items:
        _draw(canvas, item)


def _draw(canvas: Any, item: Item) -> None:
    if isinstance(item, Words):
        canvas.setFillColor(item.color)
        canvas.setFont(NAMES[item.bold], item.size)
        canvas.drawString(_points(item.x), -_points(item.y), shown(item.text))
    elif isinstance(item, Rule):
        _pen(canvas, item.weight, item.color, item.dashes)
        ends = (item.x1, -item.y1, item.x2, -item.y2)
        canvas.line(*(_points(end) for end in ends))
    elif isinstance(item, Panel):
        _draw_panel(canvas, item)
    else:
        _draw_figure(canvas, item)


def _pen(canvas: Any, weight: float, color: str, dashes: tuple[float, ...]) -> None:
    canvas.setLineWidth(weight)
    canvas.setStrokeColor(color)
    canvas.setDash(list(dashes))


def _draw_panel(canvas: Any, panel: Panel) -> None:
    if panel.fill:
        canvas.setFillColor(panel.fill)
    if panel.weight:
        _pen(canvas, panel.weight, panel.color, panel.dashes)
    box = panel.box
    canvas.rect(
        _points(box.x),
        -_points(box.bottom),
        _points(box.width),
        _points(box.height),
        stroke=bool(panel.weight),
        fill=panel.fill is not None,
    )


def _draw_figure(canvas: Any, figure: Figure) -> None:
    _pen(canvas, figure.weight, figure.color, ())
    canvas.setFillColor(figure.color)
    path = canvas.beginPath()
    draw = {"move": path.moveTo, "line": path.lineTo, "curve": path.curveTo, "close": path.close}
    for name, numbers in figure.steps:
        signs = (1, -1)
        draw[name](*(signs[i % 2] * _points(n) for i, n in enumerate(numbers)))
    canvas.drawPath(path, stroke=not figure.filled, fill=figure.filled)
