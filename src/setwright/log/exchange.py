"""Events into files and back: JSON Lines and CSV, without loss, with every refused row and its reason."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from setwright.basis.errors import BadInput, SetwrightError
from setwright.log.event import FIELDS, Event, from_record


@dataclass(frozen=True, slots=True)
class RefusedRow:
    """A row that was not taken.

    Parameters
    ----------
    line : int
        Line of the file, counted from 1.
    error : SetwrightError
        Field, what was found, what is allowed.

    """

    line: int
    error: SetwrightError


@dataclass(frozen=True, slots=True)
class Rows:
    """What a file held.

    Parameters
    ----------
    events : tuple of Event
        Rows taken, in the order of the file.
    refused : tuple of RefusedRow
        Rows not taken.
    lines : tuple of int
        Line of the file where each event stands.

    """

    events: tuple[Event, ...]
    refused: tuple[RefusedRow, ...]
    lines: tuple[int, ...] = ()

    def judged(self, check: Callable[[Event], None]) -> Rows:
        """The same rows after further objections, refused ones in the order of the file.

        Parameters
        ----------
        check : callable
            Raises what speaks against an event.

        """
        events: list[Event] = []
        lines: list[int] = []
        refused = list(self.refused)
        for event, line in zip(self.events, self.lines, strict=True):
            try:
                check(event)
            except SetwrightError as error:
                refused.append(RefusedRow(line, error))
            else:
                events.append(event)
                lines.append(line)
        return Rows(tuple(events), tuple(sorted(refused, key=lambda row: row.line)), tuple(lines))

    def all_or_nothing(self) -> tuple[Event, ...]:
        """The events, if no row was refused.

        Raises
        ------
        BadInput
            At the first refused row.

        """
        if self.refused:
            first = self.refused[0]
            more = f" ({len(self.refused)} rows refused)" if len(self.refused) > 1 else ""
            raise BadInput(
                first.error.message + more, line=first.line, field=first.error.field, found=first.error.found,
                allowed=first.error.allowed,
            )  # fmt: skip
        return self.events


def to_lines(events: Iterable[Event]) -> str:
    """JSON Lines: one event a line.

    Parameters
    ----------
    events : iterable of Event
        In the order wanted.

    """
    return "".join(event.text() + "\n" for event in events)


def from_lines(text: str, check: Callable[[Event], None] | None = None) -> Rows:
    """Read JSON Lines.

    Parameters
    ----------
    text : str
        Content of the file.
    check : callable, optional
        Further objections to an event, raised as errors; such as `Objections.check`.

    """
    found: list[tuple[int, Any]] = []
    # Only the line feed ends a line: other signs that split text may stand within a note.
    for number, line in enumerate(text.removeprefix("\ufeff").split("\n"), start=1):
        if line.strip():
            found.append((number, line))
    return _take(found, _decoded, check)


def _decoded(line: str) -> Event:
    try:
        record = json.loads(line)
    except (ValueError, RecursionError):
        raise BadInput("this line is cut off or no JSON", found=line) from None
    return from_record(record)


def to_csv(events: Iterable[Event]) -> str:
    """CSV with one column a field; the details stand as JSON in theirs, an empty cell is *unknown*.

    Parameters
    ----------
    events : iterable of Event
        In the order wanted.

    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(FIELDS)
    for event in events:
        record = event.record()
        record["details"] = json.dumps(record["details"], ensure_ascii=False, sort_keys=True)
        writer.writerow(["" if record[name] is None else record[name] for name in FIELDS])
    return out.getvalue()


def from_csv(text: str, check: Callable[[Event], None] | None = None) -> Rows:
    """Read CSV; columns in any order.

    Parameters
    ----------
    text : str
        Content of the file.
    check : callable, optional
        As for `from_lines`.

    Raises
    ------
    BadInput
        When the first row names no columns of an event.

    """
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    found: list[tuple[int, Any]] = []
    head: list[str] = []
    begins = 1
    try:
        head = next(reader, [])
        lacking = [name for name in ("id", "device", "kind", "time") if name not in head]
        if lacking or len(set(head)) != len(head) or set(head) - set(FIELDS):
            raise BadInput("columns of the file", line=1, found=", ".join(head), allowed=", ".join(FIELDS))
        begins = reader.line_num + 1
        for cells in reader:
            if cells:
                found.append((begins, (head, cells)))
            begins = reader.line_num + 1
    except csv.Error as error:
        if not head:
            raise BadInput(f"this is no CSV: {error}") from None
        found.append((begins, error))
    return _take(found, _of_cells, check)


def _of_cells(row: Any) -> Event:
    if isinstance(row, csv.Error):
        raise BadInput(f"the file is cut off or no CSV from here on: {row}")
    head, cells = row
    if len(cells) != len(head):
        raise BadInput("number of cells", found=len(cells), allowed=str(len(head)))
    record: dict[str, Any] = {name: cell for name, cell in zip(head, cells, strict=True) if cell != ""}
    if "place" in record:
        try:
            record["place"] = int(record["place"])
        except ValueError:
            raise BadInput(
                "place within the visit", field="place", found=record["place"], allowed="0 to 9999"
            ) from None
    if "details" in record:
        try:
            record["details"] = json.loads(record["details"])
        except (ValueError, RecursionError):
            raise BadInput("details as JSON", field="details", found=record["details"]) from None
    return from_record(record)


def _take(
    rows: Iterable[tuple[int, Any]], make: Callable[[Any], Event], check: Callable[[Event], None] | None
) -> Rows:
    events: list[Event] = []
    lines: list[int] = []
    refused: list[RefusedRow] = []
    for line, row in rows:
        try:
            event = make(row)
            if check is not None:
                check(event)
        except SetwrightError as error:
            refused.append(RefusedRow(line, error))
        else:
            events.append(event)
            lines.append(line)
    return Rows(tuple(events), tuple(refused), tuple(lines))
