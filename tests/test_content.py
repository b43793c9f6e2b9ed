"""The starter library is worth opening: every card, material, theme and unit is held to the list.

What makes a card good is in DEVELOPERS.md. What can be counted or measured is here.
"""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from stdnum import isbn

from library.cards.card import Card
from library.cards.checking import Known, check_card
from library.cards.folder import CardFolder
from library.cards.rendering import split_sections
from library.cards.values import Refresh, Status, When
from library.frameworks.framework import head_start
from library.materials.material import MADE, Kind, Material
from library.materials.shapes import Shape, parse_shape
from library.plan.checks import check_unit
from library.plan.unitplan import cards_named, plan_unit
from library.prep.prep import plan_prep
from library.room.demo import FERN_ROOM, demo_room
from library.room.roomfile import read_room
from library.safety.small_parts import is_small_ball, is_small_part, is_small_round_piece
from library.units.dressing import dress, props_used
from library.units.findings import Level
from library.units.theme import Theme
from library.units.unit import Unit
from server.known import known_to_cards
from tests import content_table, shelf
from tests.reading import reading_grade

HEADINGS = ("Set up", "Invite", "Watch for", "Easier", "Harder", "Adaptations", "Pack away")
MOST_ALIKE = 60
"""Mean over a card's sentences of the best match in another card, 0 to 100."""
US_ALLERGENS = {
    "milk", "egg", "fish", "shellfish", "tree-nut", "peanut", "wheat", "soy", "sesame",
}  # fmt: skip
NOT_FOR_CHILDREN = re.compile(
    r"\b(balloons?|button cells?|water beads?|foam peanuts?|coins?|safety pins?|marbles?|tacks?|"
    r"glitter|raw beans?|acorns?|shaving foam|cotton balls?|pom-?poms?)\b",
    re.IGNORECASE,
)
FILLER = re.compile(r"!|\bfun\b|\bexplor|\bamazing\b|\bmagic\b|\bcute\b", re.IGNORECASE)

LOVED = {
    "pouring": {"two-hand pouring"},
    "scooping": {"scooping", "digging"},
    "squeezing": {"sponge squeezing", "baster squeezing"},
    "tongs": {"tongs gripping"},
    "rolling": {"rolling dough", "rolling with rollers", "body rolling"},
    "printing": {"printing"},
    "tearing": {"tearing"},
    "sticking": {"sticking"},
    "posting through slots": {"posting through slots"},
    "threading large pieces": {"threading"},
    "filling and emptying": {"filling and emptying"},
    "hiding and finding": {"hiding and finding"},
    "lining up": {"lining up"},
    "hammering": {"hammering"},
    "spraying": {"spraying"},
    "mixing colors": {"color mixing"},
    "light and shadow": {"light and shadow", "flashlight aiming"},
    "ramps": {"ramp rolling"},
    "carrying heavy things": {"carrying heavy things"},
    "sound": {"sound making"},
    "scent": {"smelling"},
    "dens": {"den building"},
    "washing real things": {"washing real things"},
    "cooking without heat": {"mashing and spreading"},
    "dressing up": {"dressing up"},
    "caring for dolls": {"caring for dolls", "wrapping"},
    "mark making": {"large mark making", "upright mark making", "mark making"},
    "listening": {"listening"},
    "books with objects": {"books with objects"},
}
"""What two-year-olds love to do, and the techniques in which it appears."""

each_card = pytest.mark.parametrize("card", shelf.cards(), ids=lambda card: card.id)
each_material = pytest.mark.parametrize(
    "material", tuple(shelf.materials()), ids=lambda material: material.item
)
each_theme = pytest.mark.parametrize("theme", shelf.themes(), ids=lambda theme: theme.id)
each_unit = pytest.mark.parametrize("unit", shelf.units(), ids=lambda unit: unit.id)


@cache
def known() -> Known:
    """What cards may refer to; a problem in the files that say so is an error."""
    found, problems = known_to_cards(shelf.paths(), CardFolder(shelf.paths()))
    assert not problems, problems
    return found


# Cards one by one


@each_card
def test_every_card_says_all_that_a_substitute_needs(card: Card) -> None:
    for name in ("runs", "group", "adult", "mess", "place", "technique"):
        assert getattr(card, name) not in (None, ""), name
    assert card.status is Status.READY
    assert 2 <= len(card.domains) <= 4
    headings = [section.heading for section in split_sections(card.body)]
    assert headings[0] == "", "a card begins with one sentence that says what it is"
    assert set(HEADINGS) <= set(headings)
    assert len(re.findall(r"[.?]", card.summary)) == 1
    assert 120 <= len(shelf.prose(card).split()) <= 250


