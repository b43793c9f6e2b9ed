"""Find in a real browser."""

import re

import pytest
from playwright.sync_api import expect

from tests.builders import CARD_TEXT


def test_a_newcomer_types_opens_a_card_and_comes_back(serve, starter, page):
    served = serve(starter)
    page.goto(served.url)
    page.get_by_role("searchbox").press_sequentially("sponges under ten minutes", delay=15)
    expect(page.locator(".read")).to_contain_text("10 minutes or less")
    expect(page).to_have_url(re.compile("q=sponges"))
    page.get_by_role("link", name="Sponge rain").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sponge rain")
    expect(page.get_by_role("heading", name="Put out")).to_be_visible()
    page.go_back()
    expect(page.get_by_role("searchbox")).to_have_value("sponges under ten minutes")


def test_the_keyboard_alone_is_enough(serve, starter, page):
    served = serve(starter)
    page.goto(f"{served.url}/?q=sponges")
    page.keyboard.press("ArrowDown")
    expect(page.locator(".results h2 a").first).to_be_focused()
    page.keyboard.press("ArrowDown")
    expect(page.locator(".results h2 a").nth(1)).to_be_focused()
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    expect(page.get_by_role("searchbox")).to_be_focused()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("/")
    expect(page.get_by_role("searchbox")).to_be_focused()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("/activities/"))


def test_back_and_forward_follow_the_questions(serve, starter, page):
    served = serve(starter)
    page.goto(served.url)
    for words in ("sponges", "blocks"):
        page.get_by_role("searchbox").fill(words)
        page.keyboard.press("Enter")
        expect(page).to_have_url(re.compile(f"q={words}"))
    page.go_back()
    expect(page.get_by_role("searchbox")).to_have_value("sponges")
    expect(page.locator(".read")).to_contain_text("sponges")
    page.go_forward()
    expect(page.get_by_role("searchbox")).to_have_value("blocks")


def test_everything_works_without_javascript(serve, starter, scriptless):
    served = serve(starter)
    scriptless.goto(served.url)
    scriptless.get_by_role("searchbox").fill("water play, no paint")
    with scriptless.expect_navigation():
        scriptless.get_by_role("button", name="Find").click()
    expect(scriptless.locator(".read")).to_contain_text("without")
    before = scriptless.locator(".sort strong").inner_text()
    with scriptless.expect_navigation():
        scriptless.get_by_role("link", name=re.compile("Leave out: .*paint")).click()
    expect(scriptless.locator(".read")).not_to_contain_text("paint")
    scriptless.locator(".tallies summary").click()
    with scriptless.expect_navigation():
        scriptless.locator(".tallies a").first.click()
    assert scriptless.locator(".sort strong").inner_text() != before


def test_a_phone_shows_everything_without_scrolling_sideways(serve, starter, phone):
    served = serve(starter)
    for address in (
        "/?q=sponges",
        "/activities/sponge-rain",
        "/themes",
        "/units/leaves-and-wind/2025-fall",
        "/review",
    ):
        phone.goto(served.url + address)
        wide = phone.evaluate("document.documentElement.scrollWidth")
        assert wide <= 390, address
    phone.goto(served.url)
    phone.get_by_role("searchbox").fill("sponges")
    expect(phone.get_by_role("link", name="Sponge rain")).to_be_visible()


def test_each_part_of_the_sentence_can_be_struck_out(serve, starter, page):
    served = serve(starter)
    page.goto(f"{served.url}/?q=water+play%2C+under+ten+minutes%2C+no+paint")
    for left in (2, 1, 0):
        page.locator(".read .strike").first.click()
        expect(page.locator(".read .part")).to_have_count(left)


def test_a_slip_of_typing_and_nothing_found(serve, starter, page):
    served = serve(starter)
    page.goto(f"{served.url}/?q=spunge")
    expect(page.get_by_role("link", name="Sponge rain")).to_be_visible()
    expect(page.locator(".notice")).to_contain_text("sponge")
    page.goto(f"{served.url}/?q=sponges+outdoors+no+prep+without+water+tub")
    expect(page.locator(".empty")).to_contain_text("Nothing fits all of that")
    page.locator(".empty a").first.click()
    expect(page.locator(".results h2").first).to_be_visible()


def test_an_edit_made_elsewhere_appears_by_itself(serve, small, page, record_property):
    """Two seconds after, on a machine that has nothing else to do; a busy one takes longer."""
    served = serve(small)
    page.goto(f"{served.url}/?q=sponge")
    expect(page.get_by_role("link", name="Sponge rain")).to_be_visible()
    file = small.activities / "water" / "sponge-rain.md"
    file.write_text(CARD_TEXT.replace("Sponge rain", "Cloud sponge"))
    record_property("edit", reloads_until(page, page.get_by_role("link", name="Cloud sponge")))
    file.rename(file.with_name("cloud.md"))
    moved = page.locator(".results h2 a[href^='/activities/cloud']")
    record_property("rename", reloads_until(page, moved))
    (small.activities / "water" / "cloud.md").unlink()
    record_property("removal", reloads_until(page, page.locator(".empty")))


def reloads_until(page, shown, *, most=60):
    """How often the page was loaded again, half a second apart, before it showed something."""
    for turn in range(1, most + 1):
        page.wait_for_timeout(500)
        page.reload()
        if shown.count():
            return turn
    raise AssertionError(f"{shown} is not on the page after {most} looks: {page.content()}")


def test_an_empty_library_says_what_to_do(serve, small, page):
    (small.activities / "water" / "sponge-rain.md").unlink()
    page.goto(serve(small).url)
    expect(page.locator(".empty")).to_contain_text("There are no cards yet")


PAGES = [
    "/",
    "/?q=sponges+under+ten+minutes",
    "/?q=zzzz",
    "/activities/sponge-rain",
    "/activities/sponge-rain?theme=leaves-and-wind",
    "/themes",
    "/themes/leaves-and-wind",
    "/units/leaves-and-wind/2025-fall",
    "/room",
    "/review",
    "/nowhere",
]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_violation(serve, starter, chromium, scheme):
    """Source: axe-core, its rules for WCAG 2 A and AA and best practices."""
    from axe_playwright_python.sync_playwright import Axe

    served = serve(starter)
    context = chromium.new_context(
        color_scheme=scheme, viewport={"width": 1280, "height": 900}, bypass_csp=True
    )
    page = context.new_page()
    for address in PAGES:
        page.goto(served.url + address)
        found = Axe().run(page)
        names = [
            (each["id"], each["nodes"][0]["html"][:120]) for each in found.response["violations"]
        ]
        assert names == [], address
    context.close()
