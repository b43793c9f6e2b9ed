"""The door in a real browser, over https: an invitation, a tablet, and a session that ends while writing."""

from __future__ import annotations

import base64
import datetime as dt
import io
import re
import time
from urllib.parse import parse_qs, urlsplit

import pytest
from cryptography.hazmat.primitives.hashes import SHA1
from cryptography.hazmat.primitives.twofactor.totp import TOTP
from PIL import Image
from playwright.sync_api import expect

from library.accounts.accounts import Accounts, Caller
from library.room.rooms import Rooms
from tests.library.paper.reading import codes_in

GOOD = "lantern gravel otter nine"
OPEN = ("--host", "0.0.0.0", "--https")


@pytest.fixture
def house(serve, starter):
    """A server with the example room that others can reach."""
    Rooms(starter.database).load_demo(dt.date.today())
    return serve(starter, *OPEN)


def come_in(page, link, name=None):
    page.goto(link)
    if name is not None:
        page.get_by_label("What the team calls you").fill(name)
    page.get_by_label("A password of your own").fill(GOOD)
    page.get_by_role("button", name="Come in").click()
    page.wait_for_url(re.compile(r"/$"))


def first_link(house):
    return house.url + re.search(r"/join\?link=\S+", house.said())[0]


def test_an_invitation_from_sending_to_the_first_card(house, page, phone, tmp_path):
    """The link is typed or sent, or read from the screen by the phone's camera (here: zbarimg)."""
    come_in(page, first_link(house), "Ada")
    page.get_by_role("link", name="People").click()
    page.get_by_label("Name", exact=True).fill("Bo")
    page.get_by_role("checkbox", name="Fern Room").first.check()
    page.get_by_role("button", name="Make a link").click()
    link = page.locator("#handed").input_value()
    shown = page.locator(".handed .picture svg").screenshot()
    assert codes_in(Image.open(io.BytesIO(shown)), tmp_path) == [link]

    come_in(phone, link)
    phone.goto(f"{house.url}/activities/new")
    for label, text in (
        ("Name", "Bucket thunder"),
        ("In one sentence", "A bucket is drummed with wet hands until it thunders."),
        ("Ages in months", "24-48"),
        ("Minutes of prep", "3"),
        ("Children at once", "1-4"),
        ("What to do", "Turn the buckets over on the rug, one for each child."),
    ):
        phone.get_by_label(label, exact=True).first.fill(text)
    phone.get_by_label("Center", exact=True).select_option("music")
    phone.locator("button.main", has_text="Save").click()
    phone.wait_for_url(re.compile(r"/activities/bucket-thunder$"))
    assert (house.paths.activities / "music" / "bucket-thunder.md").is_file()
    assert phone.get_by_role("link", name="People").count() == 0

    page.goto(f"{house.url}/people/list")
    said = page.locator("main").inner_text()
    assert "invited Bo as contributor of Fern Room" in said
    assert "wrote a card" in said


def test_nothing_is_lost_when_a_session_ends_while_somebody_writes(house, page, phone):
    come_in(page, first_link(house), "Ada")
    accounts = Accounts(house.paths.database)
    page.provoked += ["401", "403"]
    page.goto(f"{house.url}/themes/new")
    page.locator("[name=title]").fill("Long puddles")
    accounts.sessions.end_all(accounts.staff.named("Ada").id)
    page.get_by_role("button", name="Save").last.click()
    with page.context.expect_page() as opened:
        page.get_by_role("link", name="Sign in on a new tab").click()
    door = opened.value
    door.get_by_label("Name").fill("ada")
    door.get_by_label("Password").fill(GOOD)
    door.get_by_role("button", name="Sign in").click()
    door.wait_for_url(re.compile(r"/$"))
    page.get_by_role("button", name="Send it again").click()
    page.get_by_text("Nothing was changed").wait_for()
    page.get_by_role("button", name="Send it again").click()
    page.wait_for_url(re.compile(r"/themes/long-puddles$"))
    assert page.get_by_role("heading", name="Long puddles").is_visible()


def test_a_tablet_shows_the_day_and_keeps_its_ticks(house, page, phone):
    come_in(page, first_link(house), "Ada")
    page.goto(f"{house.url}/people")
    page.get_by_role("button", name="Make a code").click()
    code = page.locator(".code").inner_text()
    phone.goto(f"{house.url}/tablet")
    phone.get_by_label("Code").fill(code)
    phone.get_by_role("button", name="Show the day").click()
    phone.wait_for_url(re.compile(r"/today$"))
    phone.goto(f"{house.url}/today?day=2025-10-06")
    phone.locator("[data-tick]").first.check()
    phone.reload()
    assert phone.locator("[data-tick]").first.is_checked()
    phone.provoked.append("403")
    phone.goto(f"{house.url}/room")
    assert "shows only the day" in phone.locator("main").inner_text()


def test_signing_out_forgets_what_was_half_typed(house, page):
    """What somebody else finds on the same phone is an empty form."""
    come_in(page, first_link(house), "Ada")
    page.goto(f"{house.url}/activities/new")
    page.locator("[name=title]").fill("Bucket thunder")
    half_typed = "() => Object.keys(localStorage).filter((key) => key.includes('card')).length"
    for _ in range(50):
        if page.evaluate(half_typed):
            break
        page.wait_for_timeout(100)
    assert page.evaluate(half_typed) == 1
    page.goto(f"{house.url}/account")
    page.get_by_role("button", name="Sign out").first.click()
    page.wait_for_url(re.compile(r"/sign-in$"))
    assert page.evaluate(half_typed) == 0


