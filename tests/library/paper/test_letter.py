"""The family letter."""

import datetime as dt
from dataclasses import replace

import pytest

from library.cards.values import Translation
from library.materials.material import Kind, MaterialBook
from library.paper.family_letter import family_letter
from library.paper.letter_text import letter_text, things_to_bring
from library.plan.unitplan import plan_unit
from library.units.theme import Song
from tests.builders import (
    a_card,
    a_child,
    a_material,
    a_material_line,
    a_placement,
    a_room,
    a_unit,
)
from tests.library.paper.samples import a_job, a_rich_theme

BOOK = MaterialBook(
    (
        a_material("egg carton", origin="recycling", allergens=("egg",)),
        a_material("cardboard tube", origin="recycling", also=("paper roll",)),
        a_material("flour", kind=Kind.CONSUMABLE, origin="kitchen", allergens=("Wheat",)),
        a_material("straw", kind=Kind.CONSUMABLE, origin="outdoors", allergens=("rye",)),
        a_material("tissue paper sheet", kind=Kind.CONSUMABLE, origin="recycling"),
        a_material("wooden spoon", origin="kitchen"),
        a_material("washable tempera paint", origin="shop"),
    )
)


def job_of(*items, room=None, theme=None, lines=(), **job):
    card = a_card(
        "tube-roll",
        title="Tube roll",
        body='A tube rolls.\n\n## Invite\nSay "down".',
        materials=(*map(a_material_line, items), *lines),
    )
    plan = plan_unit(
        a_unit(a_placement("table", "tube-roll")),
        theme or a_rich_theme(),
        {card.id: card},
        room or a_room(a_child("wren", allergens=("egg",)), languages=("es",)),
        materials=BOOK,
    )
    return a_job(plan, **job)


def job_with(job, *, eu):
    """The same job in a library that reads the European Union's list too, or does not."""
    materials = replace(job.plan.materials, eu=eu)
    return replace(job, plan=replace(job.plan, materials=materials))


def test_it_says_what_we_play_words_songs_and_books():
    text = letter_text(job_of("wooden spoon"))
    assert text.startswith("Leaves and wind\n")
    assert "- Tube roll: A tube rolls." in text
    assert "leaf – hoja" in text
    assert "the leaves come down," in text
    assert "A walk under the maples, Fern Room" in text


def test_nothing_is_asked_for_that_a_child_of_the_room_must_not_meet_and_nobody_is_named():
    job = job_of("egg carton", "cardboard tube")
    assert things_to_bring(job) == ("one cardboard tube",)
    text = letter_text(job).casefold()
    assert "cardboard tube" in text
    assert "egg" not in text
    assert "wren" not in text
    free = a_room(a_child("wren"))
    assert things_to_bring(job_of("egg carton", room=free)) == ("one egg carton",)


@pytest.mark.parametrize("word", ["an egg carton", "Egg cartons", "a boiled egg"])
def test_the_themes_own_wishes_are_left_out_where_they_name_such_a_thing(word):
    theme = a_rich_theme(body=f"About leaves.\n\n## To bring\nPlease send {word}.\n")
    assert word not in letter_text(job_of(theme=theme))
    assert word in letter_text(job_of(theme=theme, room=a_room(a_child())))


@pytest.mark.parametrize(
    ("wish", "by_eu_alone"),
    [("a bag of flour", False), ("a sheaf of barley", False), ("oats", True)],
)
def test_gluten_is_every_cereal_that_holds_it(wish, by_eu_alone):
    """21 CFR 101.91(a), from memory: wheat, rye, barley; Regulation (EU) 1169/2011, Annex II, 1: oats too."""
    room = a_room(a_child("wren", allergens=(" Gluten",)))
    theme = a_rich_theme(body=f"## To bring\nBring {wish}.\n\n## At home\nPlay with {wish}.\n")
    job = job_of("flour", room=room, theme=theme)
    assert (wish in letter_text(job_with(job, eu=False))) == by_eu_alone
    assert wish not in letter_text(job_with(job, eu=True))


def test_a_cereal_is_not_asked_for_where_a_child_who_comes_later_must_not_meet_gluten():
    room = a_room(a_child("wren", allergens=("gluten",), since=dt.date(2027, 1, 4)))
    job = job_of("straw", room=room)
    assert things_to_bring(job_of("straw", room=a_room(a_child("wren")))) == ("one straw",)
    assert things_to_bring(job_with(job, eu=False)) == ()
    assert things_to_bring(job_with(job, eu=True)) == ()


