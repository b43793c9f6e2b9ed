"""People: who may come in, what they may do, and what was done."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from markupsafe import Markup

from library.accounts.people import Invitation, Person, Role, SignedIn
from library.store.errors import NotFound, WrongUse
from server.drawncodes import drawn_code
from server.figures import read_whole
from server.shelf import shelf
from server.visitors import say_done, visitor

bp = Blueprint("people", __name__, url_prefix="/people")
PAGE = 100
"""Entries of the list that are shown at once."""


@dataclass(frozen=True, slots=True)
class Handed:
    """A link or a code that was just made; it is shown once."""

    about: str
    link: str = ""
    code: str = ""

    @property
    def picture(self) -> Markup:
        """The link as a QR code, to be read by the phone of whom it is for."""
        return drawn_code(self.link)


@dataclass(frozen=True, slots=True)
class PeoplePage:
    """Everything the page shows."""

    people: tuple[Person, ...]
    gone: tuple[Person, ...]
    """Those whose account is closed."""
    waiting: tuple[Invitation, ...]
    tablets: tuple[SignedIn, ...]
    with_code: frozenset[int]
    """Numbers of the people of whom a code is asked at sign-in."""
    rooms: tuple[str, ...]
    roles: tuple[Role, ...]
    handed: Handed | None


@bp.get("")
def index() -> str:
    """Everybody, and who is invited."""
    return _page(None)


@bp.post("/invite")
def invite() -> str:
    """Makes a link that lets a new person in once."""
    name = " ".join(request.form.get("name", "").split())
    shelf().accounts.staff.refuse_name(name)
    link = shelf().accounts.invitations.invite(name, _role(), _rooms())
    say_done(f"invited {name} as {_role().value} of {', '.join(_rooms()) or 'no room'}")
    about = f"For {name}. It makes their account, once, within a week."
    return _page(Handed(about, link=_address(link)))


@bp.post("/withdraw")
def withdraw() -> ResponseReturnValue:
    """Takes an invitation or a code back."""
    shelf().accounts.invitations.use_up(read_whole(request.form, "invitation", 0))
    return _back("It lets nobody in any more.")


@bp.post("/<int:person_id>")
def change(person_id: int) -> ResponseReturnValue:
    """Gives somebody another role and other rooms."""
    person = shelf().accounts.staff.change(person_id, _role(), _rooms())
    rooms = ", ".join(person.rooms) or "no room"
    say_done(f"made {person.name} a {person.role.value} of {rooms}")
    return _back(f"{person.name}: saved.")


@bp.post("/<int:person_id>/end")
def end(person_id: int) -> ResponseReturnValue:
    """Closes an account."""
    shelf().accounts.staff.end(person_id)
    say_done(f"closed the account of {shelf().accounts.staff.get(person_id).name}")
    return _back("The account is closed. Nobody gets in with it any more.")


@bp.post("/<int:person_id>/open")
def open_again(person_id: int) -> ResponseReturnValue:
    """Opens a closed account again; it has no password until its link is used."""
    shelf().accounts.staff.open_again(person_id)
    say_done(f"opened the account of {shelf().accounts.staff.get(person_id).name} again")
    return _back("The account is open again. Make a link for it, so that a password can be set.")


@bp.post("/<int:person_id>/link")
def link(person_id: int) -> str:
    """Makes a link with which somebody sets another password, once."""
    person = shelf().accounts.staff.get(person_id)
    if person.ended:
        raise WrongUse("this account is closed; open it again first")
    accounts, by = shelf().accounts, visitor().name
    made = accounts.invitations.let_in(person.id, person.name, person.role, by)
    say_done(f"made a one-time link for {person.name}")
    about = f"For {person.name}. It sets another password, once, within a day."
    return _page(Handed(about, link=_address(made)))


@bp.post("/<int:person_id>/sign-out")
def sign_out(person_id: int) -> ResponseReturnValue:
    """Signs somebody out in every browser."""
    person = shelf().accounts.staff.get(person_id)
    shelf().accounts.sessions.end_all(person.id)
    say_done(f"signed {person.name} out everywhere")
    return _back(f"{person.name} is signed out everywhere.")


@bp.post("/<int:person_id>/without-code")
def without_code(person_id: int) -> ResponseReturnValue:
    """Takes the code at sign-in off somebody's account, whose phone was lost."""
    person = shelf().accounts.staff.get(person_id)
    if not shelf().accounts.drop_second_step(person, visitor().name):
        raise NotFound(f"no code is asked of {person.name} already")
    return _back(f"No code is asked of {person.name} any more. They are told when they sign in.")


@bp.post("/tablets")
def pair() -> str:
    """Makes a code for a tablet that shows the day of a room."""
    name, room = request.form.get("name", "").strip()[:60], request.form.get("room", "")
    code = shelf().accounts.invitations.pair_tablet(name or "Tablet", room)
    about = (
        f"Type it on the tablet within a quarter of an hour. It will show only the day of {room}."
    )
    return _page(Handed(about, code=code))


@bp.post("/tablets/end")
def end_tablet() -> ResponseReturnValue:
    """Ends a tablet."""
    number = read_whole(request.form, "tablet", None)
    if number not in {tablet.id for tablet in shelf().accounts.sessions.tablets()}:
        raise NotFound("this tablet shows nothing any more already")
    shelf().accounts.sessions.end(number)
    return _back("The tablet shows nothing any more.")


@bp.get("/list")
def audit() -> str:
    """What was done by whom, the latest in front."""
    before = read_whole(request.args, "before", None)
    entries = shelf().accounts.audit.latest(PAGE, before)
    older = entries[-1].id if len(entries) == PAGE else None
    return render_template("people/audit.html", entries=entries, older=older, before=before)


def _page(handed: Handed | None) -> str:
    everyone, accounts = shelf().accounts.staff.everyone(), shelf().accounts
    page = PeoplePage(
        people=tuple(person for person in everyone if not person.ended),
        gone=tuple(person for person in everyone if person.ended),
        waiting=tuple(accounts.invitations.waiting()),
        tablets=tuple(accounts.sessions.tablets()),
        with_code=accounts.second_step.whose(),
        rooms=tuple(shelf().rooms.names()),
        roles=tuple(Role),
        handed=handed,
    )
    return render_template("people/index.html", page=page)


def _role() -> Role:
    said = request.form.get("role", "")
    if said not in {role.value for role in Role}:
        names = ", ".join(role.value for role in Role)
        raise WrongUse(f"role: found '{said[:20]}'; expected one of {names}")
    return Role(said)


def _rooms() -> list[str]:
    return request.form.getlist("rooms")


def _address(link: str) -> str:
    return url_for("door.join", link=link, _external=True)


def _back(said: str) -> ResponseReturnValue:
    flash(said)
    return redirect(url_for("people.index"), 303)
