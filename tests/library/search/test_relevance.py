"""How well words find: on a published test collection, and beside another engine on our own cards."""

from __future__ import annotations

import html
import os
import re
import tarfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import bm25s
import numpy as np
import pytest
import pytrec_eval
from scipy.stats import kendalltau

from library.cards.folder import CardFolder
from library.search.analysis import stems_of
from library.search.arrays import combine
from library.search.conditions import Conditions
from library.search.documents import document_of
from library.search.index import SearchIndex
from library.search.names import Names
from library.search.postings import Postings
from library.search.searching import search
from library.search.view import Part, View
from library.store.paths import LibraryPaths
from tests.builders import a_card

ROOT = Path(__file__).parents[3]
LEAST_MAP = 0.31
"""Published beside it: 0.3123 for BM25 with k1 0.9, b 0.4 and a Porter stemmer (Anserini)."""


@dataclass
class Collection:
    """CACM: abstracts of the Communications of the ACM, 1958 to 1979, with 52 judged questions."""

    titles: dict[str, str]
    bodies: dict[str, str]
    topics: dict[str, str]
    judged: dict[str, dict[str, int]]


@pytest.fixture(scope="module")
def cacm() -> Collection:
    root = os.environ.get("LOWSHELF_REFERENCES")
    if not root:
        pytest.skip("LOWSHELF_REFERENCES is not set: the CACM collection is not at hand")
    folder = Path(root) / "cacm"
    titles, bodies = {}, {}
    with tarfile.open(folder / "cacm.tar.gz") as archive:
        for member in archive:
            file = archive.extractfile(member)
            if file is not None and member.name.endswith(".html"):
                text = html.unescape(re.sub(r"<[^>]+>", "", file.read().decode("latin-1")))
                title, _, body = text.strip().partition("\n\n")
                titles[Path(member.name).stem] = " ".join(title.split())
                bodies[Path(member.name).stem] = body
    topics = (folder / "topics.cacm.txt").read_text(encoding="latin-1")
    found = re.findall(r"<DOCNO>\s*(\d+)\s*</DOCNO>(.*?)</DOC>", topics, re.DOTALL)
    judged: dict[str, dict[str, int]] = {}
    for line in (folder / "qrels.cacm.txt").read_text().splitlines():
        topic, _, document, grade = line.split()
        judged.setdefault(topic, {})[document] = int(grade)
    return Collection(titles, bodies, {n: text for n, text in found if n in judged}, judged)


def mean_precision(judged: dict, run: dict[str, dict[str, float]]) -> float:
    """Mean average precision by trec_eval's own code."""
    scores = pytrec_eval.RelevanceEvaluator(judged, {"map"}).evaluate(run)
    return float(np.mean([each["map"] for each in scores.values()]))


def view_of(titles: dict[str, str], bodies: dict[str, str], folder: Path) -> View:
    """Texts through the index and the arrays, as cards go."""
    postings = Postings(folder)
    postings.open()
    cards = (a_card(name, title=title, body=bodies[name]) for name, title in titles.items())
    postings.write((document_of(card, Names()) for card in cards), ())
    taken = [postings.take(name) for name in postings.segments()]
    arrays = combine(taken, [np.ones(len(part), dtype=np.bool_) for part in taken])
    return View((Part(arrays, arrays.everything()),))


def other_engine(texts: dict[str, str]) -> bm25s.BM25:
    """bm25s over the same words."""
    engine = bm25s.BM25(k1=1.2, b=0.75)
    engine.index([stems_of(text) for text in texts.values()], show_progress=False)
    return engine


def other_order(engine: bm25s.BM25, names: Sequence[str], question: str, most: int):
    """Names and scores as bm25s finds them."""
    numbers, scores = engine.retrieve([stems_of(question)], k=most, show_progress=False)
    return {names[n]: float(s) for n, s in zip(numbers[0], scores[0], strict=True) if s > 0}


def test_precision_on_a_published_collection(cacm: Collection, tmp_path: Path, record_property):
    """CACM, 3,204 abstracts; the same words in bm25s reach about the same."""
    view = view_of(cacm.titles, cacm.bodies, tmp_path / "index")
    texts = {name: f"{cacm.titles[name]}\n{cacm.bodies[name]}" for name in cacm.titles}
    engine, names = other_engine(texts), list(texts)
    ours, theirs = {}, {}
    for topic, question in cacm.topics.items():
        hits = search(view, Conditions(), question, limit=1000).hits
        ours[topic] = {hit.id: hit.score for hit in hits}
        theirs[topic] = other_order(engine, names, question, 1000)
    precision, other = mean_precision(cacm.judged, ours), mean_precision(cacm.judged, theirs)
    record_property("CACM mean average precision", f"{precision:.4f}, bm25s {other:.4f}")
    assert len(cacm.titles) == 3204
    assert len(ours) == 52
    assert precision >= LEAST_MAP
    assert precision >= other


QUESTIONS = (
    "sponge water squeezing", "leaves in the wind", "tearing paper strips", "rolling a ball down",
    "stacking boxes", "mud and puddles", "songs for goodbye", "lantern light and shadow",
    "painting with brooms", "soup pot ladle", "posting things through slots", "wool and mittens",
)  # fmt: skip


def test_our_cards_come_in_much_the_order_of_plain_relevance(tmp_path: Path, record_property):
    """Fields and weights bend plain BM25 over all words, but do not break it (Kendall's tau)."""
    paths = LibraryPaths(ROOT, tmp_path / "data")
    index = SearchIndex(paths, CardFolder(paths))
    index.refresh()
    cards = {card.id: card for card in CardFolder(paths).read_all()[0]}
    if len(cards) < 30:
        pytest.skip("there are too few cards to compare orders")
    texts = {}
    for name, card in cards.items():
        parts = [card.title, card.technique, card.body, *(step.do for step in card.steps)]
        texts[name] = "\n".join([*parts, *(line.item for line in card.materials)])
    engine, names = other_engine(texts), list(texts)
    taus = []
    for question in QUESTIONS:
        ours = [hit.id for hit in search(index.view, Conditions(), question, limit=20).hits]
        theirs = other_order(engine, names, question, len(names))
        shared = [name for name in ours if name in theirs]
        if len(shared) >= 5:
            tau = kendalltau(range(len(shared)), [-theirs[name] for name in shared]).statistic
            taus.append(float(tau))
    record_property("Kendall's tau with bm25s", f"{np.mean(taus):.2f} over {len(taus)} questions")
    assert len(taus) >= 8
    assert np.mean(taus) >= 0.4
