"""Damaged files: every reader answers with a record or with words, soon, and leaves nothing half-done behind."""

from __future__ import annotations

import hashlib
import os
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from readers.damage import EDITS, SWAPS, damaged, swapped
from readers.kinds import ACCOUNTS, BOOK, KINDS, Kind
from setwright.basis.errors import BadInput, SetwrightError

# Seconds of work that a reader may spend on one small file, whatever is in it: processor time, so that a busy
# machine is no fault.
LONGEST = 2.0
FEW = 25
HARMLESS = (HealthCheck.function_scoped_fixture, HealthCheck.too_slow, HealthCheck.data_too_large)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("damaged")
    (made / "book.yaml").write_text(BOOK, encoding="utf-8")
    return made


def read(kind: Kind, path: Path, content: bytes) -> str:
    """Read a damaged file; what became of it. Anything but a record or an error of ours is a fault."""
    path.write_bytes(content)
    # A first import or a clearing of memory may fall into one reading; what is long by itself is long each time.
    for _ in range(3):
        begun = time.thread_time()
        became, words = outcome(kind, path)
        taken = time.thread_time() - begun
        assert became == "taken" or (words and "Traceback" not in words)
        if taken < LONGEST:
            return became
    raise AssertionError(f"{taken:.1f} s of the processor, three times")


def outcome(kind: Kind, path: Path) -> tuple[str, str]:
    """What becomes of a file, and the words of its refusal."""
    try:
        kind.read(path)
    except SetwrightError as error:
        return "refused", str(error).strip()
    return "taken", ""


def campaign(kind: Kind, folder: Path, tries: int) -> dict[str, int]:
    """Damage whole files of a kind in many ways and read them all; how many were taken and how many refused."""
    path = folder / f"one{kind.suffix}"
    counted = {"taken": 0, "refused": 0}

    @settings(max_examples=tries, deadline=None, database=None, derandomize=True, suppress_health_check=HARMLESS)
    @given(whole=st.sampled_from(kind.whole), edits=EDITS, swaps=SWAPS)
    def one(whole: str, edits: list[Any], swaps: list[Any]) -> None:
        if kind.structured and swaps:
            whole, edits = swapped(whole, swaps), edits[:1] if len(edits) > 3 else []
        counted[read(kind, path, damaged(whole.encode("utf-8"), edits))] += 1

    one()
    return counted


@pytest.mark.parametrize("name", list(KINDS))
def test_whole_files_are_taken(folder: Path, name: str) -> None:
    kind = KINDS[name]
    for whole in kind.whole:
        assert read(kind, folder / f"one{kind.suffix}", whole.encode("utf-8")) == "taken"


@pytest.mark.parametrize("name", list(KINDS))
def test_some_damaged_files_are_taken_or_refused_in_words(folder: Path, name: str) -> None:
    counted = campaign(KINDS[name], folder, FEW)
    assert counted["refused"]


@pytest.mark.slow
@pytest.mark.parametrize("name", list(KINDS))
def test_many_damaged_files_are_taken_or_refused_in_words(folder: Path, name: str) -> None:
    kind = KINDS[name]
    counted = campaign(kind, folder, kind.tries)
    assert counted["refused"] + counted["taken"] >= kind.tries
    assert min(counted.values()) > 0


def test_the_long_campaign_is_of_two_hundred_thousand_files() -> None:
    assert sum(kind.tries for kind in KINDS.values()) >= 200_000


def digests(folder: Path) -> dict[str, str]:
    """Every file below a folder with its digest."""
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture
def line(tmp_path: Path) -> Iterator[Path]:
    (tmp_path / "line-book.yaml").write_text(BOOK, encoding="utf-8")
    here = Path.cwd()
    os.chdir(tmp_path)
    yield tmp_path
    os.chdir(here)


@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=HARMLESS)
@given(edits=EDITS)
def test_a_refused_import_leaves_the_log_as_it_was(line: Path, edits: list[Any]) -> None:
    from setwright.desk.log_files import look_through, take_in

    whole = KINDS["events in lines"].whole[0].encode("utf-8")
    place, store = line / "events.jsonl", line / "log.db"
    place.write_bytes(damaged(whole, edits))
    for file in line.glob("log.db*"):
        file.unlink()
    try:
        taken = take_in(line / "line-book.yaml", place, store=str(store))
    except BadInput:
        taken = None
    if store.exists():
        found = look_through(line / "line-book.yaml", store=str(store))
        assert not found.damaged
        assert found.events == (0 if taken is None else len(taken.receipt.added))
    try:
        take_in(line / "line-book.yaml", place, all_or_nothing=True, store=str(line / "second.db"))
    except BadInput:
        if (line / "second.db").exists():
            assert look_through(line / "line-book.yaml", store=str(line / "second.db")).events == 0
    for file in line.glob("second.db*"):
        file.unlink()


@settings(max_examples=15, deadline=None, derandomize=True, suppress_health_check=HARMLESS)
@given(edits=EDITS)
def test_commands_on_a_damaged_book_write_whole_files_or_none(line: Path, edits: list[Any]) -> None:
    from typer.testing import CliRunner

    from setwright.cli.main import app

    (line / "damaged.yaml").write_bytes(damaged(BOOK.encode("utf-8"), edits))
    (line / "accounts.yaml").write_bytes(damaged(ACCOUNTS.encode("utf-8"), edits))
    before = digests(line)
    words = ("season", "damaged.yaml", "--accounts", "accounts.yaml", "--out", "season", "--store", "no.db")
    found = CliRunner().invoke(app, list(words))
    after = digests(line)
    assert {name: after[name] for name in before} == before
    assert found.exception is None or isinstance(found.exception, SystemExit | SetwrightError)
    new = set(after) - set(before)
    assert not any(name.split("/")[-1].startswith(".") for name in new)
