"""How old the youngest child was when a room decided something about a caution."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Goes to this form; what was decided before counts as decided for the children there now."""
    with op.batch_alter_table("policy") as policy:
        policy.add_column(sa.Column("youngest", sa.Integer))
    op.execute(
        """
        UPDATE policy SET youngest = (
            SELECT max(0, min(
                (strftime('%Y', policy.day) - child.birth_year) * 12
                + strftime('%m', policy.day) - child.birth_month
            ))
            FROM child
            WHERE child.room_id = policy.room_id
            AND (child.until IS NULL OR child.until >= policy.day)
            AND (child.since IS NULL OR child.since <= policy.day)
        )
        """
    )


def downgrade() -> None:
    """Goes back to decisions that ask again after a year alone."""
    with op.batch_alter_table("policy") as policy:
        policy.drop_column("youngest")
