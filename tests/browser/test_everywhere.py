"""One page of every kind that links lead to: it fits a phone, and axe finds nothing wrong with it."""

from __future__ import annotations

import datetime as dt
from urllib.parse import urljoin, urlsplit

import pytest
from werkzeug.exceptions import HTTPException
from werkzeug.routing import RequestRedirect

from library.room.comments import Comments
from library.room.rooms import Rooms
from server import create_app
from server.settings import load_settings
from tests.library.cards.test_photos import a_photo

PHONE = {"width": 390, "height": 844}
ENOUGH = 25
"""Kinds of pages that are there at the least; fewer means that the walk has lost its way."""


class Walk:
    """Follows links, one page of each route, from the first page on."""

    def __init__(self, paths) -> None:
        app = create_app(load_settings(paths, {}))
        self._routes = app.url_map.bind("127.0.0.1")
        self._seen: set[str] = set()
        self._ahead: list[str] = []

    def found(self, addresses) -> None:
        """Keeps those that lead to a kind of page that was not seen yet."""
        for address in addresses:
            endpoint = self._endpoint(address)
            if endpoint and endpoint not in self._seen:
                self._seen.add(endpoint)
                self._ahead.append(address)

    def __iter__(self):
        while self._ahead:
            yield self._ahead.pop(0)

    def _endpoint(self, address: str) -> str | None:
        """The route of an address, or None for what is no page of ours."""
        path = urlsplit(address).path
        if path.startswith(("/static/", "/api/")) or "." in path.rpartition("/")[2]:
            return None
        try:
            return self._routes.match(path, method="GET")[0]
        except (HTTPException, RequestRedirect):
            return None


def leave_work(paths) -> None:
    """Leaves something for every part of Review: a draft that is spoken of, a twin, a torn file, a picture."""
    water = paths.activities / "water"
    text = (water / "sponge-rain.md").read_text(encoding="utf-8")
    draft = text.replace("title: Sponge rain", "title: Foam hills")
    draft = draft.replace("status: ready", "status: draft")
    (water / "foam-hills.md").write_text(draft, encoding="utf-8")
    (water / "torn.md").write_text("---\ntitle: [torn\n", encoding="utf-8")
    (water / "lone-1.jpg").write_bytes(a_photo())
    Comments(paths.database).add("foam-hills", "Longer brushes for the little ones?", "Ada")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_kind_of_page_fits_a_phone_and_axe_finds_nothing(serve, starter, chromium, scheme):
    """Source of the rules: axe-core, those for WCAG 2 A and AA and its best practices."""
    from axe_playwright_python.sync_playwright import Axe

    Rooms(starter.database).load_demo(dt.date.today())
    leave_work(starter)
    served = serve(starter)
    walk = Walk(starter)
    walk.found(
        [
            "/?q=sponges+under+ten+minutes",
            "/activities/foam-hills",
            "/activities/foam-hills/file",
            "/review",
            "/review/alike?kept=foam-hills&gone=sponge-rain",
            "/units/leaves-and-wind/2025-fall",
        ]
    )
    context = chromium.new_context(color_scheme=scheme, viewport=PHONE, bypass_csp=True)
    page = context.new_page()
    wrong, visited = {}, 0
    for address in walk:
        page.goto(urljoin(served.url, address))
        visited += 1
        links = page.eval_on_selector_all("a[href]", "all => all.map(a => a.href)")
        walk.found(link for link in links if link.startswith(served.url))
        wide = page.evaluate("document.documentElement.scrollWidth")
        violations = Axe().run(page).response["violations"]
        faults = [(each["id"], each["nodes"][0]["html"][:120]) for each in violations]
        if wide > PHONE["width"]:
            faults.append(("wider than a phone", str(wide)))
        if faults:
            wrong[address] = faults
    context.close()
    assert wrong == {}
    assert visited >= ENOUGH
