"""A question as a row of words: where each stands, what parts it from the one before, who has read it.

No word has a meaning here yet.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from library.materials.words import singular
from library.search.analysis import fold
from library.search.conditions import NOTHING_SAID, Conditions

LONGEST_TEXT = 2_000
"""Signs of a question that are read; the rest is cut off."""

_TOKEN = re.compile(r"\d+(?:\.\d+)?|[½¼¾⅓⅔⅛]|[^\W\d_]+(?:['’ʼ][^\W\d_]+)*|[<>≤≥=+/&%]")
_POSSESSIVE = re.compile(r"['’ʼ]s$")
_APOSTROPHE = re.compile(r"['’ʼ]")
_SHORT_FOR_IS = frozenset("what that it there here where who how let he she".split())
"""Behind these ``'s`` stands for "is", and nothing is owned."""
_BREAK = re.compile(r"[.!?;()\[\]…\n]|\s[-–—]+\s|—|--")
_HYPHEN = re.compile(r"^\s*[-‐‑–]\s*$")
_SHORTENED = frozenset("min mins max approx hr hrs mo mos yr yrs".split())
"""A full stop behind these ends no sentence."""

_AMERICAN = {
    "colour": "color", "colours": "colors", "coloured": "colored", "colouring": "coloring",
    "centre": "center", "centres": "centers", "grey": "gray", "practise": "practice",
    "practising": "practicing", "modelling": "modeling", "favourite": "favorite",
    "maths": "math", "cosy": "cozy",
}  # fmt: skip


class Token(NamedTuple):
    """One word, number or sign."""

    written: str
    """As it was typed."""
    word: str
    """In lower case, without accents and apostrophes, in US spelling, typing slips mended."""
    key: str
    """The word in the singular."""
    start: int
    end: int
    gap: str = ""
    """What parts it from the token before: nothing or blanks "", a hyphen "-", a comma ",", a
    colon ":", or the end of a sentence or aside "."."""
    joined: bool = False
    """Whether no blank parts it from the token before."""
    possessive: bool = False
    """Whether ``'s`` was cut off."""

    @property
    def breaks(self) -> bool:
        """Whether a comma or more stands before it."""
        return self.gap in {",", "."}


@dataclass(frozen=True, slots=True)
class Found:
    """What a reader found: a condition, and the tokens that say it."""

    kind: str
    """Its key among the conditions, or ``age``."""
    tokens: tuple[int, ...]
    says: Conditions
    shown: str
    """How the sentence will say it; reads back to the same."""


LEAD = "lead"
"""The kind of words that only lead conditions in: "with", "allergic to"."""


def lead(tokens: Iterable[int]) -> Found:
    """Takes words that lead in the conditions behind them and are no part of any of them."""
    return Found(LEAD, tuple(tokens), NOTHING_SAID, "")


ENDS_A_NAME = frozenset(
    """
    a about also an and any are around as at bc be because before but by can coz could cuz do does during
    except few for from has have having her his i if in inside into is it its like made me minus my
    need needs no non nor not of on only or our out outside over per please sans should since
    so some than thanks that the their them then they this to today tomorrow under until up use
    using we what when where which while who will with without within would you your
    """.split()
)
"""Words that cannot be the next part of a thing's name: a name may end before them."""

DETERMINERS = frozenset("a an any her his my our some that the their these this those your".split())

NEGATORS = frozenset(
    """
    no not without non never nor neither except minus avoid avoiding sans excluding
    dont doesnt didnt isnt arent wont shouldnt cant cannot couldnt wouldnt zero nothing
    """.split()
)
"""Words that turn what follows into what is not wanted."""

_BETWEEN = DETERMINERS | frozenset(
    "for at in on too very so really with be is are much need needs use uses using to such".split()
)


