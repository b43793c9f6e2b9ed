"""Changes units for the pages: one fingerprint a change, every version kept, the last taken back."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock

from library.history.versions import History
from library.store.errors import Invalid, LibraryError, StaleFile
from library.units.comparing import compare_units
from library.units.editing import Edited
from library.units.folder import ReadUnit, UnitFolder
from library.units.parsing import parse_unit
from library.units.unit import Unit
from server.visitors import who_saves

MAX_UNDO = 40
"""Changes of one unit that can be taken back, one after the other."""
MAX_TEXTS = 200
"""Texts kept to show what someone meant who was overtaken; an older one is shown in words only."""


class Overtaken(StaleFile):
    """A change that came second: the plan is another one than it was made on."""

    def __init__(
        self,
        theirs: ReadUnit,
        base: Unit | None,
        mine: Unit | None,
        texts: tuple[str, str] = ("", ""),
    ) -> None:
        """Nothing was written.

        Args:
            theirs: The plan as it is now.
            base: The plan the change was made on; None if it is no longer known.
            mine: That plan with the change; None if it is not known, or could not be made.
            texts: The files of base and mine, as far as they are known.
        """
        super().__init__("the plan was changed by someone else meanwhile; nothing was saved")
        self.theirs, self.base, self.mine = theirs, base, mine
        self.texts = texts


@dataclass(frozen=True, slots=True)
class Done:
    """A change of one unit that can be taken back."""

    edited: Edited
    note: str
    """What was done, in words."""
    fingerprint: str
    """The file right after it."""


class Plans:
    """The units of one library while they are planned. What can be undone is held in memory."""

    def __init__(self, units: UnitFolder, history: History) -> None:
        """Opens nothing yet."""
        self._units = units
        self._history = history
        self._done: dict[str, list[Done]] = {}
        self._texts: OrderedDict[tuple[str, str], str] = OrderedDict()
        self._lock = Lock()

    def read(self, unit_id: str) -> ReadUnit:
        """Reads a unit and remembers its text for someone who is overtaken later."""
        read = self._units.read(unit_id)
        with self._lock:
            self._texts[unit_id, read.fingerprint] = read.text
            self._texts.move_to_end((unit_id, read.fingerprint))
            while len(self._texts) > MAX_TEXTS:
                self._texts.popitem(last=False)
        return read

    def change(self, unit_id: str, expected: str, edit: Callable[[str], str]) -> Done | None:
        """Does an edit and saves it.

        Args:
            unit_id: ``theme/unit``.
            expected: Fingerprint of the plan that the person saw.
            edit: Old text → new text.

        Returns:
            What was done; None if the text stayed the same.

        Raises:
            Overtaken: If the plan is another one by now.
            LibraryError: Whatever the edit refuses.
        """
        read = self.read(unit_id)
        if read.fingerprint != expected:
            raise self._overtaken(unit_id, expected, edit, read)
        text = edit(read.text)
        if text == read.text:
            return None
        after = _unit(unit_id, text)
        if after is None:
            raise Invalid(parse_unit(text, *unit_id.split("/")).problems)
        try:
            fingerprint = self._units.save(unit_id, text, expected=expected)
        except StaleFile:
            raise self._overtaken(unit_id, expected, edit, self.read(unit_id)) from None
        note = "; ".join(compare_units(read.unit, after)) or "changed"
        done = Done(Edited(read.text, text), note, fingerprint)
        with self._lock:
            self._done[unit_id] = [*self._done.get(unit_id, []), done][-MAX_UNDO:]
        self._history.record([read.unit.file], f"{unit_id}: {note}", who_saves())
        return done

    def create(self, unit_id: str, text: str, note: str) -> None:
        """Writes a new unit; never over one that is there.

        Raises:
            NameTaken: If there is a unit of this name.
        """
        self._units.create(unit_id, text)
        self._history.record([f"themes/{unit_id}.md"], f"{unit_id}: {note}", who_saves())

    def last(self, unit_id: str, fingerprint: str) -> Done | None:
        """The change that can be taken back; None if there is none, or the file changed since."""
        with self._lock:
            done = self._done.get(unit_id, [])
            return done[-1] if done and done[-1].fingerprint == fingerprint else None

    def undo(self, unit_id: str, expected: str) -> Done:
        """Takes the last change back, to the same bytes.

        Raises:
            StaleFile: If there is nothing to take back, or the plan changed since.
        """
        read = self.read(unit_id)
        done = self.last(unit_id, read.fingerprint)
        if done is None or read.fingerprint != expected:
            raise StaleFile("the plan changed since; undo would lose that change")
        before = done.edited.undone(read.text)
        self._units.save(unit_id, before, expected=expected)
        with self._lock:
            self._done[unit_id].pop()
        note = f"{unit_id}: taken back: {done.note}"
        self._history.record([read.unit.file], note, who_saves())
        return done

    def _overtaken(
        self, unit_id: str, expected: str, edit: Callable[[str], str], theirs: ReadUnit
    ) -> Overtaken:
        with self._lock:
            text = self._texts.get((unit_id, expected))
        if text is None:
            return Overtaken(theirs, None, None)
        try:
            meant = edit(text)
        except LibraryError:
            return Overtaken(theirs, _unit(unit_id, text), None)
        return Overtaken(theirs, _unit(unit_id, text), _unit(unit_id, meant), (text, meant))


def _unit(unit_id: str, text: str) -> Unit | None:
    return parse_unit(text, *unit_id.split("/")).unit
