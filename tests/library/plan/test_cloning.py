"""A clone within a library: read, checked, saved as one new file."""

import datetime as dt

import pytest

from library.history.versions import History
from library.plan.cloning import look_at_clone, save_clone
from library.plan.opening import open_plan
from library.store.errors import NotFound, WrongUse
from library.store.paths import LibraryPaths
from library.units.findings import Level
from library.units.folder import UnitFolder
from tests.builders import a_child, a_room

OLD, NEW = dt.date(2025, 10, 6), dt.date(2026, 10, 5)
CARD = """\
---
title: {title}
centers: [water]
ages: {ages}
prep: {prep}
adult: within sight
materials: [{{item: water, amount: 1 l per setup}}]
---

Rain on {{{{catcher}}}}.
"""
UNIT = """\
---
title: Leaves and wind, fall 2025
starts: 2025-10-06
weeks: 2
placements:
  - {center: water, activity: rain, weeks: [1], props: {catcher: lids}}
  - {center: art, activity: tub, days: [2025-10-09]}
  - {center: light, activity: gone}
  - {center: easel, activity: broom, days: [2025-10-10]}
look_back:
  - {activity: rain, again: change, note: clip both edges}
---
"""
STANDS = ("water", "art")
SOURCE, TARGET = "leaves-and-wind/2025-fall", "leaves-and-wind/2026-fall"


def write(paths, file, text):
    path = paths.folder / file
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


@pytest.fixture
def paths(tmp_path):
    found = LibraryPaths(tmp_path / "library", tmp_path / "data")
    for name, ages in (("rain", "24-48"), ("tub", "36-48"), ("broom", "24-48")):
        write(found, f"activities/water/{name}.md", CARD.format(title=name, ages=ages, prep=10))
    write(found, "activities/water/broken.md", "no card")
    write(
        found,
        "themes/leaves-and-wind/theme.md",
        "---\ntitle: Leaves and wind\nprops: {catcher: leaves}\n---\n",
    )
    write(
        found,
        "themes/by-the-sea/theme.md",
        "---\ntitle: By the sea\nprops: {catcher: shells}\n---\n",
    )
    write(found, "themes/leaves-and-wind/2025-fall.md", UNIT)
    return found


ROOM = a_room(a_child(born=(2024, 3)), closed=frozenset({dt.date(2026, 10, 9)}))


def files_of(paths):
    return {p: p.read_bytes() for p in sorted(paths.folder.rglob("*")) if p.is_file()}


def test_looking_writes_nothing_and_saving_writes_one_new_file(paths):
    before = files_of(paths)
    checked = look_at_clone(paths, SOURCE, TARGET, NEW, ROOM)
    assert files_of(paths) == before
    save_clone(paths, checked, "Fern Room")
    after = files_of(paths)
    assert {p.name for p in after.keys() - before.keys()} == {"2026-fall.md"}
    assert {p: after[p] for p in before} == before
    (version,) = History(paths).versions("themes/leaves-and-wind/2026-fall.md")
    assert (version.note, version.by) == (f"cloned {SOURCE} to {TARGET}", "Fern Room")
    assert UnitFolder(paths).read(TARGET).unit == checked.clone.unit


def test_a_name_that_is_taken_is_refused_and_nothing_is_written(paths):
    """CLONE11."""
    save_clone(paths, look_at_clone(paths, SOURCE, TARGET, NEW, ROOM))
    before = files_of(paths)
    with pytest.raises(WrongUse, match="already"):
        look_at_clone(paths, SOURCE, TARGET, NEW, ROOM)
    other = look_at_clone(paths, SOURCE, "leaves-and-wind/2026-late", NEW, ROOM)
    write(paths, "themes/leaves-and-wind/2026-late.md", "mine\n")
    before = files_of(paths)
    with pytest.raises(WrongUse, match="nothing was written"):
        save_clone(paths, other)
    assert files_of(paths) == before


