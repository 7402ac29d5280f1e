"""Serve the app on the loopback address of this machine, and when asked on its network."""

from __future__ import annotations

import io
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import segno
import uvicorn

from setwright.basis.errors import BadInput
from setwright.web.app import create_app
from setwright.web.gate import gate_of
from setwright.web.lan import Authority, authority, names_of, own_address
from setwright.web.open_line import OpenLine
from setwright.web.trust import trust_app

ADDRESS = "127.0.0.1"
# A page waits so long for a plan, then it is shown without [s].
PATIENCE = 0.1
BOOK = "line-book.yaml"
STARTED = 20.0


def book_at(place: Path) -> Path:
    """The line book that is meant by a file or a folder; it need not be there yet.

    Raises
    ------
    BadInput
        When a file is named that is not there.
    """
    if place.is_dir():
        return place / BOOK
    if not place.exists():
        raise BadInput("there is no such file", file=place, allowed="a line book, or a folder to begin one in")
    return place


def bound(port: int, address: str = ADDRESS, named: str = "--port") -> socket.socket:
    """A socket on the loopback address, or another of this machine; port 0 takes a free one.

    Raises
    ------
    BadInput
        When the port cannot be used.
    """
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((address, port))
        # Whoever comes between the words on the terminal and the first answer waits, and is not turned away.
        made.listen(128)
    except OSError as error:
        made.close()
        raise BadInput("this port cannot be used", field=named, found=port, allowed="another port, or 0") from error
    return made


def server_of(line: OpenLine, lan: Lan | None = None) -> uvicorn.Server:
    """The server of one line; it says nothing of the machine in its answers and writes no list of visits."""
    app = create_app(line)
    app.state.lan = lan
    return uvicorn.Server(_config(app))


def _config(app: Any) -> uvicorn.Config:
    return uvicorn.Config(
        app, log_level="critical", access_log=False, server_header=False, lifespan="off", timeout_graceful_shutdown=2
    )


def serve(line: OpenLine, port: int, say: Callable[[str], object], lan: Lan | None = None) -> None:
    """Serve until stopped from the keyboard; with `lan` also over the network."""
    with bound(port) as made, ExitStack() as more:
        if line.book.exists():
            line.begin()
        say(f"The line is at http://{ADDRESS}:{made.getsockname()[1]}/ (Ctrl-C stops).")
        if lan is not None:
            more.enter_context(over_network(line, lan))
            say(lan.words())
        server_of(line, lan).run(sockets=[made])
        say("Stopped.")


@contextmanager
def over_network(line: OpenLine, lan: Lan) -> Iterator[None]:
    """Serve a line over the network as well, in threads, as long as this lasts."""
    app = create_app(line, gate_of(line.book, lan.hosts))
    app.state.lan = lan
    secure = _config(app)
    secure.load()
    secure.ssl = lan.authority.context(lan.hosts)
    plain = _config(trust_app(lan.authority, lan.address, lan.hosts))
    servers = [uvicorn.Server(secure), uvicorn.Server(plain)]
    threads = [
        threading.Thread(target=server.run, kwargs={"sockets": [place]}, daemon=True)
        for server, place in zip(servers, (lan.secure, lan.plain), strict=True)
    ]
    try:
        for thread in threads:
            thread.start()
        until = time.monotonic() + STARTED
        while not all(server.started for server in servers) and time.monotonic() < until:
            time.sleep(0.02)
        yield
    finally:
        for server in servers:
            server.should_exit = True
        for thread in threads:
            thread.join(5)
        lan.secure.close()
        lan.plain.close()


@dataclass
class Lan:
    """Where the app is on the network.

    Parameters
    ----------
    host : str
        Address of this machine there.
    secure, plain : socket
        Of the app, with https, and of the page with the certificate.
    authority : Authority
        Of this machine.
    """

    host: str
    secure: socket.socket
    plain: socket.socket
    authority: Authority

    @property
    def hosts(self) -> tuple[str, ...]:
        """Under which names the app answers there."""
        return names_of(self.host)

    @property
    def address(self) -> str:
        """Address of the app."""
        return f"https://{self.host}:{self.secure.getsockname()[1]}/"

    @property
    def trusted_at(self) -> str:
        """Address of the page with the certificate and the steps."""
        return f"http://{self.host}:{self.plain.getsockname()[1]}/"

    def square(self) -> str:
        """The address of the steps as a QR code, SVG."""
        code = segno.make(self.trusted_at, error="m")
        made: str = code.svg_inline(border=4, light="#fff", dark="#000", omitsize=True)
        return made

    def words(self) -> str:
        """What the terminal says: addresses, QR code and fingerprint."""
        drawn = io.StringIO()
        segno.make(self.trusted_at, error="m").terminal(drawn, compact=True, border=2)
        return (
            f"On this network it is at {self.address} for whoever is invited (setwright people add, or the page "
            f"People and phones).\nA phone trusts this machine once, by the steps at {self.trusted_at}\n\n"
            f"{drawn.getvalue()}\n"
            f"Compare on the phone: {self.authority.fingerprint}"
        )


def on_network(port: int, address: str | None = None) -> Lan:
    """Sockets on the network for the app and, at the next port, for its certificate.

    Raises
    ------
    BadInput
        When there is no private network, or a port cannot be used.
    """
    host = own_address(address)
    secure = bound(port, host, "--lan-port")
    try:
        plain = bound(port and port + 1, host, "--lan-port")
    except BadInput:
        secure.close()
        raise
    return Lan(host, secure, plain, authority())
