"""``materials.yaml``: text to materials, with every problem named."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import lru_cache
from typing import Any

from library.materials.amounts import parse_quantity
from library.materials.material import (
    CARD_STOCK,
    MADE,
    PLAIN_PAPER,
    Kind,
    Material,
    MaterialBook,
    Weight,
    name_key,
)
from library.store.problems import Problem, Unreadable
from library.store.yamltext import Loaded, Plain, load_yaml

HAZARD_KEYS = (
    "balloon", "button-cell", "magnet", "water-beads", "plastic-bag", "foam-plastic", "foam-block",
    "coin", "safety-pin", "marble", "tack", "glitter", "latex-glove", "sharp", "neckwear", "cord",
    "loose-fill", "raw-beans", "powder", "solvent", "aerosol", "permanent-marker",
    "unlabelled-art", "toxic-plant", "animal", "choking-food", "food", "water", "screen", "heat",
)  # fmt: skip
ORIGINS = ("kitchen", "recycling", "outdoors", "shop", "printed", "library", MADE)
WASHES = ("after each use", "daily", "weekly")
KNOWN = (
    "item", "also", "kind", "loose", "shape", "soft", "cord", "wash", "weight", "allergens",
    "hazards", "from", "pack", "print",
)  # fmt: skip
_SHEETS = re.compile(rf"^(?P<many>.+?) sheets? of (?P<stock>{PLAIN_PAPER}|{CARD_STOCK})$")
_TRUE = {"true", "yes", "on"}
_FALSE = {"false", "no", "off"}


@lru_cache(maxsize=4)
def parse_materials(
    text: str, file: str = "activities/materials.yaml", *, eu: bool = False
) -> tuple[MaterialBook, tuple[Problem, ...]]:
    """Reads the file of materials; the same text need not be read twice.

    Args:
        text: The file's text.
        file: Its path within the library folder.
        eu: Whether the library reads the European Union's list of allergens too.

    Returns:
        The book of every entry that has a name, and all problems. A field that cannot be read
        keeps its default, so that it is looked at again rather than passed over.
    """
    loaded = load_yaml(text.removeprefix("\ufeff"))
    problems = list(loaded.problems)
    if loaded.value is not None and not isinstance(loaded.value, list):
        problems.append(
            Problem("", 1, "", "the file is no list", "begin each entry with '- item:'")
        )
    entries = loaded.value if isinstance(loaded.value, list) else []
    materials: list[Material] = []
    taken: dict[str, Material] = {}
    for index, entry in enumerate(entries):
        material = _read_entry(entry, index, loaded, problems)
        if material is not None:
            problems.extend(_taken_names(material, taken))
            materials.append(material)
    return MaterialBook(tuple(materials), eu), tuple(problem.in_file(file) for problem in problems)


def _read_entry(
    entry: Plain, index: int, loaded: Loaded, problems: list[Problem]
) -> Material | None:
    line = loaded.line(index)
    if not isinstance(entry, dict) or not isinstance(entry.get("item"), str):
        problems.append(
            Problem("", line, f"[{index}]", "an entry without 'item'", "write '- item: its name'")
        )
        return None
    values: dict[str, Any] = {"item": " ".join(str(entry["item"]).split()), "line": line}
    for key, raw in entry.items():
        if key not in READERS or raw is None:
            continue
        attribute, read = READERS[key]
        try:
            values[attribute] = read(raw)
        except Unreadable as error:
            problems.append(error.at(f"{values['item']}.{key}", loaded.line(index, key)))
    if "cord" in entry and entry["cord"] is None:
        values["cord"] = ""
    if "allergens" in entry:
        values["label_read"] = "allergens" in values
    if "kind" not in entry:
        problems.append(
            _missing(values["item"], "kind", line, "durable, consumable, printable or book")
        )
    if "loose" not in entry:
        problems.append(
            _missing(
                values["item"],
                "loose",
                line,
                "true for a piece a child can pick up, else false",
            )
        )
    return Material(**values)


def _missing(item: str, field: str, line: int, expected: str) -> Problem:
    return Problem(
        "", line, f"{item}.{field}", f"'{field}' is not stated", f"write {field}: {expected}"
    )


def _taken_names(material: Material, taken: dict[str, Material]) -> Iterator[Problem]:
    for name in material.names:
        other = taken.setdefault(name_key(name), material)
        if other is not material:
            yield Problem(
                "",
                material.line,
                f"{material.item}.also",
                f"the name '{name}' belongs to '{other.item}' (line {other.line}) already",
                "keep it in one of the two entries",
            )


def _text(raw: Plain) -> str:
    if not isinstance(raw, str):
        raise Unreadable(raw, "a text")
    return " ".join(raw.split())


def _texts(raw: Plain) -> tuple[str, ...]:
    rows = [raw] if isinstance(raw, str) else raw
    if not isinstance(rows, list) or not all(isinstance(row, str) for row in rows):
        raise Unreadable(raw, "a list such as [one, two]")
    return tuple(" ".join(str(row).split()) for row in rows)


def _words(raw: Plain) -> tuple[str, ...]:
    return tuple(text.lower() for text in _texts(raw))


def _yes_no(raw: Plain) -> bool:
    text = _text(raw).lower()
    if text not in _TRUE | _FALSE:
        raise Unreadable(raw, "true or false")
    return text in _TRUE


def _one_of(*choices: str) -> Callable[[Plain], str]:
    def read(raw: Plain) -> str:
        text = _text(raw).lower()
        if text not in choices:
            raise Unreadable(raw, "one of " + ", ".join(choices))
        return text

    return read


def _hazards(raw: Plain) -> tuple[str, ...]:
    keys = _words(raw)
    unknown = [key for key in keys if key not in HAZARD_KEYS]
    if unknown:
        raise Unreadable(", ".join(unknown), "hazard keys out of " + ", ".join(HAZARD_KEYS))
    return keys


def _weight(raw: Plain) -> Weight:
    left, per, right = _text(raw).partition(" per ")
    if not per:
        raise Unreadable(raw, "a weight such as '185 g per cup'")
    return Weight(
        parse_quantity(left), parse_quantity(right if right[:1].isdigit() else f"1 {right}")
    )


def _sheets(raw: Plain) -> tuple[Fraction, str]:
    match = _SHEETS.match(_text(raw).lower())
    quantity = parse_quantity(match["many"]) if match else None
    if match is None or quantity is None or quantity.measure:
        raise Unreadable(raw, "sheets for one piece, such as '6 sheets of card stock'")
    return quantity.number, match["stock"]


READERS: dict[str, tuple[str, Callable[[Plain], object]]] = {
    "also": ("also", _texts),
    "kind": ("kind", lambda raw: Kind(_one_of(*Kind)(raw))),
    "loose": ("loose", _yes_no),
    "shape": ("shape", _text),
    "soft": ("soft", _yes_no),
    "cord": ("cord", _text),
    "wash": ("wash", _one_of(*WASHES)),
    "weight": ("weight", _weight),
    "allergens": ("allergens", _words),
    "hazards": ("hazards", _hazards),
    "from": ("origin", _one_of(*ORIGINS)),
    "pack": ("pack", _text),
    "print": ("sheets", _sheets),
}
"""Key in the file → attribute of :class:`Material` and the function that reads it."""
