"""What every answer carries and which requests are refused."""

import pytest
from jinja2 import TemplateSyntaxError

from server import create_app
from server.settings import load_settings

PAGES = ["/", "/activities/sponge-rain", "/nowhere", "/api/status"]


@pytest.mark.parametrize("address", PAGES)
def test_every_answer_forbids_foreign_and_inline_code(client, address):
    answer = client.get(address)
    policy = answer.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize("address", PAGES)
def test_no_page_holds_an_inline_script_or_style(client, address):
    from bs4 import BeautifulSoup

    page = BeautifulSoup(client.get(address).data, "html.parser")
    assert [
        tag
        for tag in page("script")
        if not tag.get("src") and tag.get("type") != "application/ld+json"
    ] == []
    assert page("style") == []
    assert [tag for tag in page.find_all() if tag.get("style")] == []


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "10.0.0.5:8765"])
def test_a_page_elsewhere_cannot_reach_the_server_by_another_name(client, host):
    assert client.get("/", headers={"Host": host}).status_code == 400


@pytest.mark.parametrize("host", ["127.0.0.1:8765", "localhost:8765", "[::1]:8765"])
def test_the_names_of_this_machine_are_answered(client, host):
    assert client.get("/api/status", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
    ],
)
def test_a_change_that_another_site_sends_is_refused(client, headers):
    answer = client.post("/", headers=headers)
    assert answer.status_code == 403
    assert b"another site" in answer.data


def test_a_page_that_is_not_there_says_so_and_leads_back(client):
    answer = client.get("/nowhere")
    assert answer.status_code == 404
    assert b"Back to Find" in answer.data


def test_an_api_error_has_one_shape(client):
    answer = client.get("/api/nowhere")
    assert answer.status_code == 404
    assert set(answer.json["error"]) == {"status", "message", "problems"}


def test_a_form_whose_way_of_sending_is_worked_out_is_refused_as_it_would_have_no_token(app):
    with pytest.raises(TemplateSyntaxError, match="write out the method"):
        app.jinja_env.from_string('<p>\n<form class="a" method="{{ way }}"></form>')
    made = app.jinja_env.from_string('<form action="{{ way }}" method="post"></form>')
    with app.test_request_context():
        assert "form_token" in made.render(way="/")


@pytest.mark.parametrize("header", ["X-Forwarded-For", "Forwarded", "X-Real-IP", "Via"])
def test_where_nobody_signs_in_no_proxy_brings_others(client, header):
    answer = client.get("/room", headers={header: "203.0.113.9"})
    assert answer.status_code == 403
    assert b"A proxy stands before this server" in answer.data


def test_alone_the_name_the_room_knows_it_by_opens_nothing(paths):
    """Only a proxy could lead somebody here by it."""
    app = create_app(load_settings(paths, {}, watch=False, host_name="fern.local"))
    answer = app.test_client().get("/room", headers={"Host": "fern.local"})
    assert answer.status_code == 400
