"""Keeps rooms in the private database: load, save, choose, and forget."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, RowMapping, Table, delete, func, insert, select, update

from library.materials.amounts import Quantity
from library.room import tables as t
from library.room.database import compact, open_database
from library.room.demo import demo_room
from library.room.found import is_label, is_room
from library.room.room import (
    Block,
    BuyLine,
    Child,
    Loans,
    Policy,
    PrepWindow,
    Room,
    StockLine,
    youngest_months,
)
from library.room.roomfile import RoomFile, read_room
from library.room.unchanged import Unchanged
from library.store.errors import Invalid, NameTaken, NotFound, StaleFile, WrongUse
from library.store.paths import LibraryPaths

LISTS: tuple[Table, ...] = (
    t.child,
    t.block,
    t.prep_window,
    t.closed_day,
    t.adults_on,
    t.stock_line,
    t.buy_line,
    t.policy,
)
NO_ROOM = "no room is known here yet; run 'lowshelf room load FILE.yaml' or open the page /room"


@dataclass(frozen=True, slots=True)
class Cleared:
    """How much the clearing at the end of a year takes away, or took."""

    children: int
    jots: int
    closed_days: int
    other_adults: int
    """Dates with another number of adults."""


class Rooms:
    """The rooms of one data folder."""

    def __init__(self, database: Path) -> None:
        """Opens the database; makes or migrates it if need be.

        Args:
            database: File of the private database.
        """
        self._engine = open_database(database)
        self._unchanged = Unchanged(database)

    def names(self) -> list[str]:
        """The names of all rooms, in order."""
        with self._engine.connect() as connection:
            return list(connection.scalars(select(t.room.c.name).order_by(t.room.c.key)))

    def choose(self, name: str | None = None) -> Room:
        """The room of a name, or the current one (CMD2).

        Raises:
            WrongUse: If there is no room at all, or none of that name; says what to run.
        """
        if name is not None:
            try:
                return self.get(name)
            except NotFound as error:
                raise WrongUse(str(error)) from error
        room = self.current()
        if room is None:
            raise WrongUse(NO_ROOM)
        return room

    def current(self) -> Room | None:
        """The room that is worked with, or None where there is none yet."""
        return self._unchanged.read("current", self._read_current)

    def _read_current(self) -> Room | None:
        with self._engine.connect() as connection:
            row = connection.execute(select(t.room).where(t.room.c.current)).mappings().first()
            return _read(connection, row) if row else None

    def get(self, name: str) -> Room:
        """The room of a name, in any case.

        Raises:
            NotFound: With the rooms there are.
        """
        return self._unchanged.read(("of", name), lambda: self._read_room(name))

    def _read_room(self, name: str) -> Room:
        with self._engine.connect() as connection:
            row = connection.execute(select(t.room).where(is_room(name))).mappings().first()
            if row is None:
                raise NotFound(_unknown(name, self.names()))
            return _read(connection, row)

    def sharing(self, room: Room) -> tuple[Room, ...]:
        """The other rooms that share a room's closet, by name; none where it shares none."""
        if not room.shelf.strip():
            return ()
        mine = room.shelf.strip().casefold()
        with self._engine.connect() as connection:
            rows = connection.execute(select(t.room).order_by(t.room.c.key)).mappings()
            return tuple(
                _read(connection, row)
                for row in rows
                if row["shelf"].strip().casefold() == mine and row["key"] != room.name.casefold()
            )

    def save(self, room: Room, *, make_current: bool = True, was: Room | None = None) -> None:
        """Puts a room in the place of the one of the same name, or adds it (CMD2).

        Jots stay with the room, also those about a child that it no longer lists.

        Args:
            room: The room as it is to be.
            make_current: Whether to work with it from now on.
            was: The room as it was when the change began. What the change leaves as it was is
                then not written, so that what others did to it meanwhile stays.

        Raises:
            NotFound: If the room that was changed is gone.
            StaleFile: If a list that is to be written is another one than in ``was`` by now.
        """
        room = _with_youngest(room, was)
        with self._engine.begin() as connection:
            if make_current or not _count(connection, t.room):
                connection.execute(update(t.room).values(current=False))
                make_current = True
            room_id = connection.scalar(select(t.room.c.id).where(is_room(room.name)))
            if room_id is None and was is not None:
                raise NotFound(_unknown(room.name, self.names()))
            values = _changed(room, was)
            if make_current:
                values["current"] = True
            if room_id is None:
                values.setdefault("current", False)
                room_id = connection.execute(
                    insert(t.room).values(values).returning(t.room.c.id)
                ).scalar_one()
            else:
                connection.execute(update(t.room).where(t.room.c.id == room_id).values(values))
            _write_lists(connection, room_id, room, was)

    def make_current(self, name: str) -> None:
        """Works with another room from now on.

        Raises:
            NotFound: If there is no such room.
        """
        self.get(name)
        with self._engine.begin() as connection:
            connection.execute(update(t.room).values(current=False))
            connection.execute(update(t.room).where(is_room(name)).values(current=True))

    def rename(self, name: str, new: str) -> None:
        """Gives a room another name; everything that is known of it stays with it.

        Raises:
            NotFound: If there is no such room.
            NameTaken: If another room has the new name.
        """
        with self._engine.begin() as connection:
            room_id = self._room_id(connection, name)
            other = connection.scalar(select(t.room.c.id).where(is_room(new)))
            if other not in (None, room_id):
                raise NameTaken(f"there is a room '{new[:60]}' already; choose another name")
            values = {"name": new.strip(), "key": new.strip().casefold()}
            connection.execute(update(t.room).where(t.room.c.id == room_id).values(values))

    def rename_children(self, name: str, labels: Mapping[str, str]) -> None:
        """Gives children other labels, in the room and in its jots; two may swap theirs.

        Args:
            name: The room.
            labels: New label by the old one.

        Raises:
            NotFound: If there is no such room.
        """
        new = {old.strip().casefold(): label.strip() for old, label in labels.items()}
        with self._engine.begin() as connection:
            room_id = self._room_id(connection, name)
            own = select(t.child.c.id, t.child.c.label).where(t.child.c.room_id == room_id)
            for key, label in connection.execute(own).all():
                changed = new.get(label.casefold(), label)
                connection.execute(update(t.child).where(t.child.c.id == key).values(label=changed))
            mine = select(t.jot.c.id).where(t.jot.c.room_id == room_id)
            here = t.jot_child.c.jot_id.in_(mine)
            pairs = connection.execute(select(t.jot_child).where(here)).all()
            connection.execute(delete(t.jot_child).where(here))
            renamed = {(jot, new.get(label.casefold(), label)) for jot, label in pairs}
            for jot, label in sorted(renamed):
                connection.execute(insert(t.jot_child).values(jot_id=jot, label=label))

    def remove(self, name: str) -> None:
        """Removes a room with everything that is known of it, its jots included.

        Raises:
            NotFound: If there is no such room.
        """
        self.get(name)
        with self._engine.begin() as connection:
            connection.execute(delete(t.room).where(is_room(name)))
            left = connection.scalar(select(t.room.c.id).order_by(t.room.c.key))
            has_current = connection.scalar(select(t.room.c.id).where(t.room.c.current))
            if left is not None and has_current is None:
                connection.execute(update(t.room).where(t.room.c.id == left).values(current=True))
        compact(self._engine)

    def remove_child(self, name: str, label: str) -> None:
        """Removes what is known of a child; counts stay.

        Jots about that child alone lose their words but keep date, activity and answer; in jots
        about several children the label goes.

        Raises:
            NotFound: If the room does not know the label.
        """
        with self._engine.begin() as connection:
            room_id = self._room_id(connection, name)
            same = is_label(t.child.c.label, label)
            known = delete(t.child).where(t.child.c.room_id == room_id, same)
            removed = connection.execute(known).rowcount
            mentioned = _forget_in_jots(connection, room_id, label.strip())
            if not removed and not mentioned:
                raise NotFound("this room knows no child of that label")
        compact(self._engine)

    def clear_year(self, name: str, before: dt.date, *, only_count: bool = False) -> Cleared:
        """Clears a room at the end of a year: children, jots and dates that lie behind.

        Stock, buying list, windows, the day and the centers stay.

        Args:
            name: The room.
            before: Closed days and dates with other adults before this day go.
            only_count: Say what would go and change nothing.

        Raises:
            NotFound: If there is no such room.
        """
        with self._engine.begin() as connection:
            room_id = self._room_id(connection, name)
            parts = [
                (table, (table.c.room_id == room_id) & past)
                for table, past in (
                    (t.child, t.child.c.id > 0),
                    (t.jot, t.jot.c.id > 0),
                    (t.closed_day, t.closed_day.c.day < before),
                    (t.adults_on, t.adults_on.c.day < before),
                )
            ]
            cleared = Cleared(
                *(connection.scalar(select(func.count()).where(which)) or 0 for _, which in parts)
            )
            if only_count:
                return cleared
            for table, which in parts:
                connection.execute(delete(table).where(which))
        compact(self._engine)
        return cleared

    def load_demo(self, today: dt.date) -> Room:
        """Adds the example room and works with it.

        Raises:
            NameTaken: If the team has a room of its own of that name.
        """
        room = demo_room(today)
        with self._engine.connect() as connection:
            own = select(t.room.c.id).where(is_room(room.name), t.room.c.demo.is_(False))
            if connection.scalar(own) is not None:
                raise NameTaken(f"you have a room '{room.name}' of your own; it stays as it is")
        self.save(room)
        return room

    def remove_demo(self) -> bool:
        """Removes the room that was loaded as an example; False where there is none."""
        with self._engine.connect() as connection:
            name = connection.scalar(select(t.room.c.name).where(t.room.c.demo))
        if name is None:
            return False
        self.remove(name)
        return True

    def labels(self, names: Iterable[str] | None = None) -> tuple[str, ...]:
        """The labels of the children in rooms, and those that their jots mention.

        Args:
            names: Which rooms; all unless said.
        """
        in_room, of_jot = select(t.child.c.label), select(t.jot_child.c.label)
        if names is not None:
            keys = [name.strip().casefold() for name in names]
            which = select(t.room.c.id).where(t.room.c.key.in_(keys))
            jots = select(t.jot.c.id).where(t.jot.c.room_id.in_(which))
            in_room = in_room.where(t.child.c.room_id.in_(which))
            of_jot = of_jot.where(t.jot_child.c.jot_id.in_(jots))
        with self._engine.connect() as connection:
            found = [*connection.scalars(in_room), *connection.scalars(of_jot)]
        return tuple(sorted(set(found)))

    def _room_id(self, connection: Connection, name: str) -> int:
        room_id = connection.scalar(select(t.room.c.id).where(is_room(name)))
        if room_id is None:
            raise NotFound(_unknown(name, self.names()))
        return int(room_id)


