"""Find: what was understood, what can be struck out, and counts that keep their word."""

from urllib.parse import parse_qs, urlsplit

import pytest
from bs4 import BeautifulSoup

from server import create_app
from server.settings import load_settings
from tests.browser.places import starter_library


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    """A client over the starter library."""
    app = create_app(
        load_settings(starter_library(tmp_path_factory.mktemp("find")), {}, watch=False)
    )
    app.extensions["lowshelf"].refresh()
    return app.test_client()


def page_of(client, address):
    answer = client.get(address)
    assert answer.status_code == 200
    return BeautifulSoup(answer.data, "html.parser")


def total_of(page):
    return int(page.select_one(".sort strong").get_text().split()[0])


def test_every_count_is_the_total_of_the_page_its_link_opens(client):
    page = page_of(client, "/?q=sponges+or+paint+under+20+minutes")
    links = page.select(".tallies a")
    assert len(links) > 20
    for link in links:
        count = int(link.select_one(".count").get_text())
        assert total_of(page_of(client, link["href"])) == count, link["href"]


def test_striking_out_a_part_leaves_the_others(client):
    page = page_of(client, "/?q=water+play%2C+under+ten+minutes%2C+no+paint")
    parts = [part.get_text().rstrip("×") for part in page.select(".read .part")]
    assert parts == ["water", "10 minutes or less", "paint"]
    for at, link in enumerate(page.select(".read .strike")):
        left = page_of(client, link["href"])
        shown = [part.get_text().rstrip("×") for part in left.select(".read .part")]
        assert shown == [part for place, part in enumerate(parts) if place != at]


def test_a_chosen_count_can_be_taken_back(client):
    page = page_of(client, "/?q=sponges&centers=water")
    assert "center: Water" in page.select_one(".read").get_text()
    back = page.select(".read .strike")[-1]["href"]
    assert parse_qs(urlsplit(back).query) == {"q": ["sponges"]}


def test_nothing_found_names_what_to_leave_out_with_counts(client):
    page = page_of(client, "/?q=sponges+outdoors+no+prep+without+water+tub")
    ways = page.select(".empty li")
    assert ways
    for way in ways:
        count = int(way.get_text().rsplit(":", 1)[1].split()[0])
        assert total_of(page_of(client, way.a["href"])) == count > 0


def test_a_slip_of_typing_is_corrected_and_said(client):
    page = page_of(client, "/?q=spunge")
    assert "sponge" in page.select_one(".notice").get_text()
    assert total_of(page) > 0


def test_the_part_that_changes_while_typing_is_the_same_as_on_the_page(client):
    whole = page_of(client, "/?q=sponge")
    part = page_of(client, "/?q=sponge&part=found")
    assert part.select(".results h2") == whole.select("#found .results h2")


def test_an_odd_value_in_the_address_is_passed_over(client):
    assert (
        client.get("/?group=x&age=..&prep=%00&mess=9&sort=zzz&limit=-5&centers=nowhere").status_code
        == 200
    )


def test_a_question_of_2000_signs_is_answered(client):
    assert client.get("/?q=" + "no paint or glue under ten minutes " * 57).status_code == 200
