"""A second step of signing in, and what somebody is told about their own account."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Goes to this form."""
    text, whole = sa.String, sa.Integer
    op.create_table(
        "second_step",
        sa.Column("person_id", whole, nullable=False),
        sa.Column("key", text, nullable=False),
        sa.Column("last_step", whole, nullable=False),
        sa.Column("since", whole),
        sa.PrimaryKeyConstraint("person_id", name="pk_second_step"),
        _belongs("second_step"),
    )
    _create_list("spare_code", sa.Column("secret", text, nullable=False))
    _create_list(
        "account_notice",
        sa.Column("at", whole, nullable=False),
        sa.Column("said", text, nullable=False),
        sa.Column("session", whole, nullable=False),
    )
    with op.batch_alter_table("invitation") as invitation:
        invitation.add_column(sa.Column("by", text, nullable=False, server_default=""))


def downgrade() -> None:
    """Goes back to passwords alone."""
    with op.batch_alter_table("invitation") as invitation:
        invitation.drop_column("by")
    for name in ("account_notice", "spare_code", "second_step"):
        op.drop_table(name)


def _create_list(name: str, *columns: sa.Column[object]) -> None:
    op.create_table(
        name,
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("person_id", sa.Integer, nullable=False),
        *columns,
        sa.PrimaryKeyConstraint("id", name=f"pk_{name}"),
        _belongs(name),
        sqlite_autoincrement=True,
    )
    op.create_index(f"ix_{name}_person_id", name, ["person_id"])


def _belongs(table: str) -> sa.ForeignKeyConstraint:
    name = f"fk_{table}_person_id"
    return sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=name, ondelete="CASCADE")
