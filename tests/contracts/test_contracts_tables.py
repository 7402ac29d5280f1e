"""Every shipped table is opened through its room's own functions and found whole."""

from __future__ import annotations

import csv
import importlib
import inspect
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from setwright.basis.tables import COLUMNS, CONFIDENCE, DATA

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "setwright"
MODULES = sorted(
    path.parent.name for path in SOURCE.glob("*/tables.py") if path.parent.name not in ("basis", "sheets")
)


def _open_functions(room: str) -> list[tuple[str, Callable[[], Any]]]:
    module = importlib.import_module(f"setwright.{room}.tables")
    found = []
    for name, value in vars(module).items():
        if name.startswith("_") or not callable(value) or inspect.isclass(value):
            continue
        plain = inspect.unwrap(value)
        if getattr(plain, "__module__", "") != module.__name__:
            continue
        needed = [p for p in inspect.signature(plain).parameters.values() if p.default is p.empty and p.kind < 2]
        if not needed:
            found.append((name, value))
    return found


def _long_tables() -> list[Path]:
    found = []
    for path in sorted(DATA.rglob("*.csv")):
        body = [line for line in path.read_text(encoding="utf-8").splitlines() if line.strip() and line[0] != "#"]
        if body and tuple(next(csv.reader(body[:1]))) == COLUMNS:
            found.append(path)
    return found


@pytest.mark.parametrize("room", MODULES)
def test_every_table_opens(room: str) -> None:
    functions = _open_functions(room)
    assert functions, f"setwright.{room}.tables opens nothing"
    for name, function in functions:
        first, second = function(), function()
        assert first is not None, f"{room}.tables.{name}() gave nothing"
        assert type(first) is type(second), f"{room}.tables.{name}() is not the same twice"


@pytest.mark.parametrize("path", _long_tables(), ids=lambda path: path.relative_to(DATA).as_posix())
def test_every_table_is_opened_by_its_room(path: Path) -> None:
    text = (SOURCE / path.parent.name / "tables.py").read_text(encoding="utf-8")
    assert path.name in text or f'"{path.stem}"' in text, (
        f"setwright.{path.parent.name}.tables does not read {path.name}"
    )


@pytest.mark.parametrize("path", _long_tables(), ids=lambda path: path.relative_to(DATA).as_posix())
def test_every_row_says_where_it_comes_from(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith("#"), "the head says what the table is"
    body = [line for line in lines if line.strip() and not line.startswith("#")]
    for row in csv.DictReader(body):
        assert row["source"].strip(), f"{row['key']} {row['quantity']}: no source"
        assert row["confidence"] in CONFIDENCE, f"{row['key']} {row['quantity']}: {row['confidence']!r}"
        if row["confidence"] == "seen":
            assert "memory" not in row["source"].lower(), f"{row['key']} {row['quantity']}: seen, but from memory"
