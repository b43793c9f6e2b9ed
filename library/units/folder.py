"""The folder of themes: finds, reads and writes themes and units."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from library.store.atomic import create_file, fingerprint, remove_file, replace_file
from library.store.errors import Invalid, LibraryError, NotFound, WrongUse
from library.store.frontmatter import MAX_FILE_BYTES
from library.store.locks import one_writer
from library.store.paths import LibraryPaths, check_id, inside
from library.store.problems import Problem
from library.units.parsing import change_theme, parse_theme, parse_unit, write_theme
from library.units.theme import Theme
from library.units.unit import Placement, Unit, split_unit_id

THEME_FILE = "theme.md"
NOT_UNITS = {THEME_FILE, "readme.md"}
_BOM = b"\xef\xbb\xbf"


@dataclass(frozen=True, slots=True)
class ReadUnit:
    """A unit with the text and the fingerprint of the bytes it was read from."""

    unit: Unit
    text: str
    fingerprint: str


@dataclass(frozen=True, slots=True)
class ReadTheme:
    """A theme with the text and the fingerprint of the bytes it was read from."""

    theme: Theme
    text: str
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Use:
    """A place where a unit names a card."""

    unit: Unit
    placement: Placement


class UnitFolder:
    """Themes and units of one library. The files are the truth; what it read last it may remember."""

    def __init__(self, paths: LibraryPaths) -> None:
        """Looks at nothing yet.

        Args:
            paths: The library's places.
        """
        self._paths = paths
        self._remembered: dict[str, tuple[tuple[int, int, int], ReadUnit]] = {}

    def theme_ids(self) -> list[str]:
        """Folders that hold a theme or a unit, in order. Hidden ones do not count."""
        folder = self._paths.themes
        entries = sorted(folder.iterdir()) if folder.is_dir() else []
        return [
            entry.name
            for entry in entries
            if entry.is_dir() and not entry.name.startswith(".") and any(entry.glob("*.md"))
        ]

    def unit_ids(self, theme_id: str | None = None) -> list[str]:
        """``theme/unit`` of every unit file, in order; of one theme if it is named."""
        themes = self.theme_ids() if theme_id is None else [theme_id]
        return [f"{theme}/{path.stem}" for theme in themes for path in self._unit_files(theme)]

    def themes(self) -> list[Theme]:
        """Every theme; one that cannot be read is there with its problems."""
        return [self.read_theme(theme_id).theme for theme_id in self.theme_ids()]

    def read_theme(self, theme_id: str) -> ReadTheme:
        """Reads one theme. A folder of units without a theme file is a theme with a problem.

        Raises:
            NotFound: If there is no such folder.
        """
        path = inside(self._paths.themes, theme_id) / THEME_FILE
        file = f"themes/{theme_id}/{THEME_FILE}"
        if not path.parent.is_dir():
            raise NotFound(f"there is no theme '{theme_id[:60]}'; it may have been renamed")
        content, problem = _content(path, file)
        if problem:
            title = theme_id.replace("-", " ").capitalize()
            return ReadTheme(Theme(theme_id, title, problems=(problem,)), "", "")
        text = _text(content)
        return ReadTheme(parse_theme(text, theme_id), text, fingerprint(content))

    def read(self, unit_id: str) -> ReadUnit:
        """Reads one unit.

        Raises:
            WrongUse: If this is no name of a unit.
            NotFound: If there is no such file.
            Invalid: If no unit can be made of it; carries the problems.
        """
        theme_id, name = split_unit_id(unit_id)
        path = self._path(theme_id, name)
        unit_id = f"{theme_id}/{name}"
        try:
            status = path.stat()
        except OSError as error:
            raise NotFound(_no_unit(theme_id, name, self.unit_ids())) from error
        stamp = (status.st_mtime_ns, status.st_size, status.st_ino)
        remembered = self._remembered.get(unit_id)
        if remembered and remembered[0] == stamp:
            return remembered[1]
        content, problem = _content(path, f"themes/{theme_id}/{name}.md")
        if problem:
            raise Invalid([problem])
        parsed = parse_unit(_text(content), theme_id, name)
        if parsed.unit is None:
            raise Invalid(parsed.problems)
        found = ReadUnit(parsed.unit, _text(content), fingerprint(content))
        self._remembered[unit_id] = (stamp, found)
        return found

    def read_all(self, theme_id: str | None = None) -> tuple[list[Unit], list[Problem]]:
        """Reads every unit. Files without one are in the problems; none is dropped silently."""
        units: list[Unit] = []
        problems: list[Problem] = []
        for theme in self.theme_ids() if theme_id is None else [theme_id]:
            for path in self._unit_files(theme):
                try:
                    units.append(self.read(f"{theme}/{path.stem}").unit)
                except Invalid as error:
                    problems.extend(error.problems)
                except NotFound:  # taken away since the folder was listed
                    continue
                except WrongUse:
                    problems.append(_no_id(theme, path.name))
        return units, problems

    def exists(self, unit_id: str) -> bool:
        """Whether there is a file for a unit."""
        return self._path(*split_unit_id(unit_id)).is_file()

    def uses(self, card_id: str) -> list[Use]:
        """Every placement of a card, the latest unit first."""
        units = sorted(self.read_all()[0], key=lambda unit: unit.starts, reverse=True)
        return [
            Use(unit, placement)
            for unit in units
            for placement in unit.placements
            if card_id in (placement.activity, placement.instead)
        ]

    def create(self, unit_id: str, text: str) -> str:
        """Writes a new unit file and never overwrites one.

        Returns:
            The fingerprint of the new file.

        Raises:
            NameTaken: If a file of this name is there already.
        """
        theme_id, name = split_unit_id(unit_id)
        check_id(theme_id)
        check_id(name)
        with one_writer(self._paths.write_lock):
            return create_file(self._path(theme_id, name), text.encode())

    def save(self, unit_id: str, text: str, *, expected: str) -> str:
        """Writes the whole new text of a unit.

        Args:
            unit_id: ``theme/unit``.
            text: All of the new text.
            expected: Fingerprint of the file the change started from.

        Returns:
            The new fingerprint.

        Raises:
            StaleFile: If the file changed meanwhile.
        """
        path = self._path(*split_unit_id(unit_id))
        with one_writer(self._paths.write_lock):
            return replace_file(path, _bytes(path, text), expected=expected)

    def remove(self, unit_id: str, *, expected: str) -> None:
        """Removes a unit's file; the history keeps it.

        Raises:
            StaleFile: If the file changed meanwhile.
        """
        with one_writer(self._paths.write_lock):
            remove_file(self._path(*split_unit_id(unit_id)), expected=expected)

    def create_theme(self, theme: Theme) -> str:
        """Writes a new theme into a folder of its own.

        Raises:
            NameTaken: If the folder has a theme file already.
        """
        path = inside(self._paths.themes, check_id(theme.id)) / THEME_FILE
        with one_writer(self._paths.write_lock):
            return create_file(path, write_theme(theme).encode())

    def save_theme(self, theme: Theme, *, expected: str) -> str:
        """Writes a changed theme; lines of fields that did not change keep their bytes.

        Raises:
            StaleFile: If the file changed meanwhile.
        """
        path = inside(self._paths.themes, theme.id) / THEME_FILE
        with one_writer(self._paths.write_lock):
            changed = change_theme(self.read_theme(theme.id).text, theme)
            return replace_file(path, _bytes(path, changed), expected=expected)

    def rewrite_all(
        self, rewrite: Callable[[str], str], mentions: re.Pattern[str]
    ) -> list[tuple[Path, bytes]]:
        """Rewrites every unit file that mentions something: all of them, or none.

        The caller holds the write lock. If one file cannot be written, those written before it
        get their old bytes back.

        Args:
            rewrite: Old text → new text.
            mentions: What a file's text holds if it is to be rewritten.

        Returns:
            The files that changed, with the bytes they had.

        Raises:
            Invalid: If a file that mentions it cannot be read; nothing is written then.
        """
        paths = (path for theme in self.theme_ids() for path in self._unit_files(theme))
        planned = [plan for path in paths if (plan := self._rewritten(path, rewrite, mentions))]
        done: list[tuple[Path, bytes]] = []
        try:
            for path, content, new in planned:
                replace_file(path, new, expected=fingerprint(content))
                done.append((path, content))
        except (LibraryError, OSError):
            put_back(done)
            raise
        return done

    def _rewritten(
        self, path: Path, rewrite: Callable[[str], str], mentions: re.Pattern[str]
    ) -> tuple[Path, bytes, bytes] | None:
        """A file with its old and new bytes; None if nothing changes in it."""
        file = path.relative_to(self._paths.folder).as_posix()
        raw = path.read_bytes()
        if not mentions.search(raw.decode("utf-8", "replace")):
            return None
        content, problem = _content(path, file)
        if problem:
            raise Invalid([problem])
        try:
            text = rewrite(_text(content))
        except Invalid as error:
            raise Invalid([each.in_file(file) for each in error.problems]) from error
        new = _BOM * content.startswith(_BOM) + text.encode()
        return (path, content, new) if new != content else None

    def _path(self, theme_id: str, name: str) -> Path:
        return inside(self._paths.themes, theme_id, f"{name}.md")

    def _unit_files(self, theme_id: str) -> Iterator[Path]:
        folder = inside(self._paths.themes, theme_id)
        for path in sorted(folder.glob("*.md")) if folder.is_dir() else []:
            if path.name.lower() not in NOT_UNITS and not path.name.startswith("."):
                yield path


def put_back(files: list[tuple[Path, bytes]]) -> None:
    """Gives files the bytes they had."""
    for path, content in files:
        replace_file(path, content, expected=None)


def _no_id(theme_id: str, file_name: str) -> Problem:
    return Problem(
        f"themes/{theme_id}/{file_name}",
        0,
        "",
        "the names of the folder and the file are no ids",
        "rename them with a-z, 0-9 and hyphens",
    )


def _no_unit(theme_id: str, name: str, known: list[str]) -> str:
    beside = [unit_id for unit_id in known if unit_id.startswith(f"{theme_id}/")]
    there = f"this theme has: {', '.join(beside)}" if beside else "see the page of themes"
    return f"there is no unit '{theme_id}/{name}'; {there}"


def _content(path: Path, file: str) -> tuple[bytes, Problem | None]:
    """The bytes of a file; what cannot be read is a problem."""
    try:
        size = path.stat().st_size
        if size > MAX_FILE_BYTES:
            return b"", Problem(file, 0, "", f"the file has {size:,} bytes", "keep it shorter")
        content = path.read_bytes()
        content.decode("utf-8")
    except FileNotFoundError:
        return b"", Problem(file, 0, "", f"{path.name} is missing", "write one with a title")
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        return b"", Problem(file, line, "", "the file is not UTF-8", "save it again as UTF-8")
    except OSError as error:
        reason = error.strerror or "cannot be opened"
        return b"", Problem(
            file, 0, "", f"the file cannot be read ({reason})", "look at its rights"
        )
    return content, None


def _text(content: bytes) -> str:
    return content.decode("utf-8").removeprefix("\ufeff")


def _bytes(path: Path, text: str) -> bytes:
    """The text as bytes, with the byte order mark that the file had."""
    has_mark = path.is_file() and path.read_bytes().startswith(_BOM)
    return _BOM * has_mark + text.encode()
