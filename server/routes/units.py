"""Units: the plan of a theme, and everything that is done to it.

Findings may name children's allergens, so no answer here is kept by a browser.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.plan.grid import Grid, plan_grid
from library.plan.unitplan import UnitPlan
from library.store.errors import LibraryError, StaleFile, WrongUse
from library.units.comparing import compare_units
from library.units.folder import ReadUnit
from library.units.merging import merge_text
from library.units.parsing import parse_unit
from library.units.unit import Placement, Unit
from server.naming import ask_about, ask_about_choice, labels_named, named_children
from server.planning import Done, Overtaken
from server.security import keep_out_of_caches
from server.sentwords import in_sent_words
from server.shelf import shelf
from server.unitedits import At, edit_of, typed_texts
from server.unitmerging import Choice, choices_of, picks
from server.unitpage import (
    later_findings,
    unit_page,
    what_was_done,
    with_titles,
    working_room,
)

bp = Blueprint("units", __name__, url_prefix="/units")
bp.after_request(keep_out_of_caches)


@dataclass(frozen=True, slots=True)
class StalePage:
    """What someone sees who was overtaken: both versions side by side."""

    unit: Unit
    theirs: Grid
    mine: Grid | None
    changed: tuple[str, ...]
    """What the others changed, in words."""
    meant: tuple[str, ...]
    """What was meant, in words; empty where it is not known any more."""
    centers: tuple[str, ...]
    """Centers whose rows differ."""
    sent: tuple[str, ...]
    """What was sent, in words; empty where it is known what was meant."""
    again: tuple[tuple[str, str], ...]
    """What the same change sends, made on the plan as it is now."""
    url: str
    """Where it is sent; empty where it makes no sense on that plan."""
    choices: tuple[Choice, ...] = ()
    """What both versions say differently, piece by piece, where the change cannot be made again."""
    texts: tuple[str, str] = ("", "")
    """The plan that the change was made on, and that plan with it."""
    unchosen: bool = False


@bp.get("/<theme>/<name>")
def show(theme: str, name: str) -> ResponseReturnValue:
    """The plan of one unit; with ``open`` one placement to be changed."""
    row = request.args.get("open", type=int)
    page = unit_page(f"{theme}/{name}", row=row)
    if row is not None and (page.panel is None or request.args.get("at") != page.fingerprint[:12]):
        flash("The plan was changed meanwhile; this is how it is now.")
        return redirect(url_for("units.show", theme=theme, name=name), 303)
    return render_template("units/show.html", page=page, form=None)


@bp.get("/<theme>/<name>/later")
def later(theme: str, name: str) -> str:
    """The findings that the plan page does not wait for, to be put into it."""
    return render_template("units/_later.html", page=later_findings(f"{theme}/{name}"))


@bp.post("/<theme>/<name>/placements")
def place(theme: str, name: str) -> ResponseReturnValue:
    """Puts a card at a center, or lets a center stand, and leads back to the plan."""
    return _change(theme, name, request.form.get("do", "place"), row=-1)


@bp.post("/<theme>/<name>/placements/<int:row>")
def edit(theme: str, name: str, row: int) -> ResponseReturnValue:
    """Changes one placement: ``do`` says what, and the edits name their fields."""
    return _change(theme, name, request.form.get("do", "change"), row=row)


@bp.post("/<theme>/<name>/weeks")
def edit_weeks(theme: str, name: str) -> ResponseReturnValue:
    """Stretches a unit by a week, or ends it early."""
    return _change(theme, name, request.form.get("do", "stretch"), row=-1)


@bp.post("/<theme>/<name>/undo")
def undo(theme: str, name: str) -> ResponseReturnValue:
    """Takes the last change back."""
    try:
        done = shelf().plans.undo(f"{theme}/{name}", request.form.get("fingerprint", ""))
        page = unit_page(f"{theme}/{name}")
        flash(f"Taken back: {what_was_done(done, page.plan)}.")
    except StaleFile as error:
        flash(f"{str(error).capitalize()}.")
    return redirect(url_for("units.show", theme=theme, name=name), 303)


@bp.post("/<theme>/<name>/merge")
def merge(theme: str, name: str) -> ResponseReturnValue:
    """Saves the plan as it is now with what was chosen of the version that came second."""
    unit_id = f"{theme}/{name}"
    texts = tuple(request.form.get(key, "").replace("\r\n", "\n") for key in ("base", "mine"))
    base, mine = (parse_unit(text.lstrip("\n"), theme, name).unit for text in texts)
    if base is None or mine is None:
        raise WrongUse("what was meant is not known any more; look at the plan and change it again")
    read = shelf().plans.read(unit_id)
    error = Overtaken(read, base, mine, (texts[0], texts[1]))
    if read.fingerprint != request.form.get("fingerprint"):
        return render_template("units/stale.html", page=_stale_page(error, -1, merge=True)), 409

    def together(text: str) -> str:
        return merge_text(text, base, mine, read.unit, picks(base, mine, read.unit, request.form))

    try:
        if asked := labels_named(request.form, *_texts_before_and_after(read, together)):
            if "again" in request.form:
                page = _stale_page(error, -1, merge=True, picked=request.form)
                return render_template("units/stale.html", page=page), 422
            return ask_about_choice(asked, url_for("units.show", theme=theme, name=name))
        done = shelf().plans.change(unit_id, read.fingerprint, together)
    except WrongUse:
        page = replace(_stale_page(error, -1, merge=True, picked=request.form), unchosen=True)
        return render_template("units/stale.html", page=page), 422
    if done:
        flash(f"{_said(unit_id, done)}.")
    return redirect(url_for("units.show", theme=theme, name=name), 303)


def _texts_before_and_after(
    read: ReadUnit, together: Callable[[str], str]
) -> tuple[dict[str, str], list[str]]:
    """Free texts of the plan that a merge would make, and those of the plan as it is."""
    made = parse_unit(together(read.text), read.unit.theme, read.unit.name).unit
    texts = [text for each in (made.placements if made else ()) for text in _free_texts(each)]
    before = [text for each in read.unit.placements for text in _free_texts(each)]
    return {str(number): text for number, text in enumerate(texts)}, before


def _free_texts(placement: Placement) -> tuple[str, ...]:
    named = (placement.activity or "", placement.instead or "")
    return (placement.note, placement.add, *placement.props.values(), *placement.when, *named)


def _change(theme: str, name: str, do: str, *, row: int) -> ResponseReturnValue:
    """Does one edit; what it refuses is said on the plan, and nothing typed is lost."""
    unit_id, room = f"{theme}/{name}", working_room(shelf().room())
    plan_url = url_for("units.show", theme=theme, name=name)
    if asked := named_children(request.form, typed_texts(request.form), _texts_of(unit_id, row)):
        return ask_about(asked, plan_url)
    at = At(room, row)
    try:
        change = edit_of(do, request.form, at)
        done = shelf().plans.change(unit_id, request.form.get("fingerprint", ""), change)
    except Overtaken as error:
        return render_template("units/stale.html", page=_stale_page(error, row)), 409
    except LibraryError as error:
        if do == "change":
            page = unit_page(unit_id, row=row)
            return render_template(
                "units/show.html", page=page, form=request.form, wrong=str(error)
            ), 422
        flash(f"{str(error)[:1].upper()}{str(error)[1:]}.")
        return redirect(plan_url, 303)
    if done:
        flash(f"{_said(unit_id, done)}.")
    center = request.form.get("center") or _center_of(unit_id, row)
    return redirect(f"{plan_url}#at-{center}" if center else plan_url, 303)


def _texts_of(unit_id: str, row: int) -> tuple[str, ...]:
    """What a placement says already, and was asked about."""
    placements = shelf().units.read(unit_id).unit.placements
    old = next((placement for placement in placements if placement.row == row), None)
    return (old.note, old.add, *old.props.values()) if old else ()


def _said(unit_id: str, done: Done) -> str:
    said = what_was_done(done, _plan(unit_id))
    return said[:1].upper() + said[1:]


def _center_of(unit_id: str, row: int) -> str:
    unit = shelf().units.read(unit_id).unit
    return next((p.center for p in unit.placements if p.row == row), "")


def _stale_page(
    error: Overtaken, row: int, *, merge: bool = False, picked: Mapping[str, str] | None = None
) -> StalePage:
    """Both versions, and the same change made on the newer one where that is possible.

    Args:
        error: The three versions.
        row: The placement that was changed; -1: none.
        merge: Whether it is chosen piece by piece already.
        picked: What was chosen so far between these same versions; of others nothing counts.
    """
    theirs = error.theirs.unit
    moved = _row_now(error.base, theirs, row)
    sent = [(name, value) for name, value in request.form.items(multi=True)]
    again = [(name, value) for name, value in sent if name != "fingerprint"]
    url = request.path if row < 0 and not merge else ""
    if row >= 0 and moved is not None:
        url = url_for("units.edit", theme=theirs.theme, name=theirs.name, row=moved)
    plan = _plan(theirs)
    known = error.base and error.mine and not url
    mine_grid, theirs_grid = _grid(error.mine), plan_grid(theirs, plan.placed, plan.room)
    return StalePage(
        unit=theirs,
        theirs=theirs_grid,
        mine=mine_grid,
        changed=_differences(error.base, theirs, plan),
        meant=_differences(error.base, error.mine, plan),
        centers=_differing(theirs_grid, mine_grid),
        sent=() if error.mine else in_sent_words(request.form, _title_of),
        again=(*again, ("fingerprint", error.theirs.fingerprint)),
        url=url,
        choices=_choices(error, plan, picked or {}) if known else (),
        texts=error.texts,
    )


def _title_of(card_id: str) -> str:
    card = shelf().cards.card(card_id)
    return card.title if card else card_id


def _choices(error: Overtaken, plan: UnitPlan, picked: Mapping[str, str]) -> tuple[Choice, ...]:
    if error.base is None or error.mine is None:
        return ()
    versions = (error.base, error.mine)
    found = choices_of(error.base, error.mine, error.theirs.unit, picked)
    return tuple(
        replace(
            each,
            title=with_titles(each.title, plan, *versions),
            mine=with_titles(each.mine, plan, *versions),
            theirs=with_titles(each.theirs, plan, *versions),
        )
        for each in found
    )


def _row_now(base: Unit | None, theirs: Unit, row: int) -> int | None:
    """Where the placement of a row stands in a newer version; None if it is gone or changed."""
    old = next((p for p in base.placements if p.row == row), None) if base else None
    same: list[Placement] = [p for p in theirs.placements if p == old]
    return same[0].row if len(same) == 1 else None


def _grid(unit: Unit | None) -> Grid | None:
    if unit is None:
        return None
    plan = _plan(unit)
    return plan_grid(unit, plan.placed, plan.room)


def _differences(base: Unit | None, other: Unit | None, plan: UnitPlan) -> tuple[str, ...]:
    if base is None or other is None:
        return ()
    return tuple(with_titles(each, plan, base, other) for each in compare_units(base, other))


def _differing(theirs: Grid, mine: Grid | None) -> tuple[str, ...]:
    """Centers at which two versions show something else."""
    if mine is None:
        return tuple(row.center for row in theirs.rows)
    shown = [
        {
            row.center: [(cell.days, [p.placement for p in cell.placed]) for cell in row.cells]
            for row in grid.rows
        }
        for grid in (theirs, mine)
    ]
    names = dict.fromkeys([*shown[0], *shown[1]])
    return tuple(name for name in names if shown[0].get(name) != shown[1].get(name))


def _plan(unit: Unit | str) -> UnitPlan:
    return shelf().open_plan(unit, working_room(shelf().room()))
