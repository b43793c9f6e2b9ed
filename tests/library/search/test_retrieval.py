"""How well the search ranks, on a public test collection and beside another engine on our cards.

Source: the CACM test collection (3,204 abstracts, 52 judged topics), LOWSHELF_REFERENCES/cacm; average
precision by trec_eval; bm25s with the same stems in the same run for comparison.
"""

from __future__ import annotations

import html
import os
import re
import tarfile
from collections import defaultdict
from pathlib import Path

import pytest

from library.cards.folder import CardFolder
from library.cards.parsing import write_card
from library.search.analysis import stems_of
from library.search.conditions import Conditions
from library.search.index import SearchIndex
from library.search.searching import search
from library.store.paths import LibraryPaths
from tests.builders import a_card, write_library

pytestmark = pytest.mark.slow
FLOOR = 0.31
DEPTH = 1_000


@pytest.fixture(scope="module")
def folder():
    references = os.environ.get("LOWSHELF_REFERENCES")
    if not references:
        pytest.skip("LOWSHELF_REFERENCES is not set")
    return Path(references) / "cacm"


def read_documents(folder: Path) -> dict[str, tuple[str, str]]:
    """Id in lower case → title and the rest."""
    found = {}
    with tarfile.open(folder / "cacm.tar.gz") as archive:
        for member in archive.getmembers():
            file = archive.extractfile(member)
            assert file is not None
            text = html.unescape(file.read().decode("latin-1"))
            text = re.sub(r"</?(?:html|pre)>", "", text)
            blocks = [
                " ".join(block.split()) for block in re.split(r"\n\s*\n", text) if block.strip()
            ]
            found[Path(member.name).stem.lower()] = (blocks[0], "\n\n".join(blocks[1:]))
    return found


def read_topics(folder: Path) -> dict[str, str]:
    text = (folder / "topics.cacm.txt").read_text(encoding="latin-1")
    pairs = re.findall(r"<DOCNO>\s*(\d+)\s*</DOCNO>(.*?)</DOC>", text, re.DOTALL)
    return {number: " ".join(words.split()) for number, words in pairs}


def read_judgements(folder: Path) -> dict[str, dict[str, int]]:
    judged: dict[str, dict[str, int]] = defaultdict(dict)
    for line in (folder / "qrels.cacm.txt").read_text().splitlines():
        topic, _, document, relevant = line.split()
        judged[topic][document.lower()] = int(relevant)
    return dict(judged)


def average_precision(judged, runs) -> float:
    import pytrec_eval

    scored = pytrec_eval.RelevanceEvaluator(judged, {"map"}).evaluate(runs)
    return sum(row["map"] for row in scored.values()) / len(judged)


def our_runs(documents, topics, folder: Path):
    paths = write_library(folder)
    for name, (title, body) in documents.items():
        text = write_card(a_card(name, title=title.replace("{", "(")[:200], body=body))
        (paths.activities / f"{name}.md").write_text(text, encoding="utf-8")
    index = SearchIndex(paths, CardFolder(paths))
    index.refresh()
    runs = {}
    for number, words in topics.items():
        hits = search(index.view, Conditions(), words, DEPTH).hits
        runs[number] = {hit.card.id: float(DEPTH - place) for place, hit in enumerate(hits)}
    return runs


def bm25s_runs(documents, topics, depth=DEPTH):
    import bm25s

    names = list(documents)
    engine = bm25s.BM25(k1=1.2, b=0.75)
    engine.index([stems_of(" ".join(documents[name])) for name in names], show_progress=False)
    runs = {}
    for number, words in topics.items():
        found, scores = engine.retrieve([stems_of(words)], k=depth, show_progress=False)
        runs[number] = {
            names[i]: float(s) for i, s in zip(found[0], scores[0], strict=True) if s > 0
        }
    return runs


@pytest.mark.timeout(300)
def test_average_precision_on_cacm_is_at_least_that_of_a_good_engine(
    folder, tmp_path, record_property
):
    documents, judged = read_documents(folder), read_judgements(folder)
    topics = {number: words for number, words in read_topics(folder).items() if number in judged}
    assert (len(documents), len(judged)) == (3204, 52)
    ours = average_precision(judged, our_runs(documents, topics, tmp_path))
    theirs = average_precision(judged, bm25s_runs(documents, topics))
    record_property("average precision", f"Lowshelf {ours:.4f}, bm25s {theirs:.4f}")
    assert ours >= FLOOR, f"Lowshelf {ours:.4f}, bm25s {theirs:.4f}"
    assert ours >= theirs


QUESTIONS = (
    "sponge water squeezing", "leaves in the wind", "tearing paper strips", "rolling a ball down",
    "stacking boxes", "mud and puddles", "songs for goodbye", "lantern light and shadow",
    "painting with brooms", "soup pot ladle", "posting things through slots", "wool and mittens",
)  # fmt: skip


def all_words(card) -> tuple[str, str]:
    """Title and everything else that is searched, without weights."""
    lines = [card.technique, card.body, *(step.do for step in card.steps)]
    return card.title, "\n".join([*lines, *(line.item for line in card.materials)])


def test_our_cards_come_in_much_the_order_of_plain_relevance(tmp_path, record_property):
    """Fields and weights bend plain BM25 over all words, but do not break it (Kendall's tau)."""
    from scipy.stats import kendalltau

    paths = LibraryPaths(Path(__file__).parents[3], tmp_path / "data")
    index = SearchIndex(paths, CardFolder(paths))
    index.refresh()
    documents = {card.id: all_words(card) for card in CardFolder(paths).read_all()[0]}
    theirs = bm25s_runs(documents, {words: words for words in QUESTIONS}, len(documents))
    taus = []
    for words in QUESTIONS:
        hits = search(index.view, Conditions(), words, limit=20).hits
        scores = [theirs[words][hit.card.id] for hit in hits if hit.card.id in theirs[words]]
        assert len(scores) >= 5, words
        taus.append(kendalltau(range(len(scores)), [-score for score in scores]).statistic)
    mean = sum(taus) / len(taus)
    record_property("Kendall's tau with bm25s", f"{mean:.2f} over {len(taus)} questions")
    assert mean >= 0.6
