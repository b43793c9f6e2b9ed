"""JSON for everything the pages show of the library; only the check of a unit knows children."""

from __future__ import annotations

import datetime as dt

from flask import Blueprint, jsonify, request
from flask.typing import ResponseReturnValue

from library.cards.card import Card
from library.cards.parsing import plain_fields
from library.plan.checks import check_unit
from library.plan.unitplan import UnitPlan
from library.store.errors import NotFound, WrongUse
from library.units.parsing import plain_look_back, plain_placement
from library.units.theme import Theme
from library.units.unit import Unit
from server.asking import answer, read_asked, search_json, stock_of
from server.figures import read_whole
from server.openapi import openapi_document
from server.shelf import shelf
from server.supplypage import PARTS, rows_of, supply_page

bp = Blueprint("api", __name__, url_prefix="/api")
PAGE = 100
"""Activities listed at once, unless ``limit`` says otherwise."""


@bp.get("/openapi.json")
def openapi() -> ResponseReturnValue:
    """This description of the API."""
    return jsonify(openapi_document())


@bp.get("/search")
def search() -> ResponseReturnValue:
    """What ``lowshelf search --json`` prints, for the same question."""
    here = shelf()
    room = here.room()
    asked = read_asked(request.args, here.vocabulary(), room, dt.date.today())
    limit = read_whole(request.args, "limit", 20, most=1_000)
    result = answer(asked, here.index.view, limit=limit, stock=stock_of(room, here.rooms))
    return jsonify(search_json(asked, result))


@bp.get("/activities")
def activities() -> ResponseReturnValue:
    """Ids and titles of the cards, by id."""
    files = sorted(shelf().cards.files(), key=lambda file: file.id)
    offset = read_whole(request.args, "offset", 0, most=1_000_000)
    chosen = files[offset : offset + read_whole(request.args, "limit", PAGE, most=1_000)]
    cards = [card for file in chosen if (card := shelf().cards.card(file.id))]
    return jsonify(total=len(files), activities=[{"id": c.id, "title": c.title} for c in cards])


@bp.get("/activities/<card_id>")
def activity(card_id: str) -> ResponseReturnValue:
    """One card with its fields as they stand in its file."""
    return jsonify(card_json(shelf().cards.read(card_id).card))


@bp.get("/centers")
def centers() -> ResponseReturnValue:
    """The learning centers: key, title and other names."""
    return jsonify(
        centers=[
            {"key": c.key, "title": c.title, "also": c.also} for c in shelf().cards.centers()[0]
        ]
    )


@bp.get("/materials")
def materials() -> ResponseReturnValue:
    """Every material: name, other names, kind, size, allergens and hazards."""
    rows = [
        {
            "item": m.item,
            "also": m.also,
            "kind": m.kind.value,
            "loose": m.loose,
            "shape": m.shape,
            "allergens": m.allergens,
            "label_read": m.label_read,
            "hazards": m.hazards,
            "from": m.origin,
        }
        for m in shelf().materials()
    ]
    return jsonify(materials=rows)


@bp.get("/themes")
def themes() -> ResponseReturnValue:
    """Every theme with the ids of its units."""
    folder = shelf().units
    return jsonify(
        themes=[theme_json(theme, folder.unit_ids(theme.id)) for theme in folder.themes()]
    )


@bp.get("/themes/<theme_id>")
def theme(theme_id: str) -> ResponseReturnValue:
    """One theme."""
    folder = shelf().units
    return jsonify(theme_json(folder.read_theme(theme_id).theme, folder.unit_ids(theme_id)))


@bp.get("/units/<theme_id>/<name>")
def unit(theme_id: str, name: str) -> ResponseReturnValue:
    """One unit with its placements as they stand in its file."""
    return jsonify(unit_json(shelf().units.read(f"{theme_id}/{name}").unit))


@bp.get("/units/<theme_id>/<name>/check")
def unit_check(theme_id: str, name: str) -> ResponseReturnValue:
    """What ``lowshelf unit check --json`` prints for the current room.

    An allergen's finding names the children it concerns, so no browser keeps the answer.
    """
    plan = _plan(f"{theme_id}/{name}")
    answer = jsonify(check_unit(plan).as_json())
    answer.headers["Cache-Control"] = "no-store"
    return answer


@bp.get("/units/<theme_id>/<name>/supplies")
def unit_supplies(theme_id: str, name: str) -> ResponseReturnValue:
    """What ``lowshelf unit supplies --json`` prints for the current room."""
    return jsonify(_plan(f"{theme_id}/{name}").supplies.as_json())


@bp.get("/units/<theme_id>/<name>/prep")
def unit_prep(theme_id: str, name: str) -> ResponseReturnValue:
    """What ``lowshelf unit prep --json`` prints for the current room."""
    return jsonify(_plan(f"{theme_id}/{name}").prep.as_json())


@bp.get("/units/<theme_id>/<name>/supplies/<part>")
def unit_supply_list(theme_id: str, name: str, part: str) -> ResponseReturnValue:
    """The rows of one list of supplies, as its page and its files have them."""
    if part not in PARTS:
        raise NotFound(f"supplies have no list '{part[:60]}'; they have: {', '.join(PARTS)}")
    tables = rows_of(supply_page(f"{theme_id}/{name}", part))
    return jsonify(unit=f"{theme_id}/{name}", list=part, tables=[each.as_json() for each in tables])


def _plan(unit_id: str) -> UnitPlan:
    room = shelf().room()
    if room is None:
        raise WrongUse("no room is loaded, so there are no ages, days and stock to reckon with")
    return shelf().open_plan(unit_id, room, today=dt.date.today())


def card_json(card: Card) -> dict[str, object]:
    """A card for JSON."""
    return {"id": card.id, **plain_fields(card), "summary": card.summary, "body": card.body}


def theme_json(theme: Theme, unit_ids: list[str]) -> dict[str, object]:
    """A theme for JSON."""
    return {
        "id": theme.id,
        "title": theme.title,
        "seasons": theme.seasons,
        "words": [dict(word) for word in theme.words],
        "props": dict(theme.props),
        "books": [{"title": b.title, "author": b.author, "isbn": b.isbn} for b in theme.books],
        "units": unit_ids,
    }


def unit_json(unit: Unit) -> dict[str, object]:
    """A unit for JSON."""
    return {
        "id": unit.id,
        "title": unit.title,
        "starts": unit.starts.isoformat(),
        "weeks": unit.weeks,
        "cloned_from": unit.cloned_from,
        "placements": [_json_ready(plain_placement(p)) for p in unit.placements],
        "look_back": [plain_look_back(entry) for entry in unit.look_back],
        "problems": [problem.as_json() for problem in unit.problems],
    }


def _json_ready(row: dict[str, object]) -> dict[str, object]:
    days = row.get("days")
    return {**row, "days": [str(day) for day in days]} if isinstance(days, list) else row
