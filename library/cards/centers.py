"""The fifteen learning centers: key, what pages call it, and what else teachers call it.

A center's name alone can be an everyday word (``water``, ``table``); which of them mean the center
in a question is decided where questions are read, not here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from library.store.paths import ID
from library.store.problems import Problem
from library.store.yamltext import Loaded, Plain, load_yaml


@dataclass(frozen=True, slots=True)
class Center:
    """A learning center."""

    key: str
    """As cards and units write it."""
    title: str
    """As pages write it."""
    also: tuple[str, ...] = ()
    """Other names in everyday use; no name belongs to two centers."""

    @property
    def names(self) -> tuple[str, ...]:
        """The title, the key and all other names, once each."""
        return tuple(dict.fromkeys((self.title.lower(), self.key, *self.also)))


CENTERS: tuple[Center, ...] = (
    Center("sensory", "Sensory", (
        "sensory bin", "sensory table", "sensory tub", "sensory tray", "sensory play",
        "sensory corner", "touch table", "feely table", "tactile table",
    )),
    Center("water", "Water", (
        "water table", "water tray", "water play", "water trough", "water area",
    )),
    Center("light", "Light table", (
        "light box", "lightbox", "light panel", "light center", "light play", "light and shadow",
    )),
    Center("art", "Art", (
        "art table", "art corner", "art studio", "arts and crafts", "craft table", "crafts",
        "collage table", "making table", "creative area",
    )),
    Center("easel", "Easel", ("painting easel", "easels", "easel painting", "painting station")),
    Center("dough", "Dough", (
        "play dough", "playdough", "dough table", "play dough table", "playdough table",
        "modeling dough", "clay table",
    )),
    Center("dramatic", "Dramatic play", (
        "pretend play", "house corner", "home corner", "home living", "housekeeping",
        "house area", "play kitchen", "kitchen corner", "role play", "imaginative play",
        "make believe", "dress-up corner", "dress up", "pretend corner", "doll corner",
    )),
    Center("blocks", "Blocks", (
        "block corner", "block area", "block play", "building corner", "building area",
        "construction area", "construction corner", "block rug",
    )),
    Center("table", "Table toys", (
        "tabletop", "table top", "tabletop toys", "manipulatives", "puzzles and games",
        "puzzle table", "puzzle area", "small toys", "games table",
    )),
    Center("writing", "Writing", (
        "writing table", "writing corner", "writing desk", "mark making", "mark-making table",
        "drawing table", "drawing and writing",
    )),
    Center("books", "Books", (
        "book corner", "book area", "book nook", "reading corner", "reading nook", "reading area",
        "library", "library corner", "story corner", "cozy corner", "quiet corner",
    )),
    Center("science", "Science", (
        "science table", "discovery table", "discovery area", "discovery", "nature table",
        "nature corner", "exploration table", "investigation table",
    )),
    Center("music", "Music", (
        "music corner", "music area", "music and movement", "instrument corner", "sound corner",
    )),
    Center("outdoors", "Outdoors", (
        "outdoor center", "outdoor area", "outdoor classroom", "outside area", "play yard", "yard",
        "backyard", "playground",
    )),
    Center("circle", "Circle time", (
        "group time", "large group time", "carpet time", "rug time", "meeting time",
        "morning meeting", "circle rug", "whole group time",
    )),
)  # fmt: skip
"""Every center a library has by itself; ``centers.yaml`` may add more."""


def center_title(key: str) -> str:
    """What a center is called on pages and paper; one of a library's own by its key."""
    known = next((center.title for center in CENTERS if center.key == key), "")
    return known or key.replace("-", " ").capitalize()


def center_names(centers: Iterable[Center] = CENTERS) -> Mapping[str, tuple[str, ...]]:
    """Key of each center with all of its names, the title in lower case first."""
    return {center.key: center.names for center in centers}


def read_centers(
    text: str, file: str = "activities/centers.yaml"
) -> tuple[tuple[Center, ...], tuple[Problem, ...]]:
    """Reads the centers a library adds: a list of ``{key: garden, title: Garden, also: [plot]}``.

    Returns:
        The fifteen and those added, and every problem. An entry without a key that can be one, or
        with one of the fifteen, is left out.
    """
    loaded = load_yaml(text.removeprefix("\ufeff"))
    problems = list(loaded.problems)
    if loaded.value is not None and not isinstance(loaded.value, list):
        problems.append(Problem("", 1, "", "the file is no list", "begin each entry with '- key:'"))
    entries = loaded.value if isinstance(loaded.value, list) else []
    centers = list(CENTERS)
    for index, entry in enumerate(entries):
        center = _read_center(entry, index, loaded, {each.key for each in centers}, problems)
        if center is not None:
            centers.append(center)
    return tuple(centers), tuple(problem.in_file(file) for problem in problems)


def _read_center(
    entry: Plain, index: int, loaded: Loaded, taken: set[str], problems: list[Problem]
) -> Center | None:
    row = entry if isinstance(entry, dict) else {}
    key, title, also = row.get("key"), row.get("title"), row.get("also") or []
    line = loaded.line(index)
    if not isinstance(key, str) or not ID.match(key):
        problems.append(
            Problem(
                "",
                line,
                f"[{index}].key",
                f"found '{key}'; expected a key such as garden",
                "write key: garden",
            )
        )
        return None
    if key in taken:
        problems.append(
            Problem("", line, f"[{index}].key", f"'{key}' is there already", "remove one")
        )
        return None
    names = [also] if isinstance(also, str) else also
    others = tuple(str(name) for name in names) if isinstance(names, list) else ()
    return Center(
        key, title if isinstance(title, str) else key.replace("-", " ").capitalize(), others
    )
