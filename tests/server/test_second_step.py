"""A code after the password, from setting it up to losing the phone; and being told what was changed."""

import re

import pytest

from library.accounts.accounts import Accounts, Caller
from library.accounts.clockcodes import code_of, step_at
from server.cli import lowshelf
from server.visitors import HALF_WAY, KEY
from tests.server.pages import filled, soup, words
from tests.server.visiting import AT, GOOD, open_house, stranger

NEW = "otter nine gravel lantern"


@pytest.fixture
def clock():
    class Clock:
        now = 1_800_000_000

    return Clock


@pytest.fixture
def app(tmp_path, clock):
    app = open_house(tmp_path)
    shelf = app.extensions["lowshelf"]
    shelf.accounts = Accounts(shelf.paths.database, clock=lambda: clock.now)
    shelf.accounts.accept(shelf.accounts.first_link(), "Ada", GOOD, Caller("10.9.9.9"))
    return app


def first_step(browser, password=GOOD, **query):
    form = filled(soup(browser.get("/sign-in", query_string=query)))
    form["name"], form["password"] = "Ada", password
    return browser.post("/sign-in", data=form)


@pytest.fixture
def ada(app):
    """A browser in which the lead has signed in."""
    browser = stranger(app)
    assert first_step(browser).location == "/"
    return browser


@pytest.fixture
def phone(ada, clock):
    """What her phone shows once the step is set up by the pages; with the spare codes beside it."""
    page = soup(ada.post("/account/code/begin", data={"code-password": GOOD}))
    key = page.select_one(".key").get_text().replace(" ", "")
    assert page.select_one(".picture svg")

    def shown():
        return code_of(key, step_at(clock.now))

    done = ada.post("/account/code", data={"code": shown()})
    shown.key, shown.spare = key, [each.get_text() for each in soup(done).select(".spare code")]
    clock.now += 60
    return shown


def test_a_lead_is_asked_for_a_code_once_she_wants_it(app, ada, phone, clock):
    """ASVS 4.0.3, 4.3.1 and 2.8.1: a second factor, by codes that end."""
    browser = stranger(app)
    led = first_step(browser, next="/people")
    assert led.location == "/sign-in/code?next=/people"
    assert browser.get("/people").status_code == 303
    form = filled(soup(browser.get(led.location)))
    wrong = browser.post("/sign-in/code", data={**form, "code": "000000x"})
    assert wrong.status_code == 403
    assert "does not fit" in words(wrong)
    code = phone()
    assert browser.post("/sign-in/code", data={**form, "code": code}).location == "/people"
    assert browser.get("/people").status_code == 200
    other = stranger(app)
    first_step(other)
    assert other.post("/sign-in/code", data={"code": code}).status_code == 403
    clock.now += 120
    first_step(other)
    assert other.post("/sign-in/code", data={"code": code}).status_code == 403, "a code ends"


def test_half_way_in_nothing_is_open_and_nothing_can_be_made_up(app, ada, phone, clock):
    browser = stranger(app)
    assert browser.post("/sign-in/code", data={"code": phone()}).location == "/sign-in"
    first_step(browser)
    with browser.session_transaction(base_url=AT) as session:
        assert KEY not in session
        assert HALF_WAY in session
    for address in ("/", "/room", "/account", "/people", "/api/search?q=sponge"):
        assert browser.get(address).status_code in {303, 401}, address
    clock.now += 600
    late = browser.post("/sign-in/code", data={"code": phone()})
    assert late.status_code == 403
    assert "too long ago" in words(late)


def test_guessed_codes_are_slowed_down_with_words(app, ada, phone):
    browser = stranger(app)
    first_step(browser)
    codes = [browser.post("/sign-in/code", data={"code": f"x{n}"}).status_code for n in range(6)]
    assert codes == [403] * 5 + [429]


def test_a_spare_code_lets_in_once_and_the_page_counts_them(app, ada, phone):
    browser = stranger(app)
    first_step(browser)
    assert browser.post("/sign-in/code", data={"code": phone.spare[0]}).status_code == 303
    assert "7 spare codes are left" in words(browser.get("/account"))
    assert "a spare code was used to sign in" in words(ada.get("/"))
    assert phone.spare[1] not in browser.get("/account").get_data(as_text=True)


def test_the_key_is_shown_only_while_it_is_set_up_and_wants_the_password(app, ada, phone):
    assert phone.key not in ada.get("/account").get_data(as_text=True).replace(" ", "")
    assert ada.post("/account/code", data={"code": phone()}).status_code == 404
    assert ada.post("/account/code/begin", data={"code-password": GOOD}).status_code == 400
    assert ada.post("/account/code/end", data={"code-password": "wrong"}).status_code == 403
    assert first_step(stranger(app)).location == "/sign-in/code"
    assert ada.post("/account/code/end", data={"code-password": GOOD}).status_code == 303
    assert first_step(stranger(app)).location == "/"


