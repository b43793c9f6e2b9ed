"""Arrays: made, written, mapped back, and the small steps of a search over them."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from library.search.arrayfile import load_arrays, save_arrays
from library.search.arrays import (
    FULL_MARK,
    RARITY_STEPS,
    Arrays,
    Damaged,
    best_documents,
    combine,
    count_rows,
    mark_of,
    pack,
    rarity,
)
from library.search.documents import document_of
from library.search.names import Names
from library.search.postings import Postings
from tests.builders import a_card


def arrays_of(folder: Path, *cards) -> Arrays:
    postings = Postings(folder)
    postings.open()
    postings.write((document_of(card, Names()) for card in cards), set())
    taken = [postings.take(name) for name in postings.segments()]
    return combine(taken, [np.ones(len(part), dtype=np.bool_) for part in taken])


CARDS = [a_card(f"card-{n}", body=f"Sponges rain. Añil {n} 🧽 drops.") for n in range(70)]


def test_arrays_come_back_from_their_file(tmp_path: Path):
    made = arrays_of(tmp_path / "index", *CARDS)
    save_arrays(made, tmp_path / "arrays")
    back = load_arrays(tmp_path / "arrays")
    for lists in ("words", "beginnings", "tags"):
        one, other = getattr(made, lists), getattr(back, lists)
        assert one.names == other.names
        for part in ("starts", "docs", "marks"):
            assert np.array_equal(getattr(one, part), getattr(other, part))
    assert (back.ids, back.forms, back.average) == (made.ids, made.forms, made.average)
    assert [back.text(n) for n in range(70)] == [made.text(n) for n in range(70)]
    assert back.show(3) == made.show(3)


def test_documents_are_numbered_in_the_order_of_their_ids(tmp_path: Path):
    made = arrays_of(tmp_path / "index", *reversed(CARDS))
    assert made.ids == sorted(made.ids)
    assert [made.show(n)["id"] for n in range(70)] == made.ids


def test_no_cards_make_empty_arrays(tmp_path: Path):
    made = arrays_of(tmp_path / "index")
    save_arrays(made, tmp_path / "arrays")
    assert load_arrays(tmp_path / "arrays").size == made.size == 0


@pytest.mark.parametrize("at", [0, 9, 200, -1])
def test_a_changed_byte_is_noticed(tmp_path: Path, at: int):
    save_arrays(arrays_of(tmp_path / "index", *CARDS), tmp_path / "arrays")
    content = bytearray((tmp_path / "arrays").read_bytes())
    last_used = max(place for place, byte in enumerate(content) if byte)
    content[last_used if at == -1 else at] ^= 0x5A
    (tmp_path / "arrays").write_bytes(content)
    with pytest.raises(Damaged):
        load_arrays(tmp_path / "arrays")


def test_the_weight_of_a_word_is_that_of_bm25():
    """log(1 + (N - n + 0.5) / (n + 0.5)), Robertson and Zaragoza (2009), in steps of 1/128."""
    for documents, holding in ((1000, 1), (1000, 30), (1000, 900), (1, 1)):
        exact = math.log(1 + (documents - holding + 0.5) / (holding + 0.5))
        assert rarity(documents, holding) == pytest.approx(exact * RARITY_STEPS, abs=1)


def test_what_a_word_earns_saturates_and_is_less_in_a_long_card():
    marks = [mark_of(weight, 100, 100) for weight in (1, 2, 4, 8, 1000)]
    assert marks == sorted(set(marks))
    assert marks[0] == round(FULL_MARK / 2.2)
    assert marks[-1] <= FULL_MARK
    assert mark_of(1, 200, 100) < mark_of(1, 100, 100) < mark_of(1, 50, 100)


@given(
    st.integers(1, 40),
    st.sampled_from([64, 8_192, 12_800]),
    st.lists(st.integers(0, 5), min_size=1, max_size=60),
)
def test_the_best_documents_are_those_of_a_full_sort(most: int, size: int, values: list[int]):
    keys = np.zeros(size, dtype=np.int32)
    for place, value in enumerate(values):
        keys[place * 97 % size] = value
    order = sorted(np.flatnonzero(keys).tolist(), key=lambda number: (-keys[number], number))
    assert best_documents(keys, most).tolist() == order[:most]


@given(st.lists(st.booleans(), min_size=128, max_size=128), st.integers(0, 2**31))
def test_counting_bits_counts_documents(chosen: list[bool], seed: int):
    column = np.array(chosen)
    rows = np.random.default_rng(seed).random((3, 128)) < 0.5
    bits = np.stack([pack(row) for row in rows])
    assert count_rows(bits, pack(column)).tolist() == [int((row & column).sum()) for row in rows]