@pytest.mark.parametrize(
    ("source", "target", "starts", "error"),
    [
        (SOURCE, TARGET, NEW + dt.timedelta(days=1), WrongUse),
        (SOURCE, "nowhere/2026-fall", NEW, WrongUse),
        (SOURCE, "2026-fall", NEW, WrongUse),
        ("leaves-and-wind/1999-fall", TARGET, NEW, NotFound),
    ],
)
def test_what_cannot_be_cloned_is_refused(paths, source, target, starts, error):
    """CLONE11."""
    before = files_of(paths)
    with pytest.raises(error):
        look_at_clone(paths, source, target, starts, ROOM)
    assert files_of(paths) == before


def test_all_findings_of_the_new_unit_are_given_and_those_of_dropped_dates(paths):
    """CLONE13, CLONE3: as unit check gives them, for the children of now.

    Water is 1 l at each center, and no materials.yaml says what it is like.
    """
    checked = look_at_clone(paths, SOURCE, TARGET, NEW, ROOM)
    found = {(f.kind, f.level, f.center) for f in checked.check.findings if f.kind != "coverage"}
    assert found == {
        ("missing", Level.STOP, "light"),
        ("age", Level.CAUTION, "art"),
        ("closed", Level.CAUTION, "easel"),
        *((kind, Level.CAUTION, center) for kind in ("water", "small-part") for center in STANDS),
    }
    assert checked.has_stop
    shown = checked.as_json()
    assert shown["moved"] == [
        {"activity": "broom", "center": "easel", "from": "2026-10-09", "to": None}
    ]
    assert [entry["activity"] for entry in shown["left_out"]] == ["broom"]
    assert len(shown["findings"]) == len(checked.check.findings)


def test_cards_edited_since_the_last_open_day_are_named_in_words(paths):
    """CLONE10: by the versions in the data folder."""
    clock = [dt.datetime(2025, 10, 17, 17).timestamp()]
    history = History(paths, lambda: clock[0])
    history.record_outside_changes()
    clock[0] = dt.datetime(2026, 3, 2, 9).timestamp()
    write(paths, "activities/water/tub.md", CARD.format(title="tub", ages="36-48", prep=15))
    write(paths, "activities/water/broom.md", CARD.format(title="broom", ages="2y-4y", prep=10))
    history.record_outside_changes()
    checked = look_at_clone(paths, SOURCE, TARGET, NEW, a_room())
    entries = [(e.activity, e.why.value, e.note) for e in checked.clone.changed]
    assert ("tub", "edited", "prep 10 → 15") in entries
    assert not [e for e in entries if e[0] == "broom"]
    assert checked.clone.edits_known


def test_a_history_that_is_too_young_says_so(paths):
    """CLONE10: where unknown, say so and name nothing."""
    History(paths).record_outside_changes()
    checked = look_at_clone(paths, SOURCE, TARGET, NEW, a_room())
    assert checked.as_json()["edits_known"] is False
    assert {e.why.value for e in checked.clone.changed} == {"look-back", "removed"}


def test_another_theme_dresses_the_clone(paths):
    """CLONE15."""
    checked = look_at_clone(paths, SOURCE, "by-the-sea/2026-fall", NEW, ROOM)
    bodies = {p.center: p.card.body for p in checked.plan.placed if p.card}
    assert bodies == {"water": "Rain on lids.", "art": "Rain on shells."}
    assert checked.clone.unit.title == "By the sea, fall 2026"


def test_a_broken_card_elsewhere_changes_nothing(paths):
    """CMD8: only the unit's own cards are read."""
    plan = open_plan(paths, SOURCE, ROOM)
    assert set(plan.cards) == {"rain", "tub", "broom"}


def test_prep_counts_as_it_took_where_the_room_says_so(paths):
    """Planned 10, took 14 last year: 14 in this room."""
    text = UNIT.replace("again: change,", "again: change, took: 14,")
    write(paths, "themes/leaves-and-wind/2025-fall.md", text)
    assert open_plan(paths, SOURCE, a_room()).cards["rain"].prep == 10
    assert open_plan(paths, SOURCE, a_room(prep_as_it_took=True)).cards["rain"].prep == 14
