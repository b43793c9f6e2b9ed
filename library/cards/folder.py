"""The folder of activities: finds, reads and writes cards, and the YAML beside them."""

from __future__ import annotations

import os
import posixpath
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from operator import attrgetter
from pathlib import Path

from library.cards.card import Card
from library.cards.centers import Center, read_centers
from library.cards.parsing import Parsed, change_card, parse_card, write_card
from library.materials.adding import NewMaterial, add_materials
from library.materials.allergen_lists import reads_eu
from library.materials.material import MaterialBook
from library.materials.measuring import FILE, Measured, write_label, write_measure
from library.materials.parsing import parse_materials
from library.store.atomic import create_file, fingerprint, remove_file, replace_file
from library.store.errors import Invalid, NameTaken, NotFound
from library.store.frontmatter import MAX_FILE_BYTES
from library.store.locks import one_writer
from library.store.paths import LibraryPaths, check_id, inside
from library.store.problems import Problem

NOT_CARDS = {"readme.md"}


@dataclass(frozen=True, slots=True)
class CardFile:
    """A file that holds a card, as the folder lists it."""

    location: str
    """Where it lies on the disk; a text, for a large library has many of them."""
    file: str
    """Path within the library folder, with forward slashes."""
    id: str
    """The card's id: the file's stem."""
    size: int
    modified_ns: int

    @property
    def path(self) -> Path:
        """Where it lies on the disk."""
        return Path(self.location)


@dataclass(frozen=True, slots=True)
class ReadCard:
    """A card with the fingerprint of the bytes it was read from."""

    card: Card
    text: str
    fingerprint: str


