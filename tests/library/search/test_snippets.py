"""The sentence that matched."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from library.search.snippets import (
    LONGEST_SNIPPET,
    Wanted,
    find_snippet,
    headings_of,
    mark,
    readied,
    sentences_of,
    wanted_beginning,
    wanted_forms,
)

BODY = """
Wet *sponges* rain on the `leaves`. Children wring them out!

## Set up ##
- Fill the [tub](https://example.org "a tub") half full.
- Lay the **sponges** beside it
1. Two towels_and_a_mat below.

> Keep a mop near.

| Who | What |
| --- | ---- |
| one | wrings |
***
"""


def text_of(segments) -> str:
    return "".join(f"[{part.text}]" if part.marked else part.text for part in segments)


def test_sentences_have_no_signs_of_markdown():
    assert sentences_of(BODY) == [
        "Wet sponges rain on the leaves.",
        "Children wring them out!",
        "Fill the tub half full.",
        "Lay the sponges beside it",
        "Two towels_and_a_mat below.",
        "Keep a mop near.",
        "Who What",
        "one wrings",
    ]


def test_headings_are_found_apart():
    assert headings_of(BODY) == ["Set up"]


def test_a_sentence_runs_over_line_ends():
    assert sentences_of("Pour slowly\nand stop.\nThen wait.") == [
        "Pour slowly and stop.",
        "Then wait.",
    ]


def test_the_sentence_with_most_words_is_shown():
    wanted = [
        Wanted(" spong", frozenset({"sponge", "sponges"})),
        Wanted(" tub", frozenset({"tub"})),
    ]
    text = "Wet sponges rain.\nFill the tub and add a sponge.\nEmpty the tub."
    assert text_of(find_snippet(readied(text), wanted)) == "Fill the [tub] and add a [sponge]."


def test_only_whole_words_are_marked():
    wanted = [wanted_forms({"rain", "rains"})]
    assert (
        text_of(find_snippet(readied("Grain and brain.\nIt rains. Rain!"), wanted))
        == "It [rains]. [Rain]!"
    )


def test_a_beginning_marks_the_whole_word():
    assert (
        text_of(find_snippet(readied("Lay sponges down."), [wanted_beginning("spo")]))
        == "Lay [sponges] down."
    )


def test_accents_do_not_hide_a_match():
    wanted = [wanted_forms({"pinata"})]
    assert text_of(find_snippet(readied("A Piñata hangs."), wanted)) == "A [Piñata] hangs."


def test_nothing_is_shown_where_nothing_matches():
    assert find_snippet(readied("Fill the tub."), [wanted_beginning("sponge")]) == ()


def test_a_long_sentence_is_cut_around_the_match():
    text = "word " * 200 + "sponge " + "word " * 200
    shown = "".join(part.text for part in find_snippet(readied(text), [wanted_beginning("sponge")]))
    assert "sponge" in shown
    assert len(shown) <= LONGEST_SNIPPET


def test_marking_a_title_keeps_all_of_it():
    assert text_of(mark(readied("Sponge rain"), [wanted_beginning("rain")])) == "Sponge [rain]"


WORDS = st.text(alphabet="abé -*_`[]()#>|.\n", max_size=120)


@given(WORDS, st.lists(st.sampled_from(["a", "b", "ab", "e"]), min_size=1, max_size=3))
def test_a_snippet_is_a_part_of_the_text(text: str, starts: list[str]):
    plain = "\n".join(sentences_of(text))
    shown = "".join(
        part.text
        for part in find_snippet(readied(plain), [wanted_beginning(start) for start in starts])
    )
    assert shown in plain
    assert "\n" not in shown


@given(WORDS, st.lists(st.sampled_from(["a", "b", "ab", "e"]), max_size=3))
def test_marks_lose_no_letter(text: str, starts: list[str]):
    marked = mark(readied(text), [wanted_beginning(start) for start in starts])
    assert "".join(part.text for part in marked) == text


@pytest.mark.parametrize("sign", ["*", "[", "_", "`", "|-", "- ", "(", "#", "> ", "!["])
def test_no_run_of_signs_takes_long(sign: str):
    """A body may hold two megabytes of anything; the time limit of the whole run guards this."""
    assert isinstance(sentences_of(sign * 400_000 + "a"), list)
