"""Late steps as findings, and cards with less prep."""

from library.prep.checks import check_prep
from library.prep.swaps import with_less_prep
from library.units.findings import Level
from tests.builders import MONDAY, a_card, a_child, a_room
from tests.library.prep.planned import a_prep_card, a_step, plan


def test_every_late_step_is_a_stop_that_names_its_activity_and_minutes():
    """FIND10: one per late step; FIND1: prep is a stop."""
    prep = plan(a_prep_card("a", a_step("Cut", 5), a_step("Mix", 15)), room=a_room(prep_windows=()))
    findings = list(check_prep(prep))
    assert [(f.level, f.kind, f.activity) for f in findings] == [(Level.STOP, "prep", "a")] * 2
    assert "15 minutes" in findings[1].text


def test_a_plan_in_time_has_no_finding():
    assert list(check_prep(plan(a_card("a", prep=5)))) == []


def test_a_swap_has_the_same_hands_and_center_and_less_prep():
    card = a_card("long", prep=20, technique="Pouring")
    others = [
        a_card("short", prep=2, technique="pouring"),
        a_card("middle", prep=10, technique="pouring"),
        a_card("longer", prep=30, technique="pouring"),
        a_card("elsewhere", prep=1, technique="pouring", centers=("art",)),
        a_card("other-hands", prep=1, technique="tearing"),
        a_card("used", prep=1, technique="pouring"),
    ]
    room = a_room(a_child())
    cards = [card, *others]

    def named(fits):
        found = with_less_prep(card, "water", cards, room, MONDAY, {"long", "used"}, fits=fits)
        return [each.id for each in found]

    assert named(lambda _: True) == ["short", "middle"]
    assert named(lambda each: each.id != "short") == ["middle"]
