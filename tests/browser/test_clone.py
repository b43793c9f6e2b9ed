"""Last fall's unit becomes this year's, from opening it to what the year after learns from it."""

import datetime as dt
import re

from playwright.sync_api import expect

from library.room.rooms import Rooms
from library.units.folder import UnitFolder

FALL, THIS_FALL = "leaves-and-wind/2025-fall", "leaves-and-wind/2026-fall"
CLICKS = 25
"""Of the whole story; saving a clone as it is proposed takes two from the plan of the old unit."""


class Hand:
    """A hand on a mouse that counts its clicks; choosing from a list is one too."""

    def __init__(self, page):
        self.page, self.clicks = page, 0

    def click(self, target):
        target.click()
        self.clicks += 1

    def link(self, name, **more):
        self.click(self.page.get_by_role("link", name=name, **more).first)
        self.page.wait_for_load_state("load")

    def button(self, name, **more):
        self.click(self.page.get_by_role("button", name=name, **more).first)

    def choose(self, label, value):
        self.page.get_by_label(label, exact=True).select_option(value)
        self.clicks += 1


def test_last_falls_unit_is_cloned_changed_carried_over_and_looked_back_on(
    serve, starter, page, record_property
):
    Rooms(starter.database).load_demo(dt.date(2026, 10, 5))
    old = starter.folder / f"themes/{FALL}.md"
    before = old.read_bytes()
    hand = Hand(page)
    page.goto(serve(starter).url)
    hand.link("Themes")
    hand.link("Leaves and wind")
    hand.link("Leaves and wind, fall 2025")
    hand.link("Clone")
    page.get_by_label("From Monday").fill("2026-10-05")
    expect(page.get_by_text("Leaves and wind, fall 2026").first).to_be_visible()
    expect(page.locator("#line-24")).to_contain_text("Not again: Too big for our rug")
    change_a_date(hand)
    swap_through_find(hand)
    hand.button("Save Leaves and wind, fall 2026")
    expect(page.get_by_role("heading", level=1)).to_have_text("Leaves and wind, fall 2026")
    expect(page.locator("#at-easel")).to_contain_text("hang two sheets back to back")
    assert old.read_bytes() == before
    carry_one_over(hand)
    for name in ("Themes", "Leaves and wind", "Leaves and wind, fall 2026"):
        hand.link(name)
    look_back(hand)
    hand.link("Clone it for next year")
    rain = page.locator("tr", has_text="Sponge rain")
    expect(rain).to_contain_text("Learned: one tub each")
    record_property("clicks", hand.clicks)
    assert hand.clicks == CLICKS
    made = UnitFolder(starter).read(THIS_FALL).unit
    at_circle = [p.activity for p in made.placements if p.center == "circle"]
    assert len(at_circle) == 3
    assert "parachute-up" not in at_circle


def change_a_date(hand):
    """Hats and coats not on the first Monday."""
    page = hand.page
    hand.click(page.locator("#plain summary"))
    hand.link("Hats and coats at the mirror")
    hand.click(page.locator(".drawer input[name=day]").first)
    hand.button("Take these days")
    expect(page.locator("tr", has_text="Hats and coats")).to_contain_text(
        "week 1 · Tue Wed Thu Fri"
    )


def swap_through_find(hand):
    """Another card at the circle, in place of the parachute that was too big."""
    page = hand.page
    hand.link("Lifting the big parachute")
    hand.link("Another card")
    expect(page.locator(".notice")).to_contain_text("the clone of Leaves and wind, fall 2025")
    hand.button(re.compile("Take it instead"))
    expect(page.locator("#line-24")).to_contain_text("in place of Lifting the big parachute")
    expect(page.locator("tr", has_text="Hats and coats")).to_contain_text("Tue Wed Thu Fri")


def carry_one_over(hand):
    """Boots down the hall go to winter."""
    page = hand.page
    hand.link("Big boots down the hall")
    hand.link("Carry it over")
    hand.choose("To", "mittens-and-frost")
    hand.button("Look")
    hand.button("Begin the unit")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Mittens and frost")
    expect(page.locator("#at-dramatic")).to_contain_text("Big boots down the hall")


def look_back(hand):
    """Two things are said: one to change, one not again."""
    page = hand.page
    hand.link("Look back")
    rain = page.locator("fieldset", has_text="Water: Sponge rain")
    hand.click(rain.get_by_label("Change it"))
    rain.get_by_placeholder("A note for next time").fill("one tub each")
    hand.click(page.locator("fieldset", has_text="Hats and coats").get_by_label("Not again"))
    hand.button("Save")
    expect(page.get_by_role("status")).to_contain_text("Kept what you said of 2 activities")
