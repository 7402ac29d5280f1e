"""Writing a plan: whole or not at all, whatever fails on the way."""

from __future__ import annotations

import errno
import json
import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from setwright.basis.errors import BadInput
from setwright.desk.document import Plan
from setwright.sheets import write
from setwright.sheets.write import NAMES, contents, write_plan
from sheets.example_plan import example

OLD = {name: f"an earlier {name}\n".encode() for name in NAMES}
FULL = OSError(errno.ENOSPC, "No space left on device")


@pytest.fixture(scope="module")
def plan() -> Plan:
    return example()


@pytest.fixture(scope="module")
def made(plan: Plan) -> dict[str, bytes]:
    return contents(plan)


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch, made: dict[str, bytes]) -> None:
    """The files are made once: these tests are about putting them into place."""
    monkeypatch.setattr(write, "contents", lambda _plan: made)


@pytest.fixture
def earlier(tmp_path: Path) -> Path:
    folder = tmp_path / "plan"
    folder.mkdir()
    for name, content in OLD.items():
        (folder / name).write_bytes(content)
    return folder


def held(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


class Fails:
    """Stands in for a method of `Path`: the call number `at` fails, all others go through."""

    def __init__(self, real: Callable[..., Any], at: int, error: BaseException) -> None:
        self.real, self.at, self.error, self.calls = real, at, error, 0

    def bound(self) -> Callable[..., Any]:
        def method(path: Path, *words: Any, **named: Any) -> Any:
            self.calls += 1
            if self.calls == self.at:
                raise self.error
            return self.real(path, *words, **named)

        return method


def test_seven_files_readable_by_all_and_nothing_else(plan: Plan, tmp_path: Path) -> None:
    folder = tmp_path / "season" / "line" / "plan"
    files = write_plan(plan, folder)
    assert files == [folder / name for name in NAMES], "the files in a fixed order"
    assert sorted(held(folder)) == sorted(NAMES), "seven files and no leftover"
    assert {path.stat().st_mode & 0o777 for path in files} == {0o644}
    assert json.loads((folder / "plan.json").read_text(encoding="utf-8"))["schema"] == "setwright/plan/1"
    assert (folder / "set-cards.pdf").read_bytes().startswith(b"%PDF-")


@pytest.mark.usefixtures("quick")
def test_an_earlier_plan_is_replaced_whole_and_other_files_stay(
    plan: Plan, earlier: Path, made: dict[str, bytes]
) -> None:
    (earlier / "line-book.yaml").write_text("mine", encoding="utf-8")
    write_plan(plan, earlier)
    assert held(earlier) == {**made, "line-book.yaml": b"mine"}


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("at", range(1, len(NAMES) + 1))
@pytest.mark.parametrize("error", [FULL, OSError(errno.EIO, "Input/output error"), KeyboardInterrupt()])
def test_a_rename_that_fails_brings_the_earlier_plan_back(
    monkeypatch: pytest.MonkeyPatch, plan: Plan, earlier: Path, at: int, error: BaseException
) -> None:
    monkeypatch.setattr(Path, "replace", Fails(Path.replace, at, error).bound())
    with pytest.raises(BadInput if isinstance(error, OSError) else KeyboardInterrupt):
        write_plan(plan, earlier)
    assert held(earlier) == OLD, f"rename {at} failed: the earlier plan stands whole, nothing beside it"


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("at", range(1, len(NAMES) + 1))
def test_a_rename_that_fails_leaves_no_new_folder(
    monkeypatch: pytest.MonkeyPatch, plan: Plan, tmp_path: Path, at: int
) -> None:
    monkeypatch.setattr(Path, "replace", Fails(Path.replace, at, FULL).bound())
    with pytest.raises(BadInput, match="No space left"):
        write_plan(plan, tmp_path / "a" / "b")
    assert list(tmp_path.iterdir()) == [], "neither a file nor a folder stays"


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("at", range(1, len(NAMES) + 1))
@pytest.mark.parametrize("step", ["fsync", "copy2", "mkstemp"])
def test_a_full_disk_while_writing_leaves_the_earlier_plan(
    monkeypatch: pytest.MonkeyPatch, plan: Plan, earlier: Path, at: int, step: str
) -> None:
    room: Any = {"fsync": os, "copy2": shutil, "mkstemp": tempfile}[step]
    real = getattr(room, step)
    calls = 0

    def fails(*words: Any, **named: Any) -> Any:
        nonlocal calls
        calls += 1
        if calls == at:
            if step == "copy2":
                Path(words[1]).write_bytes(b"half")
            raise FULL
        return real(*words, **named)

    monkeypatch.setattr(room, step, fails)
    with pytest.raises(BadInput, match="cannot be written here; found 'No space left"):
        write_plan(plan, earlier)
    assert held(earlier) == OLD


@pytest.mark.parametrize("part", ["plan_page", "set_cards", "kit_csv", "line_gpx"])
def test_a_sheet_that_cannot_be_made_touches_nothing(
    monkeypatch: pytest.MonkeyPatch, plan: Plan, earlier: Path, tmp_path: Path, part: str
) -> None:
    def fails(_plan: Plan) -> str:
        raise RuntimeError("a fault in the sheet")

    monkeypatch.setattr(write, part, fails)
    for folder in (earlier, tmp_path / "new"):
        with pytest.raises(RuntimeError, match="a fault in the sheet"):
            write_plan(plan, folder)
    assert held(earlier) == OLD
    assert not (tmp_path / "new").exists()


@pytest.mark.usefixtures("quick")
def test_a_file_in_place_of_the_folder_or_a_folder_in_place_of_a_file(
    plan: Plan, earlier: Path, tmp_path: Path
) -> None:
    book = tmp_path / "book.yaml"
    book.write_text("mine", encoding="utf-8")
    for out in (book, book / "plan"):
        with pytest.raises(BadInput, match="allowed: a folder that can be written"):
            write_plan(plan, out)
    assert book.read_text(encoding="utf-8") == "mine"
    (earlier / "run.csv").unlink()
    (earlier / "run.csv").mkdir()
    with pytest.raises(BadInput, match=r"run\.csv is a folder"):
        write_plan(plan, earlier)
    assert (earlier / "plan.json").read_bytes() == OLD["plan.json"], "nothing was put into place"
    assert sorted(path.name for path in earlier.iterdir()) == sorted(NAMES)


@pytest.mark.usefixtures("quick")
def test_a_folder_that_may_not_be_written(monkeypatch: pytest.MonkeyPatch, plan: Plan, earlier: Path) -> None:
    if os.geteuid() == 0:  # permission bits do not bind this user: the refusal of the system is played

        def denied(**_named: Any) -> tuple[int, str]:
            raise PermissionError(errno.EACCES, "Permission denied")

        monkeypatch.setattr(tempfile, "mkstemp", denied)
    else:
        earlier.chmod(0o555)
    with pytest.raises(BadInput, match="Permission denied"):
        write_plan(plan, earlier)
    earlier.chmod(0o755)
    assert held(earlier) == OLD
