"""Slips of typing in the words that conditions are made of.

A slip is one letter too many, one too few, one wrong, or two neighbors changed about. Two neighbors
changed about hardly ever make another English word, so such a slip is read as what was meant; the
others only in words of five letters and more. The rest is offered, never read.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

Known: TypeAlias = Callable[[str], bool]
"""Whether a word is meant as it is typed."""

SHORTEST_SWAPPED = 4
"""Letters of the shortest condition word that is read with two neighbors changed about."""
SHORTEST_READ = 5
"""Letters of the shortest condition word that is read with one letter too many, too few or wrong."""
SHORTEST_OFFERED = 5
"""Letters of the shortest condition word that is offered as what was meant."""
SHORTEST_NAME = 6
"""Letters of the shortest name of a thing that is read with one letter too many or too few."""
MOST_LOOKED_UP = 4_096
_LONGEST = 24
"""Longer words are no slips of a condition word."""

REAL_WORDS = frozenset(
    """
    canter censer coiner corned cornet coroner courting daily daisy diary dramatis ease eased eases
    groupe insider insides literary minuet moor outsider outsides quack quirk sparing sprang sprig
    sprint sprung spying string tiddler whet winder winner
    """.split()
)
"""English words that lie one slip away from a condition word and mean something else."""


@dataclass(slots=True)
class Slips:
    """A table of words in which those one slip away are found without comparing with each."""

    words: frozenset[str]
    by_rest: dict[str, list[str]] = field(default_factory=dict)
    looked_up: dict[str, list[str]] = field(default_factory=dict)
    """What was found for the last words: a question that grows is read again with every letter."""

    def near(self, typed: str) -> list[str]:
        """The words of the table that are one slip away, in the order of the alphabet."""
        found = self.looked_up.get(typed)
        if found is None:
            if len(self.looked_up) >= MOST_LOOKED_UP:
                self.looked_up.clear()
            found = self.looked_up[typed] = self._look_up(typed)
        return found

    def _look_up(self, typed: str) -> list[str]:
        if len(typed) > _LONGEST:
            return []
        rests = (rest for rest in _rests(typed) if rest in self.by_rest)
        found = {word for rest in rests for word in self.by_rest[rest]}
        return sorted(word for word in found if is_slip_of(typed, word))


def slips_of(words: Iterable[str]) -> Slips:
    """The table for some words."""
    table = Slips(frozenset(words))
    for word in sorted(table.words):
        for rest in _rests(word):
            table.by_rest.setdefault(rest, []).append(word)
    return table


def nothing_known(_: str) -> bool:
    """Where no word is meant as it is typed."""
    return False


def mended(typed: str, table: Slips, known: Known = nothing_known) -> str | None:
    """The one condition word that a mistyped word can only mean; None where there is doubt."""
    misses = _near_misses(typed, table, known)
    if not misses:
        return None
    near = [word for word in misses if not _is_form_of(typed, word)]
    swapped = [word for word in near if _is_swap(typed, word) and len(word) >= SHORTEST_SWAPPED]
    long = [word for word in near if len(word) >= SHORTEST_READ and word[0] == typed[0]]
    sure = swapped or long
    return sure[0] if len(sure) == 1 else None


def mended_name(typed: str, table: Slips) -> str | None:
    """The one name of a thing that a mistyped word can only mean, where a name has to stand.

    Of the four slips a wrong letter is left out: it makes other things of things (beans, beads).
    """
    near = [word for word in table.near(typed) if not _is_form_of(typed, word)]
    sure = [
        word
        for word in near
        if _is_swap(typed, word)
        or (len(word) >= SHORTEST_NAME and len(typed) != len(word) and typed[0] == word[0])
    ]
    return sure[0] if len(sure) == 1 and len(typed) >= SHORTEST_SWAPPED else None


def _near_misses(typed: str, table: Slips, known: Known) -> Sequence[str]:
    """The words one slip away from one that nobody knows; few words are near any, so that is asked first."""
    near = table.near(typed) if len(typed) >= SHORTEST_SWAPPED else ()
    return () if not near or known(typed) or typed in REAL_WORDS else near


def offered(typed: str, table: Slips, known: Known) -> tuple[str, ...]:
    """Condition words that may have been meant, for a word that was not read."""
    if typed in table.words:
        return ()
    return tuple(
        word
        for word in _near_misses(typed, table, known)
        if len(word) >= SHORTEST_OFFERED
        and (typed[0] == word[0] or _is_swap(typed, word))
        and not _is_form_of(typed, word)
    )


def is_slip_for(typed: str, word: str) -> bool:
    """Whether a word where a condition's word has to stand is a slip of it; "bears" is not "years"."""
    return is_slip_of(typed, word) and (typed[0] == word[0] or _is_swap(typed, word))


def doubtful_names(typed: str, table: Slips) -> tuple[str, ...]:
    """Names of things that a word may have been meant for, where it is none itself."""
    near = table.near(typed)
    return tuple(
        word for word in near if len(word) >= SHORTEST_OFFERED and not _is_form_of(typed, word)
    )


def _is_form_of(typed: str, word: str) -> bool:
    """Whether one is the other with an ending: draft and drafts, prepare and prepared."""
    shorter, longer = sorted((typed, word), key=len)
    return longer.startswith(shorter) and longer[len(shorter) :] in {"s", "d", "r"}


def is_slip_of(typed: str, word: str) -> bool:
    """Whether a word differs from another by exactly one slip."""
    if typed == word or abs(len(typed) - len(word)) > 1:
        return False
    if _is_swap(typed, word):
        return True
    start = 0
    while start < min(len(typed), len(word)) and typed[start] == word[start]:
        start += 1
    if len(typed) == len(word):
        return typed[start + 1 :] == word[start + 1 :]
    if len(typed) > len(word):
        return typed[start + 1 :] == word[start:]
    return typed[start:] == word[start + 1 :]


def _is_swap(typed: str, word: str) -> bool:
    if len(typed) != len(word):
        return False
    unlike = [at for at in range(len(word)) if typed[at] != word[at]]
    if len(unlike) != 2 or unlike[1] != unlike[0] + 1:
        return False
    first, second = unlike
    return typed[first] == word[second] and typed[second] == word[first]


def _rests(word: str) -> Iterator[str]:
    """The word itself, and what is left when any one letter is taken out."""
    yield word
    for at in range(len(word)):
        yield word[:at] + word[at + 1 :]
