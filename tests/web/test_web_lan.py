"""On the network: https by an authority of this machine, good for private networks only, and one plain page."""

from __future__ import annotations

import datetime as dt
import http.client
import re
import ssl
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest
import trustme
from playwright.sync_api import Browser

from setwright.basis.errors import BadInput
from setwright.web import serve
from setwright.web.lan import AUTHORITY_DAYS, Authority, authority, names_of, own_address
from setwright.web.open_line import OpenLine
from setwright.web.people import people_of
from setwright.web.serve import Lan, bound, on_network, over_network

SECRET = "heron kettle oblong fence"


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("SETWRIGHT_DATA", str(tmp_path / "own"))
    return tmp_path / "own"


@pytest.fixture
def lan(own: Path, line: OpenLine) -> Iterator[Lan]:
    assert own.name == "own", "keys of the test lie apart"
    found = on_network(0, "127.0.0.1")
    with over_network(line, found):
        yield found


def asked(lan: Lan, path: str, context: ssl.SSLContext | None) -> tuple[int, str, dict[str, str]]:
    port = (lan.plain if context is None else lan.secure).getsockname()[1]
    way = (
        http.client.HTTPConnection("127.0.0.1", port, timeout=30)
        if context is None
        else http.client.HTTPSConnection("127.0.0.1", port, timeout=30, context=context)
    )
    way.request("GET", path)
    answer = way.getresponse()
    return answer.status, answer.read().decode("latin-1"), {k.lower(): v for k, v in answer.getheaders()}


def trusting(found: Authority) -> ssl.SSLContext:
    context = ssl.create_default_context()
    context.load_verify_locations(cadata=found.certificate.decode())
    return context


def test_whoever_trusts_the_authority_is_led_to_the_login(lan: Lan, line: OpenLine) -> None:
    status, _, headers = asked(lan, "/", trusting(lan.authority))
    assert status == 303 and headers["location"] == "/login"
    status, page, headers = asked(lan, "/login", trusting(lan.authority))
    assert status == 200 and "Log in" in page and line.now().plan.line.name not in page
    assert "server" not in headers
    with pytest.raises(ssl.SSLCertVerificationError):
        asked(lan, "/login", ssl.create_default_context())


def shakes_hands(issuer: trustme.CA, name: str, trusted: ssl.SSLContext) -> None:
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    issuer.issue_cert(name).configure_cert(server)
    here, there = ssl.MemoryBIO(), ssl.MemoryBIO()
    one = trusted.wrap_bio(here, there, server_hostname=name)
    other = server.wrap_bio(there, here, server_side=True)
    for _ in range(6):
        for end in (one, other):
            try:
                end.do_handshake()
            except ssl.SSLWantReadError:
                continue
            except ssl.SSLError as error:
                if isinstance(error, ssl.SSLCertVerificationError):
                    raise


@pytest.mark.usefixtures("own")
def test_the_authority_is_good_for_private_networks_only() -> None:
    found = authority()
    issuer = trustme.CA.from_pem(found.certificate, found.key)
    for name in ("192.168.1.20", "10.1.2.3", "172.16.0.9", "den.local"):
        shakes_hands(issuer, name, trusting(found))
    for name in ("bank.example", "8.8.8.8", "172.32.0.1", "local.example"):
        with pytest.raises(ssl.SSLCertVerificationError, match=r"(?i)permitted subtree"):
            shakes_hands(issuer, name, trusting(found))


def test_the_key_is_kept_for_the_owner_and_renewed_in_time(own: Path) -> None:
    found = authority()
    for path in (own / "lan").iterdir():
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert authority() == found, "the same at the next start"
    late = dt.datetime.now(dt.UTC) + dt.timedelta(days=AUTHORITY_DAYS - 30)
    assert authority(now=late).certificate != found.certificate
    (own / "lan" / "authority.pem").write_bytes(b"broken")
    with pytest.raises(BadInput, match="cannot be read"):
        authority()


