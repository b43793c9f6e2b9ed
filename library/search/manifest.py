"""What was read of each file: its size, time and hash, so that a start parses only what changed.

One JSON object a line, one line for each file; later lines replace earlier ones, so that a change
adds a line instead of writing all of them. A line that was cut short by a crash is passed over:
its file is then simply read again.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from library.store.problems import Problem


@dataclass(frozen=True, slots=True)
class Row:
    """One file as it was when it was read last."""

    file: str
    """Path within the library folder."""
    size: int
    modified_ns: int
    fingerprint: str
    id: str
    readable: bool
    """Whether a card could be made of it."""
    indexed: bool
    """Whether that card is in the index: it is, unless an earlier file has its id."""
    problems: tuple[Problem, ...] = ()
    """What was found wrong in it."""

    def is_of(self, size: int, modified_ns: int) -> bool:
        """Whether a file of this size and time is still the one that was read."""
        return (self.size, self.modified_ns) == (size, modified_ns)


class Manifest:
    """The rows of one index, in memory and on disk."""

    def __init__(self, path: Path) -> None:
        """Reads nothing yet."""
        self._path = path
        self._lines = 0
        self._by_id: dict[str, dict[str, None]] | None = None
        self.rows: dict[str, Row] = {}

    def load(self) -> None:
        """Reads the rows there are."""
        self.rows, self._lines, self._by_id = {}, 0, None
        if not self._path.exists():
            return
        with self._path.open(encoding="utf-8", errors="replace") as lines:
            for line in lines:
                self._lines += 1
                self._read(line)

    def _read(self, line: str) -> None:
        try:
            plain = json.loads(line)
            if plain.pop("gone", False):
                self.rows.pop(plain["file"], None)
                return
            problems = tuple(Problem(**problem) for problem in plain.pop("problems", ()))
            row = Row(**plain, problems=problems)
        except (ValueError, TypeError, KeyError, AttributeError):
            return
        self.rows[row.file] = row

    def note(self, rows: Iterable[Row], gone: Iterable[str] = ()) -> None:
        """Keeps new rows and forgets files that are gone."""
        lines = []
        for file in gone:
            self.rows.pop(file, None)  # its id still leads to it, and finds nothing there
            lines.append(json.dumps({"file": file, "gone": True}))
        for row in rows:
            self.rows[row.file] = row
            if self._by_id is not None:
                self._by_id.setdefault(row.id.casefold(), {})[row.file] = None
            lines.append(json.dumps(_plain(row), ensure_ascii=False))
        if self._lines + len(lines) > 2 * len(self.rows) + 1_000:
            self._write_all()
        elif lines:
            self._append(lines)

    def _append(self, lines: list[str]) -> None:
        with self._path.open("a+", encoding="utf-8") as file:
            whole = _ends_whole(self._path)
            file.write(("" if whole else "\n") + "\n".join(lines) + "\n")
            file.flush()
            os.fsync(file.fileno())
        self._lines += len(lines)

    def _write_all(self) -> None:
        temporary = self._path.with_suffix(".tmp")
        with temporary.open("w", encoding="utf-8") as file:
            for row in self.rows.values():
                file.write(json.dumps(_plain(row), ensure_ascii=False) + "\n")
            file.flush()
            os.fsync(file.fileno())
        temporary.replace(self._path)
        self._lines = len(self.rows)

    def problems(self) -> list[Problem]:
        """What was found wrong in all files, by file."""
        return [problem for file in sorted(self.rows) for problem in self.rows[file].problems]

    def with_id(self, card_id: str) -> Iterator[Row]:
        """The rows of all files of one id, also of another case."""
        if self._by_id is None:
            self._by_id = {}
            for row in self.rows.values():
                self._by_id.setdefault(row.id.casefold(), {})[row.file] = None
        files = self._by_id.get(card_id.casefold(), {})
        return (self.rows[file] for file in files if file in self.rows)


def _plain(row: Row) -> dict[str, Any]:
    plain = asdict(row)
    if not row.problems:
        del plain["problems"]
    return plain


def _ends_whole(path: Path) -> bool:
    """Whether a file is empty or its last line is complete."""
    with path.open("rb") as file:
        if file.seek(0, os.SEEK_END) == 0:
            return True
        file.seek(-1, os.SEEK_END)
        return file.read(1) == b"\n"
