"""Reader of the shipped tables: one quantity a row, each with source, confidence, unit and range.

A table is a CSV file with comment lines (`# …`: what it is, where it comes from, what was altered)
above the columns `key, quantity, value, low, high, unit, source, confidence, note`.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from setwright.basis.errors import BadInput, BadTable
from setwright.basis.source import Kind, Quantity, Source
from setwright.basis.units import convert, read_number

DATA = Path(__file__).resolve().parent.parent / "data"
COLUMNS = ("key", "quantity", "value", "low", "high", "unit", "source", "confidence", "note")

# Words a row may use for how sure it is, and what a reader is told.
CONFIDENCE: Mapping[str, Kind] = {
    "seen": Kind.TABLE,
    "secondary": Kind.TABLE,
    "memory": Kind.TABLE,
    "derived": Kind.COMPUTED,
    "common practice": Kind.PRACTICE,
    "assumed": Kind.ASSUMED,
}


@dataclass(frozen=True, slots=True)
class Field:
    """What a quantity of a table must look like.

    Parameters
    ----------
    unit : str
        SI unit after reading; rows may use any unit that converts to it. `text` for words.
    low, high : float
        Allowed span in that unit; ignored for words.
    needed : bool
        True when every key must have it.
    words : tuple of str
        Allowed words; empty when any text will do.

    """

    unit: str
    low: float = -math.inf
    high: float = math.inf
    needed: bool = False
    words: tuple[str, ...] = ()


class Table:
    """Checked rows by key and quantity; every answer is a `Quantity` with its source."""

    def __init__(self, name: str, rows: Mapping[str, Mapping[str, Quantity]]) -> None:
        self.name = name
        self._rows = rows

    def keys(self) -> tuple[str, ...]:
        """Keys in the order of the file."""
        return tuple(self._rows)

    def __iter__(self) -> Iterator[str]:
        return iter(self._rows)

    def __contains__(self, key: object) -> bool:
        return key in self._rows

    def record(self, key: str) -> Mapping[str, Quantity]:
        """All quantities of one key; BadInput that names the nearest keys when it is absent."""
        try:
            return self._rows[key]
        except KeyError:
            raise BadInput(
                f"no such entry in table {self.name}", found=key, allowed=_choices(key, self._rows)
            ) from None

    def need(self, key: str, field: str) -> None:
        """Raise BadInput that names a file's field and the nearest keys when the key is absent."""
        try:
            self.record(key)
        except BadInput as error:
            raise error.at(field=field) from None

    def has(self, key: str, quantity: str) -> bool:
        """True when the key has that quantity."""
        return quantity in self.record(key)

    def get(self, key: str, quantity: str) -> Quantity:
        """One quantity; BadInput when the key or the quantity is absent."""
        record = self.record(key)
        if quantity not in record:
            raise BadInput(
                f"table {self.name} has no such figure for {key!r}", found=quantity, allowed=", ".join(record)
            )
        return record[quantity]

    def number(self, key: str, quantity: str) -> float:
        """The bare number of one quantity in SI."""
        return self.get(key, quantity).number

    def text(self, key: str, quantity: str) -> str:
        """The words of one quantity; an empty string when the key has none."""
        found = self.record(key).get(quantity)
        return "" if found is None or found.text is None else found.text


def _choices(wanted: str, known: Iterable[str]) -> str:
    import difflib

    names = list(known)
    near = difflib.get_close_matches(wanted, names, n=4, cutoff=0.4)
    return ", ".join(near or names[:12]) + (" …" if not near and len(names) > 12 else "")


@cache
def shipped(room: str, name: str) -> str:
    """Text of a shipped file `data/<room>/<name>`."""
    return (DATA / room / name).read_text(encoding="utf-8")


def read_table(name: str, text: str, fields: Mapping[str, Field]) -> Table:
    """Read and check a table row by row.

    Parameters
    ----------
    name : str
        File name for error messages.
    text : str
        The whole file.
    fields : mapping of str to Field
        Every quantity that may occur.

    Raises
    ------
    BadTable
        With file and line, for the first row that breaks a rule.

    """
    numbered = [(number, line) for number, line in enumerate(text.splitlines(), start=1)]
    head = [line for _, line in numbered if line.startswith("#")]
    body = [(number, line) for number, line in numbered if line.strip() and not line.startswith("#")]
    if not head:
        raise BadTable("the comment lines that say what the table is are missing", file=name, line=1)
    if not body:
        raise BadTable("the table is empty", file=name)
    if tuple(next(csv.reader([body[0][1]]))) != COLUMNS:
        raise BadTable("wrong columns", file=name, line=body[0][0], found=body[0][1], allowed=", ".join(COLUMNS))
    rows: dict[str, dict[str, Quantity]] = {}
    for number, line in body[1:]:
        cells = next(csv.reader(io.StringIO(line)))
        if len(cells) != len(COLUMNS):
            raise BadTable(f"{len(cells)} cells instead of {len(COLUMNS)}", file=name, line=number, found=line)
        row = dict(zip(COLUMNS, (cell.strip() for cell in cells), strict=True))
        try:
            quantity = _quantity(row, fields)
        except (BadTable, BadInput) as error:
            raise BadTable(
                error.message, file=name, line=number, field=f"{row['key']} {row['quantity']}",
                found=error.found, allowed=error.allowed,
            ) from None  # fmt: skip
        record = rows.setdefault(row["key"], {})
        if row["quantity"] in record:
            raise BadTable("this row stands twice", file=name, line=number, found=line)
        record[row["quantity"]] = quantity
    for key, record in rows.items():
        missing = [name_ for name_, field in fields.items() if field.needed and name_ not in record]
        if missing:
            raise BadTable("a row is missing", file=name, field=key, allowed=", ".join(missing))
    return Table(name, rows)


def _quantity(row: Mapping[str, str], fields: Mapping[str, Field]) -> Quantity:
    if not row["key"] or not row["source"]:
        raise BadTable("key and source must be filled in")
    field = fields.get(row["quantity"])
    if field is None:
        raise BadTable("unknown quantity", found=row["quantity"], allowed=", ".join(fields))
    kind = CONFIDENCE.get(row["confidence"])
    if kind is None:
        raise BadTable("unknown confidence", found=row["confidence"], allowed=", ".join(CONFIDENCE))
    source = Source(kind, row["source"], row["confidence"])
    if field.unit == "text":
        if row["unit"] != "text" or not row["value"]:
            raise BadTable("a text row needs a value and the unit 'text'", found=row["unit"])
        if field.words and row["value"] not in field.words:
            raise BadTable("unknown word", found=row["value"], allowed=", ".join(field.words))
        return Quantity(None, "text", source, text=row["value"])
    value, low, high = (_number(row[column], row["unit"], field) for column in ("value", "low", "high"))
    if value is None:
        raise BadTable("the value is missing")
    if (low is not None and low > value) or (high is not None and high < value):
        raise BadTable("low, value and high are not in order", found=f"{row['low']}, {row['value']}, {row['high']}")
    return Quantity(value, field.unit, source, low, high)


def _number(text: str, unit: str, field: Field) -> float | None:
    if not text:
        return None
    number, extra = read_number(text)
    if extra is not None:
        raise BadTable("the unit belongs into its own column", found=text)
    value = convert(number, unit, field.unit)
    if not field.low <= value <= field.high:
        raise BadTable(
            "outside the range of this quantity", found=text, allowed=f"{field.low} to {field.high} {field.unit}"
        )
    return value
