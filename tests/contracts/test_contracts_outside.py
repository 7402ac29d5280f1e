"""The table of outside checks shows every row of every room with its error."""

from __future__ import annotations

import csv
import subprocess
import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[1]
# Rooms whose checks take long; the build of the pages works them out each time.
LONG = ("sets",)
ROOMS = sorted(path.parent.name for path in TESTS.glob("*/published.csv"))


def _shown(*rooms: str) -> str:
    words = [sys.executable, str(TESTS / "outside.py"), *rooms]
    done = subprocess.run(words, capture_output=True, text=True, encoding="utf-8", check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def shown() -> str:
    return _shown(*(room for room in ROOMS if room not in LONG))


@pytest.mark.parametrize("room", [room for room in ROOMS if room not in LONG])
def test_every_outside_check_is_shown(shown: str, room: str) -> None:
    _same(shown, room)


@pytest.mark.slow
@pytest.mark.parametrize("room", LONG)
def test_so_is_every_one_that_takes_long(room: str) -> None:
    _same(_shown(room), room)


def _same(shown: str, room: str) -> None:
    part = shown.split(f"## {room}\n", 1)[1].split("\n## ", 1)[0]
    lines = [line for line in part.splitlines() if line.startswith("| `")]
    with (TESTS / room / "published.csv").open(encoding="utf-8", newline="") as handle:
        wanted = [row["id"] for row in csv.DictReader(handle)]
    assert [line.split("`")[1] for line in lines] == wanted
    assert not [line for line in lines if "nan" in line.split("|")[3]], "each with a figure of ours"


def test_calibration_is_told_from_evidence(shown: str) -> None:
    lines = [line for line in shown.splitlines() if line.startswith("| `calibration")]
    assert len(lines) >= 2
    assert all("calibration, not validation" in line for line in lines)
