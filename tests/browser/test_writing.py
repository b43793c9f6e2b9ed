"""Writing cards in a real browser: on a phone from nothing, through a closed lid, and by two at once."""

import re

import pytest

NEW = "/activities/new"
TAPS_AT_MOST = 25


def open_form(page, served, address=NEW):
    page.goto(served.url + address)
    page.locator("#stays").wait_for()


def test_a_card_from_nothing_on_a_phone(serve, starter, phone):
    """Every tap is counted; typing is not."""
    served = serve(starter)
    phone.goto(served.url)
    taps = []

    def tap(what):
        what.tap()
        taps.append(what)

    def write(label, text):
        field = phone.get_by_label(label, exact=True).first
        tap(field)
        phone.keyboard.type(text)

    tap(phone.get_by_role("link", name="Write a new activity"))
    phone.wait_for_url(re.compile(NEW))
    write("Name", "Pebble wash")
    write("In one sentence", "Hands scrub pebbles until the colors come out.")
    center = phone.get_by_label("Center", exact=True)
    tap(center)
    center.select_option("water")
    taps.append("the center in the list of the phone")
    write("Minutes of prep", "6")
    write("Material", "water")
    write("How much", "4 l per setup")
    for field, text in (
        ("materials[1].item", "wash pebble"),
        ("materials[1].amount", "3 per place"),
    ):
        tap(phone.locator(f"[name='{field}']"))
        phone.keyboard.type(text)
    write("What to do", "Fill the tub. Lay out the brushes.")
    phone.get_by_text("New here: wash pebble").wait_for()
    for label, value in (
        ("It is", "durable"),
        ("Can a child pick up a piece?", "yes"),
        ("What does its label name?", "none"),
    ):
        tap(phone.get_by_label(label, exact=True))
        phone.get_by_label(label, exact=True).select_option(value)
        taps.append(f"{value} in the list of the phone")
    write("Size of the smallest piece", "about 70 x 50 x 40 mm")
    assert phone.locator("#preview h3").first.inner_text() == "Pebble wash"
    tap(phone.get_by_role("button", name="Save as a draft"))
    phone.wait_for_url(re.compile("/activities/pebble-wash$"))
    assert len(taps) < TAPS_AT_MOST
    assert (starter.activities / "water" / "pebble-wash.md").exists()
    assert "item: wash pebble" in (starter.activities / "materials.yaml").read_text("utf-8")
    assert phone.evaluate("document.documentElement.scrollWidth") == 390


def kept_after_a_while(page, seconds=30):
    """What this browser still keeps, as soon as it is nothing; asked by the clock, since a page that
    is not drawn counts no frames."""
    for _ in range(seconds * 10):
        if not (kept := page.evaluate("Object.entries(localStorage)")):
            break
        page.wait_for_timeout(100)
    return kept


def test_what_is_still_asked_of_a_new_material_stays_beside_it_while_one_types(
    serve, starter, page
):
    served = serve(starter)
    page.provoked.append("422")
    open_form(page, served)
    page.fill("[name='materials[0].item']", "plain kefir")
    page.get_by_text("New here: plain kefir").wait_for()
    page.get_by_role("button", name="Save as a draft").last.click()
    page.locator("#problems").wait_for()
    asked = page.locator("[id='new[0].label-wrong']")
    asked.wait_for()
    with page.expect_response(lambda answer: answer.url.endswith(NEW)):
        page.fill("[name='title']", "Kefir swirl")
    page.wait_for_timeout(500)  # what came back is put in its place
    assert asked.count() == 1
    page.select_option("[name='new[0].label']", "unread")
    assert asked.count() == 0


