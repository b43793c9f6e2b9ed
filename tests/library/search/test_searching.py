"""What a search finds, and in which order."""

from __future__ import annotations

from pathlib import Path

import pytest

from library.cards.values import AgeRange, Group, Place, Season, Status
from library.search.conditions import Conditions
from library.search.searching import search
from tests.builders import a_card, a_material_line
from tests.library.search.libraries import Shelf

SPONGE_RAIN = a_card(
    "sponge-rain",
    body="Wet sponges rain on silk leaves.\n\n## Set up\nFill the tub half full. Lay towels below.",
    technique="sponge squeezing",
    materials=(a_material_line("hand sponge"), a_material_line("water", "500 ml per setup")),
    seasons=(Season.FALL,),
    place=Place.INDOORS,
    mess=2,
    domains=("IT-PMP-6",),
)
FROST_MIST = a_card(
    "frost-mist",
    centers=("science", "light"),
    ages=AgeRange(30, 48),
    prep=0,
    body="A window frosts over. Children wipe it clear.",
    materials=(a_material_line("mister"), a_material_line("water", "100 ml per setup")),
    group=Group(1, 2),
    place=Place.EITHER,
    domains=("IT-C-4",),
)
NO_COOK_SOUP = a_card(
    "no-cook-soup",
    title="No-cook soup",
    centers=("dramatic", "table"),
    ages=AgeRange(24, 35),
    prep=12,
    body="Ladles and a pot of rain water. No paint is needed, and no flour.",
    materials=(a_material_line("white rice", "1 cup per setup"),),
    place=Place.OUTDOORS,
    mess=1,
)
DOUGH_ROAD = a_card(
    "dough-road",
    centers=("dough",),
    prep=20,
    body="Roll a road of dough and drive over it.",
    materials=(a_material_line("flour", "2 cups per setup"), a_material_line("painter's tape")),
)
DRAFT = a_card("sponge-print", body="Sponges print with tempera.", status=Status.DRAFT,
               centers=("art",), materials=(a_material_line("tempera"),))  # fmt: skip


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Shelf:
    root = tmp_path_factory.mktemp("library")
    return Shelf(root, SPONGE_RAIN, FROST_MIST, NO_COOK_SOUP, DOUGH_ROAD, DRAFT)


def found(shelf: Shelf, words: str = "", stock: tuple[str, ...] = (), **asked) -> list[str]:
    typing, sort = asked.pop("typing", False), asked.pop("sort", "fit")
    result = search(
        shelf.index.view, Conditions(**asked), words, stock=stock, typing=typing, sort=sort
    )
    assert result.total == len(result.hits)
    return [hit.card.id for hit in result.hits]


def test_any_word_may_match_and_more_words_rank_higher(shelf: Shelf):
    assert found(shelf, "rain sponge") == ["sponge-rain", "no-cook-soup"]


def test_stems_meet(shelf: Shelf):
    assert found(shelf, "squeezed sponges") == ["sponge-rain"]


def test_a_title_counts_more_than_the_body(shelf: Shelf):
    assert found(shelf, "rain")[0] == "sponge-rain"


def test_a_material_is_found_by_its_other_names(shelf: Shelf):
    """The card says mister; spray bottle is its main name."""
    assert found(shelf, "spray bottle") == ["frost-mist"]
    assert found(shelf, "bath sponge") == ["sponge-rain"]


def test_a_card_is_found_by_the_other_names_of_its_center(shelf: Shelf):
    """Only what stands in the front matter makes a center: sponge-rain says "rain" at no window."""
    assert found(shelf, "home corner") == ["no-cook-soup"]


def test_a_card_is_found_by_its_name_with_a_hyphen(shelf: Shelf):
    assert found(shelf, "nocook soup")[0] == found(shelf, "No-cook soup")[0] == "no-cook-soup"


def test_without_words_cards_come_by_title(shelf: Shelf):
    assert found(shelf) == ["dough-road", "frost-mist", "no-cook-soup", "sponge-rain"]


