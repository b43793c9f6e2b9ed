"""This year's unit from an earlier one."""

import datetime as dt

import numpy as np
import pytest
from dateutil.relativedelta import MO, relativedelta
from dateutil.rrule import WEEKLY, rrule
from hypothesis import given, settings
from hypothesis import strategies as st

from library.room.room import WEEKDAYS
from library.store.errors import WrongUse
from library.store.frontmatter import read_document
from library.units.calendar import monday_of, placement_days, week_of
from library.units.cloning import Choice, clone_unit, moved_day, title_for
from library.units.parsing import parse_unit, write_unit
from library.units.placed import lay_out
from library.units.unit import Again, LookBack
from tests.builders import a_card, a_placement, a_room, a_theme, a_unit

OLD = dt.date(2025, 10, 6)
NEW = dt.date(2026, 10, 5)
THEME = a_theme()


def old_unit(*placements, look_back=(), **fields):
    """Last year's unit as it reads back from its file."""
    unit = a_unit(*placements, starts=OLD, name="2025-fall", look_back=tuple(look_back), **fields)
    return parse_unit(write_unit(unit), unit.theme, unit.name).unit


def clone(unit, *, text=None, closed=(), to="leaves-and-wind/2026-fall", starts=NEW, **more):
    more = {"cards": {"sponge-rain", "tub", "run", "tunnel"}, "edits": {}, "theme": THEME, **more}
    room = a_room(closed=frozenset(new(step) for step in closed))
    return clone_unit(unit, text or write_unit(unit), to=to, starts=starts, room=room, **more)


def old(step):
    return OLD + dt.timedelta(days=step)


def new(step):
    return NEW + dt.timedelta(days=step)


def said(entries):
    return [(entry.activity, entry.center, entry.why.value, entry.note) for entry in entries]


def test_week_and_weekday_go_to_the_same_in_the_new_calendar():
    unit = old_unit(
        a_placement("water", weeks=(1,)),
        a_placement("art", "tub", days=(old(1), old(9))),
        a_placement("light", "tub", on=("tue", "thu")),
    )
    made = clone(unit)
    assert made.unit.starts == NEW
    assert made.unit.cloned_from == "leaves-and-wind/2025-fall"
    assert made.unit.placements[0].weeks == (1,)
    assert made.unit.placements[1].days == (new(1), new(9))
    assert made.unit.placements[2].on == ("tue", "thu")
    assert (made.left_out, made.changed, made.moved) == ((), (), ())


def test_clone1_weeks_stay_weeks_and_are_not_listed_as_moved():
    """CLONE1."""
    made = clone(old_unit(a_placement(weeks=(1,))), closed=[0, 1])
    assert made.unit.placements[0].weeks == (1,)
    assert made.moved == ()


def test_clone2_a_moved_date_that_meets_another_becomes_one_and_is_listed():
    """CLONE2."""
    made = clone(old_unit(a_placement(days=(old(2), old(3)))), closed=[2])
    assert made.unit.placements[0].days == (new(3),)
    assert [(m.start, m.end) for m in made.moved] == [(new(2), new(3))]


def test_clone3_without_an_open_day_left_in_the_week_the_date_is_dropped():
    """CLONE3: listed with to: null; a placement with no date left is left out with the reason."""
    unit = old_unit(a_placement("water", days=(old(1), old(4))), a_placement("art", days=(old(3),)))
    made = clone(unit, closed=[3, 4])
    assert made.unit.placements[0].days == (new(1),)
    assert [entry.as_json() for entry in made.moved] == [
        {"activity": "sponge-rain", "center": "water", "from": "2026-10-09", "to": None},
        {"activity": "sponge-rain", "center": "art", "from": "2026-10-08", "to": None},
    ]
    assert said(made.left_out) == [
        ("sponge-rain", "art", "closed", "no open day is left in its week")
    ]
    assert [placement.center for placement in made.unit.placements] == ["water"]


def test_clone4_the_number_of_a_closed_week_is_kept():
    """CLONE4: the finding comes with the check of the new unit."""
    made = clone(old_unit(a_placement(weeks=(2,))), closed=range(7, 12))
    assert made.unit.placements[0].weeks == (2,)


