"""Bin and shelf labels, measured with tools from outside."""

from dataclasses import replace
from itertools import pairwise

import pytest

from library.paper.labels import BIN, SHELF, bin_labels, label_boxes, shelf_labels
from library.paper.sheet import A4, LEAST_MARGIN, LETTER, PAPERS, Figure
from tests.library.paper.reading import DOTS_PER_MM, codes_in, ink, picture, straight_lines
from tests.library.paper.samples import a_job, a_plan, a_rich_theme, fern_room

KINDS = [(bin_labels, BIN), (shelf_labels, SHELF)]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("make", "size"), KINDS)
def test_cut_lines_stand_exactly_a_label_apart(make, size, paper):
    """Read by pdfplumber: label sides within 0.2 mm of what is stated, marks within the margins."""
    lines = straight_lines(make(a_job(paper=PAPERS[paper])))
    long = [line for line in lines if max(line[2] - line[0], line[3] - line[1]) > 100]
    upright = sorted({round(x0, 3) for x0, _, x1, _ in long if abs(x0 - x1) < 0.01})
    level = sorted({round(y0, 3) for _, y0, _, y1 in long if abs(y0 - y1) < 0.01})
    assert len(upright) > 2
    assert len(level) > 2
    assert [b - a for a, b in pairwise(upright)] == pytest.approx(
        [size.width] * (len(upright) - 1), abs=0.2
    )
    assert [b - a for a, b in pairwise(level)] == pytest.approx(
        [size.height] * (len(level) - 1), abs=0.2
    )
    assert min(min(line) for line in lines) >= LEAST_MARGIN - 0.01
    assert max(x1 for _, _, x1, _ in lines) <= PAPERS[paper].width - LEAST_MARGIN + 0.01
    assert max(y1 for *_, y1 in lines) <= PAPERS[paper].height - LEAST_MARGIN + 0.01


@pytest.mark.parametrize("paper", PAPERS)
def test_as_many_labels_as_the_paper_holds(paper):
    sheet = PAPERS[paper]
    for size in (BIN, SHELF):
        boxes = label_boxes(sheet, size)
        wide = int((sheet.width - 2 * LEAST_MARGIN) // size.width)
        high = int((sheet.height - 2 * LEAST_MARGIN) // size.height)
        assert len(boxes) == wide * high
        assert boxes[0].x == pytest.approx(sheet.width - boxes[-1].right)


def test_two_inch_cards_are_twenty_a_letter_page():
    """Worked by hand: a page safe to print of 203.2 by 266.7 mm holds 4 by 5 cards of 50.8 mm."""
    assert len(label_boxes(LETTER, replace(SHELF, width=50.8, height=50.8))) == 20


@pytest.mark.parametrize("paper", [LETTER, A4])
def test_a_rendering_shows_the_cut_lines_where_they_are_stated(paper, tmp_path):
    """Rendered by Poppler at ten dots a millimetre and measured on the picture."""
    image = picture(bin_labels(a_job(paper=paper)), tmp_path)
    assert image.size == pytest.approx(
        (paper.width * DOTS_PER_MM, paper.height * DOTS_PER_MM), abs=2
    )
    row = round((LEAST_MARGIN + 1.0) * DOTS_PER_MM)
    dark = [x for x in range(image.width) if image.getpixel((x, row)) < 128]
    sides = [x for x in dark if x - 1 not in dark]
    assert [(b - a) / DOTS_PER_MM for a, b in pairwise(sides)] == pytest.approx(
        [BIN.width] * 2, abs=0.2
    )
    assert min(ink(image)) >= LEAST_MARGIN - 0.2


def test_codes_stand_only_where_the_room_has_a_host_name_and_say_its_address(tmp_path):
    """Read from the rendering by zbarimg."""
    plain = bin_labels(a_job())
    assert not any(isinstance(i, Figure) and i.filled for i in plain.pages[0].items)
    sheet = bin_labels(a_job(address="http://fern.local:8765"))
    found = codes_in(picture(sheet, tmp_path), tmp_path)
    assert set(found) == {
        "http://fern.local:8765/materials",
        "http://fern.local:8765/units/leaves-and-wind/2026-fall",
    }
    assert len(found) == len(label_boxes(LETTER, BIN))
    assert len(sheet.tables[0].rows) == 1 + len(
        {line.bin for line in fern_room().stock if line.bin}
    )


def test_the_bin_says_what_lies_in_it_and_the_theme_has_its_own():
    sheet = bin_labels(a_job())
    assert sheet.tables[0].rows[0] == ("C2", "Leaves and wind", "")
    held = {row[0]: row[1] for row in sheet.tables[0].rows[1:]}
    assert "hand sponge" in held["B4"].split(", ")
    assert held.keys() == {line.bin for line in fern_room().stock if line.bin}


def test_two_languages_only_where_the_room_has_a_second():
    rows = shelf_labels(a_job()).tables[0].rows
    assert ("Water", "Agua", "") in rows
    assert ("leaf", "hoja", "") in rows
    assert ("gust", "", "") in rows
    one = a_plan(replace(fern_room(), languages=()))
    assert ("leaf", "", "") in shelf_labels(a_job(one)).tables[0].rows
    vietnamese = a_plan(replace(fern_room(), languages=("vi",)), a_rich_theme())
    assert ("leaf", "lá", "") in shelf_labels(a_job(vietnamese)).tables[0].rows


def test_more_labels_than_one_page_go_on_the_next():
    words = tuple({"en": f"word {n}"} for n in range(30))
    sheet = shelf_labels(a_job(a_plan(theme=a_rich_theme(words=words))))
    assert len(sheet.pages) == 3
    assert len(sheet.tables[0].rows) == 45
