"""Reads one mapping of a YAML text key by key, and keeps every problem on the way.

Room files, theme files and unit files are read with it, so that they speak alike about what they
found and what they expected. A value that cannot be read becomes a problem and its default
stands; nothing is guessed.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import TypeVar

from library.store.problems import Problem, Unreadable
from library.store.yamltext import Loaded, Path, Plain, path_name, plain_dict

T = TypeVar("T")
D = TypeVar("D")

YES_WORDS = frozenset({"yes", "true", "on", "y"})
NO_WORDS = frozenset({"no", "false", "off", "n"})


@dataclass(slots=True)
class Fields:
    """One mapping of a YAML text; ``problems`` is shared by every part of the same text."""

    loaded: Loaded
    values: dict[str, Plain]
    path: Path = ()
    problems: list[Problem] = field(default_factory=list)

    @classmethod
    def of(cls, loaded: Loaded) -> Fields:
        """The outermost mapping of a text, with the problems of its form already noted."""
        return cls(loaded, plain_dict(loaded.value), (), list(loaded.problems))

    def complain(self, key: str, problem: str, fix: str) -> None:
        """Notes a problem of one key (or of the whole mapping, if the key is empty)."""
        path = (*self.path, key) if key else self.path
        self.problems.append(Problem("", self.loaded.line(*path), path_name(path), problem, fix))

    def found(self, file: str) -> tuple[Problem, ...]:
        """Every problem so far as one of this file, in the order of its lines."""
        return tuple(p.in_file(file) for p in sorted(self.problems, key=lambda p: p.line))

    def require(self, key: str, example: str) -> bool:
        """Whether a key has a value; a problem if it has none."""
        if self.values.get(key) is not None:
            return True
        self.complain(key, f"'{key}' is missing", f"add '{key}: {example}'")
        return False

    def only(self, known: Iterable[str]) -> list[Problem]:
        """A problem for each key that is not known, with the nearest known one."""
        names = tuple(known)
        found = []
        for key in self.values:
            if key not in names:
                near = difflib.get_close_matches(key, names, n=1)
                fix = f"write '{near[0]}'" if near else f"use one of: {', '.join(names)}"
                path = (*self.path, key)
                found.append(
                    Problem(
                        "", self.loaded.line(*path), path_name(path), f"'{key}' is not known", fix
                    )
                )
        return found

    def near_misses(self, known: Iterable[str]) -> None:
        """Notes keys that look like a known one misspelt; any other unknown key may stand."""
        names = tuple(known)
        for key in self.values:
            if key in names or len(key) <= 3:
                continue
            near = difflib.get_close_matches(key.lower(), names, n=1, cutoff=0.8)
            if near:
                self.complain(key, f"'{key}' is not known", f"write '{near[0]}' if that is meant")

    def text(self, key: str, default: str = "") -> str:
        """The text of a key; a list or mapping there is a problem."""
        value = self.values.get(key)
        if isinstance(value, str):
            return value.strip()
        if value is not None:
            self.complain(key, "found a list or mapping; expected text", "write one line of text")
        return default

    def texts(self, key: str) -> tuple[str, ...]:
        """The texts of a list; one text counts as a list of one (CMD9)."""
        return tuple(text for _, text in self._entries(key))

    def read(self, key: str, reader: Callable[[str], T], default: D) -> T | D:
        """What a reader makes of a key's text; the default where there is none or it fails."""
        text = self.text(key)
        if not text:
            return default
        try:
            return reader(text)
        except Unreadable as error:
            self._note(error, (*self.path, key))
            return default

    def read_each(self, key: str, reader: Callable[[str], T]) -> tuple[T, ...]:
        """What a reader makes of each text of a list; those that fail become problems."""
        found = []
        for path, text in self._entries(key):
            try:
                found.append(reader(text))
            except Unreadable as error:
                self._note(error, path)
        return tuple(found)

    def mapping(self, key: str) -> dict[str, str]:
        """A mapping of texts; anything else in it is a problem."""
        value = self.values.get(key)
        if value is None:
            return {}
        if not isinstance(value, dict):
            self.complain(key, f"found {_kind(value)}; expected 'name: text'", "write {name: text}")
            return {}
        inner = Fields(self.loaded, value, (*self.path, key), self.problems)
        return {name: inner.text(name) for name in value}

    def rows(self, key: str) -> list[Fields]:
        """The mappings of a list; one mapping counts as a list of one."""
        value = self.values.get(key)
        if value is None:
            return []
        if isinstance(value, dict):
            return [Fields(self.loaded, value, (*self.path, key), self.problems)]
        if isinstance(value, str):
            self.complain(key, "found text; expected a list", "write '  - {…}' lines below the key")
            return []
        found = []
        for index, entry in enumerate(value):
            part = Fields(self.loaded, plain_dict(entry), (*self.path, key, index), self.problems)
            if isinstance(entry, dict):
                found.append(part)
            else:
                part.complain("", f"found {_kind(entry)}; expected {{key: value, …}}", "add braces")
        return found

    def rows_or_texts(self, key: str) -> list[Fields | str]:
        """A list in which each entry is a mapping or a text; one of either is a list of one."""
        value = self.values.get(key)
        found: list[Fields | str] = []
        for index, entry in enumerate(value if isinstance(value, list) else [value]):
            path = (*self.path, key, index) if isinstance(value, list) else (*self.path, key)
            if isinstance(entry, dict):
                found.append(Fields(self.loaded, entry, path, self.problems))
            elif isinstance(entry, str) and entry.strip():
                found.append(entry.strip())
            elif entry is not None:
                self._note(Unreadable(_kind(entry), "text or {key: value, …}"), path)
        return found

    @property
    def row(self) -> int:
        """The place of this mapping in its list, from 0; -1 where it stands in none."""
        last = self.path[-1] if self.path else -1
        return last if isinstance(last, int) else -1

    def _entries(self, key: str) -> list[tuple[Path, str]]:
        value = self.values.get(key)
        path = (*self.path, key)
        if isinstance(value, str):
            return [(path, value.strip())] if value.strip() else []
        if isinstance(value, dict):
            self.complain(key, "found a mapping; expected a list", "write [one, two]")
            return []
        found = []
        for index, entry in enumerate(value or ()):
            if isinstance(entry, str):
                found.append(((*path, index), entry.strip()))
            elif entry is not None:
                self._note(Unreadable(_kind(entry), "text", "write plain text"), (*path, index))
        return found

    def _note(self, error: Unreadable, path: Path) -> None:
        self.problems.append(error.at(path_name(path), self.loaded.line(*path)))


