"""A new line: the demo, a book that is at hand, or an empty one that is filled question by question."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ruamel.yaml.comments import CommentedMap

from setwright.basis.errors import BadInput
from setwright.basis.textfile import put_bytes
from setwright.basis.yamlfile import LIMIT, plain
from setwright.desk import edit_fields
from setwright.desk.edit import State, changed, state_of, usable_book
from setwright.desk.edit_acts import append_entry
from setwright.desk.edit_form import READERS, Field, Section, apply, refuse_text, row_count
from setwright.desk.edit_values import text_value
from setwright.line import retouch
from setwright.line.brief import expand
from setwright.line.rewrite import rewritten

EMPTY = """\
schema: setwright/line-book/1

line:
  name: My line
  date: 2000-01-01

law:
  packs: []
  profile: best-practice

outfit:
  traps: []

sites: []
"""
STEM = {"traps": "T", "chains": "chain", "anchors": "anchor"}
ROWS = 4


def first_form() -> tuple[Section, ...]:
    """The first questions of a new line."""
    known = {field.path: field for section in edit_fields.line_form({}) for field in section.fields}
    asked = (
        "line.name", "line.place", "line.date", "line.timezone", "line.base", "line.season_open", "line.season_close"
    )  # fmt: skip
    return (Section("The line", tuple(known[path] for path in asked), "Only the name and the day are needed."),)


def outfit_rows(data: Mapping[str, Any], kind: str) -> Field:
    """A table in which several pieces of the outfit are written down at once."""
    asked = {
        "traps": ("pattern", "count", "springs", "jaws", "trip_force"),
        "chains": ("length", "parts", "count"),
        "anchors": ("kind", "stock", "count"),
    }[kind]
    known = {field.path: field for section in edit_fields.piece_form(data, kind) for field in section.fields}
    return Field(kind, f"{edit_fields.ONE[kind]}s", "rows", columns=tuple(known[path] for path in asked))


def begin(path: Path, sent: Mapping[str, str]) -> State:
    """Write a new book that has a name and a day, and nothing else that is not known.

    Raises
    ------
    BadInput
        When a book stands there, or an answer cannot be used.
    """
    _free(path)

    def act(book: CommentedMap) -> None:
        apply(first_form(), book, {**sent, "line.date": sent.get("line.date") or dt.date.today().isoformat()})

    text = rewritten(EMPTY, act, file=path)
    usable_book(text, path)
    return _written(path, text.encode("utf-8"))


def take_over(path: Path, content: bytes) -> State:
    """Put a book that was made elsewhere here.

    Raises
    ------
    BadInput
        When a book stands there, or this one cannot be used.
    """
    _free(path)
    usable_book(book_text(content), path)
    return _written(path, content)


def book_text(content: bytes) -> str:
    """The text of a book that was handed in.

    Raises
    ------
    BadInput
        When it is no text, or too large.
    """
    if len(content) > LIMIT:
        raise BadInput("the file is too large", field="file", allowed=f"up to {LIMIT} bytes")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadInput("the file is not UTF-8 text", field="file", allowed="text saved as UTF-8") from None
    if not text.strip() or "\x00" in text:
        raise BadInput("the file is empty or holds zero bytes", field="file", allowed="a line book")
    return text


def add_pieces(path: Path, seen: str, kinds: tuple[str, ...], sent: Mapping[str, str]) -> State:
    """Add what was written down in the tables of `outfit_rows`; names are given in order.

    Raises
    ------
    BadInput
        When a row is refused; the book is as it was.
    """
    for name, text in sent.items():
        refuse_text(name, text)

    def act(book: CommentedMap) -> None:
        for kind in kinds:
            field = outfit_rows(plain(book), kind)
            for number in range(row_count(field, sent)):
                texts = {c.path: sent.get(f"{kind}.{number}.{c.path}", "").strip() for c in field.columns}
                if any(texts.values()):
                    entry = retouch.flow({"id": text_value(_next_name(book, kind))})
                    for column in field.columns:
                        if texts[column.path]:
                            retouch.put(entry, column.path, READERS[column.kind](texts[column.path]))
                    append_entry(book, ("outfit", kind), entry)

    return changed(path, seen, f"added {' and '.join(kinds)}", act)


def _next_name(book: CommentedMap, kind: str) -> str:
    """The next free name: traps go on from the last number of all tags."""
    entries = (book.get("outfit") or {}).get(kind) or []
    taken: set[str] = set()
    for entry in entries:
        count = entry.get("count", 1) if kind == "traps" else 1
        taken |= set(expand(str(entry["id"]), count if isinstance(count, int) else 1))
    number = len(taken) + 1
    pattern = "{}-{:02d}" if kind == "traps" else "{}-{}"
    while pattern.format(STEM[kind], number) in taken:
        number += 1
    return pattern.format(STEM[kind], number)


def _free(path: Path) -> None:
    if path.exists():
        raise BadInput("a line book stands here already", file=path, allowed="a folder without one")


def _written(path: Path, content: bytes) -> State:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadInput("the folder cannot be made", file=path.parent, found=error.strerror or "error") from None
    put_bytes(path, content)
    return state_of(path)