def test_what_is_half_typed_survives_a_closed_lid_and_goes_when_it_is_saved(serve, starter, page):
    served = serve(starter)
    open_form(page, served)
    page.locator("#title").fill("Pebble wash")
    page.locator("[name='materials[0].item']").fill("water")
    page.locator("[name='materials[2].item']").fill("hand sponge")
    for _ in range(100):
        if page.evaluate("Object.keys(localStorage).length") == 1:
            break
        page.wait_for_timeout(50)
    page.goto("about:blank")
    page.goto(served.url + NEW)
    page.locator("#kept").wait_for()
    assert page.locator("#title").input_value() == "Pebble wash"
    assert page.locator("[name='materials[1].item']").input_value() == "hand sponge"
    page.locator("#centers").select_option("water")
    page.locator("#prep").fill("5")
    for number in (0, 1):
        page.locator(f"[name='materials[{number}].amount']").fill("1 per setup")
    page.get_by_role("button", name="Save as a draft").click()
    page.wait_for_url(re.compile("/activities/pebble-wash$"))
    assert kept_after_a_while(page) == []
    open_form(page, served)
    assert page.locator("#title").input_value() == ""


def test_two_taps_on_save_write_one_card(serve, starter, page):
    served = serve(starter)
    open_form(page, served)
    page.locator("#title").fill("Pebble wash")
    page.locator("#centers").select_option("water")
    page.locator("#prep").fill("5")
    page.get_by_role("button", name="Save as a draft").dblclick()
    page.wait_for_url(re.compile("/activities/pebble-wash$"))
    page.get_by_role("heading", name="Pebble wash").wait_for()
    assert page.locator("#problems").count() == 0


def test_two_editors_choose_where_both_changed_one_thing(serve, starter, page, phone):
    served = serve(starter)
    page.provoked.append("409")
    for each in (page, phone):
        open_form(each, served, "/activities/sponge-rain/edit")
    phone.locator("#title").fill("Sponge drizzle")
    phone.locator("#prep").fill("5")
    phone.get_by_role("button", name="Save").last.click()
    phone.wait_for_url(re.compile("/activities/sponge-rain$"))
    page.locator("#title").fill("Sponge storm")
    page.locator("#runs").fill("25")
    page.get_by_role("button", name="Save").last.click()
    page.get_by_role("heading", name="Someone changed this card meanwhile").wait_for()
    assert page.locator("input:checked").count() == 2
    page.set_viewport_size({"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    page.get_by_role("group", name="Name").get_by_label("Yours").check()
    page.get_by_role("button", name="Save it so").click()
    page.wait_for_url(re.compile("/activities/sponge-rain$"))
    text = (starter.activities / "water" / "sponge-rain.md").read_text("utf-8")
    assert all(line in text for line in ("title: Sponge storm\n", "prep: 5\n", "runs: 25\n"))
    assert kept_after_a_while(page) == []


def test_a_card_is_written_and_looked_at_without_scripts(serve, starter, scriptless):
    served = serve(starter)
    scriptless.goto(served.url + NEW)
    scriptless.locator("#title").fill("Pebble wash")
    scriptless.locator("#centers").select_option("water")
    scriptless.locator("#prep").fill("5")
    scriptless.get_by_role("button", name="Preview").click()
    assert scriptless.locator("#preview h3").first.inner_text() == "Pebble wash"
    scriptless.get_by_role("button", name="Save as a draft").click()
    scriptless.wait_for_url(re.compile("/activities/pebble-wash$"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_violation_in_the_form_nor_where_two_changed_a_card(
    serve, starter, chromium, scheme
):
    """Source: axe-core, its rules for WCAG 2 A and AA and best practices."""
    from axe_playwright_python.sync_playwright import Axe

    served = serve(starter)
    context = chromium.new_context(
        color_scheme=scheme, viewport={"width": 390, "height": 844}, bypass_csp=True
    )
    page, other = context.new_page(), context.new_page()
    edit = "/activities/sponge-rain/edit"

    def faults():
        wrong = Axe().run(page).response["violations"]
        return [(each["id"], each["nodes"][0]["html"][:200]) for each in wrong]

    found = {}
    for address in (NEW, edit):
        page.goto(served.url + address)
        found[address] = faults()
    open_form(other, served, edit)
    for each, title in ((other, "Sponge drizzle"), (page, "Sponge storm")):
        each.locator("#title").fill(title)
        each.get_by_role("button", name="Save").last.click()
        each.locator("#title").wait_for(state="detached")
    page.get_by_role("heading", name="Someone changed this card meanwhile").wait_for()
    found["merge"] = faults()
    context.close()
    assert found == {NEW: [], edit: [], "merge": []}
