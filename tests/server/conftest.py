"""An app over a small library, and its client."""

import pytest

from server import create_app
from server.settings import load_settings
from tests.builders import CARD_TEXT, write_library
from tests.server.browsing import Browser


@pytest.fixture
def paths(tmp_path):
    """A library of one card."""
    return write_library(tmp_path, {"water/sponge-rain.md": CARD_TEXT})


@pytest.fixture
def app(paths):
    """An app that has read its library."""
    app = create_app(load_settings(paths, {}, watch=False))
    app.test_client_class = Browser
    app.extensions["lowshelf"].refresh()
    return app


@pytest.fixture
def client(app):
    return app.test_client()
