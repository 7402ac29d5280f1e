"""Files that are only for the user of this machine: keys, accounts, sessions."""

from __future__ import annotations

import json
import os
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from setwright.basis.errors import BadInput

FILE, FOLDER = 0o600, 0o700
# No list of people or sessions comes near this.
MOST = 2_000_000


def own_folder(*parts: str) -> Path:
    """A folder for private files: `SETWRIGHT_DATA`, else the user's data folder; made with rights for him alone.

    Parameters
    ----------
    parts : str
        Folders within it.

    Raises
    ------
    BadInput
        When it cannot be made.
    """
    place = _root().joinpath(*parts)
    try:
        for one in (*reversed([p for p in place.parents if p.is_relative_to(_root())]), place):
            one.mkdir(mode=FOLDER, parents=True, exist_ok=True)
        place.chmod(FOLDER)
    except OSError as error:
        raise BadInput(
            "no private folder can be kept here", file=place, found=error.strerror or "error",
            allowed="a folder of yours in SETWRIGHT_DATA",
        ) from None  # fmt: skip
    return place


def _root() -> Path:
    own = os.environ.get("SETWRIGHT_DATA")
    if own:
        return Path(own).absolute()
    usual = os.environ.get("XDG_DATA_HOME") or os.environ.get("LOCALAPPDATA")
    if usual:
        return Path(usual) / "setwright"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / "setwright"
    return Path.home() / ".local" / "share" / "setwright"


def keep(place: Path, content: bytes) -> None:
    """Put a private file into its place, whole or not at all, readable by the user alone.

    Raises
    ------
    BadInput
        When it cannot be written.
    """
    partial = ""
    try:
        handle, partial = tempfile.mkstemp(prefix=f".{place.name}.", dir=place.parent)  # made with rights 0600
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        Path(partial).replace(place)
    except OSError as error:
        if partial:
            with suppress(OSError):
                Path(partial).unlink()
        raise BadInput("this cannot be kept", file=place, found=error.strerror or "error") from None


def keep_json(place: Path, content: Mapping[str, Any]) -> None:
    """Put a private file of JSON into its place."""
    keep(place, json.dumps(content, ensure_ascii=False, indent=1, sort_keys=True).encode("utf-8") + b"\n")


def read_json(place: Path, schema: str) -> dict[str, Any]:
    """Read a private file of JSON; empty when there is none.

    Raises
    ------
    BadInput
        When it is there and cannot be used.
    """
    try:
        if place.stat().st_size > MOST:
            raise BadInput("this private file is too large", file=place, allowed=f"up to {MOST} bytes")
        found = json.loads(place.read_bytes())
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise BadInput("this private file cannot be read", file=place, found=error.strerror or "error") from None
    except (ValueError, RecursionError):
        raise BadInput("this private file is not readable", file=place, allowed="to take it away") from None
    if not isinstance(found, dict) or found.get("schema") != schema:
        raise BadInput("this private file is of another form", file=place, allowed=schema)
    return found


@contextmanager
def alone(place: Path) -> Iterator[None]:
    """Hold a private file alone while it is read and written again, against another process that does the same."""
    with open(place.with_name(f"{place.name}.lock"), "a+b", opener=_private) as held:
        if sys.platform == "win32":
            import msvcrt

            held.seek(0)
            msvcrt.locking(held.fileno(), msvcrt.LK_LOCK, 1)
        else:
            import fcntl

            fcntl.flock(held.fileno(), fcntl.LOCK_EX)
        # Closing the file lets it go.
        yield


def _private(name: str, flags: int) -> int:
    return os.open(name, flags, FILE)
