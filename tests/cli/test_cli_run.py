"""`setwright run` and `setwright law` on the terminal."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from setwright.basis.tables import DATA

ROOT = Path(__file__).resolve().parents[2]
BOOK = DATA / "demo" / "line-book.yaml"
LONG = ROOT / "docs" / "examples" / "run-too-long.yaml"


def test_a_run_in_words_as_json_and_as_files(call: Any, tmp_path: Path) -> None:
    told = call("run", BOOK, "--day", "1", "--iterations", 60, "--out", tmp_path / "run")
    assert told.code == 0, told.err
    words = " ".join(told.out.split())
    assert "every one is kept" in words and "latest lawful start" in words and "Barn lane" in words
    assert max(map(len, told.out.splitlines())) <= 110 and "\x1b" not in told.out
    assert (tmp_path / "run" / "run.pdf").exists() and "run.gpx" in told.err
    found = json.loads(call("run", BOOK, "--day", "2026-12-22", "--json", "--iterations", 60).out)
    assert found["schema"] == "setwright/run/1" and found["days"][0]["date"] == "2026-12-22"


def test_a_line_that_is_too_long_on_the_terminal(call: Any) -> None:
    told = call("run", LONG, "--iterations", 200)
    words = " ".join(told.out.split())
    assert "Too long a line: of 30 sets that must be seen each day, 25 can be seen" in words
    assert "Pull 5:" in words


def test_a_run_that_cannot_be(call: Any, tmp_path: Path) -> None:
    for words in (("--day", "soon"), ("--day", "2020-01-01"), ("--days", "0")):
        told = call("run", BOOK, *words)
        assert told.code == 2 and "Traceback" not in told.err, told.err
    book = tmp_path / "book.yaml"
    text = LONG.read_text(encoding="utf-8").replace("to: h05, mode: truck", "to: nowhere, mode: truck")
    book.write_text(text, encoding="utf-8")
    told = call("run", book)
    assert told.code == 2 and "nowhere" in told.err and str(book) in told.err and "line " in told.err


def test_law_in_words_and_as_json(call: Any) -> None:
    told = call("law", "orrin", "--book", BOOK)
    assert told.code == 0, told.err
    words = " ".join(told.out.split())
    assert "Ask the authority, word for word" in words and "no legal advice" in words
    assert "[orrin: Orrin order 26-3 (invented), s. 6(1)]" in words
    assert max(map(len, told.out.splitlines())) <= 110
    assert json.loads(call("law", "sable", "--json").out)["topics"]
    assert call("law", "nowhere").code == 2
    assert call("law", "orrin", "--on", "soon").code == 2