def read_flag(text: str) -> bool:
    """Reads yes or no, also as YAML's true and false (CMD9).

    Raises:
        Unreadable: For any other word.
    """
    plain = text.strip().casefold()
    if plain in YES_WORDS | NO_WORDS:
        return plain in YES_WORDS
    raise Unreadable(text, "yes or no")


def whole_number(low: int, high: int, what: str) -> Callable[[str], int]:
    """A reader of whole numbers between two limits, both included.

    Args:
        low: Least number.
        high: Greatest number.
        what: What is counted, in the plural.
    """

    def read(text: str) -> int:
        plain = text.strip()
        digits = plain.isascii() and plain.isdigit() and len(plain) < 10
        if not digits or not low <= int(plain) <= high:
            raise Unreadable(text, f"whole {what} from {low} to {high}")
        return int(plain)

    return read


def one_of(*words: str) -> Callable[[str], str]:
    """A reader of one word out of a closed set, in any case."""

    def read(text: str) -> str:
        plain = " ".join(text.casefold().split())
        if plain not in words:
            raise Unreadable(text, f"one of {', '.join(words)}")
        return plain

    return read


def _kind(value: Plain) -> str:
    if isinstance(value, list):
        return "a list"
    return "a mapping" if isinstance(value, dict) else "nothing" if value is None else "text"
