"""What people call allergens, and what each word is read as."""

from __future__ import annotations

import pytest

from library.materials.allergens import EVERYDAY, in_everyday_words, nearly, parts_of, read_allergen
from library.search.question import read_question
from library.search.vocabulary import vocabulary_of


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("dairy", {"milk"}),
        ("Lactose", {"milk"}),
        ("cow's milk", {"milk"}),
        ("nuts", {"tree-nut", "peanut"}),
        ("peanuts", {"peanut"}),
        ("tree nuts", {"tree-nut"}),
        ("almond", {"tree-nut"}),
        ("eggs", {"egg"}),
        ("gluten", {"gluten"}),
        ("coeliac", {"gluten"}),
        ("milk allergy", {"milk"}),
        ("no dairy products", {"milk"}),
        ("nuts/eggs", {"tree-nut", "peanut", "egg"}),
        ("milk and kiwi", {"milk", "kiwi"}),
    ],
)
def test_an_allergen_is_read_by_its_everyday_names(written, read):
    """21 U.S.C. 321(qq) names the nine; how people write them is common practice, no source."""
    assert set(read_allergen(written)) == read


@pytest.mark.parametrize("word", ["oats", "kiwi", "latex", "Salt and pepper", "coconut"])
def test_a_word_of_no_table_stands_for_itself_alone(word):
    """FIND4: equal after trimming and lower case."""
    assert read_allergen(f"  {word} ") == (word.casefold(),)
    assert parts_of(word) == (word.casefold(),)


def test_a_question_and_a_child_s_allergen_are_read_by_one_table():
    """Dairy is milk to Find as well; gluten is wheat there, and to a child's check itself alone (FIND4)."""
    vocabulary = vocabulary_of(centers={}, materials={}, allergens=("gluten",))
    for names, line in EVERYDAY.items():
        for word in line.split(" | "):
            asked = read_question(f"without {word}", vocabulary).conditions.without
            assert set(asked) == set(names), word
            assert set(read_allergen(word)) == ({"gluten"} if "gluten" in names else set(names)), (
                word
            )


def test_what_it_is_read_as_is_said_where_that_is_another_word():
    assert in_everyday_words("Dairy") == "dairy, read as milk"
    assert in_everyday_words("nuts") == "nuts, read as tree nut and peanut"
    assert in_everyday_words("coeliac") == "coeliac, read as gluten"
    for plain in ("gluten", "eggs", "tree-nut", "tree nuts", "milk", "kiwi"):
        assert in_everyday_words(plain) == plain


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("mlik", ("milk",)),
        ("diary", ("milk",)),
        ("penut", ("peanut",)),
        ("treenuts", ("tree-nut",)),
        ("raw egg", ("egg",)),
        ("sulphites", ("sulphite",)),
        ("kiwi", ()),
        ("corn", ()),
        ("latex", ()),
    ],
)
def test_what_may_have_been_meant_is_offered_and_never_read(written, meant):
    assert nearly(written, ("sulphite",)) == meant
    assert read_allergen(written) == (written,)
