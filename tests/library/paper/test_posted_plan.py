"""The plan for the door."""

import datetime as dt
from dataclasses import replace

from library.paper.job import center_name
from library.paper.posted_plan import posted_plan
from library.paper.sheet import Panel
from library.plan.rules import shipped_rules
from library.plan.unitplan import plan_unit
from tests.builders import MONDAY, a_card, a_placement, a_room, a_theme, a_unit
from tests.library.paper.samples import a_job, a_plan, fern_room


def plan_of(*placements, room=None, **unit):
    cards = {name: a_card(name) for name in ("sponge-rain", "leaf-tub", "tunnel-crawl")}
    cards["leaf-tub"] = replace(cards["leaf-tub"], domains=("IT-C-2",))
    room = room or a_room(centers=("sensory", "water", "outdoors"))
    return plan_unit(a_unit(*placements, **unit), a_theme(), cards, room)


def sizes_of(sheet):
    return {words.text: words.size for page in sheet.pages for words in page.words}


def test_fifteen_centers_for_two_weeks_hang_on_two_landscape_sheets():
    sheet = posted_plan(a_job())
    assert len(sheet.pages) <= 2
    assert all(page.paper.is_landscape for page in sheet.pages)


def test_what_stands_all_week_needs_one_sheet_for_both_weeks():
    sheet = posted_plan(a_job(plan_of(a_placement("water"), a_placement("sensory", "leaf-tub"))))
    assert len(sheet.pages) == 1
    assert "12 Oct" in sheet.text


def test_names_have_24_points_and_cells_12_or_more():
    sizes = sizes_of(posted_plan(a_job()))
    for center in fern_room().centers:
        assert sizes[center_name(center)] >= 24
    for title in ("Broom strokes", "Stacking tall boxes", "gourds among the shelves"):
        assert sizes.get(title, 12) >= 12
    cells = [row[2] for row in posted_plan(a_job()).tables[0].rows]
    shown = [size for text, size in sizes.items() if text.strip() in cells]
    assert shown
    assert min(shown) >= 12


def test_centers_stand_in_walking_order():
    text = posted_plan(
        a_job(plan_of(a_placement("outdoors", "leaf-tub"), a_placement("water")))
    ).text
    assert text.index("Sensory") < text.index("Water") < text.index("Outdoors")


def test_a_closed_day_is_said_and_greyed():
    room = a_room(centers=("water",), closed=frozenset({MONDAY + dt.timedelta(2)}))
    sheet = posted_plan(a_job(plan_of(a_placement("water"), room=room)))
    assert "closed" in sheet.text
    assert any(isinstance(item, Panel) and item.fill for item in sheet.pages[0].items)


def test_the_rain_swap_and_the_day_stand_below_the_table():
    room = replace(fern_room(), centers=("outdoors",))
    sheet = posted_plan(
        a_job(plan_of(a_placement("outdoors", "leaf-tub", instead="tunnel-crawl"), room=room))
    )
    assert "Tunnel crawl (Outdoors)" in sheet.text
    assert "8:30 free play" in sheet.text


def test_the_domains_of_the_chosen_rules_are_named_with_what_the_plan_has():
    """10A NCAC 09 .0508: the posted plan covers five domains."""
    plan = plan_of(a_placement("sensory", "leaf-tub"))
    plain = posted_plan(a_job(plan)).text
    ruled = posted_plan(a_job(plan, rules=shipped_rules("north-carolina"))).text
    for domain in (
        "Emotional and social development",
        "Health and physical development",
        "Approaches to play and learning",
        "Language development",
        "Cognitive development",
    ):
        assert domain not in plain
        assert domain in " ".join(ruled.split())
    assert "Cognitive development: Leaf tub" in " ".join(ruled.split())


def test_a_note_of_the_team_does_not_hang_on_the_door():
    plan = plan_of(a_placement("water", note="short of hands on Tuesdays"))
    assert "short of hands" not in posted_plan(a_job(plan)).text


def test_a_unit_of_four_weeks_shows_every_day():
    plan = a_plan(weeks=4)
    days = {word for word in posted_plan(a_job(plan)).text.split("\n") if "Oct" in word}
    assert {f"{n} Oct" for n in (5, 9, 12, 16, 19, 23, 26, 30)} <= days
