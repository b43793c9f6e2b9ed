"""JSON of Review: what waits for a person in the whole library."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, jsonify
from flask.typing import ResponseReturnValue

from library.cards.card import Card
from server.reviewpage import review_page

bp = Blueprint("api_review", __name__, url_prefix="/api")


@bp.get("/review")
def review() -> ResponseReturnValue:
    """Drafts, files to mend, what to measure, cards alike, cards unused, pictures of no card."""
    page = review_page()
    drafts = [
        {**_named(each.card), "by": each.by, "comments": each.comments} for each in page.drafts
    ]
    alike = [
        {"one": _named(each.one), "other": _named(each.other), "why": each.why}
        for each in page.alike
    ]
    unused = [
        {**_named(each.card), "last": each.last.isoformat() if each.last else None}
        for each in page.unused
    ]
    return jsonify(
        drafts=drafts,
        problems=[problem.as_json() for problem in page.problems],
        unmeasured=[{"item": each.item, "measure": what} for each, what in page.unmeasured],
        alike=alike,
        unused=unused,
        pictures=list(page.pictures),
    )


def _named(card: Card) -> dict[str, Any]:
    return {"id": card.id, "title": card.title}
