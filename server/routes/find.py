"""Find: one box that reads plain English."""

from __future__ import annotations

from flask import Blueprint, render_template

from server.shelf import shelf

bp = Blueprint("find", __name__)


@bp.get("/")
def index() -> str:
    """Every activity, by title."""
    cards = sorted(shelf().cards.read_all()[0], key=lambda card: card.title)
    return render_template("find/all.html", cards=cards)
