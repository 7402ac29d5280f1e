"""Rows of the tackle: marks, sources without remarks, units as printed."""

from __future__ import annotations

import csv

import pytest

from setwright.basis.tables import DATA
from setwright.tackle import tables

POUND_FORCE = 4.4482216152605
LINES = (DATA / "tackle" / "tackle.csv").read_text(encoding="utf-8").splitlines()
ROWS = list(csv.DictReader(line for line in LINES if not line.startswith("#")))


def test_four_times_a_working_load_is_assumed_unless_the_source_says_so() -> None:
    found = [row for row in ROWS if row["quantity"] == "breaking" and "four times" in row["source"]]
    assert len(found) >= 16
    for row in found:
        assert row["confidence"] == "assumed", row["key"]
        working = tables.tackle().number(row["key"], "working_load")
        assert tables.tackle().number(row["key"], "breaking") == pytest.approx(4.0 * working), row["key"]
    for row in ROWS:
        if row["quantity"] == "breaking" and row["key"].startswith("machine-"):
            assert row["confidence"] == "assumed", row["key"]


def test_a_source_names_a_document_and_no_fit_of_ours() -> None:
    for row in ROWS:
        assert "d^2" not in row["source"], f"{row['key']} {row['quantity']}"
        assert "fits" not in row["source"], f"{row['key']} {row['quantity']}"


def test_loads_stand_in_the_unit_of_their_source() -> None:
    for row in ROWS:
        if row["quantity"] not in ("breaking", "working_load"):
            continue
        metric = row["key"].startswith(("long-link", "short-link", "s-hook-4.", "s-hook-5.5"))
        expected = ("N" if row["quantity"] == "breaking" else "kgf") if metric else "lbf"
        assert row["unit"] == expected, f"{row['key']} {row['quantity']}"


@pytest.mark.parametrize(("key", "kilograms"), [("short-link-4mm", 200.0), ("short-link-5mm", 320.0)])
def test_working_load_of_short_link_chain_is_printed_in_kilograms(key: str, kilograms: float) -> None:
    table = tables.tackle()
    assert table.number(key, "working_load") == pytest.approx(kilograms * 9.80665)
    assert 3.5 < table.number(key, "breaking") / table.number(key, "working_load") < 4.5


@pytest.mark.parametrize(
    ("key", "pounds"),
    [("machine-2", 1300), ("cable-1/16-7x7", 480), ("grade30-5/16", 7600), ("quick-link-1/8", 1100)],
)
def test_breaking_force_as_printed(key: str, pounds: float) -> None:
    assert tables.tackle().number(key, "breaking") == pytest.approx(pounds * POUND_FORCE)
