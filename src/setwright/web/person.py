"""Who asks, and what he may do: one person on this machine, people with roles on the network."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, HTTPException, Request

SAFE_METHODS = frozenset(("GET", "HEAD", "OPTIONS"))
FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")
ACTS = {
    "trapper": frozenset(("look", "places", "log", "change", "teach", "keep")),
    "helper": frozenset(("look", "places", "log")),
    "instructor": frozenset(("look", "teach")),
    "viewer": frozenset(("look",)),
}
# What each role is for, in words.
ROLES = {
    "trapper": "everything, people and settings too",
    "helper": "sees where sets are and writes into the log",
    "instructor": "teaches; sees no positions",
    "viewer": "looks; sees no positions",
}
# What the acts mean: `look` at pages without positions, `places` see where sets are, `log` write entries, `change`
# the line and its files, `teach` keep records of students, `keep` people, backups and settings.


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who uses the app.

    Parameters
    ----------
    name : str
        Name of the account; empty for whoever sits at this machine.
    role : str
        One of `ACTS`; whoever is not logged in has none and may nothing.
    session : str
        What binds his forms to his session.
    """

    name: str
    role: str
    session: str = "this machine"

    def may(self, act: str) -> bool:
        """Whether his role allows an act."""
        return act in ACTS.get(self.role, ())


OWNER = Person("", "trapper")
STRANGER = Person("", "nobody", "")


def person_of(request: Request) -> Person:
    """Who asks; the owner on this machine."""
    found: Person = getattr(request.state, "person", OWNER)
    return found


Asking = Annotated[Person, Depends(person_of)]


def allowed(act: str) -> Callable[[Request], None]:
    """A dependency that lets only those through whose role allows the act."""

    def check(request: Request) -> None:
        person = person_of(request)
        if not person.may(act):
            raise HTTPException(403, f"a {person.role} may not do this")

    return check


def token_of(request: Request) -> str:
    """The token that every form of this person carries, so that no page elsewhere can send one in his name."""
    secret: bytes = request.app.state.secret
    return hmac.new(secret, person_of(request).session.encode(), hashlib.sha256).hexdigest()


def new_secret() -> bytes:
    """What the tokens of one run of the app are made from."""
    return secrets.token_bytes(32)


async def written_here(request: Request) -> None:
    """Refuse what would change something and does not carry the token of our own pages.

    Forms carry it in the field `token`, scripts in the header `X-Token`.
    """
    if request.method in SAFE_METHODS:
        return
    if request.headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        raise HTTPException(403, "this was sent from a page elsewhere")
    given = request.headers.get("x-token", "")
    kind = request.headers.get("content-type", "").split(";")[0].strip().lower()
    if not given and kind in FORMS:
        given = str((await request.form()).get("token", ""))
    if not hmac.compare_digest(given.encode(), token_of(request).encode()):
        raise HTTPException(
            403, "this was not sent from a page of this app; open the page again and send it once more"
        )
