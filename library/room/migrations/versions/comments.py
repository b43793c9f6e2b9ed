"""What the staff say to each other about a card; it never goes into the library folder."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Goes to this form."""
    op.create_table(
        "card_comment",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("card", sa.String, nullable=False),
        sa.Column("at", sa.Integer, nullable=False),
        sa.Column("by", sa.String, nullable=False),
        sa.Column("text", sa.String, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_card_comment"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_card_comment_card", "card_comment", ["card"])


def downgrade() -> None:
    """Goes back to cards without comments."""
    op.drop_table("card_comment")
