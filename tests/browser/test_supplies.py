"""Supplies in a real browser: from the shopping list to the shelf, two people at the closet, a phone."""

import datetime as dt
from fractions import Fraction

import pytest

from library.room.rooms import Rooms

UNIT = "leaves-and-wind/2025-fall"


@pytest.fixture
def served(starter, serve):
    """Serves the starter library with the example room, whose unit lacks paint."""
    Rooms(starter.database).load_demo(dt.date(2025, 10, 1))
    running = serve(starter)
    running.lists = f"{running.url}/units/{UNIT}/supplies"
    running.line = lambda item: next(
        line for line in Rooms(starter.database).current().stock if line.item == item
    )
    return running


def thing(page, item):
    """The line of a thing in a list."""
    return page.locator(".supply > li").filter(has=page.get_by_text(item, exact=True)).first


def test_from_the_shopping_list_to_the_shelf(served, page):
    page.goto(f"{served.lists}/shopping")
    page.evaluate("window.kept = true")
    paint = thing(page, "egg-free tempera paint")
    paint.get_by_text("How it came about").click()
    assert "120 ml for the set-up, week 1" in paint.inner_text()
    paint.get_by_text("It is here").click()
    paint.get_by_label("Bin").fill("C3")
    paint.get_by_role("button", name="Put away").click()
    page.get_by_text("egg-free tempera paint: 500 ml put away in bin C3").wait_for()
    assert thing(page, "egg-free tempera paint").count() == 0
    assert page.evaluate("window.kept === true")
    assert str(served.line("egg-free tempera paint").amount) == "500 ml"
    page.goto(f"{served.lists}/closet")
    assert "500 ml here" in thing(page, "egg-free tempera paint").inner_text()


def test_two_people_walk_the_closet_and_nothing_is_lost(served, page, chromium):
    other = chromium.new_context().new_page()
    people = (page, other)
    for person in people:
        person.goto(f"{served.lists}/closet")
    for person, many in zip(people, ("1", "2"), strict=True):
        sponges = thing(person, "hand sponge")
        sponges.get_by_label("How much of hand sponge").fill(many)
        sponges.get_by_role("button", name="Take out").click()
        person.get_by_role("status").get_by_text("hand sponge: take out").wait_for()
    assert served.line("hand sponge").out == 3
    sponges = thing(page, "hand sponge")
    sponges.get_by_label("How much of hand sponge").fill("5")
    sponges.get_by_role("button", name="I counted this many in all").click()
    page.get_by_text("hand sponge: 5 counted").wait_for()
    sponges = thing(other, "hand sponge")
    sponges.get_by_label("How much of hand sponge").fill("4")
    sponges.get_by_role("button", name="I counted this many in all").click()
    other.get_by_text("Hand sponge: someone changed it meanwhile, from 6 to 5").wait_for()
    assert served.line("hand sponge").amount.number == Fraction(5)
    other.context.close()


def test_every_list_fits_a_phone_and_a_finger(served, phone):
    for part in ("", "/shopping", "/to-print", "/to-borrow", "/closet", "/pack-away"):
        phone.goto(served.lists + part)
        assert phone.evaluate("document.documentElement.scrollWidth") <= 390, part
    phone.goto(f"{served.lists}/closet")
    low = "e => e.getBoundingClientRect().height < 40"
    buttons = phone.locator(".hands button:visible")
    assert not any(buttons.nth(number).evaluate(low) for number in range(8))
    thing(phone, "hand sponge").get_by_role("button", name="Take out").tap()
    phone.get_by_role("status").get_by_text("hand sponge: take out").wait_for()
    assert served.line("hand sponge").out == 4


def test_the_closet_works_without_scripts(served, scriptless):
    scriptless.goto(f"{served.lists}/closet")
    thing(scriptless, "hand sponge").get_by_role("button", name="Broken").click()
    scriptless.get_by_role("status").get_by_text("hand sponge: broken").wait_for()
    assert served.line("hand sponge").amount.number == 2
