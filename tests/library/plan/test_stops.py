"""What must not be put out, or fetched, before the plan is changed."""

import datetime as dt

from library.paper.letter_text import letter_text
from library.plan.calendarfile import calendar_file
from library.plan.checks import check_unit
from library.plan.stops import (
    held_back,
    stopped_trays,
    stops_if_younger,
    stops_on_card,
    to_fetch,
)
from library.plan.unitplan import plan_unit
from library.supplies.shopping import shopping
from tests.builders import (
    a_book,
    a_card,
    a_child,
    a_material,
    a_material_line,
    a_placement,
    a_room,
    a_unit,
)
from tests.library.paper.samples import a_job

DOUGH = a_card(
    "dough-bed", centers=("dough",), materials=(a_material_line("flour", "2 cups per setup"),)
)
FLAGS = a_card(
    "flags",
    centers=("art",),
    materials=(a_material_line("flour", "1 cup per setup"), a_material_line("cloth")),
)
BOOK = a_book(a_material("flour", allergens=("wheat",)), a_material("cloth"))
WREN = a_child("wren", allergens=("wheat",), days=("mon", "tue"))
SAID = "Do not order: a stop stands on flour (Dough bed, Flags). Choose another card first"


def planned(*placements, child=WREN):
    cards = {card.id: card for card in (DOUGH, FLAGS)}
    return plan_unit(
        a_unit(*placements), None, cards, a_room(child, a_child("tern")), materials=BOOK
    )


BOTH = a_placement("dough", "dough-bed"), a_placement("art", "flags")


def test_what_every_placement_of_it_must_not_put_out_is_not_fetched():
    """The need is counted as ever (SUP28); only the lists from which somebody fetches wait."""
    plan = planned(*BOTH)
    (held,) = held_back(plan)
    assert held.said == SAID
    assert [line.item for line in plan.supplies.lines] == ["flour", "cloth"]
    assert [line.item for line in to_fetch(plan).lines] == ["cloth"]
    assert to_fetch(plan).unpriced == ("cloth",)
    assert [each.line.item for each in shopping(to_fetch(plan), BOOK).things] == ["cloth"]
    assert held_back(planned(*BOTH, child=a_child("wren"))) == ()


def test_what_another_placement_may_put_out_is_fetched_for_that_one():
    """FIND4: on days without the child nothing stops it."""
    plan = planned(BOTH[0], a_placement("art", "flags", on=("thu",)))
    assert [each.placement.center for each, _ in stopped_trays(plan)] == ["dough"]
    assert held_back(plan) == ()
    assert to_fetch(plan) == plan.supplies


def test_a_card_is_stopped_where_each_of_its_placements_is():
    once = planned(a_placement("dough", "dough-bed"))
    assert [each.item for each in stops_on_card(once, "dough-bed")] == ["flour"]
    also = planned(a_placement("dough", "dough-bed"), a_placement("art", "dough-bed", on=("thu",)))
    assert stops_on_card(also, "dough-bed") == ()
    assert stops_on_card(once, "flags") == ()


def test_a_finding_about_the_shelf_stays_and_no_longer_says_to_buy():
    """FIND9, FIND11: the finding stands; what mends it waits for another card."""
    plan = planned(*BOTH)
    late = plan_unit(
        plan.unit, None, plan.cards, plan.room, materials=BOOK, today=dt.date(2027, 1, 1)
    )
    fixes = {f.item: f.fix for f in check_unit(late).findings if f.kind in {"order", "durable"}}
    assert fixes["flour"] == SAID
    assert "fetch it yourself" in fixes["cloth"]


def test_no_calendar_and_no_letter_asks_for_it():
    """The letter says nothing of it; a stop is no matter for families."""
    plan = planned(*BOTH)
    text = calendar_file(plan, dt.datetime(2026, 9, 1, tzinfo=dt.UTC)).decode()
    assert "cloth" in text
    assert "flour" not in text
    letter = letter_text(a_job(plan))
    assert "Dough bed" not in letter
    assert "Stop" not in letter


def test_stops_that_only_younger_children_would_raise_are_known():
    """AGE1: a plan for a later year is checked for children who are older by then."""
    card = a_card("frost", centers=("art",), body="Shake glitter over it.")
    room = a_room(a_child("wren", born=(2023, 2)))
    plan = plan_unit(a_unit(a_placement("art", "frost")), None, {card.id: card}, room)
    assert stopped_trays(plan) == ()
    assert stops_if_younger(plan, 0) == ()
    assert stops_if_younger(plan, 2) == ()
    ((placed, more),) = stops_if_younger(plan, 11)
    assert placed.placement.activity == "frost"
    assert [each.hazard for each in more] == ["glitter"]
    twos = plan_unit(plan.unit, None, plan.cards, a_room(a_child("wren", born=(2024, 6))))
    assert stops_if_younger(twos, 6) == ()  # it stands already