def load_room_file(path: Path, paths: LibraryPaths) -> RoomFile:
    """Reads a room file and keeps its room as the current one (CMD2).

    Raises:
        WrongUse: If the file is missing, or lies inside the library folder, which is shared
            (CMD5).
        Invalid: If it has problems; nothing is kept then.
    """
    where = path.expanduser().resolve()
    if where.is_relative_to(paths.folder) and not where.is_relative_to(paths.data):
        raise WrongUse(
            f"{path.name} lies inside the library folder, which is shared, and a room file names "
            f"children; move it out first, for example into {paths.data}"
        )
    try:
        text = where.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise WrongUse(f"there is no file {path}") from None
    except (UnicodeDecodeError, OSError) as error:
        raise WrongUse(f"{path} cannot be read as UTF-8 text; save it again as UTF-8") from error
    read = read_room(text, path.name)
    if read.problems:
        raise Invalid(read.problems)
    Rooms(paths.database).save(read.room)
    return read


def _unknown(name: str, known: Iterable[str]) -> str:
    there = ", ".join(known)
    hint = f"there is: {there}" if there else NO_ROOM
    return f"there is no room '{name[:60]}'; {hint}"


def _count(connection: Connection, table: Table) -> int:
    return connection.scalar(select(func.count()).select_from(table)) or 0