class CardFolder:
    """Cards of one library. Holds no cards; what it read last of each file it may remember."""

    def __init__(self, paths: LibraryPaths) -> None:
        """Looks at nothing yet.

        Args:
            paths: The library's places.
        """
        self._paths = paths
        self._remembered: dict[str, tuple[int, int, ReadCard]] = {}
        self._files: dict[str, CardFile] = {}

    def files(self) -> list[CardFile]:
        """Every card file, ordered by path. Hidden files and folders do not count."""
        folder = self._paths.activities
        within = folder.relative_to(self._paths.folder).as_posix()
        return sorted(_walk(str(folder), within), key=attrgetter("file"))

    def find(self, card_id: str) -> CardFile:
        """The file of a card; of two files with one id, the first by path.

        Raises:
            NotFound: If there is none.
        """
        known = self._files.get(card_id)
        if known is None or not known.path.exists():
            self._files = {file.id: file for file in reversed(self.files())}
            known = self._files.get(card_id)
        if known is None:
            raise NotFound(_no_card(card_id))
        return known

    def exists(self, card_id: str) -> bool:
        """Whether there is a file for a card."""
        try:
            self.find(card_id)
        except NotFound:
            return False
        return True

    def read(self, card_id: str) -> ReadCard:
        """Reads one card.

        Raises:
            NotFound: If there is no such file.
            Invalid: If no card can be made of it; carries the problems.
        """
        file = self.find(card_id)
        try:
            status = file.path.stat()
        except FileNotFoundError as error:  # taken away since it was found
            raise NotFound(_no_card(card_id)) from error
        stamp = (status.st_mtime_ns, status.st_size)
        remembered = self._remembered.get(file.file)
        if remembered and remembered[:2] == stamp:
            return remembered[2]
        content, parsed = read_card_file(file)
        if parsed.card is None:
            raise Invalid(parsed.problems)
        found = ReadCard(parsed.card, _decoded(content), fingerprint(content))
        if len(self._remembered) > 2_000:
            self._remembered.clear()
        self._remembered[file.file] = (*stamp, found)
        return found

    def card(self, card_id: str) -> Card | None:
        """The card, or None where it is missing or cannot be read."""
        try:
            return self.read(card_id).card
        except (NotFound, Invalid):
            return None

    def read_all(self) -> tuple[list[Card], list[Problem]]:
        """Reads every card. Files without a card are in the problems; none is dropped silently."""
        cards: list[Card] = []
        problems: list[Problem] = []
        files = self.files()
        for file in files:
            parsed = read_card_file(file)[1]
            if parsed.card is None:
                problems.extend(parsed.problems)
            else:
                cards.append(parsed.card)
        problems.extend(_name_problems(files))
        return cards, problems

    def name_problems(self) -> list[Problem]:
        """Files whose ids are the same, or would be on a disk that ignores case."""
        return list(_name_problems(self.files()))

    def create(self, card: Card) -> Card:
        """Writes a new card into the folder of its usual center.

        Raises:
            NameTaken: If a file of this id is there already, wherever it stands.
            UnsafePath: If the id cannot be a file name.
        """
        check_id(card.id)
        folder = inside(self._paths.activities, check_id(card.centers[0]))
        with one_writer(self._paths.write_lock):
            if self.exists(card.id):
                raise NameTaken(f"there is a card '{card.id}' already; choose another title")
            path = folder / f"{card.id}.md"
            create_file(path, write_card(card).encode())
        return replace(card, file=posixpath.join("activities", card.centers[0], f"{card.id}.md"))

    def update(self, card: Card, *, expected: str) -> str:
        """Writes a changed card; lines of fields that did not change keep their bytes.

        Args:
            card: The new values under the same id.
            expected: Fingerprint of the file the change started from.

        Returns:
            The new fingerprint.

        Raises:
            NotFound: If the file is gone.
            StaleFile: If it changed meanwhile.
        """
        path = self.find(card.id).path
        with one_writer(self._paths.write_lock):
            try:
                content = path.read_bytes()
            except FileNotFoundError as error:
                raise NotFound(_no_card(card.id)) from error
            bom = content.startswith(b"\xef\xbb\xbf")
            changed = change_card(_decoded(content), card).encode()
            return replace_file(path, b"\xef\xbb\xbf" * bom + changed, expected=expected)

    def replace_text(self, card_id: str, text: str, *, expected: str) -> str:
        """Writes the whole text of a card, as the plain-file view does."""
        with one_writer(self._paths.write_lock):
            return replace_file(self.find(card_id).path, text.encode(), expected=expected)

    def remove(self, card_id: str, *, expected: str) -> None:
        """Removes a card's file; the history keeps it.

        Raises:
            StaleFile: If the file changed meanwhile.
        """
        with one_writer(self._paths.write_lock):
            remove_file(self.find(card_id).path, expected=expected)

    def materials(self) -> tuple[MaterialBook, tuple[Problem, ...]]:
        """The library's materials with the lists of allergens it reads, and what is wrong there."""
        lists, unread = self._text("allergens.yaml")
        eu, wrong = reads_eu(lists)
        text, damaged = self._text("materials.yaml")
        book, problems = parse_materials(text, eu=eu)
        return book, (*damaged, *problems, *unread, *wrong)

    def add_materials(self, new: Sequence[NewMaterial]) -> bool:
        """Adds entries at the end of ``materials.yaml``; every other byte of it stays.

        Returns:
            Whether the file changed; materials that are known by now are not added again.

        Raises:
            Invalid: If an entry cannot be read, or the file cannot be continued.
        """
        path = self._paths.activities / "materials.yaml"
        with one_writer(self._paths.write_lock):
            before = path.read_bytes() if path.is_file() else None
            text = _exactly(before or b"", FILE)
            changed = add_materials(text, new)
            if changed == text:
                return False
            if before is None:
                create_file(path, changed.encode())
            else:
                replace_file(path, changed.encode(), expected=fingerprint(before))
        return True

    def materials_fingerprint(self) -> str:
        """The fingerprint of the file of materials; empty where there is none."""
        path = self._paths.activities / "materials.yaml"
        return fingerprint(path.read_bytes()) if path.is_file() else ""

    def measure(self, item: str, measured: Measured, *, expected: str) -> None:
        """Writes down what was measured of a material; one that is new to the file is added.

        Raises:
            StaleFile: If the file changed meanwhile.
            Invalid: If the entry cannot be changed without touching others, or the file is not UTF-8.
        """
        self._change_materials(lambda text: write_measure(text, item, measured), expected)

    def state_label(self, item: str, allergens: Sequence[str] | None, *, expected: str) -> None:
        """Writes down what the label of a material names; None: nobody has read it.

        Raises:
            StaleFile: If the file changed meanwhile.
            Invalid: If the entry cannot be changed without touching others, or the file is not UTF-8.
        """
        self._change_materials(lambda text: write_label(text, item, allergens), expected)

    def _change_materials(self, change: Callable[[str], str], expected: str) -> None:
        path = self._paths.activities / "materials.yaml"
        with one_writer(self._paths.write_lock):
            before = path.read_bytes() if path.is_file() else b""
            changed = change(_exactly(before, FILE)).encode()
            if path.is_file():
                replace_file(path, changed, expected=expected)
            else:
                create_file(path, changed)

    def centers(self) -> tuple[tuple[Center, ...], tuple[Problem, ...]]:
        """The fifteen centers and those the library adds, and what is wrong with the file of these."""
        text, unread = self._text("centers.yaml")
        centers, problems = read_centers(text)
        return centers, (*unread, *problems)

    def _text(self, name: str) -> tuple[str, tuple[Problem, ...]]:
        """The text of a file beside the cards, and where it is not UTF-8; the rest of it still counts."""
        path = self._paths.activities / name
        content = path.read_bytes() if path.is_file() else b""
        try:
            _exactly(content, f"activities/{name}")
        except Invalid as error:
            return _decoded(content), error.problems
        return _decoded(content), ()


