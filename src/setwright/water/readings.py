"""Readings of a gauge file on their way to a record: numbers and times checked, repeats and disorder named."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

import numpy as np

from setwright.basis.errors import BadInput
from setwright.water.stage import Stage

FOOT = 0.3048
LONGEST_TEXT = 120_000_000
MOST_ROWS = 600_000
LOWEST, HIGHEST = -500.0, 9000.0
UNITS = {"ft": FOOT, "m": 1.0}

# Words that gauge files put in place of a number, or beside it, where the reading is no open-water level.
ICE = frozenset({"ice", "ice affected", "ice-affected"})

# What a level is counted from, by the number of the parameter in public gauge files.
DATUMS = {
    "00065": "the gauge's own zero",
    "62614": "NGVD 1929",
    "62615": "NAVD 1988",
    "63160": "NAVD 1988",
}


@dataclass(slots=True)
class Readings:
    """Levels as they come from a gauge file, in metres and UTC seconds.

    Parameters
    ----------
    file : object
        Name for error messages.
    times, levels : list of float
        Seconds since 1970-01-01 UTC [s], and level [m].
    places : list
        Where each reading stands in the file; `say_place` puts it into words.
    dropped : int
        Readings left out for want of a number [-].
    iced : int
        Readings left out because ice affects them [-].

    """

    file: object
    times: list[float] = field(default_factory=list)
    levels: list[float] = field(default_factory=list)
    places: list[object] = field(default_factory=list)
    dropped: int = 0
    iced: int = 0

    def add(self, moment: float, level: float, place: object) -> None:
        """Put one reading in; a file past `MOST_ROWS` is refused."""
        self.times.append(moment)
        self.levels.append(level)
        self.places.append(place)
        if len(self.times) > MOST_ROWS:
            raise BadInput("the record is too long", file=self.file, allowed=f"{MOST_ROWS} readings")

    def stage(
        self,
        label: str,
        origin: str,
        *,
        stand_in: bool,
        unit: str,
        datum: str,
        say_place: Callable[[object], dict[str, object]],
        remarks: tuple[str, ...] = (),
    ) -> Stage:
        """Put the readings in order and say what was done to them.

        Raises
        ------
        BadInput
            When nothing is left, or when one moment has two levels: then no one can tell which holds.

        """
        if not self.times:
            raise BadInput(
                "the record holds no level", file=self.file, allowed="readings that are neither ice nor no data"
            )
        times = np.array(self.times)
        levels = np.array(self.levels)
        disorder = int(np.sum(np.diff(times) < 0))
        order = np.argsort(times, kind="stable")
        times, levels = times[order], levels[order]
        same = np.diff(times) == 0
        torn = np.flatnonzero(same & (np.diff(levels) != 0))
        if torn.size:
            second = order[torn[0] + 1]
            moment = datetime.fromtimestamp(float(times[torn[0]]), UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
            place: dict[str, Any] = dict(say_place(self.places[second]))
            raise BadInput(
                "one moment has two levels", file=self.file, found=moment, allowed="one level a moment",
                line=place.get("line"), field=place.get("field"),
            )  # fmt: skip
        kept = np.concatenate([[True], ~same])
        left_out = self.dropped + self.iced
        notes = [
            *(["feet turned into metres"] if unit == "ft" else []),
            f"{left_out} readings without data or affected by ice left out",
            *([f"{int(same.sum())} repeated readings left out"] if same.any() else []),
            *([f"{disorder} readings stood out of order and were put in order"] if disorder else []),
            *remarks,
        ]
        return Stage(
            times[kept], levels[kept], label, origin, "as stated by the agency that runs the gauge", stand_in,
            "; ".join(notes), left_out, datum, self.iced, int(same.sum()), disorder,
        )  # fmt: skip


def short_enough(text: str, file: object) -> None:
    """Refuse a text that is too large to be a level record."""
    if len(text) > LONGEST_TEXT:
        raise BadInput("the file is too large", file=file, found=len(text), allowed=f"{LONGEST_TEXT} characters")


def moment_of(text: str, file: object, line: int | None, field: str | None = "time") -> float:
    """Seconds since 1970-01-01 UTC of an ISO 8601 time with an offset [s]."""
    try:
        moment = datetime.fromisoformat(text.strip())
    except ValueError:
        moment = None
    # A date alone would count as midnight: it has no hours.
    if moment is None or moment.tzinfo is None:
        raise BadInput(
            "a time needs a date, hours and an offset", file=file, line=line, field=field, found=text,
            allowed="such as 2018-01-05T13:00Z",
        )  # fmt: skip
    return moment.timestamp()


def number_in(text: str) -> float:
    """Number that a cell holds; NaN when it holds none."""
    try:
        number = float(text)
    except ValueError:
        return math.nan
    return number if math.isfinite(number) else math.nan


def level_of(number: float, unit: str, file: object, line: int | None, field: str | None, found: object) -> float:
    """Level in metres [m], refused where no water on land can be.

    Parameters
    ----------
    number : float
        Reading in the file's unit; NaN where the cell holds no number.
    unit : str
        `ft` or `m`.
    file, line, field, found : object
        Place and words for the error.

    """
    if math.isnan(number):
        raise BadInput("a level is a number", file=file, line=line, field=field, found=found)
    level = number * UNITS[unit]
    if not LOWEST <= level <= HIGHEST:
        raise BadInput(
            "no water level on land", file=file, line=line, field=field, found=found,
            allowed=f"{LOWEST} to {HIGHEST} m",
        )  # fmt: skip
    return level


def marks_ice(words: object) -> bool:
    """Tell whether a reading's qualifiers, a list or words parted by commas or colons, say ice."""
    if isinstance(words, str):
        return any(part.strip().lower() in ICE for part in words.replace(":", ",").split(","))
    return isinstance(words, list) and any(str(word).strip().lower() in ICE for word in words)
