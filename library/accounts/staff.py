"""Keeps the people of a library and the rooms they work in."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from sqlalchemy import Connection, Engine, RowMapping, delete, func, insert, select, update
from sqlalchemy.exc import IntegrityError

from library.accounts.people import Person, Role, name_key, name_problems
from library.room import tables as t
from library.store.errors import Invalid, NameTaken, NotFound, WrongUse

Clock = Callable[[], int]
"""Seconds since 1970."""


class Staff:
    """Everybody with an account."""

    def __init__(self, engine: Engine, clock: Clock) -> None:
        """Takes an open database."""
        self._engine = engine
        self._clock = clock

    def everyone(self) -> list[Person]:
        """All people by name, those whose account is closed included."""
        with self._engine.connect() as connection:
            rows = connection.execute(select(t.person).order_by(t.person.c.key)).mappings()
            return [read_person(connection, row) for row in rows.all()]

    def has_lead(self) -> bool:
        """Whether somebody can decide who comes in."""
        with self._engine.connect() as connection:
            return _leads(connection) > 0

    def several_write(self) -> bool:
        """Whether more than one person with an open account may write cards."""
        return len([person for person in self.everyone() if person.may_write]) > 1

    def get(self, person_id: int) -> Person:
        """The person of a number.

        Raises:
            NotFound: If there is none.
        """
        with self._engine.connect() as connection:
            return _person(connection, person_id)

    def named(self, name: str) -> Person | None:
        """The person of a name, in any case; None if there is none."""
        with self._engine.connect() as connection:
            found = select(t.person).where(t.person.c.key == name_key(name))
            row = connection.execute(found).mappings().first()
            return read_person(connection, row) if row else None

    def refuse_name(self, name: str) -> None:
        """Refuses a name that cannot be one, or that somebody has.

        Raises:
            Invalid: If it cannot be one.
            NameTaken: If somebody has it.
        """
        if problems := name_problems(name):
            raise Invalid(problems)
        if other := self.named(name):
            raise NameTaken(
                f"somebody is called '{other.name}' here already; add a letter or a second name"
            )

    def kept_password(self, person_id: int) -> str | None:
        """The hash of a person's password; None where there is none."""
        with self._engine.connect() as connection:
            return connection.scalar(select(t.person.c.password).where(t.person.c.id == person_id))

    def add(self, name: str, role: Role, rooms: Iterable[str], password: str) -> Person:
        """Makes an account.

        Args:
            name: How the team calls this person.
            role: What they may do.
            rooms: Names of the rooms they work in; unknown ones are left out.
            password: Its hash.

        Raises:
            Invalid: If the name cannot be one.
            NameTaken: If somebody has it.
        """
        self.refuse_name(name)
        try:
            return self._insert(name, role, rooms, password)
        except IntegrityError:  # somebody took the name between the question and the answer
            self.refuse_name(name)
            raise

    def _insert(self, name: str, role: Role, rooms: Iterable[str], password: str) -> Person:
        with self._engine.begin() as connection:
            values = {
                "name": " ".join(name.split()),
                "key": name_key(name),
                "role": role.value,
                "password": password,
                "made": self._clock(),
            }
            made = insert(t.person).values(values).returning(t.person.c.id)
            number = connection.execute(made).scalar_one()
            _write_rooms(connection, number, rooms)
            return _person(connection, number)

    def set_password(self, person_id: int, password: str) -> None:
        """Puts another hash in the place of a person's."""
        with self._engine.begin() as connection:
            _person(connection, person_id)
            changed = update(t.person).where(t.person.c.id == person_id)
            connection.execute(changed.values(password=password))

    def change(self, person_id: int, role: Role, rooms: Iterable[str]) -> Person:
        """Gives a person another role and other rooms.

        Raises:
            NotFound: If there is no such person.
            WrongUse: If nobody would be left who decides.
        """
        with self._engine.begin() as connection:
            before = _person(connection, person_id)
            if before.is_lead and role is not Role.LEAD:
                _keep_a_lead(connection)
            changed = update(t.person).where(t.person.c.id == person_id)
            connection.execute(changed.values(role=role.value))
            _write_rooms(connection, person_id, rooms)
            return _person(connection, person_id)

    def end(self, person_id: int) -> None:
        """Closes an account; everything that lets this person in goes with it.

        Raises:
            NotFound: If there is no such person.
            WrongUse: If nobody would be left who decides.
        """
        with self._engine.begin() as connection:
            if _person(connection, person_id).is_lead:
                _keep_a_lead(connection)
            changed = update(t.person).where(t.person.c.id == person_id)
            connection.execute(changed.values(ended=self._clock(), password=None))
            ways = (t.signed_in, t.invitation, t.second_step, t.spare_code)
            for table in (*ways, t.account_notice, t.person_room):
                connection.execute(delete(table).where(table.c.person_id == person_id))

    def open_again(self, person_id: int) -> None:
        """Opens a closed account; it has neither password nor rooms until it is given some."""
        with self._engine.begin() as connection:
            _person(connection, person_id)
            changed = update(t.person).where(t.person.c.id == person_id)
            connection.execute(changed.values(ended=None))


def read_person(connection: Connection, row: RowMapping) -> Person:
    """A person out of a row."""
    own = t.person_room.c.person_id == row["id"]
    rooms = select(t.room.c.name).join(t.person_room).where(own).order_by(t.room.c.key)
    return Person(
        id=row["id"],
        name=row["name"],
        role=Role(row["role"]),
        rooms=tuple(connection.scalars(rooms)),
        ended=row["ended"] is not None,
    )


def room_numbers(connection: Connection, names: Iterable[str]) -> list[int]:
    """The numbers of rooms by their names; unknown names are left out."""
    keys = [name.strip().casefold() for name in names]
    return list(connection.scalars(select(t.room.c.id).where(t.room.c.key.in_(keys))))


def _person(connection: Connection, person_id: int) -> Person:
    row = connection.execute(select(t.person).where(t.person.c.id == person_id)).mappings().first()
    if row is None:
        raise NotFound("there is no such person here; the list of people shows who there is")
    return read_person(connection, row)


def _write_rooms(connection: Connection, person_id: int, names: Iterable[str]) -> None:
    connection.execute(delete(t.person_room).where(t.person_room.c.person_id == person_id))
    for room_id in room_numbers(connection, names):
        connection.execute(insert(t.person_room).values(person_id=person_id, room_id=room_id))


def _leads(connection: Connection) -> int:
    open_leads = (t.person.c.role == Role.LEAD.value) & t.person.c.ended.is_(None)
    return connection.scalar(select(func.count()).where(open_leads)) or 0


def _keep_a_lead(connection: Connection) -> None:
    if _leads(connection) < 2:
        raise WrongUse("this is the only lead; make somebody else a lead first")
