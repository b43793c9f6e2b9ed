"""Empty centers, areas without a goal, and the same work of the hands twice."""

from library.frameworks.framework import Framework, Goal, head_start
from library.plan.missing import check_missing
from library.plan.unitplan import plan_unit
from library.plan.variety import check_coverage, check_repeats, empty_centers
from library.units.findings import Level
from tests.builders import a_card, a_child, a_placement, a_room, a_unit

SQUEEZE = a_card("rain", technique="sponge squeezing")
ALSO = a_card("snow", technique="Sponge  Squeezing")
TEAR = a_card("tear", technique="tearing")
PLAIN = a_card("plain")


def planned(*placements, cards=(SQUEEZE, ALSO, TEAR, PLAIN), frameworks=None, **room):
    named = {card.id: card for card in cards}
    return plan_unit(
        a_unit(*placements), None, named, a_room(a_child(), **room), frameworks=frameworks
    )


def repeats(*placements):
    return [(f.center, f.activity) for f in check_repeats(planned(*placements))]


def test_the_same_technique_twice_in_a_week_is_one_finding_on_the_later():
    """FIND5: case ignored; different activities or the same one."""
    assert repeats(a_placement("water", "rain"), a_placement("light", "snow", weeks=(2,))) == [
        ("light", "snow")
    ]
    assert repeats(*(a_placement(c, "rain", weeks=(1,)) for c in ("water", "light", "art"))) == [
        ("art", "rain")
    ]


def test_one_placement_standing_all_week_counts_once():
    """FIND5."""
    assert repeats(a_placement("water", "rain"), a_placement("art", "tear")) == []
    assert (
        repeats(a_placement("water", "rain", weeks=(1,)), a_placement("light", "snow", weeks=(2,)))
        == []
    )


def test_one_finding_for_each_technique_and_week():
    """FIND5."""
    assert repeats(a_placement("water", "rain"), a_placement("light", "snow")) == [
        ("light", "snow"),
        ("light", "snow"),
    ]


def test_cards_without_a_technique_repeat_nothing():
    assert repeats(a_placement("water", "plain"), a_placement("art", "plain")) == []


def test_a_center_without_any_placement_is_noted_once_for_the_unit():
    """FIND6: center set, activity null; a standing center counts as filled."""
    plan = planned(
        a_placement("water", "rain", weeks=(1,)),
        a_placement("blocks", None, standing=True),
        centers=("books", "water", "blocks", "art"),
    )
    notes = [f for f in check_coverage(plan) if f.center]
    assert [(f.center, f.activity, f.level, f.kind) for f in notes] == [
        ("books", None, Level.NOTE, "coverage"),
        ("art", None, Level.NOTE, "coverage"),
    ]
    assert empty_centers(plan) == ("books", "art")


def test_one_note_for_each_area_without_a_goal_in_a_week():
    """FIND15."""
    notes = [f for f in check_coverage(planned(a_placement("water", "plain"))) if not f.center]
    assert len(notes) == 2 * len(head_start().areas([30]))
    assert all((f.level, f.activity) == (Level.NOTE, None) for f in notes)


def test_the_framework_that_the_cards_name_is_the_one_that_counts():
    hands = Framework("Hands", (Goal("H-1", "squeezes", "Hands"), Goal("H-2", "pours", "Arms")))
    frameworks = (head_start(), hands)
    card = a_card("rain", domains=("H-1",))
    plan = planned(a_placement("water", "rain"), cards=(card,), frameworks=frameworks)
    assert [c.framework.name for c in plan.coverages] == ["Hands"]
    assert [f.text for f in check_coverage(plan)] == [
        "no activity of week 1 serves a goal of Arms",
        "no activity of week 2 serves a goal of Arms",
    ]
    plan = planned(a_placement("water", "plain"), frameworks=frameworks)
    assert [c.framework.name for c in plan.coverages] == [head_start().name]


def test_a_missing_card_and_a_missing_rain_swap_are_stops():
    """FIND7."""
    plan = planned(
        a_placement("water", "gone"), a_placement("outdoors", "rain", instead="gone-too")
    )
    findings = list(check_missing(plan))
    assert [(f.level, f.center, f.activity) for f in findings] == [
        (Level.STOP, "water", "gone"),
        (Level.STOP, "outdoors", "gone-too"),
    ]
