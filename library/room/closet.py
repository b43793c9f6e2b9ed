"""Changes what lies on the shelf: each change adds or takes, so that two people lose nothing.

A line of stock holds all there is of a thing, and how much of it is out in the room. Taking out and
putting back move it; what is used up or broken leaves; what arrives comes in.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, RowMapping, func, insert, select, update

from library.materials.amounts import Quantity
from library.materials.material import Weight
from library.materials.measures import Unlike, convert
from library.room import tables as t
from library.room.database import open_database
from library.room.found import lock_room
from library.room.room import StockLine
from library.room.rooms import read_stock_line
from library.store.errors import NotFound, StaleFile, WrongUse


class Move(StrEnum):
    """What a person does at the closet."""

    TAKE_OUT = "take out"
    PUT_BACK = "put back"
    USED_UP = "used up"
    BROKEN = "broken"


@dataclass(frozen=True, slots=True)
class Place:
    """Which line of stock is meant."""

    item: str
    bin: str
    measure: str


def moved(line: StockLine, move: Move, number: Fraction) -> StockLine:
    """A line after a move.

    Args:
        line: The line before.
        move: What is done.
        number: How much, in the measure of the line; more than 0.

    Raises:
        WrongUse: If there is not as much to move; says how much there is.
    """
    most = {Move.TAKE_OUT: line.shelved.number, Move.PUT_BACK: line.out}.get(
        move, line.amount.number
    )
    if not 0 < number <= most:
        raise WrongUse(_too_much(line, move, number, most))
    if move is Move.TAKE_OUT:
        return replace(line, out=line.out + number)
    if move is Move.PUT_BACK:
        return replace(line, out=line.out - number)
    left = line.amount.number - number
    return replace(
        line,
        amount=replace(line.amount, number=left),
        out=max(Fraction(0), line.out - number),
    )


def _too_much(line: StockLine, move: Move, number: Fraction, most: Fraction) -> str:
    measure = line.amount.measure
    where = {Move.TAKE_OUT: "in the bin", Move.PUT_BACK: "out"}.get(move, "there in all")
    return (
        f"{line.item}: found {Quantity(number, measure)} for '{move}', but {Quantity(most, measure)} "
        f"{'is' if most <= 1 else 'are'} {where} now; nothing was changed"
    )


class Closet:
    """The stock of one room in the private database."""

    def __init__(self, database: Path, room: str) -> None:
        """Opens the database; makes or migrates it if need be.

        Args:
            database: File of the private database.
            room: Name of the room.
        """
        self._engine = open_database(database)
        self._room = room

    def move(
        self, place: Place, move: Move, amount: Quantity, weight: Weight | None = None
    ) -> StockLine:
        """Takes out, puts back, or takes away for good.

        Args:
            place: The line.
            move: What is done.
            amount: How much; a bare number is in the measure of the line.
            weight: What the material weighs, for an amount in another kind of measure.

        Returns:
            The line as it is now.

        Raises:
            NotFound: If the line is gone.
            WrongUse: If there is not as much to move.
        """
        return self._change(
            place, lambda line: moved(line, move, _in_measure(amount, line, weight))
        )

    def recount(self, place: Place, counted: Quantity, seen: Fraction) -> StockLine:
        """Writes down what was counted, in place of what was seen before.

        Args:
            place: The line.
            counted: All there is, in the bin and out; a bare number is in the line's measure.
            seen: The number that the person had before them.

        Raises:
            NotFound: If the line is gone.
            StaleFile: If the number is another one by now.
        """

        def write(line: StockLine) -> StockLine:
            if line.amount.number != seen:
                raise StaleFile(
                    f"{line.item}: someone changed it meanwhile, from "
                    f"{Quantity(seen, line.amount.measure)} to {line.amount}; count again"
                )
            number = _in_measure(counted, line, None)
            amount = replace(line.amount, number=number)
            return replace(line, amount=amount, out=min(line.out, number))

        return self._change(place, write)

    def arrive(
        self,
        item: str,
        amount: Quantity,
        bin: str = "",
        *,
        names: Callable[[str], str] = str.casefold,
        weight: Weight | None = None,
        seen: str | None = None,
    ) -> StockLine:
        """Puts away what arrived: into its line in a bin, or as a new line.

        Args:
            item: Main name of the material.
            amount: How much arrived.
            bin: Where it goes.
            names: What all names of one material have in common.
            weight: What the material weighs.
            seen: The mark of all lines of the material that the person had before them (see
                :func:`mark_of_stock`); None: whatever is there, this comes on top.

        Returns:
            The line as it is now.

        Raises:
            StaleFile: If the stock of the material is another one than was seen, as when somebody
                else has put the same parcel away.
        """
        with self._engine.begin() as connection:
            room_id = lock_room(connection, self._room)
            rows = [row for row in self._rows(connection, room_id) if _same(row, item, names)]
            lines = [read_stock_line(row) for row in rows]
            if seen is not None and seen != mark_of_stock(lines):
                there = ", ".join(str(line.amount) for line in lines) or "nothing"
                raise StaleFile(f"{item}: someone changed it meanwhile; there is {there} now")
            for row, line in zip(rows, lines, strict=True):
                number = _fitting(amount, line, weight)
                if line.bin.casefold() == bin.strip().casefold() and number is not None:
                    more = replace(line.amount, number=line.amount.number + number)
                    return _write(connection, row, replace(line, amount=more))
            return self._add(connection, room_id, StockLine(item, amount, bin.strip()))

    def _change(self, place: Place, change: Callable[[StockLine], StockLine]) -> StockLine:
        with self._engine.begin() as connection:
            room_id = lock_room(connection, self._room)
            wanted = (place.item.casefold(), place.bin.casefold(), place.measure)
            for row in self._rows(connection, room_id):
                if (row["item"].casefold(), row["bin"].casefold(), row["measure"]) == wanted:
                    return _write(connection, row, change(read_stock_line(row)))
        raise NotFound(f"{place.item} is not on the shelf list any more; nothing was changed")

    def _rows(self, connection: Connection, room_id: int) -> list[RowMapping]:
        mine = select(t.stock_line).where(t.stock_line.c.room_id == room_id)
        return list(connection.execute(mine.order_by(t.stock_line.c.position)).mappings())

    def _add(self, connection: Connection, room_id: int, line: StockLine) -> StockLine:
        mine = t.stock_line.c.room_id == room_id
        last = connection.scalar(select(func.max(t.stock_line.c.position)).where(mine))
        values = {
            "room_id": room_id,
            "position": 0 if last is None else last + 1,
            "item": line.item,
            "bin": line.bin,
            "measure": line.amount.measure,
            **_numbers(line),
        }
        connection.execute(insert(t.stock_line).values(values))
        return line


def mark_of_stock(lines: list[StockLine] | tuple[StockLine, ...]) -> str:
    """What says whether the amounts of a material are still the same."""
    amounts = ((line.bin.casefold(), line.amount.number, line.amount.measure) for line in lines)
    return "; ".join(f"{bin} {number} {measure}" for bin, number, measure in sorted(amounts))


def _in_measure(amount: Quantity, line: StockLine, weight: Weight | None) -> Fraction:
    if not amount.measure:
        return amount.number
    number = _fitting(amount, line, weight)
    if number is None:
        raise WrongUse(
            f"{line.item}: found {amount}; expected an amount like {line.amount}, or a bare number"
        )
    return number


def _fitting(amount: Quantity, line: StockLine, weight: Weight | None) -> Fraction | None:
    try:
        return convert(amount, line.amount.measure, weight).number
    except Unlike:
        return None


def _same(row: RowMapping, item: str, names: Callable[[str], str]) -> bool:
    return names(row["item"]).casefold() == names(item).casefold()


def _numbers(line: StockLine) -> dict[str, Any]:
    return {"number": str(line.amount.number), "out": str(line.out)}


def _write(connection: Connection, row: RowMapping, line: StockLine) -> StockLine:
    this = t.stock_line.c.id == row["id"]
    connection.execute(update(t.stock_line).where(this).values(_numbers(line)))
    return line
