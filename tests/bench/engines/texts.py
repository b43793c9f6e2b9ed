"""What the other engines index of a card, and how their slips of typing are corrected."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from library.cards.card import Card
from library.search.analysis import LETTERS, STOP_WORDS, fold, stem
from library.search.spelling import corrected, respelled
from library.search.view import View


def texts_of(cards: Sequence[Card]) -> Iterator[tuple[str, str, str, str]]:
    """Title, technique, materials and body of each card."""
    for card in cards:
        materials = "\n".join(line.item for line in card.materials)
        yield card.title, card.technique, materials, card.body


def corrections(view: View) -> Callable[[str, bool], str]:
    """Corrects words with Lowshelf's own speller, for none of the others has one as fast."""

    def mend(words: str, typing: bool) -> str:
        runs = LETTERS.findall(fold(words))
        runs = runs[:-1] if typing else runs
        wrong = [w for w in runs if w not in STOP_WORDS and not view.holding(stem(w))]
        return respelled(words, {w: corrected(w, view) or w for w in wrong}) if wrong else words

    return mend
