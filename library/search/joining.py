"""Makes one set of conditions, and the parts that stand in the sentence, of what readers found."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields
from typing import Any, NamedTuple

from library.search.conditions import NOTHING_SAID, Conditions, unique
from library.search.readers.ages import found_ages
from library.search.readers.text import Found, Text

WORD = "word"
"""The kind of a part that is a word to search for."""


class Part(NamedTuple):
    """One part of the sentence, that can be struck out."""

    kind: str
    """A key of the conditions, ``age`` for either of the two about ages, or ``word``."""
    lead: str
    """What the sentence says before it: " for ", ", without ", " or "."""
    shown: str
    """How the sentence says it."""
    spans: tuple[tuple[int, int], ...]
    """Where the question says it: the signs of each place, the end not included."""
    says: Conditions
    """What striking it out removes."""


@dataclass(frozen=True, slots=True)
class Kind:
    """How parts of one kind are led in, and how several of them make one."""

    key: str
    lead: str
    next_lead: str = ""
    """Between the first and later parts; a new clause where empty."""
    one: Callable[[Sequence[Found]], Found | None] | None = None
    """Makes one of several, None where they contradict each other. Absent: each is its own part."""


def _tightest_most(found: Sequence[Found]) -> Found:
    return min(found, key=lambda each: each.says.prep_max or 0)


def _tightest_least(found: Sequence[Found]) -> Found:
    return max(found, key=lambda each: each.says.prep_min or 0)


def _least_mess(found: Sequence[Found]) -> Found:
    return min(found, key=lambda each: each.says.mess_max or 0)


def _largest_group(found: Sequence[Found]) -> Found:
    return max(found, key=lambda each: each.says.group or 0)


def _agreeing(found: Sequence[Found]) -> Found | None:
    return found[0] if all(each.says == found[0].says for each in found) else None


def _ages(found: Sequence[Found]) -> Found:
    """Ages that overlap narrow each other ("30 month old toddlers"); others are spanned."""
    low, high = _months(found[0])
    for each in found[1:]:
        other_low, other_high = _months(each)
        if max(low, other_low) <= min(high, other_high):
            low, high = max(low, other_low), min(high, other_high)
        else:
            low, high = min(low, other_low), max(high, other_high)
    return found_ages(low, high, found[0].tokens)


def _months(found: Found) -> tuple[int, int]:
    one = found.says.age_months
    return found.says.age_range or (one or 0, one or 0)


KINDS: tuple[Kind, ...] = (
    Kind(WORD, "about ", " and "),
    Kind("centers", "for ", " or "),
    Kind("age", "for ", one=_ages),
    Kind("group", "for ", one=_largest_group),
    Kind("prep_min", "", one=_tightest_least),
    Kind("prep_max", "", one=_tightest_most),
    Kind("with", "with "),
    Kind("without", "without ", " or "),
    Kind("on_hand", "with ", one=_agreeing),
    Kind("technique", "technique ", one=_agreeing),
    Kind("domains", "to practice "),
    Kind("place", "", one=_agreeing),
    Kind("season", "in ", one=_agreeing),
    Kind("mess_max", "", one=_least_mess),
    Kind("adult", "with ", one=_agreeing),
    Kind("status", "", one=_agreeing),
)
"""The kinds of parts in the order in which the sentence says them. What is led in by no kind of
these ("allergic to") is taken and not said."""
_BY_KEY = {kind.key: kind for kind in KINDS}
_ORDER = {kind.key: place for place, kind in enumerate(KINDS)}


def join(text: Text, found: Iterable[Found]) -> tuple[Part, ...]:
    """The parts of the sentence but for words. What contradicts itself goes back to the words."""
    by_kind: dict[str, list[Found]] = {}
    for each in found:
        by_kind.setdefault(each.kind, []).append(each)
    parts: list[Part] = []
    for key in sorted(by_kind.keys() & _BY_KEY.keys(), key=_ORDER.__getitem__):
        kind = _BY_KEY[key]
        for one, tokens in _joined(text, kind, by_kind[key]):
            parts.append(Part(kind.key, "", one.shown, spans_of(text, tokens), one.says))
    return tuple(parts)


def with_leads(parts: Iterable[Part]) -> tuple[Part, ...]:
    """The same parts, each with what the sentence says before it."""
    led: list[Part] = []
    for part in parts:
        kind = _BY_KEY[part.kind]
        clause = " " if not led and kind.lead else ", "
        follows = bool(led) and led[-1].kind == part.kind and kind.next_lead
        lead = kind.next_lead if follows else clause + kind.lead
        led.append(Part(part.kind, lead, part.shown, part.spans, part.says))
    return tuple(led)


def say(parts: Iterable[Part]) -> str:
    """The sentence that these parts make."""
    return "Activities" + "".join(part.lead + part.shown for part in with_leads(parts))


def merge(parts: Iterable[Part]) -> Conditions:
    """The conditions that these parts set together."""
    saying = [part.says for part in parts if part.says is not NOTHING_SAID]
    if len(saying) < 2:
        return saying[0] if saying else NOTHING_SAID
    said: dict[str, Any] = {}
    for name, value in (each for says in saying for each in _said_in(says)):
        many = isinstance(value, tuple) and name in said and name != "age_range"
        said[name] = unique((*said[name], *value)) if many else value
    return Conditions(**said)


def spans_of(text: Text, tokens: Sequence[int]) -> tuple[tuple[int, int], ...]:
    """Where these tokens stand in the text, neighbors together."""
    spans: list[tuple[int, int]] = []
    for at, token in enumerate(tokens):
        where = text.tokens[token]
        if at and tokens[at - 1] == token - 1:
            spans[-1] = (spans[-1][0], where.end)
        else:
            spans.append((where.start, where.end))
    return tuple(spans)


def _joined(text: Text, kind: Kind, found: Sequence[Found]) -> list[tuple[Found, tuple[int, ...]]]:
    if len(found) == 1:
        return [(found[0], found[0].tokens)]
    if kind.one is None:
        return [(same[0], _tokens(same)) for same in _equals(found)]
    one = kind.one(found)
    if one is None:
        text.shield(_tokens(found), "")
        return []
    return [(one, _tokens(found))]


def _equals(found: Sequence[Found]) -> list[list[Found]]:
    """What was found, those that say the same together, in the order of their first mention."""
    groups: dict[Conditions, list[Found]] = {}
    for each in sorted(found, key=lambda each: each.tokens):
        groups.setdefault(each.says, []).append(each)
    return list(groups.values())


def _tokens(found: Iterable[Found]) -> tuple[int, ...]:
    return tuple(sorted({token for each in found for token in each.tokens}))


_UNSAID = tuple((each.name, each.default) for each in fields(Conditions))


def _said_in(conditions: Conditions) -> list[tuple[str, Any]]:
    """What some conditions say, by name."""
    said = ((name, getattr(conditions, name), unsaid) for name, unsaid in _UNSAID)
    return [(name, value) for name, value, unsaid in said if value != unsaid]
