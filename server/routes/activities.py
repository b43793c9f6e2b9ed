"""Activity cards: show one."""

from __future__ import annotations

from flask import Blueprint, render_template

from server.shelf import shelf

bp = Blueprint("activities", __name__, url_prefix="/activities")


@bp.get("/<card_id>")
def show(card_id: str) -> str:
    """The page of one card."""
    return render_template("activities/show.html", card=shelf().cards.read(card_id).card)
