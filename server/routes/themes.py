"""Themes: all of them with their units; a new one, a changed one, a new unit."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import dataclass, replace

from flask import Blueprint, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.cards.values import Season
from library.room.times import read_date
from library.store.errors import StaleFile, WrongUse
from library.store.paths import check_id, make_id
from library.store.problems import Problem, Unreadable
from library.store.yamltext import Plain
from library.units.calendar import require_monday
from library.units.cloning import title_for
from library.units.comparing import compare_themes
from library.units.dressing import props_used
from library.units.parsing import MAX_WEEKS, write_unit
from library.units.starting import propose_name, propose_start
from library.units.theme import Theme
from library.units.unit import Unit
from server.forms import Filled, without_row
from server.links import reachable_id
from server.naming import ask_about, named_children
from server.shelf import shelf
from server.themeforms import (
    languages_of,
    read_theme_form,
    theme_of,
    theme_problems,
    theme_values,
    typed_texts,
)
from server.unitpage import working_room
from server.visitors import who_saves

bp = Blueprint("themes", __name__, url_prefix="/themes")
USUAL_WEEKS = 2


@dataclass(frozen=True, slots=True)
class ThemeEntry:
    """A theme with its units, the latest first."""

    theme: Theme
    units: tuple[Unit, ...]


@dataclass(frozen=True, slots=True)
class SeasonEntry:
    """The themes of a season."""

    title: str
    themes: tuple[ThemeEntry, ...]


@bp.get("")
def index() -> str:
    """All themes by season."""
    folder = shelf().units
    units, problems = folder.read_all()
    themes = folder.themes()
    entries = [ThemeEntry(theme, _latest_first(units, theme.id)) for theme in themes]
    problems += [problem for theme in themes for problem in theme.problems]
    problems += [problem for unit in units for problem in unit.problems]
    return render_template("themes/index.html", seasons=by_season(entries), problems=problems)


@bp.get("/new")
def new() -> str:
    """An empty theme to fill."""
    return _form(None, Filled({}))


@bp.post("/new")
def create() -> ResponseReturnValue:
    """Writes a new theme into a folder of its own."""
    values = read_theme_form(request.form, languages_of(None, _room_languages()))
    if moved := _moved(values):
        return _form(None, Filled(moved, blank=request.form.get("add", ""), unsaved=True))
    problems = theme_problems(values)
    theme = theme_of(values, reachable_id(make_id(str(values["title"] or "theme")), "theme"))
    if not problems and theme.id in shelf().units.theme_ids():
        fix = f"change that one, or write another name; its folder is {theme.id}"
        problems.append(Problem("", 0, "title", "there is a theme of this name already", fix))
    if problems:
        return _form(None, Filled(values, tuple(problems))), 422
    if asked := named_children(request.form, typed_texts(values)):
        return ask_about(asked, url_for("themes.index"))
    shelf().units.create_theme(theme)
    shelf().history.record([f"themes/{theme.id}/theme.md"], f"{theme.id}: begun", who_saves())
    return redirect(url_for("themes.show", theme_id=theme.id), 303)


@bp.get("/<theme_id>")
def show(theme_id: str) -> str:
    """One theme: words, props, books, songs, and all its units."""
    return _theme_page(theme_id, {})


@bp.get("/<theme_id>/edit")
def edit(theme_id: str) -> str:
    """A theme to be changed."""
    read = shelf().units.read_theme(theme_id)
    marks = {"fingerprint": read.fingerprint}
    return _form(read.theme, Filled(theme_values(read.theme), marks=marks))


@bp.post("/<theme_id>/edit")
def update(theme_id: str) -> ResponseReturnValue:
    """Saves a changed theme; only the lines of what changed are written."""
    read = shelf().units.read_theme(theme_id)
    values = read_theme_form(request.form, languages_of(read.theme, _room_languages()))
    marks = {"fingerprint": request.form.get("fingerprint", "")}
    if moved := _moved(values):
        blank = request.form.get("add", "")
        return _form(read.theme, Filled(moved, blank=blank, unsaved=True, marks=marks))
    if problems := theme_problems(values):
        return _form(read.theme, Filled(values, tuple(problems), marks=marks)), 422
    before = typed_texts(theme_values(read.theme)).values()
    if asked := named_children(request.form, typed_texts(values), before):
        return ask_about(asked, url_for("themes.show", theme_id=theme_id))
    theme = replace(theme_of(values, theme_id), problems=read.theme.problems)
    try:
        shelf().units.save_theme(theme, expected=marks["fingerprint"])
    except StaleFile:
        form = Filled(values, marks={"fingerprint": read.fingerprint})
        return _form(read.theme, form, changed=compare_themes(theme, read.theme)), 409
    note = "; ".join(compare_themes(read.theme, theme)) or "looked at"
    shelf().history.record([f"themes/{theme_id}/theme.md"], f"{theme_id}: {note}", who_saves())
    return redirect(url_for("themes.show", theme_id=theme_id), 303)


@bp.post("/<theme_id>/units")
def begin_unit(theme_id: str) -> ResponseReturnValue:
    """Begins an empty unit of a theme and leads to its plan."""
    theme = shelf().units.read_theme(theme_id).theme
    typed = {key: request.form.get(key, "").strip() for key in ("starts", "weeks", "title")}
    wrong: dict[str, str] = {}
    starts = _start(typed["starts"], wrong)
    weeks = request.form.get("weeks", 0, type=int)
    if not 1 <= weeks <= MAX_WEEKS:
        wrong["weeks"] = f"write a number of weeks from 1 to {MAX_WEEKS}"
    if wrong or starts is None:
        return _theme_page(theme_id, typed, wrong), 422
    if asked := named_children(request.form, {"title": typed["title"]}):
        return ask_about(asked, url_for("themes.show", theme_id=theme_id))
    taken = [unit_id.split("/")[1] for unit_id in shelf().units.unit_ids(theme_id)]
    name = propose_name(starts, taken)
    title = typed["title"] or title_for(theme, name)
    unit = Unit(check_id(theme_id), name, title, starts, weeks)
    shelf().plans.create(unit.id, write_unit(unit), "begun")
    return redirect(url_for("units.show", theme=theme_id, name=name), 303)


def by_season(entries: list[ThemeEntry]) -> tuple[SeasonEntry, ...]:
    """Entries by season, a theme of several seasons in its first; those of none come last."""
    titles = [
        *(season.value for season in (Season.FALL, Season.WINTER, Season.SPRING, Season.SUMMER)),
        "",
    ]
    groups = [
        SeasonEntry(
            title.capitalize() or "Any season",
            tuple(e for e in entries if (e.theme.seasons[0] if e.theme.seasons else "") == title),
        )
        for title in titles
    ]
    return tuple(group for group in groups if group.themes)


def _theme_page(theme_id: str, typed: dict[str, str], wrong: dict[str, str] | None = None) -> str:
    folder = shelf().units
    units, problems = folder.read_all()
    theme = folder.read_theme(theme_id).theme
    room = working_room(shelf().room())
    usual = {
        "starts": propose_start(units, room, dt.date.today()).isoformat(),
        "weeks": str(USUAL_WEEKS),
        "title": "",
    }
    mine = [each for each in problems if each.file.startswith(f"themes/{theme_id}/")]
    mine += [p for unit in units if unit.theme == theme_id for p in unit.problems]
    return render_template(
        "themes/show.html",
        entry=ThemeEntry(theme, _latest_first(units, theme_id)),
        problems=mine,
        typed={**usual, **typed},
        wrong=wrong or {},
    )


def _latest_first(units: list[Unit], theme_id: str) -> tuple[Unit, ...]:
    mine = (unit for unit in units if unit.theme == theme_id)
    return tuple(sorted(mine, key=lambda unit: unit.starts, reverse=True))


def _form(theme: Theme | None, form: Filled, *, changed: tuple[str, ...] = ()) -> str:
    return render_template(
        "themes/form.html",
        theme=theme,
        form=form,
        changed=changed,
        languages=languages_of(theme, _room_languages()),
        seasons=[season.value for season in Season],
        props=_props_in_use(),
    )


def _props_in_use() -> list[tuple[str, int]]:
    """The props that cards use, the most used first, with how many cards use each."""
    cards = shelf().cards.read_all()[0]
    return Counter(name for card in cards for name in props_used(card)).most_common()


def _room_languages() -> tuple[str, ...]:
    room = shelf().room()
    return room.languages if room else ()


def _moved(values: dict[str, Plain]) -> dict[str, Plain] | None:
    """The values after a button that only adds or drops a row; None for a real save."""
    if "add" in request.form:
        return values
    return without_row(values, request.form["drop"]) if "drop" in request.form else None


def _start(text: str, wrong: dict[str, str]) -> dt.date | None:
    try:
        starts = read_date(text)
        require_monday(starts)
    except (Unreadable, WrongUse) as error:
        wrong["starts"] = str(error)
        return None
    return starts
