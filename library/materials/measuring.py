"""Writes down what was measured: an entry of ``materials.yaml``, and no byte of any other."""

from __future__ import annotations

from dataclasses import dataclass, replace

from library.materials.adding import append_entries
from library.materials.material import Kind, name_key
from library.materials.parsing import parse_materials
from library.store.errors import Invalid
from library.store.frontmatter import newline_of
from library.store.problems import Problem
from library.store.rows import change_row

FILE = "activities/materials.yaml"
ORDER = ("item", "also", "kind", "loose", "shape", "soft")
_MARK = "\ufeff"


@dataclass(frozen=True, slots=True)
class Measured:
    """What a person found."""

    loose: bool
    """Whether a child can pick it up by itself."""
    shape: str
    """Size of the smallest piece as written; empty for what is no loose piece."""
    soft: bool
    """Whether it can be squeezed, torn or bitten off."""
    kind: Kind = Kind.DURABLE
    """Only written for a material that is new to the file."""


def write_measure(text: str, item: str, measured: Measured) -> str:
    """The text of the file with one material as it was measured; a new one is added at the end.

    Args:
        text: The whole file with its byte order mark, if it has one; empty where there is none.
        item: Any name of the material.
        measured: What was found.

    Raises:
        Invalid: If the entry cannot be changed without touching others; nothing is lost then.
    """
    book, _ = parse_materials(text)
    known = book.find(item)
    if known is None:
        changed = _with_entry(text, item, measured)
    else:
        try:
            changed = _with_changes(text, known.line, measured)
        except (Invalid, IndexError) as error:
            raise _cannot(item, known.line) from error
    _check(text, changed, item, measured)
    return changed


def _cannot(item: str, line: int) -> Invalid:
    problem = f"the entry of '{item}' is written in a way that cannot be changed from here"
    return Invalid([Problem(FILE, line, item, problem, "change it in the file")])


def _with_changes(text: str, line: int, measured: Measured) -> str:
    mark = _MARK if text.startswith(_MARK) else ""
    lines = text.removeprefix(mark).splitlines(keepends=True)
    book, _ = parse_materials(text)
    starts = sorted(each.line for each in book if each.line > line)
    end = starts[0] - 1 if starts else len(lines)
    entry = "".join(lines[line - 1 : end])
    newline = newline_of(text)
    head, foot = f"---{newline}materials:{newline}", f"---{newline}"
    gap = "" if entry.endswith("\n") else newline
    changes = {"loose": measured.loose, "shape": measured.shape, "soft": measured.soft}
    whole = change_row(
        f"{head}{entry}{gap}{foot}", "materials", 0, changes, ORDER, keeps_no=("loose",)
    )
    changed = whole.removeprefix(head).removesuffix(f"{gap}{foot}")
    return "".join([mark, *lines[: line - 1], changed, *lines[end:]])


def _with_entry(text: str, item: str, measured: Measured) -> str:
    fields: dict[str, object] = {
        "item": " ".join(item.split()),
        "kind": measured.kind.value,
        "loose": measured.loose,
        **({"shape": measured.shape} if measured.shape else {}),
        **({"soft": True} if measured.soft else {}),
    }
    return append_entries(text, [fields])


def _check(before: str, after: str, item: str, measured: Measured) -> None:
    """Reads the changed text again: the entry says what was meant, and all others what they said."""
    old, new = parse_materials(before)[0], parse_materials(after)[0]
    now = new.find(item)
    meant = (measured.loose, measured.shape or None, measured.soft)
    others = [each for each in old if name_key(each.item) != name_key(now.item if now else item)]
    kept = [replace(each, line=0) for each in others]
    if (
        now is None
        or (now.loose, now.shape, now.soft) != meant
        or [replace(each, line=0) for each in new if each is not now] != kept
    ):
        raise _cannot(item, now.line if now else 0)
