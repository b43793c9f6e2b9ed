"""The prep page in a real browser: a task moved by keys, ticked off, and on a phone."""

import datetime as dt

import pytest
from playwright.sync_api import expect

from library.room.rooms import Rooms


@pytest.fixture
def prep(starter, serve):
    """The address of the prep of a unit in the example room."""
    Rooms(starter.database).load_demo(dt.date(2026, 10, 20))
    return f"{serve(starter).url}/units/the-soup-pot/2026-fall/prep"


def test_a_task_is_moved_by_keys_and_ticked_off_without_a_reload(prep, page):
    page.goto(prep)
    page.evaluate("window.kept = true")
    task = page.locator(".task").last
    words = task.locator("p").first.inner_text()
    task.locator("summary").focus()
    page.keyboard.press("Enter")
    place = task.get_by_label("To", exact=True)
    place.focus()
    place.select_option(index=0)
    task.get_by_role("button", name="Move").focus()
    page.keyboard.press("Enter")
    moved = page.locator(".task", has_text=words.rsplit(" ", 2)[0])
    expect(moved).to_contain_text("stays here")
    moved.get_by_role("button", name="Tick off").click()
    expect(page.locator(".task.done")).to_have_count(1)
    assert page.evaluate("window.kept === true")
    page.reload()
    expect(page.locator(".task.done")).to_have_count(1)


def test_a_task_is_dragged_to_another_nap_time(prep, page):
    page.goto(prep)
    first, last = page.locator(".nap").first, page.locator(".nap").last
    words = last.locator(".task").last.locator("p").first.inner_text().rsplit(" ", 2)[0]
    last.locator(".task").last.locator("p").first.drag_to(first.locator("h2"))
    expect(page.get_by_role("status")).to_contain_text("Moved")
    expect(page.locator(".task", has_text=words)).to_contain_text("stays here")
    expect(page.locator(".nap").first).to_contain_text(words)


def test_a_phone_shows_nap_times_below_one_another(prep, phone):
    phone.goto(prep)
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    lefts = {round(each.bounding_box()["x"]) for each in phone.locator(".nap").all()}
    assert len(lefts) == 1


def test_the_plan_brings_what_it_did_not_wait_for(prep, page):
    page.goto(prep.removesuffix("/prep"))
    expect(page.locator("#later")).to_contain_text("All prep ahead goes into the windows there are")
