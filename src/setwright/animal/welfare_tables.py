"""Tables of welfare: injury scale, published criteria, facts that bear on a held animal; one entry a row."""

from __future__ import annotations

import csv
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from setwright.animal.injury import BEHAVIOUR, TRAUMA, Injury
from setwright.animal.welfare import AT_LEAST, AT_MOST, MEASURES, Criterion
from setwright.basis.errors import BadTable
from setwright.basis.source import Kind, Source

FOLDER = Path(__file__).resolve().parent.parent / "data" / "animal"
KINDS: Mapping[str, Kind] = MappingProxyType(
    {
        "seen": Kind.TABLE,
        "secondary": Kind.TABLE,
        "memory": Kind.TABLE,
        "derived": Kind.COMPUTED,
        "common practice": Kind.PRACTICE,
        "assumed": Kind.ASSUMED,
    }
)
BEARINGS = ("favourable", "unfavourable", "not known")
SCALE_COLUMNS = (
    "key", "trauma", "points", "words", "listed", "source", "confidence", "listed_source", "listed_confidence",
    "note",
)  # fmt: skip
CRITERIA_COLUMNS = (
    "key", "scheme", "device", "measure", "limit", "compare", "least_animals", "species", "counts", "source",
    "confidence", "note",
)  # fmt: skip
FACT_COLUMNS = ("key", "about", "bearing", "words", "size", "mend", "source", "confidence", "note")

Entry = TypeVar("Entry")
Row = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class BearingFact:
    """A fact that bears on a held animal, as the table has it.

    Parameters
    ----------
    key, about : str
        Name, and what of the set it is about.
    bearing : str
        `favourable`, `unfavourable` or `not known`.
    words, size, mend : str
        What is so; how large, as far as published; what would mend it (may be empty).
    source : Source
        Where it was read.

    """

    key: str
    about: str
    bearing: str
    words: str
    size: str
    mend: str
    source: Source


def _rows(file: str, text: str, columns: tuple[str, ...], make: Callable[[Row], Entry]) -> Mapping[str, Entry]:
    """Entries by key; BadTable with file and line for the first row that breaks a rule."""
    lines = text.splitlines()
    if not lines or not lines[0].startswith("#"):
        raise BadTable("the comment lines that say what the table is are missing", file=file, line=1)
    numbered = [(n, line) for n, line in enumerate(lines, start=1) if line.strip() and not line.startswith("#")]
    first = numbered[0][1] if numbered else ""
    if tuple(next(csv.reader([first]))) != columns:
        raise BadTable("wrong columns", file=file, found=first, allowed=", ".join(columns))
    found: dict[str, Entry] = {}
    for number, line in numbered[1:]:
        cells = [cell.strip() for cell in next(csv.reader([line]))]
        if len(cells) != len(columns):
            raise BadTable(f"{len(cells)} cells instead of {len(columns)}", file=file, line=number, found=line)
        row = dict(zip(columns, cells, strict=True))
        if not row["key"] or row["key"] in found:
            raise BadTable("a key stands once in its table", file=file, line=number, found=row["key"])
        try:
            found[row["key"]] = make(row)
        except BadTable as error:
            raise error.at(file=file, line=number) from None
    return MappingProxyType(found)


def _word(row: Row, column: str, allowed: tuple[str, ...]) -> str:
    if row[column] not in allowed:
        raise BadTable("unknown word", field=column, found=row[column], allowed=", ".join(allowed))
    return row[column]


def _filled(row: Row, column: str) -> str:
    if not row[column]:
        raise BadTable("must be filled in", field=column)
    return row[column]


def _number(row: Row, column: str, low: float, high: float) -> float:
    try:
        value = float(row[column])
    except ValueError:
        raise BadTable("not a number", field=column, found=row[column]) from None
    if not (math.isfinite(value) and low <= value <= high):
        raise BadTable("outside the range of this figure", field=column, found=value, allowed=f"{low:g} to {high:g}")
    return value


