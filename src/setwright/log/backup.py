"""Backups: taken while others write, checked by digest, and read back into any store without taking anything away."""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import select, text

from setwright.basis.errors import BadInput, SetwrightError
from setwright.log.event import Event, from_record, line_digest
from setwright.log.faults import StoreFault, told
from setwright.log.schema import EVENTS
from setwright.log.store import Receipt, Store

SUFFIX = ".sha256"


@dataclass(frozen=True, slots=True)
class Verified:
    """What a look through a store or a backup found.

    Parameters
    ----------
    events : int
        How many were read.
    damaged : tuple of str
        Ids whose words are not those that were taken in.
    faults : tuple of str
        Anything else, in plain sentences.

    """

    events: int
    damaged: tuple[str, ...]
    faults: tuple[str, ...]

    @property
    def sound(self) -> bool:
        """True when nothing was found."""
        return not self.damaged and not self.faults


def verify(store: Store) -> Verified:
    """Read every event and hold it against its digest; ask the file for its own faults.

    Parameters
    ----------
    store : Store
        Any store.

    """
    damaged: list[str] = []
    faults: list[str] = []
    count = 0
    with told(store.where), store.engine.connect() as link:
        if store.file is not None:
            answers = link.execute(text("PRAGMA integrity_check")).scalars().all()
            faults += [f"file: {answer}" for answer in answers if answer != "ok"]
            if link.execute(text("PRAGMA foreign_key_check")).first() is not None:
                faults.append("an event names a device that is not there")
        columns = (EVENTS.c.id, EVENTS.c.kind, EVENTS.c.instant, EVENTS.c.record, EVENTS.c.digest)
        for row in link.execute(select(*columns).order_by(EVENTS.c.received)):
            count += 1
            if line_digest(row.record) != row.digest or not _agrees(row.record, row.id, row.kind, row.instant):
                damaged.append(row.id)
    return Verified(count, tuple(damaged), tuple(faults))


def _agrees(line: str, name: str, kind: str, instant: int) -> bool:
    try:
        event = from_record(json.loads(line))
    except (ValueError, SetwrightError):
        return False
    return (event.id, event.kind, event.instant) == (name, kind, instant)


def _file_digest(path: Path) -> str:
    with path.open("rb") as handle:
        return hashlib.file_digest(handle, "sha256").hexdigest()


def backup(store: Store, target: Path) -> Verified:
    """Write the whole store into one SQLite file, while others may write on; a file of its digest stands beside it.

    Parameters
    ----------
    store : Store
        File or database.
    target : Path
        New file; one that is there already is refused.

    Returns
    -------
    Verified
        Of the backup, read back from the disk.

    """
    if target.exists():
        raise BadInput("a backup never overwrites", file=target, found="a file", allowed="a new name")
    if not target.parent.is_dir():
        raise BadInput("the folder of the backup is missing", file=target.parent)
    try:
        with tempfile.TemporaryDirectory(dir=target.parent, prefix=".backup-") as folder:
            made = Path(folder) / target.name
            if store.file is not None:
                with told(store.where), store.engine.connect().execution_options(outside=True) as link:
                    # One statement, one consistent picture, and a single file without a journal beside it.
                    link.execute(text("VACUUM INTO :made"), {"made": str(made)})
            else:
                with Store(made) as copy:
                    copy.append(store.read())
                    _one_file(copy)
            with Store(made, create=False) as copy:
                found = verify(copy)
            if not found.sound:
                raise StoreFault("the backup could not be read back as it was written", file=made)
            _sync(made)
            note = Path(folder) / (target.name + SUFFIX)
            note.write_text(f"{_file_digest(made)}  {target.name}\n", encoding="utf-8")
            _sync(note)
            note.replace(target.with_name(target.name + SUFFIX))
            made.replace(target)
    except OSError as error:
        raise StoreFault(f"the backup could not be written: {error.strerror or error}", file=target) from error
    return found


def _one_file(copy: Store) -> None:
    with told(copy.where), copy.engine.connect().execution_options(outside=True) as link:
        link.execute(text("PRAGMA journal_mode = DELETE"))


def _sync(path: Path) -> None:
    with path.open("rb+") as handle:
        os.fsync(handle.fileno())


def verify_backup(target: Path) -> Verified:
    """Hold a backup against the digest beside it, then read every event.

    Parameters
    ----------
    target : Path
        File that `backup` made.

    """
    note = target.with_name(target.name + SUFFIX)
    for path in (target, note):
        if not path.is_file():
            raise BadInput("there is no such file", file=path)
    wanted = note.read_text(encoding="utf-8").split()
    if not wanted or wanted[0] != _file_digest(target):
        return Verified(0, (), ("the file is not the one that was written: its digest differs",))
    with Store(target, create=False) as copy:
        return verify(copy)


def events_of(target: Path) -> list[Event]:
    """Every event of a backup, after it was held against its digest.

    Parameters
    ----------
    target : Path
        File that `backup` made.

    Raises
    ------
    StoreFault
        When the backup is damaged.
    """
    found = verify_backup(target)
    if not found.sound:
        raise StoreFault(
            "the backup is damaged and was not read in", file=target, found="; ".join((*found.faults, *found.damaged))
        )
    with Store(target, create=False) as copy:
        return copy.read()


def restore(target: Path, store: Store) -> Receipt:
    """Read a backup into a store: what the store has already stays, what it lacks is added.

    Parameters
    ----------
    target : Path
        File that `backup` made.
    store : Store
        New or in use, file or database.

    Raises
    ------
    StoreFault
        When the backup is damaged; nothing is then read in.
    """
    return store.append(events_of(target))
