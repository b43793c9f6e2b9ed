"""Signing in, coming in by a link or a code, and changing a password."""

from __future__ import annotations

import time
from dataclasses import dataclass
from pathlib import Path

from library.accounts.audit import AuditList
from library.accounts.invitations import Invitations
from library.accounts.passwords import is_outdated, is_password, keep_password, password_problems
from library.accounts.people import Person, Role, name_key
from library.accounts.sessions import Sessions
from library.accounts.staff import Clock, Staff
from library.accounts.tries import MustWait, Tries
from library.accounts.waiting import FREE_TRIES
from library.room.database import open_database
from library.store.errors import Invalid, LibraryError, NotFound
from library.store.problems import Problem

FREE_TRIES_OF_ADDRESS = 20
"""More than for one name, since a whole staff room may share an address."""


class WrongPassword(LibraryError):  # noqa: N818 - as the other refusals are called
    """Name and password do not belong together; which of them is wrong is not said."""


@dataclass(frozen=True, slots=True)
class Caller:
    """Where a try comes from."""

    address: str
    knows: int | None = None
    """The person who has signed in in this browser before; such a browser waits only for its own
    failures, so that a stranger who tries a name over and over keeps nobody out."""


class Accounts:
    """The accounts of one library, in its private database."""

    def __init__(self, database: Path, clock: Clock = lambda: int(time.time())) -> None:
        """Opens the database; makes or migrates it if need be.

        Args:
            database: File of the private database.
            clock: Seconds since 1970.
        """
        engine = open_database(database)
        self.staff = Staff(engine, clock)
        self.invitations = Invitations(engine, clock)
        self.sessions = Sessions(engine, clock)
        self.audit = AuditList(engine, clock)
        self._tries = Tries(engine, clock)

    def sign_in(self, name: str, password: str, caller: Caller) -> tuple[Person, str]:
        """The person, and the secret of a new session.

        Raises:
            MustWait: If earlier tries failed.
            WrongPassword: If name and password do not belong together, or the account is closed.
        """
        person = self.staff.named(name)
        key = f"name {name_key(name)[:100]}"
        if person and caller.knows == person.id:
            key = f"known {person.id} {caller.address}"
        self._tries.begin({key: FREE_TRIES, f"address {caller.address}": FREE_TRIES_OF_ADDRESS})
        kept = self.staff.kept_password(person.id) if person and not person.ended else None
        if not is_password(password, kept) or person is None or kept is None:
            self.audit.note("", f"failed to sign in as {name[:60]}", caller.address)
            raise WrongPassword("Name and password do not belong together. Please try again.")
        self._tries.succeeded(key)
        if is_outdated(kept):
            self.staff.set_password(person.id, keep_password(password))
        self.audit.note(person.name, "signed in", caller.address)
        return person, self.sessions.begin(person.id)

    def first_link(self) -> str | None:
        """The secret part of a link that makes the lead's account; None where there is a lead."""
        if self.staff.has_lead():
            return None
        self.invitations.withdraw_first()
        return self.invitations.invite("", Role.LEAD, ())

    def link_for(self, name: str = "") -> tuple[Person, str] | None:
        """A person and the secret part of a link with which they come in and set another password.

        Args:
            name: Who; the first lead unless said.

        Raises:
            NotFound: If nobody of this name has an open account.
        """
        if name:
            found = self.staff.named(name)
            if found is None or found.ended:
                names = ", ".join(p.name for p in self.staff.everyone() if not p.ended)
                raise NotFound(f"nobody called '{name[:60]}' has an account; there is: {names}")
        else:
            leads = [person for person in self.staff.everyone() if person.is_lead]
            if not leads:
                return None
            found = leads[0]
        self.audit.note("", f"a one-time link for {found.name} was made in the terminal")
        return found, self.invitations.let_in(found.id, found.name, found.role)

    def accept(self, link: str, name: str, password: str, caller: Caller) -> tuple[Person, str]:
        """Makes or opens the account of a link and uses the link up.

        Returns:
            The person, and the secret of a new session.

        Raises:
            NotFound: If the link was used, has ended, or never was.
            Invalid: If name or password will not do; the link can be used again then.
            NameTaken: If somebody has the name.
            MustWait: If too many links were tried from here.
        """
        self._tries.begin({f"link {caller.address}": FREE_TRIES_OF_ADDRESS})
        invitation = self.invitations.find(link)
        self._tries.succeeded(f"link {caller.address}")
        known = self.staff.get(invitation.person) if invitation.person is not None else None
        called = known.name if known else name
        if problems := password_problems(password, called.split()):
            raise Invalid(problems)
        kept = keep_password(password)
        if known is None:
            self.staff.refuse_name(called)
            self.invitations.use_up(invitation.id)
            person = self.staff.add(called, invitation.role, invitation.rooms, kept)
            self.audit.note(person.name, f"came in as {invitation.role.value} by invitation")
        else:
            self.invitations.use_up(invitation.id)
            person = known
            self.staff.set_password(person.id, kept)
            self.sessions.end_all(person.id)
            self._tries.succeeded(f"name {name_key(person.name)[:100]}")
            self.audit.note(person.name, "came in by a one-time link and set another password")
        return person, self.sessions.begin(person.id)

    def pair(self, code: str, caller: Caller) -> str:
        """The secret of a session of the tablet on which a code was typed.

        Raises:
            NotFound: If the code was used, has ended, or never was.
            MustWait: If too many codes were tried.
        """
        keys = {"code": FREE_TRIES_OF_ADDRESS, f"code {caller.address}": FREE_TRIES}
        self._tries.begin(keys)
        invitation = self.invitations.find_code(code)
        self.invitations.use_up(invitation.id)
        self._tries.succeeded(*keys)
        room = invitation.rooms[0] if invitation.rooms else ""
        self.audit.note(invitation.name, f"a tablet now shows the day of {room}")
        return self.sessions.begin_tablet(invitation.name, room)

    def change_password(self, person: Person, old: str, new: str, session: int) -> None:
        """Gives a person another password and ends their other sessions.

        Raises:
            MustWait: If earlier tries failed.
            WrongPassword: If the old password is another one.
            Invalid: If the new one will not do.
        """
        key = f"change {person.id}"
        self._tries.begin({key: FREE_TRIES})
        if not is_password(old, self.staff.kept_password(person.id)):
            raise WrongPassword("The password you have now is another one. Nothing was changed.")
        self._tries.succeeded(key)
        problems = password_problems(new, person.name.split())
        if new == old:
            same = "it is the one you have now"
            problems.append(Problem("", 0, "password", same, "choose another"))
        if problems:
            raise Invalid(problems)
        self.staff.set_password(person.id, keep_password(new))
        self.sessions.end_all(person.id, but=session)
        self.audit.note(person.name, "changed their password")


__all__ = ["Accounts", "Caller", "MustWait", "WrongPassword"]
