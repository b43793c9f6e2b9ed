"""Values that no form of ours would send, in every field of every form: a refusal, and never a failure."""

from __future__ import annotations

import re

import pytest
from bs4 import BeautifulSoup
from werkzeug.exceptions import HTTPException

from library.accounts.people import Role
from tests.server.pages import filled, soup
from tests.server.visiting import AT, HOST, OWN, every_request, open_house, signed_in, stranger

VALUES = (
    "", "\x00", "9" * 400, "-1", "1e999", "nan", "0000-00-00", "9999-12-31", "2025-02-30", "²", "½", "1/0",
    "../../etc/passwd", "a" * 5000, "\u202e\r\nX: y", "[]", "99:99", "١٢", "- a: [", "&a *a", "\ufffe", "2026-13",
)  # fmt: skip
"""Numbers without end, days that are not, digits of other scripts, signs of other languages."""
MORE = (
    "/units/leaves-and-wind/2025-fall?open=0",
    "/units/leaves-and-wind/2025-fall/carry-over?to=night-and-lanterns",
    "/room/holidays?country=US",
)
"""Pages that have more forms when they are asked for more."""
NOT_SENT = {"door.sign_out", "own.sign_out_everywhere", "people.end", "room.remove", "room.clear_year"}  # fmt: skip
"""What would end the visit or take away what the other forms are about."""


@pytest.fixture(scope="module")
def app(tmp_path_factory):
    return open_house(tmp_path_factory.mktemp("house"))


def forms_of(app, browser):
    """One form for each route and kind of field: route, field, method, address and what stands in it."""
    routes, found = app.url_map.bind(HOST), {}
    addresses = [address for _, method, address in every_request(app) if method == "GET"]
    for address in (*addresses, *MORE):
        answer = browser.get(address, buffered=True)
        if answer.mimetype != "text/html" or answer.status_code != 200:
            continue
        for form in soup(answer).select("form"):
            method = form.get("method", "get").upper()
            to = form.get("action") or address
            try:
                endpoint = routes.match(to.split("?")[0], method)[0]
            except HTTPException:
                continue
            fields = filled(BeautifulSoup(str(form), "html.parser"))
            fields.poplist("form_token")
            for name in fields:
                kind = re.sub(r"\d+", "#", name)
                found.setdefault((endpoint, kind), (name, method, to, fields))
    return {key: form for key, form in found.items() if key[0] not in NOT_SENT}


@pytest.mark.slow
def test_no_value_in_any_field_is_a_failure(app):
    """A failure raises in this client; each kind of field gets one of the values, all get their turn."""
    browser = signed_in(app, "Ada", Role.LEAD)
    forms = forms_of(app, browser)
    assert len({endpoint for endpoint, _ in forms}) > 30
    assert len(forms) > 200
    for turn, ((endpoint, _), (name, method, to, fields)) in enumerate(sorted(forms.items())):
        sent = fields.copy()
        sent.setlist(name, [VALUES[turn % len(VALUES)]])
        if method == "GET":
            answer = browser.get(to, query_string=sent, buffered=True)
        else:
            answer = browser.post(to, data=sent, buffered=True)
        assert answer.status_code < 500, (endpoint, name, sent[name][:40])


@pytest.mark.parametrize(
    "odd", ["//[", "http://[", "[", "//\u2100", "http://a]b", "http://a:b:c", "\x80"]
)
def test_crooked_addresses_in_headers_and_fields_are_refused(app, odd):
    """RFC 3986 knows no such host; Python's urlsplit raises at them."""
    browser, latin = signed_in(app, "Ada", Role.LEAD), odd.encode().decode("latin-1")
    assert stranger(app).get("/sign-in", query_string={"next": odd}).status_code == 200
    data = {"room": OWN, "next": odd}
    assert browser.post("/room/choose", data=data, headers={"Origin": latin}).status_code == 403
    assert browser.get("/", headers={"Referer": latin}).status_code == 200
    assert browser.get("/", headers={"Host": latin}).status_code == 400


def test_a_change_from_our_own_origin_is_taken(app):
    browser = signed_in(app, "Ada", Role.LEAD)
    answer = browser.post("/room/choose", data={"room": OWN}, headers={"Origin": AT})
    assert answer.status_code == 303


@pytest.mark.parametrize("price", ["1e999", "9" * 40, "1e-999", "1000000"])
def test_a_price_without_end_is_said_and_not_kept(app, price):
    browser = signed_in(app, "Ada", Role.LEAD)
    page = soup(browser.get("/room/stock"))
    forms = [form for form in page.select("form") if form.select('[name$=".price"]')]
    fields = filled(BeautifulSoup(str(forms[0]), "html.parser"))
    name = next(each for each in fields if each.endswith(".price"))
    row = name.rpartition(".")[0]
    fields.setlist(f"{row}.item", ["rice"])
    fields.setlist(name, [price])
    answer = browser.post(forms[0].get("action") or "/room/stock", data=fields)
    assert answer.status_code == 422
    assert "a price such as 3.40" in answer.get_data(as_text=True)


NINES, ENDLESS = "9" * 20, "9" * 5_000
"""More than a database holds, and more digits than Python reads."""
CHOOSING = "/?place_in=leaves-and-wind/2025-fall&center=water"


@pytest.mark.parametrize(
    ("address", "status", "said"),
    [
        (f"{CHOOSING}&as=swap&row={ENDLESS}", 400, "row: found '99999999999999999999'; expected"),
        (f"{CHOOSING}&as=clone&row={ENDLESS}", 400, "row: found '99999999999999999999'; expected"),
        (f"/people/list?before={NINES}", 400, "before: found '99999999999999999999'; expected"),
        (f"/api/search?q=a&limit={ENDLESS}", 400, "expected a whole number from 0 to 1000"),
        (f"/api/activities?offset={ENDLESS}", 400, "expected a whole number from 0 to 1000000"),
        (f"/jots/{NINES}", 404, "no page at this address"),
        ("/room/holidays?country=PUBLIC", 200, "No public holidays are known for"),
        ("/room/holidays?country=bank", 200, "No public holidays are known for"),
    ],
)
def test_a_number_without_end_and_a_name_that_is_none_are_said(app, address, status, said):
    answer = signed_in(app, "Ada", Role.LEAD).get(address)
    assert answer.status_code == status
    assert said in answer.get_data(as_text=True).replace("&#39;", "'")


@pytest.mark.parametrize("do", ["open", "link", "sign-out", "without-code", "end"])
def test_nobody_has_a_number_without_end(app, do):
    browser = signed_in(app, "Ada", Role.LEAD)
    assert browser.post(f"/people/{NINES}/{do}").status_code == 404


@pytest.mark.parametrize(
    ("address", "field"),
    [
        ("/people/withdraw", "invitation"),
        ("/people/tablets/end", "tablet"),
        ("/account/sessions/end", "session"),
        ("/review/sponge-rain/comments/remove", "comment"),
    ],
)
def test_a_number_without_end_in_a_form_is_said(app, address, field):
    answer = signed_in(app, "Ada", Role.LEAD).post(address, data={field: NINES})
    assert answer.status_code == 400
    assert f"{field}: found" in answer.get_data(as_text=True)
