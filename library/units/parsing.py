"""Text ↔ theme and unit. Names everything it cannot read; the rest still counts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from library.cards.values import read_minutes, read_season
from library.room.times import read_date, read_weekdays, show_day
from library.store.fields import NO_WORDS, YES_WORDS, Fields, read_flag, whole_number
from library.store.frontmatter import change_fields, read_document, replace_body
from library.store.problems import Problem, Unreadable
from library.units.calendar import monday_of, week_of
from library.units.theme import Book, Song, Text, Theme
from library.units.unit import Again, LookBack, Placement, Unit

MAX_WEEKS = 52
FRIDAY = 4
THEME_FIELDS = ("title", "seasons", "words", "props", "books", "songs", "bin")
UNIT_FIELDS = ("title", "starts", "weeks", "cloned_from", "placements", "look_back")
PLACEMENT_FIELDS = (
    "center",
    "activity",
    "standing",
    "add",
    "weeks",
    "days",
    "on",
    "when",
    "props",
    "note",
    "instead",
)
LOOK_BACK_FIELDS = ("activity", "again", "took", "note")


@dataclass(frozen=True, slots=True)
class ParsedUnit:
    """What came of one file: a unit where one could be made, and every problem."""

    unit: Unit | None
    problems: tuple[Problem, ...]


@lru_cache(maxsize=64)
def parse_theme(text: str, theme_id: str) -> Theme:
    """Reads ``theme.md``; there is always a theme, with what is wrong in its ``problems``.

    The same text need not be read twice.

    Args:
        text: The file's text.
        theme_id: Name of the theme's folder.
    """
    document, problems = read_document(text)
    top = Fields(document.loaded, document.fields, (), problems)
    if document.fields:
        top.require("title", "Leaves and wind")
    top.near_misses(THEME_FIELDS)
    return Theme(
        id=theme_id,
        title=top.text("title") or theme_id.replace("-", " ").capitalize(),
        seasons=top.read_each("seasons", read_season),
        words=tuple(_words(top)),
        props=top.mapping("props"),
        books=tuple(_books(top)),
        songs=tuple(
            Song(row.text("title"), row.text("text"))
            for row in top.rows("songs")
            if row.require("title", "Rain on the roof")
        ),
        bin=top.text("bin"),
        body=document.body.strip("\n"),
        problems=top.found(f"themes/{theme_id}/theme.md"),
    )


@lru_cache(maxsize=256)
def parse_unit(text: str, theme_id: str, name: str) -> ParsedUnit:
    """Reads a unit file; the same text need not be read twice.

    Args:
        text: The file's text.
        theme_id: Name of the theme's folder.
        name: Stem of the file.

    Returns:
        The unit, unless its start or its number of weeks is missing or cannot be read, and every
        problem. Days and weeks outside the unit stay in the placements and count for nothing
        (CAL3); where both are named the days count (CAL4).
    """
    document, problems = read_document(text)
    top = Fields(document.loaded, document.fields, (), problems)
    frame = _frame(top, theme_id, name) if document.fields or not problems else None
    placements = tuple(_placements(top, frame))
    look_back = tuple(_look_back(top))
    found = top.found(f"themes/{theme_id}/{name}.md")
    if frame is None:
        return ParsedUnit(None, found)
    unit = replace(
        frame,
        placements=placements,
        look_back=look_back,
        body=document.body.strip("\n"),
        problems=found,
    )
    return ParsedUnit(unit, found)


def write_theme(theme: Theme) -> str:
    """A whole new file for a theme."""
    return change_theme("---\n---\n", theme)


def change_theme(text: str, theme: Theme) -> str:
    """The text with the values of a theme; lines of unchanged fields keep their bytes."""
    before = parse_theme(text, theme.id)
    present = read_document(text)[0].fields
    old = {key: value for key, value in _plain_theme(before).items() if key in present}
    new = _plain_theme(theme)
    changes: dict[str, object] = {
        key: new[key] or None
        for key in THEME_FIELDS
        if (new[key] or None) != (old.get(key) or None)
    }
    changed = change_fields(text, changes, THEME_FIELDS) if changes else text
    return changed if before.body == theme.body else replace_body(changed, f"\n{theme.body}\n")


def write_unit(unit: Unit) -> str:
    """A whole new file for a unit."""
    values: dict[str, object] = {
        "title": unit.title,
        "starts": unit.starts,
        "weeks": unit.weeks,
        "cloned_from": unit.cloned_from,
        "placements": [plain_placement(placement) for placement in unit.placements] or None,
        "look_back": [plain_look_back(entry) for entry in unit.look_back] or None,
    }
    text = change_fields("---\n---\n", values, UNIT_FIELDS)
    return replace_body(text, f"\n{unit.body}\n" if unit.body else "")


def plain_placement(placement: Placement) -> dict[str, object]:
    """A placement as it stands in a file; what is empty is left out."""
    values: dict[str, object] = {
        "center": placement.center,
        "activity": placement.activity,
        "standing": placement.standing,
        "add": placement.add,
        "weeks": list(placement.weeks),
        "days": list(placement.days),
        "on": list(placement.on),
        "when": list(placement.when),
        "props": dict(placement.props),
        "note": placement.note,
        "instead": placement.instead,
    }
    return {key: value for key, value in values.items() if value}


def plain_look_back(entry: LookBack) -> dict[str, object]:
    """A look-back as it stands in a file."""
    row: dict[str, object] = {"activity": entry.activity, "again": entry.again.value}
    if entry.took is not None:
        row["took"] = entry.took
    return {**row, "note": entry.note} if entry.note else row


def read_again(text: str) -> Again:
    """Reads yes, change or no, also as YAML's true and false (CLONE5).

    Raises:
        Unreadable: For any other word.
    """
    plain = text.strip().casefold()
    if plain in YES_WORDS:
        return Again.YES
    if plain in NO_WORDS:
        return Again.NO
    if plain == Again.CHANGE:
        return Again.CHANGE
    raise Unreadable(text, "yes, change or no")


def _frame(top: Fields, theme_id: str, name: str) -> Unit | None:
    """The unit without placements; a start that is no Monday is a problem and stays (CAL2)."""
    top.require("title", "Leaves and wind, fall 2025")
    top.require("starts", "2025-10-06")
    top.require("weeks", "2")
    top.near_misses(UNIT_FIELDS)
    starts = top.read("starts", read_date, None)
    weeks = top.read("weeks", whole_number(1, MAX_WEEKS, "weeks"), None)
    if starts and starts.weekday():
        monday = monday_of(starts).isoformat()
        top.complain(
            "starts",
            f"found {show_day(starts)}; expected a Monday",
            f"write {monday}, the Monday before",
        )
    if starts is None or weeks is None:
        return None
    cloned_from = top.text("cloned_from") or None
    return Unit(theme_id, name, top.text("title") or name, starts, weeks, cloned_from=cloned_from)


def _placements(top: Fields, frame: Unit | None) -> Iterator[Placement]:
    for row in top.rows("placements"):
        row.near_misses(PLACEMENT_FIELDS)
        standing = row.read("standing", read_flag, False)
        has_center = row.require("center", "water")
        if has_center and (standing or row.require("activity", "sponge-rain")):
            placement = _placement(row, standing)
            if frame:
                _check_days(row, placement, frame)
            yield placement


def _placement(row: Fields, standing: bool) -> Placement:
    weeks = row.read_each("weeks", whole_number(1, MAX_WEEKS, "weeks, counted"))
    days = row.read_each("days", read_date)
    if row.values.get("weeks") is not None and row.values.get("days") is not None:
        row.complain("weeks", "both weeks and days are named; the days count", "keep one of them")
        weeks = ()
    return Placement(
        center=row.text("center").lower(),
        activity=row.text("activity") or None,
        weeks=tuple(sorted(set(weeks))),
        days=tuple(sorted(set(days))),
        on=read_weekdays(row, "on"),
        standing=standing,
        add=row.text("add"),
        props=row.mapping("props"),
        note=row.text("note"),
        when=row.texts("when"),
        instead=row.text("instead") or None,
        row=max(row.row, 0),
    )


def _look_back(top: Fields) -> Iterator[LookBack]:
    for row in top.rows("look_back"):
        row.near_misses(LOOK_BACK_FIELDS)
        named, said = row.require("activity", "sponge-rain"), row.require("again", "yes")
        again = row.read("again", read_again, None)
        if named and said and again:
            yield LookBack(
                row.text("activity"), again, row.read("took", read_minutes, None), row.text("note")
            )


def _check_days(row: Fields, placement: Placement, frame: Unit) -> None:
    """Notes weeks and days that lie outside the unit, and weekends (CAL3)."""
    for week in placement.weeks:
        if week > frame.weeks:
            row.complain(
                "weeks",
                f"found week {week}; the unit has {frame.weeks}",
                f"name weeks from 1 to {frame.weeks}, or stretch the unit",
            )
    for day in placement.days:
        if week_of(frame, day) is None:
            row.complain("days", f"{show_day(day)} lies outside the unit", "name a day of it")
        elif day.weekday() > FRIDAY:
            row.complain("days", f"{show_day(day)} is a weekend", "name an open day")


def _words(top: Fields) -> Iterator[Text]:
    for entry in top.rows_or_texts("words"):
        if isinstance(entry, str):
            yield {"en": entry}
        elif entry.require("en", "leaf"):
            yield {language: entry.text(language) for language in entry.values}


def _books(top: Fields) -> Iterator[Book]:
    for entry in top.rows_or_texts("books"):
        if isinstance(entry, str):
            yield Book(entry)
        elif entry.require("title", "the title of the book"):
            yield Book(entry.text("title"), entry.text("author"), entry.text("isbn"))


def _plain_theme(theme: Theme) -> dict[str, object]:
    return {
        "title": theme.title,
        "seasons": list(theme.seasons),
        "words": [w["en"] if set(w) == {"en"} else dict(w) for w in theme.words],
        "props": dict(theme.props),
        "books": [_plain_book(book) for book in theme.books],
        "songs": [{"title": song.title, "text": song.text} for song in theme.songs],
        "bin": theme.bin,
    }


def _plain_book(book: Book) -> dict[str, str]:
    values = {"title": book.title, "author": book.author, "isbn": book.isbn}
    return {key: value for key, value in values.items() if value}
