"""The prep of a unit as a person asks for it, reading by reading."""

import datetime as dt
import json

from library.prep.pinning import PinnedStep
from library.prep.prep import units_beside
from tests.builders import MONDAY, a_card, a_placement, a_room, a_unit
from tests.library.prep.planned import a_prep_card, a_step, a_window, plan, when

FRIDAY = MONDAY - dt.timedelta(days=3)
NAP = "13:00-13:40"


def back(days):
    return MONDAY - dt.timedelta(days=days)


def test_a_step_lies_in_the_last_window_before_the_first_morning():
    """PREP13: the start is as late as it can be."""
    prep = plan(a_prep_card("a", a_step("Cut", 10)))
    assert when(prep) == [(FRIDAY, NAP, "Cut", 10)]
    assert prep.starts == FRIDAY


def test_wait_runs_over_the_weekend():
    """PREP2: measured from the end of the work; three days before a Monday is the Friday."""
    assert plan(a_prep_card("a", a_step(), wait="2 d")).starts == FRIDAY
    assert plan(a_prep_card("a", a_step(), wait="3 d")).starts == back(4)


def test_both_limits_are_inclusive():
    """PREP2: a step may end exactly when the wait begins, or exactly when keeping does."""
    windows = (a_window(dt.time(8), dt.time(8, 10)),)
    assert plan(
        a_prep_card("a", a_step("Mix", 10), wait="71 h 50 min".split(" 50")[0]), windows=windows
    ).starts
    exact = plan(a_prep_card("a", a_step("Mix", 10), keeps="3 d"), windows=windows, weeks=1)
    ends = exact.sessions[0].steps[0].ends
    assert ends == dt.datetime.combine(FRIDAY, dt.time(8, 10))
    nothing = plan(a_prep_card("a", a_step("Mix", 10), wait="4311 min"), windows=windows)
    assert nothing.starts == back(4)


def test_what_keeps_a_day_can_never_be_ready_for_a_monday_and_says_so():
    """PREP2: keeps 1 d before a Monday can never be met and says so."""
    prep = plan(
        a_prep_card("a", a_step("Mix", 10), keeps="1 d"),
        placements=[a_placement(activity="a", days=(MONDAY,))],
    )
    assert not prep.is_feasible
    assert (prep.late[0].do, prep.late_minutes) == ("Mix", 10)
    assert "from when it keeps" in prep.late[0].why
    assert prep.starts is None


def test_a_batch_for_each_time_it_has_to_be_made():
    """PREP3: seven days over two weeks: two batches."""
    prep = plan(a_prep_card("a", a_step("Mix", 10), keeps="7 d"))
    assert when(prep) == [(FRIDAY, NAP, "Mix", 10), (FRIDAY + dt.timedelta(7), NAP, "Mix", 10)]
    assert [s.steps[0].batch for s in prep.sessions] == [1, 2]


def test_earlier_steps_may_lie_before_what_keeps():
    """PREP4: only the last step is bound; a long first step goes into other days."""
    card = a_prep_card("a", a_step("Cut", 40), a_step("Mix", 20), keeps="3 d")
    prep = plan(card, placements=[a_placement(activity="a", days=(MONDAY,))])
    assert when(prep) == [(back(4), NAP, "Cut", 40), (FRIDAY, NAP, "Mix", 20)]


def test_steps_keep_their_order_inside_one_window():
    """PREP5: a step does not begin before the one above it has ended; same window is fine."""
    card = a_prep_card("a", a_step("Cut", 5), a_step("Fold", 5), a_step("Glue", 5))
    (session,) = plan(card).sessions
    assert [step.do for step in session.steps] == ["Cut", "Fold", "Glue"]
    assert all(a.ends <= b.begins for a, b in zip(session.steps, session.steps[1:], strict=False))


def test_the_order_holds_between_two_adults():
    """PREP5 and PREP12: two adults do not work on two steps of one card at a time."""
    card = a_prep_card("a", a_step("Cut", 20), a_step("Glue", 20))
    prep = plan(card, windows=[a_window(end=dt.time(13, 30), adults=2)])
    cut, glue = [step for s in prep.sessions for step in s.steps]
    assert cut.ends <= glue.begins
    assert cut.begins.date() == back(4)


