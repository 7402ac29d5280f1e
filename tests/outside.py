"""Rows of outside checks: `tests/<room>/published.csv` is evidence, `guard.csv` pins our own numbers.

Columns: `id, check, inputs, expected, tolerance, kind, document, place, confidence, note`. `check`
names a function of the room's test file, `inputs` is a JSON object of its arguments, `kind` is `abs` or
`rel`, `confidence` is `seen`, `secondary`, `memory` or `derived` (`guard` in guard files). An id that
begins with `calibration` says that the figure was in view when something was chosen: no validation.

Run it for every outside check with its error, as tables of a page: `python tests/outside.py [ROOM ...]`.
"""

from __future__ import annotations

import csv
import importlib
import json
import math
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

COLUMNS = ("id", "check", "inputs", "expected", "tolerance", "kind", "document", "place", "confidence", "note")
HERE = Path(__file__).resolve().parent
WORDS = {"published": {"seen", "secondary", "memory", "derived"}, "guard": {"guard"}}


def rows(room: str, name: str) -> list[object]:
    """Rows of one file as pytest parameters, each checked for its own form."""
    path = HERE / room / f"{name}.csv"
    with path.open(encoding="utf-8", newline="") as handle:
        reader = csv.DictReader(handle)
        assert tuple(reader.fieldnames or ()) == COLUMNS, f"{path}: columns"
        found = []
        for row in reader:
            assert row["confidence"] in WORDS[name], f"{path}: {row['id']}: confidence {row['confidence']!r}"
            assert row["document"], f"{path}: {row['id']}: a check without a source"
            assert float(row["tolerance"]) > 0, f"{path}: {row['id']}: a tolerance must be stated"
            assert row["kind"] in ("abs", "rel"), f"{path}: {row['id']}: kind"
            found.append(pytest.param(row, id=row["id"]))
    assert found, f"{path}: no rows"
    return found


def hold(row: Mapping[str, str], functions: Mapping[str, Callable[..., float]]) -> None:
    """Compute the row's check and compare it with the expected figure."""
    got = float(functions[row["check"]](**json.loads(row["inputs"])))
    expected, tolerance = float(row["expected"]), float(row["tolerance"])
    allowed = tolerance if row["kind"] == "abs" else tolerance * abs(expected)
    assert math.isfinite(got) and abs(got - expected) <= allowed, (
        f"{row['id']} {row['document']} {row['place']}: expected {expected}, got {got}"
    )


@dataclass(frozen=True)
class Answer:
    """One outside check as it is shown: the figure as published and ours, and how far they are apart."""

    check: str
    published: float
    ours: float
    tolerance: str
    source: str
    confidence: str

    @property
    def error(self) -> str:
        """Difference over the published figure in per cent; the difference itself where that figure is zero."""
        if self.published == 0:
            return f"{self.ours:+.2g}"
        return f"{100.0 * (self.ours / self.published - 1.0):+.3f} %"


def _functions(room: str) -> Mapping[str, Callable[..., float]]:
    """What a room's test of its published rows hands to `hold`."""
    for place in (HERE, HERE / room):
        if str(place) not in sys.path:
            sys.path.insert(0, str(place))
    found: list[Mapping[str, Callable[..., float]]] = []
    for path in sorted((HERE / room).glob("test_*.py")):
        text = path.read_text(encoding="utf-8")
        if f'rows("{room}", "published")' not in text or "hold(" not in text:
            continue
        module: Any = importlib.import_module(path.stem)
        module.hold = lambda _, functions: found.append(functions)
        for test in vars(module).values():
            marks = [mark for mark in getattr(test, "pytestmark", ()) if mark.args and mark.args[0] == "row"]
            if marks and not found:
                test(marks[0].args[1][0].values[0])
    return found[0]


def answers(room: str) -> Iterator[Answer]:
    """Every row of a room's `published.csv`, computed."""
    functions = _functions(room)
    with (HERE / room / "published.csv").open(encoding="utf-8", newline="") as handle:
        for row in csv.DictReader(handle):
            share = row["kind"] == "rel"
            yield Answer(
                check=row["id"],
                published=float(row["expected"]),
                ours=float(functions[row["check"]](**json.loads(row["inputs"]))),
                tolerance=f"{100.0 * float(row['tolerance']):g} %" if share else row["tolerance"],
                source="; ".join(part for part in (row["document"], row["place"], row["note"]) if part),
                confidence=row["confidence"],
            )


def table(room: str) -> str:
    """A room's outside checks as a table of a page."""
    lines = ["| check | published | ours | error | allowed | source | confidence |", "|---|---|---|---|---|---|---|"]
    for each in answers(room):
        cells = (
            f"`{each.check}`", f"{each.published:.6g}", f"{each.ours:.6g}", each.error, each.tolerance,
            each.source.replace("|", "\\|"), each.confidence,
        )  # fmt: skip
        lines.append(f"| {' | '.join(cells)} |")
    return "\n".join(lines)


def main(names: list[str]) -> None:
    """Print the tables of the rooms asked for, or of all."""
    for room in names or sorted(path.parent.name for path in HERE.glob("*/published.csv")):
        print(f"## {room}\n\n{table(room)}\n")


if __name__ == "__main__":
    main(sys.argv[1:])
