"""A real server that others can reach: https, and requests that are too large, too slow or crooked."""

from __future__ import annotations

import http.client
import re
import socket
import ssl
import subprocess
import sys
import time

import pytest

from server.listening import MOST_CONNECTIONS, CappedSocket
from tests.builders import CARD_TEXT, write_library
from tests.served import ROOT, Served

OPEN = ("--host", "0.0.0.0")


@pytest.fixture(scope="module", params=["--https", "--without-https"])
def served(request, tmp_path_factory):
    """A server of each kind, reachable by others."""
    paths = write_library(tmp_path_factory.mktemp("open"), {"water/sponge-rain.md": CARD_TEXT})
    running = Served(paths, *OPEN, request.param)
    try:
        yield running.wait()
    finally:
        running.stop()


def connection(served, timeout=10):
    where = ("127.0.0.1", served.port)
    if served.url.startswith("https"):
        return http.client.HTTPSConnection(*where, timeout=timeout, context=served.trust())
    return http.client.HTTPConnection(*where, timeout=timeout)


def ask(served, method, path, body=None, headers=None):
    talk = connection(served)
    try:
        talk.putrequest(method, path, skip_host=bool(headers and "Host" in headers))
        for name, value in (headers or {}).items():
            talk.putheader(name, value)
        if body is not None:
            talk.putheader("Content-Length", str(len(body)))
        talk.endheaders(body)
        answer = talk.getresponse()
        return answer.status, answer.read(), answer.headers
    finally:
        talk.close()


def raw(served):
    """A plain or encrypted stream to the server."""
    stream = socket.create_connection(("127.0.0.1", served.port), timeout=10)
    trust = served.trust()
    return trust.wrap_socket(stream, server_hostname="127.0.0.1") if trust else stream


def test_the_terminal_says_the_first_link_and_the_signs_of_the_certificate(served):
    said = served.said()
    link = re.search(r"/join\?link=\S+", said)[0]
    assert ask(served, "GET", link)[0] == 200
    if served.url.startswith("https"):
        page = ask(served, "GET", "/trust")[1].decode()
        fingerprint = re.search(r"(?:[0-9A-F]{2}:){31}[0-9A-F]{2}", said)[0]
        assert fingerprint in page
        assert ask(served, "GET", "/trust/lowshelf.crt")[1][:1] == b"0"
    else:
        assert "can read the passwords" in said


def test_an_answer_without_a_body_is_an_answer(served):
    """To HEAD, and to a browser that has a file already."""
    assert ask(served, "HEAD", "/sign-in")[:2] == (200, b"")
    code, body, headers = ask(served, "GET", "/static/lowshelf.css")
    assert code == 200
    assert len(body) > 1000
    again = ask(served, "GET", "/static/lowshelf.css", headers={"If-None-Match": headers["ETag"]})
    assert again[:2] == (304, b"")


def test_old_ways_to_encrypt_are_refused(served):
    """ASVS 4.0.3, 9.1.3: TLS 1.2 and 1.3 only."""
    if not served.url.startswith("https"):
        pytest.skip("nothing is encrypted here")
    old = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    old.check_hostname, old.verify_mode = False, ssl.CERT_NONE
    with pytest.warns(DeprecationWarning, match="TLSv1_1"):
        old.minimum_version = old.maximum_version = ssl.TLSVersion.TLSv1_1
    old.set_ciphers("ALL:@SECLEVEL=0")
    with (
        socket.create_connection(("127.0.0.1", served.port), timeout=10) as stream,
        pytest.raises((ssl.SSLError, ConnectionError)),
    ):
        old.wrap_socket(stream)


@pytest.mark.parametrize(
    "path",
    [
        "/static/../../secret",
        "/static/%2e%2e/%2e%2e/settings.py",
        "/static/..%2f..%2fsettings.py",
        "/static/..%5c..%5csettings.py",
        "/static//etc/passwd",
        "/static/%2fetc%2fpasswd",
        "/static/%00",
        "/static/lowshelf.css%00.js",
    ],
)
def test_no_path_leads_out_of_the_folder(served, path):
    """ASVS 4.0.3, 12.3.1."""
    code, body, headers = ask(served, "GET", path)
    assert code in {303, 308, 400, 404}, code
    if code == 308:
        onward = headers["Location"].removeprefix(served.url)
        assert onward.startswith("/static/")
        assert ask(served, "GET", onward)[0] == 404
    assert b"root:" not in body
    assert b"import" not in body


def test_a_request_that_is_too_large_is_refused_and_the_server_goes_on(served):
    for size in (3_000_000, 12_000_000):
        try:
            code = ask(served, "POST", "/sign-in", b"x" * size)[0]
        except (ConnectionError, ssl.SSLError):
            code = 413  # hung up while the rest was still being sent
        assert code in {400, 413}
    assert ask(served, "GET", "/sign-in")[0] == 200


