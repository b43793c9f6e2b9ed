"""A log of what was asked for, where others can reach the server. It never holds what was asked *about*.

What stands behind the question mark of an address is left out, since people type into it, and so are
posted fields, cookies and where a link came from.
"""

from __future__ import annotations

import datetime as dt
import os
import threading
from pathlib import Path
from urllib.parse import quote

from flask import Flask, Response, request

from server.visitors import people_sign_in, visitor

LARGEST = 1_000_000
"""Bytes after which a new file is begun; one older file is kept beside it."""


class AccessLog:
    """One file, readable by its owner only."""

    def __init__(self, file: Path) -> None:
        """Opens nothing yet."""
        self._file = file
        self._one_at_a_time = threading.Lock()

    def write(self, line: str) -> None:
        """Adds a line."""
        with self._one_at_a_time:
            if self._file.is_file() and self._file.stat().st_size > LARGEST:
                self._file.replace(self._file.with_suffix(".old.log"))
            self._file.parent.mkdir(parents=True, exist_ok=True)
            ends = os.open(self._file, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
            with os.fdopen(ends, "a", encoding="utf-8") as file:
                file.write(line + "\n")


def keep_log(app: Flask, file: Path) -> None:
    """Has every answer logged, where people sign in."""
    log = AccessLog(file)

    def note(response: Response) -> Response:
        if people_sign_in():
            log.write(line_of(response.status_code, dt.datetime.now(dt.UTC)))
        return response

    app.after_request(note)


def line_of(code: int, now: dt.datetime) -> str:
    """One line: when, from where, who, what, and how it ended.

    Signs that could begin a new line or hide something are written as ``%`` and their number.
    """
    who = quote(visitor().name, safe=" ") or "-"
    path = quote(request.path, safe="/")
    moment = now.strftime("%Y-%m-%dT%H:%M:%SZ")
    return f"{moment} {request.remote_addr} [{who}] {request.method} {path} {code}"
