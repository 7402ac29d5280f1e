"""Which trap is meant: a trap file, a tag in the outfit of a line book, or a pattern of the table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from pydantic import ConfigDict, Field

from setwright.basis.errors import BadInput
from setwright.basis.fields import Force, Length
from setwright.basis.yamlfile import line_of, load, read_text, validate
from setwright.line.book import TrapEntry, expand, read_book
from setwright.line.outfit import trap_rig
from setwright.line.readings import ReadingEntry
from setwright.sets.model import TrapRig
from setwright.trap import tables as trap_tables

SCHEMA = "setwright/trap/1"


class TrapFile(TrapEntry):
    """A trap described by itself: a pattern, its tuning, and whatever was read on the bench."""

    model_config = ConfigDict(extra="forbid", arbitrary_types_allowed=True)

    schema_: Literal["setwright/trap/1"] = Field(alias="schema")
    limb: Length | None = None
    trip_wanted: Force | None = None


@dataclass(frozen=True)
class Picked:
    """A trap, the entry that describes it, and the limb thickness [m] that the file asks for."""

    rig: TrapRig
    entry: TrapEntry
    limb: float | None = None


def pick(what: str, book: Path | None = None, more: Sequence[ReadingEntry] = ()) -> Picked:
    """The trap that is meant, with `more` readings besides those that are kept.

    Raises
    ------
    BadInput
        When there is no such file, tag or pattern, or it cannot be used, with file, line, field, found, allowed.
    """
    if book is not None:
        return _in_outfit(what, book, more)
    if what in trap_tables.patterns():
        return pattern(what)
    path = Path(what)
    if not path.exists() and path.suffix.lower() not in (".yaml", ".yml"):
        raise BadInput(
            "no such trap: a trap file, a pattern, or with --book a tag of the outfit",
            found=what, allowed=", ".join(trap_tables.patterns()),
        )  # fmt: skip
    return _in_file(path)


def pattern(key: str, *, springs: int | None = None) -> Picked:
    """A pattern of the table as it stands there."""
    entry = TrapEntry.model_validate({"id": key, "pattern": key, "springs": springs})
    return Picked(trap_rig({}, entry, key), entry)


def _in_file(path: Path) -> Picked:
    data = load(read_text(path), file=path)
    if data.get("schema") != SCHEMA:
        raise BadInput(
            "this is not a trap file of a known version",
            file=path,
            field="schema",
            found=data.get("schema"),
            allowed=SCHEMA,
        )
    entry = validate(TrapFile, data, file=path)
    try:
        rig = trap_rig({}, entry, entry.id)
    except BadInput as error:
        # The last names of the field are those that the file holds; two readings in conflict stand side by side.
        words = (error.field or "pattern").replace(" and ", " ").split()
        names = [word for word in words if word in data] or ["pattern"]
        raise error.at(file=path, line=line_of(data, (names[0],))) from None
    return Picked(rig, entry, None if entry.limb is None else entry.limb.number)


def _in_outfit(tag: str, path: Path, more: Sequence[ReadingEntry] = ()) -> Picked:
    book, data = read_book(path)
    known: list[str] = []
    for number, entry in enumerate(book.outfit.traps):
        names = expand(entry.id, entry.count)
        known += names
        if tag in names or tag == entry.tag:
            if more:
                entry = entry.model_copy(update={"readings": [*entry.readings, *more]})
            try:
                return Picked(trap_rig(book.patterns, entry, tag if tag in names else names[0]), entry)
            except BadInput as error:
                raise error.at(file=path, line=line_of(data, ("outfit", "traps", number))) from None
    raise BadInput(
        "no such trap in the outfit", file=path, field="outfit.traps", found=tag,
        allowed=", ".join(known[:12]) + (" …" if len(known) > 12 else "") if known else "none are listed",
    )  # fmt: skip