def test_a_wrong_first_code_changes_nothing_and_can_be_typed_again(app, ada, clock):
    page = soup(ada.post("/account/code/begin", data={"code-password": GOOD}))
    key = page.select_one(".key").get_text().replace(" ", "")
    again = ada.post("/account/code", data={"code": "12"})
    assert again.status_code == 403
    assert soup(again).select_one(".key").get_text().replace(" ", "") == key
    assert first_step(stranger(app)).location == "/"
    fits = code_of(key, step_at(clock.now))
    assert ada.post("/account/code", data={"code": fits}).status_code == 200


def test_a_one_time_link_asks_for_the_code_too(app, ada, phone):
    link = app.extensions["lowshelf"].accounts.link_for("Ada")[1]
    browser = stranger(app)
    used = browser.post("/join", data={"link": link, "password": NEW})
    assert used.location == "/sign-in/code"
    assert browser.post("/sign-in/code", data={"code": phone()}).location == "/"
    assert "somebody at the computer itself made" in words(browser.get("/themes"))


def test_another_lead_or_the_machine_takes_the_code_off(app, ada, phone):
    """She can never be locked out of her own computer."""
    from click.testing import CliRunner

    number = app.extensions["lowshelf"].accounts.staff.named("Ada").id
    assert "Ask for no code any more" in words(ada.get("/people"))
    assert ada.post(f"/people/{number}/without-code").status_code == 303
    assert ada.post(f"/people/{number}/without-code").status_code == 404
    assert first_step(stranger(app)).location == "/"
    page = soup(ada.post("/account/code/begin", data={"code-password": GOOD}))
    key = page.select_one(".key").get_text().replace(" ", "")
    accounts, paths = app.extensions["lowshelf"].accounts, app.extensions["lowshelf"].paths
    ada.post("/account/code", data={"code": code_of(key, step_at(1_800_000_060))})
    assert accounts.second_step.is_on(number)
    places = ["--library", str(paths.folder), "--data", str(paths.data)]
    for said in ("No code is asked of Ada any more.\n", "No code was asked of Ada.\n"):
        done = CliRunner().invoke(
            lowshelf, ["people", "without-code", "ada", *places], standalone_mode=False
        )
        assert done.stdout == said
    assert first_step(browser := stranger(app)).location == "/"
    assert "somebody at the computer itself took it off" in words(browser.get("/"))


def test_people_are_told_when_their_way_to_sign_in_changes(app, ada):
    """ASVS 4.0.3, 2.2.3 and 2.5.5: on every page of the next sign-in, until it was seen."""
    other = stranger(app)
    first_step(other)
    other.post("/account/password", data={"old-password": GOOD, "password": NEW})
    assert "Was it not you?" not in words(other.get("/"))
    assert ada.get("/").status_code == 303
    first_step(ada, NEW)
    for address in ("/", "/themes", "/nowhere", "/units/leaves-and-wind/2025-fall"):
        said = words(ada.get(address))
        assert re.search(r"\w{3} \d+ \w{3} \d{4}, \d\d:\d\d: your password was changed", said)
        assert "Was it not you?" in said
    assert ada.post("/account/seen").status_code == 303
    assert "Was it not you?" not in words(ada.get("/"))


def test_a_replaced_password_tells_who_made_the_link(app, ada):
    accounts = app.extensions["lowshelf"].accounts
    bo = accounts.accept(accounts.invitations.invite("Bo", *_reader()), "Bo", GOOD, Caller("x"))[0]
    page = soup(ada.post(f"/people/{bo.id}/link"))
    link = page.select_one("#handed")["value"].partition("link=")[2]
    assert stranger(app).post("/join", data={"link": link, "password": NEW}).status_code == 303
    browser = stranger(app)
    browser.post("/sign-in", data={"name": "Bo", "password": NEW})
    assert "changed by a one-time link that Ada made" in words(browser.get("/"))
    assert "tell the lead" in words(browser.get("/"))


def _reader():
    from library.accounts.people import Role

    return Role.READER, ()


def test_a_password_is_judged_in_words_before_it_is_sent(app, ada):
    """ASVS 4.0.3, 2.1.8; only for who has an account or an invitation, and nothing is kept of it."""

    def judged(browser, **data):
        answer = browser.post("/password-strength", data=data)
        assert answer.headers["Cache-Control"] == "no-store"
        return answer.status_code, answer.get_data(as_text=True)

    assert judged(ada, password=GOOD) == (200, "A guesser would need long for it.")
    assert "among the first" in judged(ada, password="password1234")[1]
    assert "use 12 or more" in judged(ada, password="short")[1]
    link = app.extensions["lowshelf"].accounts.invitations.invite("Bo", *_reader())
    assert judged(stranger(app), password=GOOD, link=link)[0] == 200
    assert judged(stranger(app), password=GOOD, link="1.gone")[0] == 404
    said = [
        judged(stranger(app), link=link, password="zaunkoenigin", name=name)[1]
        for name in ("Bo", "Zaunkoenigin")
    ]
    assert "long" in said[0]
    assert "among the first" in said[1]
    log = (app.extensions["lowshelf"].paths.data / "access.log").read_text(encoding="utf-8")
    assert "POST /password-strength 200" in log
    assert GOOD not in log
