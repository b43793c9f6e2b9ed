"""What is taken out of a bin, how the public library lends, and closets that rooms share."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

OF_A_ROOM: tuple[tuple[str, type[Any], str], ...] = (
    ("loan_days", sa.Integer, "21"),
    ("loan_ahead", sa.Integer, "14"),
    ("loan_hold", sa.Integer, "3"),
    ("shelf", sa.String, ""),
    ("units", sa.JSON, "[]"),
)


def upgrade() -> None:
    """Goes to this form."""
    with op.batch_alter_table("room") as room:
        for name, kind, usual in OF_A_ROOM:
            room.add_column(sa.Column(name, kind, nullable=False, server_default=usual))
    with op.batch_alter_table("stock_line") as stock_line:
        stock_line.add_column(sa.Column("out", sa.String, nullable=False, server_default="0"))


def downgrade() -> None:
    """Goes back to the form before."""
    with op.batch_alter_table("stock_line") as stock_line:
        stock_line.drop_column("out")
    with op.batch_alter_table("room") as room:
        for name, _, _ in reversed(OF_A_ROOM):
            room.drop_column(name)
