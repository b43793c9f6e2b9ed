"""People, who is signed in, invitations, tries that failed, and the list of what was done."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Goes to this form."""
    text, whole = sa.String, sa.Integer
    op.create_table(
        "person",
        _needed("id", whole),
        _needed("name", text),
        _needed("key", text),
        _needed("role", text),
        sa.Column("password", text),
        _needed("made", whole),
        sa.Column("ended", whole),
        sa.PrimaryKeyConstraint("id", name="pk_person"),
        sa.UniqueConstraint("key", name="uq_person_key"),
    )
    _create_pairs("person_room", "person")
    op.create_table(
        "signed_in",
        _needed("id", whole),
        _needed("secret", text),
        sa.Column("person_id", whole),
        sa.Column("room_id", whole),
        _needed("tablet", text),
        _needed("since", whole),
        _needed("seen", whole),
        sa.PrimaryKeyConstraint("id", name="pk_signed_in"),
        _belongs("signed_in", "person"),
        _belongs("signed_in", "room"),
    )
    op.create_index("ix_signed_in_person_id", "signed_in", ["person_id"])
    op.create_table(
        "invitation",
        _needed("id", whole),
        _needed("secret", text),
        _needed("kind", text),
        _needed("name", text),
        _needed("role", text),
        sa.Column("person_id", whole),
        _needed("ends", whole),
        sa.PrimaryKeyConstraint("id", name="pk_invitation"),
        _belongs("invitation", "person"),
    )
    _create_pairs("invitation_room", "invitation")
    _create_lists()


def downgrade() -> None:
    """Goes back to rooms and jots alone."""
    for name in ("audit", "failed_try", "invitation_room", "invitation", "signed_in"):
        op.drop_table(name)
    for name in ("person_room", "person"):
        op.drop_table(name)


def _create_lists() -> None:
    text, whole = sa.String, sa.Integer
    op.create_table(
        "failed_try",
        _needed("key", text),
        _needed("count", whole),
        _needed("last", whole),
        sa.PrimaryKeyConstraint("key", name="pk_failed_try"),
    )
    op.create_table(
        "audit",
        _needed("id", whole),
        _needed("at", whole),
        _needed("who", text),
        _needed("did", text),
        _needed("address", text),
        sa.PrimaryKeyConstraint("id", name="pk_audit"),
        sqlite_autoincrement=True,
    )


def _create_pairs(name: str, of: str) -> None:
    """A table that says which rooms something belongs to."""
    op.create_table(
        name,
        _needed(f"{of}_id", sa.Integer),
        _needed("room_id", sa.Integer),
        sa.PrimaryKeyConstraint(f"{of}_id", "room_id", name=f"pk_{name}"),
        _belongs(name, of),
        _belongs(name, "room"),
    )


def _belongs(table: str, to: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        [f"{to}_id"], [f"{to}.id"], f"fk_{table}_{to}_id", ondelete="CASCADE"
    )


def _needed(name: str, kind: type[Any]) -> sa.Column[Any]:
    return sa.Column(name, kind, nullable=False)
