"""What every answer and every request must keep to, from the first day."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from urllib.parse import urlsplit

from flask import Flask, Response, abort, request

from server.settings import LOOPBACK

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "font-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
"""Nothing from another host, nothing inline."""
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}
HANDED_ON = ("Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Real-IP", "Via")
"""What proxies add; RFC 7239, RFC 9110, and common practice."""
READING = {"GET", "HEAD", "OPTIONS"}


def guard(app: Flask, names: Iterable[str], *, alone: bool) -> None:
    """Adds the checks to an app.

    A page elsewhere must not reach a local server under another name, so the Host header has to
    be one of ours; nor may it send changes here, so their origin is looked at.

    Args:
        app: The app.
        names: Names and addresses the server answers to.
        alone: Whether only this machine can reach it, so that nobody signs in.
    """
    app.before_request(partial(refuse_foreign_names, frozenset(names)))
    app.before_request(refuse_foreign_changes)
    if alone:
        app.before_request(refuse_proxies)
    app.after_request(add_headers)


def refuse_foreign_names(ours: frozenset[str]) -> None:
    """Refuses a request for a host name that is not one of ours."""
    name = host_in(f"//{request.headers.get('Host', '')}")
    if name not in ours:
        abort(400, "Lowshelf answers only under its own address, shown where it was started.")


def host_in(address: str) -> str | None:
    """The name of the host in an address; None where it has none or is no address."""
    try:
        return urlsplit(address).hostname
    except ValueError:
        return None


def refuse_proxies() -> None:
    """Refuses what a proxy hands on to a server at which nobody signs in."""
    if any(name in request.headers for name in HANDED_ON):
        abort(
            403,
            "A proxy stands before this server, and at this server nobody signs in. Start it with "
            "--host and an address of this computer, so that people do.",
        )


def refuse_foreign_changes() -> None:
    """Refuses a change that another site asked a browser to send."""
    if request.method in READING:
        return
    site = request.headers.get("Sec-Fetch-Site")
    origin = request.headers.get("Origin")
    if site is not None and site not in {"same-origin", "none"}:
        abort(403, "This change was sent by a page of another site, so nothing was changed.")
    if origin is not None and origin.partition("://")[2] != request.host:
        abort(403, "This change was sent by a page of another site, so nothing was changed.")


def keep_out_of_caches(response: Response) -> Response:
    """Lets no browser keep an answer; for pages that may name children, and those that age at once."""
    response.headers["Cache-Control"] = "no-store"
    return response


def add_headers(response: Response) -> Response:
    """The same headers on every answer; JSON is a download besides, so that no browser shows it as a page.

    Browsers are told to keep to https, except on this machine itself: they would keep to it for every
    port of ``localhost``, and so for a server that is started without it later.
    """
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    if request.path.startswith("/api/"):
        response.headers.setdefault("Content-Disposition", 'attachment; filename="api.json"')
    if request.is_secure and host_in(f"//{request.host}") not in LOOPBACK:
        response.headers.setdefault("Strict-Transport-Security", "max-age=31536000")
    return response
