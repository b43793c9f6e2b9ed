"""One place that turns what the library refuses into an answer a person can use."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Flask, Response, jsonify, make_response, render_template, request
from werkzeug.exceptions import HTTPException

from library.accounts.accounts import MustWait, WrongPassword
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
from library.store.problems import Unreadable
from server.formtokens import FIELD, SEEN_AGAIN
from server.permissions import Need, rule_of

CODES: tuple[tuple[type[LibraryError], int], ...] = (
    (NotFound, 404),
    (StaleFile, 409),
    (NameTaken, 409),
    (Invalid, 422),
    (UnsafePath, 400),
    (WrongUse, 400),
    (IndexBusy, 503),
    (MustWait, 429),
    (WrongPassword, 403),
    (LibraryError, 500),
)
"""First match counts; subclasses before the base."""
TITLES = {
    400: "That could not be read",
    401: "Please sign in",
    403: "Not open to you",
    404: "Not found",
    405: "Not like this",
    409: "Someone was faster",
    413: "Too large",
    422: "Please look at this again",
    429: "Please wait a moment",
    500: "Something broke",
    503: "Busy just now",
}


@dataclass(frozen=True, slots=True)
class Again:
    """A change that was refused for want of a sign-in, ready to be sent again."""

    url: str
    fields: tuple[tuple[str, str], ...]
    sign_in: bool
    """Whether somebody has to sign in first."""
    left_out: bool
    """Whether something was sent that is not kept."""


def register_errors(app: Flask) -> None:
    """Registers the handlers; pages get a page, ``/api/`` gets JSON of one shape."""
    app.register_error_handler(LibraryError, answer_library_error)
    app.register_error_handler(HTTPException, answer_http_error)
    app.register_error_handler(Unreadable, answer_unreadable)


def code_of(error: LibraryError) -> int:
    """The status with which something that the library refused is answered."""
    return next(code for kind, code in CODES if isinstance(error, kind))


def answer_library_error(error: LibraryError) -> tuple[Response, int]:
    """The answer to something the library refused."""
    code = code_of(error)
    problems = (
        [problem.as_json() for problem in error.problems] if isinstance(error, Invalid) else []
    )
    answer, code = _answer(code, str(error), problems)
    if isinstance(error, MustWait):
        answer.headers["Retry-After"] = str(error.seconds)
    return answer, code


def answer_unreadable(error: Unreadable) -> tuple[Response, int]:
    """The answer to a value that no form of ours would send, such as one that a list does not have."""
    return _answer(422, f"{error}.", [])


def answer_http_error(error: HTTPException) -> tuple[Response, int]:
    """The answer to a request that found no page or was refused."""
    code = error.code or 500
    text = error.description or ""
    if code == 404:
        text = "There is no page at this address. It may have moved, or the link has a slip."
    return _answer(code, text, [])


def _answer(code: int, text: str, problems: list[dict[str, str | int]]) -> tuple[Response, int]:
    if request.path.startswith("/api/"):
        return jsonify(error={"status": code, "message": text, "problems": problems}), code
    title = TITLES.get(code, "That did not work")
    again = _to_send_again(code, text)
    page = render_template("error.html", title=title, text=text, problems=problems, again=again)
    return make_response(page), code


def _to_send_again(code: int, text: str) -> Again | None:
    """What was typed, where only being signed in was missing; a click sends it with a new token."""
    lost = code == 401 or (code == 403 and text == SEEN_AGAIN)
    if request.method != "POST" or not lost or request.endpoint is None:
        return None
    if rule_of(request.endpoint).need is Need.ANYONE:
        return None
    hidden = {name for name in request.form if "password" in name or name == FIELD}
    fields = [pair for pair in request.form.items(multi=True) if pair[0] not in hidden]
    left_out = bool(request.files or hidden - {FIELD})
    return Again(request.full_path.rstrip("?"), tuple(fields), code == 401, left_out)