def test_the_wait_lies_after_the_last_step_only():
    """PREP6: between the steps there is no wait."""
    card = a_prep_card("a", a_step("Cut", 5), a_step("Glue", 5), wait="2 d")
    assert [row[0] for row in when(plan(card))] == [FRIDAY, FRIDAY]


def test_a_long_step_is_done_in_pieces_in_different_windows():
    """PREP7: pieces of at least ten whole minutes, in different windows."""
    prep = plan(a_prep_card("a", a_step("Sew", 45)))
    pieces = when(prep)
    assert sum(row[3] for row in pieces) == 45
    assert [row[0] for row in pieces] == [back(4), FRIDAY]
    assert min(row[3] for row in pieces) >= 10


def test_a_step_of_twenty_minutes_is_never_divided():
    """PREP7 and PREP24: it is late where no window is long enough, and says so."""
    prep = plan(a_prep_card("a", a_step("Sew", 20)), windows=[a_window(end=dt.time(13, 15))])
    assert prep.late_minutes == 20
    assert "longest window for it has 15" in prep.late[0].why


def test_a_divided_step_is_late_with_the_minutes_that_are_late():
    """PREP7 and PREP14: of a divided step the minutes that lie late; it is late if its last piece is."""
    card = a_prep_card("a", a_step("Sew", 60))
    one_week = [a_placement(activity="a", days=(MONDAY,))]
    windows = [a_window(end=dt.time(13, 20), days=("fri",))]
    room = a_room(
        prep_windows=tuple(windows), closed=frozenset(back(3 + 7 * week) for week in range(2, 7))
    )
    prep = plan(card, placements=one_week, room=room)
    assert [(step.do, step.minutes) for step in prep.late] == [("Sew", 20)]
    assert sum(row[3] for row in when(prep)) == 40


def test_prep_goes_back_six_weeks_whatever_today_is():
    """PREP10: six weeks before the unit starts, and no further."""
    only = a_window(end=dt.time(13, 10), days=("mon",))
    prep = plan(a_prep_card("a", *[a_step(f"Cut {n}", 10) for n in range(7)]), windows=[only])
    assert prep.starts == back(42)
    assert [step.do for step in prep.late] == ["Cut 6"]
    assert "Cut 5" in [row[2] for row in when(prep)]


def test_windows_inside_the_unit_count_for_what_comes_later():
    """PREP11: also inside the unit's weeks."""
    prep = plan(a_card(prep=10), placements=[a_placement(weeks=(2,))])
    assert prep.starts == MONDAY + dt.timedelta(days=4)


def test_on_the_first_day_only_windows_that_end_by_the_first_morning_count():
    """PREP11: a window until 08:00 counts, one until 08:10 does not."""
    early = a_window(dt.time(7, 30), dt.time(8), days=("mon",))
    late = a_window(dt.time(7, 30), dt.time(8, 10), days=("mon",))
    assert plan(a_card(prep=10), windows=[early]).starts == MONDAY
    assert plan(a_card(prep=10), windows=[late]).starts == back(7)


def test_a_step_that_is_away_needs_a_window_that_is_away():
    """PREP11: only in windows that are away."""
    card = a_prep_card("a", a_step("Copy", 10, away=True), a_step("Cut", 10))
    away = a_window(dt.time(16), dt.time(16, 30), days=("wed",), away=True)
    prep = plan(card, windows=[a_window(), away])
    assert when(prep) == [(back(5), "16:00-16:30", "Copy", 10), (back(5), "16:00-16:30", "Cut", 10)]
    stuck = plan(card)
    assert "lets an adult leave the room" in stuck.late[0].why
    assert (
        stuck.late[1].why == "The step above it is late, and it cannot begin before that has ended."
    )


def test_two_adults_are_two_tracks_of_the_windows_length():
    """PREP12: n equal tracks; one step one adult."""
    cards = [a_prep_card(name, a_step("Sew", 20)) for name in "abcd"]
    prep = plan(*cards, windows=[a_window(adults=2)])
    assert [(s.date, s.adult, s.minutes) for s in prep.sessions] == [
        (FRIDAY, 1, 40),
        (FRIDAY, 2, 40),
    ]


