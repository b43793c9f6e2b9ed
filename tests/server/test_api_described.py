"""The API keeps to its own description, whatever is asked of a running server."""

from __future__ import annotations

import datetime as dt

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from schemathesis.specs.openapi.checks import positive_data_acceptance

from library.accounts.accounts import Accounts
from library.accounts.people import Role
from library.room.rooms import Rooms
from server import create_app
from server.openapi import ENDPOINTS
from server.settings import load_settings
from server.visitors import KEY
from tests.browser.places import starter_library
from tests.served import Served

BEYOND_A_SCHEMA = {"/api/units/{theme_id}/{name}/clone": [positive_data_acceptance]}
"""A start on a Monday, a theme that is there and a name that is free: no schema can ask for them, and
400 says in words which of them is wrong."""
asked_some = settings(max_examples=6, deadline=None, suppress_health_check=list(HealthCheck))
asked_much = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))


@pytest.fixture(scope="module")
def described(tmp_path_factory):
    """The description as a server over the starter library and its demo room serves it."""
    paths = starter_library(tmp_path_factory.mktemp("described"))
    Rooms(paths.database).load_demo(dt.date.today())
    served = Served(paths)
    try:
        yield schemathesis.openapi.from_url(f"{served.wait().url}/api/openapi.json")
    finally:
        served.stop()


@pytest.mark.parametrize("path", [endpoint.path for endpoint in ENDPOINTS])
def test_no_answer_breaks_the_description_and_none_is_a_failure_of_ours(described, path):
    @asked_much
    @given(case=described[path]["GET"].as_strategy())
    def asks(case):
        case.call_and_validate(excluded_checks=BEYOND_A_SCHEMA.get(path, []))

    asks()


OPEN_TO_ALL = {"/api/status"}
NOT_FOR_READERS = {"/api/units/{theme_id}/{name}/clone", "/api/review"}
ROLES = {"stranger": 401, "tablet": 403, "reader": None, "contributor": None, "lead": None}
"""Who asks → the answer to all but what is open to everybody; None: what the description says."""


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    """A server that others can reach, and a cookie for each kind of visitor."""
    paths = starter_library(tmp_path_factory.mktemp("house"))
    room = Rooms(paths.database).load_demo(dt.date.today()).name
    served = Served(paths, "--host", "0.0.0.0", "--without-https")
    settings = load_settings(paths, {}, host="0.0.0.0", port=served.port)
    app, accounts = create_app(settings), Accounts(paths.database)
    secrets = {"stranger": "", "tablet": accounts.sessions.begin_tablet("Shelf", room)}
    for role in Role:
        person = accounts.staff.add(role.value, role, (room,), "no password")
        secrets[role.value] = accounts.sessions.begin(person.id)
    cookies = {}
    for name, secret in secrets.items():
        client = app.test_client()
        with client.session_transaction() as session:
            session[KEY] = secret
        cookies[name] = f"{settings.cookie}={client.get_cookie(settings.cookie).value}"
    try:
        url = f"{served.wait().url}/api/openapi.json"
        yield schemathesis.openapi.from_url(url, headers={"Cookie": cookies["lead"]}), cookies
    finally:
        served.stop()


@pytest.mark.parametrize("role", ROLES)
def test_whoever_asks_the_answers_keep_to_the_description(house, role):
    described, cookies = house

    def ask(path):
        @asked_some
        @given(case=described[path]["GET"].as_strategy())
        def asks(case):
            answer = case.call_and_validate(
                headers={"Cookie": cookies[role]}, excluded_checks=BEYOND_A_SCHEMA.get(path, [])
            )
            refused = answer.status_code if answer.status_code in {401, 403} else None
            usual = 403 if role == "reader" and path in NOT_FOR_READERS else ROLES[role]
            assert refused == (None if path in OPEN_TO_ALL else usual), path

        asks()

    for endpoint in ENDPOINTS:
        ask(endpoint.path)
