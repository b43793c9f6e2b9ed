"""Where the time of one search goes: the same steps as the search itself takes, each timed by itself."""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Iterable, Sequence

from library.search import searching
from library.search.asking import ask as read_words
from library.search.filters import demands_of
from library.search.lexicon import vocabulary_of
from library.search.question import read_question
from library.search.view import View
from library.store.paths import LibraryPaths
from server import create_app
from server.settings import load_settings
from tests.bench.engines.common import HITS, Ask
from tests.bench.plots import STEPS
from tests.bench.timing import median


def measure_stages(
    paths: LibraryPaths, view: View, asks: Sequence[Ask], rounds: int
) -> dict[str, float]:
    """The median of each stage over all questions, in milliseconds; last what a page adds to it.

    Args:
        paths: The library's places, its index made.
        view: The same cards.
        asks: The questions.
        rounds: How often each is asked, besides once to warm up.
    """
    vocabulary = vocabulary_of(view, {})
    times: dict[str, list[float]] = defaultdict(list)
    for turn in range(rounds + 1):
        for ask in asks:
            marks = list(_steps(view, ask, vocabulary))
            if turn:
                for stage, began, ended in zip(STEPS, marks[:-1], marks[1:], strict=True):
                    times[stage].append((ended - began) * 1000)
    stages = {stage: median(times[stage]) for stage in STEPS}
    page = _page(paths, asks)
    return stages | {"build the page": max(0.0, page - sum(stages.values()))}


def _page(paths: LibraryPaths, asks: Sequence[Ask]) -> float:
    """Milliseconds of a Find page, no room being there, without a network."""
    app = create_app(load_settings(paths, {}, watch=False))
    app.extensions["lowshelf"].refresh()
    client, times = app.test_client(), []
    for turn in range(2):
        for ask in asks:
            began = time.perf_counter()
            client.get("/", query_string={"q": ask.text})
            if turn:
                times.append((time.perf_counter() - began) * 1000)
    return median(times)


def _steps(view: View, ask: Ask, vocabulary: object) -> Iterable[float]:
    """The clock before the first stage and after each."""
    yield time.perf_counter()
    question = read_question(ask.text, vocabulary)  # type: ignore[arg-type]
    yield time.perf_counter()
    asked = read_words(" ".join(question.words), view, typing=ask.typing)
    yield time.perf_counter()
    conditions = question.conditions
    demands = demands_of(conditions, view.book, ())
    scores = [None] * len(view.parts) if asked.is_empty else asked.scores(view)
    found = [searching._Found(*each) for each in zip(view.parts, scores, strict=True)]
    matches = [each.matching(demands, conditions) for each in found]
    yield time.perf_counter()
    ranked = searching._ranked(found, matches, conditions, "fit", HITS)
    yield time.perf_counter()
    searching._counts(found, matches, demands, conditions)
    yield time.perf_counter()
    wanted = asked.wanted(view) if ranked else []
    for place in ranked:
        searching._hit(*place, wanted)
    yield time.perf_counter()