def _room_row(room: Room) -> dict[str, object]:
    return {
        "name": room.name,
        "demo": room.demo,
        "adults": room.adults,
        "open": list(room.open),
        "centers": list(room.centers),
        "languages": list(room.languages),
        "rules": room.rules,
        "prep_as_it_took": room.prep_as_it_took,
        "loan_days": room.loans.days,
        "loan_ahead": room.loans.ahead,
        "loan_hold": room.loans.hold,
        "shelf": room.shelf,
        "units": list(room.units),
        "zone": room.zone,
    }


def _changed(room: Room, was: Room | None) -> dict[str, object]:
    """The columns of a room to write: all, or those that a change touches and its name.

    The name is always written, so that another writer waits from the first statement on.
    """
    values = {**_room_row(room), "key": room.name.casefold()}
    if was is None:
        return values
    before = _room_row(was)
    return {
        key: value for key, value in values.items() if key == "name" or value != before.get(key)
    }


def _write_lists(connection: Connection, room_id: int, room: Room, was: Room | None) -> None:
    rows, before = _list_rows(room), _list_rows(was) if was else None
    for table in LISTS:
        if before is not None and before[table] == rows[table]:
            continue
        if before is not None and not _still(connection, room_id, table, before[table]):
            raise StaleFile("the room was changed by someone else meanwhile; nothing was saved")
        connection.execute(delete(table).where(table.c.room_id == room_id))
        for position, row in enumerate(rows[table]):
            values = {"room_id": room_id, "position": position, **row}
            connection.execute(insert(table).values(values))


