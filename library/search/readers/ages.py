"""How old the children are: "30 months", "2½", "my older twos", "toddlers", "under threes"."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from library.search.conditions import OLDEST_MONTHS, Conditions
from library.search.readers.numbers import NUMBERS, Number, read_number
from library.search.readers.phrases import end_of, openings_of, phrases
from library.search.readers.text import Found, Text, opening
from library.search.readers.typos import is_slip_for
from library.search.vocabulary import Vocabulary

WORDS: tuple[str, ...] = tuple("toddlers toddler".split())
"""Words whose slips of typing are mended."""

TODDLERS = (12, 35)
"""Months. Source: Caring for Our Children, standard 3.1.3.1: activity for toddlers of 12 to 35 months."""
_FEWEST_MONTHS = 12
"""Fewer bare months ("keeps six months") need "old" behind them to be an age."""
_OLDEST_BARE = 4
_MOST_MONTHS = OLDEST_MONTHS
_MOST_YEARS = 12

_MONTHS = frozenset("month months mo mos mth mths mnths".split())
_YEARS = frozenset("year years yr yrs y".split())
_OLD = frozenset("old olds".split())
_PLURALS = {"ones": 1, "twos": 2, "threes": 3, "fours": 4, "fives": 5}
_EARLY = frozenset("young younger youngest early".split())
_LATE = frozenset("old older oldest late".split())
_ROOMS = frozenset("class classroom group groups room rooms roomful".split())
_LEADS = frozenset("age ages aged".split())
_BELOW = phrases("under | younger than | less than | below | <")
_UP_TO = phrases(
    "up to | until | up till | at most | no more than | no older than | not older than | ≤"
)
_ABOVE = phrases(
    "over | older than | above | at least | from | more than | starting at | > | ≥ | minimum",
)
_AND_UP = phrases(
    "and up | and over | and older | or older | + | plus | and above | upwards | or over | or up",
    "and upwards | or more | and more",
)
_AND_DOWN = phrases("and under | or younger | and younger | or under | or less | and below | max")
_COUNTED_BY = frozenset("in by into".split())
"""Before "twos" and "threes": children stand in twos, one counts by twos."""


_TODDLERS = frozenset("toddler toddlers".split())
_FROM = frozenset("between from".split())
_OPENINGS = openings_of(
    _BELOW,
    _UP_TO,
    _ABOVE,
    words=(*NUMBERS, *_PLURALS, *_EARLY, *_LATE, *_LEADS, *_TODDLERS, *_FROM),
)
"""Words that such a condition may begin with."""
TELLING = NUMBERS | _PLURALS.keys() | _TODDLERS
"""Words of which one stands wherever this is said; a question without any is not read for it."""


class Ages(NamedTuple):
    """Ages in months, both included, and the place behind what says them."""

    low: int
    high: int
    end: int

    @property
    def is_one(self) -> bool:
        """Whether it is one age."""
        return self.low == self.high


def read_ages(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """The ages that a question is about."""
    at = 0
    while at < len(text):
        opens = text.free(at) and opening(text.word(at)) in _OPENINGS and not text.negated(at)
        ages = _read_at(text, at) if opens else None
        if ages is None:
            at += 1
            continue
        tokens = tuple(range(_with_leads(text, at), _with_room(text, ages.end)))
        yield found_ages(ages.low, ages.high, tokens)
        at = tokens[-1] + 1


def _with_leads(text: Text, at: int) -> int:
    """The first of the words before an age that belong to it: "aged", "a group of"."""
    if text.word(at - 1) in _LEADS and text.free(at - 1):
        return at - 1
    if text.word(at - 1) == "of" and text.word(at - 2) in _ROOMS | {"bunch"} and text.free(at - 2):
        return at - 2
    return at


def _with_room(text: Text, end: int) -> int:
    """The place behind "room" or "class" that follows an age: "the twos room"."""
    return end + 1 if not text.breaks(end) and text.free(end) and text.word(end) in _ROOMS else end


def _read_at(text: Text, at: int) -> Ages | None:
    return _range(text, at) or _compared(text, at) or _span(text, at)


def found_ages(low: int, high: int, tokens: tuple[int, ...]) -> Found:
    """The condition for ages in months, one age where both ends are the same."""
    one = low == high
    says = Conditions(age_months=low) if one else Conditions(age_range=(low, high))
    return Found("age", tokens, says, shown_ages(low, high))


def shown_ages(low: int, high: int) -> str:
    """How the sentence says ages; of babies with "old", since few bare months are no age."""
    said = high if low <= 0 and high < OLDEST_MONTHS else low
    few = said < _FEWEST_MONTHS
    of, months = ("", "months old") if few else ("of ", "months")
    if low == high:
        return f"children {of}{low} {months}"
    if high >= OLDEST_MONTHS:
        return f"children {of}{low} {months} and up"
    if low <= 0:
        return f"children up to {high} {months}"
    return f"children {of}{low} to {high} {months}"


def _compared(text: Text, at: int) -> Ages | None:
    """Reads "under threes", "up to 36 months", "over 30 months", "from 2 to 3½ years"."""
    tables = (_BELOW, _UP_TO, _ABOVE)
    ends = [end_of(table, text, at) for table in tables]
    start = max((end for end in ends if end is not None), default=None)
    if start is None or text.breaks(start):
        return None
    below, up_to, _ = (end == start for end in ends)
    cued = (
        text.word(start) in _LEADS
        or _is_for(text, at)
        or text.word(start - 2) in {"younger", "older"}
    )
    start += text.word(start) in _LEADS
    start += text.word(start) == "of"
    ages = _span(text, start) or (_bare_years(text, start) if cued else None)
    if ages is None or text.negated(at):
        return None
    if below:
        return Ages(0, ages.low - 1, ages.end) if ages.low else None
    if up_to:
        birthday = text.word(ages.end - 1) in _YEARS
        return Ages(0, ages.low if birthday else ages.high, ages.end)
    return Ages(ages.low, OLDEST_MONTHS, ages.end)


def _is_for(text: Text, at: int) -> bool:
    return text.word(at - 1) in {"for", "age", "ages", "aged", "children", "kids"}


def _span(text: Text, at: int) -> Ages | None:
    """One age or a range of ages, with "and up" or "and under" behind it."""
    ages = _range(text, at) or _point(text, at) or _bare_and_up(text, at)
    if ages is None or text.breaks(ages.end):
        return ages
    up, down = end_of(_AND_UP, text, ages.end), end_of(_AND_DOWN, text, ages.end)
    if up is not None:
        return Ages(ages.low, OLDEST_MONTHS, up)
    if down is not None:
        return Ages(0, ages.high, down)
    return ages


def _bare_and_up(text: Text, at: int) -> Ages | None:
    """Reads "3 and up", "2+": a number this small is an age, where no noun follows."""
    number = read_number(text, at)
    if number is None or number.value > _OLDEST_BARE or text.breaks(number.end):
        return None
    ends = (end_of(table, text, number.end) for table in (_AND_UP, _AND_DOWN))
    end = next((end for end in ends if end is not None), None)
    if end is None or text.word(number.end) == "or" or not text.ends_name(end):
        return None
    return _of_years(number.value, number.end)


def _range(text: Text, at: int) -> Ages | None:
    """Reads "30 to 36 months", "2-3 year olds", "twos and threes", "ages 2 to 3½"."""
    at += text.word(at) in _FROM and text.free(at)
    led = text.word(at) in _LEADS or text.word(at - 1) in _LEADS
    first = _point(text, at)
    number = read_number(text, at) if first is None else None
    end = first.end if first else number.end if number else None
    if end is None or text.breaks(end) or not text.free(end):
        return None
    after = _behind_joint(text, end)
    second = None if after is None else _point(text, after)
    if second is None and after is not None and first is not None:
        second = _bare_end(text, after, first, led)
    if first is None and second is not None and number is not None:
        first = _in_unit_of(text, number, second)
    if first is None or second is None:
        return None
    return Ages(min(first.low, second.low), max(first.high, second.high), second.end)


def _behind_joint(text: Text, at: int) -> int | None:
    """The place behind the "to", hyphen, "and" or "or" that joins two ages."""
    if text.word(at) in {"to", "through", "thru", "till", "until", "or", "and", "&"}:
        return at + 1 + (text.word(at + 1) in {"my", "our", "the"})
    return at if text.tokens[at].gap == "-" else None


def _bare_end(text: Text, at: int, first: Ages, led: bool) -> Ages | None:
    """The upper end without a unit: "ages 2 to 3" lasts to the fourth birthday, "2½ to 3" to the third."""
    bare = _bare_years(text, at)
    if bare is None or led:
        return bare
    return Ages(bare.low, bare.low, bare.end) if first.is_one and first.low % 12 else None


def _in_unit_of(text: Text, number: Number, second: Ages) -> Ages | None:
    """The lower end of a range whose unit stands behind the upper: 30 to 36 months."""
    word = text.word(second.end - 1)
    months = word in _MONTHS or word == "m" or text.word(second.end - 2) in _MONTHS
    if not months:
        return _of_years(number.value, number.end)
    return Ages(int(number.value), int(number.value), number.end) if number.whole else None


def _bare_years(text: Text, at: int) -> Ages | None:
    """A number without a unit, where an age is meant: "ages 2 to 3", "age 30"."""
    number = read_number(text, at)
    if number is None or not text.ends_name(number.end):
        return None
    if number.whole and _FEWEST_MONTHS <= number.value <= _MOST_MONTHS:
        return Ages(int(number.value), int(number.value), number.end)
    return _of_years(number.value, number.end) if number.value <= 6 else None


def _of_years(years: Fraction, end: int) -> Ages | None:
    """A whole year lasts twelve months: 2 is 24 to 35; 2½ is one age of 30."""
    months = int(years * 12)
    if not 0 < years <= _MOST_YEARS:
        return None
    return Ages(months, months + 11 if years.denominator == 1 else months, end)


def _point(text: Text, at: int) -> Ages | None:
    """One age, or the year of age that a word like "twos" stands for."""
    if text.word(at) in _EARLY | _LATE and text.free(at):
        return _half_of(text, at)
    if text.word(at) in _TODDLERS and text.free(at):
        return Ages(*TODDLERS, at + 1)
    if text.word(at) in _LEADS and text.free(at):
        return _bare_years(text, at + 1) or _point_from_number(text, at + 1)
    return _plural(text, at) or _point_from_number(text, at)


def _half_of(text: Text, at: int) -> Ages | None:
    """The younger or older half of a year of age: "young threes" 36 to 41 months."""
    whole = _plural(text, at + 1) or _point_from_number(text, at + 1)
    if whole is None or whole.high - whole.low != 11 or text.breaks(at + 1):
        return None
    if text.word(at) in _EARLY:
        return Ages(whole.low, whole.low + 5, whole.end)
    return Ages(whole.low + 6, whole.high, whole.end)


def _plural(text: Text, at: int) -> Ages | None:
    """Reads "2s", "twos", "threes"; "ones", "fours" and "fives" only where children are meant."""
    if not text.free(at):
        return None
    word = text.word(at)
    if word[0].isdecimal() and len(word) == 1 and text.word(at + 1) == "s" and text.joined(at + 1):
        ages = _of_years(Fraction(word), at + 2)
    elif word in _PLURALS and (word in {"twos", "threes"} or _means_children(text, at)):
        ages = _of_years(Fraction(_PLURALS[word]), at + 1)
    else:
        return None
    return None if text.word(at - 1) in _COUNTED_BY else ages


def _means_children(text: Text, at: int) -> bool:
    before, joint = text.word(at - 1), text.word(at - 2)
    if before in {"and", "or", "to"}:
        return joint in _PLURALS or joint == "s"
    follows = text.word(at + 1) in {"and", "or"} and text.word(at + 2) in {"twos", "threes"}
    return follows or (before in {"under", "over"} and text.word(at) != "ones")


def _point_from_number(text: Text, at: int) -> Ages | None:
    number = read_number(text, at)
    if number is None:
        return None
    if text.breaks(number.end) or not text.free(number.end):
        return _half_year(text, number, at)
    if text.word(number.end) in {"+", "plus"} and text.word(number.end + 1) in _MONTHS:
        return Ages(int(number.value), OLDEST_MONTHS, number.end + 2)
    unit = text.word(number.end)
    if unit in _YEARS or is_slip_for(unit, "years") or unit in {"yo", "yos"}:
        return _years(text, number)
    if unit in _MONTHS or (is_slip_for(unit, "months") and unit not in {"moths", "mouths"}):
        return _months(text, number, number.end + 1)
    if unit == "m" and text.joined(number.end) and number.value >= 18:
        return _months(text, number, number.end + 1)
    return _half_year(text, number, at)


def _years(text: Text, number: Number) -> Ages | None:
    """Whole years, years and months ("2y6m", "3 years 2 months"), "year olds"."""
    at = number.end + 1
    after = at + (text.word(at) == "and")
    more = read_number(text, after) if not text.breaks(at) else None
    if more and number.whole and (text.word(more.end) in _MONTHS or text.word(more.end) == "m"):
        months = int(number.value * 12 + more.value)
        return Ages(months, months, _behind_old(text, more.end + 1))
    return _of_years(number.value, _behind_old(text, at))


def _months(text: Text, number: Number, at: int) -> Ages | None:
    end = _behind_old(text, at)
    few = number.value < _FEWEST_MONTHS and end == at
    if few or not number.whole or number.value > OLDEST_MONTHS:
        return None
    if end == at and number.value > _MOST_MONTHS:
        return None
    return Ages(int(number.value), int(number.value), end)


def _behind_old(text: Text, at: int) -> int:
    """The place behind "old", "olds" or "of age"."""
    if text.breaks(at) or not text.free(at):
        return at
    if text.word(at) in _OLD and text.word(at + 1) != "than":
        return at + 1
    if text.word(at) == "of" and text.word(at + 1) == "age":
        return at + 2
    return at


def _half_year(text: Text, number: Number, at: int) -> Ages | None:
    """Reads "2½", "two and a half", "2.5": an age, unless something is counted or measured."""
    if number.whole or not 1 <= number.value <= 6 or not text.ends_name(number.end):
        return None
    if number.value.denominator not in {2, 4} or text.word(number.end) in {"/", "%", "of"}:
        return None
    return Ages(int(number.value * 12), int(number.value * 12), number.end)
