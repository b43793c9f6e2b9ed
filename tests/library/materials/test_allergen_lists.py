"""Which lists of allergens a library reads."""

import pytest

from library.materials.allergen_lists import BOTH_LISTS, US_ALONE, reads_eu


def test_a_library_without_a_file_reads_the_list_of_the_united_states():
    assert reads_eu("") == (False, ())
    assert reads_eu(US_ALONE) == (False, ())
    assert reads_eu(BOTH_LISTS) == (True, ())


@pytest.mark.parametrize(
    "text", ["lists: [uk]", "lists: eu", "lists: [", "- eu", "lists: []", "x: 1"]
)
def test_what_cannot_be_read_is_told_and_reads_more_rather_than_less(text):
    eu, problems = reads_eu(text)
    assert eu
    assert problems[-1].file == "activities/allergens.yaml"
    assert "lists: [us, eu]" in problems[-1].fix
