"""Looking an installation over: what is good is said once, every fault has its remedy and the exit code tells."""

from __future__ import annotations

import json
import shutil
import sqlite3
import sys
from importlib import metadata
from pathlib import Path

import pytest
from typer.testing import CliRunner

from setwright.cli.main import app
from setwright.desk import self_check as looked
from setwright.desk.log import add
from setwright.desk.self_check import self_check

EXAMPLE = Path(__file__).resolve().parents[2] / "docs" / "examples" / "dogs-run.yaml"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return Path(shutil.copy(EXAMPLE, tmp_path / "line-book.yaml"))


def states(book: Path | None = None) -> dict[str, str]:
    found = self_check(book)
    assert all(bool(one.remedy) == (one.state != "good") for one in found)
    return {one.what: one.state for one in found}


def test_here_nothing_is_wrong(book: Path) -> None:
    add(book, ["1s", "tag_present=yes"])
    found = states(book)
    assert "wrong" not in found.values()
    assert found["log"] == found["line book"] == found["packages"] == found["compiled sums"] == "good"


def test_a_missing_and_an_old_package_are_named_with_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    real = metadata.version

    def version(name: str) -> str:
        if name == "gpxpy":
            raise metadata.PackageNotFoundError(name)
        return {"jinja2": "2.9", "pyvrp": "0.15.0"}.get(name, real(name))

    monkeypatch.setattr(looked.metadata, "version", version)
    found = {one.what: one for one in looked._packages()}
    assert set(found) == {"gpxpy", "jinja2", "pyvrp"}
    assert found["gpxpy"].found == "missing"
    assert found["jinja2"].remedy == 'pip install "jinja2>=3.1"'
    assert "0.14" in found["pyvrp"].remedy


@pytest.mark.parametrize(
    ("low", "high", "order"), [("1.2", "1.2.0", 0), ("1.9", "1.10", -1), ("2.0rc1", "2.0", 0), ("0.14", "0.15", -1)]
)
def test_versions_are_compared_as_numbers(low: str, high: str, order: int) -> None:
    one, other = looked._number(low), looked._number(high)
    assert (one > other) - (one < other) == order


def test_an_old_python_and_an_old_sqlite_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(looked.sys, "version_info", (3, 9, 1))
    assert looked._python().state == "wrong"
    monkeypatch.setattr(sqlite3, "sqlite_version", "3.22.0")
    assert looked._sqlite().state == "wrong"
    assert sqlite3.sqlite_version == "3.22.0"
    assert sys.version_info == (3, 9, 1)


def test_a_library_that_breaks_is_a_finding() -> None:
    def broken() -> str:
        raise OSError("no such library")

    found = looked._tried("paper", broken, "wrong", "install it again")
    assert (found.state, found.found) == ("wrong", "OSError: no such library")


def test_a_book_with_a_fault_and_a_damaged_log_are_told(book: Path) -> None:
    add(book, ["1s", "tag_present=yes"])
    log = book.with_name("line-book.log.db")
    with sqlite3.connect(log) as link:
        for (trigger,) in link.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            link.execute(f'DROP TRIGGER "{trigger}"')
        link.execute("UPDATE events SET record = replace(record, 'track', 'truck')")
    link.close()
    assert states(book)["log"] == "wrong"
    book.write_text(book.read_text(encoding="utf-8").replace("red_fox", "red_foxx"), encoding="utf-8")
    assert states(book)["line book"] == "wrong"
    answer = CliRunner().invoke(app, ["self-check", str(book)])
    assert answer.exit_code == 1
    assert "WRONG  line book" in answer.output
    assert "remedy:" in answer.output


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    assert states(tmp_path / "nowhere" / "line-book.yaml")["folder of the line"] == "wrong"


def test_the_command_says_so_and_gives_json() -> None:
    answer = CliRunner().invoke(app, ["self-check"])
    assert answer.exit_code == 0, answer.output
    assert answer.output.rstrip().endswith("Nothing is wrong.")
    found = json.loads(CliRunner().invoke(app, ["self-check", "--json"]).output)
    assert {one["what"] for one in found} >= {"Python", "SQLite", "typefaces"}
