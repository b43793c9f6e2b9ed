"""Signing in, coming in by a link or a code, and changing a password."""

from __future__ import annotations

import time
from dataclasses import dataclass
from pathlib import Path

from library.accounts.audit import AuditList
from library.accounts.invitations import Invitations
from library.accounts.notices import Notices
from library.accounts.passwords import is_outdated, is_password, keep_password, password_problems
from library.accounts.people import Invitation, Person, Role, name_key
from library.accounts.secondstep import SecondStep
from library.accounts.secrets import hashed, is_same, parted
from library.accounts.sessions import Sessions
from library.accounts.staff import Clock, Staff
from library.accounts.tries import MustWait, Tries
from library.accounts.waiting import FREE_TRIES
from library.room.database import open_database
from library.store.errors import Invalid, LibraryError, NotFound
from library.store.problems import Problem

HALF_WAY = 300
"""Seconds that the second step may take."""
FREE_TRIES_OF_ADDRESS = 20
"""More than for one name, since a whole staff room may share an address."""


class WrongPassword(LibraryError):  # noqa: N818 - as the other refusals are called
    """Name and password do not belong together; which of them is wrong is not said."""


@dataclass(frozen=True, slots=True)
class HalfWay:
    """Somebody whose password was right, on the way to the second step."""

    person: int
    ends: int
    """Seconds since 1970 until which the step may follow."""
    proof: str
    """What becomes wrong when the password is changed meanwhile."""


