"""Breaking text into lines, and finding the size at which it fits."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from library.paper.faces import face, shown, tidy, unprintable
from library.paper.sheet import Box, Words
from library.paper.text import Run, bold, break_lines, fit, fit_or_cut, plain, set_lines

TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=("Cs",)), max_size=120)


def said(lines):
    return [line.text.rstrip() for line in lines]


def test_lines_break_at_blanks_and_after_hyphens():
    assert said(break_lines("soft-boiled egg carton", 12, 13)) == [
        "soft-",
        "boiled",
        "egg",
        "carton",
    ]


def test_a_word_that_no_line_holds_is_cut_with_a_hyphen_between_letters():
    lines = break_lines("squeezing", 12, 10)
    assert all(line.cuts_word for line in lines[:-1])
    assert "".join(said(lines)).replace("-", "") == "squeezing"
    assert lines[0].text.endswith("-")


def test_no_line_breaks_at_a_no_break_blank():
    assert said(break_lines("wash 5\N{NO-BREAK SPACE}min", 12, 14)) == [
        "wash",
        "5\N{NO-BREAK SPACE}min",
    ]


def test_a_word_that_goes_over_two_weights_stays_whole():
    assert said(break_lines(["see ", bold("this"), "!"], 12, 12)) == ["see", "this!"]


def test_line_breaks_of_the_text_stay():
    assert said(break_lines("Down,\n\nround", 12, 100)) == ["Down,", "", "round"]


@given(TEXTS, st.sampled_from((8.0, 12.0, 24.0)), st.floats(12, 200))
@settings(max_examples=150, deadline=None)
def test_no_line_is_wider_than_asked_and_no_letter_is_lost(text, size, width):
    lines = break_lines(text, size, width)
    assert all(line.width(size) <= width + 1e-6 for line in lines)
    kept = "".join("".join(line.text.split()) for line in lines).replace("-", "")
    assert kept == "".join(plain(text).split()).replace("-", "")


@given(TEXTS, st.floats(20, 120), st.floats(6, 60))
@settings(max_examples=100, deadline=None)
def test_what_fits_stays_in_its_box(text, width, height):
    box = Box(10, 10, width, height)
    size, lines = fit_or_cut(Run(text), box, (24.0, 12.0, 8.0))
    words = [item for item in set_lines(lines, size, box) if isinstance(item, Words)]
    assert all(box.holds(each.box) for each in words)


def test_a_smaller_size_is_taken_before_a_word_is_cut():
    found = fit("squeezing", Box(0, 0, 25, 40), (24.0, 12.0))
    assert found is not None
    assert found[0] == 12.0
    assert len(found[1]) == 1


def test_dots_stand_for_what_no_size_holds():
    size, lines = fit_or_cut(Run("one two three four five six"), Box(0, 0, 20, 6), (12.0, 10.0))
    assert size == 10.0
    assert lines[-1].text.endswith("…")


def test_words_are_as_wide_as_the_font_of_another_reader_says():
    """Widths against those that reportlab's own metrics give for the same file."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    text = "Sponge rain ½ ñ ¿ ạ ế ữ"
    assert face().width(text, 24) == pytest.approx(stringWidth(text, face().name, 24) * 25.4 / 72)


@pytest.mark.parametrize("bold_face", [False, True])
def test_the_typeface_covers_accents_vietnamese_and_fractions(bold_face):
    """Unicode code charts: Latin-1, Latin Extended-A, Latin Extended Additional (Vietnamese)."""
    letters = (
        "áéíóúüñ¿¡çãõâêôàèìòùäößåæøčšžłśźżğışőűăđơưạảấầẩẫậắằẳẵặẹẻẽếềểễệỉịọỏốồổỗộớờởỡợụủứừửữựỳỵỷỹ"
    )
    letters += letters.upper() + "½¼¾⅓⅔⅛⅜°×–—‘’“”…·"
    assert [c for c in letters if ord(c) not in face(bold_face).widths] == []


def test_accents_that_stand_apart_are_joined():
    assert tidy("gio\u0301 e\u0302\u0301") == "gió ế"


def test_what_the_typeface_lacks_shows_as_a_frame_and_is_named():
    assert shown("水 leaf") == "▯ leaf"
    assert unprintable("水 leaf 葉\n") == "水葉"


def test_control_characters_leave_no_gap():
    assert tidy("lea\u200bf\x07\ttub") == "leaf tub"
