"""The door: signing in and out, coming in by an invitation, and a tablet by its code."""

from __future__ import annotations

from flask import Blueprint, Response, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.accounts.accounts import MustWait, NeedsCode, WrongPassword
from library.accounts.passwords import password_problems
from library.accounts.sessions import TABLET_LONGEST
from library.store.errors import Invalid, NameTaken, NotFound
from server.errors import code_of
from server.pages import home
from server.permissions import Need
from server.shelf import shelf
from server.visitors import (
    begin_second_step,
    begin_session,
    caller,
    half_way,
    leave,
    people_sign_in,
    visitor,
)

bp = Blueprint("door", __name__)


@bp.get("/sign-in")
def sign_in() -> ResponseReturnValue:
    """Where somebody says who they are."""
    if visitor().standing > Need.ANYONE:
        return redirect(url_for(home()), 303)
    return _door(wrong="")


@bp.post("/sign-in")
def enter() -> ResponseReturnValue:
    """Signs somebody in and leads to the page they asked for."""
    if not people_sign_in():
        return redirect(url_for(home()), 303)
    name, password = request.form.get("name", ""), request.form.get("password", "")
    try:
        person, secret = shelf().accounts.sign_in(name, password, caller())
    except (WrongPassword, MustWait) as error:
        return _door(wrong=str(error)), code_of(error)
    except NeedsCode as error:
        return _to_second_step(error)
    onward = inside(request.form.get("next", ""))
    begin_session(secret, person)
    return redirect(onward or url_for(home()), 303)


@bp.get("/sign-in/code")
def code() -> ResponseReturnValue:
    """The second step, for those who want a code asked for."""
    if visitor().standing > Need.ANYONE:
        return redirect(url_for(home()), 303)
    return _second_step(wrong="") if half_way() else redirect(url_for("door.sign_in"), 303)


@bp.post("/sign-in/code")
def finish() -> ResponseReturnValue:
    """Signs somebody in whose code fits."""
    asked = half_way()
    if asked is None:
        return redirect(url_for("door.sign_in"), 303)
    try:
        person, secret = shelf().accounts.finish(asked, request.form.get("code", ""), caller())
    except (WrongPassword, MustWait) as error:
        return _second_step(wrong=str(error)), code_of(error)
    except NotFound as error:
        leave()
        return _door(wrong=f"{str(error)[:1].upper()}{str(error)[1:]}."), 403
    onward = inside(request.form.get("next", ""))
    begin_session(secret, person)
    return redirect(onward or url_for(home()), 303)


@bp.post("/password-strength")
def judge() -> Response:
    """What is thought of a password that somebody is about to set, in words; nothing is kept.

    Only for who has an account or an invitation, since it takes the computer some work.
    """
    if visitor().person is None:
        shelf().accounts.invitations.find(request.form.get("link", ""))
    name = visitor().name or request.form.get("name", "")
    problems = password_problems(request.form.get("password", ""), name.split())
    said = [f"{each.problem[:1].upper()}{each.problem[1:]}; {each.fix}." for each in problems]
    return Response(said[0] if said else "A guesser would need long for it.", mimetype="text/plain")


@bp.post("/sign-out")
def sign_out() -> ResponseReturnValue:
    """Signs this browser out."""
    leave()
    return redirect(url_for("door.sign_in"), 303)


@bp.get("/join")
def join() -> ResponseReturnValue:
    """An invitation: what it offers, and a name and a password to take it up."""
    return _joining(request.args.get("link", ""))


@bp.post("/join")
def accept() -> ResponseReturnValue:
    """Takes an invitation up."""
    link, name = request.form.get("link", ""), request.form.get("name", "")
    try:
        found = shelf().accounts.accept(link, name, request.form.get("password", ""), caller())
    except Invalid as error:
        said = {problem.field: f"{problem.problem}; {problem.fix}" for problem in error.problems}
        return _joining(link, wrong=said, code=422)
    except NameTaken as error:
        return _joining(link, wrong={"name": str(error)}, code=409)
    except NotFound:
        return _joining(link)
    except NeedsCode as error:
        return _to_second_step(error)
    begin_session(found[1], found[0])
    return redirect(url_for(home()), 303)


@bp.get("/tablet")
def tablet() -> str:
    """Where the code of a shared tablet is typed."""
    return render_template("door/tablet.html", wrong="", days=TABLET_LONGEST // 86_400)


@bp.post("/tablet")
def pair() -> ResponseReturnValue:
    """Lets this tablet show the day of the code's room."""
    try:
        secret = shelf().accounts.pair(request.form.get("code", ""), caller())
    except (NotFound, MustWait) as error:
        page = render_template("door/tablet.html", wrong=str(error), days=TABLET_LONGEST // 86_400)
        return page, 429 if isinstance(error, MustWait) else 403
    begin_session(secret, None)
    return redirect(url_for("today.show"), 303)


def inside(address: str) -> str:
    """An address of this server, as a path; empty for everything that leads elsewhere."""
    plain = address.isprintable() and "\\" not in address
    return address if plain and address.startswith("/") and address[1:2] != "/" else ""


def _door(*, wrong: str) -> str:
    return render_template(
        "door/sign_in.html",
        wrong=wrong,
        name=request.form.get("name", ""),
        onward=inside(request.values.get("next", "")),
        has_lead=shelf().accounts.staff.has_lead(),
    )


def _to_second_step(error: NeedsCode) -> ResponseReturnValue:
    begin_second_step(error.half_way)
    onward = inside(request.form.get("next", ""))
    return redirect(url_for("door.code", next=onward or None), 303)


def _second_step(*, wrong: str) -> str:
    onward = inside(request.values.get("next", ""))
    return render_template("door/code.html", wrong=wrong, onward=onward)


def _joining(
    link: str, *, wrong: dict[str, str] | None = None, code: int = 200
) -> ResponseReturnValue:
    try:
        invitation = shelf().accounts.invitations.find(link)
    except NotFound as error:
        return render_template("door/gone.html", why=str(error)), 404
    name = request.form.get("name", invitation.name)
    page = render_template(
        "door/join.html", link=link, invitation=invitation, wrong=wrong or {}, name=name
    )
    return page, code
