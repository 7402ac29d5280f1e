"""Files of events in and out, backups, and what a look through the store finds."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.desk.log import store_place
from setwright.desk.log_words import now_in
from setwright.line.brief import read_brief
from setwright.log import backup as backups
from setwright.log.amend import union
from setwright.log.exchange import RefusedRow, Rows, from_csv, from_lines, to_csv, to_lines
from setwright.log.objections import Objections
from setwright.log.store import Receipt, Store

FORMS = (".jsonl", ".csv")
LIMIT = 500_000_000


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of a file: rows kept, and every refused row with its reason."""

    receipt: Receipt
    refused: tuple[RefusedRow, ...]
    where: str


def take_in(
    book: Path,
    file: Path,
    *,
    all_or_nothing: bool = False,
    store: str | None = None,
    now: dt.datetime | None = None,
) -> Taken:
    """Import a file of events.

    Parameters
    ----------
    book : Path
        Line book: its zone, sites and animals are what rows are held against.
    file : Path
        `.jsonl` or `.csv`.
    all_or_nothing : bool
        Keep nothing when a row is refused.
    store : str, optional
        File or URL; the file beside the book otherwise.
    now : datetime, optional
        Present time, for rehearsals.

    Raises
    ------
    BadInput, StoreFault
        When nothing was kept.
    """
    form = _form(file)
    try:
        return take_text(book, _read(file), form, all_or_nothing=all_or_nothing, store=store, now=now)
    except BadInput as error:
        raise error.at(file=file) from None


def take_text(
    book: Path,
    text: str,
    form: str,
    *,
    all_or_nothing: bool = False,
    store: str | None = None,
    now: dt.datetime | None = None,
) -> Taken:
    """Import events from a text.

    Parameters
    ----------
    book : Path
        Line book.
    text : str
        What the file holds.
    form : str
        `.jsonl` or `.csv`.
    all_or_nothing, store, now : optional
        As for `take_in`.

    Raises
    ------
    BadInput, StoreFault
        When nothing was kept.
    """
    brief = read_brief(book)
    rows: Rows = (from_lines if form == ".jsonl" else from_csv)(text)
    from setwright.animal.tables import species

    with Store(store_place(book, store)) as place:
        judge = Objections(
            [*place.read(), *rows.events],
            now=now or now_in(brief.zone),
            zone=brief.zone,
            sets=[site.key for site in brief.sites],
            species=[*species(), *brief.animals],
        )
        judged = rows.judged(judge.check)
        events = judged.all_or_nothing() if all_or_nothing else judged.events
        return Taken(place.append(events), judged.refused, place.where)


def give_out(book: Path, file: Path | None, *, form: str = "", store: str | None = None) -> tuple[int, str]:
    """Export every event, corrections and voids included, in order; without a file the text comes back.

    Raises
    ------
    BadInput, StoreFault
        When the log cannot be read or the file not written.
    """
    wanted = form or (".jsonl" if file is None else _form(file))
    with Store(store_place(book, store), create=False) as place:
        events = union(place.read())
    text = (to_lines if wanted == ".jsonl" else to_csv)(events)
    if file is None:
        return len(events), text
    beside = file.with_name(f".{file.name}.part")
    try:
        beside.write_text(text, encoding="utf-8", newline="")
        beside.replace(file)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise BadInput("the file cannot be written", file=file, found=error.strerror or "error") from None
    return len(events), ""


def save(book: Path, file: Path, store: str | None = None) -> tuple[int, str]:
    """Back the log up into one file with its digest beside it; number of events and name of the digest's file."""
    with Store(store_place(book, store), create=False) as place:
        found = backups.backup(place, file)
    return found.events, file.name + backups.SUFFIX


def bring_back(book: Path, file: Path, store: str | None = None) -> Receipt:
    """Read a backup into the log: what is there stays, what it lacks is added; a damaged one makes no log."""
    found = backups.events_of(file)
    with Store(store_place(book, store)) as place:
        return place.append(found)


def look_through(book: Path, file: Path | None = None, store: str | None = None) -> backups.Verified:
    """Hold every event of the log, or of a backup, against its digest."""
    if file is not None:
        return backups.verify_backup(file)
    with Store(store_place(book, store), create=False) as place:
        return backups.verify(place)


def _form(file: Path) -> str:
    form = file.suffix.lower()
    if form not in FORMS:
        raise BadInput("no such kind of file", file=file, found=form or "no ending", allowed=", ".join(FORMS))
    return form


def _read(file: Path) -> str:
    from setwright.basis.yamlfile import read_text

    return read_text(file, limit=LIMIT)
