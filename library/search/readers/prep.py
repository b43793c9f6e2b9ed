"""How long the preparation may take: "under ten minutes", "no prep", "half an hour tops", "quick"."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from library.search.conditions import Conditions
from library.search.readers.durations import (
    DURATIONS,
    TELLING_TIME,
    Duration,
    is_minutes,
    read_duration,
)
from library.search.readers.numbers import Number, read_number
from library.search.readers.phrases import end_of, openings_of, phrases, telling
from library.search.readers.text import Found, Text, opening
from library.search.vocabulary import Vocabulary

WORDS: tuple[str, ...] = tuple("minutes minute quarter quick quickly preparation under".split())
"""Words whose slips of typing are mended."""

QUICK_MINUTES = 5
"""What "quick" and "low prep" stand for; the sentence shows it."""
_FEWEST_BARE = 5
"""A smaller number without a unit is more likely an age or a number of children."""
_MOST_BARE = 120

_UPPER = phrases(
    "under | less than | fewer than | below | within | up to | at most | at the most | at max",
    "no more than | not more than | no longer than | not longer than | not over | shorter than",
    "no more then | less then | quicker than | faster than | maximum of | a maximum of | max of",
    "maximum | max | a max of | in under | in less than | up to about | just under | well under",
    "in no more than | < | < = | ≤ | as little as",
)
_LOWER = phrases(
    "more than | over | at least | longer than | above | no less than | not less than",
    "not under | minimum | minimum of | a minimum of | upwards of | greater than | > | > = | ≥",
)
_TAIL_UPPER = phrases(
    "or less | or fewer | or under | or below | or shorter | or quicker | max | maximum | tops",
    "at most | at the most | at max | at the outside | and under | and less | or so",
    "or even less | or faster | limit",
)
_TAIL_LOWER = phrases("or more | or longer | or over | + | plus | and up | and over | at least")
_PREP = phrases(
    "prep | preps | of prep | prep time | of prep time | preparation | of preparation",
    "preparation time | to prep | to prepare | to set up | to setup | set up | of set up | setup",
    "of setup | set up time | setup time | to get ready | of work | to put together | to put out",
    "to set out | to make | hands on | of hands on work | for set up | for setup | for prep",
    "in prep | prep work | of prep work | it takes to set up",
)
_NO_PREP = phrases(
    "no prep | no preparation | zero prep | without prep | without any prep | no set up | no setup",
    "without preparation | without any preparation | without set up | without setup | prep free",
    "no advance prep | no advance preparation | no prep at all | zero preparation | no prep time",
    "nothing to prepare | nothing to prep | nothing to set up | no prep work | zero set up",
    "zero setup | no preparation time | no set up time | no setup time | preparation free",
    "setup free | set up free | not any prep | without any set up | without any setup",
    "doesnt need prep | doesnt need any prep | dont need prep | dont need any prep | non prep",
    "doesnt need setting up | dont have to prepare | dont have to prep | dont have to set up",
    "no need to prepare | no need to prep | no need to set up | no real prep | no actual prep",
)
_NEEDED = phrases("needed | required | necessary | at all | involved | whatsoever")
_QUICK = phrases(
    "quick | quickly | quickest | quickie | speedy | fast prep | fast setup | fast set up | low prep",
    "little prep | very little prep | minimal prep | hardly any prep | barely any prep | easy prep",
    "light prep | little preparation | minimal preparation | minimal set up | minimal setup",
    "low set up | low setup | easy setup | easy set up | fast to set up | fast to prepare",
    "quick prep | quick setup | quick set up | quick to set up | quick to prepare | quick to prep",
    "quick to make | not much prep | hardly any preparation | almost no prep | next to no prep",
    "hardly any set up | hardly any setup | little set up | little setup | very quick prep",
    "not a lot of prep | without much prep | without a lot of prep",
)
_NOT_QUICK = frozenset(
    """
    as clean cleanup dry dries drying feet foot fox hands march marching movement movements moving
    on release response run running runs sand steps time
    """.split()
)
"""Behind "quick" they show that something else than the preparation is quick."""

_LEADS = frozenset(
    """
    about around approx approximately can done in is just made make maybe need needing needs only
    prep prepare prepared preparation prepped ready require requires roughly set setup take takes
    taking that time to up with of be have got
    """.split()
)
_OTHER_TIME = frozenset(
    """
    after another bake baking busy chill cool cooling drying engaged entertain entertained
    entertains every first for freeze freezes freezing keep keeps last lasting lasts long occupied
    occupies rest run running runs sit sits soak soaking soaks span stay staying stays wait waiting
    waits
    """.split()
)
"""Before a stretch of time they show that it is no time of preparation."""
_PASSED_OVER = frozenset("at children for it kids me them us you".split())
_AFTER = frozenset(
    """
    ago apart break cleanup dance drying each from later long nap of old play playing rest song
    soaking story timer video wait walk
    """.split()
)
"""Behind a stretch of time they show the same."""
_TAKING = frozenset("need needs require requires take takes taking".split())
_COUNTING = frozenset("count counting counts numbers number".split())


_OPENINGS = openings_of(
    _NO_PREP, _QUICK, _UPPER, _LOWER, words=(*DURATIONS, "between", "from", "prep", "preparation")
)
"""Words that such a condition may begin with."""
TELLING = telling(_NO_PREP, _QUICK, words=(*TELLING_TIME, "prep", "preparation"))
"""Words of which one stands wherever this is said; a question without any is not read for it."""


class _Span(NamedTuple):
    """Limits in minutes and the tokens that say them."""

    low: int | None
    high: int | None
    start: int
    end: int


def read_prep(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """Limits to the minutes of preparation."""
    at = 0
    while at < len(text):
        if opening(text.word(at)) not in _OPENINGS:
            at += 1
            continue
        found = _no_prep(text, at) or _quick(text, at) or _limits(text, at)
        if found is None:
            at += 1
            continue
        yield from _found(found)
        at = max(found.end, at + 1)


def shown_most(minutes: int) -> str:
    """How the sentence says an upper limit."""
    if minutes == 0:
        return "no prep"
    return f"{minutes} minute{'' if minutes == 1 else 's'} or less"


def shown_least(minutes: int) -> str:
    """How the sentence says a lower limit."""
    return f"{minutes} minute{'' if minutes == 1 else 's'} or more"


def _found(span: _Span) -> Iterator[Found]:
    tokens = tuple(range(span.start, span.end))
    if span.low is not None:
        yield Found("prep_min", tokens, Conditions(prep_min=span.low), shown_least(span.low))
    if span.high is not None:
        yield Found("prep_max", tokens, Conditions(prep_max=span.high), shown_most(span.high))


def _no_prep(text: Text, at: int) -> _Span | None:
    end = end_of(_NO_PREP, text, at)
    bare = text.free(at) and text.word(at) in {"prep", "preparation"}
    if end is None and bare and text.in_negated_list(at):
        end = at + 1
    if end is None:
        return None
    takes = text.free(at - 1) and not text.breaks(at) and text.word(at - 1) in _TAKING
    return _Span(None, 0, at - takes, end_of(_NEEDED, text, end) or end)


def _quick(text: Text, at: int) -> _Span | None:
    end = end_of(_QUICK, text, at)
    if end is None or (text.negated(at) and text.word(at) not in {"not", "without"}):
        return None
    if not text.breaks(end) and text.word(end) in _NOT_QUICK:
        return None
    return _Span(None, QUICK_MINUTES, at, end)


def _limits(text: Text, at: int) -> _Span | None:
    """What a comparison, a stretch of time and what follows them set."""
    if not text.free(at):
        return None
    upper, lower = end_of(_UPPER, text, at), end_of(_LOWER, text, at)
    if lower is not None and _is_denied(text, at):
        upper, lower = lower, None
    elif text.negated(at):
        return None
    start = max(upper or at, lower or at)
    if start > at and text.breaks(start):
        return None
    between = _between(text, at) if upper is None and lower is None else None
    if between is not None:
        return between
    plus = _with_plus(text, start)
    if plus is not None:
        return plus
    duration = read_duration(text, start)
    if duration is None:
        return _without_unit(text, at, start, upper is not None, lower is not None)
    return _with_duration(text, at, duration, upper is not None, lower is not None)


def _with_plus(text: Text, at: int) -> _Span | None:
    """Reads "20+ minutes"."""
    number = read_number(text, at)
    if number and text.word(number.end) in {"+", "plus"} and is_minutes(text.word(number.end + 1)):
        return _Span(math.ceil(number.value), None, at, number.end + 2)
    return None


def _with_duration(
    text: Text, at: int, duration: Duration, upper: bool, lower: bool
) -> _Span | None:
    end, tails_upper, tails_lower, is_prep = _tails(text, duration.end)
    bare = not (upper or lower or tails_upper or tails_lower)
    start = _with_leads(text, at)
    if _is_other_time(text, start, end, is_prep, bare):
        return None
    if (lower or tails_lower) and not tails_upper:
        return _Span(math.ceil(duration.minutes), None, start, end)
    return _Span(None, math.floor(duration.minutes), start, end)


def _tails(text: Text, at: int) -> tuple[int, bool, bool, bool]:
    """Where what belongs to a stretch of time ends; whether it limits, and is about preparation."""
    upper = lower = prep = False
    for _ in range(3):
        if text.breaks(at):
            break
        less, more, about = (end_of(table, text, at) for table in (_TAIL_UPPER, _TAIL_LOWER, _PREP))
        if more is not None and not text.breaks(more) and read_number(text, more):
            more = None
        ends = [end for end in (less, more, about) if end is not None]
        if not ends:
            break
        at = max(ends)
        upper, lower, prep = upper or less == at, lower or more == at, prep or about == at
    return at, upper, lower, prep


def _with_leads(text: Text, at: int) -> int:
    """The first of the words before a limit that belong to it: "takes", "set up in"."""
    start = at
    while start > 0 and at - start < 6 and text.free(start - 1):
        gap = text.tokens[start].gap
        if text.word(start - 1) not in _LEADS or gap in {",", "."}:
            break
        start -= 1
    return start


def _is_denied(text: Text, at: int) -> bool:
    """Whether "more than" is what should not happen: "doesn't take me more than"."""
    before = at - 1
    while before > at - 4 and text.word(before) in _PASSED_OVER | _TAKING:
        before -= 1
    return text.negated(before + 1)


def _is_other_time(text: Text, start: int, end: int, is_prep: bool, bare: bool) -> bool:
    """Whether the stretch of time is that of playing, drying, waiting or a walk."""
    if is_prep:
        return False
    if not text.breaks(end) and not text.taken[end] and text.word(end) in _AFTER:
        return True
    before = start - 1
    while before >= max(start - 4, 0) and not text.tokens[before + 1].breaks:
        word = text.word(before)
        if word in _OTHER_TIME and (word != "for" or bare):
            return True
        if word not in _PASSED_OVER:
            break
        before -= 1
    return False


def _between(text: Text, at: int) -> _Span | None:
    """Reads "10 to 20 minutes", "between 10 and 20 minutes"."""
    both = text.word(at) in {"between", "from"}
    first = read_duration(text, at + both) or read_number(text, at + both)
    if first is None or text.breaks(first.end):
        return None
    hyphen = text.tokens[first.end].gap == "-"
    if not hyphen and text.word(first.end) not in ({"and", "to"} if both else {"to", "or"}):
        return None
    second = read_duration(text, first.end + (not hyphen))
    if second is None:
        return None
    low = first.minutes if isinstance(first, Duration) else _same_unit(first, second, text)
    end, _, _, is_prep = _tails(text, second.end)
    start = _with_leads(text, at)
    if low >= second.minutes or _is_other_time(text, start, end, is_prep, bare=True):
        return None
    return _Span(math.ceil(low), math.floor(second.minutes), start, end)


def _same_unit(first: Number, second: Duration, text: Text) -> Fraction:
    return first.value * 60 if text.key(second.end - 1) in {"hour", "hr", "h"} else first.value


def _without_unit(text: Text, at: int, start: int, upper: bool, lower: bool) -> _Span | None:
    """Reads "up to ten", "ten or less", "prep: 10", where nothing else can be meant."""
    number = read_number(text, start)
    if number is None or not number.whole or number.value > _MOST_BARE:
        return None
    end, tails_upper, tails_lower, is_prep = _tails(text, number.end)
    first = _with_leads(text, at)
    about_prep = is_prep or any(
        text.word(before) in {"prep", "preparation", "setup"} for before in range(first, at)
    )
    limited = upper or lower or tails_upper or tails_lower
    if not about_prep and (not limited or number.value < _FEWEST_BARE):
        return None
    if not _stands_alone(text, end) or any(
        text.word(before) in _COUNTING for before in range(max(first - 3, 0), first)
    ):
        return None
    if (lower or tails_lower) and not tails_upper:
        return _Span(int(number.value), None, first, end)
    return _Span(None, int(number.value), first, end)


def _stands_alone(text: Text, end: int) -> bool:
    """Whether no noun follows that the number could count, and no other number."""
    return (
        text.ends_name(end)
        and text.word(end) not in {"%", "/", "to", "of", "or", "and"}
        and (text.breaks(end) or text.tokens[end].gap != "-")
    )
