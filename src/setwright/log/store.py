"""Where events are kept: a SQLite file, or a PostgreSQL database by its URL; nothing taken in is ever lost."""

from __future__ import annotations

import json
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from sqlalchemy import URL, Connection, Engine, create_engine, event, func, insert, make_url, select, text
from sqlalchemy.exc import ArgumentError, NoSuchModuleError

from setwright.basis.errors import BadInput
from setwright.log.event import Event, from_record, line_digest
from setwright.log.faults import StoreFault, told
from setwright.log.schema import DEVICES, EVENTS, NEWEST, form_of

BUSY_SECONDS = 30.0
# How long a reader waits for a log that is there but still empty.
BEGINNING_SECONDS = 5.0
_CHUNK = 500
# Any number, the same for every writer: one at a time, so that `received` grows in the order of the commits.
_WRITERS = 7391


@dataclass(frozen=True, slots=True)
class Receipt:
    """What became of events that were handed in.

    Parameters
    ----------
    added : tuple of str
        Ids that are now kept, safe on the disk.
    known : tuple of str
        Ids that were there already, word for word.
    conflicts : tuple of str
        Ids that were there with other words: the first words stand, these were not kept.

    """

    added: tuple[str, ...]
    known: tuple[str, ...]
    conflicts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """Events in the order of their arrival, as many as were asked for.

    Parameters
    ----------
    events : tuple of Event
        What came after the place that was named.
    last : int
        Place of the last of them; of the whole log when there are none.
    more : bool
        True when others came after these.

    """

    events: tuple[Event, ...]
    last: int
    more: bool


class Store:
    """A log, open for reading and writing.

    Parameters
    ----------
    place : str or Path
        File name, or a URL such as `postgresql:///trapline`.
    create : bool
        Make the file and bring the store to the newest form when that is needed.

    Raises
    ------
    StoreFault
        When it cannot be opened.

    """

    def __init__(self, place: str | Path, *, create: bool = True) -> None:
        url = _url(place)
        self.file = Path(str(url.database)) if url.get_backend_name() == "sqlite" else None
        self.where = str(self.file) if self.file else url.render_as_string(hide_password=True)
        if self.file is not None and not self.file.exists() and not create:
            raise StoreFault("there is no such log", file=self.where)
        if self.file is not None and not self.file.parent.is_dir():
            raise StoreFault("the folder of the log is missing", file=self.where)
        self.engine = _engine(url)
        try:
            self._ready(create)
        except BaseException:
            self.engine.dispose()
            raise

    def _ready(self, create: bool) -> None:
        with told(self.where):
            found = self._form()
            until = time.monotonic() + BEGINNING_SECONDS
            # Somebody else is just making it: what he makes is there at once, when he is done.
            while not create and not found and time.monotonic() < until:
                time.sleep(0.05)
                found = self._form()
            if found == NEWEST:
                return
            if not create:
                raise StoreFault("the log has an older form: open it for writing once", file=self.where, found=found)
            from setwright.log.migrations import migrate

            with self.writing() as link:
                migrate(link)

    def _form(self) -> str | None:
        with self.engine.connect() as link:
            found = form_of(link)
            link.rollback()
        return found

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file or the database."""
        self.engine.dispose()

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction of the only writer; kept when the block ends, gone when it fails."""
        with told(self.where), self.engine.connect().execution_options(writes=True) as link, link.begin():
            if self.file is None:
                link.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _WRITERS})
            yield link

    def append(self, events: Iterable[Event]) -> Receipt:
        """Take events in, all or none; what is there already is left alone.

        Parameters
        ----------
        events : iterable of Event
            In any order; handing the same in twice does no harm.

        Returns
        -------
        Receipt
            Given back only when everything added is safe on the disk.

        Raises
        ------
        StoreFault
            When nothing was kept.

        """
        rows: dict[str, dict[str, Any]] = {}
        conflicts: list[str] = []
        for each in events:
            row = _row(each)
            held = rows.setdefault(each.id, row)
            if held["digest"] != row["digest"]:
                conflicts.append(each.id)
        names = list(rows)
        known: list[str] = []
        with self.writing() as link:
            present: dict[str, str] = {}
            for begin in range(0, len(names), _CHUNK):
                asked = select(EVENTS.c.id, EVENTS.c.digest).where(EVENTS.c.id.in_(names[begin : begin + _CHUNK]))
                present.update((row.id, row.digest) for row in link.execute(asked))
            new = [rows[name] for name in names if name not in present]
            if new:
                self._insert(link, new)
            for name, digest in present.items():
                (known if digest == rows[name]["digest"] else conflicts).append(name)
        return Receipt(tuple(row["id"] for row in new), tuple(known), tuple(sorted(set(conflicts))))

    def _insert(self, link: Connection, rows: list[dict[str, Any]]) -> None:
        # Each dialect takes its time to load: only the one that is used.
        from importlib import import_module

        dialect = import_module(f"sqlalchemy.dialects.{'sqlite' if self.file is not None else 'postgresql'}")
        devices = [{"name": name} for name in sorted({row["device"] for row in rows})]
        link.execute(dialect.insert(DEVICES).on_conflict_do_nothing(), devices)
        link.execute(insert(EVENTS), rows)

    def read(self, after: int = 0) -> list[Event]:
        """Events as they were taken in.

        Parameters
        ----------
        after : int
            Only what came later than this place in the order of arrival; 0 for all.

        """
        return self.read_on(after)[1]

    def read_on(self, after: int) -> tuple[int, list[Event]]:
        """Place of the last event, and events that were taken in after a place, in the order of their arrival.

        Parameters
        ----------
        after : int
            Place in the order of arrival; 0 for all.

        """
        with told(self.where), self.engine.connect() as link:
            asked = select(EVENTS.c.received, EVENTS.c.record).where(EVENTS.c.received > after)
            rows = link.execute(asked.order_by(EVENTS.c.received)).all()
        return (int(rows[-1].received) if rows else after), [from_record(json.loads(row.record)) for row in rows]

    def page(self, after: int, most: int) -> Page:
        """Some of the events that were taken in after a place, in the order of their arrival.

        Parameters
        ----------
        after : int
            Place in the order of arrival; 0 for the beginning.
        most : int
            How many at most.

        """
        with told(self.where), self.engine.connect() as link:
            asked = select(EVENTS.c.received, EVENTS.c.record).where(EVENTS.c.received > after)
            rows = link.execute(asked.order_by(EVENTS.c.received).limit(most + 1)).all()
            newest = int(link.execute(select(func.coalesce(func.max(EVENTS.c.received), 0))).scalar_one())
        taken = rows[:most]
        events = tuple(from_record(json.loads(row.record)) for row in taken)
        return Page(events, int(taken[-1].received) if taken else newest, len(rows) > most)

    def of_set(self, set_id: str) -> list[Event]:
        """Events that name one set, and every correction and void, as they were taken in.

        Parameters
        ----------
        set_id : str
            Name of the set.

        """
        with told(self.where), self.engine.connect() as link:
            asked = select(EVENTS.c.record).where((EVENTS.c.set_id == set_id) | EVENTS.c.corrects.is_not(None))
            return [from_record(json.loads(record)) for record in link.execute(asked).scalars()]

    def digest(self) -> str:
        """Digest of the whole log, the same in whatever order it was taken in."""
        with told(self.where), self.engine.connect() as link:
            lines = sorted(link.execute(select(EVENTS.c.digest)).scalars())
        return line_digest("\n".join(lines))

    def last(self) -> int:
        """Place of the last event in the order of arrival; 0 when there is none."""
        with told(self.where), self.engine.connect() as link:
            return int(link.execute(select(func.coalesce(func.max(EVENTS.c.received), 0))).scalar_one())

    def count(self) -> int:
        """How many events are kept."""
        with told(self.where), self.engine.connect() as link:
            return int(link.execute(select(func.count()).select_from(EVENTS)).scalar_one())


