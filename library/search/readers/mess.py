"""How much mess: "no mess", "low mess", "not too messy". "Messy" alone stays a word."""

from __future__ import annotations

from collections.abc import Iterator

from library.search.conditions import Conditions
from library.search.readers.phrases import meanings, telling
from library.search.readers.text import Found, Text
from library.search.vocabulary import Vocabulary

WORDS: tuple[str, ...] = ()
"""Words whose slips of typing are mended: none, they are too short."""

SHOWN = {
    0: "no mess",
    1: "low mess",
    2: "some mess at most",
    3: "any mess at all",
}
"""How the sentence says the most mess, on the cards' scale."""

_PHRASES = meanings({
    0: "no mess | mess free | zero mess | without mess | without any mess | without making a mess"
    " | without a mess | without the mess | no mess at all | not messy at all | non mess | messless"
    " | free of mess | no clean up | no cleanup | doesnt make a mess | dont make a mess",
    1: "not messy | low mess | little mess | minimal mess | less mess | less messy | not too messy"
    " | not very messy | not so messy | not that messy | isnt messy | isnt too messy | arent messy"
    " | isnt very messy | arent too messy | wont be messy | wont be too messy | wont make a mess"
    " | without much mess | without a lot of mess | without too much mess | not much mess"
    " | not a lot of mess | hardly any mess | barely any mess | nothing messy | nothing too messy"
    " | non messy | not a big mess | without a big mess | not super messy | not really messy"
    " | not overly messy | not terribly messy | low on mess | nothing very messy | wont make much mess"
    " | doesnt make much mess | doesnt make too much mess | not too much mess | very little mess"
    " | as little mess as possible | low messy | wont make too much mess | not terribly messy"
    " | not make a mess | wont make a big mess | no big mess | least mess | least messy",
    2: "some mess at most | some mess | medium mess | moderate mess | a bit of mess"
    " | mess up to 2 | at most some mess | moderately messy",
    3: "any mess at all",
})  # fmt: skip


TELLING = telling(_PHRASES, words=("mess", "messy"))
"""Words of which one stands wherever this is said; a question without any is not read for it."""


def read_mess(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """The most mess a question allows."""
    at = 0
    while at < len(text):
        match = _PHRASES.at(text, at)
        bare = text.free(at) and text.word(at) in {"mess", "messy"}
        if match is None and bare and text.in_negated_list(at):
            match = ([0 if text.word(at) == "mess" else 1], at + 1)
        if match is None:
            at += 1
            continue
        most = match[0][0]
        yield Found("mess_max", tuple(range(at, match[1])), Conditions(mess_max=most), SHOWN[most])
        at = match[1]
