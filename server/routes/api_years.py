"""JSON for the years of a unit: what a clone would be, the years before, versions of files."""

from __future__ import annotations

from flask import Blueprint, jsonify, request
from flask.typing import ResponseReturnValue

from library.store.errors import WrongUse
from library.units.parsing import plain_look_back
from library.units.years import earlier_years
from server.cloneasking import read_ask
from server.clonepage import checked_clone
from server.security import keep_out_of_caches
from server.shelf import shelf
from server.versionspage import removed_files, versions_page

bp = Blueprint("api_years", __name__, url_prefix="/api")
bp.after_request(keep_out_of_caches)


@bp.get("/units/<theme_id>/<name>/clone")
def clone(theme_id: str, name: str) -> ResponseReturnValue:
    """What ``lowshelf unit clone --json`` would print; nothing is written."""
    read = shelf().units.read(f"{theme_id}/{name}")
    ask = read_ask(request.args, read.unit, read.fingerprint[:12])
    if ask.wrong:
        raise WrongUse(ask.wrong)
    return jsonify(checked_clone(ask).as_json())


@bp.get("/units/<theme_id>/<name>/years")
def years(theme_id: str, name: str) -> ResponseReturnValue:
    """The units that one goes back to, what was said of each, and what the next did otherwise."""
    unit = shelf().units.read(f"{theme_id}/{name}").unit
    found = earlier_years(unit, shelf().units.read_all()[0])
    rows = [
        {
            "unit": year.unit.id,
            "starts": year.unit.starts.isoformat(),
            "look_back": [plain_look_back(entry) for entry in year.unit.look_back],
            "changes": list(year.changes),
        }
        for year in found
    ]
    return jsonify(unit=unit.id, years=rows)


@bp.get("/versions")
def versions() -> ResponseReturnValue:
    """The versions of a file that is named, and the files that were removed."""
    file = request.args.get("file", "")
    whole = versions_page(file) if file else None
    rows = [
        {
            "id": each.id,
            "when": each.when.isoformat(),
            "by": each.by,
            "note": each.note,
            "changes": list(each.changes),
        }
        for each in (whole.versions if whole else ())
    ]
    gone = [{"file": each.file, "title": each.title, "last": each.last} for each in removed_files()]
    return jsonify(file=file, versions=rows, removed=gone)
