"""Where a step of prep was put, whether it is done and by whom; the room's time zone."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Goes to this form."""
    text, whole = sa.String, sa.Integer
    with op.batch_alter_table("room") as room:
        room.add_column(sa.Column("zone", text, nullable=False, server_default=""))
    op.create_table(
        "prep_step",
        _needed("id", whole),
        _needed("room_id", whole),
        _needed("unit", text),
        _needed("step", text),
        sa.Column("day", sa.Date),
        _needed("window", text),
        sa.Column("adult", whole),
        sa.Column("minutes", whole),
        _needed("done", sa.Boolean),
        _needed("who", text),
        sa.PrimaryKeyConstraint("id", name="pk_prep_step"),
        sa.ForeignKeyConstraint(
            ["room_id"], ["room.id"], "fk_prep_step_room_id", ondelete="CASCADE"
        ),
    )
    op.create_index("ix_prep_step_room_id", "prep_step", ["room_id"])


def downgrade() -> None:
    """Goes back to the form before."""
    op.drop_table("prep_step")
    with op.batch_alter_table("room") as room:
        room.drop_column("zone")


def _needed(name: str, kind: type[Any]) -> sa.Column[Any]:
    return sa.Column(name, kind, nullable=False)
