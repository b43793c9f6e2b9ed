"""Names of measures, singular and plural."""

import pytest

from library.materials.words import STANDARD, dimension, plural, singular

NOUNS = [
    "sheet", "pouch", "leaf", "box", "brush", "glass", "berry", "tray", "potato", "scarf", "shelf",
    "cookie", "lens", "foot", "child", "half", "loaf", "shoe", "olive", "glove", "canvas", "cactus",
    "roll", "piece", "bunch", "cup", "tablespoon", "inch", "a4 sheet", "fluid ounce", "horseshoe",
    "toy", "key", "box lid", "silk leaf",
]  # fmt: skip


@pytest.mark.parametrize("noun", NOUNS)
def test_singular_undoes_plural_and_leaves_the_singular_alone(noun):
    assert singular(plural(noun)) == noun
    assert singular(noun) == noun


@pytest.mark.parametrize("name", sorted(STANDARD))
def test_a_standard_measure_is_never_mistaken_for_a_plural(name):
    assert singular(name) == name
    assert singular(plural(name)) == name


@pytest.mark.parametrize(
    ("measure", "what"),
    [("ml", "volume"), ("cups", "volume"), ("fl oz", "volume"), ("oz", "weight"), ("lbs", "weight"),
     ("kilo", "weight"), ("in", "length"), ("feet", "length"), ("", "count"), ("sheet", "count"),
     ("hand", "count"), ("bar", "count"), ("stone", "count")],
)  # fmt: skip
def test_a_measure_knows_what_it_measures(measure, what):
    """SUP21: oz is weight, fl oz volume; words that registries of measures know are still words here."""
    assert dimension(measure) == what
