"""The season: "in winter", "fall leaves"; not "a spring on a string", "things that fall"."""

from __future__ import annotations

from collections.abc import Iterator

from library.search.conditions import Conditions
from library.search.readers.text import Found, Text
from library.search.vocabulary import Vocabulary

WORDS = tuple("autumn winter summer spring".split())
"""Words whose slips of typing are mended."""

_SEASONS = {
    "fall": "fall", "autumn": "fall", "winter": "winter", "spring": "spring", "summer": "summer",
    "wintertime": "winter", "summertime": "summer", "springtime": "spring", "wintery": "winter",
    "wintry": "winter", "summery": "summer", "autumnal": "fall",
}  # fmt: skip
TELLING = frozenset(_SEASONS)
"""Words of which one stands wherever this is said; a question without any is not read for it."""
_DOUBTFUL = frozenset({"fall", "spring"})
"""They also mean something else, and need a sign beside them."""

_BEFORE = frozenset("in for this early late next during last our each every of".split())
_BEHIND = frozenset(
    """
    activity activities art birds blossom blossoms break colors craft crafts day days decorations
    flowers garden gardening harvest holiday ideas leaf leaves project projects season term theme
    themed themes time unit vegetables walk walks weather week weeks
    """.split()
)
_NOT_BEHIND = frozenset(
    """
    apart asleep away back behind chicken coil down from green greens in into lamb loaded off on onion
    onions open over roll rolls scale toy toys through to under up water
    """.split()
)
_ARTICLES = frozenset("the a an".split())


def read_season(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """The time of the year."""
    for at in range(len(text)):
        season = _SEASONS.get(text.word(at))
        if season is None or not text.free(at) or text.negated(at):
            continue
        if text.word(at) not in _DOUBTFUL or _is_season(text, vocabulary, at):
            yield Found("season", (at,), Conditions(season=season), season)


def _is_season(text: Text, vocabulary: Vocabulary, at: int) -> bool:
    behind = "" if text.breaks(at + 1) else text.word(at + 1)
    before = "" if text.breaks(at) else text.word(at - 1)
    if behind in _NOT_BEHIND and text.free(at + 1):
        return False
    if before in _BEFORE:
        return True
    if before == "the":
        return text.word(at - 2) in {"in", "for", "during"} and text.ends_name(at + 1)
    if before in _ARTICLES:
        return behind in _BEHIND
    if not text.breaks(at + 1) and vocabulary.center_phrases.at(text, at + 1):
        return behind != "water" and before not in {"things", "they", "that", "to"}
    if behind in _BEHIND:
        return not before or text.ends_name(at) or before not in {"leaves", "things", "they"}
    stands_alone = not before or bool(text.taken[at - 1])
    return stands_alone and (text.ends_name(at + 1) or (not before and _names_thing(text, at + 1)))


def _names_thing(text: Text, at: int) -> bool:
    """Whether a question goes on with a thing: "fall pumpkins", "spring flowers"."""
    token = text.tokens[at]
    return token.word != token.key