def _still(connection: Connection, room_id: int, table: Table, rows: list[dict[str, Any]]) -> bool:
    """Whether a list holds the same rows as before."""
    wanted = select(table).where(table.c.room_id == room_id).order_by(table.c.position)
    now = connection.execute(wanted).mappings().all()
    own = {"id", "room_id", "position"}
    return [{k: v for k, v in row.items() if k not in own} for row in now] == rows


def _with_youngest(room: Room, was: Room | None) -> Room:
    """The room, each decision with how old the youngest child was on its day.

    A decision that stood there before keeps what it had; a page for all of them knows no ages.
    """
    before = {(policy.kind, policy.on): policy.youngest for policy in was.policies} if was else {}

    def known(policy: Policy) -> Policy:
        if policy.youngest is not None:
            return policy
        there = (c for c in room.staying(policy.on) if c.since is None or c.since <= policy.on)
        now = youngest_months(there, policy.on)
        return replace(policy, youngest=before.get((policy.kind, policy.on), now))

    return replace(room, policies=tuple(map(known, room.policies)))


def _list_rows(room: Room) -> dict[Table, list[dict[str, Any]]]:
    return {
        t.child: [_child_row(child) for child in room.children],
        t.block: [
            {"name": b.name, "start": b.start, "end": b.end, "kind": b.kind} for b in room.day
        ],
        t.prep_window: [_window_row(window) for window in room.prep_windows],
        t.closed_day: [{"day": day} for day in sorted(room.closed)],
        t.adults_on: [{"day": day, "adults": number} for day, number in room.adults_on],
        t.stock_line: [_stock_row(line) for line in room.stock],
        t.buy_line: [_buy_row(line) for line in room.buy],
        t.policy: [
            {"kind": p.kind, "note": p.note, "by": p.by, "day": p.on, "youngest": p.youngest}
            for p in room.policies
        ],
    }


def _child_row(child: Child) -> dict[str, Any]:
    return {
        "label": child.label,
        "birth_year": child.born[0],
        "birth_month": child.born[1],
        "allergens": list(child.allergens),
        "days": list(child.days),
        "since": child.since,
        "until": child.until,
    }


def _window_row(window: PrepWindow) -> dict[str, Any]:
    return {
        "days": list(window.days),
        "start": window.start,
        "end": window.end,
        "adults": window.adults,
        "away": window.away,
    }