def test_drafts_show_only_when_asked_for(shelf: Shelf):
    assert found(shelf, status="draft") == ["sponge-print"]
    assert "sponge-print" not in found(shelf, "sponge")


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        ({"prep_max": 0}, ["frost-mist"]),
        ({"prep_max": 12}, ["frost-mist", "no-cook-soup", "sponge-rain"]),
        ({"prep_min": 20}, ["dough-road"]),
        ({"age_months": 26}, ["dough-road", "no-cook-soup", "sponge-rain"]),
        ({"centers": ("light", "dough")}, ["dough-road", "frost-mist"]),
        ({"place": "indoors"}, ["dough-road", "frost-mist", "sponge-rain"]),
        ({"season": "spring"}, ["dough-road", "frost-mist", "no-cook-soup"]),
        ({"group": 3}, ["dough-road", "no-cook-soup", "sponge-rain"]),
        ({"mess_max": 0}, ["dough-road", "frost-mist"]),
        ({"domains": ("IT-PMP",)}, ["sponge-rain"]),
        ({"domains": ("IT-C", "IT-PMP-6")}, ["frost-mist", "sponge-rain"]),
        ({"technique": "Sponge squeezing"}, ["sponge-rain"]),
        ({"with_": (("spray bottle",),)}, ["frost-mist"]),
        ({"with_": (("water",), ("hand sponge", "spray bottle"))}, ["frost-mist", "sponge-rain"]),
        ({"without": ("water",)}, ["dough-road", "no-cook-soup"]),
        ({"without": ("wheat",)}, ["frost-mist", "no-cook-soup", "sponge-rain"]),
    ],
)
def test_conditions_filter(shelf: Shelf, asked: dict, expected: list[str]):
    assert found(shelf, **asked) == expected


def test_cards_that_cover_a_range_of_ages_come_first(shelf: Shelf):
    """Of 30 to 36 months, frost-mist holds all; no-cook-soup ends at 35."""
    order = found(shelf, age_range=(30, 36))
    assert order.index("sponge-rain") < order.index("no-cook-soup")
    assert order[-1] == "no-cook-soup"


def test_a_text_that_says_no_paint_does_not_contain_any(shelf: Shelf):
    assert "no-cook-soup" in found(shelf, without=("washable paint",))


def test_painters_tape_is_no_paint(shelf: Shelf):
    assert "dough-road" in found(shelf, without=("washable paint",))


def test_what_is_on_hand_knows_all_names_and_takes_water_from_the_tap(shelf: Shelf):
    assert found(shelf, on_hand=True, stock=("car sponge",)) == ["sponge-rain"]
    assert found(shelf, on_hand=True, stock=()) == []


def test_least_prep_first(shelf: Shelf):
    assert found(shelf, sort="prep")[:2] == ["frost-mist", "sponge-rain"]


def test_a_beginning_is_found_while_typing(shelf: Shelf):
    assert found(shelf, "spo", typing=True) == ["sponge-rain"]
    assert found(shelf, "lad", typing=True) == ["no-cook-soup"]


def test_a_slip_is_corrected_by_the_words_of_the_library(shelf: Shelf):
    result = search(shelf.index.view, Conditions(), "Spnoge")
    assert (result.did_you_mean, [hit.card.id for hit in result.hits]) == (
        "sponge",
        ["sponge-rain"],
    )
    assert result.words == "sponge"


def test_a_word_that_matches_is_never_corrected(shelf: Shelf):
    assert search(shelf.index.view, Conditions(), "road").did_you_mean is None


def test_two_words_written_as_one_are_parted(shelf: Shelf):
    assert search(shelf.index.view, Conditions(), "silkleaves").did_you_mean == "silk leaves"


def test_the_sentence_that_matched_is_shown(shelf: Shelf):
    hit = search(shelf.index.view, Conditions(), "ladle").hits[0]
    marked = [(part.text, part.marked) for part in hit.snippet]
    assert marked == [("Ladles", True), (" and a pot of rain water.", False)]


def test_matches_in_the_title_are_marked(shelf: Shelf):
    hit = search(shelf.index.view, Conditions(), "rain").hits[0]
    assert [part.text for part in hit.title if part.marked] == ["rain"]


def test_where_nothing_is_found_the_condition_that_is_in_the_way_is_named(shelf: Shelf):
    result = search(shelf.index.view, Conditions(prep_max=0, centers=("dough",)))
    removed = {relaxation.removed[0][0]: relaxation.total for relaxation in result.relaxations}
    assert removed == {"prep_max": 1, "centers": 1}
    conditions = {relaxation.conditions for relaxation in result.relaxations}
    assert conditions == {Conditions(prep_max=0), Conditions(centers=("dough",))}


def test_two_conditions_are_named_where_one_is_not_enough(shelf: Shelf):
    asked = Conditions(prep_max=0, centers=("dough",), without=("water",))
    assert {len(each.removed) for each in search(shelf.index.view, asked).relaxations} <= {1, 2}
    asked = Conditions(prep_max=0, mess_max=0, with_=(("white rice",),), centers=("table",))
    assert all(len(each.removed) == 2 for each in search(shelf.index.view, asked).relaxations)


def test_the_newest_file_comes_first(tmp_path: Path):
    import os

    shelf = Shelf(tmp_path, SPONGE_RAIN, NO_COOK_SOUP)
    os.utime(shelf.path(SPONGE_RAIN), (1_000_000_000, 1_000_000_000))
    shelf.index.rebuild()
    assert found(shelf, sort="newest") == ["no-cook-soup", "sponge-rain"]
