"""A theme: how activities are dressed for a while."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from library.store.problems import Problem

Text = Mapping[str, str]
"""A text by language code; ``en`` is always there."""


@dataclass(frozen=True, slots=True)
class Book:
    """A picture book."""

    title: str
    author: str = ""
    isbn: str = ""


@dataclass(frozen=True, slots=True)
class Song:
    """A song or rhyme of the library's own or in the public domain."""

    title: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class Theme:
    """``themes/<id>/theme.md``."""

    id: str
    title: str
    seasons: tuple[str, ...] = ()
    words: tuple[Text, ...] = ()
    props: Mapping[str, str] = field(default_factory=dict)
    books: tuple[Book, ...] = ()
    songs: tuple[Song, ...] = ()
    bin: str = ""
    body: str = ""
    problems: tuple[Problem, ...] = ()
