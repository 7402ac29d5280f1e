"""What is wrong with an installation, with the remedy of each fault."""

from __future__ import annotations

import re
import shutil
import sys
import tempfile
import webbrowser
from collections.abc import Callable, Iterator
from importlib import metadata
from pathlib import Path
from typing import Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import BaseModel, ConfigDict

from setwright.basis.errors import SetwrightError

State = Literal["good", "mind", "wrong"]
OLDEST = (3, 11)
# The log needs statements that came with it; a file of a long season takes some 100 MB with its copies.
OLDEST_SQLITE = (3, 35, 0)
ROOM = 500_000_000


class Finding(BaseModel):
    """One thing that was looked at: how it stands, what was found, and what would mend it."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    what: str
    state: State
    found: str
    remedy: str = ""


def self_check(book: Path | None = None) -> list[Finding]:
    """Look an installation over; nothing is changed but a file that is written and taken away again.

    Parameters
    ----------
    book : Path, optional
        Line book that is to be looked at as well, with the folder in which it lies.

    Returns
    -------
    list of Finding
        In the order in which faults are best mended.
    """
    found = [_python(), *_packages(), _zones(), _sqlite(), _typefaces(), _paper(), _compiler(), _browser()]
    return [*found, *(_line(book) if book is not None else ())]


def _good(what: str, found: str) -> Finding:
    return Finding(what=what, state="good", found=found)


def _python() -> Finding:
    here = ".".join(map(str, sys.version_info[:3]))
    if sys.version_info[:2] < OLDEST:
        wanted = ".".join(map(str, OLDEST))
        return Finding(what="Python", state="wrong", found=here, remedy=f"install Python {wanted} or newer")
    return _good("Python", here)


def _packages() -> Iterator[Finding]:
    """Every package that setwright asks for, against the least version that it asks for."""
    try:
        asked = metadata.requires("setwright") or []
        version = metadata.version("setwright")
    except metadata.PackageNotFoundError:
        yield Finding(
            what="setwright", state="wrong", found="its own record is missing", remedy="install it again with pip"
        )
        return
    faults = 0
    for text in asked:
        wanted, _, marker = text.partition(";")
        if "extra" in marker:
            continue
        name = re.split(r"[\[<>=!~ ]", wanted.strip(), maxsplit=1)[0]
        bounds = dict(re.findall(r"(>=|<)\s*([0-9][0-9.]*)", wanted))
        try:
            here = metadata.version(name)
        except metadata.PackageNotFoundError:
            faults += 1
            yield Finding(what=name, state="wrong", found="missing", remedy=f'pip install "{wanted.strip()}"')
            continue
        low, high = bounds.get(">="), bounds.get("<")
        if (low and _number(here) < _number(low)) or (high and _number(here) >= _number(high)):
            faults += 1
            yield Finding(what=name, state="wrong", found=here, remedy=f'pip install "{wanted.strip()}"')
    if not faults:
        yield _good("packages", f"setwright {version} with all that it asks for")


def _number(version: str) -> tuple[int, ...]:
    """Leading numbers of a version, ends of zeros left out so that 1.2 is 1.2.0."""
    found = re.match(r"[0-9]+(?:\.[0-9]+)*", version)
    parts = [int(part) for part in found[0].split(".")] if found else []
    while parts and not parts[-1]:
        parts.pop()
    return tuple(parts)


def _zones() -> Finding:
    try:
        ZoneInfo("America/New_York")
    except ZoneInfoNotFoundError:
        return Finding(what="time zones", state="wrong", found="none", remedy="pip install tzdata")
    return _good("time zones", "known")


def _sqlite() -> Finding:
    from setwright.log.store import sqlite_version

    here = sqlite_version()
    if tuple(map(int, here.split("."))) < OLDEST_SQLITE:
        wanted = ".".join(map(str, OLDEST_SQLITE))
        return Finding(
            what="SQLite", state="wrong", found=here, remedy=f"the log needs {wanted}: use a newer build of Python"
        )
    return _good("SQLite", here)


def _typefaces() -> Finding:
    for name in ("fontpkg-archivo-narrow", "fontpkg-andada-pro"):
        try:
            files = metadata.files(name) or []
        except metadata.PackageNotFoundError:
            files = []
        if not any(str(file).endswith(".ttf") and Path(str(file.locate())).is_file() for file in files):
            return Finding(
                what="typefaces",
                state="wrong",
                found=f"{name} holds none",
                remedy=f"pip install --force-reinstall {name}",
            )
    return _good("typefaces", "both are there")


def _tried(what: str, act: Callable[[], str], state: State, remedy: str) -> Finding:
    """Try something out; whatever goes wrong in a foreign library is a finding and no fault of ours."""
    try:
        return _good(what, act())
    except Exception as error:
        return Finding(what=what, state=state, found=f"{type(error).__name__}: {str(error)[:120]}", remedy=remedy)


def _paper() -> Finding:
    def act() -> str:
        import typst

        made = typst.compile(b"ready")
        if not bytes(made).startswith(b"%PDF"):
            raise ValueError("what came out is no PDF")
        return "a page was set"

    return _tried("paper (PDF)", act, "wrong", "pip install --force-reinstall typst")


def _compiler() -> Finding:
    def act() -> str:
        import numpy as np

        from setwright.trap.build import build
        from setwright.trap.closing import close
        from setwright.trap.tables import dimensions

        trap = build(dimensions("coil-1.5"))
        plain, quick = (float(close(trap, friction=0.2, engine=engine).time) for engine in ("numpy", "numba"))
        if abs(plain / quick - 1.0) > 1e-6:
            raise ValueError(f"compiled {quick:.6g} s, plain {plain:.6g} s")
        return f"compiled sums work, NumPy {np.__version__}"

    return _tried(
        "compiled sums", act, "wrong",
        "pip install --force-reinstall numba llvmlite; where the folder of the package cannot be written, set "
        "NUMBA_CACHE_DIR to one that can",
    )  # fmt: skip


def _browser() -> Finding:
    try:
        known = webbrowser.get().__class__.__name__
    except webbrowser.Error:
        known = ""
    if known or sys.platform in ("win32", "darwin"):
        return _good("a browser", "there is one")
    return Finding(
        what="a browser", state="mind", found="none found here",
        remedy="the app needs one; any does, on this machine or with --lan on another",
    )  # fmt: skip


def _line(book: Path) -> Iterator[Finding]:
    """The folder of a line, the book in it, and its log."""
    folder = book.resolve().parent
    try:
        with tempfile.TemporaryFile(dir=folder):
            free = shutil.disk_usage(folder).free
    except OSError as error:
        yield Finding(
            what="folder of the line", state="wrong", found=error.strerror or "it cannot be written",
            remedy="put the book where you may write",
        )  # fmt: skip
        return
    if free < ROOM:
        yield Finding(
            what="folder of the line", state="mind", found=f"{free / 1e6:.0f} MB free",
            remedy=f"make room: {ROOM / 1e6:.0f} MB are wanted for log, copies and sheets",
        )  # fmt: skip
    else:
        yield _good("folder of the line", "can be written, with room")
    from setwright.desk.plan import read_job

    try:
        job = read_job(book, draws=50)
    except SetwrightError as error:
        yield Finding(what="line book", state="wrong", found=str(error), remedy="mend the line that is named")
        return
    yield _good("line book", f"{len(job.sites)} sites, {len(job.traps)} traps")
    yield from _log(book)


def _log(book: Path) -> Iterator[Finding]:
    from setwright.desk.log import store_place
    from setwright.desk.log_files import look_through

    place = Path(store_place(book))
    if not place.exists():
        yield _good("log", "none yet")
        return
    try:
        found = look_through(book)
    except SetwrightError as error:
        yield Finding(
            what="log", state="wrong", found=str(error), remedy="bring a copy back: setwright log restore BOOK FILE"
        )
        return
    if found.damaged or found.faults:
        told = (
            "; ".join((f"{len(found.damaged)} damaged entries", *found.faults)) if found.damaged else found.faults[0]
        )
        yield Finding(
            what="log", state="wrong", found="; ".join((*told, *found.faults)),
            remedy="bring a copy back: setwright log restore BOOK FILE",
        )  # fmt: skip
    else:
        yield _good("log", f"{found.events} entries, all whole")
