"""The names and addresses under which others reach this machine."""

from __future__ import annotations

import ipaddress
import socket
from urllib.parse import urlsplit

from server.settings import LOOPBACK, Settings

EVERYWHERE = ("0.0.0.0", "::")  # nosec B104 - addresses to listen on, never names to answer to


def own_names(settings: Settings) -> tuple[str, ...]:
    """Every name that the server answers to, the best one to hand out first.

    Alone on this machine it answers to this machine's own names only, whatever the room calls it:
    nobody signs in there, and only a proxy could bring others to it.

    Args:
        settings: Where it listens, and the name the room knows it by.
    """
    called = settings.host_name.strip()
    named = urlsplit(called if "://" in called else f"//{called}").hostname or ""
    if settings.loopback:
        return tuple(dict.fromkeys((settings.host, *LOOPBACK)))
    said = [named, settings.host if settings.host not in EVERYWHERE else ""]
    found = [*_addresses(settings), *_host_names()]
    names = [name.lower() for name in (*said, *found, *LOOPBACK) if name]
    return tuple(dict.fromkeys(names))


def address_of(settings: Settings) -> str:
    """The address to hand out, such as ``https://192.168.1.20:8765``."""
    name = own_names(settings)[0]
    shown = f"[{name}]" if ":" in name else name
    return f"{settings.scheme}://{shown}:{settings.port}"


def is_address(name: str) -> bool:
    """Whether a name is a number and no word."""
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


def _addresses(settings: Settings) -> list[str]:
    """The machine's own address in the network it uses; nothing is sent to find out."""
    if settings.host not in EVERYWHERE:
        return []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(
                ("192.0.2.1", 9)
            )  # a documentation address (RFC 5737); UDP sends nothing yet
            return [str(probe.getsockname()[0])]
        except OSError:
            return []


def _host_names() -> list[str]:
    name = socket.gethostname().lower()
    return [name, f"{name}.local"] if name and "." not in name else [name]
