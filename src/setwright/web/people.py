"""People who may use the app over the network: names, roles, passcodes, invitations.

A passcode is kept as its Argon2id hash only, an invitation as the digest of its code.
"""

from __future__ import annotations

import hashlib
import hmac
import itertools
import secrets
import time
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from setwright.basis.errors import BadInput
from setwright.web.person import ACTS
from setwright.web.private import alone, keep_json, own_folder, read_json

if TYPE_CHECKING:
    from argon2 import PasswordHasher

SCHEMA = "setwright/people/1"
# No letters and figures that are taken for one another; twelve of them are 58 bits.
LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
CODE_LENGTH, CODE_GROUP = 12, 4
INVITED_FOR = 24 * 3600.0
SHORTEST, LONGEST, MOST_PEOPLE = 10, 200, 200
# What is tried first by whoever guesses; a passcode of one repeated or counted run is refused too.
WORN = (
    "password",
    "passcode",
    "setwright",
    "trapline",
    "qwertyuiop",
    "letmein",
    "iloveyou",
    "1q2w3e4r",
    "1234567890",
    "0987654321",
)


@dataclass(frozen=True, slots=True)
class Account:
    """Somebody who may log in.

    Parameters
    ----------
    name, role : str
        As written; the role is one of `ACTS`.
    passcode : str
        Argon2id hash; empty until the invitation was taken.
    turn : int
        Counted on with every change of role or passcode: sessions of an earlier turn are over.
    invited : str
        Digest of the code of an open invitation.
    until : float
        When that ends, seconds of the clock.
    """

    name: str
    role: str
    passcode: str = ""
    turn: int = 0
    invited: str = ""
    until: float = 0.0


class People:
    """The people of one line book, in a private file.

    Parameters
    ----------
    place : Path
        The file.
    clock : callable, optional
        Present time in seconds.
    """

    def __init__(self, place: Path, clock: Callable[[], float] = time.time) -> None:
        self.place, self.clock = place, clock

    def all(self) -> list[Account]:
        """Everybody, by name."""
        return sorted(self._read().values(), key=lambda one: key_of(one.name))

    def find(self, name: str) -> Account | None:
        """One account, whatever the size of its letters."""
        return self._read().get(key_of(name))

    def add(self, name: str, role: str) -> str:
        """Invite somebody; returns the code, which is shown once and kept nowhere.

        Raises
        ------
        BadInput
            For a name or role that cannot be, and for somebody who is there already.
        """
        written = name_of(name)
        _role(role)
        with alone(self.place):
            people = self._read()
            if key_of(written) in people:
                raise BadInput("somebody of this name is there already", field="name", found=written)
            if len(people) >= MOST_PEOPLE:
                raise BadInput("these are too many people", field="name", allowed=f"up to {MOST_PEOPLE}")
            code, kept = self._invited(Account(written, role))
            self._write({**people, key_of(written): kept})
        return code

    def invite(self, name: str) -> str:
        """Invite somebody anew: his passcode and sessions end; returns the new code."""
        with alone(self.place):
            people, one = self._one(name)
            code, kept = self._invited(replace(one, passcode="", turn=one.turn + 1))
            self._write({**people, key_of(name): kept})
        return code

    def remove(self, name: str) -> None:
        """Take somebody out; his sessions end."""
        with alone(self.place):
            people, _ = self._one(name)
            self._write({key: one for key, one in people.items() if key != key_of(name)})

    def role(self, name: str, role: str) -> None:
        """Give somebody another role; his sessions end."""
        _role(role)
        with alone(self.place):
            people, one = self._one(name)
            self._write({**people, key_of(name): replace(one, role=role, turn=one.turn + 1)})

    def passcode(self, name: str, passcode: str) -> None:
        """Give somebody a passcode; his sessions and an open invitation end."""
        _, one = self._one(name)
        made = _hasher().hash(fit(passcode, one.name))
        with alone(self.place):
            people, one = self._one(name)
            kept = replace(one, passcode=made, turn=one.turn + 1, invited="", until=0.0)
            self._write({**people, key_of(name): kept})

    def redeem(self, name: str, code: str, passcode: str) -> bool:
        """Take an invitation by its code and set the passcode; False when name or code is wrong, spent or too late.

        Raises
        ------
        BadInput
            When the code is right and the passcode cannot be used; the invitation stays open.
        """
        one = self._read().get(key_of(name))
        given = _digest(code)
        open_ = one is not None and bool(one.invited) and self.clock() < one.until
        if not hmac.compare_digest(given, one.invited if one is not None and open_ else _digest("none")) or not open_:
            return False
        made = _hasher().hash(fit(passcode, name))
        with alone(self.place):
            people, one = self._one(name)
            if not hmac.compare_digest(given, one.invited):
                return False  # taken by somebody else in the meantime
            kept = replace(one, passcode=made, turn=one.turn + 1, invited="", until=0.0)
            self._write({**people, key_of(name): kept})
        return True

    def check(self, name: str, passcode: str) -> Account | None:
        """The account when name and passcode are right; as long in answering when they are not."""
        from argon2.exceptions import InvalidHashError, VerificationError

        one = self._read().get(key_of(name))
        kept = one.passcode if one is not None and one.passcode else _nobody()
        try:
            _hasher().verify(kept, passcode[: LONGEST + 1])
        except (VerificationError, InvalidHashError):
            return None
        return one if one is not None and one.passcode else None

    def _invited(self, one: Account) -> tuple[str, Account]:
        letters = [secrets.choice(LETTERS) for _ in range(CODE_LENGTH)]
        groups = ["".join(letters[at : at + CODE_GROUP]) for at in range(0, CODE_LENGTH, CODE_GROUP)]
        code = "-".join(groups)
        return code, replace(one, invited=_digest(code), until=self.clock() + INVITED_FOR)

    def _one(self, name: str) -> tuple[dict[str, Account], Account]:
        people = self._read()
        found = people.get(key_of(name))
        if found is None:
            allowed = ", ".join(one.name for one in people.values()) or "nobody is there yet"
            raise BadInput("there is nobody of this name", field="name", found=name, allowed=allowed)
        return people, found

    def _read(self) -> dict[str, Account]:
        try:
            kept = read_json(self.place, SCHEMA).get("people", {})
            return {key: Account(**one) for key, one in kept.items()}
        except (TypeError, AttributeError):
            raise BadInput("this private file is of another form", file=self.place, allowed=SCHEMA) from None

    def _write(self, people: Mapping[str, Account]) -> None:
        kept: dict[str, Any] = {"schema": SCHEMA, "people": {key: asdict(one) for key, one in people.items()}}
        keep_json(self.place, kept)


