"""Who is logged in: random tokens, kept as digests, that end by themselves; and the brake on guessing."""

from __future__ import annotations

import hashlib
import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.web.people import Account, People, key_of
from setwright.web.private import keep_json, read_json

SCHEMA = "setwright/sessions/1"
IDLE, WHOLE = 3 * 86400.0, 30 * 86400.0
# The last use is written no oftener than this.
WRITTEN = 300.0
MOST_OF_ONE, MOST_WATCHED = 12, 5000
FREE = {"name": 5, "address": 15}
LONGEST_WAIT, FORGOTTEN = 900.0, 3600.0


@dataclass(frozen=True, slots=True)
class Session:
    """One login: whose, of which turn of his account, since when, last used; seconds of the clock."""

    name: str
    turn: int
    made: float
    used: float


class Sessions:
    """The logins of one line book.

    Parameters
    ----------
    place : Path
        Private file; it holds digests, never a token.
    people : People
        Whose they are.
    clock : callable, optional
        Present time in seconds.
    """

    def __init__(self, place: Path, people: People, clock: Callable[[], float] = time.time) -> None:
        self.place, self.people, self.clock = place, people, clock
        self._lock = threading.Lock()
        self._written = 0.0
        self._found = self._read()

    def begin(self, account: Account) -> str:
        """Log somebody in; returns the token for his cookie."""
        token, now = secrets.token_urlsafe(32), self.clock()
        with self._lock:
            kept = {mark: one for mark, one in self._found.items() if self._lives(one, now)}
            mine = sorted((one.used, mark) for mark, one in kept.items() if one.name == account.name)
            for _, mark in mine[: max(0, len(mine) + 1 - MOST_OF_ONE)]:
                del kept[mark]
            self._found = {**kept, _mark(token): Session(account.name, account.turn, now, now)}
            self._write(now)
        return token

    def whose(self, token: str) -> Account | None:
        """The account of a token that still holds."""
        now, mark = self.clock(), _mark(token)
        with self._lock:
            one = self._found.get(mark)
            if one is None or not self._lives(one, now):
                return None
            account = self.people.find(one.name)
            if account is None or account.turn != one.turn or not account.passcode:
                del self._found[mark]
                return None
            self._found[mark] = replace(one, used=now)
            if now - self._written > WRITTEN:
                self._write(now)
        return account

    def end(self, token: str) -> None:
        """Log one session out."""
        with self._lock:
            if self._found.pop(_mark(token), None) is not None:
                self._write(self.clock())

    def _lives(self, one: Session, now: float) -> bool:
        return now - one.used < IDLE and 0 <= now - one.made < WHOLE

    def _read(self) -> dict[str, Session]:
        try:
            kept = read_json(self.place, SCHEMA).get("sessions", {})
            return {mark: Session(**one) for mark, one in kept.items()}
        except (BadInput, TypeError, AttributeError):
            return {}  # nobody is logged in then; the file is written anew

    def _write(self, now: float) -> None:
        keep_json(self.place, {"schema": SCHEMA, "sessions": {m: asdict(one) for m, one in self._found.items()}})
        self._written = now


def _mark(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()


def bound_to(token: str) -> str:
    """What binds the forms of a session to it, without giving its token away."""
    return hashlib.sha256(b"forms of " + token.encode("utf-8", "replace")).hexdigest()


class Brake:
    """Longer and longer waits for whoever guesses, counted by account and by address.

    Parameters
    ----------
    clock : callable, optional
        Seconds that never run backwards.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self.clock = clock
        self._lock = threading.Lock()
        self._seen: dict[tuple[str, str], tuple[int, float]] = {}

    def begin(self, name: str, address: str) -> float:
        """Begin a try: 0 when it may be looked at, else the seconds until one may.

        It counts as wrong until `passed`, so that many tries at once are no way round.
        """
        now, kinds = self.clock(), (("name", key_of(name)[:80]), ("address", address))
        with self._lock:
            left = max(self._left(kind, now) for kind in kinds)
            if left > 0.0:
                return left
            if len(self._seen) > MOST_WATCHED:
                self._seen = {kind: one for kind, one in self._seen.items() if now - one[1] < LONGEST_WAIT}
            if len(self._seen) > MOST_WATCHED:
                self._seen = dict(sorted(self._seen.items(), key=lambda one: one[1][1])[MOST_WATCHED // 2 :])
            for kind in kinds:
                count, last = self._seen.get(kind, (0, now))
                self._seen[kind] = (count + 1 if now - last < FORGOTTEN else 1, now)
        return 0.0

    def passed(self, name: str, address: str) -> None:
        """Take back a try that was right, and the wrong ones before it for this account."""
        with self._lock:
            self._seen.pop(("name", key_of(name)[:80]), None)
            count, last = self._seen.get(("address", address), (1, 0.0))
            self._seen["address", address] = (count - 1, last)

    def _left(self, kind: tuple[str, str], now: float) -> float:
        count, last = self._seen.get(kind, (0, now))
        if count < FREE[kind[0]] or now - last > FORGOTTEN:
            return 0.0
        return max(0.0, last + min(2.0 ** min(count - FREE[kind[0]], 20), LONGEST_WAIT) - now)
