"""Makes a library of any size for measuring: the same cards for the same number and seed.

The words follow Zipf's law (the k-th word is drawn k times less often than the first), with the
trade's own words at the head and made-up ones behind, so that lists of matches are as uneven as in
a real collection. The front matter has every field that search filters by.
"""

from __future__ import annotations

import itertools
import random
from bisect import bisect
from collections.abc import Iterator
from pathlib import Path

CENTERS = (
    "sensory", "water", "light", "art", "easel", "dough", "dramatic", "blocks", "table", "writing",
    "books", "science", "music", "outdoors", "circle",
)  # fmt: skip
SEASONS = ("spring", "summer", "fall", "winter")
TECHNIQUES = (
    "sponge squeezing", "pouring", "posting through slots", "threading", "tearing", "rolling",
    "stacking", "scooping", "brushing", "pressing", "wringing", "matching", "sorting", "dropping",
    "tapping", "wrapping", "hanging", "peeling", "dabbing", "rubbing",
)  # fmt: skip
DOMAINS = tuple(
    f"{series}-{area}-{number}"
    for series in ("IT", "P")
    for area in ("ATL", "SE", "LC", "C", "PMP")
    for number in range(1, 9)
)
HEADINGS = (
    "Set up", "Invite", "Watch for", "Easier", "Harder", "Adaptations", "Cautions", "Pack away",
)  # fmt: skip
HEAD_WORDS = tuple(
    """
    the a and of to in it with on for one is at from child children hand hands water tray cup small
    large wet dry slow table floor paper sponge bowl towel tub fill empty pour lift press hold drop
    look wait show offer basket cloth leaf stone sand scoop spoon cover open close near far under
    soft rough warm cold heavy light quiet loud roll push pull squeeze twist tear tape brush paint
    clay dough block tower bridge road ramp tube tunnel box lid ring peg string ribbon bell drum
    song circle story book page picture window mirror lamp shadow color red blue yellow green white
    black brown apron shelf chair mat rug corner door path garden puddle rain wind snow frost
    mitten lantern night moon soup pot ladle carrot onion potato bread salt sea shell wave boat sail
    rope net fish gull hill wheel ball cart slope long short tall wide narrow heap row line pair
    count sort match stack nest build knock carry walk run jump crawl climb stand kneel point name
    ask answer listen turn share wash rinse wipe sweep fold hang tie knead flatten cut snip glue
    stamp trace draw scribble mark letter seed bean rice flour oat cork feather wool felt silk
    """.split()
)
MATERIALS = (
    "hand sponge", "water", "water tub", "towel", "tray", "basket", "plastic jug", "ladle", "sand",
    "plastic scoop", "cardboard box", "fabric squares", "paint brush", "washable paint",
    "construction paper", "masking tape", "wooden block", "white rice", "flour", "salt", "play dough",
    "rolling pin", "felt", "wool yarn", "smooth river stone", "mirror", "flashlight", "picture book",
    "hand drum", "bell", "scarf", "paper plate", "glue stick", "child scissors", "clothespin",
)  # fmt: skip
TAIL_WORDS = 12_000
BODY_WORDS = (160, 320)


def write_library(folder: Path, cards: int, *, seed: int = 1) -> None:
    """Writes a library folder of so many cards, two hundred to a folder."""
    (folder / "themes").mkdir(parents=True, exist_ok=True)
    for number, text in enumerate(card_texts(cards, seed=seed)):
        part = folder / "activities" / CENTERS[number % 15] / f"{number // 3000:03}"
        part.mkdir(parents=True, exist_ok=True)
        (part / f"card-{number:06}.md").write_text(text, encoding="utf-8")
    write_materials(folder)


def write_materials(folder: Path) -> None:
    """Writes an entry with one other name for every material that the cards use."""
    rows = [
        f"- item: {item}\n  also: [old {item}]\n  kind: durable\n  loose: false\n"
        for item in MATERIALS
    ]
    (folder / "activities" / "materials.yaml").write_text("".join(rows), encoding="utf-8")