def folder_of(book: Path) -> Path:
    """The private folder of one line book; it goes by where the book lies."""
    whole = book.resolve()
    mark = hashlib.sha256(str(whole).encode("utf-8", "surrogateescape")).hexdigest()[:16]
    return own_folder("people", mark)


def people_of(book: Path) -> People:
    """The people who may open one line book over the network."""
    return People(folder_of(book) / "people.json")


def name_of(name: str) -> str:
    """A name as it is kept.

    Raises
    ------
    BadInput
        When it cannot be a name.
    """
    written = " ".join(unicodedata.normalize("NFC", name).split())
    fine = all(letter.isalnum() or letter in " .'-" or unicodedata.combining(letter) for letter in written)
    if not fine or not 1 <= len(written) <= 40 or not any(letter.isalnum() for letter in written):
        raise BadInput(
            "this cannot be a name", field="name", found=name, allowed="1 to 40 letters, figures, spaces, . ' -"
        )
    return written


def key_of(name: str) -> str:
    """What tells people apart: their names, whatever the size of the letters."""
    return " ".join(unicodedata.normalize("NFKC", name[:400]).casefold().split())


def fit(passcode: str, name: str) -> str:
    """A passcode that may be used.

    Raises
    ------
    BadInput
        When it is too short, too long, or the first that anybody would guess. It is not repeated in the words.
    """
    folded = passcode.casefold()
    if not SHORTEST <= len(passcode) <= LONGEST:
        raise BadInput(
            "this passcode is too short or too long", field="passcode", allowed=f"{SHORTEST} to {LONGEST} characters"
        )
    steps = {ord(b) - ord(a) for a, b in itertools.pairwise(folded)}
    worn = any(word in folded and len(folded) < len(word) + 5 for word in (*WORN, key_of(name)) if word)
    if worn or len(steps) == 1 or len(set(folded)) < 4:
        raise BadInput(
            "this passcode is guessed first", field="passcode", allowed="some words that do not belong together"
        )
    return passcode


def _role(role: str) -> None:
    if role not in ACTS:
        raise BadInput("there is no such role", field="role", found=role, allowed=", ".join(ACTS))


def _digest(code: str) -> str:
    plain = "".join(letter for letter in code.upper() if letter.isalnum())
    return hashlib.sha256(plain.encode()).hexdigest()


@cache
def _hasher() -> PasswordHasher:
    """Argon2id with the library's own figures (RFC 9106, for machines of little memory)."""
    from argon2 import PasswordHasher

    return PasswordHasher()


@cache
def _nobody() -> str:
    """The hash that is looked at for a name that is not there, so that such an answer takes as long."""
    return _hasher().hash(secrets.token_hex(16))
