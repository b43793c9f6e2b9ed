"""A visitor who walks through a served app: every page within reach, and forms as they stand."""

from __future__ import annotations

import urllib.error
import urllib.parse
import urllib.request
from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from http.client import HTTPMessage
from http.cookiejar import CookieJar

from bs4 import BeautifulSoup
from flask import Flask
from werkzeug.exceptions import HTTPException

from tests.server.pages import filled


@dataclass
class Answer:
    """What came back from an address."""

    address: str
    """Path and query."""
    endpoint: str
    """The route that answers there; empty where there is none."""
    status: int
    headers: HTTPMessage
    body: bytes

    @property
    def text(self) -> str:
        """The body as text."""
        return self.body.decode("utf-8", "replace")

    @cached_property
    def page(self) -> BeautifulSoup:
        """The body as a page."""
        return BeautifulSoup(self.body, "html.parser")

    @property
    def is_page(self) -> bool:
        """Whether it is HTML."""
        return self.headers.get_content_type() == "text/html"

    def addresses(self) -> list[str]:
        """Every address that this answer would lead a browser to, also by its forms."""
        found = [self.headers["Location"]] if self.headers["Location"] else []
        if not self.is_page:
            return found
        for name in ("href", "src", "action", "formaction"):
            found += [tag[name] for tag in self.page.select(f"[{name}]")]
        for form in self.page.select("form"):
            if form.get("method", "get").lower() == "get":
                fields = [(i["name"], i.get("value", "")) for i in form.select("input[name]")]
                fields += [
                    (o.parent.get("name", ""), o.get("value", o.text)) for o in form("option")
                ]
                found += [urllib.parse.urlencode([pair]) for pair in fields]
        return found


class Visitor:
    """A browser without a window. It remembers every answer."""

    def __init__(self, url: str, app: Flask) -> None:
        self.url, self.answers = url, list[Answer]()
        self._routes = app.url_map.bind("127.0.0.1")
        self.cookies = CookieJar()
        self._opener = urllib.request.build_opener(
            urllib.request.HTTPCookieProcessor(self.cookies), _Stay()
        )

    def get(self, address: str) -> Answer:
        """Asks for an address, without following where it leads."""
        return self._ask(address, None)

    def post(self, address: str, fields) -> Answer:
        """Sends fields to an address."""
        pairs = (
            list(fields.items(multi=True)) if hasattr(fields, "poplist") else list(fields.items())
        )
        return self._ask(address, urllib.parse.urlencode(pairs).encode())

    def send(self, answer: Answer, selector: str, **changes: str) -> Answer:
        """Sends a form of a page as it stands, with some fields changed."""
        form = answer.page.select_one(selector)
        assert form is not None, f"{answer.address} has no {selector}"
        fields = filled(answer.page, selector)
        for name, value in changes.items():
            fields.setlist(name, [value])
        return self.post(form.get("action") or answer.address, fields)

    def walk(self, *starts: str, most: int) -> None:
        """Follows every link from some addresses, to at most so many answers of each route."""
        waiting, known, often = list(starts), set(starts), Counter[str]()
        while waiting:
            address = waiting.pop(0)
            endpoint = self.endpoint(address)
            if endpoint == "static" or often[endpoint] >= most:
                continue
            often[endpoint] += 1
            answer = self.get(address)
            for link in answer.page.select("a[href]") if answer.is_page else ():
                to = urllib.parse.urljoin(self.url + address, link["href"]).split("#")[0]
                if to.startswith(self.url) and (path := to.removeprefix(self.url)) not in known:
                    known.add(path)
                    waiting.append(path)

    def endpoint(self, address: str, method: str = "GET") -> str:
        """The route that answers an address."""
        path = urllib.parse.unquote(address.split("?")[0])
        try:
            return str(self._routes.match(path, method=method)[0])
        except HTTPException:
            return ""

    def _ask(self, address: str, data: bytes | None) -> Answer:
        request = urllib.request.Request(self.url + address, data=data)
        try:
            with self._opener.open(request, timeout=60) as reply:
                status, headers, body = reply.status, reply.headers, reply.read()
        except urllib.error.HTTPError as reply:
            status, headers, body = reply.code, reply.headers, reply.read()
        endpoint = self.endpoint(address, "POST" if data is not None else "GET")
        self.answers.append(Answer(address, endpoint, status, headers, body))
        return self.answers[-1]


class _Stay(urllib.request.HTTPRedirectHandler):
    """Follows no redirect: where it leads is looked at first."""

    def redirect_request(self, *_):
        return None
