"""Writes down what was measured, and what a label names: an entry of ``materials.yaml``, and no byte of any other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from library.materials.adding import append_entries
from library.materials.material import Kind, Material, name_key
from library.materials.parsing import parse_materials
from library.store.errors import Invalid
from library.store.frontmatter import newline_of
from library.store.problems import Problem
from library.store.rows import change_row

FILE = "activities/materials.yaml"
ORDER = ("item", "also", "kind", "loose", "shape", "soft", "cord", "wash", "weight", "allergens")
KEPT = ("loose", "allergens")
"""Keys that say something also where their value is no, or nothing."""
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

    What is new and used up may hold anything: that nobody has read its label is written down too.

    Args:
        text: The whole file with its byte order mark, if it has one; empty where there is none.
        item: Any name of the material.
        measured: What was found.

    Raises:
        Invalid: If the entry cannot be changed without touching others; nothing is lost then.
    """
    said = {"loose": measured.loose, "shape": measured.shape, "soft": measured.soft}
    known = parse_materials(text)[0].find(item)
    changed = _with_changes(text, known, said) if known else _with_entry(text, item, measured)
    _check(text, changed, item, {**said, "shape": measured.shape or None})
    return changed


def write_label(text: str, item: str, allergens: Sequence[str] | None) -> str:
    """The text of the file with what the label of one material names.

    Args:
        text: The whole file with its byte order mark, if it has one.
        item: Any name of a material that the file has.
        allergens: What it names; None: nobody has read it.

    Raises:
        Invalid: If there is no such entry, or it cannot be changed without touching others.
    """
    known = parse_materials(text)[0].find(item)
    if known is None:
        raise Invalid([Problem(FILE, 0, item, "nobody has described it yet", "measure it first")])
    named = None if allergens is None else list(allergens)
    changed = _with_changes(text, known, {"allergens": named})
    _check(text, changed, item, {"allergens": tuple(named or ()), "label_read": named is not None})
    return changed


def _cannot(item: str, line: int) -> Invalid:
    problem = f"the entry of '{item}' is written in a way that cannot be changed from here"
    return Invalid([Problem(FILE, line, item, problem, "change it in the file")])


def _with_changes(text: str, known: Material, changes: Mapping[str, object]) -> str:
    mark = _MARK if text.startswith(_MARK) else ""
    lines = text.removeprefix(mark).splitlines(keepends=True)
    starts = sorted(each.line for each in parse_materials(text)[0] if each.line > known.line)
    end = starts[0] - 1 if starts else len(lines)
    entry = "".join(lines[known.line - 1 : end])
    newline = newline_of(text)
    head, foot = f"---{newline}materials:{newline}", f"---{newline}"
    gap = "" if entry.endswith("\n") else newline
    try:
        whole = change_row(
            f"{head}{entry}{gap}{foot}", "materials", 0, changes, ORDER, keeps_no=KEPT
        )
    except (Invalid, IndexError) as error:
        raise _cannot(known.item, known.line) from error
    changed = whole.removeprefix(head).removesuffix(f"{gap}{foot}")
    return "".join([mark, *lines[: known.line - 1], changed, *lines[end:]])


def _with_entry(text: str, item: str, measured: Measured) -> str:
    fields: dict[str, object] = {
        "item": " ".join(item.split()),
        "kind": measured.kind.value,
        "loose": measured.loose,
        **({"shape": measured.shape} if measured.shape else {}),
        **({"soft": True} if measured.soft else {}),
        **({"allergens": None} if measured.kind is Kind.CONSUMABLE else {}),
    }
    return append_entries(text, [fields])


def _check(before: str, after: str, item: str, meant: Mapping[str, object]) -> None:
    """Reads the changed text again: the entry says what was meant, and all others what they said."""
    old, new = parse_materials(before)[0], parse_materials(after)[0]
    now = new.find(item)
    others = [each for each in old if name_key(each.item) != name_key(now.item if now else item)]
    kept = [replace(each, line=0) for each in others]
    if (
        now is None
        or any(getattr(now, name) != value for name, value in meant.items())
        or [replace(each, line=0) for each in new if each is not now] != kept
    ):
        raise _cannot(item, now.line if now else 0)
