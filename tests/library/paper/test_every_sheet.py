"""Every sheet of every unit, on both papers: nothing is cut, nothing overlaps, nothing private is posted."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache

import pdfplumber
import pytest

from library.paper.pdf import as_pdf
from library.paper.sheet import LEAST_MARGIN, PAPERS, Audience, Box, Page, Panel, Words
from library.paper.sheets import SHEETS, labels_on, make_sheet
from library.plan.opening import open_plan
from library.plan.unitplan import plan_unit
from library.room.room import Room
from library.store.paths import LibraryPaths
from library.units.folder import UnitFolder
from tests.builders import a_child, a_unit
from tests.library.paper.layout import faults, page_faults
from tests.library.paper.samples import (
    LONG_WORD,
    ROOT,
    a_job,
    a_plan,
    an_overlong_plan,
    fern_room,
)

PATHS = LibraryPaths(ROOT, ROOT / "nowhere")
MM = 25.4 / 72
MOST_PAGES_READ = 3
"""Pages of one file that pdfplumber reads letter by letter, which is slow; the values show all."""


@cache
def plan_of(name):
    if name == "sample":
        return a_plan()
    if name == "overlong":
        return an_overlong_plan()
    if name == "bare":
        return plan_unit(a_unit(), None, {}, Room(""))
    return open_plan(PATHS, name, fern_room())


PLANS = ["sample", "overlong", "bare"]


@cache
def sheet_of(name, plan, paper):
    return make_sheet(name, a_job(plan_of(plan), paper=PAPERS[paper]))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("name", SHEETS)
def test_every_word_stays_in_its_frame_and_off_the_others(name, plan, paper):
    sheet = sheet_of(name, plan, paper)
    assert list(faults(sheet)) == []
    assert sheet.pages
    assert all(page.paper.name == paper for page in sheet.pages)


@pytest.mark.slow
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("unit", UnitFolder(PATHS).unit_ids())
def test_every_sheet_of_every_shipped_unit_keeps_to_its_frames(unit, paper):
    job = a_job(plan_of(unit), paper=PAPERS[paper], address="http://fern.local:8765")
    assert [fault for name in SHEETS for fault in faults(make_sheet(name, job))] == []


def test_the_look_at_a_page_sees_what_is_wrong_with_it():
    """The check above is no check unless it finds planted faults."""
    frame = Box(10, 10, 30, 6)
    page = Page(
        PAPERS["a4"],
        (
            Words("sticks out of its frame", 10, 14, 12, frame),
            Words("lies over it", 12, 14, 12, Box(10, 10, 100, 6)),
            Panel(Box(3, 100, 20, 20), fill="#ffffff"),
        ),
    )
    found = " | ".join(page_faults(page))
    assert "out of its frame" in found
    assert "over one another" in found
    assert "too near to the edge" in found


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", SHEETS)
def test_the_pdf_has_title_language_and_every_letter_within_the_margins(name, paper):
    sheet = sheet_of(name, "overlong", paper)
    with pdfplumber.open(io.BytesIO(as_pdf(sheet))) as pdf:
        assert pdf.metadata["Title"] == sheet.title
        assert pdf.doc.catalog["Lang"] == b"en"
        assert len(pdf.pages) == len(sheet.pages)
        for page, value in list(zip(pdf.pages, sheet.pages, strict=True))[:MOST_PAGES_READ]:
            assert float(page.width) * MM == pytest.approx(value.paper.width, abs=0.01)
            assert float(page.height) * MM == pytest.approx(value.paper.height, abs=0.01)
            for letter in page.chars:
                if letter["text"].strip():
                    assert letter["x0"] * MM >= LEAST_MARGIN - 0.1
                    assert letter["x1"] * MM <= value.paper.width - LEAST_MARGIN + 0.1
                    assert letter["top"] * MM >= LEAST_MARGIN - 0.1
                    assert letter["bottom"] * MM <= value.paper.height - LEAST_MARGIN + 0.1


@pytest.mark.parametrize("name", SHEETS)
def test_the_text_of_the_pdf_comes_out_in_the_order_of_reading(name):
    sheet = sheet_of(name, "sample", "letter")
    sheet = replace(sheet, pages=sheet.pages[:MOST_PAGES_READ])
    with pdfplumber.open(io.BytesIO(as_pdf(sheet))) as pdf:
        drawn = "".join(c["text"] for page in pdf.pages for c in page.chars)
    assert "".join(drawn.split()) == "".join(sheet.text.split())


@pytest.mark.parametrize("name", SHEETS)
def test_the_sixty_letter_word_is_whole_or_cut_with_hyphens(name):
    """Where a sheet says the word at all, no letter of it is lost, unless dots stand for the rest."""
    text = "".join(sheet_of(name, "overlong", "a4").text.replace("-\n", "").split())
    if LONG_WORD[:12] in text and "…" not in text:
        assert LONG_WORD in text


PLANTED = a_child(
    "zaunkoenig",
    born=(2024, 2),
    allergens=("quittenkern",),
    days=("mon", "tue", "wed", "thu", "fri"),
)


@pytest.mark.parametrize("name", [n for n, e in SHEETS.items() if e.audience is not Audience.STAFF])
def test_posted_and_family_sheets_say_nothing_of_children_levels_or_policies(name):
    """Labels and allergens are planted in the room; the words of findings and policies must not come up."""
    room = replace(
        fern_room(), children=(PLANTED, *fern_room().children), name="Fern Room", rules="cfoc"
    )
    sheet = make_sheet(name, a_job(a_plan(room)))
    said = " ".join((sheet.title, sheet.text, str(sheet.tables))).casefold()
    for word in ("zaunkoenig", "quittenkern", "2024-02", "cfoc", "policy", "allerg"):
        assert word not in said
    assert "staff only" not in said
    assert sheet.audience is SHEETS[name].audience


@pytest.mark.parametrize("name", [n for n, e in SHEETS.items() if e.audience is Audience.STAFF])
def test_staff_sheets_are_marked_on_every_first_page(name):
    assert "STAFF ONLY" in [
        words.text for words in sheet_of(name, "sample", "letter").pages[0].words
    ]
    assert sheet_of(name, "sample", "letter").audience is Audience.STAFF


def test_a_label_in_a_note_is_asked_about_on_posted_sheets_only():
    plan = a_plan()
    noted = tuple(replace(p, note="Plover likes the red brush") for p in plan.unit.placements)
    plan = plan_unit(replace(plan.unit, placements=noted), plan.theme, plan.cards, plan.room)
    job = a_job(plan)
    assert labels_on(make_sheet("setup-sheets", job), job) == ("plover",)
    assert labels_on(make_sheet("setup-walk", job), job) == ()


def test_the_same_sheet_gives_the_same_bytes():
    sheet = sheet_of("setup-walk", "sample", "letter")
    assert as_pdf(sheet) == as_pdf(sheet)


def test_a_room_without_children_prints_every_sheet():
    job = a_job(a_plan(replace(fern_room(), children=(), day=(), stock=())))
    assert all(make_sheet(name, job).pages for name in SHEETS)
