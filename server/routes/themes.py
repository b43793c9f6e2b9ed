"""Themes: all of them, with their units."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, render_template

from library.cards.values import Season
from library.units.theme import Theme
from library.units.unit import Unit
from server.shelf import shelf

bp = Blueprint("themes", __name__, url_prefix="/themes")


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
    entries = [
        ThemeEntry(
            theme, tuple(sorted(_of(theme, units), key=lambda unit: unit.starts, reverse=True))
        )
        for theme in folder.themes()
    ]
    return render_template("themes/index.html", seasons=by_season(entries), problems=problems)


@bp.get("/<theme_id>")
def show(theme_id: str) -> str:
    """One theme: words, props, books, songs, and all its units."""
    folder = shelf().units
    units, problems = folder.read_all(theme_id)
    theme = folder.read_theme(theme_id).theme
    entry = ThemeEntry(theme, tuple(sorted(units, key=lambda unit: unit.starts, reverse=True)))
    return render_template("themes/show.html", entry=entry, problems=problems)


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


def _of(theme: Theme, units: list[Unit]) -> list[Unit]:
    return [unit for unit in units if unit.theme == theme.id]