def test_clone5_a_look_back_holds_for_all_placements_and_the_last_entry_wins():
    """CLONE5."""
    unit = old_unit(
        a_placement("water"),
        a_placement("art"),
        look_back=[
            LookBack("sponge-rain", Again.YES),
            LookBack("sponge-rain", Again.NO, note="too wet"),
        ],
    )
    made = clone(unit)
    assert made.unit.placements == ()
    assert said(made.left_out) == [
        ("sponge-rain", "water", "look-back", "too wet"),
        ("sponge-rain", "art", "look-back", "too wet"),
    ]


@pytest.mark.parametrize(("word", "placements"), [("no", 0), ("yes", 1), ("false", 0), ("on", 1)])
def test_clone5_unquoted_yes_and_no_read(word, placements):
    """CLONE5: YAML booleans."""
    head, _, tail = write_unit(old_unit(a_placement())).rpartition("---\n")
    text = f"{head}look_back: [{{activity: sponge-rain, again: {word}}}]\n---\n{tail}"
    unit = parse_unit(text, "leaves-and-wind", "2025-fall").unit
    assert len(clone(unit, text=text).unit.placements) == placements


@pytest.mark.parametrize(
    ("own", "again", "expected"),
    [
        ("low table", Again.CHANGE, "low table; clip both edges"),
        ("", Again.CHANGE, "clip both edges"),
        ("low table", Again.YES, "low table"),
    ],
)
def test_clone6_own_note_first_then_the_look_backs(own, again, expected):
    """CLONE6: yes adds nothing; own notes and props are kept."""
    unit = old_unit(
        a_placement(note=own, props={"catcher": "lids"}),
        look_back=[LookBack("sponge-rain", again, note="clip both edges")],
    )
    (placement,) = clone(unit).unit.placements
    assert (placement.note, placement.props) == (expected, {"catcher": "lids"})


def test_clone7_changed_names_look_back_edits_and_removals():
    """CLONE7: both, each with its why."""
    unit = old_unit(
        a_placement("water"),
        a_placement("art", "tub"),
        a_placement("light", "gone"),
        look_back=[LookBack("sponge-rain", Again.CHANGE, note="clip it")],
    )
    made = clone(unit, edits={"sponge-rain": "prep 10 → 15", "tub": "one material added"})
    assert said(made.changed)[:3] == [
        ("sponge-rain", "water", "look-back", "clip it"),
        ("sponge-rain", "water", "edited", "prep 10 → 15"),
        ("tub", "art", "edited", "one material added"),
    ]
    assert said(made.changed)[3][:3] == ("gone", "light", "removed")


def test_clone8_a_removed_card_is_kept_and_named():
    """CLONE8: shown as missing by the check, named in changed."""
    made = clone(old_unit(a_placement("water", "gone")))
    assert [p.activity for p in made.unit.placements] == ["gone"]
    assert [entry.why.value for entry in made.changed] == ["removed"]
    (placed,) = lay_out(made.unit, THEME, {}, a_room())
    assert placed.is_missing


FULL = """\
---
title: Leaves and wind, fall 2025
starts: 2025-10-06                     # a Monday
mood: calm
weeks: 2
# where they stand
placements:
  - {center: water, activity: sponge-rain, days: [2025-10-07], shelf: B4}   # loved
  - center: art
    activity: tub
    shelf: C1
look_back:
  - {activity: tub, again: change, note: use clips}
---

Rain every day.
"""


def test_clone9_the_body_and_unknown_keys_go_along_and_the_look_back_does_not():
    """CLONE9."""
    unit = parse_unit(FULL, "leaves-and-wind", "2025-fall").unit
    assert (
        clone(unit, text=FULL).text
        == """\
---
title: Leaves and wind, fall 2026
starts: 2026-10-05                     # a Monday
mood: calm
weeks: 2
cloned_from: leaves-and-wind/2025-fall
# where they stand
placements:
  - {center: water, activity: sponge-rain, days: [2026-10-06], shelf: B4}   # loved
  - center: art
    activity: tub
    note: use clips
    shelf: C1
---

Rain every day.
"""
    )


def test_clone10_where_the_history_does_not_say_nothing_is_named():
    """CLONE10: say so and name nothing."""
    made = clone(old_unit(a_placement()), edits=None)
    assert not made.edits_known
    assert made.changed == ()
    assert clone(old_unit(a_placement())).edits_known


def test_clone11_a_start_that_is_no_monday_is_refused():
    """CLONE11: exit 2, nothing written; the refusal of a taken name is the folder's."""
    with pytest.raises(WrongUse, match="2026-10-05, the Monday before"):
        clone(old_unit(), starts=new(1))
    with pytest.raises(WrongUse, match="THEME/UNIT"):
        clone(old_unit(), to="somewhere")


