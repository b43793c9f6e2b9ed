"""Which cards have not been used for two years."""

import datetime as dt

from library.units.unused import unused_cards
from tests.builders import a_card, a_placement, a_unit

TODAY = dt.date(2026, 11, 25)
OLD = dt.date(2020, 1, 1)


def test_the_last_unit_counts_and_a_unit_to_come_is_use():
    cards = [a_card(name) for name in ("long-ago", "lately", "to-come", "rain-swap")]
    units = [
        a_unit(a_placement(activity="long-ago"), starts=dt.date(2024, 11, 11), weeks=1),
        a_unit(a_placement(activity="lately"), starts=dt.date(2025, 1, 6), weeks=1),
        a_unit(a_placement(activity="to-come"), starts=dt.date(2027, 1, 4), weeks=1),
        a_unit(a_placement(activity="lately", instead="rain-swap"), starts=dt.date(2026, 1, 5)),
    ]
    written = {card.id: OLD for card in cards}
    found = unused_cards(cards, units, written, TODAY)
    assert [(each.card.id, each.last) for each in found] == [("long-ago", dt.date(2024, 11, 17))]


def test_a_card_that_never_stood_is_named_only_when_it_is_old():
    cards = [a_card("old"), a_card("new"), a_card("unknown")]
    written = {"old": OLD, "new": dt.date(2026, 1, 1)}
    assert [each.card.id for each in unused_cards(cards, [], written, TODAY)] == ["old"]