@each_card
def test_no_card_has_a_problem(card: Card) -> None:
    """Goals, props, spans and sums are right; every material is known (SUP10, PREP21, PREP23)."""
    assert not check_card(card, known())
    assert set(card.centers) <= set(content_table.CENTERS)


@each_card
def test_prep_is_what_the_steps_add_up_to(card: Card) -> None:
    """A card that takes minutes says what they are spent on."""
    minutes = sum(step.minutes for step in card.steps if step.on is not When.DAILY)
    assert card.prep == minutes


@each_card
def test_every_card_reads_between_grades_four_and_eight(card: Card) -> None:
    """Flesch-Kincaid grade; see ``tests.reading`` for the formula and its source."""
    assert 4 <= reading_grade(shelf.prose(card)) <= 8


def test_the_reading_grade_is_the_published_formula() -> None:
    """By hand: six words of one syllable in one sentence; one word of five syllables in one."""
    assert reading_grade("The cat sat on the mat.") == pytest.approx(0.39 * 6 + 11.8 - 15.59)
    assert reading_grade("Refrigerator.") == pytest.approx(0.39 + 11.8 * 5 - 15.59)


@each_card
def test_no_card_speaks_of_what_is_kept_from_young_children_or_fills_space(card: Card) -> None:
    """Source of the list: CFOC 6.4.1.2; 5.2.9.10 for acorns."""
    text = f"{card.title} {card.body} {' '.join(line.item for line in card.materials)}"
    assert not NOT_FOR_CHILDREN.search(text)
    assert not FILLER.search(text)


@each_card
def test_nothing_on_a_card_carries_a_hazard_but_food(card: Card) -> None:
    """All cards reach under 36 months; food has its own rules and an adult within reach."""
    assert card.ages.low < 36
    hazards = {hazard for thing in shelf.things(card) for hazard in thing.hazards}
    assert hazards <= {"food"}
    if hazards:
        assert card.adult == "within reach"


@each_card
def test_every_card_has_a_spanish_title_and_sentence_that_nobody_has_read_yet(card: Card) -> None:
    assert card.es
    assert card.es.title
    assert card.es.summary.endswith(".")
    assert not card.es.read_by


# Cards together


def test_the_library_covers_what_a_room_counts_on() -> None:
    shares = content_table.shares()
    cards = shares["cards"]
    assert cards >= 160
    assert shares["5 minutes of prep or less"] * 3 >= cards
    assert shares["nothing bought"] * 3 >= cards
    assert shares["any season, any theme"] >= 40
    assert shares["outdoors"] >= 30
    assert shares["moving on a day of rain"] >= 25


@pytest.mark.parametrize("center", content_table.CENTERS)
def test_every_center_has_eight_cards_of_its_own(center: str) -> None:
    assert sum(card.centers[0] == center for card in shelf.cards()) >= 8


@pytest.mark.parametrize("loved", LOVED)
def test_what_children_love_comes_in_more_than_one_dress(loved: str) -> None:
    cards = [card for card in shelf.cards() if card.technique in LOVED[loved]]
    assert len(cards) >= 2


def test_every_technique_ties_two_cards_together() -> None:
    alone = [name for name, cards in content_table.by_technique().items() if len(cards) < 2]
    assert not alone


def test_goals_are_spread() -> None:
    """No goal stands on more than a fifth of the cards, every infant-toddler goal on one."""
    counts = content_table.goal_counts()
    assert max(counts.values()) * 5 <= len(shelf.cards())
    young = {code for code in head_start().codes if code.startswith("IT-")}
    assert len(young) == 59
    assert young <= set(counts)


@cache
def likeness() -> np.ndarray:
    """Row, column: mean over the row's sentences of the best match in the column's card."""
    from rapidfuzz import fuzz, process

    groups = [shelf.sentences(card, hygiene=False) for card in shelf.cards()]
    counts = np.array([len(group) for group in groups])
    starts = np.concatenate([[0], np.cumsum(counts)[:-1]])
    flat = [sentence for group in groups for sentence in group]
    scores = process.cdist(flat, flat, scorer=fuzz.token_sort_ratio, dtype=np.uint8)
    best = np.maximum.reduceat(scores, starts, axis=1).astype(float)
    return np.add.reduceat(best, starts, axis=0) / counts[:, None]


def test_no_two_cards_read_as_if_stamped_from_one_mould() -> None:
    alike = likeness().copy()
    assert (np.diag(alike) == 100).all()
    np.fill_diagonal(alike, 0)
    row, column = np.unravel_index(alike.argmax(), alike.shape)
    pair = shelf.cards()[row].id, shelf.cards()[column].id
    assert alike.max() <= MOST_ALIKE, pair


