"""Readings that are typed in on the bench: what they would tell, and keeping them in the line book."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ruamel.yaml.comments import CommentedMap

from setwright.basis.errors import BadInput
from setwright.desk.edit import State, changed
from setwright.desk.edit_acts import trap_entry
from setwright.line import retouch
from setwright.line.readings import ReadingEntry
from setwright.sets.model import TrapRig
from setwright.trap.readings import KINDS

MOST = 8


@dataclass(frozen=True, slots=True)
class Typed:
    """One reading as it was typed.

    Parameters
    ----------
    read : str
        Its kind.
    value : str
        With its unit.
    settings : str
        What was stated with it, such as `dowel=20 mm`.

    """

    read: str
    value: str
    settings: str = ""


def kinds_of(rig: TrapRig) -> list[tuple[str, str]]:
    """Readings that can be taken on a trap: key, and words with what must be stated."""
    found = []
    for key, kind in KINDS.items():
        if rig.family in kind.families:
            needs = f"; state {' and '.join(kind.needs)}" if kind.needs else ""
            found.append((key, f"{key.replace('_', ' ')}: {kind.says}{needs}"))
    return found


def entries(rows: Sequence[Typed]) -> list[dict[str, Any]]:
    """The rows that hold something, as they stand in a line book.

    Raises
    ------
    BadInput
        For a row that cannot be read.
    """
    found: list[dict[str, Any]] = []
    for number, row in enumerate(rows, start=1):
        if not row.value.strip() and not row.settings.strip():
            continue
        made: dict[str, Any] = {"read": row.read.strip(), "value": row.value.strip()}
        for part in filter(None, (part.strip() for part in row.settings.split(","))):
            name, _, value = (piece.strip() for piece in part.partition("="))
            if not value:
                raise BadInput(
                    "what goes with a reading is written as name=value", field=f"reading {number}", found=part,
                    allowed="dowel=20 mm",
                )  # fmt: skip
            made[name] = _plain(name, value)
        checked(made, number)
        found.append(made)
    if len(found) > MOST:
        raise BadInput("too many readings at once", field="readings", found=len(found), allowed=f"up to {MOST}")
    return found


def _plain(name: str, value: str) -> Any:
    if name == "at_least":
        return value == "yes"
    if name == "frame_rate":
        try:
            return float(value)
        except ValueError:
            raise BadInput("not a number of pictures a second", field=name, found=value) from None
    return value


def checked(made: dict[str, Any], number: int = 1) -> ReadingEntry:
    """One reading, checked.

    Raises
    ------
    BadInput
        When it cannot be used.
    """
    from pydantic import ValidationError

    try:
        return ReadingEntry.model_validate(made)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"]) or made.get("read", "")
        words = str(first["msg"]).removeprefix("Value error, ")
        raise BadInput(words, field=f"reading {number} {where}", found=made.get("value")) from None


def keep_readings(path: Path, seen: str, tag: str, rows: Sequence[Typed], today: dt.date) -> State:
    """Write readings of one trap into the line book, each with its day.

    Parameters
    ----------
    path : Path
        Line book.
    seen : str
        Digest of the state that the user saw.
    tag : str
        Tag of the trap; one of several alike gets an entry of its own.
    rows : sequence of Typed
        What was typed.
    today : date
        Day of the readings.

    Raises
    ------
    BadInput
        When there is nothing to keep or it is refused; the book is as it was.
    """
    made = entries(rows)
    if not made:
        raise BadInput("nothing was typed", field="readings", allowed="a value with its unit, such as 3.2 lbf")

    def act(book: CommentedMap) -> None:
        entry = trap_entry(book, tag)
        kept = [*(entry.get("readings") or []), *({**one, "date": today.isoformat()} for one in made)]
        retouch.put(entry, "readings", kept)

    return changed(path, seen, f"kept {len(made)} reading{'' if len(made) == 1 else 's'} of {tag}", act)
