"""Sun times against two independent programs, whose answers are recorded."""

from __future__ import annotations

import csv
from datetime import date, datetime
from pathlib import Path

import pytest

from setwright.weather.sun import sun_times

TABLE = Path(__file__).parents[2] / "authorities" / "weather" / "sun.csv"
with TABLE.open(encoding="utf-8", newline="") as handle:
    ROWS = list(csv.DictReader(handle))
ZONES = {
    "36.1": "America/New_York", "46.8": "America/Toronto", "61.2": "America/Anchorage", "29.95": "America/Chicago",
    "-41.29": "Pacific/Auckland",
}  # fmt: skip
ALMANAC = 90.0


def ours(row: dict[str, str]) -> datetime | None:
    found = sun_times(
        date.fromisoformat(row["date"]), float(row["latitude"]), float(row["longitude"]), ZONES[row["latitude"]]
    )
    moment: datetime | None = getattr(found, row["name"])
    return moment


@pytest.mark.parametrize("program", ["pvlib", "ephem"])
def test_within_ninety_seconds_of_each_program(program: str) -> None:
    worst = 0.0
    for row in ROWS:
        moment = ours(row)
        assert (moment is None) == (row[program] == ""), row
        if moment is not None:
            worst = max(worst, abs(moment.timestamp() - float(row[program])))
    assert worst <= ALMANAC, worst


def test_the_two_programs_agree_with_each_other() -> None:
    gaps = [abs(float(row["pvlib"]) - float(row["ephem"])) for row in ROWS if row["pvlib"] and row["ephem"]]
    assert len(gaps) > 80 and max(gaps) < 1.0