@cache
def measures() -> dict[str, dict[str, list[str]]]:
    """Material → measure → cards that count it so."""
    found: dict[str, dict[str, list[str]]] = {}
    for card in shelf.cards():
        for line, thing in zip(card.materials, shelf.things(card), strict=True):
            measure = line.counted().quantity.measure
            found.setdefault(thing.item, {}).setdefault(measure, []).append(card.id)
    return found


def test_amounts_of_one_thing_can_be_added() -> None:
    """SUP20: counted things and measured ones do not mix; each thing is measured in one way."""
    counted = {"", "sheet", "head", "roll", "piece"}
    mixed = {
        item: ways
        for item, ways in measures().items()
        if {way in counted for way in ways} == {True, False}
    }
    assert not mixed


# Materials


def shape_of(material: Material) -> Shape | None:
    """The size of a material, read."""
    return parse_shape(material.shape) if material.shape else None


@each_material
def test_every_material_says_where_it_comes_from_and_whether_it_is_loose(
    material: Material,
) -> None:
    assert material.origin
    assert material.loose is not None
    assert set(material.allergens) <= US_ALLERGENS


EVERYDAY = {
    "big cardboard box": "large cardboard box",
    "kitchen roll tube": "cardboard tube",
    "toilet paper roll": "cardboard tube",
    "washing-up bowl": "water tub",
    "plastic pitcher": "plastic jug",
    "plastic cup": "plastic mug",
    "squirt bottle": "spray bottle",
    "dish towel": "towel",
    "dish cloth": "washcloth",
    "washing-up liquid": "mild soap",
    "art smock": "apron",
    "poster paint": "washable tempera paint",
    "big paint brush": "wide paint brush",
    "PVA glue": "washable glue",
    "felt pen": "washable marker",
    "big crayon": "chunky crayon",
    "big chalk": "chunky chalk",
    "kraft paper": "butcher paper",
    "white paper": "copy paper",
    "food container": "snap-lid tub",
    "big stone": "smooth river stone",
    "potting soil": "compost",
    "tea set": "play dishes",
}
"""What a teacher may call a thing → its main name."""


@pytest.mark.parametrize(("said", "item"), EVERYDAY.items())
def test_a_thing_is_found_by_its_everyday_name(said: str, item: str) -> None:
    assert shelf.materials().main_name(said) == item


def test_only_books_come_from_the_public_library() -> None:
    """A towel or a tricycle is bought, or is there already."""
    lent = [each for each in shelf.materials() if each.origin == "library"]
    assert lent
    assert {each.kind for each in lent} == {Kind.BOOK}


@each_card
def test_what_is_made_anew_each_day_has_its_step_each_day(card: Card) -> None:
    """Made things are on no shopping list, so a card that asks for them daily says who makes them."""
    made = {each.item for each in shelf.materials() if each.origin == MADE}
    daily = [line.item for line in card.materials if line.refresh is Refresh.EACH_DAY]
    if made & set(daily):
        assert any(step.on is When.DAILY and "again" in step.do for step in card.steps), card.id


@each_material
def test_whatever_is_loose_has_a_size_and_does_not_fit_the_cylinder(material: Material) -> None:
    """16 CFR 1501.4; balls 16 CFR 1500.18(a)(17); round pieces CFOC 6.4.1.2."""
    shape = shape_of(material)
    assert shape or not material.loose
    if shape:
        assert not is_small_part(shape)
        assert not is_small_ball(shape)
        assert not is_small_round_piece(shape)


def test_each_lasting_thing_that_is_not_loose_and_has_no_size_says_why() -> None:
    """PART3: the reason stands beside ``loose: false``."""
    lines = (shelf.paths().activities / "materials.yaml").read_text("utf-8").splitlines()
    for material in shelf.materials():
        if material.kind is Kind.DURABLE and not material.loose and not material.shape:
            entry = lines[material.line - 1 : material.line + 12]
            stated = next(line for line in entry if line.startswith("  loose: false"))
            assert "#" in stated, material.item


def test_sizes_are_read_as_they_are_written() -> None:
    """A piece that does fit is found, so that the test of sizes can fail."""
    assert is_small_part(parse_shape("sphere 31 mm"))
    assert is_small_ball(parse_shape("ball 40 mm"))
    assert is_small_round_piece(parse_shape("ellipsoid 60 x 40 x 40 mm"))


# Themes


@each_theme
def test_every_theme_fills_every_prop_that_cards_use(theme: Theme) -> None:
    used = {name for card in shelf.cards() for name in props_used(card)}
    assert set(theme.props) == used
    for card in shelf.cards():
        dressed = dress(card, theme)
        assert not dressed.defaults
        assert not dressed.unknown


@each_theme
def test_a_card_in_a_themes_dress_names_only_listed_things(theme: Theme) -> None:
    for card in shelf.cards():
        shelf.things(card, theme)


