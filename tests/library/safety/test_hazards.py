"""Words of the published list, where they mean the thing and where they do not."""

from __future__ import annotations

import re

import pytest

from library.safety.hazards import checked_on, hazards, in_card, in_material, in_text, parse_hazards
from tests.builders import a_card


def keys(mentions):
    """The hazards named."""
    return [mention.hazard.key for mention in mentions]


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("Scatter glitter on the glue.", "glitter"),
        ("GLITTER everywhere", "glitter"),
        ("gliter", "glitter"),
        ("Hand out balloons", "balloon"),
        ("one baloon each", "balloon"),
        ("water marbles in a tub", "water-beads"),
        ("Put water beads in a tub", "water-beads"),
        ("the water-beads", "water-beads"),
        ("styrofoam cups", "foam-plastic"),
        ("styrafoam", "foam-plastic"),
        ("stryofoam blocks", "foam-plastic"),
        ("polysterene", "foam-plastic"),
        ("packing peanuts", "foam-plastic"),
        ("marbels down a ramp", "marble"),
        ("thumb tacks", "tack"),
        ("push-pins", "tack"),
        ("saftey pins and safty pins", "safety-pin"),
        ("magnents", "magnet"),
        ("coin-cell batteries", "button-cell"),
        ("flameless candles glow", "button-cell"),
        ("shaving cream on a tray", "aerosol"),
        ("a dark scarf", "neckwear"),
        ("Two necklaces", "neckwear"),
        ("kidney beans to scoop", "raw-beans"),
        ("a bin of dyed rice", "loose-fill"),
        ("a ziplock bag of gel", "plastic-bag"),
        ("Watch a video of rain", "screen"),
        ("acorns", "toxic-plant"),
        ("a wading pool", "water"),
        ("Children's scissors", "sharp"),
        ("sewing pins", "sharp"),
    ],
)
def test_words_plurals_and_misspellings_are_found(text, key):
    assert key in keys(in_text(text))


@pytest.mark.parametrize(
    "text",
    [
        "No glitter needed.",
        "no need for any glitter",
        "without paint, glue or glitter",
        "No paint, no glue, no glitter.",
        "a glitter-free table",
        "Glitter is not needed here.",
        "Use pebbles instead of small glass marbles.",
        "Leave out scarves, ties and beads.",
        "Do not put out marbles.",
        "Never give children balloons.",
        "Check for tacks and remove safety pins first.",
        "Marbles are left out.",
        "Ribbons rather than necklaces",
        "Avoid styrofoam.",
    ],
)
def test_what_is_said_not_to_be_there_is_not_found(text):
    assert not in_text(text)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("Not every child wants glitter.", "glitter"),
        ("No hurry. Scatter glitter.", "glitter"),
        ("Children who do not like paint use glitter.", "glitter"),
        ("There is no rush; hand each a balloon.", "balloon"),
        ("Not much to prepare: put water beads in a tub.", "water-beads"),
    ],
)
def test_a_no_that_means_something_else_hides_nothing(text, key):
    assert keys(in_text(text)) == [key]


@pytest.mark.parametrize(
    "text",
    [
        "Beads of water run down the glass.",
        "Watch water beads roll off the leaf.",
        "See how the water beads on wax.",
        "Pour paint into the paint tray.",
        "Roll a snow ball.",
        "A hot-air balloon is in the picture.",
        "Stir with a balloon whisk.",
        "Marbled paper dries on the line.",
        "Low-tack tape holds it.",
        "Pine needles smell sharp.",
        "A scarf cloth floats down.",
        "Sunscreen first, then the shadow screen.",
        "Lighter cloth lets light through.",
        "Match the lids to the jars.",
        "Stir the soup on the play stove.",
        "Cut the frost on the window pane.",
        "The rice flour dough is soft.",
        "Two ducks and a frog puppet hop by.",
        "Coconut halves clop.",
        "The snow glitters.",
        "Beat the hand drum and stop.",
        "Pin the sheet to the line.",
        "Hold the string of the moment.",
    ],
)
def test_a_word_that_means_something_else_is_not_found(text):
    assert not in_text(text)


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("white rice", ["loose-fill"]),
        ("pony beads", ["loose-fill"]),
        ("apple seeds", ["loose-fill"]),
        ("seed tray", []),
        ("rice flour", ["food"]),
        ("large wooden bead", []),
        ("peanuts", ["choking-food"]),
        ("nuts and bolts", []),
        ("kidney beans", ["raw-beans"]),
        ("bean bag", []),
        ("coffee beans", []),
        ("glitter-free glue", []),
        ("old paint brush", []),
        ("old paint", ["unlabelled-art"]),
        ("house-painting brush", []),
        ("latex-free gloves", []),
        ("staples", ["tack"]),
        ("painter's tape", []),
        ("washable tempera paint", []),
        ("rolling pin", []),
        ("wooden clothespin", []),
    ],
)
def test_a_material_s_name_is_read_at_its_end_for_kinds_of_thing(name, found):
    assert keys(in_material(name)) == found


def test_each_hazard_of_a_card_is_named_once():
    card = a_card(title="Glitter rain", body="Shake glitter.\n\n## Harder\nMore glitter.")
    assert keys(in_card(card)) == ["glitter"]


def test_a_part_of_the_list_can_be_read_from_any_text():
    text = """
- key: coin
  words: [coin]
  levels: [{under: 36, level: stop}]
  text: Coins.
  instead: Lids
  source: CFOC 6.4.1.2
  status: memory
  checked: 2026-11-25
"""
    (entry,) = parse_hazards(text).values()
    assert (entry.kind, entry.confirmed, entry.checked) == ("hazard", False, "2026-11-25")
    assert entry.senses[0].level(36) is None


def test_the_list_says_when_its_sources_were_read():
    assert checked_on() == min(entry.checked for entry in hazards().values())


def test_every_phrase_of_the_list_is_found_by_itself():
    """A phrase that one of its own exceptions hides, or that is spelt in the plural, finds nothing."""
    for entry in hazards().values():
        for sense in entry.senses:
            for words in sense.phrases:
                assert entry.key in keys(in_text(" ".join(words))), words
            for words in sense.endings:
                assert entry.key in keys(in_material(" ".join(words))), words


def test_the_list_never_gives_leave():
    leave = re.compile(r"\b(safe|allowed|approved|compliant|permitted|ok|okay|fine to)\b")
    for entry in hazards().values():
        for sense in entry.senses:
            assert not leave.search(f"{sense.text} {sense.instead}".casefold()), entry.key


def test_the_avoid_and_use_pairs_for_art_are_all_there():
    """Alberta Health Services and Penn State Extension: ten things to avoid, each with what to use."""
    avoid = {
        "powdered clay": "powder",
        "powdered tempera": "powder",
        "instant papier-mache": "powder",
        "rubber cement": "solvent",
        "epoxy": "solvent",
        "instant glue": "solvent",
        "spray paint": "aerosol",
        "permanent marker": "permanent-marker",
        "scented marker": "permanent-marker",
        "glitter": "glitter",
        "foam peanuts": "foam-plastic",
        "craft eyes": "loose-fill",
        "uncooked beans": "raw-beans",
        "nut butter": "choking-food",
    }
    for name, key in avoid.items():
        assert key in keys(in_material(name)), name
        assert hazards()[key].senses[0].instead
