"""What changed between two versions of a file, in words."""

import pytest

from library.units.changes import change_in_words
from library.units.parsing import write_theme, write_unit
from tests.builders import a_placement, a_theme, a_unit

CARD = b"---\ntitle: Rain\ncenters: [water]\nages: 24-48\nprep: 10\n---\n\nRain.\n"
UNIT = write_unit(a_unit(a_placement())).encode()
THEME = write_theme(a_theme(props={"catcher": "leaves"})).encode()


@pytest.mark.parametrize(
    ("file", "before", "after", "said"),
    [
        ("activities/water/rain.md", CARD, CARD.replace(b"10", b"15"), ("prep 10 → 15",)),
        ("activities/water/rain.md", CARD, CARD.replace(b" 10", b"  10"), ("only the layout of the file",)),
        ("activities/water/rain.md", CARD, b"no card", ("1 lines added, 8 lines removed",)),
        ("activities/water/rain.md", None, CARD, ("added",)),
        ("activities/water/rain.md", CARD, None, ("removed",)),
        ("activities/water/rain.md", CARD, CARD, ()),
        ("themes/leaves-and-wind/2026-fall.md", UNIT, UNIT.replace(b"weeks: 2", b"weeks: 3"), ("weeks 2 → 3",)),
        (
            "themes/leaves-and-wind/theme.md",
            THEME,
            THEME.replace(b"leaves}", b"lids}"),
            ("prop catcher leaves → lids",),
        ),
        ("activities/materials.yaml", b"a\nb\n", b"a\nc\nd\n", ("2 lines added, 1 lines removed",)),
        ("activities/materials.yaml", b"\xff", b"a\n", ("1 lines added, 1 lines removed",)),
    ],
)  # fmt: skip
def test_each_kind_of_file_is_compared_by_what_it_says(file, before, after, said):
    assert change_in_words(file, before, after) == said
