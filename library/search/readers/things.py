"""Finds the material or allergen that a place of a text names, by any of its names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from library.materials.allergens import EVERYDAY
from library.search.analysis import STOP_WORDS
from library.search.conditions import unique
from library.search.readers.phrases import meanings
from library.search.readers.text import Text
from library.search.readers.typos import Slips, mended, mended_name, slips_of
from library.search.vocabulary import Vocabulary


class Thing(NamedTuple):
    """What was named, and the place behind it."""

    names: tuple[str, ...]
    """Main names of materials, or allergens."""
    start: int
    end: int
    shown: str
    """How the sentence says it; reads back to the same."""


_ALLERGENS = meanings(EVERYDAY)

_ALLERGEN_WORDS: Slips = slips_of(
    "gluten celiac coeliac wheat dairy lactose casein eggs shellfish almonds walnuts cashews hazelnuts"
    " peanut peanuts soybean sesame".split()
)

_SHOWN: Mapping[tuple[str, ...], str] = {
    ("wheat", "gluten"): "gluten",
    ("tree-nut", "peanut"): "nuts",
    ("tree-nut",): "tree nuts",
}
_MODIFIERS = frozenset(
    """
    actual any anything bigger big bits bright chunky clean colored colorful couple damp dried dry
    empty enough extra fat few fresh just kind large little loose lots lot many more new of old only
    other our own pieces plain plenty real really recycled set several small soft some sort spare
    thick thin those tiny two three four used warm washable wet
    """.split()
) | frozenset("a an her his my that the their these this your".split())
"""May stand between "with" and the name of a thing."""
_MOST_MODIFIERS = 4


def allergen_at(text: Text, vocabulary: Vocabulary, at: int) -> Thing | None:
    """The allergen named here; None where none is, or where it is part of another thing's name."""
    match = _ALLERGENS.at(text, at)
    if match is not None:
        (names, *_), end = match
        if names == ("wheat", "gluten") and "gluten" not in vocabulary.allergens:
            return Thing(("wheat",), at, end, "wheat")
        return Thing(names, at, end, _SHOWN.get(names, names[0]))
    for allergen in (text.word(at), text.key(at)):
        if allergen in vocabulary.allergens and text.free(at):
            return Thing((allergen,), at, at + 1, allergen)
    return None


def material_at(text: Text, vocabulary: Vocabulary, at: int, *, family: bool) -> Thing | None:
    """The material named here.

    Args:
        text: The question.
        vocabulary: The library's names.
        at: Where the name begins.
        family: Every material with a name that ends in these words ("paint"), even where the words
            are the whole name of one; otherwise that one.
    """
    whole = None if family else vocabulary.material_phrases.at(text, at)
    ending = vocabulary.family_phrases.at(text, at)
    if ending is None or not _ends(text, ending[1]):
        return None
    mains, end = whole if whole and whole[1] == ending[1] else ending
    shown = " ".join(token.word for token in text.tokens[at:end])
    if len(mains) == 1 and (not family or vocabulary.family_of(mains[0]) == tuple(mains)):
        shown = mains[0]
    return Thing(unique(mains), at, end, shown)


def unwanted_at(text: Text, vocabulary: Vocabulary, at: int) -> Thing | None:
    """The allergen or the materials that a negation before this place reaches."""
    thing = _unwanted(text, vocabulary, at)
    if thing is None and (mend_allergen(text, at) or _mend(text, vocabulary, at)):
        return _unwanted(text, vocabulary, at)
    return thing


def mend_allergen(text: Text, at: int) -> bool:
    """Puts a slip of typing in an allergen right, where an allergen may stand: "diary free"."""
    typed = text.word(at)
    if not text.free(at) or typed in STOP_WORDS:
        return False
    meant = mended(typed, _ALLERGEN_WORDS) or (typed == "diary" and "dairy")
    if meant:
        text.put_right(at, meant)
    return bool(meant)


def wanted_at(text: Text, vocabulary: Vocabulary, at: int) -> Thing | None:
    """The material that "with" before this place asks for."""
    return _wanted(text, vocabulary, at) or (
        _wanted(text, vocabulary, at) if _mend(text, vocabulary, at) else None
    )


def _mend(text: Text, vocabulary: Vocabulary, at: int) -> bool:
    """Puts a slip of typing right where the name of a thing has to stand."""
    for start in _starts(text, at):
        typed = text.word(start)
        known = typed in STOP_WORDS or vocabulary.has(text.key(start))
        meant = None if known else mended_name(typed, vocabulary.thing_slips)
        if meant:
            text.put_right(start, meant)
            return True
    return False


def _unwanted(text: Text, vocabulary: Vocabulary, at: int) -> Thing | None:
    for start in _starts(text, at):
        material = material_at(text, vocabulary, start, family=True)
        allergen = allergen_at(text, vocabulary, start)
        if allergen and not (_ends(text, allergen.end) or text.word(allergen.end) in _PRODUCTS):
            allergen = None
        if allergen and (material is None or allergen.end >= material.end):
            return allergen
        if material:
            return material
    return None


def _wanted(text: Text, vocabulary: Vocabulary, at: int) -> Thing | None:
    things = (material_at(text, vocabulary, start, family=False) for start in _starts(text, at))
    return next((thing for thing in things if thing), None)


def _starts(text: Text, at: int) -> Iterator[int]:
    """Where a name may begin: here, or behind articles and plain adjectives."""
    for start in range(at, min(at + _MOST_MODIFIERS + 1, len(text))):
        if (start > at and text.breaks(start)) or not text.free(start):
            return
        yield start
        if text.word(start) not in _MODIFIERS:
            return


def _ends(text: Text, end: int) -> bool:
    """Whether a name may end here: before a small word, or behind a plural."""
    last = text.tokens[end - 1]
    return text.ends_name(end) or last.word != last.key or text.word(end) in _BEHIND_NAMES


_PRODUCTS = frozenset({"product", "products", "allergy", "allergies"})
_BEHIND_NAMES = frozenset(
    "activity activities free idea ideas needed only please required theme themed thanks".split()
)
