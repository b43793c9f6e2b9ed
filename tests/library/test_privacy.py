"""What is known of children stays in the private database."""

import datetime as dt
import shutil
from pathlib import Path

import pytest

from library.history.versions import History
from library.plan.checks import check_unit
from library.plan.cloning import look_at_clone, save_clone
from library.plan.opening import open_plan
from library.plan.rules import NORTH_CAROLINA, hold_against, shipped_rules
from library.plan.totals import total
from library.room.jotbook import JotBook
from library.room.jots import Jot
from library.room.rooms import Rooms, load_room_file
from library.store.paths import LibraryPaths
from library.units import editing
from library.units.folder import UnitFolder
from library.units.lookback import write_look_back
from library.units.parsing import write_unit
from library.units.unit import Again, LookBack
from tests.builders import MONDAY, a_placement, a_unit
from tests.packed import holds

LABEL, ALLERGEN, BORN = "zaunkoenig-quux", "sesame-xyzzy", "2024-03"
ROOM = f"""\
name: Fern Room
children:
  - {{label: {LABEL}, born: {BORN}, allergens: [{ALLERGEN}]}}
centers: [water, art]
"""
CARD = (
    "---\ntitle: Rain\ncenters: [water]\nages: 36-48\nprep: 5\nadult: within reach\n---\n\nRain.\n"
)


@pytest.fixture
def paths(tmp_path):
    found = LibraryPaths(tmp_path / "library", tmp_path / "data")
    theme = found.themes / "leaves-and-wind"
    theme.mkdir(parents=True)
    (theme / "theme.md").write_text("---\ntitle: Leaves and wind\n---\n")
    (theme / "2026-fall.md").write_text(
        write_unit(a_unit(a_placement(), a_placement("art", "gone")))
    )
    (found.activities / "water").mkdir(parents=True)
    (found.activities / "water" / "sponge-rain.md").write_text(CARD)
    return found


def found_under(folder: Path) -> set[str]:
    files = [file for file in folder.rglob("*") if file.is_file()]
    return {mark for file in files for mark in holds(file, (LABEL, ALLERGEN, BORN))}


def test_no_label_birth_month_or_allergy_leaves_the_private_database(
    paths, tmp_path, caplog, capsys
):
    """A long unlikely label, searched in every file of the library folder and the history.

    The one file that may hold it is the database itself.
    """
    file = tmp_path / "fern.yaml"
    file.write_text(ROOM)
    room = load_room_file(file, paths).room
    JotBook(paths.database, room.name).add(Jot(MONDAY, f"{LABEL} poured", (LABEL,), "sponge-rain"))
    history, units = History(paths), UnitFolder(paths)
    history.record_outside_changes()
    unit_id = "leaves-and-wind/2026-fall"
    plan = open_plan(paths, unit_id, room, today=dt.date(2026, 9, 1))
    shown = f"{check_unit(plan).as_json()} {total(plan)}"
    shown += str(hold_against(plan, shipped_rules(NORTH_CAROLINA)))
    read = units.read(unit_id)
    text = editing.push(editing.move(read.text, 0, "light"), 0)
    text = write_look_back(text, [LookBack("sponge-rain", Again.CHANGE, 9, "too wet")])
    units.save(unit_id, text, expected=read.fingerprint)
    history.record([read.unit.file], "saved")
    checked = look_at_clone(paths, unit_id, "leaves-and-wind/2027-fall", dt.date(2027, 10, 4), room)
    save_clone(paths, checked)
    shown += str(checked.as_json()) + caplog.text + "".join(capsys.readouterr())

    exported = tmp_path / "copy"
    shutil.copytree(paths.history, exported)
    for place in (paths.folder, paths.history, exported):
        assert found_under(place) == set()
    assert LABEL not in shown
    assert ALLERGEN not in shown
    holding = [
        p.name for p in paths.data.rglob("*") if p.is_file() and LABEL.encode() in p.read_bytes()
    ]
    assert holding == ["lowshelf.sqlite3"]


def test_errors_about_children_do_not_repeat_their_labels(paths):
    rooms = Rooms(paths.database)
    from tests.builders import a_room

    rooms.save(a_room())
    with pytest.raises(Exception, match="no child of that label") as refused:
        rooms.remove_child("Fern Room", LABEL)
    assert LABEL not in str(refused.value)
