"""The log beside a line book as the pages read it: kept, and read on from where it was when entries are added."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from setwright.desk.log_due import Due
    from setwright.line.book import LineBook
    from setwright.line.lawbook import NamedPack
    from setwright.log.event import Event

Written = tuple[tuple[str, int, int, int], ...]
Stamp = tuple[tuple[str, int], ...]
Owed = tuple["list[Due]", "list[str]"]


def written(book: Path) -> Written:
    """State of the log beside a book: what was added shows in the size or the time of its files.

    What comes and goes when somebody only reads is left out.
    """
    found = []
    for path in sorted(book.resolve().parent.iterdir()):
        if path.name.endswith((".db", ".db-wal")):
            try:
                about = path.stat()
            except FileNotFoundError:
                continue
            if path.suffix == ".db" or about.st_size:
                found.append((path.name, about.st_ino, about.st_size, about.st_mtime_ns))
    return tuple(found)


@dataclass
class Ledger:
    """What is due by law and log, worked out anew when book, log or the minute is another.

    Parameters
    ----------
    book : Path
        Line book.
    """

    book: Path
    _lock: threading.Lock = field(default_factory=threading.Lock, repr=False)
    _read: tuple[Written, tuple[int, ...], int, list[Event]] | None = None
    _law: tuple[Stamp, LineBook, Sequence[NamedPack]] | None = None
    _owed: tuple[object, Owed] | None = None

    def owed(self, stamp: Stamp) -> tuple[object, Owed]:
        """What is due now and what cannot be told, with a key that stays the same as long as it holds.

        Parameters
        ----------
        stamp : tuple
            State of the book and of the files beside it.

        Raises
        ------
        BadInput, StoreFault
            When book or log cannot be used.
        """
        from setwright.desk.log_due import duties
        from setwright.desk.log_words import now_in

        with self._lock:
            # Before it is read: what is added meanwhile is then read at the next asking.
            state = written(self.book)
            book, packs = self._book(stamp)
            now = now_in(book.line.zone)
            files, last, events = self._events(state)
            key = (stamp, files, last, now.replace(second=0, microsecond=0))
            if self._owed is None or self._owed[0] != key:
                self._owed = (key, duties(book, packs, events, now))
            return self._owed

    def _book(self, stamp: Stamp) -> tuple[LineBook, Sequence[NamedPack]]:
        from setwright.line.book import read_book
        from setwright.line.lawbook import packs_of

        if self._law is None or self._law[0] != stamp:
            book, _ = read_book(self.book)
            self._law = (stamp, book, packs_of(book, self.book.resolve().parent))
        return self._law[1:]

    def _events(self, state: Written) -> tuple[tuple[int, ...], int, list[Event]]:
        """Files of the log, place of the last entry, all entries."""
        from setwright.desk.log import read_on

        if self._read is not None and self._read[0] == state:
            return self._read[1:]
        files = tuple(one[1] for one in state if one[0].endswith(".db"))
        # Entries are only ever added; another file in its place is another log.
        before = self._read if self._read is not None and self._read[1] == files else None
        last, more = read_on(self.book, before[2] if before else 0)
        self._read = (state, files, last, [*before[3], *more] if before else more)
        return self._read[1:]
