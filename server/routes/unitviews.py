"""Other ways to look at a unit: its goals, local rules, one adult fewer, another theme."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.cards.card import Card
from library.frameworks.coverage import Coverage
from library.frameworks.folder import read_frameworks
from library.plan.fewer import TooMany, with_fewer_adults
from library.plan.reach import BESIDE_WATER
from library.plan.rulefolder import read_rule_sets
from library.plan.rules import hold_against
from library.plan.unitplan import UnitPlan
from library.room.times import read_date
from library.safety.checks import caution
from library.store.errors import WrongUse
from library.store.problems import Unreadable
from library.units.calendar import require_monday
from library.units.carrying import Carried, carried_unit, carry_over
from library.units.dressing import dress
from library.units.parsing import write_unit
from library.units.starting import propose_name, propose_start
from library.units.theme import Theme
from library.units.unit import Unit
from server.feweradults import Fewer, read_fewer
from server.security import keep_out_of_caches
from server.shelf import shelf
from server.unitpage import working_room

bp = Blueprint("unitviews", __name__, url_prefix="/units")
bp.after_request(keep_out_of_caches)


@dataclass(frozen=True, slots=True)
class AreaRows:
    """The goals of one area with their counts by week, gaps first."""

    title: str
    met: int
    rows: tuple[tuple[str, str, str, tuple[int, ...]], ...]
    """Code, title, what to say of the wording, and the counts."""
    by_week: tuple[int, ...]
    """How many of its goals at least one placement serves, week by week."""
    empty_weeks: tuple[int, ...]
    """Open weeks without any of them."""


@dataclass(frozen=True, slots=True)
class CoveragePage:
    """A framework against a unit."""

    name: str
    source: str
    weeks: int
    areas: tuple[AreaRows, ...]
    """Areas with empty weeks first."""
    unknown: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FewerPage:
    """A day with fewer adults."""

    asked: Fewer
    blocks: tuple[TooMany, ...]
    titles: dict[str, str]
    """Title of each card that could stand there instead, by id."""


@dataclass(frozen=True, slots=True)
class CarryLine:
    """One placement, and what is proposed for it."""

    row: int
    """Its row in the file."""
    carried: Carried
    picked: str
    """``keep``, ``out``, or the card that is ticked at first: none twice where that can be."""


@dataclass(frozen=True, slots=True)
class CarryPage:
    """Placements on their way to another theme."""

    plan: UnitPlan
    to: Theme
    starts: dt.date
    lines: tuple[CarryLine, ...]
    cards: dict[str, Card]
    """The cards that are named, in the other theme's dress, by id."""
    only: int | None = None
    """Row of the one placement that is meant."""


@bp.get("/<theme>/<name>/goals")
def coverage(theme: str, name: str) -> str:
    """Goals by week, gaps first."""
    plan = _plan(theme, name)
    pages = [coverage_page(each, plan.unit) for each in plan.coverages]
    problems = read_frameworks(shelf().paths)[1]
    return render_template("units/goals.html", unit=plan.unit, pages=pages, problems=problems)


@bp.get("/<theme>/<name>/local-rules")
def local_rules(theme: str, name: str) -> str:
    """What a local rule asks a plan to name, and what this one names."""
    plan = _plan(theme, name)
    rules, problems = read_rule_sets(shelf().paths)
    sets = [(each, hold_against(plan, each)) for each in rules]
    return render_template(
        "units/local_rules.html", unit=plan.unit, sets=sets, problems=problems, caution=caution()
    )


@bp.get("/<theme>/<name>/one-adult-fewer")
def fewer(theme: str, name: str) -> str:
    """What to close or swap on a day with fewer adults; the unit stays as it is."""
    plan = _plan(theme, name)
    asked = read_fewer(plan, request.args, dt.date.today())
    cards = shelf().cards.read_all()[0]
    blocks = with_fewer_adults(plan, asked.day, asked.adults, cards)
    titles = {card.id: dress(card, plan.theme).card.title for card in cards}
    page = FewerPage(asked, blocks, titles)
    return render_template("units/fewer.html", page=page, unit=plan.unit, beside_water=BESIDE_WATER)


@bp.get("/<theme>/<name>/carry-over")
def carry(theme: str, name: str) -> ResponseReturnValue:
    """Choose another theme, then what goes along."""
    plan = _plan(theme, name)
    if not request.args.get("to"):
        return _choose_theme(plan)
    to = shelf().units.read_theme(request.args["to"]).theme
    try:
        starts = _monday(request.args.get("starts") or _proposed(plan))
    except WrongUse as error:
        return _choose_theme(plan, str(error)), 422
    page = carry_page(plan, to, starts, request.args.get("only", type=int))
    return render_template("units/carry.html", page=page, unit=plan.unit)


