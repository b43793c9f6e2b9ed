"""The first form: rooms with their lists, and jots."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

TABLES = (
    "child",
    "block",
    "prep_window",
    "closed_day",
    "adults_on",
    "stock_line",
    "buy_line",
    "policy",
)


def upgrade() -> None:
    """Goes to this form."""
    text, whole, day, time, flag = sa.String, sa.Integer, sa.Date, sa.Time, sa.Boolean
    op.create_table(
        "room",
        sa.Column("id", whole, nullable=False),
        _needed("name", text),
        _needed("key", text),
        _needed("current", flag),
        _needed("demo", flag),
        _needed("adults", whole),
        _needed("open", sa.JSON),
        _needed("centers", sa.JSON),
        _needed("languages", sa.JSON),
        _needed("rules", text),
        _needed("prep_as_it_took", flag),
        sa.PrimaryKeyConstraint("id", name="pk_room"),
        sa.UniqueConstraint("key", name="uq_room_key"),
    )
    _create_list(
        "child",
        _needed("label", text),
        _needed("birth_year", whole),
        _needed("birth_month", whole),
        _needed("allergens", sa.JSON),
        _needed("days", sa.JSON),
        sa.Column("since", day),
        sa.Column("until", day),
    )
    span = (("start", time), ("end", time))
    _create_list("block", _needed("name", text), *_all(*span), _needed("kind", text))
    _create_list(
        "prep_window",
        _needed("days", sa.JSON),
        *_all(*span),
        _needed("adults", whole),
        _needed("away", flag),
    )
    _create_list("closed_day", _needed("day", day))
    _create_list("adults_on", _needed("day", day), _needed("adults", whole))
    _create_list(
        "stock_line",
        *_all(("item", text), ("number", text), ("measure", text), ("bin", text)),
    )
    _create_list(
        "buy_line",
        _needed("item", text),
        sa.Column("pack_number", text),
        sa.Column("pack_measure", text),
        sa.Column("price", text),
        _needed("delivery_days", whole),
        _needed("shop", text),
    )
    _create_list("policy", *_all(("kind", text), ("note", text), ("by", text), ("day", day)))
    _create_jots()


def downgrade() -> None:
    """Goes back to nothing."""
    for name in ("jot_child", "jot", *reversed(TABLES), "room"):
        op.drop_table(name)


def _create_jots() -> None:
    op.create_table(
        "jot",
        sa.Column("id", sa.Integer, nullable=False),
        _needed("room_id", sa.Integer),
        _needed("day", sa.Date),
        _needed("words", sa.String),
        sa.Column("activity", sa.String),
        sa.Column("answer", sa.String),
        sa.PrimaryKeyConstraint("id", name="pk_jot"),
        sa.ForeignKeyConstraint(["room_id"], ["room.id"], "fk_jot_room_id", ondelete="CASCADE"),
    )
    op.create_index("ix_jot_room_id", "jot", ["room_id"])
    op.create_index("ix_jot_activity", "jot", ["activity"])
    op.create_table(
        "jot_child",
        _needed("jot_id", sa.Integer),
        _needed("label", sa.String),
        sa.PrimaryKeyConstraint("jot_id", "label", name="pk_jot_child"),
        sa.ForeignKeyConstraint(["jot_id"], ["jot.id"], "fk_jot_child_jot_id", ondelete="CASCADE"),
    )


def _create_list(name: str, *columns: sa.Column[Any]) -> None:
    op.create_table(
        name,
        sa.Column("id", sa.Integer, nullable=False),
        _needed("room_id", sa.Integer),
        _needed("position", sa.Integer),
        *columns,
        sa.PrimaryKeyConstraint("id", name=f"pk_{name}"),
        sa.ForeignKeyConstraint(["room_id"], ["room.id"], f"fk_{name}_room_id", ondelete="CASCADE"),
    )
    op.create_index(f"ix_{name}_room_id", name, ["room_id"])


def _needed(name: str, kind: type[Any]) -> sa.Column[Any]:
    return sa.Column(name, kind, nullable=False)


def _all(*columns: tuple[str, type[Any]]) -> list[sa.Column[Any]]:
    return [_needed(name, kind) for name, kind in columns]
