"""A plan in a real browser: how many clicks it takes, by keyboard, by phone, by two people at once."""

import datetime as dt

import pytest

from library.room.rooms import Rooms
from library.units.folder import UnitFolder
from library.units.parsing import write_unit
from library.units.unit import Unit
from tests.builders import a_placement

STARTS = dt.date(2027, 3, 1)
UNIT = "puddle-days/2027-spring"
CHANGED = ("sensory", "water", "art", "easel", "dough", "dramatic", "science", "outdoors")
STANDING = ("light", "blocks", "table", "writing", "books", "music")
MOST_CLICKS = 45
"""The aim for filling eight changed and six standing centers."""


@pytest.fixture
def planned(starter, serve):
    """Serves the starter library with the example room and a unit of some placements."""

    def start(*placements):
        Rooms(starter.database).load_demo(dt.date(2027, 2, 1))
        unit = Unit("puddle-days", "2027-spring", "Puddle days, spring", STARTS, 2, placements)
        UnitFolder(starter).create(UNIT, write_unit(unit))
        served = serve(starter)
        served.plan = f"{served.url}/units/{UNIT}"
        served.unit = lambda: UnitFolder(starter).read(UNIT).unit
        return served

    return start


def is_kept(page):
    """Whether the page is still the one that was marked, not a new one."""
    return page.evaluate("window.kept === true")


def follow(page, selector):
    """Presses what leads to a new page, and waits for it.

    By key: a page that still jumps to its mark moves away under a pointer, and nothing notices.
    """
    with page.expect_navigation():
        page.press(selector, "Enter")


def tab_to(page, selector, most=250):
    """Walks with the Tab key until an element has the focus."""
    for _ in range(most):
        if page.evaluate("s => document.activeElement.matches(s)", selector):
            return
        page.keyboard.press("Tab")
    pytest.fail(f"the Tab key never came to {selector}")


def test_an_empty_unit_is_filled_with_few_clicks(planned, page, record_property):
    served = planned()
    clicks = 0

    def click(selector):
        nonlocal clicks
        clicks += 1
        page.locator(selector).first.click()

    page.goto(served.plan)
    for center in CHANGED:
        click(f"#at-{center} th a")
        page.wait_for_selector("form.place")
        click("form.place button")
        page.wait_for_selector(f"#at-{center} .placed")
    for center in STANDING:
        click(f"#at-{center} th button")
        page.wait_for_selector(f"#at-{center} .placed")
    record_property("clicks", clicks)
    placements = served.unit().placements
    assert [p.center for p in placements if not p.standing] == list(CHANGED)
    assert [p.center for p in placements if p.standing] == list(STANDING)
    assert clicks <= MOST_CLICKS


def test_totals_change_with_the_plan_and_the_page_stays(planned, page):
    served = planned()
    page.goto(served.plan)
    page.evaluate("window.kept = true")
    assert "15 centers" in page.inner_text(".totals")
    page.click("#at-blocks th button")
    page.wait_for_selector("#at-blocks .placed")
    assert "14 centers" in page.inner_text(".totals")
    page.click("#undo")
    page.wait_for_selector("#at-blocks th button")
    assert "15 centers" in page.inner_text(".totals")
    assert is_kept(page)
    assert served.unit().placements == ()


def test_everything_can_be_done_with_the_keyboard(planned, page):
    served = planned(a_placement("water", "sponge-rain", weeks=(1,)))
    page.goto(served.plan)
    page.evaluate("window.kept = true")
    tab_to(page, "#at-blocks th button")
    page.keyboard.press("Enter")
    page.wait_for_selector("#at-blocks .placed")
    assert page.evaluate("document.activeElement.closest('tr').id") == "at-blocks"
    tab_to(page, "#undo")
    page.keyboard.press("Enter")
    page.wait_for_selector("#at-blocks th button")
    tab_to(page, "#at-water .placed a")
    page.keyboard.press("Enter")
    page.wait_for_selector(".drawer")
    assert page.evaluate("document.activeElement.id") == "open-title"
    tab_to(page, "#note")
    page.keyboard.type("with towels")
    page.keyboard.press("Enter")
    page.wait_for_selector("#at-water .note")
    assert page.evaluate("document.activeElement.closest('tr').id") == "at-water"
    tab_to(page, "#at-water .placed a")
    page.keyboard.press("Enter")
    page.wait_for_selector(".drawer")
    page.keyboard.press("Escape")
    page.wait_for_selector(".drawer", state="detached")
    assert is_kept(page)
    tab_to(page, "#at-outdoors th a")
    page.keyboard.press("Enter")
    page.wait_for_selector("form.place")
    tab_to(page, "form.place button")
    page.keyboard.press("Enter")
    page.wait_for_selector("#at-outdoors .placed")
    found = [(p.center, p.note) for p in served.unit().placements]
    assert found == [("water", "with towels"), ("outdoors", "")]


