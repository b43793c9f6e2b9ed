"""What holds for every library and every question."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from library.cards.card import Card
from library.materials.parsing import parse_materials
from library.search import arrays
from library.search import index as index_module
from library.search.analysis import stems_of
from library.search.arrays import FULL_MARK, RARITY_STEPS
from library.search.conditions import Conditions
from library.search.facets import FACETS, choose
from library.search.searching import search
from tests.library.search.cards import cards, conditions, mild_conditions, words
from tests.library.search.libraries import MATERIALS, Shelf
from tests.library.search.plain import meets, order_by_title, search_plainly

BOOK = parse_materials(MATERIALS)[0]
STOCK = {"car sponge", "flour"}
few = settings(max_examples=25, deadline=None, phases=(Phase.explicit, Phase.reuse, Phase.generate))


@contextmanager
def short_lists_are_long() -> Iterator[None]:
    """Two postings count as many."""
    kept = arrays.LONG_UNION, arrays.HEAVY_SHARE
    arrays.LONG_UNION, arrays.HEAVY_SHARE = 1, 64
    try:
        yield
    finally:
        arrays.LONG_UNION, arrays.HEAVY_SHARE = kept


@contextmanager
def library(*states: list[Card]) -> Iterator[Shelf]:
    """A library that went through some states; only the first is in the large arrays.

    What is made beforehand for long lists is made for short ones too, so that it is tried here.
    """
    kept = index_module.SMALLEST_DELTA
    with tempfile.TemporaryDirectory() as folder, short_lists_are_long():
        try:
            index_module.SMALLEST_DELTA = 0
            shelf = Shelf(Path(folder), *states[0])
            index_module.SMALLEST_DELTA = 100
            for before, state in pairwise(states):
                for card in before:
                    shelf.path(card).unlink()
                for card in state:
                    shelf.write(card)
                shelf.index.refresh()
            yield shelf
        finally:
            index_module.SMALLEST_DELTA = kept


@few
@given(cards(), cards(4), words.filter(stems_of), mild_conditions, st.booleans())
def test_arrays_and_whoosh_agree(first, second, question, asked, typing):
    """The same ids in the same order with the same scores, changes included."""
    with library(first, first[:3] + [c for c in second if c not in first[:3]]) as shelf:
        view = shelf.index.view
        result = search(view, asked, question, limit=100, typing=typing)
        order = search_plainly(shelf.paths.index / "whoosh", view, asked, question, typing=typing)
        scored = [(hit.card.id, round(hit.score * FULL_MARK * RARITY_STEPS)) for hit in result.hits]
        assert scored == order
        assert result.total == len(order)


@few
@given(cards(12), conditions)
def test_conditions_mean_what_the_cards_say(made, asked):
    """Filters and the order without words, against plain Python over the cards."""
    with library(made) as shelf:
        result = search(shelf.index.view, asked, limit=100, stock=STOCK)
        expected = [card for card in made if meets(card, asked, BOOK, STOCK)]
        assert [hit.card.id for hit in result.hits] == order_by_title(expected, asked)


@few
@given(cards(12), mild_conditions, st.one_of(st.just(""), words))
def test_each_count_is_the_total_of_its_link(made, asked, question):
    with library(made[:-1] or made, made) as shelf:
        view = shelf.index.view
        counts = search(view, asked, question).counts
        values = {facet.name: facet.values(part.arrays) for part in view.parts for facet in FACETS}
        for name, all_values in values.items():
            for value in all_values:
                total = search(view, choose(asked, name, value), question).total
                assert counts[name].get(value, 0) == total, (name, value)


@few
@given(cards(12), mild_conditions, st.one_of(st.just(""), words),
       st.sampled_from(["hand sponge", "flour", "wheat", "water", "egg"]))  # fmt: skip
def test_without_something_never_adds_a_match(made, asked, question, item):
    with library(made) as shelf:
        less = replace(asked, without=(*asked.without, item))
        everything = {h.card.id for h in search(shelf.index.view, asked, question, limit=100).hits}
        left = {h.card.id for h in search(shelf.index.view, less, question, limit=100).hits}
        assert left <= everything


@few
@given(cards(12), conditions)
def test_removing_what_is_named_gives_the_count_that_is_named(made, asked):
    with library(made) as shelf:
        for each in search(shelf.index.view, asked, stock=STOCK).relaxations:
            assert search(shelf.index.view, each.conditions, stock=STOCK).total == each.total > 0


@few
@given(cards(12), words, st.sampled_from(["fit", "prep", "newest"]), st.integers(1, 12))
def test_fewer_hits_are_the_first_of_more(made, question, sort, limit):
    with library(made[: len(made) // 2 + 1], made) as shelf:
        ask = [search(shelf.index.view, Conditions(), question, n, sort=sort) for n in (limit, 99)]
        assert [h.card.id for h in ask[0].hits] == [h.card.id for h in ask[1].hits][:limit]
        assert ask[0].total == ask[1].total == len(ask[1].hits)
