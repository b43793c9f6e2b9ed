"""A clone within a library: read, checked, saved as one new file."""

import datetime as dt

import pytest

from library.history.versions import History
from library.plan.cloning import look_at_clone, room_then, save_clone
from library.plan.opening import open_plan
from library.store.errors import NotFound, WrongUse
from library.store.paths import LibraryPaths
from library.units.cloning import Choice
from library.units.findings import Level
from library.units.folder import UnitFolder
from tests.builders import a_child, a_room, a_unit

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


FILLED = """\
---
title: {name}
centers: [sensory]
ages: 24-60
prep: 0
adult: within sight
materials: [{{item: {item}, amount: 1 per setup}}]
---

Text.
"""
THINGS = {
    "rice-tub": ("white rice", "consumable", "loose-fill"),
    "glitter-tray": ("glitter", "consumable", "glitter"),
    "foam-towers": ("foam block", "durable", "foam-block"),
    "scarf-shop": ("long scarf", "durable", "neckwear"),
}


@pytest.fixture
def threes(paths):
    """Last year's unit of a room of threes: rice, glitter, foam blocks and scarves."""
    rows = "".join(
        f"- {{item: {item}, kind: {kind}, loose: false, hazards: [{hazard}]}}\n"
        for item, kind, hazard in THINGS.values()
    )
    write(paths, "activities/materials.yaml", rows)
    for name, (item, _, _) in THINGS.items():
        write(paths, f"activities/sensory/{name}.md", FILLED.format(name=name, item=item))
    placements = "".join(f"  - {{center: sensory, activity: {name}}}\n" for name in THINGS)
    unit = f"---\ntitle: Old\nstarts: 2025-10-06\nweeks: 1\nplacements:\n{placements}---\n"
    write(paths, "themes/leaves-and-wind/2025-threes.md", unit)
    return paths


def test_a_unit_of_threes_raises_its_findings_anew_in_a_room_of_twos(threes):
    """None is carried over as looked at: CFOC 6.2.4.3, 6.4.1.2, 3.4.6.1, and a group of 14 for 8."""
    children = [a_child(f"t{n}", born=(2022, 6)) for n in range(14)]
    moss = a_room(*children, name="Moss Room", adults=2)
    twos = [a_child(f"c{n}", born=(2024, 5)) for n in range(9)]
    fern = a_room(*twos, a_child("young", born=(2024, 6)), adults=2)
    source = "leaves-and-wind/2025-threes"
    checked = look_at_clone(threes, source, TARGET, NEW, fern, stood_in=moss)
    assert {f.hazard for f in checked.new if f.kind == "hazard"} == {
        "loose-fill",
        "glitter",
        "foam-block",
        "neckwear",
    }
    assert "ratio" in {f.kind for f in checked.new}
    places = checked.as_json()["new_findings"]
    assert [checked.check.findings[place] for place in places] == list(checked.new)
    same = look_at_clone(threes, source, TARGET, dt.date(2025, 10, 13), moss)
    assert [f.kind for f in same.new] == []


def test_where_nobody_is_known_to_have_been_there_what_looks_at_children_is_new(threes):
    room = a_room(a_child("young", born=(2024, 6), since=dt.date(2026, 9, 1)))
    checked = look_at_clone(threes, "leaves-and-wind/2025-threes", TARGET, NEW, room)
    assert {f.kind for f in checked.new} == {"hazard"}
    assert len(checked.new) == len(THINGS)


def test_children_count_as_there_then_if_said_so_or_as_old_as_the_youngest_is_now():
    """A room keeps its ages: who would have been too young was not there."""
    room = a_room(
        a_child("now", born=(2024, 9)),
        a_child("then", born=(2022, 12)),
        a_child("said", born=(2023, 12), since=dt.date(2025, 9, 1)),
    )
    then = room_then(room, a_unit(starts=OLD), NEW)
    assert [child.label for child in then.children] == ["then", "said"]


def test_a_finding_is_new_if_only_the_card_changed_since(paths):
    """Its cards as they were on its last open day; ages were for twos then."""
    clock = [dt.datetime(2025, 10, 17, 17).timestamp()]
    write(paths, "activities/water/tub.md", CARD.format(title="tub", ages="24-48", prep=10))
    history = History(paths, lambda: clock[0])
    history.record_outside_changes()
    clock[0] = dt.datetime(2026, 3, 2, 9).timestamp()
    write(paths, "activities/water/tub.md", CARD.format(title="tub", ages="36-48", prep=10))
    history.record_outside_changes()
    room = a_room(a_child(born=(2023, 9), since=OLD))
    checked = look_at_clone(paths, SOURCE, TARGET, NEW, room)
    assert [f for f in checked.new if f.kind == "age"] == []
    younger = a_room(a_child(born=(2024, 3), since=dt.date(2026, 9, 1)))
    (age,) = [f for f in look_at_clone(paths, SOURCE, TARGET, NEW, younger).new if f.kind == "age"]
    assert (age.center, age.activity) == ("art", "tub")


def test_lines_say_what_becomes_of_each_placement_in_walking_order(paths):
    room = a_room(
        a_child(born=(2024, 3)), a_child("robin", born=(2023, 3)),
        closed=frozenset({dt.date(2026, 10, 9), dt.date(2026, 10, 6)}),
        centers=("art", "easel", "water", "light"),
    )  # fmt: skip
    checked = look_at_clone(paths, SOURCE, TARGET, NEW, room)
    lines = {line.old.center: line for line in checked.lines()}
    assert list(lines) == ["art", "easel", "water", "light"]
    assert lines["art"].new.days == (dt.date(2026, 10, 8),)
    assert (lines["art"].ages.fit, lines["art"].ages.younger) == (1, 1)
    assert lines["easel"].new is None
    assert lines["easel"].left_out.why == "closed"
    assert lines["water"].lost == (dt.date(2026, 10, 6), dt.date(2026, 10, 9))
    assert [each.why for each in lines["water"].changed] == ["look-back"]
    assert checked.closed == (dt.date(2026, 10, 6), dt.date(2026, 10, 9))


def test_choices_are_written_and_a_card_that_is_not_there_is_refused(paths):
    choices = {0: Choice(activity="tub"), 1: Choice(take=False)}
    checked = look_at_clone(paths, SOURCE, TARGET, NEW, ROOM, choices=choices)
    assert [(p.center, p.activity) for p in checked.clone.unit.placements] == [
        ("water", "tub"),
        ("light", "gone"),
    ]
    with pytest.raises(WrongUse, match="no card 'nothing'"):
        look_at_clone(paths, SOURCE, TARGET, NEW, ROOM, choices={0: Choice(activity="nothing")})


def test_a_source_that_starts_on_no_monday_can_still_be_cloned(paths):
    """CAL2 refuses to lay it out, so nothing is known of what was found then."""
    write(paths, f"themes/{SOURCE}.md", UNIT.replace("starts: 2025-10-06", "starts: 2025-10-07"))
    checked = look_at_clone(paths, SOURCE, TARGET, NEW, ROOM)
    assert checked.clone.unit.starts == NEW
    assert [f for f in checked.check.findings if f.kind != "order"] == list(checked.new)
