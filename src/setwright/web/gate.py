"""The gate between the app and the network: under which names it answers, and whom it lets in."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import quote

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from setwright.web.people import People, folder_of, people_of
from setwright.web.person import SAFE_METHODS, Person
from setwright.web.sessions import Brake, Sessions, bound_to

# `__Host-`: kept by browsers only when secure, for this very host and all of its paths.
COOKIE, BEFORE = "__Host-setwright", "__Host-setwright-before"
# What may be asked for by whoever is not logged in: the way in, and what its pages are drawn with.
# The shell of the field pages holds nothing of any line: a device may fetch a newer one while nobody is logged in.
OPEN = ("/login", "/invited", "/style.css", "/icon.svg", "/field")
OPEN_BELOW = ("/fonts/", "/field/")
# One look at a passcode takes 64 MB for a moment.
LOOKS = 2


@dataclass
class Gate:
    """What is asked of whoever comes over the network.

    Parameters
    ----------
    hosts : tuple of str
        Names and addresses under which the app answers.
    people : People
        Who may log in.
    sessions : Sessions
        Who is logged in.
    brake : Brake
        Against guessing.
    """

    hosts: tuple[str, ...]
    people: People
    sessions: Sessions
    brake: Brake = field(default_factory=Brake)
    looks: threading.BoundedSemaphore = field(default_factory=lambda: threading.BoundedSemaphore(LOOKS))

    def admit(self, request: Request) -> Response | int | None:
        """Find out who asks; None when he may go on, else the way to the login, or 401 for whoever reads no pages."""
        token = request.cookies.get(COOKIE, "")
        account = self.sessions.whose(token) if token else None
        if account is not None:
            request.state.person = Person(account.name, account.role, bound_to(token))
            return None
        request.state.person = Person("", "nobody", bound_to(request.cookies.get(BEFORE, "")))
        path = request.url.path
        if is_open(path):
            return None
        if path.startswith("/api/") or request.method not in SAFE_METHODS:
            return 401
        here = path + (f"?{request.url.query}" if request.url.query else "")
        return RedirectResponse("/login" if here == "/" else f"/login?next={quote(here, safe='')}", status_code=303)


def is_open(path: str) -> bool:
    """Whether a path answers everybody alike: it must show nothing of any line."""
    return path in OPEN or path.startswith(OPEN_BELOW)


def gate_of(book: Path, hosts: tuple[str, ...]) -> Gate:
    """The gate of one line book."""
    people = people_of(book)
    return Gate(hosts, people, Sessions(folder_of(book) / "sessions.json", people))


def way_back(asked: str) -> str:
    """Where to go after the login: a path of this app and nothing else."""
    fine = asked.startswith("/") and not asked.startswith(("//", "/\\", "/login", "/logout", "/invited"))
    return asked if fine and asked.isprintable() and "\\" not in asked and len(asked) <= 400 else "/"