def read_card_file(file: CardFile) -> tuple[bytes, Parsed]:
    """Bytes and card of a file; what cannot be read is a problem, never an exception."""
    if file.size > MAX_FILE_BYTES:
        problem = Problem(
            file.file,
            0,
            "",
            f"the file has {file.size / 1e6:.1f} MB; a card may have {MAX_FILE_BYTES / 1e6:.0f} MB",
            "keep pictures in files of their own beside the card",
        )
        return b"", Parsed(None, (problem,))
    try:
        content = file.path.read_bytes()
        return content, parse_card(_exactly(content, file.file), file.file)
    except Invalid as error:
        return b"", Parsed(None, error.problems)
    except OSError as error:
        reason = error.strerror or "cannot be opened"
        problem = Problem(
            file.file, 0, "", f"the file cannot be read ({reason})", "check its permissions"
        )
        return b"", Parsed(None, (problem,))


def _no_card(card_id: str) -> str:
    return f"there is no card '{card_id[:60]}'; it may have been renamed or removed"


def _walk(folder: str, within: str) -> Iterator[CardFile]:
    """The card files below a folder.

    Args:
        folder: Where it lies on the disk.
        within: The same within the library folder, with forward slashes.
    """
    try:
        entries = list(os.scandir(folder))
    except OSError:
        return
    for entry in entries:
        name = entry.name
        if name.startswith("."):
            continue
        file = f"{within}/{name}"
        if entry.is_dir(follow_symlinks=False):
            yield from _walk(entry.path, file)
        elif name.endswith(".md") and name.lower() not in NOT_CARDS and entry.is_file():
            try:
                status = entry.stat()
            except FileNotFoundError:  # taken away since the folder was listed
                continue
            yield CardFile(entry.path, file, name[:-3], status.st_size, status.st_mtime_ns)


def _name_problems(files: list[CardFile]) -> Iterator[Problem]:
    """Two files with one id, also where only a disk that ignores case would mix them up."""
    first: dict[str, CardFile] = {}
    for file in files:
        other = first.setdefault(file.id.casefold(), file)
        if other is not file:
            same = "the same id" if other.id == file.id else "an id that differs only in case"
            yield Problem(
                file.file,
                0,
                "",
                f"{other.file} has {same}; that one is used",
                "rename or remove one of the two files",
            )


def _exactly(content: bytes, file: str) -> str:
    """The text of some bytes, from which the same bytes can be made again.

    Args:
        content: All bytes of the file.
        file: Its path within the library folder.

    Raises:
        Invalid: If they are not UTF-8; says in which line.
    """
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        problem = Problem(file, line, "", "the file is not UTF-8", "save it again as UTF-8")
        raise Invalid([problem]) from error


def _decoded(content: bytes) -> str:
    return content.decode("utf-8", errors="replace").removeprefix("\ufeff")
