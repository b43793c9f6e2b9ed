"""One's own account: the password, and the browsers in which one is signed in."""

from __future__ import annotations

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.accounts.accounts import MustWait, WrongPassword
from library.accounts.people import Person
from library.store.errors import Invalid, NotFound
from server.shelf import shelf
from server.visitors import visitor

bp = Blueprint("own", __name__, url_prefix="/account")


@bp.get("")
def show() -> str:
    """The account of whoever is signed in."""
    return _page(wrong={})


@bp.post("/password")
def change_password() -> ResponseReturnValue:
    """Sets another password and signs the other browsers out."""
    person, form = _person(), request.form
    try:
        shelf().accounts.change_password(
            person, form.get("old-password", ""), form.get("password", ""), visitor().session
        )
    except (WrongPassword, MustWait) as error:
        page = _page(wrong={"old-password": str(error)})
        return page, 429 if isinstance(error, MustWait) else 403
    except Invalid as error:
        return _page(wrong={p.field: f"{p.problem}; {p.fix}" for p in error.problems}), 422
    flash("Your password is changed. Other browsers are signed out.")
    return redirect(url_for("own.show"), 303)


@bp.post("/sessions/end")
def end_session() -> ResponseReturnValue:
    """Signs one of one's other browsers out."""
    number = request.form.get("session", type=int)
    if number not in {session.id for session in shelf().accounts.sessions.of(_person().id)}:
        raise NotFound("this browser is signed out already")
    shelf().accounts.sessions.end(number)
    return redirect(url_for("own.show"), 303)


@bp.post("/sign-out-everywhere")
def sign_out_everywhere() -> ResponseReturnValue:
    """Signs every browser out but this one."""
    ended = shelf().accounts.sessions.end_all(_person().id, but=visitor().session)
    flash(f"{ended} other {'browser is' if ended == 1 else 'browsers are'} signed out.")
    return redirect(url_for("own.show"), 303)


def _page(wrong: dict[str, str]) -> str:
    person = _person()
    return render_template(
        "own/show.html",
        person=person,
        sessions=shelf().accounts.sessions.of(person.id),
        here=visitor().session,
        wrong=wrong,
    )


def _person() -> Person:
    person = visitor().person
    if person is None:
        raise NotFound("nobody signs in on this computer alone, so there is no account to show")
    return person
