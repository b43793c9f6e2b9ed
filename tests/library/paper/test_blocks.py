"""Blocks, and pages filled with them."""

from library.paper.blocks import Framed, Gap, Prose, Row, Stack, heading, listing
from library.paper.flow import flow
from library.paper.sheet import LETTER, Words
from library.paper.text import bold
from tests.library.paper.layout import page_faults


def pages_of(*blocks):
    return flow([blocks], LETTER, lambda page: Gap(5.0), lambda page, count, strip: [])


def said(page):
    return [item.text.strip() for item in page.items if isinstance(item, Words)]


def test_what_does_not_fit_goes_on_the_next_page_in_order():
    pages = pages_of(*(Prose(f"line {n}") for n in range(120)))
    assert len(pages) > 1
    assert [text for page in pages for text in said(page)] == [f"line {n}" for n in range(120)]


def test_a_heading_stays_with_what_follows():
    for lead in range(180, 245, 3):
        pages = pages_of(Gap(lead), heading("Put out"), Prose("a sponge"))
        assert [set(said(page)) & {"Put out", "a sponge"} for page in pages] in (
            [{"Put out", "a sponge"}],
            [set(), {"Put out", "a sponge"}],
        )


def test_the_head_of_a_table_is_said_again_and_rows_stay_whole():
    rows = [(Prose(f"row {n}"), Prose("one\ntwo\nthree")) for n in range(40)]
    pages = pages_of(listing((("Name", 0.5), ("Lines", 0.5)), rows))
    assert len(pages) > 1
    for page in pages:
        assert said(page)[:2] == ["Name", "Lines"]
        assert said(page).count("one") == said(page).count("three")


def test_a_row_higher_than_a_page_is_parted_and_loses_nothing():
    tall = "\n".join(f"line {n}" for n in range(150))
    pages = pages_of(
        heading("Tall"), listing((("A", 0.5), ("B", 0.5)), [(Prose(tall), Prose("x"))])
    )
    lines = [text for page in pages for text in said(page) if text.startswith("line")]
    assert lines == tall.split("\n")
    assert [fault for page in pages for fault in page_faults(page)] == []


def test_a_frame_goes_around_both_parts_of_what_it_holds():
    text = "\n".join(f"line {n}" for n in range(90))
    pages = pages_of(Framed(Prose(text), fill="#fff3a6"))
    assert len(pages) == 2
    assert sum(len(said(page)) for page in pages) == 90


def test_what_should_stay_whole_moves_rather_than_being_parted():
    block = Stack(tuple(Prose(f"line {n}") for n in range(10)), whole=True)
    pages = pages_of(Gap(225), block)
    assert said(pages[0]) == []
    assert len(said(pages[1])) == 10


def test_cells_share_what_fixed_ones_leave():
    row = Row((Gap(1), Gap(1), Gap(1)), (20.0, 0.5, 0.5), gap=5.0)
    assert row.widths(130.0) == (20.0, 50.0, 50.0)


def test_a_box_to_tick_stands_before_its_line():
    page = pages_of(Prose((bold("wash"), " the tubs"), marker="box"))[0]
    box = next(item for item in page.items if not isinstance(item, Words))
    assert box.box.right < page.words[0].x
