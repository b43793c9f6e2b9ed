"""JSON of a plan: what it adds up to, its goals, local rules, and a day with one adult fewer."""

from __future__ import annotations

import datetime as dt
from dataclasses import asdict
from typing import Any

from flask import Blueprint, jsonify, request
from flask.typing import ResponseReturnValue

from library.frameworks.coverage import Coverage
from library.plan.fewer import TooMany, with_fewer_adults
from library.plan.rulefolder import read_rule_sets
from library.plan.rules import RuleSet, hold_against
from library.plan.totals import total
from library.plan.unitplan import UnitPlan
from library.room.room import counts_of
from server.feweradults import read_fewer
from server.security import keep_out_of_caches
from server.shelf import shelf
from server.unitpage import working_room

bp = Blueprint("api_plan", __name__, url_prefix="/api")
bp.after_request(keep_out_of_caches)


@bp.get("/room")
def room() -> ResponseReturnValue:
    """What ``lowshelf room show --json`` prints; it names no child. Without a room its name is empty."""
    return jsonify(counts_of(working_room(shelf().room())))


@bp.get("/units/<theme_id>/<name>/totals")
def totals(theme_id: str, name: str) -> ResponseReturnValue:
    """What the plan adds up to, as it stays in view while one plans."""
    plan = _plan(theme_id, name)
    found = total(plan, shelf().units.read_all()[0])
    rows = asdict(found)
    rows["prep"] = [{**asdict(week), "left": week.left} for week in found.prep]
    rows["adults"] = [{**asdict(each), "day": each.day.isoformat()} for each in found.adults]
    return jsonify(unit=plan.unit.id, **rows)


@bp.get("/units/<theme_id>/<name>/goals")
def goals(theme_id: str, name: str) -> ResponseReturnValue:
    """How many placements serve each goal in each week, and the areas that a week leaves out."""
    plan = _plan(theme_id, name)
    return jsonify(unit=plan.unit.id, frameworks=[_coverage(each) for each in plan.coverages])


@bp.get("/units/<theme_id>/<name>/local-rules")
def local_rules(theme_id: str, name: str) -> ResponseReturnValue:
    """What each rule asks a posted plan to name, and what this one names; never that one is kept."""
    plan = _plan(theme_id, name)
    sets = read_rule_sets(shelf().paths)[0]
    return jsonify(unit=plan.unit.id, rules=[_rules(plan, each) for each in sets])


@bp.get("/units/<theme_id>/<name>/one-adult-fewer")
def fewer(theme_id: str, name: str) -> ResponseReturnValue:
    """What to close or swap on a day with fewer adults; the unit stays as it is."""
    plan = _plan(theme_id, name)
    asked = read_fewer(plan, request.args, dt.date.today())
    found = with_fewer_adults(plan, asked.day, asked.adults, shelf().cards.read_all()[0])
    blocks = [_block(each) for each in found]
    return jsonify(unit=plan.unit.id, day=asked.day.isoformat(), adults=asked.adults, blocks=blocks)


def _coverage(coverage: Coverage) -> dict[str, Any]:
    lines = [
        {
            "code": line.goal.code,
            "title": line.goal.title,
            "area": line.goal.area,
            "series": line.goal.age,
            "wording": line.goal.status.value,
            "weeks": list(line.weeks),
        }
        for line in coverage.goals
    ]
    gaps = [asdict(gap) for gap in coverage.gaps]
    framework = coverage.framework
    return {"name": framework.name, "source": framework.source, "goals": lines, "gaps": gaps}


def _rules(plan: UnitPlan, rules: RuleSet) -> dict[str, Any]:
    lines = [
        {
            "asks": line.rule.asks,
            "source": line.rule.source,
            "confirmed": line.rule.confirmed,
            "on_plan": list(line.on_plan),
            "not_on_plan": list(line.not_on_plan),
            "stopped": list(line.stopped),
        }
        for line in hold_against(plan, rules)
    ]
    return {"title": rules.title, "source": rules.source, "lines": lines}


def _block(block: TooMany) -> dict[str, Any]:
    swaps = {placed.number: list(cards) for placed, cards in block.swaps}
    close = [
        {
            "center": placed.center,
            "activity": placed.placement.activity,
            "instead": swaps.get(placed.number, []),
        }
        for placed in block.close
    ]
    return {"block": block.block, "holds": block.holds, "close": close}


def _plan(theme_id: str, name: str) -> UnitPlan:
    here = working_room(shelf().room())
    return shelf().open_plan(f"{theme_id}/{name}", here, today=dt.date.today())
