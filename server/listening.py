"""Listens on an address and hands requests to the app: waitress without https, Hypercorn with it.

Waitress speaks no TLS. Hypercorn does, on Windows too, and reads requests and shakes hands without keeping
a thread busy, so that slow or silent clients keep nobody else waiting. Gunicorn runs on Unix only; Cheroot
shakes hands in the thread that accepts everybody, and reads each request in one of few threads.
"""

from __future__ import annotations

import asyncio
import datetime as dt
import socket
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from library.store.errors import WrongUse
from server.addresses import own_names
from server.certificate import make_certificates
from server.settings import Settings

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment
    from flask import Flask
    from hypercorn.config import Config

THREADS = 4
"""Requests that are answered at once: two slow ones hold nobody up, and a crowd is answered one after
another rather than all of it late."""
LONGEST_REQUEST = 30
"""Seconds that may pass until the next part of a request comes."""
LONGEST_HANDSHAKE = 15
"""Seconds to agree on how to encrypt."""
MOST_CONNECTIONS = 200
"""Connections at once."""


def listen(app: Flask, settings: Settings) -> None:
    """Serves until it is told to end.

    Raises:
        WrongUse: If the port is taken.
    """
    if settings.https:
        _listen_encrypted(app, settings)
    else:
        _listen_plainly(app, settings)


def _listen_plainly(app: Flask, settings: Settings) -> None:
    from waitress import create_server

    try:
        server = create_server(
            app,
            host=settings.host,
            port=settings.port,
            threads=THREADS,
            ident=None,
            connection_limit=MOST_CONNECTIONS,
            channel_timeout=LONGEST_REQUEST,
            max_request_body_size=app.config["MAX_CONTENT_LENGTH"],
        )
    except OSError as error:
        raise _taken(settings, error) from error
    server.run()


def _listen_encrypted(app: Flask, settings: Settings) -> None:
    from hypercorn.asyncio import serve

    try:
        # This kind of loop accepts by ``socket.accept``, on Windows too, where the usual one does not.
        with asyncio.Runner(loop_factory=asyncio.SelectorEventLoop) as runner:
            runner.run(serve(begun_at_once(app), _config(app, settings), mode="wsgi"))
    except OSError as error:
        raise _taken(settings, error) from error


def begun_at_once(app: WSGIApplication) -> WSGIApplication:
    """The app, with an empty part before every answer.

    Hypercorn 0.18 begins to answer when the first part comes. An answer without any, as to HEAD or to
    a browser that has the file already, would never begin and end as a failure.
    """

    def answer(environ: WSGIEnvironment, start_response: StartResponse) -> Iterator[bytes]:
        parts = app(environ, start_response)
        yield b""
        try:
            yield from parts
        finally:
            if hasattr(parts, "close"):
                parts.close()

    return answer


class CappedSocket(socket.socket):
    """A listening socket that hangs up on whoever comes while enough others are there.

    Hypercorn 0.18 has no setting for it.
    """

    def __init__(self, bound: socket.socket, most: int = MOST_CONNECTIONS) -> None:
        """Takes a bound socket over.

        Args:
            bound: It cannot be used any more afterwards.
            most: Connections at once.
        """
        super().__init__(bound.family, bound.type, bound.proto, fileno=bound.detach())
        self._most = most
        self._there: list[socket.socket] = []

    def accept(self) -> tuple[socket.socket, object]:
        """The next connection and where it comes from.

        Raises:
            ConnectionAbortedError: If there are enough; a loop of asyncio goes on to the next.
        """
        connection, address = super().accept()
        self._there = [each for each in self._there if each.fileno() >= 0]
        if len(self._there) >= self._most:
            connection.close()
            raise ConnectionAbortedError("there are enough connections")
        self._there.append(connection)
        return connection, address


def _config(app: Flask, settings: Settings) -> Config:
    from hypercorn.config import Config, Sockets

    class Capped(Config):
        def create_sockets(self) -> Sockets:
            made = super().create_sockets()
            return replace(made, secure_sockets=[CappedSocket(s) for s in made.secure_sockets])

    now = dt.datetime.now(dt.UTC)
    files = make_certificates(settings.paths.data, own_names(settings), now)
    config = Capped()
    shown = f"[{settings.host}]" if ":" in settings.host else settings.host
    config.bind = [f"{shown}:{settings.port}"]
    config.certfile, config.keyfile = str(files.certificate), str(files.key)
    config.alpn_protocols = ["http/1.1"]
    config.include_server_header = False
    config.errorlog = None
    config.read_timeout = LONGEST_REQUEST
    config.ssl_handshake_timeout = LONGEST_HANDSHAKE
    config.graceful_timeout = 1
    config.wsgi_max_body_size = 4 * app.config["MAX_CONTENT_LENGTH"]  # below that the app says why
    return config


def _taken(settings: Settings, error: OSError) -> WrongUse:
    why = error.strerror or str(error)
    return WrongUse(f"port {settings.port} cannot be used ({why}); choose another with --port")
