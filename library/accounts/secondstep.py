"""The second step of signing in: a code of one's phone after the password, for those who want it."""

from __future__ import annotations

import secrets

from sqlalchemy import Engine, delete, func, insert, select, update

from library.accounts.clockcodes import DIGITS, fitting_step, new_key
from library.accounts.secrets import hashed
from library.accounts.staff import Clock
from library.room import tables as t
from library.store.errors import WrongUse

SPARE_CODES = 8
"""Codes to keep on paper for the day the phone is lost; common practice, no source."""
_SIGNS = "abcdefghjkmnpqrstuvwxyz23456789"
"""Signs that nobody takes for another."""
_SPARE_LENGTH = 12
"""Signs of a spare code: 59 bits, so that its hash tells nothing."""


class SecondStep:
    """Keys and spare codes.

    A key has to be kept as it is, since codes are made from it; the file can be read by its owner only.
    Of the spare codes the hashes are kept.
    """

    def __init__(self, engine: Engine, clock: Clock) -> None:
        """Takes an open database."""
        self._engine = engine
        self._clock = clock

    def is_on(self, person_id: int) -> bool:
        """Whether a code is asked for when this person signs in."""
        return self._key(person_id, confirmed=True) is not None

    def whose(self) -> frozenset[int]:
        """The numbers of the people of whom a code is asked."""
        with self._engine.connect() as connection:
            on = t.second_step.c.since.is_not(None)
            return frozenset(connection.scalars(select(t.second_step.c.person_id).where(on)))

    def begin(self, person_id: int) -> str:
        """A new key that counts once a code of it was typed.

        Raises:
            WrongUse: If there is one that counts already.
        """
        if self.is_on(person_id):
            raise WrongUse("a code is asked for already; take it off before you set it up anew")
        key = new_key()
        with self._engine.begin() as connection:
            unused = (t.second_step.c.person_id == person_id) & t.second_step.c.since.is_(None)
            connection.execute(delete(t.second_step).where(unused))
            values = {"person_id": person_id, "key": key, "last_step": -1}
            connection.execute(insert(t.second_step).values(values))
        return key

    def waiting_key(self, person_id: int) -> str | None:
        """The key of which no code was typed yet."""
        return self._key(person_id, confirmed=False)

    def confirm(self, person_id: int, code: str) -> tuple[str, ...]:
        """Has the waiting key count from now on, if the code is one of its.

        Returns:
            The spare codes, which are shown once; none if the code does not fit.
        """
        if self.waiting_key(person_id) is None or not self._use_clock_code(person_id, code):
            return ()
        spare = tuple(_new_spare() for _ in range(SPARE_CODES))
        with self._engine.begin() as connection:
            own = t.second_step.c.person_id == person_id
            connection.execute(update(t.second_step).where(own).values(since=self._clock()))
            connection.execute(delete(t.spare_code).where(t.spare_code.c.person_id == person_id))
            rows = [{"person_id": person_id, "secret": hashed(_plain(each))} for each in spare]
            connection.execute(insert(t.spare_code), rows)
        return spare

    def takes(self, person_id: int, code: str) -> bool:
        """Whether a code of the phone or a spare one fits; it is used up then."""
        if not self.is_on(person_id):
            return False
        return self._use_clock_code(person_id, code) or self._use_spare(person_id, code)

    def spare_left(self, person_id: int) -> int:
        """How many spare codes were not used yet."""
        with self._engine.connect() as connection:
            own = t.spare_code.c.person_id == person_id
            return connection.scalar(select(func.count()).where(own)) or 0

    def end(self, person_id: int) -> bool:
        """Takes the step off; whether it was on."""
        was = self.is_on(person_id)
        with self._engine.begin() as connection:
            for table in (t.second_step, t.spare_code):
                connection.execute(delete(table).where(table.c.person_id == person_id))
        return was

    def _key(self, person_id: int, *, confirmed: bool) -> str | None:
        since = t.second_step.c.since
        state = since.is_not(None) if confirmed else since.is_(None)
        with self._engine.connect() as connection:
            own = (t.second_step.c.person_id == person_id) & state
            return connection.scalar(select(t.second_step.c.key).where(own))

    def _use_clock_code(self, person_id: int, code: str) -> bool:
        digits = _plain(code)
        if len(digits) != DIGITS:
            return False
        with self._engine.begin() as connection:
            own = t.second_step.c.person_id == person_id
            row = connection.execute(select(t.second_step).where(own)).mappings().one()
            step = fitting_step(row["key"], digits, self._clock(), row["last_step"])
            if step is None:
                return False
            # Of two tries in one moment only one finds the step unused.
            unused = own & (t.second_step.c.last_step < step)
            used = update(t.second_step).where(unused).values(last_step=step)
            return bool(connection.execute(used).rowcount)

    def _use_spare(self, person_id: int, code: str) -> bool:
        with self._engine.begin() as connection:
            own = t.spare_code.c.person_id == person_id
            same = own & (t.spare_code.c.secret == hashed(_plain(code)))
            return bool(connection.execute(delete(t.spare_code).where(same)).rowcount)


def _new_spare() -> str:
    signs = "".join(secrets.choice(_SIGNS) for _ in range(_SPARE_LENGTH))
    return "-".join(signs[at : at + 4] for at in range(0, _SPARE_LENGTH, 4))


def _plain(code: str) -> str:
    """A code as it counts, however it was typed."""
    return "".join(sign for sign in code.lower() if sign in _SIGNS or sign in "01")
