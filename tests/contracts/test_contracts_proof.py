"""Small changes to the physics that no test notices are explained, and the page tells what the file holds."""

from __future__ import annotations

import importlib.util
import sys
from dataclasses import replace
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parents[2]


def _module() -> ModuleType:
    spec = importlib.util.spec_from_file_location("proof_rows", ROOT / "proof" / "rows.py")
    assert spec is not None
    assert spec.loader is not None
    found = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = found
    spec.loader.exec_module(found)
    return found


rows = _module()
KEPT = rows.read()


def test_every_change_that_no_test_notices_is_explained() -> None:
    assert len(KEPT) > 150
    silent = [f"{row.module}:{row.line} {row.after}" for row in KEPT if row.left and len(row.explanation) < 15]
    assert not silent, "\n".join(silent)
    known = {rows.NOTICED, rows.SLOW, rows.MENDED, rows.SURVIVED, rows.NOT_REACHED}
    assert {row.outcome for row in KEPT} <= known
    assert len({row.name for row in KEPT}) == len(KEPT), "each change stands once"


def test_the_page_shows_the_table_of_what_is_kept() -> None:
    page = (ROOT / "docs/why/mutation.md").read_text(encoding="utf-8").splitlines()
    assert [line for line in page if line.startswith("|")] == rows.table(KEPT, rows.sizes())


def test_shares_come_with_the_interval_of_the_handbook() -> None:
    # Newcombe 1998, Statistics in Medicine 17, 857-872, score method: 81 of 263, 0.2553 to 0.3662 (memory).
    assert rows.share(81, 263) == "31 (26 to 37)"
    assert rows.share(0, 0) == "none drawn"


def test_what_is_kept_is_read_back(tmp_path: Path) -> None:
    rows.write(tmp_path / "kept.csv", KEPT[::-1])
    assert rows.read(tmp_path / "kept.csv") == KEPT
    before = rows.table(KEPT, {})[-1]
    fewer = rows.table([replace(KEPT[0], outcome=rows.SURVIVED), *KEPT[1:]], {})[-1]
    assert fewer != before or KEPT[0].left
    rows.note_size("water", 5, tmp_path / "drawn.csv")
    rows.note_size("trap", 7, tmp_path / "drawn.csv")
    assert rows.sizes(tmp_path / "drawn.csv") == {"trap": 7, "water": 5}