def sqlite_version() -> str:
    """Version of the SQLite that comes with this Python."""
    import sqlite3

    return sqlite3.sqlite_version


def _row(each: Event) -> dict[str, Any]:
    line = each.text()
    return {
        "id": each.id, "device": each.device, "kind": each.kind, "instant": each.instant, "set_id": each.set_id,
        "corrects": each.corrects, "record": line, "digest": line_digest(line),
    }  # fmt: skip


def _url(place: str | Path) -> URL:
    given = str(place)
    if isinstance(place, Path) or "://" not in given:
        return URL.create("sqlite", database=given)
    try:
        url = make_url(given)
        name = url.get_backend_name()
    except (ArgumentError, NoSuchModuleError):
        raise BadInput(
            "no address of a store", field="place", found=given, allowed="a file, postgresql://…"
        ) from None
    if name == "postgresql" and url.drivername == "postgresql":
        url = url.set(drivername="postgresql+psycopg")
    if url.drivername not in ("sqlite", "postgresql+psycopg") or (name == "sqlite" and not url.database):
        raise BadInput(
            "no such kind of store",
            field="place",
            found=url.drivername,
            allowed="a file, sqlite:///…, postgresql://…",
        )
    return url


def _engine(url: URL) -> Engine:
    if url.get_backend_name() != "sqlite":
        try:
            return create_engine(url, pool_pre_ping=True)
        except ModuleNotFoundError:
            raise StoreFault("PostgreSQL needs one package more", allowed='pip install "setwright[pg]"') from None
    engine = create_engine(url, connect_args={"timeout": BUSY_SECONDS, "check_same_thread": False})

    def opened(raw: Any, _: Any) -> None:
        # Transactions are begun by `begun`: left to itself the driver would not cover the making of tables.
        raw.isolation_level = None
        cursor = raw.cursor()
        cursor.execute("PRAGMA foreign_keys = ON")
        cursor.execute("PRAGMA synchronous = FULL")
        cursor.close()

    def begun(link: Connection) -> None:
        options = link.get_execution_options()
        writes = options.get("writes", False)
        if writes and link.exec_driver_sql("PRAGMA journal_mode").scalar() != "wal":
            link.exec_driver_sql("PRAGMA journal_mode = WAL")
        # Copying a whole file stands outside of any transaction.
        if options.get("outside", False):
            return
        # A writer that begins as a reader could not wait for its turn.
        link.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    event.listen(engine, "connect", opened)
    event.listen(engine, "begin", begun)
    return engine
