"""All checks together: over a card, a placement and a unit."""

from __future__ import annotations

import datetime as dt
import re

import pytest

from library.cards.values import Adult, AgeRange
from library.materials.material import Kind
from library.plan.checks import check_unit
from library.plan.unitplan import plan_unit
from library.safety.checks import (
    CARD_CHECKS,
    CHECKS,
    ROOM_CHECKS,
    card_findings,
    caution,
    nothing_found,
    placement_findings,
)
from library.safety.grouping import group_findings
from library.units.findings import Level
from library.units.placed import lay_out
from tests.builders import (
    MONDAY,
    a_book,
    a_card,
    a_child,
    a_material_line,
    a_placement,
    a_room,
    a_theme,
    a_unit,
)
from tests.library.safety.builders import FOUR, TWO, a_material, a_piece

RICE = a_material("white rice", kind=Kind.CONSUMABLE, hazards=("loose-fill",))
TOKEN = a_piece("disc 25 x 4 mm", "metal token")
GIVES_LEAVE = re.compile(
    r"\b(safe|allowed|approved|compliant|permitted|ok|okay)\b|✓", re.IGNORECASE
)
BOOK = a_book(RICE, TOKEN, a_material("foam brick", hazards=("foam-block",)), a_material("glitter"))


def a_card_with(*items, id="card", **fields):
    lines = tuple(a_material_line(item) for item in items)
    return a_card(id, **{"centers": ("sensory",), "materials": lines, **fields})


def unit_findings(unit, cards, room):
    """What a whole unit gives, without what other packages say of it."""
    plan = plan_unit(unit, None, cards, room, materials=BOOK, frameworks=())
    others = {"missing", "age", "closed", "repeat", "coverage", "durable", "order"}
    return [finding for finding in check_unit(plan).findings if finding.kind not in others]


def kinds(findings):
    return [(finding.level.value, finding.kind, finding.item) for finding in findings]


def test_a_card_by_itself_is_judged_for_the_youngest_age_it_names():
    token = a_card_with("metal token", ages=AgeRange(24, 48))
    assert kinds(card_findings(token, BOOK)) == [("stop", "small-part", "metal token")]
    older = a_card_with("metal token", ages=AgeRange(36, 60))
    assert kinds(card_findings(older, BOOK)) == [("note", "small-part", "metal token")]
    assert "judged for 36 months" in card_findings(older, BOOK)[0].text


def test_a_card_is_read_in_its_own_dress():
    """SUP27: a prop stands for what it is filled with."""
    card = a_card_with("{{treasures}}", props={"treasures": "metal token"})
    assert kinds(card_findings(card, BOOK)) == [("stop", "small-part", "metal token")]


def test_a_theme_s_prop_is_what_the_children_meet():
    card = a_card_with("{{treasures}}", props={"treasures": "white rice"})
    theme = a_theme(props={"treasures": "metal token"})
    unit = a_unit(a_placement("sensory", "card"))
    (placed,) = lay_out(unit, theme, {"card": card}, a_room(a_child(born=TWO)))
    found = placement_findings(placed, a_room(a_child(born=TWO)), BOOK)
    assert kinds(found) == [("stop", "small-part", "metal token")]


def test_stops_come_before_cautions_and_notes():
    card = a_card_with("white rice", "metal token", "unknown thing", centers=("water",))
    levels = [finding.level for finding in card_findings(card, BOOK)]
    assert levels == sorted(levels, key=list(Level).index)
    assert {Level.STOP, Level.CAUTION} == set(levels)


def test_one_card_changes_its_findings_with_the_children():
    """CFOC 6.2.4.3 and 6.4.1.2: a unit for children over three, taken over for a room with twos,
    is checked anew: rice, glitter, foam blocks, and the group of 14."""
    card = a_card_with("white rice", "glitter", "foam brick", "metal token")
    unit = a_unit(a_placement("sensory", "card"))
    over = a_room(*(a_child(f"c{n}", FOUR) for n in range(14)))
    with_twos = a_room(*(a_child(f"c{n}", FOUR) for n in range(13)), a_child("wren", TWO))
    before, after = (
        {(f.level.value, f.hazard or f.kind) for f in unit_findings(unit, {"card": card}, room)}
        for room in (over, with_twos)
    )
    assert ("note", "loose-fill") in before
    assert {level for level, _ in before} <= {"note", "caution"}
    assert {
        ("caution", "loose-fill"),
        ("stop", "glitter"),
        ("caution", "foam-block"),
        ("stop", "small-part"),
        ("caution", "ratio"),
    } <= after


def test_the_youngest_child_on_any_of_its_days_decides():
    """AGE2: a two-year-old who comes only on Tuesdays."""
    room = a_room(a_child("lark", FOUR), a_child("wren", TWO, days=("tue",)))
    card = a_card_with("metal token")
    for on, level in ((("mon",), Level.NOTE), (("mon", "tue"), Level.STOP)):
        unit = a_unit(a_placement("sensory", "card", on=on))
        (placed,) = lay_out(unit, None, {"card": card}, room)
        assert placement_findings(placed, room, BOOK)[0].level is level


def test_a_child_who_turns_three_changes_nothing_while_another_is_younger():
    """16 CFR 1501.2(a): under 36 months, by the youngest there."""
    room = a_room(a_child("lark", (2023, 9)), a_child("wren", TWO))
    unit = a_unit(a_placement("sensory", "card"), starts=dt.date(2026, 9, 28))
    (placed,) = lay_out(unit, None, {"card": a_card_with("metal token")}, room)
    assert placement_findings(placed, room, BOOK)[0].level is Level.STOP


