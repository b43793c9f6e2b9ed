"""The plan as a table."""

import datetime as dt

from library.plan.grid import plan_grid
from library.units.placed import lay_out
from tests.builders import MONDAY, a_card, a_placement, a_room, a_unit


def grid_of(*placements, **room):
    unit = a_unit(*placements)
    fern = a_room(**room)
    cards = {"sponge-rain": a_card(), "leaf-tub": a_card("leaf-tub")}
    return plan_grid(unit, lay_out(unit, None, cards, fern), fern)


def words(row):
    return [
        (
            len(cell.days),
            "closed" if cell.closed else "+".join(p.placement.activity for p in cell.placed),
        )
        for cell in row.cells
    ]


def test_neighbouring_days_with_the_same_activity_share_a_cell_within_a_week():
    grid = grid_of(a_placement("water", "sponge-rain"))
    assert [len(week) for week in grid.weeks] == [5, 5]
    assert words(grid.rows[0]) == [(5, "sponge-rain"), (5, "sponge-rain")]


def test_a_closed_day_keeps_its_column_and_parts_a_cell():
    grid = grid_of(
        a_placement("water", "sponge-rain", weeks=(1,)),
        closed=frozenset({MONDAY + dt.timedelta(2)}),
    )
    assert words(grid.rows[0]) == [(2, "sponge-rain"), (1, "closed"), (2, "sponge-rain"), (5, "")]


def test_two_activities_on_one_day_stand_in_one_cell():
    grid = grid_of(
        a_placement("water", "sponge-rain"), a_placement("water", "leaf-tub", on=("tue",))
    )
    assert words(grid.rows[0])[:3] == [
        (1, "sponge-rain"),
        (1, "sponge-rain+leaf-tub"),
        (3, "sponge-rain"),
    ]


def test_rows_follow_the_walk_and_name_empty_centers():
    grid = grid_of(
        a_placement("light", "leaf-tub"), a_placement("water"), centers=("water", "dough")
    )
    assert [(row.center, row.is_empty) for row in grid.rows] == [
        ("water", False),
        ("dough", True),
        ("light", False),
    ]


def test_days_on_which_the_room_never_opens_have_no_column():
    grid = grid_of(a_placement(), open=("mon", "wed"))
    assert [day.isoformat() for day in grid.days] == [
        "2026-10-05",
        "2026-10-07",
        "2026-10-12",
        "2026-10-14",
    ]
