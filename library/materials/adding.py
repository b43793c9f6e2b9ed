"""Adds entries to ``materials.yaml``; every byte that is there stays."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from library.materials.material import MaterialBook
from library.materials.parsing import parse_materials
from library.store.errors import Invalid
from library.store.frontmatter import dump_field, newline_of
from library.store.problems import Problem

LABEL = ("names", "none", "unread")
"""What can be said of a label: that it names allergens, or none, or that nobody has read it yet."""


@dataclass(frozen=True, slots=True)
class NewMaterial:
    """What is asked of a material that the library does not know yet."""

    item: str
    kind: str
    """durable, consumable, printable or book."""
    loose: str
    """yes or no."""
    shape: str = ""
    """Size as written; empty: to be measured."""
    allergens: tuple[str, ...] = ()
    """What its label names."""
    label: str = ""
    """One of ``LABEL``; empty: not answered."""

    @property
    def label_read(self) -> bool:
        """Whether somebody has read its label."""
        return bool(self.allergens) or self.label == "none"


def wrong_about_label(answer: str, allergens: Collection[str]) -> str:
    """What has to be put right in an answer about a label; empty where it is one.

    Args:
        answer: One of ``LABEL``, or empty where nothing was chosen.
        allergens: What it was ticked to name; ticks alone are an answer.
    """
    if allergens and answer in ("none", "unread"):
        return f"{', '.join(allergens)} is ticked: choose that it names what is ticked, or take it away"
    if answer == "names" and not allergens:
        return "tick what its label names, or choose another answer"
    if not answer and not allergens:
        return (
            "say what its label names, that it names none of these, or that nobody has read it yet"
        )
    return ""


def add_materials(text: str, new: Sequence[NewMaterial]) -> str:
    """The text of ``materials.yaml`` with entries at its end.

    A material that is known by now under any name is not added again.

    Args:
        text: The file as it is; empty where there is none.
        new: The entries.

    Raises:
        Invalid: If an entry cannot be read, or the file is no list that can be continued.
    """
    book, before = parse_materials(text)
    adding = [each for each in new if book.find(each.item) is None]
    if not adding:
        return text
    changed = append_entries(text, map(_fields, adding))
    after, problems = parse_materials(changed)
    fresh = [problem for problem in problems if problem not in before]
    kept = MaterialBook(after.materials[: len(book)])
    if fresh or kept.materials != book.materials or len(after) != len(book) + len(adding):
        raise Invalid(fresh or [_cannot_continue()])
    return changed


def append_entries(text: str, entries: Iterable[Mapping[str, object]]) -> str:
    """The text of ``materials.yaml`` with entries at its end, in the line ends that it uses.

    Args:
        text: The file as it is; empty where there is none.
        entries: Values by key, ``item`` first.
    """
    newline = newline_of(text)
    gap = newline if text and not text.endswith(("\n", "\r")) else ""
    lines = [line for fields in entries for line in _lines(fields)]
    return text + gap + "".join(line + newline for line in lines)


def _lines(fields: Mapping[str, object]) -> list[str]:
    lines = [line for key, value in fields.items() for line in dump_field(key, value)]
    return [f"- {lines[0]}", *(f"  {line}" for line in lines[1:])]


def _fields(new: NewMaterial) -> dict[str, object]:
    """What an entry says. Allergens are written also where there are none: somebody looked.

    The key without a value says that nobody has.
    """
    fields: dict[str, object] = {"item": " ".join(new.item.split()), "kind": new.kind}
    fields["loose"] = new.loose == "yes"
    if new.shape:
        fields["shape"] = " ".join(new.shape.split())
    fields["allergens"] = list(new.allergens) if new.label_read else None
    return fields


def _cannot_continue() -> Problem:
    return Problem(
        "activities/materials.yaml",
        0,
        "",
        "no entry can be added at the end of the file",
        "begin each entry with '- item:' at the start of a line",
    )