def test_clone12_a_day_once_moved_stays_moved():
    """CLONE12: from Wednesday to Thursday by a closed day; the clone of the clone stays Thursday."""
    unit = old_unit(a_placement(days=(old(2),)), a_placement("art", "tub", on=("wed",)))
    first = clone(unit, closed=[2])
    assert first.unit.placements[0].days == (new(3),)
    assert first.unit.placements[1].on == ("wed",)
    later = dt.date(2027, 10, 4)
    again = clone(first.unit, text=first.text, to="leaves-and-wind/2027-fall", starts=later)
    assert again.unit.placements[0].days == (later + dt.timedelta(days=3),)
    straight = clone(unit, to="leaves-and-wind/2027-fall", starts=later)
    assert straight.unit.placements[0].days == (later + dt.timedelta(days=2),)


def test_clone14_the_json_holds_what_is_written_with_iso_dates():
    """CLONE14."""
    unit = old_unit(a_placement(days=(old(1),)), look_back=[LookBack("x", Again.NO)])
    found = clone(unit).as_json([{"kind": "age"}])
    assert found["unit"] == "leaves-and-wind/2026-fall"
    assert found["placements"] == [
        {"center": "water", "activity": "sponge-rain", "days": ["2026-10-06"]}
    ]
    assert set(found) >= {"placements", "left_out", "changed", "moved", "findings"}
    assert found["findings"] == [{"kind": "age"}]


def test_clone15_another_theme_dresses_it_and_the_placements_own_props_win():
    """CLONE15: weeks as the old; the title is the new theme's."""
    sea = a_theme("by-the-sea", title="By the sea", props={"catcher": "shells", "floats": "boats"})
    unit = old_unit(a_placement(props={"catcher": "lids"}), weeks=3)
    made = clone(unit, to="by-the-sea/2026-fall", theme=sea)
    assert (made.unit.theme, made.unit.weeks) == ("by-the-sea", 3)
    assert made.unit.title == "By the sea, fall 2026"
    card = a_card(body="{{catcher}} and {{floats}}")
    (placed,) = lay_out(made.unit, sea, {"sponge-rain": card}, a_room())
    assert placed.card.body == "lids and boats"


def test_a_rain_swap_that_is_not_wanted_again_goes_and_its_placement_stays():
    unit = old_unit(
        a_placement("outdoors", "run", instead="tunnel"),
        look_back=[LookBack("tunnel", Again.NO, note="too loud")],
    )
    made = clone(unit)
    assert made.unit.placements[0].instead is None
    assert said(made.changed) == [("tunnel", "outdoors", "look-back", "too loud")]


def test_titles_are_made_of_the_theme_and_the_name():
    assert title_for(THEME, "2026-fall") == "Leaves and wind, fall 2026"
    assert title_for(THEME, "early-fall") == "Leaves and wind, early fall"
    assert title_for(THEME, "2026") == "Leaves and wind, 2026"


def chosen(unit, row, **choice):
    if "days" in choice:
        choice["days"] = frozenset(new(step) for step in choice["days"])
    return clone(unit, choices={row: Choice(**choice)})


def test_what_the_look_back_left_out_can_be_kept_with_its_note():
    unit = old_unit(
        a_placement(), a_placement("art", "tub"),
        look_back=[LookBack("tub", Again.NO, note="too wet")],
    )  # fmt: skip
    assert [p.activity for p in clone(unit).unit.placements] == ["sponge-rain"]
    made = chosen(unit, 1, take=True)
    assert [(p.activity, p.note) for p in made.unit.placements] == [
        ("sponge-rain", ""),
        ("tub", "too wet"),
    ]
    assert made.left_out == ()
    assert said(made.changed) == [("tub", "art", "look-back", "too wet")]
    assert chosen(unit, 1, take=True, note=False).unit.placements[1].note == ""


def test_any_placement_can_be_left_out():
    unit = old_unit(a_placement(), a_placement("art", "tub"), a_placement("blocks", "run"))
    made = chosen(unit, 1, take=False)
    assert [p.activity for p in made.unit.placements] == ["sponge-rain", "run"]
    assert said(made.left_out) == [("tub", "art", "choice", "left out here")]
    assert made.rows == {0: 0, 2: 1}
    assert [made.unit.placements[made.rows[row]].row for row in (0, 2)] == [0, 1]


