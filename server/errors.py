"""One place that turns what the library refuses into an answer a person can use."""

from __future__ import annotations

from flask import Flask, Response, jsonify, render_template, request
from werkzeug.exceptions import HTTPException

from library.store.errors import (
    IndexBusy,
    Invalid,
    LibraryError,
    NameTaken,
    NotFound,
    StaleFile,
    UnsafePath,
    WrongUse,
)

CODES: tuple[tuple[type[LibraryError], int], ...] = (
    (NotFound, 404),
    (StaleFile, 409),
    (NameTaken, 409),
    (Invalid, 422),
    (UnsafePath, 400),
    (WrongUse, 400),
    (IndexBusy, 503),
    (LibraryError, 500),
)
"""First match counts; subclasses before the base."""
TITLES = {
    400: "That could not be read",
    403: "Not from here",
    404: "Not found",
    405: "Not like this",
    409: "Someone was faster",
    413: "Too large",
    422: "Please look at this again",
    500: "Something broke",
    503: "Busy just now",
}


def register_errors(app: Flask) -> None:
    """Registers the handlers; pages get a page, ``/api/`` gets JSON of one shape."""
    app.register_error_handler(LibraryError, answer_library_error)
    app.register_error_handler(HTTPException, answer_http_error)


def answer_library_error(error: LibraryError) -> tuple[Response | str, int]:
    """The answer to something the library refused."""
    code = next(code for kind, code in CODES if isinstance(error, kind))
    problems = (
        [problem.as_json() for problem in error.problems] if isinstance(error, Invalid) else []
    )
    return _answer(code, str(error), problems)


def answer_http_error(error: HTTPException) -> tuple[Response | str, int]:
    """The answer to a request that found no page or was refused."""
    code = error.code or 500
    text = error.description or ""
    if code == 404:
        text = "There is no page at this address. It may have moved, or the link has a slip."
    return _answer(code, text, [])


def _answer(
    code: int, text: str, problems: list[dict[str, str | int]]
) -> tuple[Response | str, int]:
    if request.path.startswith("/api/"):
        return jsonify(error={"status": code, "message": text, "problems": problems}), code
    title = TITLES.get(code, "That did not work")
    return render_template("error.html", title=title, text=text, problems=problems), code
