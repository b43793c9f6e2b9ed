"""Words and stems."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from library.search.analysis import fold, fold_in_place, runs_of, stem, stems_of, words_of


def test_stems_are_those_that_snowball_publishes():
    """Source: Snowball's English vocabulary and output lists. No mismatch is allowed."""
    root = os.environ.get("LOWSHELF_REFERENCES")
    if not root:
        pytest.skip("LOWSHELF_REFERENCES is not set: the published vocabulary is not at hand")
    folder = Path(root) / "snowball"
    words = (folder / "english.voc.txt").read_text(encoding="utf-8").splitlines()
    stems = (folder / "english.output.txt").read_text(encoding="utf-8").splitlines()
    assert len(words) == len(stems) > 42_000
    wrong = [(word, stem(word), right) for word, right in zip(words, stems, strict=True)
             if stem(word) != right]  # fmt: skip
    assert wrong == []


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("cutting", "cut"),
        ("hopping", "hop"),
        ("decorating", "decorate"),
        ("sponges", "sponge"),
        ("squeezed", "squeezing"),
        ("children’s", "children"),
        ("Piñata", "pinata"),
        ("WATER", "water"),
    ],
)
def test_forms_of_one_word_meet(one: str, other: str):
    assert stems_of(one) == stems_of(other)


@pytest.mark.parametrize("written", ["set-up", "setup", "set‑up"])
def test_a_hyphenated_word_is_found_joined(written: str):
    assert "setup" in words_of(written)


def test_a_hyphenated_word_is_found_by_its_parts():
    assert words_of("No-cook soup") == ["no", "cook", "nocook", "soup"]


def test_signs_and_emoji_are_no_words():
    assert words_of("🧽 rain — (again)!") == ["rain", "again"]


def test_stop_words_are_left_out():
    assert stems_of("the sponge and a towel") == ["spong", "towel"]


def test_a_fraction_stays_one_word():
    assert words_of("2½ cups") == ["2½", "cups"]


@given(st.text(max_size=200))
def test_any_text_gives_words_that_read_back_as_themselves(text: str):
    for word in words_of(text):
        assert words_of(word) in ([word], [])


@given(st.text(max_size=200))
def test_folding_in_place_keeps_positions(text: str):
    assert len(fold_in_place(text)) == len(text)


@given(st.text(max_size=200))
def test_folding_twice_changes_nothing(text: str):
    assert fold(fold(text)) == fold(text)


@given(st.text("aZ9 '-_é", max_size=40))
def test_words_are_the_same_whatever_stands_behind_them(text: str):
    """A text of letters, digits and blanks alone is split in another way, to the same words."""
    assert [*words_of(text), "e"] == words_of(f"{text} é")
    assert [*runs_of(text), "é"] == runs_of(f"{text} é")
