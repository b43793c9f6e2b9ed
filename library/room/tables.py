"""The tables of the private database. A change here needs a migration beside it."""

from __future__ import annotations

from sqlalchemy import (
    JSON,
    Boolean,
    Column,
    Date,
    ForeignKey,
    Integer,
    MetaData,
    String,
    Table,
    Time,
    UniqueConstraint,
)

HEAD = "0007"
"""The migration that these tables stand for."""

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(column_0_label)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "pk": "pk_%(table_name)s",
    }
)


def _of_room() -> tuple[Column[int], Column[int], Column[int]]:
    """The columns that every row of a room's lists begins with."""
    return (
        Column("id", Integer, primary_key=True),
        Column("room_id", ForeignKey("room.id", ondelete="CASCADE"), nullable=False, index=True),
        Column("position", Integer, nullable=False),
    )


room = Table(
    "room",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("name", String, nullable=False),
    Column("key", String, nullable=False, comment="the name in lower case"),
    Column("current", Boolean, nullable=False),
    Column("demo", Boolean, nullable=False),
    Column("adults", Integer, nullable=False),
    Column("open", JSON, nullable=False),
    Column("centers", JSON, nullable=False),
    Column("languages", JSON, nullable=False),
    Column("rules", String, nullable=False),
    Column("prep_as_it_took", Boolean, nullable=False),
    Column("loan_days", Integer, nullable=False, server_default="21"),
    Column("loan_ahead", Integer, nullable=False, server_default="14"),
    Column("loan_hold", Integer, nullable=False, server_default="3"),
    Column("shelf", String, nullable=False, server_default=""),
    Column("units", JSON, nullable=False, server_default="[]"),
    Column("zone", String, nullable=False, server_default=""),
    UniqueConstraint("key"),
)
child = Table(
    "child",
    metadata,
    *_of_room(),
    Column("label", String, nullable=False),
    Column("birth_year", Integer, nullable=False),
    Column("birth_month", Integer, nullable=False),
    Column("allergens", JSON, nullable=False),
    Column("days", JSON, nullable=False),
    Column("since", Date),
    Column("until", Date),
)
block = Table(
    "block",
    metadata,
    *_of_room(),
    Column("name", String, nullable=False),
    Column("start", Time, nullable=False),
    Column("end", Time, nullable=False),
    Column("kind", String, nullable=False),
)
prep_window = Table(
    "prep_window",
    metadata,
    *_of_room(),
    Column("days", JSON, nullable=False),
    Column("start", Time, nullable=False),
    Column("end", Time, nullable=False),
    Column("adults", Integer, nullable=False),
    Column("away", Boolean, nullable=False),
)
closed_day = Table("closed_day", metadata, *_of_room(), Column("day", Date, nullable=False))
adults_on = Table(
    "adults_on",
    metadata,
    *_of_room(),
    Column("day", Date, nullable=False),
    Column("adults", Integer, nullable=False),
)
stock_line = Table(
    "stock_line",
    metadata,
    *_of_room(),
    Column("item", String, nullable=False),
    Column("number", String, nullable=False, comment="an exact fraction"),
    Column("measure", String, nullable=False),
    Column("bin", String, nullable=False),
    Column("out", String, nullable=False, server_default="0", comment="an exact fraction"),
)
buy_line = Table(
    "buy_line",
    metadata,
    *_of_room(),
    Column("item", String, nullable=False),
    Column("pack_number", String, comment="an exact fraction"),
    Column("pack_measure", String),
    Column("price", String, comment="decimal"),
    Column("delivery_days", Integer, nullable=False),
    Column("shop", String, nullable=False),
)
policy = Table(
    "policy",
    metadata,
    *_of_room(),
    Column("kind", String, nullable=False),
    Column("note", String, nullable=False),
    Column("by", String, nullable=False),
    Column("day", Date, nullable=False),
    Column("youngest", Integer),
)
jot = Table(
    "jot",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("room_id", ForeignKey("room.id", ondelete="CASCADE"), nullable=False, index=True),
    Column("day", Date, nullable=False),
    Column("words", String, nullable=False),
    Column("activity", String, index=True),
    Column("answer", String),
)
jot_child = Table(
    "jot_child",
    metadata,
    Column("jot_id", ForeignKey("jot.id", ondelete="CASCADE"), primary_key=True),
    Column("label", String, primary_key=True),
)
prep_step = Table(
    "prep_step",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("room_id", ForeignKey("room.id", ondelete="CASCADE"), nullable=False, index=True),
    Column("unit", String, nullable=False),
    Column("step", String, nullable=False, comment="its key in the plan"),
    Column("day", Date),
    Column("window", String, nullable=False),
    Column("adult", Integer),
    Column("minutes", Integer),
    Column("done", Boolean, nullable=False),
    Column("who", String, nullable=False),
)