STEPS = (
    ("drawer", "copy", [("water", (1,)), ("sensory", ()), ("water", (2,))]),
    ("drawer", "push", [("water", (2,)), ("sensory", ())]),
    ("drawer", "shorten", [("water", 4), ("sensory", ())]),
    ("drawer", "remove", [("sensory", ())]),
    ("weeks", "stretch", [("water", (1,)), ("sensory", ())]),
    ("weeks", "stop", [("water", (1,)), ("sensory", 9)]),
)
"""Where a button stands, what it does, and what the plan then says: weeks, or how many days."""


def _as_it_is(served):
    found = served.unit().placements
    return [(p.center, len(p.days) or p.weeks) for p in found]


def _both(planned):
    return planned(
        a_placement("water", "sponge-rain", weeks=(1,)), a_placement("sensory", "leaf-tub")
    )


def test_each_change_is_made_and_taken_back_with_keys_alone_on_one_page(planned, page):
    served = _both(planned)
    page.goto(served.plan)
    page.evaluate("window.kept = true")
    before = _as_it_is(served)
    for where, do, after in STEPS:
        if not page.locator("#weeks[open]").count() or where == "drawer":
            tab_to(page, "#at-water .placed a" if where == "drawer" else "#weeks summary")
            page.keyboard.press("Enter")
        button = f".{where} form:has([value={do}]) button".replace(".weeks", "#weeks")
        page.wait_for_selector(button)
        tab_to(page, button)
        page.keyboard.press("Enter")
        page.wait_for_selector("#undo")
        assert _as_it_is(served) == after, do
        assert served.unit().weeks == (3 if do == "stretch" else 2), do
        assert page.inner_text(".totals") == _totals_after_a_reload(page), do
        tab_to(page, "#undo")
        page.keyboard.press("Enter")
        page.wait_for_selector("#undo", state="detached")
        assert _as_it_is(served) == before, do
    assert is_kept(page)


def _totals_after_a_reload(page):
    fresh = page.context.new_page()
    fresh.goto(page.url)
    totals = fresh.inner_text(".totals")
    fresh.close()
    return totals


def test_each_change_is_made_and_taken_back_without_scripts(planned, scriptless):
    served = _both(planned)
    before = _as_it_is(served)
    for where, do, after in STEPS:
        scriptless.goto(served.plan)
        if where == "drawer":
            follow(scriptless, "#at-water .placed a")
        else:
            scriptless.click("#weeks summary")
        follow(scriptless, f".{where} form:has([value={do}]) button".replace(".weeks", "#weeks"))
        assert _as_it_is(served) == after, do
        follow(scriptless, "#undo")
        assert scriptless.locator("#undo").count() == 0
        assert _as_it_is(served) == before, do


def test_a_placement_is_dragged_to_another_center_and_week(planned, page):
    served = planned(a_placement("water", "sponge-rain", weeks=(1,)))
    page.goto(served.plan)
    page.evaluate("window.kept = true")
    page.drag_and_drop("#at-water .placed", "#at-art td[data-week='2']")
    page.wait_for_selector("#at-art td[data-week='2'] .placed")
    assert is_kept(page)
    assert [(p.center, p.weeks) for p in served.unit().placements] == [("art", (2,))]