@dataclass(slots=True)
class Text:
    """The words of a question while it is being read."""

    written: str
    tokens: tuple[Token, ...]
    taken: list[str] = field(default_factory=list)
    """For each token the kind of what took it, or nothing."""
    words: frozenset[str] = field(init=False, default=frozenset())
    """All its words, digits as :data:`DIGITS`: by them a reader tells at once that it has no part."""
    keys: frozenset[str] = field(init=False, default=frozenset())
    """All its words in the singular."""
    read_already: dict[int, Any] = field(init=False, default_factory=dict)
    """Place → the number that begins there, see ``numbers.py``; forgotten as soon as words are taken."""

    def __post_init__(self) -> None:
        self.taken = [""] * len(self.tokens)
        self._gather()

    def _gather(self) -> None:
        self.words = frozenset([opening(token.word) for token in self.tokens])
        self.keys = frozenset([token.key for token in self.tokens])

    def __len__(self) -> int:
        return len(self.tokens)

    def word(self, at: int) -> str:
        """The word at a place, nothing outside the text."""
        return self.tokens[at].word if 0 <= at < len(self.tokens) else ""

    def key(self, at: int) -> str:
        """The singular of the word at a place, nothing outside the text."""
        return self.tokens[at].key if 0 <= at < len(self.tokens) else ""

    def free(self, at: int) -> bool:
        """Whether there is a token that nobody has taken."""
        return 0 <= at < len(self.tokens) and not self.taken[at]

    def breaks(self, at: int) -> bool:
        """Whether something ends before this place: the text, a sentence, a clause."""
        return not 0 < at < len(self.tokens) or self.tokens[at].breaks

    def joined(self, at: int) -> bool:
        """Whether the token follows the one before without a blank."""
        return 0 < at < len(self.tokens) and self.tokens[at].joined

    def ends_name(self, at: int) -> bool:
        """Whether a thing's name may end before this place."""
        return (
            self.breaks(at)
            or bool(self.taken[at])
            or self.tokens[at].gap == ":"
            or self.tokens[at].word in ENDS_A_NAME
            or not self.tokens[at].word[:1].isalpha()
        )

    def negated(self, at: int) -> bool:
        """Whether a negation just before this place reaches it."""
        for before in range(at - 1, max(at - 5, -1), -1):
            if self.tokens[before + 1].breaks:
                return False
            if self.word(before) in NEGATORS:
                return True
            if self.word(before) not in _BETWEEN:
                return False
        return False

    def in_negated_list(self, at: int) -> bool:
        """Whether "or" joins this place to something that is not wanted: "no paint or mess"."""
        if self.word(at - 1) not in {"or", "nor", "and"}:
            return False
        for before in range(at - 1, max(at - 8, -1), -1):
            if self.tokens[before + 1].gap == "." or self.word(before) in {"with", "for", "but"}:
                return False
            if self.word(before) in NEGATORS:
                return True
        return False

    def take(self, found: Found) -> None:
        """Marks the tokens of what was found."""
        self.shield(found.tokens, found.kind)

    def put_right(self, at: int, word: str) -> None:
        """Reads another word at a place than was typed."""
        tokens = list(self.tokens)
        tokens[at] = tokens[at]._replace(word=word, key=singular(word))
        self.tokens = tuple(tokens)
        self.read_already.clear()
        self._gather()

    def shield(self, places: Iterable[int], kind: str) -> None:
        """Marks tokens that no reader may look at."""
        self.read_already.clear()
        for at in places:
            self.taken[at] = kind


DIGITS = "0"
"""What stands for every number in digits."""


def opening(word: str) -> str:
    """The word by which tables say what may begin with it or needs it: for digits always the same."""
    return DIGITS if word[0].isdecimal() else word


def split_text(written: str) -> tuple[Token, ...]:
    """The tokens of a text, in one pass over its first :data:`LONGEST_TEXT` signs."""
    tokens: list[Token] = []
    end = 0
    for start, run in _runs(written[:LONGEST_TEXT]):
        between = written[end:start]
        one_blank = between == " "
        joined = not one_blank and bool(tokens) and not any(map(str.isspace, between))
        gap = "" if one_blank else _gap(between, tokens)
        token = _token(run, start, gap, joined)
        if token.word:  # a sign that some scripts count as a letter may leave nothing
            tokens.append(token)
            end = token.end
    return tuple(tokens)


def _runs(written: str) -> Iterator[tuple[int, str]]:
    """The words, numbers and signs of a text with their places."""
    words = written.split(" ")
    if written.isascii() and all(not word or word.isalpha() or word.isdigit() for word in words):
        at = 0
        for word in words:
            if word:
                yield at, word
            at += len(word) + 1
        return
    for match in _TOKEN.finditer(written):
        yield match.start(), match[0]


def _token(written: str, start: int, gap: str, joined: bool) -> Token:
    plain_already = written.isascii() and written.isalnum()
    plain = written if plain_already else _without_owner(written)
    word = fold(plain if plain_already else _APOSTROPHE.sub("", plain))
    word = _AMERICAN.get(word, word)
    return Token(
        written=written,
        word=word,
        key=singular(word),
        start=start,
        end=start + len(written),
        gap=gap,
        joined=joined,
        possessive=plain != written,
    )


def _without_owner(written: str) -> str:
    owner = _POSSESSIVE.sub("", written)
    return written if owner.lower() in _SHORT_FOR_IS else owner


def _gap(between: str, before: list[Token]) -> str:
    if not between or (between.isspace() and "\n" not in between):
        return ""
    if between.strip() == "." and before and before[-1].word in _SHORTENED:
        return ""
    if _HYPHEN.match(between):
        return (
            "-"
            if between.strip() == between or (before[-1:] and before[-1].word.isdigit())
            else "."
        )
    if _BREAK.search(between):
        return "."
    if "," in between:
        return ","
    return ":" if ":" in between else ""