def test_an_empty_roster_silences_nothing():
    unit = a_unit(a_placement("sensory", "card"))
    (placed,) = lay_out(unit, None, {"card": a_card_with("metal token")}, a_room())
    assert placement_findings(placed, a_room(), BOOK)[0].level is Level.STOP


def test_a_placement_that_never_stands_gives_nothing():
    """SUP24: it has a finding of another kind."""
    room = a_room(a_child(born=TWO), closed=frozenset({MONDAY}))
    unit = a_unit(a_placement("sensory", "card", days=(MONDAY,)))
    (placed,) = lay_out(unit, None, {"card": a_card_with("metal token")}, room)
    assert placement_findings(placed, room, BOOK) == ()


def test_the_same_card_in_two_centers_gives_two_findings():
    """PART6: one per placement and item."""
    room = a_room(a_child(born=TWO))
    unit = a_unit(a_placement("sensory", "card"), a_placement("table", "card"))
    found = unit_findings(unit, {"card": a_card_with("metal token")}, room)
    assert [(f.center, f.item) for f in found] == [
        ("sensory", "metal token"),
        ("table", "metal token"),
    ]


def test_groups_put_one_rule_and_material_together_with_stops_first():
    room = a_room(a_child(born=TWO))
    unit = a_unit(
        a_placement("sensory", "rice"), a_placement("table", "card"), a_placement("blocks", "card")
    )
    cards = {"card": a_card_with("metal token"), "rice": a_card_with("white rice", id="rice")}
    groups = group_findings(unit_findings(unit, cards, room))
    assert [(g.level.value, g.first.item, len(g.places)) for g in groups] == [
        ("stop", "metal token", 2),
        ("caution", "white rice", 1),
    ]
    assert not groups[0].is_folded


def test_adults_of_a_week_are_one_group():
    room = a_room(a_child(born=TWO), adults=1)
    card = a_card_with(adult=Adult.WITHIN_REACH)
    unit = a_unit(a_placement("sensory", "card"), weeks=1)
    found = unit_findings(unit, {"card": card}, room)
    (group,) = group_findings(found)
    assert len(group.findings) == 5


def test_what_is_added_to_a_standing_center_is_looked_at():
    """Known materials and listed hazards in its words."""
    room = a_room(a_child(born=TWO))
    unit = a_unit(
        a_placement("blocks", None, standing=True, add="metal tokens among the blocks"),
        a_placement("art", None, standing=True, note="bring the glitter"),
        a_placement("table", None, standing=True, add="trays, no metal tokens"),
    )
    found = unit_findings(unit, {}, room)
    assert [(f.center, f.kind, f.item) for f in found] == [
        ("blocks", "small-part", "metal token"),
        ("art", "hazard", "glitter"),
    ]


def test_a_rain_swap_is_looked_at_like_what_it_replaces():
    room = a_room(a_child(born=TWO))
    unit = a_unit(a_placement("outdoors", "run", instead="card"))
    cards = {"run": a_card("run"), "card": a_card_with("metal token")}
    found = [f for f in unit_findings(unit, cards, room) if f.level is Level.STOP]
    assert [(f.activity, f.item) for f in found] == [("card", "metal token")]


def test_nothing_found_says_how_many_looked_and_what_they_do_not_see():
    text = nothing_found(CHECKS)
    assert text.startswith(f"These {len(CHECKS)} checks found nothing; they do not look at edges")
    assert text.index("rules of your state") < text.index("Looked at: loose pieces")
    assert "That clears nothing" in text
    assert nothing_found(CHECKS[:1]).startswith("This 1 check found nothing; it does not look at")


def test_where_no_child_was_looked_at_that_is_said_first():
    """A card by itself knows no children, so their allergies stand at the head of what is unseen."""
    assert "do not look at your children's allergies" in nothing_found(CARD_CHECKS)
    assert "your children's" not in nothing_found(CHECKS)


@pytest.mark.parametrize("check", [*CHECKS, *ROOM_CHECKS], ids=lambda check: check.looks_at)
def test_each_check_says_what_it_looks_at(check):
    assert check.looks_at
    assert check.name


def test_the_caution_defers_to_licence_and_staff():
    text = caution()
    for part in ("no legal or medical advice", "licensing rules", "trained staff", "2026"):
        assert part in text


def test_no_finding_gives_leave():
    """Neither in words of approval nor by a tick."""
    card = a_card_with("white rice", "glitter", "metal token", "odd thing", centers=("water",))
    told = [caution(), nothing_found(CHECKS)]
    for finding in card_findings(card, BOOK):
        told += [finding.text, finding.why, finding.fix]
    for text in told:
        assert not GIVES_LEAVE.search(text), text


def test_every_finding_has_a_source_and_a_way_to_mend_it():
    card = a_card_with("white rice", "glitter", "metal token", "odd thing", centers=("water",))
    for finding in card_findings(card, BOOK):
        assert finding.source
        assert finding.fix
        assert finding.why
        assert not finding.text.endswith(".")


def test_a_card_by_itself_does_not_count_the_check_that_needs_children():
    """Where no child is known, nobody has looked at allergens, so nobody says that nothing was found."""
    assert len(CARD_CHECKS) == len(CHECKS) - 1
    assert "allergens" in nothing_found(CHECKS)
    assert "allergens" not in nothing_found(CARD_CHECKS)
