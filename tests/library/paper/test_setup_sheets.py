"""Half a page a placement, where the hands are."""

from dataclasses import replace

from library.cards.values import Translation
from library.paper.setup_sheets import DRAFT, setup_sheets
from library.paper.sheet import LETTER, Panel
from library.plan.unitplan import plan_unit
from tests.builders import (
    a_book,
    a_card,
    a_child,
    a_material,
    a_material_line,
    a_placement,
    a_room,
    a_theme,
    a_unit,
    the_card,
)
from tests.library.paper.reading import straight_lines
from tests.library.paper.samples import a_job

TEXT = """\
---
title: Sponge rain
centers: [water]
ages: 24-48
prep: 2
group: 1-4
adult: within reach
props: {catcher: shallow lids}
materials:
  - {item: hand sponge, amount: 1 per place}
  - {item: "{{catcher}}", amount: 1 per child}
  - {item: water, amount: 500 ml per setup, refresh: each day}
steps:
  - {do: Fill the tub, minutes: 2, on: morning}
---
A soaked sponge rains on {{catcher}}.

## Set up
Two fingers of water.

## Invite
Say **rain** and wait.

## Watch for
Eyes that look up.

## Easier
Press it flat.

## Harder
Move the {{catcher}} away.

## Cautions
Empty the tub at once.

## Pack away
Leave it in the air.
"""


def sheet_of(*placements, card=None, theme=None, room=None, **job):
    card = card or the_card(TEXT)
    room = room or a_room(a_child("wren"), a_child("tern", days=("tue",)), centers=("water",))
    plan = plan_unit(a_unit(*placements), theme or a_theme(), {card.id: card}, room)
    return setup_sheets(a_job(plan, **job))


def flat(sheet):
    return " ".join(sheet.text.split())


def test_the_six_parts_stand_on_it_in_order():
    text = sheet_of(a_placement()).text.split("\n")
    parts = [
        line
        for line in text
        if line in ("Put out", "Say", "Easier", "Harder", "Adults", "Pack away")
    ]
    assert parts == ["Put out", "Say", "Easier", "Harder", "Adults", "Pack away"]


def test_it_is_dressed_in_the_theme():
    text = flat(sheet_of(a_placement(), theme=a_theme(props={"catcher": "curled silk leaves"})))
    assert "rains on curled silk leaves" in text
    assert "shallow lids" not in text


def test_amounts_are_those_of_the_fullest_day():
    """Two children come on Tuesdays, one on the others; four places whoever comes."""
    text = flat(sheet_of(a_placement()))
    assert "hand sponge 4" in text
    assert "shallow lids 2" in text
    assert "500 ml" in text
    assert "new each day" in text


def test_without_children_amounts_stay_as_written():
    text = flat(sheet_of(a_placement(), room=a_room(centers=("water",))))
    assert "1 per child" in text
    assert "hand sponge 4" in text


def test_a_carried_note_stands_under_the_highlighter_beside_what_is_put_out():
    sheet = sheet_of(a_placement(note="paper slid; clip both edges"))
    assert any(isinstance(item, Panel) and item.fill == "#fff3a6" for item in sheet.pages[0].items)
    assert flat(sheet).index("clip both edges") < flat(sheet).index("Put out")


def test_two_placements_share_a_page_that_is_cut_in_the_middle():
    sheet = sheet_of(a_placement(), a_placement("table"))
    assert len(sheet.pages) == 1
    cut = [
        line
        for line in straight_lines(sheet)
        if line[2] - line[0] > 150 and abs(line[1] - LETTER.height / 2) < 0.2
    ]
    assert len(cut) == 1


def test_the_second_language_stands_beside_and_is_a_draft_until_a_speaker_has_read_it():
    card = replace(the_card(TEXT), es=Translation("Lluvia de esponjas", "Cae la lluvia."))
    assert "Lluvia de esponjas" in flat(sheet_of(a_placement(), card=card))
    assert DRAFT in flat(sheet_of(a_placement(), card=card))
    read = replace(card, es=Translation("Lluvia de esponjas", "Cae la lluvia.", "A. Rivera"))
    assert DRAFT not in flat(sheet_of(a_placement(), card=read))


def test_a_rain_swap_has_a_sheet_of_its_own():
    card, swap = the_card(TEXT), replace(the_card(TEXT), id="tunnel-crawl", title="Tunnel crawl")
    plan = plan_unit(
        a_unit(a_placement(instead="tunnel-crawl")),
        None,
        {card.id: card, swap.id: swap},
        a_room(centers=("water",)),
    )
    text = flat(setup_sheets(a_job(plan)))
    assert "Tunnel crawl" in text
    assert "when it pours" in text


def test_what_needs_more_than_half_a_page_gets_a_page_and_keeps_its_neighbours():
    long = replace(
        the_card(TEXT), body=the_card(TEXT).body + "\n\n## Easier\n\n" + "Press it. " * 200
    )
    sheet = sheet_of(a_placement(), a_placement("table"), card=long)
    assert len(sheet.pages) == 2
    assert sheet.text.count("Pack away") == 2


def test_a_missing_card_is_named_and_what_is_added_to_a_standing_center_stands_there():
    sheet = sheet_of(
        a_placement("water", "gone-card"),
        a_placement("blocks", None, standing=True, add="gourds among the blocks"),
        a_placement("books", None, standing=True),
    )
    assert "There is no card 'gone-card'" in flat(sheet)
    assert "gourds among the blocks" in flat(sheet)
    assert "Books" not in sheet.text


def test_bold_words_and_lists_of_a_card_are_set_and_no_mark_of_markdown_stays():
    card = replace(
        the_card(TEXT), body=the_card(TEXT).body + "\n- one\n- two\n\n1. first\n2. then *this*\n"
    )
    sheet = sheet_of(a_placement(), card=card)
    assert any(w.text.strip() == "rain" and w.bold for page in sheet.pages for w in page.words)
    assert "*" not in sheet.text
    assert "2. then this" in flat(sheet)


def test_hands_water_and_tables_stand_on_the_sheet_with_their_minutes():
    """CFOC 6.2.4.2: just before, between groups, and right after."""
    text = sheet_of(a_placement("water", "sponge-rain")).text
    for part in ("Just before, 9 min", "Right after, 12 min", "CFOC"):
        assert (part in " ".join(text.split())) == (part != "CFOC")
    assert "fresh drinking water" in " ".join(text.split())


def test_what_must_not_be_put_out_has_a_sheet_without_anything_to_put_out():
    """The sheet hangs where anyone reads it, so it says neither level nor whose allergen it is."""
    card = a_card(
        "dough-bed", title="Dough bed", body="A bed of dough.\n\n## Set up\n\nRoll it.",
        materials=(a_material_line("wheat dough", "2 per setup"),),
    )  # fmt: skip
    wren = a_child("wren", allergens=("wheat",))
    plan = plan_unit(
        a_unit(a_placement("dough", "dough-bed")),
        a_theme(),
        {card.id: card},
        a_room(wren),
        materials=a_book(a_material("wheat dough", allergens=("wheat",))),
    )
    sheet = setup_sheets(a_job(plan))
    assert "Do not put this out. The lead changes the plan first" in flat(sheet)
    for word in ("Put out", "wheat", "wren", "Stop", "Roll it"):
        assert word not in sheet.text
    assert sheet.tables[0].rows == ()