class NeedsCode(LibraryError):  # noqa: N818 - as the other refusals are called
    """Name and password belong together, and a code is asked for besides."""

    def __init__(self, half_way: HalfWay) -> None:
        """Says so, and carries what leads to the second step."""
        super().__init__("Now the code of your phone.")
        self.half_way = half_way


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
        self.second_step = SecondStep(engine, clock)
        self.notices = Notices(engine, clock)
        self._tries = Tries(engine, clock)
        self._clock = clock

    def sign_in(self, name: str, password: str, caller: Caller) -> tuple[Person, str]:
        """The person, and the secret of a new session.

        Raises:
            MustWait: If earlier tries failed.
            WrongPassword: If name and password do not belong together, or the account is closed.
            NeedsCode: If they do, and this person wants a code besides.
        """
        person = self.staff.named(name)
        key = f"name {name_key(name)[:100]}"
        if person and caller.knows == person.id:
            key = f"known {person.id} {caller.address}"
        self._begin_try(key, caller)
        kept = self.staff.kept_password(person.id) if person and not person.ended else None
        if not is_password(password, kept) or person is None or kept is None:
            self.audit.note("", f"failed to sign in as {name[:60]}", caller.address)
            raise WrongPassword("Name and password do not belong together. Please try again.")
        self._end_try(key, caller)
        if is_outdated(kept):
            self.staff.set_password(person.id, keep_password(password))
        self._ask_for_code(person)
        self.audit.note(person.name, "signed in", caller.address)
        return person, self.sessions.begin(person.id)

    def finish(self, half_way: HalfWay, code: str, caller: Caller) -> tuple[Person, str]:
        """The second step: the person, and the secret of a new session.

        Args:
            half_way: From the first step.
            code: Of the phone, or a spare one.
            caller: Where the try comes from.

        Raises:
            NotFound: If too much time went by, or password or account were changed meanwhile.
            MustWait: If earlier tries failed.
            WrongPassword: If the code does not fit, or was used already.
        """
        person = self.staff.get(half_way.person)
        kept = self.staff.kept_password(person.id) or ""
        if person.ended or self._clock() > half_way.ends or not is_same(kept, half_way.proof):
            raise NotFound("the first step is too long ago; type name and password again")
        key = f"code of {person.id}"
        if caller.knows == person.id:
            key = f"{key} from {caller.address}"
        self._begin_try(key, caller)
        spare = self.second_step.spare_left(person.id)
        if not self.second_step.takes(person.id, code):
            self.audit.note("", f"typed a wrong code for {person.name}", caller.address)
            raise WrongPassword("This code does not fit, or was used already. Type the next one.")
        self._end_try(key, caller)
        self.audit.note(person.name, "signed in with a code", caller.address)
        secret = self.sessions.begin(person.id)
        if self.second_step.spare_left(person.id) < spare:
            self._tell(person, "a spare code was used to sign in", _number(secret))
        return person, secret

    def begin_second_step(self, person: Person, password: str) -> str:
        """A new key for the codes of a phone; it counts once a code of it was typed.

        Raises:
            MustWait: If earlier tries failed.
            WrongPassword: If the password is another one.
            WrongUse: If a code is asked for already.
        """
        self._check_own(person, password)
        return self.second_step.begin(person.id)

    def confirm_second_step(self, person: Person, code: str, session: int) -> tuple[str, ...]:
        """Has a code asked for from now on; the spare codes, which are shown once.

        Raises:
            MustWait: If earlier tries failed.
            WrongPassword: If the code does not fit.
        """
        key = f"first code of {person.id}"
        self._tries.begin({key: FREE_TRIES})
        spare = self.second_step.confirm(person.id, code)
        if not spare:
            raise WrongPassword(
                "This code does not fit. Does the clock of the phone tell the right time?"
            )
        self._tries.succeeded(key)
        self._tell(person, "a code is asked for at sign-in", session)
        self.audit.note(person.name, "has a code asked for at sign-in")
        return spare

    def end_second_step(self, person: Person, password: str, session: int) -> None:
        """Takes the code off one's own account.

        Raises:
            MustWait: If earlier tries failed.
            WrongPassword: If the password is another one.
        """
        self._check_own(person, password)
        self.second_step.end(person.id)
        self._tell(person, "no code is asked for at sign-in any more", session)
        self.audit.note(person.name, "has no code asked for any more")

    def drop_second_step(self, person: Person, by: str = "") -> bool:
        """Takes the code off another person's account; whether there was one.

        Args:
            person: Whose.
            by: Who does it; empty: somebody in the terminal of the computer itself.
        """
        if not self.second_step.end(person.id):
            return False
        who = by or "somebody at the computer itself"
        self._tell(person, f"no code is asked for at sign-in any more: {who} took it off")
        self.audit.note(by, f"took the code at sign-in off the account of {person.name}")
        return True

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
            found = self.with_account(name)
        else:
            leads = [person for person in self.staff.everyone() if person.is_lead]
            if not leads:
                return None
            found = leads[0]
        self.audit.note("", f"a one-time link for {found.name} was made in the terminal")
        return found, self.invitations.let_in(found.id, found.name, found.role)

    def with_account(self, name: str) -> Person:
        """The person of a name whose account is open.

        Raises:
            NotFound: If there is none; says who there is.
        """
        found = self.staff.named(name)
        if found is None or found.ended:
            names = ", ".join(p.name for p in self.staff.everyone() if not p.ended)
            raise NotFound(f"nobody called '{name[:60]}' has an account; there is: {names}")
        return found

    def accept(self, link: str, name: str, password: str, caller: Caller) -> tuple[Person, str]:
        """Makes or opens the account of a link and uses the link up.

        Returns:
            The person, and the secret of a new session.

        Raises:
            NotFound: If the link was used, has ended, or never was.
            Invalid: If name or password will not do; the link can be used again then.
            NameTaken: If somebody has the name.
            MustWait: If too many links were tried from here.
            NeedsCode: If the password is set, and this person wants a code besides.
        """
        self._tries.begin({f"link {caller.address}": FREE_TRIES_OF_ADDRESS})
        invitation = self.invitations.find(link)
        self._tries.succeeded(f"link {caller.address}")
        known = self.staff.get(invitation.person) if invitation.person is not None else None
        called = known.name if known else name
        if problems := password_problems(password, called.split()):
            raise Invalid(problems)
        kept = keep_password(password)
        if known is not None:
            return known, self._let_in_again(known, invitation, kept)
        self.staff.refuse_name(called)
        self.invitations.use_up(invitation.id)
        person = self.staff.add(called, invitation.role, invitation.rooms, kept)
        self.audit.note(person.name, f"came in as {invitation.role.value} by invitation")
        return person, self.sessions.begin(person.id)

    def _let_in_again(self, person: Person, invitation: Invitation, kept: str) -> str:
        """Sets the password of a one-time link; the secret of a new session."""
        self.invitations.use_up(invitation.id)
        self.staff.set_password(person.id, kept)
        self.sessions.end_all(person.id)
        self._tries.succeeded(f"name {name_key(person.name)[:100]}")
        self.audit.note(person.name, "set another password by a one-time link")
        maker = invitation.by or "somebody at the computer itself"
        said = f"your password was changed by a one-time link that {maker} made"
        if self.second_step.is_on(person.id):
            self._tell(person, said)
            self._ask_for_code(person)
        secret = self.sessions.begin(person.id)
        self._tell(person, said, _number(secret))
        return secret

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
        self._check_own(person, old)
        problems = password_problems(new, person.name.split())
        if new == old:
            same = "it is the one you have now"
            problems.append(Problem("", 0, "password", same, "choose another"))
        if problems:
            raise Invalid(problems)
        self.staff.set_password(person.id, keep_password(new))
        self.sessions.end_all(person.id, but=session)
        self.audit.note(person.name, "changed their password")
        self._tell(person, "your password was changed on the page of your account", session)

    def _begin_try(self, key: str, caller: Caller) -> None:
        self._tries.begin({key: FREE_TRIES, f"address {caller.address}": FREE_TRIES_OF_ADDRESS})

    def _end_try(self, key: str, caller: Caller) -> None:
        """Forgets failures on one account; those of an address stay, or one's own would hide them."""
        self._tries.succeeded(key)
        self._tries.take_back(f"address {caller.address}")

    def _check_own(self, person: Person, password: str) -> None:
        key = f"change {person.id}"
        self._tries.begin({key: FREE_TRIES})
        if not is_password(password, self.staff.kept_password(person.id)):
            raise WrongPassword("The password you have now is another one. Nothing was changed.")
        self._tries.succeeded(key)

    def _ask_for_code(self, person: Person) -> None:
        if self.second_step.is_on(person.id):
            kept = self.staff.kept_password(person.id) or ""
            raise NeedsCode(HalfWay(person.id, self._clock() + HALF_WAY, hashed(kept)))

    def _tell(self, person: Person, said: str, session: int = 0) -> None:
        self.notices.tell(person.id, said, session=session)


def _number(secret: str) -> int:
    """The number of the session of a secret."""
    begun = parted(secret)
    return begun[0] if begun else 0


__all__ = ["Accounts", "Caller", "HalfWay", "MustWait", "NeedsCode", "WrongPassword"]
