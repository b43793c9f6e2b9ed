"""Signing in, and everything that tries to come in another way."""

import re
from dataclasses import replace
from itertools import count

import pytest

from library.accounts.people import Role
from server import create_app
from server.formtokens import FIELD, HEADER
from server.routes.door import inside
from server.settings import load_settings
from server.visitors import KEY
from tests.server.browsing import browser_at
from tests.server.pages import filled, soup, words
from tests.server.visiting import AT, GOOD, OWN, open_house, signed_in, stranger, tablet

JOIN = re.compile(r"/join\?link=[\w.-]+")


@pytest.fixture(scope="module")
def app(tmp_path_factory):
    return open_house(tmp_path_factory.mktemp("house"))


@pytest.fixture
def alone(paths):
    """An app that only this machine reaches."""
    return create_app(load_settings(paths, {}, watch=False))


@pytest.fixture(scope="module")
def lead(app):
    """Ada, the lead, whose password is known."""
    accounts = app.extensions["lowshelf"].accounts
    from library.accounts.accounts import Caller

    return accounts.accept(accounts.first_link(), "Ada", GOOD, Caller("10.9.9.9"))[0]


addresses = count(1)


def enter(browser, name="Ada", password=GOOD, **more):
    """Fills in the form of the door, from an address that nobody used before."""
    form = filled(soup(browser.get("/sign-in", query_string=more)))
    form["name"], form["password"] = name, password
    number = next(addresses)
    where = {"REMOTE_ADDR": f"10.1.{number // 250}.{number % 250}"}
    return browser.post("/sign-in", data=form, environ_base=where)


def key_of(browser):
    with browser.session_transaction(base_url=browser.at) as session:
        return session.get(KEY)


def test_who_signs_in_gets_to_the_page_they_asked_for(app, lead):
    browser = stranger(app)
    led = browser.get("/units/leaves-and-wind/2025-fall/goals")
    assert led.location == "/sign-in?next=/units/leaves-and-wind/2025-fall/goals"
    form = filled(soup(browser.get(led.location)))
    form["name"], form["password"] = "Ada", GOOD
    assert browser.post("/sign-in", data=form).location == "/units/leaves-and-wind/2025-fall/goals"
    assert browser.get("/people").status_code == 200
    browser.post("/sign-out")
    assert browser.get("/people").status_code == 303


@pytest.mark.parametrize(
    "elsewhere",
    [
        "https://evil.example/",
        "//evil.example/",
        "/\\evil.example",
        "\\\\evil.example",
        "javascript:alert(1)",
        "/\t/evil.example",
        "/\n/evil.example",
        "evil.example",
        "http:evil.example",
        " //evil.example",
    ],
)
def test_nobody_is_led_elsewhere_after_signing_in(app, lead, elsewhere):
    """ASVS 4.0.3, 5.1.5: only addresses inside."""
    assert inside(elsewhere) == ""
    assert enter(stranger(app), next=elsewhere).location == "/"
    browser = stranger(app)
    form = {"name": "Ada", "password": GOOD, "next": elsewhere}
    assert browser.post("/sign-in", data=form).location == "/"


def test_an_address_inside_is_kept():
    assert inside("/?q=sponge+rain&limit=5") == "/?q=sponge+rain&limit=5"


def test_a_planted_session_is_worth_nothing_after_signing_in(app, lead):
    """Session fixation: key and token are new, and what was there before opens nothing."""
    browser = stranger(app)
    with browser.session_transaction(base_url=AT) as session:
        session[KEY], session["token"], session["planted"] = "1.planted", "planted", "x"
    form = {"name": "Ada", "password": GOOD, FIELD: "planted"}
    assert browser.post("/sign-in", data=form).status_code == 303
    with browser.session_transaction(base_url=AT) as session:
        assert session[KEY] != "1.planted"
        assert session.get("token") != "planted"
        assert "planted" not in session
    first = key_of(browser)
    assert enter(signed_in_again := stranger(app)).status_code == 303
    assert key_of(signed_in_again) != first


