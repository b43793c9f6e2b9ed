"""A theme as a form: what was typed, and the theme it makes."""

from __future__ import annotations

import re
from collections.abc import Iterable

from werkzeug.datastructures import MultiDict

from library.cards.checking import PROP
from library.cards.values import Season
from library.store.problems import Problem
from library.store.yamltext import Plain
from library.units.theme import Book, Song, Theme
from server.forms import Filled, Rows, as_text, read_rows, read_text

_LANGUAGE = re.compile(r"[a-z]{2,3}(-[a-z]{2,4})?")
BOOKS = Rows("books", ("title", "author", "isbn"))
SONGS = Rows("songs", ("title", "text"))
PROPS = Rows("props", ("name", "word"))
TEXTS = ("title", "bin", "body")


def languages_of(theme: Theme | None, room: Iterable[str]) -> tuple[str, ...]:
    """Languages with a column of their own: those of the families, then those the words have."""
    used = [language for word in theme.words for language in word] if theme else []
    found = dict.fromkeys(each.lower() for each in (*room, *used))
    return tuple(each for each in found if each != "en" and _LANGUAGE.fullmatch(each))


def theme_values(theme: Theme) -> dict[str, Plain]:
    """What a theme holds, as one would type it."""
    return {
        "title": theme.title,
        "bin": theme.bin,
        "body": theme.body,
        "seasons": list(theme.seasons),
        "words": [dict(word) for word in theme.words],
        "props": [{"name": name, "word": word} for name, word in theme.props.items()],
        "books": [{"title": b.title, "author": b.author, "isbn": b.isbn} for b in theme.books],
        "songs": [{"title": song.title, "text": song.text} for song in theme.songs],
    }


def read_theme_form(form: MultiDict[str, str], languages: Iterable[str]) -> dict[str, Plain]:
    """What was typed into the form of a theme; line ends as files have them."""
    unix = MultiDict((name, text.replace("\r\n", "\n")) for name, text in form.items(multi=True))
    values: dict[str, Plain] = {key: read_text(unix, key) for key in TEXTS}
    values["body"] = unix.get("body", "").strip("\n")
    values["seasons"] = [each.value for each in Season if each.value in unix.getlist("seasons")]
    words = Rows("words", ("en", *languages))
    for rows in (words, PROPS, BOOKS, SONGS):
        values[rows.key] = list(read_rows(unix, rows))
    return values


def theme_of(values: dict[str, Plain], theme_id: str) -> Theme:
    """The theme that a form makes; what is half empty in it is in :func:`theme_problems`."""
    filled = Filled(values)

    def rows(key: str) -> list[dict[str, str]]:
        return [{k: as_text(v) for k, v in row.items()} for row in filled.rows(key, blank=0)]

    return Theme(
        id=theme_id,
        title=filled.text("title"),
        seasons=tuple(Season(each) for each in filled.several("seasons")),
        words=tuple(dict(row) for row in rows("words") if "en" in row),
        props={r["name"]: r["word"] for r in rows("props") if "name" in r and "word" in r},
        books=tuple(
            Book(row["title"], row.get("author", ""), row.get("isbn", ""))
            for row in rows("books")
            if "title" in row
        ),
        songs=tuple(Song(r["title"], r.get("text", "")) for r in rows("songs") if "title" in r),
        bin=filled.text("bin"),
        body=filled.text("body"),
    )


def theme_problems(values: dict[str, Plain]) -> list[Problem]:
    """Everything that is missing or cannot be a name."""
    filled = Filled(values)
    found = []
    if not filled.text("title"):
        found.append(_problem("title", "the theme has no name", "write one"))
    for key, needed, what in (
        ("words", "en", "the English word"),
        ("books", "title", "the title of the book"),
        ("songs", "title", "the title of the song"),
        ("props", "name", "the name of the prop, as cards write it"),
        ("props", "word", "what the prop is in this theme"),
    ):
        for number, row in enumerate(filled.rows(key, blank=0)):
            if not row.get(needed):
                found.append(
                    _problem(f"{key}[{number}].{needed}", f"{what} is missing", "write it")
                )
    for number, row in enumerate(filled.rows("props", blank=0)):
        name = as_text(row.get("name"))
        if name and not PROP.fullmatch("{{" + name + "}}"):
            found.append(
                _problem(
                    f"props[{number}].name",
                    f"found '{name[:40]}'; expected small letters, digits and hyphens",
                    "write the name as it stands between the double braces of a card",
                )
            )
    return found


def typed_texts(values: dict[str, Plain]) -> dict[str, str]:
    """Every text of the form, by the name of its field."""
    filled = Filled(values)
    found = {key: filled.text(key) for key in TEXTS}
    for key in ("words", "props", "books", "songs"):
        for number, row in enumerate(filled.rows(key, blank=0)):
            found |= {f"{key}[{number}].{name}": as_text(text) for name, text in row.items()}
    return found


def _problem(name: str, problem: str, fix: str) -> Problem:
    return Problem("", 0, name, problem, fix)
