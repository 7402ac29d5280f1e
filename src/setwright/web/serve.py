"""Serve the app on the loopback address of this machine."""

from __future__ import annotations

import socket
from collections.abc import Callable
from pathlib import Path

import uvicorn

from setwright.basis.errors import BadInput
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine

ADDRESS = "127.0.0.1"
# A page waits so long for a plan, then it is shown without [s].
PATIENCE = 0.1
BOOK = "line-book.yaml"


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


def bound(port: int) -> socket.socket:
    """A socket on the loopback address; port 0 takes a free one.

    Raises
    ------
    BadInput
        When the port cannot be used.
    """
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((ADDRESS, port))
    except OSError as error:
        made.close()
        raise BadInput(
            "this port cannot be used", field="--port", found=port, allowed="another port, or 0"
        ) from error
    return made


def server_of(line: OpenLine) -> uvicorn.Server:
    """The server of one line; it says nothing of the machine in its answers and writes no list of visits."""
    return uvicorn.Server(
        uvicorn.Config(
            create_app(line), log_level="critical", access_log=False, server_header=False, lifespan="off",
            timeout_graceful_shutdown=2,
        )
    )  # fmt: skip


def serve(line: OpenLine, port: int, say: Callable[[str], object]) -> None:
    """Serve until stopped from the keyboard."""
    with bound(port) as made:
        if line.book.exists():
            line.begin()
        say(f"The line is at http://{ADDRESS}:{made.getsockname()[1]}/ (Ctrl-C stops).")
        server_of(line).run(sockets=[made])
        say("Stopped.")
