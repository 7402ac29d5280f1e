"""Rows of outside checks: `tests/<room>/published.csv` is evidence, `guard.csv` pins our own numbers.

Columns: `id, check, inputs, expected, tolerance, kind, document, place, confidence, note`. `check`
names a function of the room's test file, `inputs` is a JSON object of its arguments, `kind` is `abs` or
`rel`, `confidence` is `seen`, `secondary`, `memory` or `derived` (`guard` in guard files).
"""

from __future__ import annotations

import csv
import json
import math
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

COLUMNS = ("id", "check", "inputs", "expected", "tolerance", "kind", "document", "place", "confidence", "note")
WORDS = {"published": {"seen", "secondary", "memory", "derived"}, "guard": {"guard"}}


def rows(room: str, name: str) -> list[object]:
    """Rows of one file as pytest parameters, each checked for its own form."""
    path = Path(__file__).parent / room / f"{name}.csv"
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
