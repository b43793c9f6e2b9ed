"""What could stand in for a card that is gone."""

import pytest

from library.cards.folder import CardFolder
from library.history.versions import History
from library.plan.replacing import removed_card, stand_ins
from library.search.index import SearchIndex
from tests.builders import CARD_TEXT, write_library

JUGS = CARD_TEXT.replace("Sponge rain", "Jugs").replace("sponge squeezing", "pouring")
CARDS = {
    "water/sponge-rain.md": CARD_TEXT,
    "water/squeeze.md": CARD_TEXT.replace("Sponge rain", "Squeeze"),
    "water/jugs.md": JUGS.replace("hand sponge", "jug"),
    "art/print.md": CARD_TEXT.replace("[water, science]", "[art]").replace("rain", "print"),
}


@pytest.fixture
def paths(tmp_path):
    return write_library(tmp_path, CARDS)


@pytest.fixture
def view(paths):
    index = SearchIndex(paths, CardFolder(paths))
    index.refresh()
    return index.view


def test_the_last_version_of_a_removed_card_is_known_with_its_day(paths):
    history = History(paths)
    history.record_outside_changes()
    assert removed_card("jugs", history) is None
    (paths.activities / "water" / "jugs.md").unlink()
    history.record_outside_changes()
    removed = removed_card("jugs", history)
    assert (removed.file, removed.card.title) == ("activities/water/jugs.md", "Jugs")
    assert history.read(removed.file, removed.version).decode() == CARDS["water/jugs.md"]
    assert removed_card("never", history) is None


def test_cards_of_the_center_that_share_technique_or_things_come_first(paths, view):
    gone = CardFolder(paths).read("sponge-rain").card
    found = stand_ins("water", "sponge-rain", gone, view)
    assert found[0].id == "squeeze"
    assert found[0].why.startswith("same technique: sponge squeezing")
    assert "print" not in {each.id for each in found}
    assert "sponge-rain" not in {each.id for each in found}


def test_where_only_the_name_is_known_its_words_are_looked_for(view):
    assert [each.id for each in stand_ins("water", "tall-jugs", None, view)] == ["jugs"]
    assert stand_ins("music", "tall-jugs", None, view) == ()