def card_texts(cards: int, *, seed: int = 1) -> Iterator[str]:
    """The texts of so many card files."""
    rng = random.Random(seed)
    words = Words(rng)
    for number in range(cards):
        yield card_text(number, rng, words)


class Words:
    """Draws words by Zipf's law."""

    def __init__(self, rng: random.Random) -> None:
        """Makes up the tail of the vocabulary."""
        self._rng = rng
        self.words = (*dict.fromkeys((*HEAD_WORDS, *_made_up(rng))),)
        self._sums = list(itertools.accumulate(1 / rank for rank in range(3, len(self.words) + 3)))

    def draw(self, count: int) -> list[str]:
        """So many words, the frequent ones often."""
        total = self._sums[-1]
        return [self.words[bisect(self._sums, self._rng.random() * total)] for _ in range(count)]


def card_text(number: int, rng: random.Random, words: Words) -> str:
    """One card's file."""
    low = rng.choice((18, 24, 24, 24, 30, 30, 36))
    title = " ".join(words.draw(rng.randint(2, 4))).capitalize()
    prep = rng.choice((0, 2, 5, 5, 8, 10, 10, 15, 20, 30, 45))
    group = rng.randint(1, 4)
    materials = "".join(
        f"  - {{item: {item}, amount: {rng.randint(1, 4)} per setup}}\n"
        for item in rng.sample(MATERIALS, rng.randint(2, 6))
    )
    front = (
        f"title: {title}\n"
        f"centers: [{', '.join(rng.sample(CENTERS, rng.choice((1, 1, 2, 3))))}]\n"
        f"ages: {low}-{low + rng.choice((6, 12, 18, 24))}\n"
        f"prep: {prep}\nruns: {rng.choice((5, 10, 15))}\ngroup: {group}-{group + rng.randint(0, 4)}\n"
        f"adult: {rng.choice(('within reach', 'within sight'))}\nmess: {rng.randint(0, 3)}\n"
        f"place: {rng.choice(('indoors', 'indoors', 'outdoors', 'either'))}\n"
        f"seasons: [{', '.join(rng.sample(SEASONS, rng.choice((0, 0, 1, 2))))}]\n"
        f"technique: {rng.choice(TECHNIQUES)}\n"
        f"domains: [{', '.join(rng.sample(DOMAINS, rng.randint(1, 3)))}]\n"
        f"materials:\n{materials}"
        f"status: {rng.choice(('ready',) * 19 + ('draft',))}\nby: Fern Room\n"
    )
    return f"---\n{front}---\n{_body(rng, words)}"


def _body(rng: random.Random, words: Words) -> str:
    drawn = words.draw(rng.randint(*BODY_WORDS))
    share = len(drawn) // (len(HEADINGS) + 1)
    parts = [_sentences(drawn[:share], rng)]
    for place, heading in enumerate(HEADINGS, 1):
        parts.append(f"## {heading}\n{_sentences(drawn[place * share : (place + 1) * share], rng)}")
    return "\n\n".join(parts) + "\n"


def _sentences(words: list[str], rng: random.Random) -> str:
    sentences = []
    while words:
        length = rng.randint(6, 14)
        sentences.append(" ".join(words[:length]).capitalize() + ".")
        words = words[length:]
    return " ".join(sentences)


def _made_up(rng: random.Random) -> Iterator[str]:
    """Words that can be spoken, by syllables; some with the endings that a stemmer takes off."""
    starts = (
        "b br c ch cl d dr f fl g gr h j k l m n p pl pr qu r s sc sh sl sp st t tr v w".split()
    )
    middles = "a e i o u ai ea ee oa oo ou".split()
    ends = "b ck d g l ll m n nd ng nk p r rd rn s sh st t th x".split()
    for _ in range(TAIL_WORDS):
        word = rng.choice(starts) + rng.choice(middles) + rng.choice(ends)
        if rng.random() < 0.6:
            word += rng.choice(middles) + rng.choice(ends)
        yield word + rng.choice(("", "", "", "s", "ing", "ed", "er", "ly"))
