"""The page on cold nights says what the program answers."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from setwright.desk.tonight import tonight

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs" / "learn" / "cold.md").read_text(encoding="utf-8")


def test_the_shelf_of_the_page_fails_at_its_edge_and_is_mended_by_a_longer_cable_tied_higher():
    found = tonight(ROOT / "docs" / "examples" / "shelf.yaml", draws=150)
    shelf = found.sets[0]
    assert shelf.submerges == "does not" and shelf.holds_alive and "Ledge: 5.0 ft out" in shelf.cause_under
    assert len(shelf.figure.cable) > 2, "the tight cable bends over the edge"
    assert "longer cable" in shelf.mend and "bank end" in shelf.mend and shelf.work[0].saves
    assert shelf.figure.lengths["spare"] > 0.5, "at the stop alone the sum would have held"


def test_the_answer_that_the_page_shows_is_the_answer():
    found = tonight(ROOT / "src" / "setwright" / "data" / "demo" / "line-book.yaml")
    sets = {one.site: one for one in found.sets}
    for words in (sets["orchard"].mend, sets["channel"].mend, sets["orchard"].say):
        assert words in PAGE, words


@pytest.mark.slow
def test_the_season_of_the_page_is_what_the_script_gives(tmp_path):
    script = ROOT / "docs" / "examples" / "cold_season.py"
    done = subprocess.run([sys.executable, str(script), str(tmp_path)], capture_output=True, text=True, check=True)
    rows = [line for line in done.stdout.splitlines() if line.startswith("|")]
    assert len(rows) == 7 and all(row in PAGE for row in rows)
    assert (tmp_path / "cold-season.svg").read_bytes() == (ROOT / "docs" / "images" / "cold-season.svg").read_bytes()
