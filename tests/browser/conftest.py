"""A real server on a free port and a real Chromium in front of it."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from tests.browser.places import starter_library
from tests.builders import CARD_TEXT, write_library
from tests.served import Served

CHROMIUM = (
    shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
)
REQUIRED = os.environ.get("LOWSHELF_BROWSER") == "required"
PATIENCE = 30_000
"""Milliseconds that a test waits for what it expects; on a busy machine a page may take seconds."""
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-sync",
    "--disable-component-update",
    "--no-first-run",
]


def pytest_collection_modifyitems(items):
    for item in items:
        if Path(item.fspath).is_relative_to(Path(__file__).parent):
            item.add_marker("browser")


@pytest.fixture(scope="session")
def chromium():
    if CHROMIUM is None:
        if REQUIRED:
            pytest.fail("LOWSHELF_BROWSER=required, but no Chromium was found")
        pytest.skip("no Chromium on this machine")
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=PATIENCE)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def serve(chromium, tmp_path):
    """Starts servers over library folders and ends them after the test."""
    running: list[Served] = []

    def start(paths, *options: str) -> Served:
        running.append(Served(paths, *options))
        return running[-1].wait()

    yield start
    for served in running:
        served.stop()


@pytest.fixture
def starter(tmp_path):
    """A copy of the starter library, with an empty data folder."""
    return starter_library(tmp_path)


@pytest.fixture
def small(tmp_path):
    """A library of one card."""
    return write_library(tmp_path, {"water/sponge-rain.md": CARD_TEXT})


@pytest.fixture
def page(chromium):
    """A page of 1280 by 900 that fails its test on any error in the console or request elsewhere.

    The console speaks of an answer some time after the page has shown it. So a test that provokes
    a refusal says so in ``page.provoked``, and what was said is looked at when all is over.
    """
    yield from _page(chromium, width=1280, height=900)


@pytest.fixture
def phone(chromium):
    """A page of 390 by 844, with a finger instead of a mouse."""
    yield from _page(chromium, width=390, height=844, has_touch=True)


@pytest.fixture
def scriptless(chromium):
    """A page with JavaScript off."""
    yield from _page(chromium, width=1280, height=900, java_script_enabled=False)


def _page(chromium, *, width, height, **options):
    options = {
        "ignore_https_errors": True,
        **options,
    }  # a server's own certificate is tested elsewhere
    context = chromium.new_context(viewport={"width": width, "height": height}, **options)
    page = context.new_page()
    wrong: list[str] = []
    page.on("console", lambda said: wrong.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on(
        "request",
        lambda asked: wrong.append(f"asked {asked.url}") if _elsewhere(asked.url) else None,
    )
    page.wrong = wrong
    page.provoked = []
    yield page
    context.close()
    assert [said for said in wrong if not any(each in said for each in page.provoked)] == []


def _elsewhere(url: str) -> bool:
    ours = ("http://127.0.0.1:", "https://127.0.0.1:", "about:", "blob:", "data:")
    return not url.startswith(ours)
