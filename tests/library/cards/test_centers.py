"""The fifteen centers, and those a library adds."""

from library.cards.centers import CENTERS, center_names, read_centers
from library.cards.folder import CardFolder
from tests.builders import CARD_TEXT, write_library


def test_there_are_fifteen_and_no_name_belongs_to_two():
    names = [name for all_names in center_names().values() for name in all_names]
    assert len(CENTERS) == 15
    assert len(names) == len(set(names))


def test_a_library_adds_centers_of_its_own(tmp_path):
    paths = write_library(tmp_path, {"water/sponge-rain.md": CARD_TEXT})
    (paths.activities / "centers.yaml").write_text(
        "- {key: garden, title: Garden, also: [plot]}\n- {key: loft}\n"
    )
    centers, problems = CardFolder(paths).centers()
    assert problems == ()
    assert [(c.key, c.title, c.also) for c in centers[15:]] == [
        ("garden", "Garden", ("plot",)),
        ("loft", "Loft", ()),
    ]


def test_an_entry_that_cannot_be_a_center_is_named_and_the_rest_stays():
    centers, problems = read_centers(
        "- {key: Two Words}\n- {key: water}\n- {title: x}\n- {key: garden}\n"
    )
    assert [center.key for center in centers[15:]] == ["garden"]
    assert [(p.line, p.field) for p in problems] == [(1, "[0].key"), (2, "[1].key"), (3, "[2].key")]
    assert read_centers("a: b")[1][0].problem == "the file is no list"