def _seconds(name: str, *, needed: bool = True) -> Column[int]:
    """A moment: seconds since 1970 in UTC."""
    return Column(name, Integer, nullable=not needed)


person = Table(
    "person",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("name", String, nullable=False),
    Column("key", String, nullable=False, comment="the name in lower case"),
    Column("role", String, nullable=False),
    Column("password", String, comment="an argon2 hash"),
    _seconds("made"),
    _seconds("ended", needed=False),
    UniqueConstraint("key"),
)
person_room = Table(
    "person_room",
    metadata,
    Column("person_id", ForeignKey("person.id", ondelete="CASCADE"), primary_key=True),
    Column("room_id", ForeignKey("room.id", ondelete="CASCADE"), primary_key=True),
)
signed_in = Table(
    "signed_in",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("secret", String, nullable=False, comment="a hash"),
    Column("person_id", ForeignKey("person.id", ondelete="CASCADE"), index=True),
    Column("room_id", ForeignKey("room.id", ondelete="CASCADE"), comment="of a shared tablet"),
    Column("tablet", String, nullable=False),
    _seconds("since"),
    _seconds("seen"),
)
invitation = Table(
    "invitation",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("secret", String, nullable=False, comment="a hash"),
    Column("kind", String, nullable=False),
    Column("name", String, nullable=False),
    Column("role", String, nullable=False),
    Column("person_id", ForeignKey("person.id", ondelete="CASCADE")),
    _seconds("ends"),
    Column("by", String, nullable=False, server_default="", comment="a name as it was then"),
)
invitation_room = Table(
    "invitation_room",
    metadata,
    Column("invitation_id", ForeignKey("invitation.id", ondelete="CASCADE"), primary_key=True),
    Column("room_id", ForeignKey("room.id", ondelete="CASCADE"), primary_key=True),
)
second_step = Table(
    "second_step",
    metadata,
    Column("person_id", ForeignKey("person.id", ondelete="CASCADE"), primary_key=True),
    Column("key", String, nullable=False, comment="in base 32; codes are made from it"),
    Column("last_step", Integer, nullable=False, comment="of the last code that was taken"),
    _seconds("since", needed=False),
)


def _of_person() -> tuple[Column[int], Column[int]]:
    """The columns that every row of a person's lists begins with."""
    return (
        Column("id", Integer, primary_key=True),
        Column(
            "person_id", ForeignKey("person.id", ondelete="CASCADE"), nullable=False, index=True
        ),
    )


spare_code = Table(
    "spare_code",
    metadata,
    *_of_person(),
    Column("secret", String, nullable=False, comment="a hash"),
    sqlite_autoincrement=True,
)
account_notice = Table(
    "account_notice",
    metadata,
    *_of_person(),
    _seconds("at"),
    Column("said", String, nullable=False),
    Column("session", Integer, nullable=False, comment="in which it was done; 0: in none"),
    sqlite_autoincrement=True,
)
failed_try = Table(
    "failed_try",
    metadata,
    Column("key", String, primary_key=True),
    Column("count", Integer, nullable=False),
    _seconds("last"),
)
audit = Table(
    "audit",
    metadata,
    Column("id", Integer, primary_key=True),
    _seconds("at"),
    Column("who", String, nullable=False, comment="a name as it was then"),
    Column("did", String, nullable=False),
    Column("address", String, nullable=False, comment="only for tries to sign in"),
    sqlite_autoincrement=True,
)
card_comment = Table(
    "card_comment",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("card", String, nullable=False, index=True, comment="id of the card"),
    _seconds("at"),
    Column("by", String, nullable=False, comment="a name as it was then"),
    Column("text", String, nullable=False),
    sqlite_autoincrement=True,
)