def test_another_card_takes_a_place_without_the_words_about_the_first():
    """Also where the first would have been left out; what was learned was about that one."""
    unit = old_unit(
        a_placement("art", "tub", weeks=(1,), props={"catcher": "lids"}, note="low table"),
        look_back=[LookBack("tub", Again.NO, note="too wet")],
    )
    made = chosen(unit, 0, activity="run")
    assert made.unit.placements == (a_placement("art", "run", weeks=(1,)),)
    assert (made.left_out, made.changed) == ((), ())


def test_chosen_days_are_named_by_weeks_weekdays_or_dates_and_are_no_move():
    unit = old_unit(a_placement(days=(old(2),)), a_placement("art", "tub"))
    other = chosen(unit, 0, days=[3]).unit
    assert placement_days(other.placements[0], other, a_room()) == (new(3),)
    made = clone(unit, closed=[2], choices={0: Choice(days=frozenset({new(1)}))})
    assert placement_days(made.unit.placements[0], made.unit, a_room()) == (new(1),)
    assert made.moved == ()
    assert chosen(unit, 1, days=[0, 1, 2, 3, 4]).unit.placements[1].weeks == (1,)
    assert chosen(unit, 1, days=[1, 8]).unit.placements[1].on == ("tue",)
    assert chosen(unit, 1, days=[1, 10]).unit.placements[1].days == (new(1), new(10))
    assert said(chosen(unit, 1, days=[5]).left_out) == [
        ("tub", "art", "closed", "no open day is left in its week")
    ]


years = st.integers(2000, 2080)
mondays = st.dates(dt.date(2000, 1, 1), dt.date(2080, 1, 1)).map(monday_of)
closures = st.sets(st.integers(-2, 30), max_size=14)
rows = st.lists(
    st.tuples(st.sampled_from(["water", "art"]), st.sets(st.integers(0, 27), min_size=1)),
    max_size=5,
)


def made_of(dates, start, weeks=4):
    unit = a_unit(
        *(
            a_placement(center, days=tuple(start + dt.timedelta(days=d) for d in sorted(days)))
            for center, days in dates
        ),
        starts=start,
        weeks=weeks,
    )
    return parse_unit(write_unit(unit), unit.theme, unit.name).unit


@given(mondays, mondays, rows, closures)
@settings(max_examples=80, deadline=None)
def test_week_and_weekday_are_kept_unless_the_day_is_closed(start, target, dates, closed):
    unit = made_of(dates, start)
    shut = frozenset(target + dt.timedelta(days=d) for d in closed)
    made = clone_unit(
        unit, write_unit(unit), to="x/y", starts=target,
        room=a_room(closed=shut, open=WEEKDAYS), theme=THEME, cards=(), edits={},
    )  # fmt: skip
    moved = {(m.center, m.start) for m in made.moved}
    for placement in unit.placements:
        for day in placement.days:
            same = target + (day - start)
            assert (same in shut) == ((placement.center, same) in moved)
    for placement in made.unit.placements:
        assert not shut & set(placement.days)
        assert all(week_of(made.unit, day) for day in placement.days)


@given(mondays, mondays, mondays, rows)
@settings(max_examples=50, deadline=None)
def test_a_clone_of_a_clone_equals_a_clone_of_the_original_where_no_day_moved(a, b, c, dates):
    """CLONE12, in a room that is always open."""
    unit = made_of(dates, a)
    more = {"room": a_room(open=WEEKDAYS), "theme": THEME, "cards": (), "edits": {}}
    first = clone_unit(unit, write_unit(unit), to="x/y", starts=b, **more)
    second = clone_unit(first.unit, first.text, to="x/z", starts=c, **more)
    straight = clone_unit(unit, write_unit(unit), to="x/z", starts=c, **more)
    assert second.unit.placements == straight.unit.placements
    assert second.text.replace("x/y", unit.id) == straight.text


@given(mondays, rows, closures)
@settings(max_examples=50, deadline=None)
def test_the_source_is_untouched_and_no_state_is_shared(target, dates, closed):
    unit = made_of(dates, OLD)
    text = write_unit(unit)
    before = (unit, text)
    shut = frozenset(target + dt.timedelta(days=d) for d in closed)
    one, two = (
        clone_unit(
            unit, text, to="x/y", starts=target,
            room=a_room(closed=shut), theme=THEME, cards=(), edits={},
        )
        for _ in range(2)
    )  # fmt: skip
    assert (unit, text) == before
    assert one == two
    assert write_unit(unit) == text