def test_signing_out_ends_the_session_and_not_only_the_cookie(app, lead):
    browser = stranger(app)
    enter(browser)
    key = key_of(browser)
    browser.post("/sign-out")
    thief = stranger(app)
    with thief.session_transaction(base_url=AT) as session:
        session[KEY] = key
    assert thief.get("/people").status_code == 303


def test_a_wrong_password_says_nothing_about_the_name(app, lead):
    told = [words(enter(stranger(app), name, "wrong")) for name in ("Ada", "Nobody here")]
    assert told[0] == told[1]
    assert "do not belong together" in told[0]


def test_trying_on_is_slowed_down_with_words(app, lead):
    browser = stranger(app)
    answers = [enter(browser, "Slow One", "wrong") for _ in range(5)]
    assert [each.status_code for each in answers] == [403] * 5
    # Waits grow from a second on; on a busy machine the first ones pass before the next try.
    while answers[-1].status_code == 403 and len(answers) < 12:
        answers.append(enter(browser, "Slow One", "wrong"))
    assert answers[-1].status_code == 429
    assert "Too many tries. Wait" in words(answers[-1])


def test_a_browser_that_knows_the_lead_is_not_kept_waiting_by_strangers(app, lead):
    known, other = stranger(app), stranger(app)
    assert enter(known).status_code == 303
    known.post("/sign-out")
    for number in range(8):
        browser = stranger(app)
        form = {"name": "Ada", "password": "wrong"}
        browser.post("/sign-in", data=form, environ_base={"REMOTE_ADDR": f"10.3.3.{number}"})
    assert enter(other).status_code == 429
    assert enter(known).status_code == 303


def test_an_invitation_from_sending_to_the_first_page(app, lead):
    browser = stranger(app)
    enter_known(app, browser, lead)
    sent = browser.post(
        "/people/invite", data={"name": "Bo", "role": "contributor", "rooms": [OWN]}
    )
    link = JOIN.search(soup(sent).select_one("#handed")["value"])[0]
    assert sent.headers["Cache-Control"] == "no-store"
    guest = stranger(app)
    page = soup(guest.get(link))
    assert "contributor" in page.select_one("main").get_text()
    form = filled(page)
    form["password"] = "short"
    again = guest.post("/join", data=form)
    assert again.status_code == 422
    assert "use 12 or more" in words(again)
    form["password"] = GOOD
    assert guest.post("/join", data=form).location == "/"
    assert guest.get("/room").status_code == 200
    assert guest.get("/people").status_code == 403
    assert stranger(app).get(link).status_code == 404
    noted = words(browser.get("/people/list"))
    assert "Bo came in as contributor by invitation" in noted
    assert "Ada invited Bo as contributor of Fern Room" in noted


def enter_known(app, browser, lead):
    accounts = app.extensions["lowshelf"].accounts
    with browser.session_transaction(base_url=AT) as session:
        session[KEY] = accounts.sessions.begin(lead.id)


def test_the_lead_sees_and_ends_what_others_may(app, lead):
    browser = stranger(app)
    enter_known(app, browser, lead)
    other = signed_in(app, "Cy", Role.CONTRIBUTOR, OWN)
    cy = app.extensions["lowshelf"].accounts.staff.named("Cy").id
    assert other.get("/room").status_code == 200
    browser.post(f"/people/{cy}", data={"role": "reader", "rooms": []})
    assert other.get("/room").status_code == 403
    browser.post(f"/people/{cy}/sign-out")
    assert other.get("/").status_code == 303
    again = signed_in(app, "Cy", Role.READER)
    browser.post(f"/people/{cy}/end")
    assert again.get("/").status_code == 303
    assert "Cy" in words(browser.get("/people"))
    browser.post(f"/people/{cy}/open")
    link = JOIN.search(soup(browser.post(f"/people/{cy}/link")).select_one("#handed")["value"])[0]
    guest = stranger(app)
    form = filled(soup(guest.get(link)))
    form["password"] = GOOD
    assert guest.post("/join", data=form).status_code == 303
    refused = browser.post(f"/people/{lead.id}/end")
    assert refused.status_code == 400
    assert "only lead" in words(refused)


