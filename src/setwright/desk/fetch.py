"""Fetches a forecast or a gauge from the address that the line book names: only when asked, politely, with a cache.

This is the one place that opens a connection. It stands at the desk and not in the room of the weather, so that the
rooms take text and numbers only and give the same answer for the same file; what comes back is read by their readers.
"""

from __future__ import annotations

import hashlib
import json
import os
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import setwright
from setwright.basis.errors import BadInput
from setwright.basis.say import Say

CONNECT, READ, WHOLE = 5.0, 10.0, 30.0
MOST_BYTES = 20_000_000
MOST_REDIRECTS = 3
# A copy younger than this is used without asking again.
YOUNG = timedelta(minutes=30)
LOCAL = ("127.0.0.1", "localhost", "::1")


@dataclass(frozen=True)
class Fetched:
    """A copy on this machine, when it was fetched (UTC), and what is to be said of it: None when it is fresh."""

    path: Path
    fetched: datetime
    note: Say | None = None


def cache_folder() -> Path:
    """Where copies are kept: `SETWRIGHT_CACHE`, else the user's cache folder."""
    own = os.environ.get("SETWRIGHT_CACHE")
    if own:
        return Path(own)
    usual = os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA")
    return (Path(usual) if usual else Path.home() / ".cache") / "setwright"


def fetch(
    address: str,
    what: str,
    *,
    contact: str | None = None,
    folder: Path | None = None,
    now: datetime | None = None,
    read: float = READ,
) -> Fetched:
    """Fetch JSON from an address, or take the copy that is young enough or all there is.

    Parameters
    ----------
    address : str
        Beginning with https; http only to this machine.
    what : str
        `forecast` or `gauge`, for the name of the copy and for messages.
    contact : str, optional
        How the service reaches whoever asks; goes with the request.
    folder : Path, optional
        Where copies are kept.
    now : datetime, optional
        Moment of asking (UTC).
    read : float
        Longest silence of the service [s].

    Returns
    -------
    Fetched
        With a note when the service could not be reached, or sent what is no whole JSON, and an older copy is used.

    Raises
    ------
    BadInput
        When the address cannot be used, or the service fails and there is no copy.
    """
    _check(address, what)
    place = (cache_folder() if folder is None else folder) / f"{what}-{_name(address)}.json"
    moment = datetime.now(UTC) if now is None else now.astimezone(UTC)
    kept = _kept(place, address)
    if kept is not None and timedelta(0) <= moment - kept[0] < YOUNG:
        return Fetched(place, kept[0])
    try:
        answer = _ask(address, contact, None if kept is None else kept[1], read)
    except _Failed as failed:
        if kept is None:
            raise BadInput(
                f"the {what} could not be fetched and no copy is kept: {failed}", field=f"conditions.fetch.{what}",
                found=address,
            ) from None  # fmt: skip
        words = "not reached now ({why:word}): the copy fetched {age:time} before is used"
        age = (moment - kept[0]).total_seconds()
        return Fetched(place, kept[0], Say(words, why=str(failed), age=age))
    if answer is None:
        assert kept is not None
        _write(place, address, None, moment, kept[1])
        return Fetched(place, moment)
    text, tag = answer
    _write(place, address, text, moment, tag)
    return Fetched(place, moment)


class _Failed(Exception):
    """Why nothing whole came back, in words for the user."""


def _check(address: str, what: str) -> None:
    parts = urlsplit(address)
    local = parts.scheme == "http" and parts.hostname in LOCAL
    if not parts.hostname or not (parts.scheme == "https" or local) or parts.username or parts.password:
        raise BadInput(
            "this address is not asked", field=f"conditions.fetch.{what}", found=address,
            allowed="https://…, without a name and password in it",
        )  # fmt: skip


def _name(address: str) -> str:
    host = "".join(c if c.isalnum() else "-" for c in (urlsplit(address).hostname or ""))
    return f"{host}-{hashlib.sha256(address.encode()).hexdigest()[:12]}"


def _ask(address: str, contact: str | None, tag: str | None, read: float) -> tuple[str, str | None] | None:
    """Text and tag of the answer; None when the service says that the copy still holds."""
    import httpx

    agent = f"setwright/{setwright.__version__}" + (f" ({contact})" if contact else "")
    headers = {"User-Agent": agent, "Accept": "application/geo+json, application/json"}
    if tag is not None:
        headers["If-None-Match"] = tag
    begun = datetime.now(UTC)
    limits = httpx.Timeout(read, connect=CONNECT)
    try:
        with httpx.Client(timeout=limits, headers=headers, follow_redirects=False) as client:
            for _ in range(MOST_REDIRECTS + 1):
                with client.stream("GET", address) as response:
                    if response.status_code == 304 and tag is not None:
                        return None
                    if response.is_redirect:
                        address = str(httpx.URL(address).join(response.headers.get("location", "")))
                        try:
                            _check(address, "forecast")
                        except BadInput:
                            raise _Failed("it points to an address that is not asked") from None
                        continue
                    if response.status_code != 200:
                        raise _Failed(f"it answered {response.status_code}")
                    return _body(response, begun), response.headers.get("etag")
            raise _Failed("it points from one address to the next without end")
    except httpx.TimeoutException:
        raise _Failed("no answer in time") from None
    except (httpx.HTTPError, httpx.InvalidURL) as error:
        raise _Failed(f"the connection broke: {type(error).__name__}") from None


def _body(response: Any, begun: datetime) -> str:
    """The whole answer as JSON text; anything cut short, too large, too slow or no JSON fails."""
    parts, size = [], 0
    for part in response.iter_bytes():
        parts.append(part)
        size += len(part)
        if size > MOST_BYTES:
            raise _Failed(f"it sends more than {MOST_BYTES} bytes")
        if datetime.now(UTC) - begun > timedelta(seconds=WHOLE):
            raise _Failed("no whole answer in time")
    try:
        text = b"".join(parts).decode("utf-8")
        json.loads(text)
    except (ValueError, RecursionError):
        raise _Failed("what it sent is no whole JSON") from None
    return text


def _kept(place: Path, address: str) -> tuple[datetime, str | None] | None:
    """When the copy was fetched and its tag; None when there is none, or it belongs to another address."""
    try:
        told = json.loads(place.with_suffix(".meta").read_text(encoding="utf-8"))
        fetched = datetime.fromisoformat(told["fetched"])
        whole = place.stat().st_size == told["size"] and told["address"] == address and fetched.tzinfo is not None
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return (fetched, told.get("tag")) if whole else None


def _write(place: Path, address: str, text: str | None, moment: datetime, tag: str | None) -> None:
    """Put the copy and what is known of it in their places; each whole or not at all."""
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        if text is not None:
            _put(place, text.encode("utf-8"))
        told = {"address": address, "fetched": moment.isoformat(), "tag": tag, "size": place.stat().st_size}
        _put(place.with_suffix(".meta"), json.dumps(told).encode("utf-8"))
    except OSError as error:
        raise BadInput("no copy can be kept here", file=place, found=error.strerror or "error") from None


def _put(place: Path, data: bytes) -> None:
    beside = place.with_name(f"{place.name}.{os.getpid()}")
    try:
        beside.write_bytes(data)
        beside.replace(place)
    except OSError:
        with suppress(OSError):
            beside.unlink()
        raise
