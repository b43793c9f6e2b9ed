"""Amounts on a card's page follow the children, the places and the adults."""

from library.cards.portions import portions
from tests.builders import a_card, a_material_line


def test_amounts_follow_their_basis():
    card = a_card(
        materials=(
            a_material_line("paper", "½ sheet per child"),
            a_material_line("hand sponge", "1 per place"),
            a_material_line("water", "500 ml per setup"),
            a_material_line("apron", "1 per adult"),
            a_material_line("tape", "1 roll in all"),
            a_material_line("gourd", "{{many}} per setup"),
        )
    )
    shown = [(str(p.quantity), p.how) for p in portions(card, children=5, adults=2)]
    assert shown == [
        ("2½ sheets", "½ sheet for each of 5 children"),
        ("4", "1 for each of 4 places"),
        ("500 ml", "for the set-up"),
        ("2", "1 for each of 2 adults"),
        ("1 roll", "in all"),
        ("None", "{{many}} per setup"),
    ]


def test_sup2_without_a_group_one_place_is_taken():
    """SUP2."""
    card = a_card(group=None, materials=(a_material_line("hand sponge", "2 per place"),))
    assert str(portions(card, children=8, adults=2)[0].quantity) == "2"