def _source(row: Row, prefix: str = "") -> Source:
    word = _word(row, f"{prefix}confidence", tuple(KINDS))
    return Source(KINDS[word], _filled(row, f"{prefix}source"), word)


def _injury(row: Row) -> Injury:
    _source(row), _source(row, "listed_")
    trauma = _word(row, "trauma", (*TRAUMA[1:], BEHAVIOUR))
    points = _number(row, "points", 0.0, 100.0)
    if (points == 0.0) != (trauma == BEHAVIOUR):
        raise BadTable("every injury has points, and no behaviour has", field="points", found=points)
    return Injury(row["key"], trauma, points, _word(row, "listed", ("yes", "no")) == "yes", _filled(row, "words"))


# Span of a limit by measure: shares, points, seconds.
_SPANS = {"mean_points": (1.0, 200.0), "time_limit": (1.0, 3600.0)}


def _criterion(row: Row) -> Criterion:
    measure = _word(row, "measure", MEASURES)
    bare = measure in ("judged", "method")
    if bare and (row["limit"] or row["compare"]):
        raise BadTable("a method and a judgement have no limit", field="limit", found=row["limit"])
    return Criterion(
        key=row["key"],
        scheme=_filled(row, "scheme"),
        device=_word(row, "device", ("restraining", "killing", "any")),
        measure=measure,
        limit=None if bare else _number(row, "limit", *_SPANS.get(measure, (0.01, 0.99))),
        compare="" if bare else _word(row, "compare", (AT_LEAST, AT_MOST)),
        least_animals=int(_number(row, "least_animals", 1, 1000)) if row["least_animals"] else None,
        counts=_filled(row, "counts"),
        species=tuple(row["species"].split()),
        source=_source(row),
    )


def _fact(row: Row) -> BearingFact:
    return BearingFact(
        key=row["key"],
        about=_filled(row, "about"),
        bearing=_word(row, "bearing", BEARINGS),
        words=_filled(row, "words"),
        size=_filled(row, "size"),
        mend=row["mend"],
        source=_source(row),
    )


def read_scale(text: str, *, file: str) -> Mapping[str, Injury]:
    """Read an injury scale.

    Parameters
    ----------
    text : str
        The whole file.
    file : str
        Its name, for messages.

    Raises
    ------
    BadTable
        With file and line, for the first row that breaks a rule.

    """
    return _rows(file, text, SCALE_COLUMNS, _injury)


def read_criteria(text: str, *, file: str) -> Mapping[str, Criterion]:
    """Read a table of criteria; see `read_scale`."""
    return _rows(file, text, CRITERIA_COLUMNS, _criterion)


def read_facts(text: str, *, file: str) -> Mapping[str, BearingFact]:
    """Read a table of facts that bear on a held animal; see `read_scale`."""
    return _rows(file, text, FACT_COLUMNS, _fact)


def _shipped(file: str) -> str:
    return (FOLDER / file).read_text(encoding="utf-8")


@cache
def injury_scale() -> Mapping[str, Injury]:
    """Injuries by key, `I01` and on, behaviours `B01` and on."""
    return read_scale(_shipped("injury_scale.csv"), file="injury_scale.csv")


@cache
def criteria() -> Mapping[str, Criterion]:
    """Published criteria by key."""
    return read_criteria(_shipped("welfare_criteria.csv"), file="welfare_criteria.csv")


@cache
def bearing_facts() -> Mapping[str, BearingFact]:
    """Facts that bear on a held animal, by key."""
    return read_facts(_shipped("risk_facts.csv"), file="risk_facts.csv")


def time_limits(species: str) -> tuple[Criterion, ...]:
    """Time limits of killing traps for one kind of animal, the one in force first; empty where none is known.

    Parameters
    ----------
    species : str
        Key in the table of animals.

    """
    return tuple(found for found in criteria().values() if found.measure == "time_limit" and species in found.species)
