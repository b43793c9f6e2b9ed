"""The certificate that https needs: made here, for these names, and worth nothing elsewhere."""

import datetime as dt
import ssl
import stat

import pytest

from server.certificate import (
    AUTHORITY_DAYS,
    RENEWED_BEFORE,
    SERVER_DAYS,
    make_certificates,
    read_authority,
)

NOW = dt.datetime.now(dt.UTC)
NAMES = ("192.168.1.20", "room-pc.local", "127.0.0.1", "::1", "localhost")


def shake_hands(files, authority, name):
    """What a client says that trusts the authority and asks for a server by a name; "" is fine."""
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(files.certificate, files.key)
    client = ssl.create_default_context(cadata=authority.der)
    to_server, to_client = ssl.MemoryBIO(), ssl.MemoryBIO()
    ours = client.wrap_bio(to_client, to_server, server_hostname=name)
    theirs = server.wrap_bio(to_server, to_client, server_side=True)
    said = ""
    for _ in range(6):
        for side in (ours, theirs):
            try:
                side.do_handshake()
            except ssl.SSLWantReadError:
                pass
            except ssl.SSLCertVerificationError as error:
                return error.verify_message
            except ssl.SSLError as error:
                said = str(error)
    return said


@pytest.mark.parametrize("name", NAMES)
def test_a_client_that_trusts_the_authority_takes_the_server_by_each_of_its_names(tmp_path, name):
    """Checked by OpenSSL, which follows RFC 5280."""
    files = make_certificates(tmp_path, NAMES, NOW)
    assert shake_hands(files, read_authority(tmp_path), name) == ""


def test_by_another_name_it_is_refused(tmp_path):
    files = make_certificates(tmp_path, NAMES, NOW)
    assert "not valid for" in shake_hands(files, read_authority(tmp_path), "room-pc.lan")


@pytest.mark.parametrize("name", ["bank.example", "8.8.8.8"])
def test_the_authority_can_vouch_for_nothing_outside_a_local_network(tmp_path, name):
    """Who stole its key could still not pretend to be a page of the world."""
    import server.certificate as made

    files = make_certificates(tmp_path, NAMES, NOW)
    folder = tmp_path / "https"
    authority = made._kept(folder / "authority.pem", folder / "authority-key.pem")
    forged = made._make_server(authority, (name,), NOW)
    made._keep(files.certificate, files.key, *forged, authority[0])
    assert "permitted subtree violation" in shake_hands(files, read_authority(tmp_path), name)


def test_it_is_kept_from_start_to_start_and_made_anew_before_it_ends(tmp_path):
    files = make_certificates(tmp_path, NAMES, NOW)
    first, authority = files.certificate.read_bytes(), read_authority(tmp_path)
    soon = NOW + dt.timedelta(days=SERVER_DAYS - RENEWED_BEFORE - 1)
    assert make_certificates(tmp_path, NAMES, soon).certificate.read_bytes() == first
    late = soon + dt.timedelta(days=2)
    assert make_certificates(tmp_path, NAMES, late).certificate.read_bytes() != first
    assert read_authority(tmp_path) == authority


def test_a_new_address_in_the_network_needs_no_new_trust(tmp_path):
    make_certificates(tmp_path, NAMES, NOW)
    authority = read_authority(tmp_path)
    files = make_certificates(tmp_path, ("10.0.0.9", *NAMES), NOW)
    assert read_authority(tmp_path) == authority
    assert shake_hands(files, authority, "10.0.0.9") == ""


def test_a_name_of_the_world_that_the_team_has_needs_a_new_authority(tmp_path):
    make_certificates(tmp_path, NAMES, NOW)
    before = read_authority(tmp_path)
    files = make_certificates(tmp_path, ("shelf.fern-room.example", *NAMES), NOW)
    after = read_authority(tmp_path)
    assert after.fingerprint != before.fingerprint
    assert shake_hands(files, after, "shelf.fern-room.example") == ""
    assert shake_hands(files, after, "192.168.1.20") == ""


def test_an_authority_that_ends_soon_is_made_anew(tmp_path):
    make_certificates(tmp_path, NAMES, NOW)
    before = read_authority(tmp_path)
    make_certificates(tmp_path, NAMES, NOW + dt.timedelta(days=AUTHORITY_DAYS - SERVER_DAYS + 1))
    assert read_authority(tmp_path).fingerprint != before.fingerprint


def test_the_keys_can_be_read_by_their_owner_only(tmp_path):
    files = make_certificates(tmp_path, NAMES, NOW)
    for key in (files.key, files.key.parent / "authority-key.pem"):
        assert stat.S_IMODE(key.stat().st_mode) == 0o600
    assert stat.S_IMODE(files.key.parent.stat().st_mode) == 0o700


def test_the_fingerprint_is_the_one_that_devices_show(tmp_path):
    """SHA-256 over the whole certificate, in pairs; checked against Python's own ssl and hashlib."""
    import hashlib

    make_certificates(tmp_path, NAMES, NOW)
    pem = (tmp_path / "https" / "authority.pem").read_text()
    digest = hashlib.sha256(ssl.PEM_cert_to_DER_cert(pem)).hexdigest().upper()
    assert read_authority(tmp_path).fingerprint.replace(":", "") == digest


def test_where_nothing_was_made_there_is_nothing(tmp_path):
    assert read_authority(tmp_path) is None