def test_a_tablet_gets_in_by_its_code_and_sees_the_day(app, lead):
    browser = stranger(app)
    enter_known(app, browser, lead)
    made = browser.post("/people/tablets", data={"name": "Shelf by the sink", "room": OWN})
    code = soup(made).select_one(".code").get_text()
    shared = stranger(app)
    assert shared.post("/tablet", data={"code": "0000 0001"}).status_code == 403
    assert shared.post("/tablet", data={"code": code}).location == "/today"
    page = soup(shared.get("/today?day=2025-10-06"))
    assert {a.get_text() for a in page.select(".top a")} == {"Lowshelf", "Today"}
    for link in page.select("main a[href]"):
        assert shared.get(link["href"]).status_code == 200, link
    listed = soup(browser.get("/people"))
    number = listed.select_one("input[name=tablet]")["value"]
    browser.post("/people/tablets/end", data={"tablet": number})
    assert shared.get("/today").status_code == 303


def test_ones_own_account(app, lead):
    accounts = app.extensions["lowshelf"].accounts
    link = accounts.link_for("Ada")[1]
    here = stranger(app)
    here.post("/join", data={"link": link, "name": "Ada", "password": GOOD})
    there = stranger(app)
    enter_known(app, there, lead)
    page = soup(here.get("/account"))
    assert len(page.select("main li")) == 2
    here.post("/account/sessions/end", data={"session": page.select_one("[name=session]")["value"]})
    assert there.get("/account").status_code == 303
    assert here.post("/account/sessions/end", data={"session": 99_999}).status_code == 404
    enter_known(app, there, lead)
    wrong = here.post("/account/password", data={"old-password": "x", "password": GOOD})
    assert wrong.status_code == 403
    new = "otter nine gravel lantern"
    done = here.post("/account/password", data={"old-password": GOOD, "password": new})
    assert done.status_code == 303
    assert there.get("/account").status_code == 303
    assert here.get("/account").status_code == 200
    here.post("/account/password", data={"old-password": new, "password": GOOD})


@pytest.mark.parametrize("role", ["stranger", "tablet", "person"])
@pytest.mark.parametrize("token", [None, "", "x", "token-of-somebody-else"])
def test_no_change_is_made_without_the_token_of_the_session(app, lead, role, token):
    browser = {
        "stranger": lambda: stranger(app),
        "tablet": lambda: tablet(app, OWN),
        "person": lambda: signed_in(app, "Cleo", Role.CONTRIBUTOR, OWN),
    }[role]()
    browser.get("/sign-in")
    address = {"stranger": "/sign-in", "tablet": "/sign-out", "person": "/themes/new"}[role]
    headers = {} if token is None else {HEADER: token}
    answer = browser.post(address, headers=headers or {HEADER: ""}, data={"title": "Moss"})
    assert answer.status_code == 403
    assert "Nothing was changed" in words(answer)


def test_alone_on_this_machine_the_token_is_asked_for_too(alone):
    client = browser_at(alone, "http://localhost")
    client.get("/")
    assert client.post("/themes/new", headers={HEADER: "x"}, data={}).status_code == 403
    assert client.post("/themes/new", data={"title": "Moss", "seasons": "fall"}).status_code == 303


def test_every_form_of_every_page_carries_the_token(app, lead):
    """The field is put in when templates are compiled, whoever wrote them."""
    browser = stranger(app)
    enter_known(app, browser, lead)
    forms = 0
    for address in (
        "/room",
        "/room/children",
        "/room/holidays?country=US",
        "/themes/new",
        "/themes/leaves-and-wind",
        "/units/leaves-and-wind/2025-fall?open=0",
        "/units/leaves-and-wind/2025-fall/carry-over?to=night-and-lanterns",
        "/people",
        "/account",
    ):
        page = soup(browser.get(address))
        for form in page.select('form[method="post"]'):
            forms += 1
            fields = form.select(f"input[name={FIELD}]")
            assert [each["value"] for each in fields] == [
                page.select_one("meta[name=form-token]")["content"]
            ]
        for form in page.select('form:not([method="post"])'):
            assert form.select(f"input[name={FIELD}]") == [], "a token must not get into an address"
    assert forms > 30