def _stock_row(line: StockLine) -> dict[str, Any]:
    return {
        "item": line.item,
        "number": str(line.amount.number),
        "measure": line.amount.measure,
        "bin": line.bin,
        "out": str(line.out),
    }


def _buy_row(line: BuyLine) -> dict[str, Any]:
    return {
        "item": line.item,
        "pack_number": str(line.pack.number) if line.pack else None,
        "pack_measure": line.pack.measure if line.pack else None,
        "price": None if line.price is None else str(line.price),
        "delivery_days": line.delivery_days,
        "shop": line.shop,
    }


def _read(connection: Connection, row: RowMapping) -> Room:
    lists: dict[Table, list[RowMapping]] = {
        table: list(
            connection.execute(
                select(table).where(table.c.room_id == row["id"]).order_by(table.c.position)
            ).mappings()
        )
        for table in LISTS
    }
    return Room(
        name=row["name"],
        adults=row["adults"],
        children=tuple(_child(each) for each in lists[t.child]),
        day=tuple(Block(r["name"], r["start"], r["end"], r["kind"]) for r in lists[t.block]),
        prep_windows=tuple(
            PrepWindow(tuple(r["days"]), r["start"], r["end"], r["adults"], r["away"])
            for r in lists[t.prep_window]
        ),
        open=tuple(row["open"]),
        closed=frozenset(each["day"] for each in lists[t.closed_day]),
        centers=tuple(row["centers"]),
        rules=row["rules"],
        languages=tuple(row["languages"]),
        stock=tuple(read_stock_line(each) for each in lists[t.stock_line]),
        buy=tuple(_buy(each) for each in lists[t.buy_line]),
        policies=tuple(
            Policy(r["kind"], r["note"], r["by"], r["day"], r["youngest"]) for r in lists[t.policy]
        ),
        adults_on=tuple((each["day"], each["adults"]) for each in lists[t.adults_on]),
        loans=Loans(row["loan_days"], row["loan_ahead"], row["loan_hold"]),
        shelf=row["shelf"],
        units=tuple(row["units"]),
        zone=row["zone"],
        prep_as_it_took=row["prep_as_it_took"],
        demo=row["demo"],
    )


def _child(row: RowMapping) -> Child:
    return Child(
        label=row["label"],
        born=(row["birth_year"], row["birth_month"]),
        allergens=tuple(row["allergens"]),
        days=tuple(row["days"]),
        since=row["since"],
        until=row["until"],
    )


def read_stock_line(row: RowMapping) -> StockLine:
    """A line of stock out of its row."""
    amount = Quantity(Fraction(row["number"]), row["measure"])
    return StockLine(row["item"], amount, row["bin"], Fraction(row["out"]))


def _buy(row: RowMapping) -> BuyLine:
    pack = row["pack_number"] and Quantity(Fraction(row["pack_number"]), row["pack_measure"])
    price = None if row["price"] is None else Decimal(row["price"])
    return BuyLine(row["item"], pack or None, price, row["delivery_days"], row["shop"])


def _forget_in_jots(connection: Connection, room_id: int, label: str) -> bool:
    """Takes a label out of a room's jots; whether there was one."""
    same = is_label(t.jot_child.c.label, label)
    mine = select(t.jot.c.id).where(t.jot.c.room_id == room_id)
    about = list(
        connection.scalars(select(t.jot_child.c.jot_id).where(same, t.jot_child.c.jot_id.in_(mine)))
    )
    connection.execute(delete(t.jot_child).where(same, t.jot_child.c.jot_id.in_(about)))
    for jot_id in about:
        others = connection.scalar(select(func.count()).where(t.jot_child.c.jot_id == jot_id))
        words = connection.scalar(select(t.jot.c.words).where(t.jot.c.id == jot_id)) or ""
        without = re.sub(rf"(?<!\w){re.escape(label)}(?!\w)", "…", words, flags=re.IGNORECASE)
        connection.execute(
            update(t.jot).where(t.jot.c.id == jot_id).values(words=without if others else "")
        )
    return bool(about)
