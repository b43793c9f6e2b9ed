"""Review: what waits for a second pair of eyes, and files with problems."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, render_template

from library.cards.checking import check_card
from library.materials.material import Material
from library.safety.pieces import what_to_measure
from library.search.conditions import Conditions
from library.search.searching import Hit, search
from library.store.problems import Problem
from server.known import known_to_cards
from server.shelf import shelf

bp = Blueprint("review", __name__, url_prefix="/review")


@dataclass(frozen=True, slots=True)
class ReviewPage:
    """Everything that waits for a person."""

    drafts: tuple[Hit, ...]
    problems: tuple[Problem, ...]
    """In cards, materials, themes and units, file by file."""
    unmeasured: tuple[tuple[Material, str], ...]
    """Materials without a size where one is needed, and what to measure."""


@bp.get("")
def index() -> str:
    """What waits."""
    here = shelf()
    known, problems = known_to_cards(here.paths, here.cards)
    cards, unreadable = here.cards.read_all()
    problems += unreadable
    problems += [problem for card in cards for problem in check_card(card, known)]
    units, broken = here.units.read_all()
    problems += broken
    problems += [problem for theme in here.units.themes() for problem in theme.problems]
    problems += [problem for unit in units for problem in unit.problems]
    unmeasured = [(m, what) for m in here.materials() if (what := what_to_measure(m))]
    drafts = search(here.index.view, Conditions(status="draft"), limit=200).hits
    page = ReviewPage(drafts, tuple(problems), tuple(unmeasured))
    return render_template("review/index.html", page=page)