def test_an_address_or_a_header_that_is_too_long_is_refused(served):
    for path, headers in (("/" + "a" * 300_000, {}), ("/sign-in", {"X-Long": "a" * 300_000})):
        try:
            code = ask(served, "GET", path, headers=headers)[0]
        except (ConnectionError, http.client.HTTPException, ssl.SSLError):
            code = 431
        assert code in {400, 414, 431}
    assert ask(served, "GET", "/sign-in")[0] == 200


@pytest.mark.parametrize("slowly", ["silent", "headers", "body"])
def test_slow_and_silent_clients_keep_nobody_waiting(served, slowly):
    """Forty of them, more than the server has threads, and a page still comes at once."""
    begun = {
        "silent": b"",
        "headers": b"GET /sign-in HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: ",
        "body": b"POST /sign-in HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 9000\r\n\r\nname=",
    }[slowly]
    streams = []
    try:
        for _ in range(40):
            if slowly == "silent":
                streams.append(socket.create_connection(("127.0.0.1", served.port), timeout=10))
            else:
                streams.append(raw(served))
                streams[-1].sendall(begun)
        time.sleep(0.3)
        assert ask(served, "GET", "/sign-in")[0] == 200
    finally:
        for stream in streams:
            stream.close()


def test_a_flood_of_connections_is_cut_off_and_ends(served):
    """More than the most at once: https hangs up, http lets them wait; both go on afterwards."""
    streams = []
    try:
        for _ in range(MOST_CONNECTIONS + 30):
            streams.append(socket.create_connection(("127.0.0.1", served.port), timeout=10))
        if served.url.startswith("https"):
            assert streams[-1].recv(1) == b""
    finally:
        for stream in streams:
            stream.close()
    assert answers_again(served)


def answers_again(served, *, within=20):
    """Whether it answers as soon as it has seen that the others hung up."""
    until = time.monotonic() + within
    while True:
        try:
            return ask(served, "GET", "/sign-in")[0] == 200
        except ConnectionError:
            if time.monotonic() > until:
                return False
            time.sleep(0.1)


def test_connections_under_https_are_counted_by_what_is_open():
    """What was closed makes room again."""
    bound = socket.create_server(("127.0.0.1", 0))
    with CappedSocket(bound, most=2) as listening:
        where = listening.getsockname()
        comers = [socket.create_connection(where, timeout=10) for _ in range(4)]
        first, second = listening.accept()[0], listening.accept()[0]
        with pytest.raises(ConnectionAbortedError):
            listening.accept()
        assert comers[2].recv(1) == b""
        first.close()
        third = listening.accept()[0]
        for each in (*comers, second, third):
            each.close()


@pytest.mark.parametrize("host", ["evil.example", "evil.example:80", ""])
def test_it_answers_only_under_its_own_names(served, host):
    assert ask(served, "GET", "/sign-in", headers={"Host": host})[0] == 400


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "TRACE", "CONNECT", "BREW"])
def test_other_methods_do_nothing(served, method):
    """ASVS 4.0.3, 14.5.1."""
    try:
        code = ask(served, method, "/sign-in")[0]
    except (ConnectionError, http.client.HTTPException):
        code = 400
    assert code in {400, 401, 403, 405, 501}


def test_no_answer_says_what_the_server_is_made_of(served):
    """ASVS 4.0.3, 14.3.3."""
    _, body, headers = ask(served, "GET", "/sign-in")
    assert "Server" not in headers
    assert "X-Powered-By" not in headers
    for word in (b"Werkzeug", b"hypercorn", b"waitress", b"Python/"):
        assert word not in body


@pytest.mark.parametrize("host", ["0.0.0.0", "192.168.1.20"])
def test_beyond_this_machine_it_does_not_start_in_the_open_unasked(tmp_path, host):
    code, said = start(tmp_path, "--host", host)
    assert code == 2
    assert "can read the passwords that are typed" in said
    assert "--without-https" in said


def test_a_port_that_is_taken_is_said(served, tmp_path):
    kind = "--https" if served.url.startswith("https") else "--without-https"
    code, said = start(tmp_path, *OPEN, "--port", str(served.port), kind)
    assert code == 2
    assert "choose another with --port" in said


def start(tmp_path, *options):
    """How a server ends that cannot start, and what it says."""
    paths = write_library(tmp_path, {})
    places = ["--library", str(paths.folder), "--data", str(paths.data)]
    done = subprocess.run(
        [sys.executable, "-m", "server", "serve", *places, *options],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    return done.returncode, done.stderr