def test_a_phone_shows_the_plan_in_its_width_and_changes_it(planned, phone):
    served = planned(a_placement("water", "sponge-rain", weeks=(1,)))
    phone.goto(served.plan)
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    phone.tap("#at-water .placed a")
    phone.wait_for_selector(".drawer")
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    phone.fill("#note", "with towels")
    phone.tap(".drawer button.main")
    phone.wait_for_selector("#at-water .note")
    assert served.unit().placements[0].note == "with towels"
    for address in ("goals", "local-rules", "one-adult-fewer", "carry-over?to=by-the-sea"):
        phone.goto(f"{served.plan}/{address}")
        assert phone.evaluate("document.documentElement.scrollWidth") <= 390, address


def test_what_stays_in_view_on_a_phone_is_low_and_undo_is_one_word(planned, phone):
    """Stops, prep and the way back stay; the other totals are read whole and scroll away."""
    served = planned(a_placement("dough", "make-the-dough"), a_placement("water", "sponge-rain"))
    phone.goto(served.plan)
    phone.tap("#at-blocks th button")
    phone.wait_for_selector("#undo")
    assert phone.locator("#undo").bounding_box()["height"] < 50
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    phone.evaluate("scrollTo(0, 1500)")
    strip = phone.locator(".totals .strip")
    box = strip.bounding_box()
    assert box["y"] == 0
    assert box["height"] <= 76
    assert "on 1 tray" in strip.inner_text()
    assert "week 1:" in strip.inner_text()
    wide = (
        "each => each.scrollWidth > each.clientWidth && getComputedStyle(each).display !== 'inline'"
    )
    cut = phone.eval_on_selector_all(".totals *:not(.unseen)", f"all => all.filter({wide}).length")
    assert cut == 0
    assert phone.locator(".totals dl").last.bounding_box()["y"] < 0


def test_of_two_people_the_second_sees_both_versions(planned, page, phone):
    served = planned(a_placement("water", "sponge-rain"))
    page.goto(served.plan)
    phone.goto(served.plan)
    phone.tap("#at-water .placed a")
    phone.fill("#note", "with towels")
    page.click("#at-blocks th button")
    page.wait_for_selector("#at-blocks .placed")
    phone.provoked.append("409")
    phone.tap(".drawer button.main")
    phone.wait_for_selector("#theirs")
    assert "Blocks stays as it is" in phone.inner_text("#theirs")
    assert "with towels" in phone.inner_text("#mine")
    assert served.unit().placements[0].note == ""
    phone.tap("text=Make my change on the plan as it is now")
    phone.wait_for_selector("#at-water .note")
    assert [p.note for p in served.unit().placements] == ["with towels", ""]


def test_it_works_without_scripts(planned, scriptless):
    served = planned(a_placement("water", "sponge-rain"))
    scriptless.goto(served.plan)
    follow(scriptless, "#at-blocks th button")
    follow(scriptless, "#at-water .placed a")
    scriptless.uncheck(".drawer tr:nth-child(2) [name=day] >> nth=0")
    scriptless.fill("#note", "with towels")
    follow(scriptless, ".drawer button.main")
    (water, blocks) = served.unit().placements
    assert (water.note, len(water.days)) == ("with towels", 9)
    assert blocks.standing
    follow(scriptless, "#undo")
    assert served.unit().placements[0].days == ()


def test_ticks_of_the_day_stay_on_the_tablet(planned, page):
    served = planned(a_placement("water", "sponge-rain"))
    address = f"{served.url}/today?day={STARTS}"
    page.goto(address)
    first = page.locator("[data-tick]").first
    first.check()
    page.reload()
    assert page.locator("[data-tick]").first.is_checked()
    page.goto(f"{served.url}/today?day={STARTS + dt.timedelta(days=1)}")
    assert page.locator("[data-tick]:checked").count() == 0


def test_a_rows_button_adds_a_row_and_loses_nothing(planned, page):
    served = planned()
    page.goto(f"{served.url}/room/stock")
    page.evaluate("window.kept = true")
    rows = page.locator("[name^='stock['][name$='.item']")
    before = rows.count()
    rows.last.fill("corks")
    page.click("button[value=stock][name=add]")
    page.wait_for_selector("[role=status]")
    assert rows.count() == before + 2
    assert rows.nth(before - 1).input_value() == "corks"
    assert is_kept(page)
