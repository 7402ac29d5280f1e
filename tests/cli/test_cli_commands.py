from __future__ import annotations

import json
import subprocess
import sys

import pytest

from setwright.basis.tables import DATA

BOOK = DATA / "demo" / "line-book.yaml"


def run(*arguments):
    code = "from setwright.cli.main import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)], capture_output=True, text=True, timeout=120, check=False
    )
    assert "Traceback" not in done.stderr, done.stderr
    assert "\x1b[" not in done.stdout, "no colour codes when piped"
    return done


def test_help_and_version():
    assert "plan" in run("--help").stdout
    assert run("--version").stdout.startswith("setwright ")


def test_set_in_words_and_as_json():
    words = run("set", BOOK, "orchard", "--draws", "60")
    assert words.returncode == 0 and "(= =) fails" in words.stdout and "dry dirt" in words.stdout
    assert max(map(len, words.stdout.splitlines())) <= 110
    found = json.loads(run("set", BOOK, "6", "--json", "--draws", "60").stdout)
    assert found["site"]["id"] == "orchard" and len(found["links"]) == 6


def test_schema_names():
    for name in ("line-book", "law-pack", "plan", "trap"):
        assert json.loads(run("schema", name).stdout)["$schema"].endswith("2020-12/schema")
    assert run("schema", "nothing").returncode == 2


BAD = [
    (b"", "named fields"),
    (b"schema: setwright/line-book/1\nline: [\n", "not readable as YAML"),
    (b"\xff\xfe\x00", "not UTF-8"),
    (b"#" * 6_000_000, "too large"),
    (b"a: &x [1]\nb: *x\n", "anchors"),
    (b"schema: setwright/line-book/1\nline: {name: X, date: 2026-12-20}\noutfit: {}\nsites: []\n", "sites"),
]


@pytest.mark.parametrize(("content", "message"), BAD)
def test_bad_books_give_one_clear_error_and_write_nothing(tmp_path, content, message):
    book = tmp_path / "book.yaml"
    book.write_bytes(content)
    done = run("plan", book, "--out", tmp_path / "out")
    assert done.returncode == 2 and message in done.stderr and str(book) in done.stderr, done.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("record", ["../../etc/passwd", "/etc/passwd", "absent.csv", "shipped:../../pyproject.toml"])
def test_records_outside_the_folder_are_refused(tmp_path, record):
    book = tmp_path / "book.yaml"
    text = "schema: setwright/line-book/1\nline: {name: X, date: 2026-12-20}\n"
    text += f'conditions: {{weather: {{file: "{record}"}}}}\n'
    text += (
        "outfit: {traps: [{id: T-1, pattern: coil-1}]}\nsites: [{id: a, name: A, medium: land, target: red_fox}]\n"
    )
    book.write_text(text, encoding="utf-8")
    done = run("plan", book, "--out", tmp_path / "out")
    assert done.returncode == 2 and "conditions.weather.file" in done.stderr, done.stderr


def test_truncated_books_never_end_in_a_traceback(tmp_path):
    from setwright.basis.errors import SetwrightError
    from setwright.desk.plan import read_job

    whole = BOOK.read_bytes()
    book = tmp_path / "book.yaml"
    for cut in range(0, len(whole) // 3, len(whole) // 60):
        book.write_bytes(whole[:cut])
        with pytest.raises(SetwrightError):
            read_job(book, draws=10)
