"""``lowshelf unit check|supplies|prep|clone``."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import click

from library.materials.amounts import show_number
from library.store.errors import WrongUse
from library.store.problems import Unreadable
from server.commands.common import Places, group_of, say, with_places

if TYPE_CHECKING:
    from collections.abc import Iterable

    from library.units.findings import Finding


@group_of("unit")
def command() -> None:
    """Check, count, prepare or clone a unit."""


@command.command("check")
@click.argument("unit", metavar="THEME/UNIT")
@with_places
def check(places: Places, unit: str) -> int:
    """Holds a unit against the room: ages, cautions, coverage, closed days. Exit 1 at a stop."""
    from library.plan.checks import check_unit
    from library.plan.opening import open_plan

    plan = open_plan(places.paths, unit_id(unit), places.chosen_room(), today=dt.date.today())
    checked = check_unit(plan)
    lines = [*map(str, checked.problems), *finding_lines(checked.findings)]
    places.answer(checked.as_json(), lines)
    return int(checked.has_stop)


@command.command("clone")
@click.argument("unit", metavar="THEME/UNIT")
@click.option("--to", required=True, metavar="THEME/UNIT", help="Name of the new unit.")
@click.option("--starts", required=True, metavar="DATE", help="Its first day, a Monday.")
@with_places
def clone(places: Places, unit: str, to: str, starts: str) -> int:
    """Makes a new unit from an earlier one, with what was learned built in. Exit 1 at a stop."""
    from library.plan.cloning import look_at_clone, save_clone

    checked = look_at_clone(
        places.paths,
        unit_id(unit),
        to,
        _starts(starts),
        places.chosen_room(),
        today=dt.date.today(),
    )
    save_clone(places.paths, checked)
    made = checked.clone
    lines = [f"{made.unit.id} is written, with {len(made.unit.placements)} placements."]
    lines += [
        f"left out: {each.activity or each.center}: {each.note or each.why}"
        for each in made.left_out
    ]
    lines += [
        f"look at: {each.activity or each.center}: {each.note or each.why}" for each in made.changed
    ]
    lines += [
        f"moved: {each.activity or each.center}: {each.start} → {each.end or 'no open day that week'}"
        for each in made.moved
    ]
    places.answer(checked.as_json(), [*lines, *finding_lines(checked.check.findings)])
    return int(checked.has_stop)


@command.command("supplies")
@click.argument("unit", metavar="THEME/UNIT")
@with_places
def supplies(places: Places, unit: str) -> int:
    """What a unit needs, what is on hand, what to buy and by when. Exit 1 if a person is needed."""
    from library.plan.opening import open_plan

    found = open_plan(places.paths, unit_id(unit), places.chosen_room()).supplies
    if found.cannot_add:
        say("\n".join(map(str, found.cannot_add)))
    lines = [
        f"{line.item}: {line.need}, on hand {show_number(line.on_hand)}, buy {show_number(line.buy)}"
        f"{f', order by {line.order_by}' if line.order_by else ''}"
        for line in found.lines
    ]
    shown = [] if found.cannot_add else [*lines, f"known cost: {found.total_cost}"]
    places.answer(found.as_json(), [*shown, *map(str, found.problems)])
    return int(found.needs_a_person)


@command.command("prep")
@click.argument("unit", metavar="THEME/UNIT")
@with_places
def prep(places: Places, unit: str) -> int:
    """Puts the work ahead into prep windows, late and few. Exit 1 if something is late."""
    from library.plan.opening import open_plan

    answer = open_plan(places.paths, unit_id(unit), places.chosen_room()).prep.as_json()
    lines = [
        f"{session['date']} {session['window']} adult {session['adult']}: "
        + "; ".join(f"{task['do']} ({task['minutes']} min)" for task in session["tasks"])
        for session in answer["sessions"]
    ]
    lines += [
        f"late: {row['activity']}: {row['do']} ({row['minutes']} min)" for row in answer["late"]
    ]
    places.answer(answer, lines)
    return int(not answer["feasible"] or bool(answer["missing"]))


def unit_id(text: str) -> str:
    """``theme/unit`` in its usual form.

    Raises:
        WrongUse: If it is no such name.
    """
    from library.units.unit import split_unit_id

    return "/".join(split_unit_id(text))


def _starts(text: str) -> dt.date:
    from library.room.times import read_date

    try:
        return read_date(text)
    except Unreadable as error:
        raise WrongUse(f"--starts: {error}") from error


def finding_lines(findings: Iterable[Finding]) -> list[str]:
    """Findings for a person, what was looked at where there are none, and who decides."""
    from library.plan.checks import CHECKS
    from library.safety.checks import caution, nothing_found

    lines = [
        f"{each.level.value}: {each.center or 'unit'}{f' ({each.activity})' if each.activity else ''}: "
        f"{each.text} [{each.source}] {each.fix}"
        for each in findings
    ]
    return [*(lines or [nothing_found(CHECKS)]), caution()]
