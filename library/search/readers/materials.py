"""Materials and allergens, wanted and not: "with sponges", "no paint or glue", "wheat free"."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from library.search.conditions import Conditions, unique
from library.search.readers.phrases import end_of, phrases, telling
from library.search.readers.text import DETERMINERS, ENDS_A_NAME, Found, Text, lead
from library.search.readers.things import (
    Thing,
    allergen_at,
    material_at,
    mend_allergen,
    unwanted_at,
    wanted_at,
)
from library.search.readers.typos import doubtful_names
from library.search.vocabulary import Vocabulary

WORDS: tuple[str, ...] = tuple(
    "without allergy allergies allergic gluten wheat dairy peanut peanuts".split()
)
"""Words whose slips of typing are mended."""

_WITH = phrases(
    "with | using | uses | use | that use | that uses | that needs | involving | that involves",
    "involves | featuring | made with | made from | made of | made out of | including | includes",
    "that has | w/ | and with | or with | use up | needs",
)
_WITHOUT = phrases(
    "no | without | without any | without using | not | not using | not with | minus | with no",
    "w/o | w / o | non | zero | sans | excluding | avoid | avoiding | skip the",
    "except | except for | nothing with | nothing containing | nothing that has | free of | free from",
    "never | dont use | dont want | dont need | dont have | dont like | doesnt use",
    "doesnt need | doesnt have | doesnt involve | doesnt require | doesnt contain | dont involve",
    "not use | not need | not involve | not contain | not containing | cant use | cant have",
    "cannot use | cannot have | dont contain | wont use | isnt made with | not made with",
    "not involving | no need for | no use of | allergic to | allergy to | allergies to | ran out of",
    "run out of | all out of | we are out of | were out of | im out of | i am out of | rather not use",
    "instead of | rather than | intolerant to | sensitive to | none of | nothing made with | no more",
    "nothing made of | stay away from | keep away from | leave out | leaving out",
    "but no | but not | but without | and no | and without | or without | dont include | no actual",
    "doesnt include | not including | doesnt use any | doesnt need any | dont use any | dont want any",
    "never uses | can not use | can not have | do not use | do not have | does not use | does not need",
    "does not contain | does not have | does not involve | do not want | do not need | do not involve",
)
_FREE = frozenset({"free"})
_FREE_PLAY = frozenset(
    "play choice time flow form range standing style painting exploration".split()
)
_CELIAC = frozenset({"celiac", "coeliac"})
_ALLERGY = frozenset("allergy allergies allergic intolerance intolerant sensitivity".split())
_NO_THINGS = frozenset(
    """
    activities adult adults anything art bake bother budget cards centers child choice circle clean
    clue cook craft cut drafts experience fives fours fuss hassle help idea ideas indoor indoors kids
    limit longer matter minutes months more need one ones outdoor outdoors outside inside others place
    plan plans pressure problem quick reason rush seasons sense sew skill skills sooner stress
    supervision tears theme thing things threes time times toddler toddlers touch twos use wait way
    weeks worries years
    """.split()
)
"""Words that "no" stands before, and that are no materials."""
_HAZARDS = frozenset(
    "allergen allergens choking danger dangers hazard hazards part parts piece pieces risk risks".split()
)
"""No material is called so; to say "without" of them would promise what nobody looks at."""
_JOINTS = frozenset({"or", "nor", "and", "&", "/"})
_NEEDED = phrases("needed | required | necessary | please | products | product | at all")
_LONGEST_NAME = 5


TELLING_NOT_WANTED = telling(_WITHOUT, words=("or", "nor", *_FREE, *_CELIAC, *_ALLERGY))
TELLING_WANTED = telling(_WITH)
"""Words of which one stands wherever something is not wanted, or is; a question without any is not read
for it."""


def read_not_wanted(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """Materials and allergens that a question rules out."""
    yield from _free_of(text, vocabulary)
    at = 0
    while at < len(text):
        start = end_of(_WITHOUT, text, at)
        if start is None or text.breaks(start):
            start = _behind_taken_negation(text, at)
        if start is None:
            at += 1
            continue
        things = _not_wanted(text, vocabulary, at, start)
        if things:
            yield lead(range(at, start))
        for thing in things:
            tokens = tuple(range(thing.start, end_of(_NEEDED, text, thing.end) or thing.end))
            yield Found("without", tokens, Conditions(without=thing.names), thing.shown)
        at = max(things[-1].end if things else start, at + 1)


def read_wanted(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """Materials that a question asks for; of a list joined by "or" any one is enough."""
    at = 0
    while at < len(text):
        start = end_of(_WITH, text, at)
        if start is None or text.negated(at) or text.breaks(start):
            at += 1
            continue
        items = _items(text, start, lambda place: wanted_at(text, vocabulary, place))
        groups = _groups(items)
        if groups:
            yield lead(range(at, start))
        for group in groups:
            tokens = tuple(place for thing in group for place in range(thing.start, thing.end))
            names = unique(name for thing in group for name in thing.names)
            shown = " or ".join(unique(thing.shown for thing in group))
            yield Found("with", tokens, Conditions(with_=(names,)), shown)
        at = max(items[-1].end if items else start, at + 1)


class _Item(NamedTuple):
    """One thing of a list."""

    joint: str
    """What joins it to the one before: "", ",", "or", "and"."""
    thing: Thing | None
    """None: something that the library does not know."""
    end: int


def _items(text: Text, at: int, read: Callable[[int], Thing | None]) -> list[_Item]:
    """The things of a list that begins here.

    A comma carries the list on only where "or" or "and" follows later: "no paint, glue or glitter",
    but "no paint, sponges".
    """
    items: list[_Item] = []
    sure = 0
    joint = ""
    while at < len(text):
        thing = read(at)
        end = thing.end if thing else _behind_unknown(text, at)
        if end is None:
            break
        items.append(_Item(joint, thing, end))
        if joint != ",":
            sure = len(items)
        joint, at = _joint(text, end)
        if joint == "or" and at < len(text) and text.taken[at]:
            sure = len(items)
        if not joint:
            break
    return items[:sure]


def _joint(text: Text, at: int) -> tuple[str, int]:
    """What carries a list on behind one of its things, and the place behind that."""
    if at >= len(text) or text.tokens[at].gap in {".", ":"}:
        return "", at
    comma = text.tokens[at].gap == ","
    if text.word(at) in _JOINTS and text.free(at):
        return ("or" if text.word(at) in {"or", "/", "nor"} else "and"), at + 1
    return ("," if comma else ""), at


def _behind_unknown(text: Text, at: int) -> int | None:
    """The place behind a name that the library does not know; None where none stands here."""
    if not text.free(at) or not text.word(at)[0].isalpha() or text.word(at) in ENDS_A_NAME:
        return None
    end = at + 1
    while end < at + _LONGEST_NAME and not text.ends_name(end):
        end += 1
    return end if text.ends_name(end) else None


def _groups(items: list[_Item]) -> list[list[Thing]]:
    """The things of a list, those together of which one is enough.

    A choice of which one is unknown sets no condition: "with rice or scoops".
    """
    joints = {item.joint for item in items}
    loose = {"or", ","} if "or" in joints and "and" not in joints else {"or"}
    groups: list[list[Thing | None]] = []
    for item in items:
        if item.joint in loose and groups:
            groups[-1].append(item.thing)
        else:
            groups.append([item.thing])
    return [[thing for thing in group if thing] for group in groups if None not in group]


def _not_wanted(text: Text, vocabulary: Vocabulary, at: int, start: int) -> list[Thing]:
    """The things that a negation reaches, those among them that the library does not know.

    What is not wanted must not be searched for: "without" rules out whatever follows; "no" what is
    plainly a thing, while "no-cook" and "no running" stay words.
    """
    sure = text.word(start - 1) in {"without", "o"} or text.word(at) == "without"
    plain = text.word(start - 1) not in {"not", "non", "never"}

    def read(place: int) -> Thing | None:
        known = unwanted_at(text, vocabulary, place)
        if known is not None or (place > start and text.word(place - 1) in {"and", "&"}):
            return known
        return _unknown(text, vocabulary, place, sure=sure, plain=plain)

    things: list[Thing] = []
    for item in _items(text, start, read):
        if item.thing is None:
            break
        things.append(item.thing)
    return things


def _unknown(
    text: Text, vocabulary: Vocabulary, at: int, *, sure: bool, plain: bool
) -> Thing | None:
    """A name that no material has, and the materials whose names have that word somewhere."""
    while text.word(at) in DETERMINERS:
        at += 1
    end = _behind_unknown(text, at)
    if end is None:
        return None
    words = [text.word(place) for place in range(at, end)]
    known = vocabulary.has(text.key(end - 1))
    if words[-1] in _HAZARDS or (not known and doubtful_names(words[-1], vocabulary.thing_slips)):
        return None
    if not sure and not _is_thing(text, at, end, plain=plain):
        return None
    near = vocabulary.containing(text.key(at)) if len(words) == 1 else ()
    return Thing((" ".join(words), *near), at, end, " ".join(words))


def _is_thing(text: Text, at: int, end: int, *, plain: bool) -> bool:
    """Whether what follows "no" is plainly a thing: a plural, or one word that is no doing."""
    last = text.word(end - 1)
    if last in _NO_THINGS or text.tokens[at].gap == "-":
        return False
    return last != text.key(end - 1) or (plain and end - at == 1 and not last.endswith("ing"))


def _behind_taken_negation(text: Text, at: int) -> int | None:
    """The place behind "or" where what was not wanted before it is read already: "no prep or paint"."""
    if text.word(at) not in {"or", "nor"} or not text.free(at) or at == 0:
        return None
    if text.taken[at - 1] in {"prep_max", "mess_max", "without"} and _begins_negated(text, at - 1):
        return at + 1
    return None


def _begins_negated(text: Text, at: int) -> bool:
    kind = text.taken[at]
    while at > 0 and text.taken[at - 1] == kind and not text.tokens[at].breaks:
        at -= 1
    return text.word(at) in {"no", "without", "zero", "not"}


def _free_of(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """Reads "wheat free", "nut- and egg-free", "a milk allergy"."""
    for at in range(len(text)):
        word = text.word(at)
        if word in _CELIAC and text.free(at) and not text.negated(at):
            yield Found("without", (at,), Conditions(without=("wheat",)), "wheat")
        if word in _FREE:
            if not text.free(at) or text.breaks(at) or _plays_freely(text, at):
                continue
        elif word not in _ALLERGY or text.breaks(at) or text.word(at + 1) == "to":
            continue
        things = _before(text, vocabulary, at, materials=word in _FREE)
        if not things and mend_allergen(text, at - 1):
            things = _before(text, vocabulary, at, materials=False)
        if things:
            yield lead((at,))
        for thing in things:
            tokens = tuple(range(thing.start, thing.end))
            yield Found("without", tokens, Conditions(without=thing.names), thing.shown)


def _plays_freely(text: Text, at: int) -> bool:
    return not text.breaks(at + 1) and text.word(at + 1) in _FREE_PLAY


def _before(text: Text, vocabulary: Vocabulary, at: int, *, materials: bool) -> list[Thing]:
    """The things of a list that ends before this place, from left to right."""
    thing = _ending_at(text, vocabulary, at, materials=materials)
    things: list[Thing] = []
    while thing is not None:
        things.insert(0, thing)
        before = thing.start
        if text.word(before - 1) in _JOINTS:
            before -= 1
        elif before < 1 or text.tokens[before].gap != ",":
            break
        before -= text.word(before - 1) == "free"
        thing = _ending_at(text, vocabulary, before, materials=False)
    return things


def _ending_at(text: Text, vocabulary: Vocabulary, end: int, *, materials: bool) -> Thing | None:
    """The longest name that ends before this place."""
    for start in range(max(end - _LONGEST_NAME, 0), end):
        allergen = allergen_at(text, vocabulary, start)
        if allergen and allergen.end == end:
            return allergen
        if materials:
            material = material_at(text, vocabulary, start, family=True)
            if material and material.end == end:
                return material
    return None