@bp.post("/<theme>/<name>/carry-over")
def carry_on(theme: str, name: str) -> ResponseReturnValue:
    """Makes a unit of the other theme from what was chosen."""
    plan = _plan(theme, name)
    to = shelf().units.read_theme(request.form.get("to", "")).theme
    starts = _monday(request.form.get("starts", ""))
    chosen = {p.row: _chosen(p.row, p.activity) for p in plan.unit.placements}
    taken = [unit.name for unit in shelf().units.read_all(to.id)[0]]
    unit = carried_unit(plan.unit, chosen, to, propose_name(starts, taken), starts, plan.room)
    shelf().plans.create(unit.id, write_unit(unit), f"carried over from {plan.unit.id}")
    flash(f"{unit.title} is begun with {len(unit.placements)} placements of {plan.unit.title}.")
    return redirect(url_for("units.show", theme=unit.theme, name=unit.name), 303)


def coverage_page(coverage: Coverage, unit: Unit) -> CoveragePage:
    """A framework's goals by area, those with gaps first."""
    areas: dict[tuple[str, str], list[tuple[str, str, str, tuple[int, ...]]]] = {}
    for line in coverage.goals:
        goal = line.goal
        row = (goal.code, goal.title, goal.note, line.weeks)
        areas.setdefault((goal.area, goal.age), []).append(row)
    found = [
        AreaRows(
            f"{area}{f' ({series})' if series else ''}",
            sum(any(row[3]) for row in rows),
            tuple(sorted(rows, key=lambda row: any(row[3]))),
            tuple(sum(map(bool, week)) for week in zip(*(row[3] for row in rows), strict=True)),
            tuple(gap.week for gap in coverage.gaps if (gap.area, gap.series) == (area, series)),
        )
        for (area, series), rows in areas.items()
    ]
    found.sort(key=lambda each: (-len(each.empty_weeks), each.met))
    framework = coverage.framework
    return CoveragePage(
        framework.name, framework.source, unit.weeks, tuple(found), coverage.unknown
    )


def carry_page(plan: UnitPlan, to: Theme, starts: dt.date, only: int | None = None) -> CarryPage:
    """What of a unit goes along to another theme, and what could take the place of the rest.

    Args:
        plan: The unit.
        to: The other theme.
        starts: First day of the new unit.
        only: Row of the one placement that is meant; the others are left out at first.
    """
    cards = {card.id: card for card in shelf().cards.read_all()[0]}
    old = plan.theme or to
    lines = carry_over(plan.unit.placements, old, to, cards)
    rows = tuple(placement.row for placement in plan.unit.placements)
    named = {p.activity for p in plan.unit.placements} | {
        c for line in lines for c in line.proposals
    }
    shown = {card_id: cards[card_id] for card_id in named if card_id in cards}
    return CarryPage(
        plan,
        to,
        starts,
        tuple(_picked(rows, lines, only)),
        {card_id: dress(card, to).card for card_id, card in shown.items()},
        only,
    )


def _picked(
    rows: tuple[int, ...], lines: tuple[Carried, ...], only: int | None
) -> Iterator[CarryLine]:
    taken: set[str] = set()
    for row, line in zip(rows, lines, strict=True):
        if only is not None and row != only:
            yield CarryLine(row, line, "out")
            continue
        free = [each for each in line.proposals if each not in taken]
        picked = (free or list(line.proposals) or ["out" if line.tied_by else "keep"])[0]
        taken.add(picked)
        yield CarryLine(row, line, picked)


def _chosen(row: int, activity: str | None) -> str | None:
    said = request.form.get(f"take[{row}]", "")
    if said == "keep":
        return activity or ""
    return said if said and said != "out" else None


def _choose_theme(plan: UnitPlan, wrong: str = "") -> str:
    return render_template(
        "units/carry_to.html",
        plan=plan,
        unit=plan.unit,
        themes=[each for each in shelf().units.themes() if each.id != plan.unit.theme],
        chosen=request.args.get("to", ""),
        starts=request.args.get("starts") or _proposed(plan),
        only=request.args.get("only", type=int),
        wrong=wrong,
    )


def _proposed(plan: UnitPlan) -> str:
    units = shelf().units.read_all()[0]
    return propose_start(units, plan.room, dt.date.today()).isoformat()


def _monday(text: str) -> dt.date:
    try:
        starts = read_date(text)
    except Unreadable as error:
        raise WrongUse(str(error)) from error
    require_monday(starts)
    return starts


def _plan(theme: str, name: str) -> UnitPlan:
    room = working_room(shelf().room())
    return shelf().open_plan(f"{theme}/{name}", room, today=dt.date.today())
