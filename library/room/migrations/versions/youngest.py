"""How old the youngest child was when a room decided something about a caution."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Goes to this form; of what was decided before it is not known."""
    with op.batch_alter_table("policy") as policy:
        policy.add_column(sa.Column("youngest", sa.Integer))


def downgrade() -> None:
    """Goes back to decisions that ask again after a year alone."""
    with op.batch_alter_table("policy") as policy:
        policy.drop_column("youngest")
