"""JSON for the library: one description, one shape of error, nothing about children."""

import json

import pytest
from openapi_spec_validator import validate

from server.openapi import ENDPOINTS, openapi_document


def test_the_description_is_valid_openapi():
    validate(openapi_document())


def test_every_route_below_api_is_described_and_no_other(app):
    routes = {
        rule.rule.replace("<", "{").replace(">", "}")
        for rule in app.url_map.iter_rules()
        if rule.rule.startswith("/api/")
    }
    assert routes == {endpoint.path for endpoint in ENDPOINTS}


@pytest.mark.parametrize("path", [e.path for e in ENDPOINTS if "{" not in e.path])
def test_an_answer_has_the_keys_that_are_described(client, path):
    answer = client.get(path)
    assert answer.status_code == 200
    described = next(endpoint for endpoint in ENDPOINTS if endpoint.path == path)
    assert set(described.properties) <= set(answer.json)


def test_a_search_says_what_it_understood(client):
    answer = client.get("/api/search?q=sponges+under+ten+minutes&limit=5").json
    assert answer["read_as"]["prep_max"] == 10
    assert answer["total"] == 1
    assert answer["results"][0]["id"] == "sponge-rain"
    assert answer["facets"]["centers"]["water"] == 1


@pytest.mark.parametrize("value", ["x", "-1", "1001", "1e3", "٣"])
def test_a_limit_that_is_none_says_what_is_expected(client, value):
    answer = client.get(f"/api/search?q=a&limit={value}")
    assert answer.status_code == 400
    assert "expected a whole number from 0 to 1000" in answer.json["error"]["message"]


def test_a_card_that_is_not_there_has_the_shape_of_every_error(client):
    answer = client.get("/api/activities/nothing")
    assert answer.status_code == 404
    assert set(answer.json["error"]) == {"status", "message", "problems"}


def test_a_card_carries_json_ld_that_cannot_end_its_element(client, paths):
    text = (paths.activities / "water" / "sponge-rain.md").read_text()
    nasty = text.replace("title: Sponge rain", "title: 'A </script><b>'")
    (paths.activities / "water" / "nasty.md").write_text(nasty)
    page = client.get("/activities/nasty").get_data(as_text=True)
    block = page.split('<script type="application/ld+json">')[1].split("</script>")[0]
    assert json.loads(block)["name"] == "A </script><b>"
