"""The examples on the pages work as they stand."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from jsonschema import Draft202012Validator

from setwright.desk.bench_document import BenchSheet
from setwright.desk.document import Plan
from setwright.sheets.write import NAMES

ROOT = Path(__file__).resolve().parents[2]


def example(page: str, start: str) -> str:
    """The one YAML example of a page that begins with `start`."""
    text = (ROOT / page).read_text(encoding="utf-8")
    found = [block for block in re.findall(r"```yaml\n(.*?)```", text, re.DOTALL) if block.startswith(start)]
    assert len(found) == 1, f"{page} has one example that begins with {start!r}"
    return str(found[0])


def test_the_small_book_of_the_first_page(tmp_path: Path, call: Any) -> None:
    book = tmp_path / "book.yaml"
    book.write_text(example("README.md", "schema: setwright/line-book/1"), encoding="utf-8")
    done = call("plan", book, "--out", tmp_path / "plan", "--draws", 60)
    assert done.code == 0, done.err
    assert done.err == "", "no progress bar when piped"
    assert "\x1b" not in done.out, "no escape codes when piped"
    assert max(map(len, done.out.splitlines())) <= 110 + len(str(tmp_path)), "within its width"
    assert sorted(path.name for path in (tmp_path / "plan").iterdir()) == sorted(NAMES)
    plan = json.loads((tmp_path / "plan" / "plan.json").read_text(encoding="utf-8"))
    Plan.model_validate(plan)
    assert plan["questions"], "what was left out comes back as a question"
    told = call("set", book, "ridge", "--draws", 60)
    assert told.code == 0, told.err
    assert "cannot" in told.out and "Questions to settle" in told.out
    assert max(map(len, told.out.splitlines())) <= 110
    assert "\x1b" not in told.out


def test_the_trap_file_of_its_page(tmp_path: Path, call: Any) -> None:
    file = tmp_path / "trap.yaml"
    text = example("docs/how/trap-file.md", "schema: setwright/trap/1")
    file.write_text(text, encoding="utf-8")
    done = call("trap", file)
    assert done.code == 0, done.err
    assert "T-11" in done.out and "Closes in" in done.out and "spread" in done.out
    assert "\x1b" not in done.out
    as_json = call("trap", file, "--json")
    sheet = BenchSheet.model_validate_json(as_json.out)
    grips = next(part for part in sheet.parts if part.head == "Grip at the bars")
    assert any("limb asked for" in row.what for row in grips.rows), "the limb of the file beside the usual ones"
    assert abs(sheet.limb - 0.018) < 1e-12
    schema = json.loads(call("schema", "trap").out)
    Draft202012Validator.check_schema(schema)


def test_a_set_on_the_terminal_says_what_the_pan_does_and_keeps_its_sources(call: Any) -> None:
    book = ROOT / "src" / "setwright" / "data" / "demo" / "line-book.yaml"
    told = call("set", book, "ridge", "--draws", 60)
    assert told.code == 0, told.err
    words = " ".join(told.out.split())
    assert "Trip force does not keep out a medium domestic dog" in words
    assert "Advised: target held at least 95" in words
    assert "What bears on a held animal" in words
    assert "[common practice: trapper education" in words, "a source in brackets is no markup"
    assert "If a dog is held, step by step" in words and "1. Your own safety first" in words
    assert max(map(len, told.out.splitlines())) <= 110
    channel = call("set", book, "channel", "--draws", 60)
    assert "no figure from weight" in " ".join(channel.out.split())


def test_a_design_on_the_terminal(call: Any) -> None:
    book = ROOT / "docs" / "examples" / "dogs-run.yaml"
    done = call("design", book, "track", "--draws", 60)
    assert done.code == 0, done.err
    words = " ".join(done.out.split())
    assert "Kept apart: they break nothing, but something cannot be told" in words
    assert "Measure this first" in words and "Cautions" in words
    assert max(map(len, done.out.splitlines())) <= 110
    assert "\x1b" not in done.out
    failed = call("design", book, "nowhere")
    assert failed.code == 2 and "no such site" in failed.err and "Traceback" not in failed.err


def test_a_changed_set_on_the_terminal(call: Any) -> None:
    book = ROOT / "src" / "setwright" / "data" / "demo" / "line-book.yaml"
    done = call("set", book, "ridge", "--draws", 60, "--what-if", "trip_force=2 lbf, jaws=laminated")
    assert done.code == 0, done.err
    words = " ".join(done.out.split())
    assert "if pan set to 2.0 lbf; laminated jaws" in words and "draw by draw" in words
    assert max(map(len, done.out.splitlines())) <= 110
    failed = call("set", book, "ridge", "--what-if", "springs=3")
    assert failed.code == 2 and "allowed: 2, 4" in failed.err