@each_theme
def test_every_theme_has_words_in_two_languages_books_songs_and_notes_for_families(
    theme: Theme,
) -> None:
    assert not theme.problems
    assert theme.seasons
    assert theme.bin
    assert 10 <= len(theme.words) <= 14
    assert all(word.get("en") and word.get("es") for word in theme.words)
    assert theme.books
    assert all(book.title and book.author for book in theme.books)
    assert len(theme.songs) >= 2
    assert all(song.text.strip() for song in theme.songs)
    headings = [section.heading for section in split_sections(theme.body)]
    assert headings == ["", "To bring", "At home"]


@each_theme
def test_a_book_has_a_number_that_checks_or_a_note_that_it_is_from_memory(theme: Theme) -> None:
    text = (shelf.paths().themes / theme.id / "theme.md").read_text("utf-8")
    numbered = [book for book in theme.books if book.isbn]
    assert all(isbn.is_valid(book.isbn) for book in numbered)
    assert text.count("# from memory") == len(theme.books) - len(numbered)


def test_there_are_two_themes_for_each_season() -> None:
    for season in ("fall", "winter", "spring", "summer"):
        assert sum(season in theme.seasons for theme in shelf.themes()) >= 2
    assert len(shelf.themes()) == 8


# Units


@each_unit
def test_every_unit_reads_and_names_cards_that_are_there(unit: Unit) -> None:
    assert not unit.problems
    assert unit.starts.weekday() == 0
    assert unit.weeks == 2
    assert set(cards_named(unit)) <= set(shelf.cards_by_id())
    room = read_room(FERN_ROOM).room
    blocks = {block.name.casefold() for block in room.day}
    named = {name.casefold() for placement in unit.placements for name in placement.when}
    assert named <= blocks


@each_unit
def test_the_fern_room_can_run_every_unit(unit: Unit) -> None:
    """Nothing to stop for, no center empty, no area without a goal, no technique twice a week.

    More adults are never wanted than there are. A child who is younger than a card, a
    caution about water or food, and what has to be bought stay for the team to look at.
    """
    theme = next(theme for theme in shelf.themes() if theme.id == unit.theme)
    room = demo_room(unit.starts)
    plan = plan_unit(unit, theme, shelf.cards_by_id(), room, materials=shelf.materials())
    found = check_unit(plan).findings
    assert not [finding for finding in found if finding.level is Level.STOP]
    wanted = {"adults", "ratio", "closed", "coverage", "repeat", "missing", "allergen"}
    assert not [finding.text for finding in found if finding.kind in wanted]


@each_unit
def test_the_fern_room_can_get_ready_for_every_unit(unit: Unit) -> None:
    """What is needed can be counted and added (SUP20); no work ahead is late (PREP13)."""
    theme = next(theme for theme in shelf.themes() if theme.id == unit.theme)
    room = demo_room(unit.starts)
    plan = plan_unit(unit, theme, shelf.cards_by_id(), room, materials=shelf.materials())
    assert plan.supplies.lines
    assert not plan.supplies.problems
    assert not plan.supplies.cannot_add
    prep = plan_prep(unit, plan.placed, room)
    assert prep.sessions
    assert not prep.late
    assert not prep.missing


def test_what_the_fern_room_owns_and_buys_is_listed() -> None:
    """The example room counts in the measures of the cards, so that stock can be taken off."""
    room = read_room(FERN_ROOM).room
    for line in (*room.stock, *room.buy):
        assert shelf.materials().find(line.item), line.item


@each_unit
def test_a_clone_comes_from_a_unit_that_is_there_and_a_look_back_names_its_cards(
    unit: Unit,
) -> None:
    assert unit.cloned_from in {None, *(other.id for other in shelf.units())}
    assert {entry.activity for entry in unit.look_back} <= set(cards_named(unit))


def test_three_falls_of_one_theme_show_what_cloning_is_for() -> None:
    """Each year is made from the one before, which says of every activity how it went."""
    by_id = {unit.id: unit for unit in shelf.units()}
    years = [by_id[f"leaves-and-wind/{year}-fall"] for year in (2023, 2024, 2025)]
    for before, after in pairwise(years):
        assert after.cloned_from == before.id
        dropped = {entry.activity for entry in before.look_back if entry.again == "no"}
        placed = {placement.activity for placement in after.placements}
        assert not dropped & placed
        notes = " ".join(placement.note for placement in after.placements)
        changes = [entry for entry in before.look_back if entry.again == "change"]
        assert any(entry.note in notes for entry in changes)
    full = {placement.activity for placement in years[-1].placements if placement.activity}
    assert {entry.activity for entry in years[-1].look_back} == full


def test_every_theme_has_a_unit() -> None:
    assert {unit.theme for unit in shelf.units()} == {theme.id for theme in shelf.themes()}