choices = st.builds(
    Choice,
    st.sampled_from([None, True, False]),
    st.sampled_from(["", "run"]),
    st.sets(st.integers(0, 27), max_size=3).map(lambda steps: frozenset(map(new, steps))),
    st.booleans(),
)


@given(rows, st.dictionaries(st.integers(0, 4), choices, max_size=5), closures)
@settings(max_examples=60, deadline=None)
def test_whatever_is_chosen_the_source_stays_and_the_rest_is_as_proposed(dates, wanted, closed):
    """Rows without a choice come out as in a clone without any; the map of rows is right."""
    unit = made_of(dates, OLD)
    text = write_unit(unit)
    plain = clone(unit, text=text, closed=closed)
    made = clone(unit, text=text, closed=closed, choices=wanted)
    assert write_unit(unit) == text
    for old_row in range(len(unit.placements)):
        if old_row not in wanted:
            assert placement_of(made, old_row) == placement_of(plain, old_row)
    assert sorted(made.rows.values()) == list(range(len(made.unit.placements)))
    assert made.unit.placements == parse_unit(made.text, "x", "y").unit.placements


def placement_of(made, old_row):
    return made.unit.placements[made.rows[old_row]] if old_row in made.rows else None


@given(years, st.integers(0, 27), st.sets(st.integers(0, 27), max_size=10))
@settings(max_examples=80, deadline=None)
def test_moves_agree_with_dateutil_and_numpy_over_random_school_years(year, step, closed):
    """Starts are first Mondays of September by dateutil; closures are numpy holidays."""
    start = (dt.datetime(year, 9, 1) + relativedelta(weekday=MO(1))).date()
    target = (dt.datetime(year + 1, 9, 1) + relativedelta(weekday=MO(1))).date()
    shut = frozenset(target + dt.timedelta(days=d) for d in closed)
    day = start + dt.timedelta(days=step)
    unit = a_unit(starts=start, weeks=4)
    found = moved_day(day, unit, target, a_room(closed=shut))
    same = next(iter(rrule(WEEKLY, dtstart=dt.datetime.combine(target, dt.time()),
                           byweekday=day.weekday(), count=4)[step // 7 : step // 7 + 1])).date()  # fmt: skip
    following = np.busday_offset(
        same, 0, roll="forward", holidays=np.array(sorted(shut), dtype="datetime64[D]")
    ).astype(object)
    expected = following if monday_of(following) == monday_of(same) else None
    assert found == expected


@given(
    years,
    st.sets(st.integers(1, 4)),
    st.sets(st.sampled_from(range(5))),
    st.sets(st.integers(0, 27), max_size=12),
)
@settings(max_examples=60, deadline=None)
def test_the_days_of_a_clone_agree_with_rrule_and_numpy(year, weeks, on, closed):
    """CLONE1 over random school years: RFC 5545 rules by dateutil, closures as numpy holidays."""
    start, target = (
        (dt.datetime(each, 9, 1) + relativedelta(weekday=MO(1))).date() for each in (year, year + 1)
    )
    shut = frozenset(target + dt.timedelta(days=d) for d in closed)
    names = tuple(WEEKDAYS[number] for number in sorted(on))
    unit = a_unit(a_placement(weeks=tuple(sorted(weeks)), on=names), starts=start, weeks=4)
    made = clone(parse_unit(write_unit(unit), "leaves-and-wind", "old").unit, starts=target).unit
    rule = rrule(WEEKLY, dtstart=dt.datetime.combine(target, dt.time()),
                 byweekday=sorted(on) or range(5), count=4 * (len(on) or 5))  # fmt: skip
    holidays = np.array(sorted(shut), dtype="datetime64[D]")
    expected = [
        day.date()
        for day in rule
        if np.is_busday(np.datetime64(day.date()), holidays=holidays)
        and (not weeks or (day.date() - target).days // 7 + 1 in weeks)
    ]
    assert list(placement_days(made.placements[0], made, a_room(closed=shut))) == expected


def test_a_clone_stands_on_the_same_weekdays_of_its_weeks():
    unit = old_unit(a_placement(weeks=(2,), on=("mon", "fri")))
    room = a_room()
    before = placement_days(unit.placements[0], unit, room)
    made = clone(unit).unit
    after = placement_days(made.placements[0], made, room)
    assert [d.weekday() for d in before] == [d.weekday() for d in after]
    assert read_document(clone(unit).text)[1] == []
