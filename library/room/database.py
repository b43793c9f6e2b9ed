"""Opens the private database and brings it up to date."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, inspect, text
from sqlalchemy.pool import NullPool

from library.room.tables import HEAD
from library.store.errors import WrongUse
from library.store.locks import one_writer

MIGRATIONS = Path(__file__).parent / "migrations"
_READY: set[tuple[Path, int]] = set()


def open_database(path: Path) -> Engine:
    """The database of one data folder, made or migrated first if need be.

    Only the person who runs the program may read the file. What is deleted is overwritten, so
    that a removed child leaves no trace in it.

    Args:
        path: File of the database; its folder is made if it is missing.

    Raises:
        WrongUse: If a newer Lowshelf has written it.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    if not path.exists():
        os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))
    engine = create_engine(f"sqlite:///{path}", poolclass=NullPool, connect_args={"timeout": 15})
    event.listen(engine, "connect", _prepare)
    state = (path.resolve(), path.stat().st_ino)
    if state not in _READY or not path.stat().st_size:
        with one_writer(path.with_suffix(".lock")):
            _migrate(engine)
        _READY.add(state)
    return engine


def compact(engine: Engine) -> None:
    """Rewrites the file without the pages that deleted rows have left."""
    with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.execute(text("VACUUM"))


def alembic_config(connection: Connection | None = None) -> Any:
    """Alembic's settings for the migrations that the package carries."""
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


def _migrate(engine: Engine) -> None:
    with engine.connect() as connection:
        version = _version(connection)
    if version == HEAD:
        return
    from alembic import command
    from alembic.script import ScriptDirectory

    script = ScriptDirectory.from_config(alembic_config())
    known = {revision.revision for revision in script.walk_revisions()}
    if version is not None and version not in known:
        raise WrongUse(
            f"the private database was written by a newer Lowshelf (its tables are {version}); "
            "install that one, or name another data folder with --data DIR"
        )
    with engine.begin() as connection:
        command.upgrade(alembic_config(connection), "head")


def _version(connection: Connection) -> str | None:
    if not inspect(connection).has_table("alembic_version"):
        return None
    return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()


def _prepare(connection: Any, _: object) -> None:
    connection.create_function("folded", 1, str.casefold, deterministic=True)
    cursor = connection.cursor()
    cursor.execute("PRAGMA foreign_keys=ON")
    cursor.execute("PRAGMA secure_delete=ON")
    cursor.close()
