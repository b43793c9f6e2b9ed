"""The sentence that matched."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from library.search.snippets import (
    LONGEST_SNIPPET,
    Wanted,
    headings_of,
    highlight,
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


def snippet_in(sentences: str, wanted) -> str:
    return text_of(highlight(readied("", sentences), wanted)[1])


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
    assert snippet_in(text, wanted) == "Fill the [tub] and add a [sponge]."


def test_of_one_word_the_first_sentence_is_shown_with_every_mention_marked():
    text = "Fill the tub.\nSpouts spray; a sponge spills.\nSpare sponges wait."
    shown = "[Spouts] [spray]; a [sponge] [spills]."
    assert snippet_in(text, [wanted_beginning("sp")]) == shown


def test_only_whole_words_are_marked():
    wanted = [wanted_forms({"rain", "rains"})]
    assert snippet_in("Grain and brain.\nIt rains. Rain!", wanted) == "It [rains]. [Rain]!"


def test_no_match_runs_over_the_end_of_a_sentence():
    wanted = [wanted_beginning("hand sponge")]
    assert snippet_in("Put it out by hand\nSponge first.", wanted) == ""
    text = "Put it out by hand\nSponge first.\nWring the hand sponges."
    assert snippet_in(text, wanted) == "Wring the [hand sponges]."


def test_a_beginning_marks_the_whole_word():
    assert snippet_in("Lay sponges down.", [wanted_beginning("spo")]) == "Lay [sponges] down."


def test_accents_do_not_hide_a_match():
    wanted = [wanted_forms({"pinata"})]
    assert snippet_in("A Piñata hangs.", wanted) == "A [Piñata] hangs."


def test_nothing_is_shown_where_nothing_matches():
    assert snippet_in("Fill the tub.", [wanted_beginning("sponge")]) == ""


def test_a_long_sentence_is_cut_around_the_match():
    text = "word " * 200 + "sponge " + "word " * 200
    shown = snippet_in(text, [wanted_beginning("sponge")])
    assert "[sponge]" in shown
    assert len(shown) <= LONGEST_SNIPPET + len("[]")


def test_marking_a_title_keeps_all_of_it():
    title, _ = highlight(readied("Sponge rain", "Wring it."), [wanted_beginning("rain")])
    assert text_of(title) == "Sponge [rain]"


def test_a_title_is_no_snippet_and_hides_none():
    title, snippet = highlight(
        readied("Sponge rain", "Fill a tub.\nLay sponges beside it."), [wanted_beginning("sponge")]
    )
    assert text_of(title) == "[Sponge] rain"
    assert text_of(snippet) == "Lay [sponges] beside it."


def test_no_match_runs_from_the_title_into_the_text():
    wanted = [wanted_beginning("rain fills")]
    title, snippet = highlight(readied("Sponge rain", "Fills a tub."), wanted)
    assert (text_of(title), snippet) == ("Sponge rain", ())


def test_an_empty_title_stays_empty():
    assert highlight(readied("", "Fill a tub."), [wanted_beginning("tub")])[0] == ()


WORDS = st.text(alphabet="abé -*_`[]()#>|.\n", max_size=120)


@given(WORDS, st.lists(st.sampled_from(["a", "b", "ab", "e"]), min_size=1, max_size=3))
def test_a_snippet_is_a_part_of_the_text(text: str, starts: list[str]):
    plain = "\n".join(sentences_of(text))
    _, snippet = highlight(readied("", plain), [wanted_beginning(start) for start in starts])
    shown = "".join(part.text for part in snippet)
    assert shown in plain
    assert "\n" not in shown


@given(WORDS, st.lists(st.sampled_from(["a", "b", "ab", "e"]), max_size=3))
def test_marks_lose_no_letter(text: str, starts: list[str]):
    title, _ = highlight(readied(text, "Bab."), [wanted_beginning(start) for start in starts])
    assert "".join(part.text for part in title) == text


@pytest.mark.parametrize("sign", ["*", "[", "_", "`", "|-", "- ", "(", "#", "> ", "!["])
def test_no_run_of_signs_takes_long(sign: str):
    """A body may hold two megabytes of anything; the time limit of the whole run guards this."""
    assert isinstance(sentences_of(sign * 400_000 + "a"), list)