def test_what_was_typed_while_signed_out_can_be_sent_again(app, lead):
    """Nothing is lost when a session ends while somebody writes."""
    browser = stranger(app)
    answer = browser.post(
        "/themes/new", data={"title": "Moss", "seasons": "fall", "old-password": "x"}
    )
    assert answer.status_code == 401
    page = soup(answer)
    assert page.select_one(".again a")["target"] == "_blank"
    form = filled(page, ".again form")
    assert form["title"] == "Moss"
    assert "old-password" not in form
    enter_known(app, browser, lead)
    form[FIELD] = "from before signing in"
    refused = browser.post("/themes/new", data=form)
    assert refused.status_code == 403
    again = filled(soup(refused), ".again form")
    assert again["title"] == "Moss"
    assert again.pop(FIELD)
    assert browser.post("/themes/new", data=again).status_code == 303


def test_cookies_cannot_be_read_by_scripts_nor_sent_in_the_open(app, lead, paths):
    settings = replace(app.extensions["lowshelf"].settings, https=True)
    locked = browser_at(create_app(settings), f"https://{settings.host}")
    cookies = enter(locked).headers.getlist("Set-Cookie")
    assert len(cookies) == 2
    for cookie in cookies:
        assert cookie.startswith("__Host-lowshelf-")
        assert {"Secure", "HttpOnly", "Path=/"} <= set(cookie.split("; "))
        assert "SameSite=" in cookie
        assert "Domain=" not in cookie
    assert "max-age" in locked.get("/").headers["Strict-Transport-Security"]
    for cookie in enter(stranger(app)).headers.getlist("Set-Cookie"):
        assert "HttpOnly" in cookie


def test_nothing_that_is_only_for_some_stays_in_a_browser(app, lead):
    browser = stranger(app)
    enter_known(app, browser, lead)
    for address in ("/", "/room", "/api/search?q=sponge", "/people", "/sign-in"):
        assert browser.get(address).headers["Cache-Control"] == "no-store", address


def test_the_log_holds_no_question_no_field_and_no_secret(app, lead):
    log = app.extensions["lowshelf"].paths.data / "access.log"
    link = app.extensions["lowshelf"].accounts.link_for("Ada")[1]
    browser = stranger(app)
    browser.get("/join", query_string={"link": link})
    browser.get("/?q=zaunkoenig+quux")
    browser.get("/activities/x%0Aforged%20line")
    enter(browser)
    text = log.read_text(encoding="utf-8")
    assert "GET /join 200" in text
    for secret in ("zaunkoenig", link, link.split(".")[1], GOOD, "\nforged", "?"):
        assert secret not in text
    assert log.stat().st_mode & 0o077 == 0


def test_the_log_begins_anew_before_it_grows_large(tmp_path):
    from server.accesslog import LARGEST, AccessLog

    log = AccessLog(tmp_path / "access.log")
    log.write("x" * LARGEST)
    log.write("second")
    log.write("third")
    assert (tmp_path / "access.log").read_text() == "second\nthird\n"
    assert (tmp_path / "access.old.log").read_text() == "x" * LARGEST + "\n"


def test_alone_on_this_machine_nobody_is_asked_who_they_are(alone):
    client = browser_at(alone, "http://localhost")
    assert client.get("/sign-in").location == "/"
    assert client.get("/room").status_code == 200
    assert "Nobody signs in while Lowshelf runs on this computer alone" in words(
        client.get("/people")
    )
    assert client.get("/account").status_code == 404
