"""Slows down whoever asks for far more than a person could, where others can reach the server.

Each address has a bucket that fills again at a steady rate and is drained by what it asks for, so that
a page with all its pictures comes at once and an endless stream of requests does not. Rate and size
are common practice, no source. This machine itself is not slowed down: whoever works at it can do
everything anyway; a proxy on it has to slow down its own guests.
"""

from __future__ import annotations

import math
import threading
import time
from collections.abc import Callable
from functools import partial

from flask import Flask, Response, g, jsonify, render_template, request

AT_ONCE = 600
"""Requests of a full bucket: twenty pages with thirty pictures each."""
A_SECOND = 20.0
"""Requests that flow back in a second."""
MOST_ADDRESSES = 10_000
"""Buckets kept; beyond that the full ones go, and then the oldest."""


class Buckets:
    """What each address may still ask for."""

    def __init__(
        self,
        at_once: int = AT_ONCE,
        a_second: float = A_SECOND,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        """Begins with a full bucket for everybody.

        Args:
            at_once: Requests of a full bucket.
            a_second: Requests that flow back in a second.
            clock: Seconds that only grow.
        """
        self._at_once, self._a_second, self._clock = at_once, a_second, clock
        self._left: dict[str, tuple[float, float]] = {}
        self._one_at_a_time = threading.Lock()

    def take(self, address: str) -> int:
        """Takes one request out; 0, or the seconds to wait where none is left."""
        now = self._clock()
        with self._one_at_a_time:
            left = self._now_in(address, now)
            if left < 1:
                return math.ceil((1 - left) / self._a_second)
            if address not in self._left and len(self._left) >= MOST_ADDRESSES:
                self._forget(now)
            self._left[address] = (left - 1, now)
            return 0

    def _now_in(self, address: str, now: float) -> float:
        left, when = self._left.get(address, (float(self._at_once), now))
        return min(self._at_once, left + (now - when) * self._a_second)

    def _forget(self, now: float) -> None:
        for address in list(self._left):
            if self._now_in(address, now) >= self._at_once:
                del self._left[address]
        while len(self._left) >= MOST_ADDRESSES:
            del self._left[next(iter(self._left))]


def limit_requests(app: Flask, buckets: Buckets) -> None:
    """Has the app refuse who asks too much, before anything else is done for them."""
    app.before_request(partial(refuse_too_many, buckets))


def refuse_too_many(buckets: Buckets) -> Response | None:
    """A short answer with ``Retry-After`` (RFC 9110, 10.2.3) to who asks too much; None otherwise."""
    from server.visitors import STRANGER

    address = request.remote_addr or ""
    if address == "::1" or address.startswith("127."):
        return None
    seconds = buckets.take(address)
    if not seconds:
        return None
    g.visitor = STRANGER  # who it is would be looked up in the database
    said = f"Too many pages were asked for from {address}. Wait a few seconds, then try again."
    if request.path.startswith("/api/"):
        answer = jsonify(error={"status": 429, "message": said, "problems": []})
    else:
        answer = Response(render_template("slower.html", said=said), mimetype="text/html")
    answer.status_code = 429
    answer.headers["Retry-After"] = str(seconds)
    return answer