def test_pieces_of_one_step_are_never_at_the_same_time():
    """PREP12: not even in two windows that overlap."""
    windows = [a_window(), a_window(away=True)]
    prep = plan(a_prep_card("a", a_step("Sew", 60)), windows=windows)
    first, second = sorted(
        (step for s in prep.sessions for step in s.steps), key=lambda step: step.begins
    )
    assert first.ends <= second.begins
    assert first.minutes + second.minutes == 60


def test_fewest_sessions_then_the_latest_of_them():
    """PREP13: only the date is maximised, then fewest sessions, then later ones."""
    cards = [a_prep_card("a", a_step("Cut", 10)), a_prep_card("b", a_step("Mix", 30))]
    prep = plan(*cards, windows=[a_window(), a_window(dt.time(16), dt.time(16, 40))])
    assert [(s.date, s.window, s.minutes) for s in prep.sessions] == [(FRIDAY, "16:00-16:40", 40)]


def test_nothing_to_do_starts_never():
    """PREP13: null when there is nothing to do."""
    prep = plan(a_card(prep=0))
    assert prep.as_json()["starts"] is None
    assert prep.is_feasible
    assert prep.sessions == ()


def test_late_work_is_in_no_session_and_takes_no_window():
    """PREP15: not into sessions; it takes no window from others."""
    cards = [a_prep_card("a", a_step("Mix", 20), keeps="1 d"), a_prep_card("b", a_step("Cut", 40))]
    days = [a_placement(activity="a", days=(MONDAY,)), a_placement("science", "b")]
    prep = plan(*cards, placements=days)
    assert [(row[2], row[3]) for row in when(prep)] == [("Cut", 40)]
    assert [step.activity for step in prep.late] == ["a"]


def test_late_minutes_are_minutes_of_steps_and_the_list_adds_up_to_them():
    """PREP14: not hours of delay."""
    card = a_prep_card("a", a_step("Cut", 5), a_step("Mix", 15), wait="3 d", keeps="2 d")
    prep = plan(card, placements=[a_placement(activity="a", days=(MONDAY,))])
    assert prep.late_minutes == sum(step.minutes for step in prep.late) == 20
    assert "would not keep" in prep.late[0].why  # PREP23: its steps are late


def test_equal_steps_of_one_session_are_shown_together():
    """PREP16: shown together; in the JSON they stay one per activity."""
    cards = [a_prep_card("a", a_step("Cut", 5)), a_prep_card("b", a_step("cut", 10))]
    (session,) = plan(*cards).sessions
    assert [(do.lower(), len(steps)) for do, steps in session.groups] == [("cut", 2)]
    assert len(plan(*cards).as_json()["sessions"][0]["tasks"]) == 2


def test_unit_prep_plans_one_unit_and_names_the_others():
    """PREP19: one unit with all windows; the page warns."""
    mine = a_unit()
    beside = a_unit(name="other", starts=MONDAY + dt.timedelta(days=7))
    after = a_unit(name="after", starts=MONDAY + dt.timedelta(days=14))
    assert units_beside(mine, [mine, beside, after]) == (beside,)


def test_the_json_has_the_keys_that_others_rely_on():
    """PREP22: ``window`` is "13:00-13:40", ``adult`` counts from 1."""
    answer = json.loads(json.dumps(plan(a_prep_card("a", a_step("Cut", 10))).as_json()))
    assert {k: answer[k] for k in ("feasible", "late_minutes", "starts", "late", "missing")} == {
        "feasible": True, "late_minutes": 0, "starts": FRIDAY.isoformat(), "late": [], "missing": []
    }  # fmt: skip
    (session,) = answer["sessions"]
    assert (session["date"], session["window"], session["adult"]) == (FRIDAY.isoformat(), NAP, 1)
    task = session["tasks"][0]
    assert (task["activity"], task["do"], task["minutes"]) == ("a", "Cut", 10)
    assert answer["unit"] == "leaves-and-wind/2026-fall"
    assert answer["proven"] is True


def test_a_room_without_windows_has_everything_late_and_says_so():
    """PREP24: no windows at all."""
    prep = plan(a_card(prep=10), room=a_room(prep_windows=()))
    assert prep.late_minutes == 10
    assert prep.needs_a_person
    assert "no prep window" in prep.late[0].why


def test_a_missing_card_is_named_and_the_rest_is_planned():
    """FIND7: left out and named in ``missing``."""
    placements = [
        a_placement(activity="gone"),
        a_placement("science", "gone"),
        a_placement(activity="a"),
    ]
    prep = plan(a_card("a", prep=10), placements=placements)
    assert prep.missing == ("gone",)
    assert prep.starts == FRIDAY
    assert prep.needs_a_person