def test_without_scripts_one_gets_in_all_the_same(house, scriptless):
    come_in(scriptless, first_link(house), "Ada")
    scriptless.goto(f"{house.url}/account")
    scriptless.get_by_role("button", name="Sign out").first.click()
    scriptless.wait_for_url(re.compile(r"/sign-in$"))


def test_what_is_typed_can_be_looked_at(house, page):
    page.goto(f"{house.url}/sign-in")
    field = page.locator("#password")
    field.fill(GOOD)
    page.get_by_label("Show what I type").check()
    assert field.get_attribute("type") == "text"
    page.get_by_label("Show what I type").uncheck()
    assert field.get_attribute("type") == "password"


def test_how_long_a_password_is_shows_while_it_is_typed(house, page):
    """Half a password is never sent; the whole one is judged once the field is left."""
    sent = []
    page.on("request", lambda asked: sent.append(asked.url) if asked.method == "POST" else None)
    page.goto(first_link(house))
    field, said = page.locator("#password"), page.locator("[data-strength]")
    field.press_sequentially("pass")
    expect(said).to_have_text("4 of 12 signs at least.")
    field.press_sequentially("word1234")
    expect(said).to_contain_text("Long enough.")
    assert sent == []
    field.blur()
    expect(said).to_contain_text("among the first that a guesser would try")
    assert sent == [f"{house.url}/password-strength"]
    field.fill(GOOD)
    field.blur()
    expect(said).to_have_text("A guesser would need long for it.")


def test_a_code_after_the_password_from_the_picture_to_the_next_sign_in(house, page, tmp_path):
    """The picture is read by a camera's program (here: zbarimg), the code made by another library."""
    come_in(page, first_link(house), "Ada")
    page.goto(f"{house.url}/account")
    page.get_by_label("Your password").fill(GOOD)
    page.get_by_role("button", name="Set it up").click()
    shown = page.locator(".picture svg").screenshot()
    read = codes_in(Image.open(io.BytesIO(shown)), tmp_path)[0]
    secret = base64.b32decode(parse_qs(urlsplit(read).query)["secret"][0])
    phone = TOTP(secret, 6, SHA1(), 30)
    page.get_by_label("The code that the phone shows now").fill(
        phone.generate(time.time()).decode()
    )
    page.get_by_role("button", name="Ask for a code from now on").click()
    expect(page.locator(".spare code")).to_have_count(8)
    spare = page.locator(".spare code").first.inner_text()
    page.goto(f"{house.url}/account")
    page.get_by_role("button", name="Sign out", exact=True).first.click()
    page.get_by_label("Name").fill("Ada")
    page.get_by_label("Password").fill(GOOD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_label("Code").fill(spare)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(re.compile(r"/$"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_violation_at_the_door(house, chromium, scheme):
    """Source: axe-core, its rules for WCAG 2 A and AA and best practices."""
    from axe_playwright_python.sync_playwright import Axe

    accounts = Accounts(house.paths.database)
    accounts.accept(accounts.first_link(), "Ada", GOOD, Caller("10.0.0.1"))
    entered = accounts.link_for("Ada")[1]
    context = chromium.new_context(
        color_scheme=scheme,
        viewport={"width": 390, "height": 844},
        bypass_csp=True,
        ignore_https_errors=True,
    )
    page = context.new_page()

    def clean(where):
        found = Axe().run(page).response["violations"]
        assert [(each["id"], each["nodes"][0]["html"][:120]) for each in found] == [], where

    def press(button):
        """Presses a button and waits until the page that answers is there."""
        with page.expect_navigation():
            page.get_by_role("button", name=button).click()

    for address in ("/sign-in", "/tablet", "/trust", "/join?link=1.gone", f"/join?link={entered}"):
        page.goto(house.url + address)
        clean(address)
    page.locator("[name=password]").fill("short")
    press("come in")
    clean("a password that will not do")
    page.locator("[name=password]").fill(GOOD)
    press("come in")
    page.wait_for_url(re.compile(r"/$"))
    for button in ("Make a code", "Make a link"):
        page.goto(f"{house.url}/people")
        page.locator("#name").fill("Bo")
        press(button)
        clean(button)
    accounts.notices.tell(accounts.staff.named("Ada").id, "your password was changed")
    for address in ("/account", "/people/list"):
        page.goto(house.url + address)
        clean(address)
    page.goto(f"{house.url}/account")
    page.get_by_label("Your password").fill(GOOD)
    press("Set it up")
    clean("a key is shown")
    key = page.locator(".key").inner_text().replace(" ", "")
    code = TOTP(base64.b32decode(key), 6, SHA1(), 30).generate(time.time()).decode()
    page.get_by_label("The code that the phone shows now").fill(code)
    press("Ask for a code from now on")
    clean("spare codes are shown")
    context.clear_cookies()
    page.goto(f"{house.url}/sign-in")
    page.get_by_label("Name").fill("Ada")
    page.get_by_label("Password").fill(GOOD)
    press("Sign in")
    clean("a code is asked for")
    context.close()
