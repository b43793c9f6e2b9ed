"""A client that sends what a page of ours would: the form's token with every change."""

from __future__ import annotations

from flask import Flask
from flask.testing import FlaskClient

from server.formtokens import FIELD, HEADER
from server.security import READING


class Browser(FlaskClient):
    """A client that has opened a page before it sends a form, unless it says which token it has."""

    at = "http://localhost"
    """The server's address."""

    def open(self, *args, **kwargs):
        kwargs.setdefault("base_url", self.at)
        data, headers = kwargs.get("data"), dict(kwargs.get("headers") or {})
        own = HEADER in headers or (isinstance(data, dict) and FIELD in data)
        if kwargs.get("method", "GET").upper() not in READING and not own:
            kwargs["headers"] = {**headers, HEADER: self.token()}
        return super().open(*args, **kwargs)

    def token(self) -> str:
        """The token of this client's session, made as the first page it opened would have made it."""
        with self.session_transaction(base_url=self.at) as session:
            return session.setdefault("token", "token-of-a-test")


def browser_at(app: Flask, address: str) -> Browser:
    """A new browser that reaches an app under an address."""
    browser = Browser(app)
    browser.at = address
    return browser
