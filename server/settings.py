"""Settings of the server: defaults, then ``settings.toml`` in the data folder, then ``LOWSHELF_*``."""

from __future__ import annotations

import secrets
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any

from library.store.errors import WrongUse
from library.store.paths import LibraryPaths

LOOPBACK = ("127.0.0.1", "localhost", "::1")


@dataclass(frozen=True, slots=True)
class Settings:
    """What can be set; each attribute is the key in ``settings.toml`` and, in capitals, the variable."""

    paths: LibraryPaths
    """The library folder and the data folder; chosen on the command line only."""
    host: str = field(default="127.0.0.1", metadata={"help": "Address to listen on"})
    port: int = field(default=8765, metadata={"help": "Port to listen on"})
    host_name: str = field(
        default="",
        metadata={"help": "Name under which the room reaches this server, for printed codes"},
    )
    secret: str = field(
        default="", repr=False, metadata={"help": "Signs sessions; made on first start"}
    )
    watch: bool = field(default=True, metadata={"help": "Follow changes that other programs make"})

    https: bool = field(
        default=False, metadata={"help": "Speak https, with a certificate of this library's own"}
    )

    @property
    def loopback(self) -> bool:
        """Whether only this machine can reach the server."""
        return self.host in LOOPBACK

    @property
    def scheme(self) -> str:
        """``https`` or ``http``."""
        return "https" if self.https else "http"

    @property
    def cookie(self) -> str:
        """The name of the session's cookie.

        Browsers share cookies between the ports of one machine, so the port is in it. Under https the
        prefix makes browsers refuse one that was set without https or for a whole domain.
        """
        return f"__Host-lowshelf-{self.port}" if self.https else f"lowshelf-{self.port}"


def load_settings(paths: LibraryPaths, environ: Mapping[str, str], **override: Any) -> Settings:
    """The settings of one start.

    Args:
        paths: The library's places.
        environ: Environment variables; only ``LOWSHELF_<NAME>`` of known names count.
        override: What the command line says; None is not said.

    Raises:
        WrongUse: For an unknown key or a value of the wrong kind, naming both and its source.
    """
    source = paths.data / "settings.toml"
    said = _from_file(source)
    said.update(_from_environment(environ))
    settings = Settings(paths, **said)
    settings = replace(
        settings, **{key: value for key, value in override.items() if value is not None}
    )
    return settings if settings.secret else replace(settings, secret=_kept_secret(paths.data))


def _names() -> dict[str, type]:
    kinds: dict[str, type] = {"port": int, "watch": bool, "https": bool}
    return {
        each.name: kinds.get(each.name, str) for each in fields(Settings) if each.name != "paths"
    }


def _from_file(source: Path) -> dict[str, Any]:
    if not source.is_file():
        return {}
    try:
        said = tomllib.loads(source.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise WrongUse(f"{source} cannot be read: {error}") from error
    return {key: _checked(key, value, str(source)) for key, value in said.items()}


def _from_environment(environ: Mapping[str, str]) -> dict[str, Any]:
    said = {}
    for key in _names():
        variable = f"LOWSHELF_{key.upper()}"
        if variable in environ:
            said[key] = _checked(key, environ[variable], variable)
    return said


def _checked(key: str, value: object, source: str) -> Any:
    kind = _names().get(key)
    if kind is None:
        raise WrongUse(f"{source}: unknown setting '{key}'; known are {', '.join(_names())}")
    if kind is bool and isinstance(value, str) and value.lower() in {"true", "false", "1", "0"}:
        return value.lower() in {"true", "1"}
    if kind is int and isinstance(value, str) and value.isdecimal():
        return int(value)
    if not isinstance(value, kind):
        raise WrongUse(f"{source}: {key}: found {value!r}; expected a {kind.__name__}")
    return value


def _kept_secret(data: Path) -> str:
    """The secret of this library, made on the first start, readable by its owner only."""
    file = data / "secret"
    if not file.is_file():
        data.mkdir(parents=True, exist_ok=True)
        file.touch(mode=0o600)
        file.write_text(secrets.token_hex(32), encoding="ascii")
    return file.read_text(encoding="ascii")