def test_the_plain_page_has_the_certificate_and_nothing_else(lan: Lan, line: OpenLine) -> None:
    status, page, headers = asked(lan, "/", None)
    assert status == 200 and lan.authority.fingerprint in page and lan.address in page
    assert line.now().plan.line.name not in page and "script" not in page
    assert headers["content-security-policy"].startswith("default-src 'none'")
    status, certificate, headers = asked(lan, "/setwright.crt", None)
    assert status == 200 and headers["content-type"] == "application/x-x509-ca-cert"
    assert certificate.encode("latin-1") == lan.authority.file()
    assert ssl.DER_cert_to_PEM_cert(lan.authority.file()).encode().split() == lan.authority.certificate.split()
    for path in (
        "/login",
        "/api/plan",
        "/line",
        "/authority-key.pem",
        "/../authority-key.pem",
        "//",
        "/setwright.crt/x",
    ):
        status, page, _ = asked(lan, path, None)
        assert status == 404 and "PRIVATE" not in page


@pytest.mark.parametrize("address", ["8.8.8.8", "172.32.0.1", "example", "", "0.0.0.0", "::1", "192.168.1.1/24"])
def test_only_an_address_of_a_private_network_is_taken(address: str) -> None:
    if address:
        with pytest.raises(BadInput, match="address"):
            own_address(address)
    assert own_address("192.168.1.20") == "192.168.1.20"
    assert names_of("192.168.1.20")[0] == "192.168.1.20"


@pytest.mark.usefixtures("own")
def test_a_port_that_is_taken_is_said_and_nothing_stays_open() -> None:
    with bound(0) as made:
        made.listen()
        port = made.getsockname()[1]
        for wished in (port, port - 1):
            with pytest.raises(BadInput, match="--lan-port"):
                on_network(wished, "127.0.0.1")
        bound(port - 1).close()


def test_the_terminal_shows_the_way(lan: Lan) -> None:
    words = lan.words()
    assert lan.address in words and lan.trusted_at in words and lan.authority.fingerprint in words
    assert "PRIVATE" not in words
    assert lan.square().startswith("<svg") and "style=" not in lan.square()


def test_from_the_code_to_the_line_in_a_browser(lan: Lan, line: OpenLine, browser: Browser) -> None:
    code = people_of(line.book).add("Wren", "helper")
    context = browser.new_context(ignore_https_errors=True, viewport={"width": 390, "height": 800})
    page = context.new_page()
    faults: list[str] = []
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    page.goto(lan.address + "set/hedge")
    assert "/login?next=" in page.url
    page.get_by_role("link", name="I have a code").click()
    page.locator("[name=name]").fill("Wren")
    page.locator("[name=code]").fill(code)
    page.locator("[name=passcode]").fill(SECRET)
    page.get_by_role("button", name="Keep it and log in").click()
    page.wait_for_url(lan.address)
    assert line.now().plan.line.name in page.content() and "Wren, helper" in page.content()
    kept = {cookie["name"]: cookie for cookie in context.cookies()}
    assert kept["__Host-setwright"]["httpOnly"] and kept["__Host-setwright"]["secure"]
    assert kept["__Host-setwright"]["sameSite"] == "Strict"
    assert page.evaluate("document.cookie") == "" and page.evaluate("location.search") == ""
    page.get_by_role("link", name="Wren, helper").click()
    page.get_by_role("button", name="Log out").click()
    assert page.url.endswith("/login")
    page.goto(lan.address)
    assert page.url.endswith("/login")
    page.locator("[name=name]").fill("Wren")
    page.locator("[name=passcode]").fill("wrong one")
    page.get_by_role("button", name="Log in").click()
    assert "do not belong together" in page.inner_text("[role=alert]")
    assert not [text for text in faults if "403" not in text]
    context.close()


@pytest.mark.usefixtures("own")
def test_what_the_terminal_says_holds_no_secret(line: OpenLine, monkeypatch: pytest.MonkeyPatch) -> None:
    said: list[str] = []

    class Stopped:
        def run(self, sockets: object) -> None:
            del sockets

    monkeypatch.setattr(serve, "server_of", lambda *_: Stopped())
    found = on_network(0, "127.0.0.1")
    serve.serve(line, 0, said.append, found)
    assert len(said) == 3 and re.search(r"http://127\.0\.0\.1:\d+/", said[0])
    assert found.secure.fileno() == -1, "closed again"