def test_a_published_dough_week_is_scheduled_back_from_its_monday():
    """A back-schedule worked out by hand for Monday 9 March 2026: dough made at most seven days
    before (so not before Monday 2 March), what dries overnight done by Friday 6 March."""
    monday = dt.date(2026, 3, 9)
    dough = a_prep_card("dough", a_step("Mix the dough", 15), keeps="7 d")
    prints = a_prep_card("prints", a_step("Paint", 20), wait="overnight")
    copies = a_prep_card("copies", a_step("Copy", 5), a_step("Laminate", 10))
    prep = plan(
        dough, prints, copies, starts=monday, weeks=1, windows=[a_window(end=dt.time(13, 20))]
    )
    dates = {row[2]: row[0] for row in when(prep)}
    assert dt.date(2026, 3, 2) <= dates["Mix the dough"] <= dt.date(2026, 3, 6)
    assert dates["Paint"] <= dt.date(2026, 3, 6)
    assert prep.starts == dt.date(2026, 3, 4)


# Steps that a person has put somewhere


def test_a_pinned_step_stays_and_the_rest_is_planned_around_it():
    card, other = a_prep_card("a", a_step("Cut", 30)), a_prep_card("b", a_step("Mix", 30))
    pin = PinnedStep("a/1/1", back(5), NAP)
    prep = plan(card, other, pins=[pin])
    assert when(prep) == [(back(5), NAP, "Cut", 30), (FRIDAY, NAP, "Mix", 30)]
    assert prep.sessions[0].steps[0].pinned
    assert not prep.refused
    assert prep.proof.proven


def test_a_piece_of_a_long_step_can_be_pinned():
    pin = PinnedStep("a/1/1", back(6), NAP, minutes=15)
    prep = plan(a_prep_card("a", a_step("Sew", 45)), pins=[pin])
    assert when(prep) == [(back(6), NAP, "Sew", 15), (FRIDAY, NAP, "Sew", 30)]


def test_a_pinned_adult_keeps_the_step():
    pins = [PinnedStep("a/1/1", FRIDAY, NAP, adult=2)]
    prep = plan(a_prep_card("a", a_step("Cut", 10)), windows=[a_window(adults=2)], pins=pins)
    assert [(s.adult, s.minutes) for s in prep.sessions] == [(2, 10)]


def test_pins_that_cannot_stay_are_refused_with_a_reason_and_nothing_is_lost():
    card = a_prep_card("a", a_step("Cut", 30), a_step("Copy", 10, away=True), keeps="6 d")
    away = a_window(dt.time(16), dt.time(17), days=("wed",), away=True)
    pins = [
        PinnedStep("gone/1/1", FRIDAY, NAP),
        PinnedStep("a/1/1", FRIDAY, "09:00-09:10"),
        PinnedStep("a/1/2", FRIDAY, NAP),
        PinnedStep("a/1/2", back(12), "16:00-17:00"),
        PinnedStep("a/1/1", FRIDAY, NAP, adult=2),
        PinnedStep("a/1/1", MONDAY, NAP),
        PinnedStep("a/1/1", back(5), "16:00-17:00"),
        PinnedStep("a/1/1", back(6), NAP),
        PinnedStep("a/1/1", FRIDAY, NAP, minutes=25),
    ]
    prep = plan(card, windows=[a_window(), away], pins=pins, weeks=1)
    assert [refused.step for refused in prep.refused] == [p for p in pins if p != pins[6]]
    assert all(refused.why.endswith(".") for refused in prep.refused)
    assert prep.is_feasible
    assert when(prep)[0][:3] == (back(5), "16:00-17:00", "Cut")


def test_pins_that_leave_no_plan_give_way_from_the_last():
    card = a_prep_card("a", a_step("Cut", 10), a_step("Mix", 10))
    other = a_prep_card("b", a_step("Sew", 40))
    start = back(42)
    pins = [PinnedStep("b/1/1", start, NAP), PinnedStep("a/1/2", start, NAP)]
    prep = plan(card, other, pins=pins)
    assert [refused.step for refused in prep.refused] == [pins[1]]
    assert prep.is_feasible
