"""The API keeps to its own description, whatever is asked of a running server."""

from __future__ import annotations

import datetime as dt

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings

from library.room.rooms import Rooms
from server.openapi import ENDPOINTS
from tests.browser.places import starter_library
from tests.served import Served

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
        case.call_and_validate()

    asks()
