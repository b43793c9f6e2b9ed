"""What people call allergens: one table for a question to Find and for what is written of a child."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from functools import lru_cache

from library.materials.words import singular

EVERYDAY: Mapping[tuple[str, ...], str] = {
    ("wheat", "gluten"): "gluten | coeliac | celiac",
    ("wheat",): "wheat",
    ("milk",): "milk | dairy | lactose | cows milk | cow milk | milk protein | casein",
    ("egg",): "egg | eggs",
    ("fish",): "fish",
    ("shellfish",): "shellfish | shell fish | crustaceans | crustacean",
    ("tree-nut", "peanut"): "nut | nuts",
    ("tree-nut",): "tree nut | tree nuts | almonds | walnuts | cashews | hazelnuts | pecans"
    " | pistachios | macadamias | brazil nuts",
    ("peanut",): "peanut | peanuts | peanut butter | ground nuts | groundnuts",
    ("soy",): "soy | soya | soybean | soybeans",
    ("sesame",): "sesame | sesame seed | sesame seeds",
}
"""Names of the nine major allergens of US law (21 U.S.C. 321(qq), with sesame since 2023), and what
they are read as: dairy as milk, nuts as both. A question reads gluten as wheat, and as gluten where
that is stated."""
GLUTEN = "gluten"

_AROUND = frozenset(
    "a all allergic allergies allergy any free intolerance intolerant no of product products "
    "protein sensitive sensitivity severe the to".split()
)
"""Words that stand around the name of an allergen and change nothing."""
_JOINT = re.compile(r"\s*[/&+]\s*|\s+(?:and|or)\s+")
_NEARLY = 0.75
"""How much alike two words are before one is offered for the other; a swapped pair of four letters is."""


def tidy(allergen: str) -> str:
    """An allergen as it is compared: trimmed, lower case (FIND4)."""
    return " ".join(allergen.split()).casefold()


@lru_cache(maxsize=1024)
def read_allergen(written: str) -> tuple[str, ...]:
    """The allergens that a word stands for: dairy for milk, nuts for tree nuts and peanut.

    A word that is in no table stands for itself, in lower case and trimmed; so does gluten, which is
    no wheat unless the European list says so (FIND4).
    """
    each = (_meant_by(part) for part in parts_of(written))
    return tuple(dict.fromkeys(name for names in each for name in names))


def _meant_by(word: str) -> tuple[str, ...]:
    names = _names_in(word) or (word,)
    return (GLUTEN,) if GLUTEN in names else names


def parts_of(written: str) -> tuple[str, ...]:
    """What was written as one and is several, such as "milk and kiwi"; else the word as it is compared.

    It is taken apart only where one of the parts is known.
    """
    parts = tuple(filter(None, _JOINT.split(tidy(written))))
    if len(parts) < 2 or _names_in(written) or not any(map(_names_in, parts)):
        return (tidy(written),)
    return parts


def in_everyday_words(written: str) -> str:
    """An allergen as it was written, and what it is read as where that is another word."""
    names = read_allergen(written)
    if len(names) == 1 and name_of(names[0]) in {_key(written), singular(_key(written))}:
        return tidy(written)
    others = [name_of(name) for name in names if name != tidy(written)]
    return f"{tidy(written)}, read as {' and '.join(others)}" if others else tidy(written)


def name_of(allergen: str) -> str:
    """What a page calls an allergen."""
    return allergen.replace("-", " ")


def nearly(written: str, known: Iterable[str]) -> tuple[str, ...]:
    """The allergens that may have been meant by a word that stands for none.

    Args:
        written: The word.
        known: Allergens besides those of the table that something can be held against.
    """
    names = {**_BY_NAME, **{_key(each): (each,) for each in known}}
    words = _key(written).split()
    runs = sorted(
        (
            " ".join(words[at:end])
            for at in range(len(words))
            for end in range(at + 1, len(words) + 1)
        ),
        key=len,
        reverse=True,
    )
    for run in runs:
        if found := names.get(run) or names.get(singular(run)):
            return found
    near = difflib.get_close_matches(" ".join(words), names, n=1, cutoff=_NEARLY)
    return names[near[0]] if near else ()


def _names_in(written: str) -> tuple[str, ...]:
    words = [word for word in _key(written).split() if word not in _AROUND]
    for name in (_key(written), " ".join(words), singular(" ".join(words))):
        if found := _BY_NAME.get(name):
            return found
    return ()


def _key(written: str) -> str:
    """A word without hyphens and apostrophes: tree-nut and tree nut are one, cow's milk and cows milk."""
    return " ".join(re.sub(r"['’.]", "", tidy(written)).replace("-", " ").split())


def _by_name() -> dict[str, tuple[str, ...]]:
    found = {}
    for names, line in EVERYDAY.items():
        for phrase in line.split(" | "):
            found[phrase] = names
            found.setdefault(singular(phrase), names)
    return found


_BY_NAME = _by_name()