@pytest.mark.parametrize(
    ("allergen", "wish"), [("Egg ", "six eggs"), ("tree-nut", "tree nuts"), ("peanut", "peanuts")]
)
def test_allergens_are_found_in_a_wish_as_people_write_them(allergen, wish):
    theme = a_rich_theme(body=f"## To bring\nPlease send {wish}.\n")
    room = a_room(a_child("wren", allergens=(allergen,)))
    assert wish not in letter_text(job_of(theme=theme, room=room))


def test_what_the_room_has_is_not_asked_for():
    from library.materials.amounts import parse_quantity
    from library.room.room import StockLine

    room = a_room(a_child(), stock=(StockLine("paper roll", parse_quantity("3"), "B1"),))
    assert things_to_bring(job_of("cardboard tube", room=room)) == ()


def test_what_is_asked_for_stands_in_the_plural_and_what_is_measured_as_it_is():
    lines = (
        a_material_line("egg carton", "3 per setup"),
        a_material_line("straw", "2 handfuls per setup"),
        a_material_line("tissue paper sheet", "3 sheets per setup"),
        a_material_line("cardboard tube", "1 per setup"),
    )
    text = letter_text(job_of(room=a_room(a_child()), lines=lines))
    assert "no longer needed: egg cartons, straw, tissue paper sheets, one cardboard tube." in text


def a_letter_of(many):
    cards = {
        f"card-{n}": a_card(f"card-{n}", body=f"It is {n}.", es=Translation(f"Juego {n}", "Es."))
        for n in range(many)
    }
    unit = a_unit(*(a_placement("table", name) for name in cards))
    room = a_room(a_child(), languages=("es",))
    return letter_text(a_job(plan_unit(unit, a_rich_theme(), cards, room, materials=BOOK)))


def test_every_activity_is_told_of_the_first_in_a_sentence_and_the_rest_by_title():
    text = a_letter_of(9)
    assert "- Card 5: It is 5.\nWe also play: Card 6; Card 7; Card 8.\n" in text
    assert "- Juego 5: Es.\nTambién jugamos: Juego 6; Juego 7; Juego 8.\n" in text
    assert "We also play" not in a_letter_of(6)


def test_of_very_many_activities_it_says_how_many_more_there_are():
    text = a_letter_of(25)
    assert "; Card 17; and 7 more at school.\n" in text
    assert "; Juego 17; y 7 más en la escuela.\n" in text
    assert "Card 17; and" not in a_letter_of(18)


def test_the_themes_ideas_for_home_come_before_the_units():
    theme = a_rich_theme(body="## At home\n- Stop at one tree.\n")
    assert "Stop at one tree" in letter_text(job_of("wooden spoon", theme=theme))
    text = letter_text(job_of("wooden spoon"))
    assert 'To try at home:\n- Tube roll: A tube rolls. You need: wooden spoon. Say "down".' in text
    assert "To try at home" not in letter_text(job_of("washable tempera paint"))


def test_a_second_language_says_only_what_someone_wrote_in_it():
    assert "Español: palabras" in letter_text(job_of())
    assert "Español: lo que jugamos" not in letter_text(job_of())
    without = a_rich_theme(words=({"en": "leaf"},))
    assert "Español" not in letter_text(job_of(theme=without))


def test_an_edited_letter_is_printed_as_it_was_written():
    sheet = family_letter(job_of(letter="Hello\n\nBring boots:\n- two\n\nThank you"))
    assert sheet.title == "Hello"
    assert [w.text for w in sheet.pages[0].words][:3] == ["Hello", "Bring boots", "two"]
    assert [row[0] for row in sheet.tables[0].rows] == [
        "Hello",
        "",
        "Bring boots:",
        "- two",
        "",
        "Thank you",
    ]


def test_a_letter_shrinks_to_stay_on_one_page_and_else_goes_on():
    middling = family_letter(job_of(letter="Title\n\n" + "\n".join(["A line."] * 43)))
    assert len(middling.pages) == 1
    assert {w.size for w in middling.pages[0].words if w.text == "A line."} < {11.0, 10.5, 10.0}
    long = family_letter(job_of(letter="Title\n\n" + "\n".join(["A line."] * 120)))
    assert len(long.pages) > 1
    assert {w.size for w in long.pages[0].words if w.text == "A line."} == {11.5}


def test_an_empty_letter_is_no_error():
    assert family_letter(job_of(letter="  ")).pages


def test_a_room_without_a_theme_file_has_a_letter():
    job = job_of()
    bare = replace(job, plan=replace(job.plan, theme=None))
    assert letter_text(bare).startswith("Leaves and wind, fall 2026\n")


def test_a_song_that_begins_with_its_title_does_not_say_it_twice():
    theme = a_rich_theme(songs=(Song("One leaf let go", "One leaf let go\nand rode the air."),))
    assert letter_text(job_of(theme=theme)).count("One leaf let go") == 1
