"""One's own account: the password, a code besides, and the browsers in which one is signed in."""

from __future__ import annotations

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.accounts.accounts import MustWait, WrongPassword
from library.accounts.clockcodes import in_fours, setup_address
from library.accounts.people import Person
from library.store.errors import Invalid, NotFound
from server.drawncodes import drawn_code
from server.errors import code_of
from server.figures import read_whole
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
        return _page(wrong={"old-password": str(error)}), code_of(error)
    except Invalid as error:
        return _page(wrong={p.field: f"{p.problem}; {p.fix}" for p in error.problems}), 422
    flash("Your password is changed. Other browsers are signed out.")
    return redirect(url_for("own.show"), 303)


@bp.post("/code/begin")
def begin_code() -> ResponseReturnValue:
    """Makes a key for the codes of one's phone; nothing is asked for until one was typed."""
    try:
        shelf().accounts.begin_second_step(_person(), request.form.get("code-password", ""))
    except (WrongPassword, MustWait) as error:
        return _page(wrong={"code-password": str(error)}), code_of(error)
    return _setting_up(wrong="")


@bp.post("/code")
def confirm_code() -> ResponseReturnValue:
    """Has a code asked for from now on, and shows the spare ones once."""
    person, typed = _person(), request.form.get("code", "")
    try:
        spare = shelf().accounts.confirm_second_step(person, typed, visitor().session)
    except (WrongPassword, MustWait) as error:
        return _setting_up(wrong=str(error)), code_of(error)
    return render_template("own/code.html", spare=spare)


@bp.post("/code/end")
def end_code() -> ResponseReturnValue:
    """Takes the code off one's own account."""
    typed = request.form.get("code-password", "")
    try:
        shelf().accounts.end_second_step(_person(), typed, visitor().session)
    except (WrongPassword, MustWait) as error:
        return _page(wrong={"code-password": str(error)}), code_of(error)
    flash("No code is asked for any more when you sign in.")
    return redirect(url_for("own.show"), 303)


@bp.post("/seen")
def seen() -> ResponseReturnValue:
    """Puts away what was told about one's account."""
    shelf().accounts.notices.seen(_person().id, visitor().session)
    return redirect(url_for("own.show"), 303)


@bp.post("/sessions/end")
def end_session() -> ResponseReturnValue:
    """Signs one of one's other browsers out."""
    number = read_whole(request.form, "session", None)
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
        with_code=shelf().accounts.second_step.is_on(person.id),
        spare_left=shelf().accounts.second_step.spare_left(person.id),
        wrong=wrong,
    )


def _setting_up(wrong: str) -> str:
    """The key, as text and as a picture, and a field for the first code."""
    person = _person()
    key = shelf().accounts.second_step.waiting_key(person.id)
    if key is None:
        raise NotFound("nothing is being set up; begin on the page of your account")
    picture = drawn_code(setup_address(key, person.name))
    return render_template("own/code.html", key=in_fours(key), picture=picture, wrong=wrong)


def _person() -> Person:
    person = visitor().person
    if person is None:
        raise NotFound("nobody signs in on this computer alone, so there is no account to show")
    return person
