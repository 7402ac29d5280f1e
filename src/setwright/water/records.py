"""Level records from text: the documented CSV and the public tab-separated form."""

from __future__ import annotations

import csv
import math
from collections.abc import Mapping

import numpy as np

from setwright.basis.errors import BadInput
from setwright.water import readings as rules
from setwright.water.readings import DATUMS, Readings, level_of, marks_ice, moment_of, number_in, short_enough
from setwright.water.stage import Stage

# Columns of the documented CSV, and the unit of the level in them.
COLUMNS: Mapping[tuple[str, ...], str] = {("time", "stage_m"): "m", ("time", "stage_ft"): "ft"}
_ALLOWED = "time,stage_m or time,stage_ft"

_HEAD = ("label", "origin", "licence", "stand-in", "alterations", "datum")
_NEEDED = ("label", "origin", "licence", "stand-in")
# Hours by which local time of a gauge file runs ahead of UTC.
_ZONES: Mapping[str, float] = {
    "UTC": 0, "GMT": 0, "Z": 0, "AST": -4, "ADT": -3, "EST": -5, "EDT": -4, "CST": -6, "CDT": -5, "MST": -7,
    "MDT": -6, "PST": -8, "PDT": -7, "AKST": -9, "AKDT": -8, "HST": -10, "SST": -11, "CHST": 10, "ChST": 10,
}  # fmt: skip


def read_stage_csv(text: str, *, file: object = None) -> Stage:
    """Read a level record in the documented CSV.

    Parameters
    ----------
    text : str
        The whole file: head lines `# label:`, `# origin:`, `# licence:`, `# stand-in: yes|no`, and if wanted
        `# alterations:` and `# datum:`, then the columns `time,stage_m` or `time,stage_ft`. Times are ISO 8601
        with an offset or Z and rise; levels are counted from the datum, else from the gauge's zero. A row with an
        empty level counts as dropped.
    file : object
        Name for error messages.

    Returns
    -------
    Stage
        The record, in metres and UTC.

    Raises
    ------
    BadInput
        With file, line, field, what was found and what is allowed. A moment that stands twice and one that stands
        before its forerunner are told apart.

    """
    short_enough(text, file)
    head: dict[str, str] = {}
    times: list[float] = []
    levels: list[float] = []
    dropped = 0
    unit = ""
    before = -math.inf
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        if line.startswith("#"):
            name, colon, words = line[1:].partition(":")
            if colon and name.strip() in _HEAD:
                head[name.strip()] = words.strip()
            continue
        cells = next(csv.reader([line])) if '"' in line else line.split(",")
        if not unit:
            unit = COLUMNS.get(tuple(cell.strip() for cell in cells), "")
            if not unit:
                raise BadInput("wrong columns", file=file, line=number, found=line, allowed=_ALLOWED)
            continue
        if len(cells) != 2:
            raise BadInput("a row has two cells", file=file, line=number, found=line, allowed=_ALLOWED)
        moment = moment_of(cells[0], file, number)
        if moment <= before:
            why = "this moment stands twice" if moment == before else "times must rise from row to row"
            raise BadInput(why, file=file, line=number, field="time", found=cells[0])
        before = moment
        if not cells[1].strip():
            dropped += 1
            continue
        times.append(moment)
        levels.append(level_of(number_in(cells[1]), unit, file, number, f"stage_{unit}", cells[1]))
        if len(times) > rules.MOST_ROWS:
            raise BadInput("the record is too long", file=file, line=number, allowed=f"{rules.MOST_ROWS} rows")
    _check_head(head, file)
    if not times:
        raise BadInput("the record holds no level", file=file, allowed="rows of " + _ALLOWED)
    altered = [head.get("alterations", ""), "feet turned into metres" if unit == "ft" else ""]
    return Stage(
        np.array(times), np.array(levels), head["label"], head["origin"], head["licence"],
        head["stand-in"] == "yes", "; ".join(part for part in altered if part), dropped,
        head.get("datum") or DATUMS["00065"],
    )  # fmt: skip


def _check_head(head: Mapping[str, str], file: object) -> None:
    for name in _NEEDED:
        if not head.get(name):
            raise BadInput("a head line is missing", file=file, line=1, field=name, allowed=f"# {name}: …")
    if head["stand-in"] not in ("yes", "no"):
        raise BadInput(
            "yes or no is asked for", file=file, field="stand-in", found=head["stand-in"], allowed="yes, no"
        )


def read_stage_rdb(text: str, *, file: object = None, stand_in: bool = False) -> Stage:
    """Read the water level from the tab-separated form with `#` head lines and a line of column widths.

    Parameters
    ----------
    text : str
        The whole file.
    file : object
        Name for error messages.
    stand_in : bool
        True when the gauge stands for another water.

    Returns
    -------
    Stage
        Levels in metres, times in UTC. Words in place of a number ("Ice", "Eqp", "***") and readings whose code
        says ice are left out and counted; `alterations` names repeats and readings out of order.

    Raises
    ------
    BadInput
        With the line, when a column, a time zone or a number cannot be read, when two gauges are in the file, or
        when one moment has two levels.

    """
    short_enough(text, file)
    lines = [(n, line) for n, line in enumerate(text.splitlines(), start=1) if line.strip() and line[0] != "#"]
    if len(lines) < 3:
        raise BadInput("the record holds no level", file=file, allowed="column names, widths, then rows")
    columns = lines[0][1].split("\t")
    gauged = {i: name[-5:] for i, name in enumerate(columns) if name[-5:] in DATUMS and name[-6:-5] in ("", "_")}
    needed = ("site_no", "datetime", "tz_cd")
    if len(gauged) != 1 or any(name not in columns for name in needed):
        raise BadInput(
            "columns of a gauge file are missing or stand twice", file=file, line=lines[0][0], found=lines[0][1],
            allowed=f"{', '.join(needed)} and one ending in {', '.join(DATUMS)}",
        )  # fmt: skip
    ((at_level, parameter),) = gauged.items()
    at_code = columns.index(columns[at_level] + "_cd") if columns[at_level] + "_cd" in columns else None
    at_site, at_time, at_zone = (columns.index(name) for name in needed)
    found = Readings(file)
    site = ""
    for number, line in lines[2:]:
        cells = line.split("\t")
        if len(cells) < len(columns):
            cells += [""] * (len(columns) - len(cells))
        if site and cells[at_site] != site:
            raise BadInput("two gauges in one file", file=file, line=number, found=cells[at_site], allowed=site)
        site = cells[at_site]
        reading = number_in(cells[at_level])
        if marks_ice(cells[at_level]) or (at_code is not None and marks_ice(cells[at_code])):
            found.iced += 1
            continue
        if math.isnan(reading):
            found.dropped += 1
            continue
        ahead = _ZONES.get(cells[at_zone])
        if ahead is None:
            raise BadInput(
                "unknown time zone", file=file, line=number, field="tz_cd", found=cells[at_zone],
                allowed=", ".join(_ZONES),
            )  # fmt: skip
        moment = moment_of(cells[at_time] + "+00:00", file, number, "datetime") - 3600.0 * ahead
        found.add(moment, level_of(reading, "ft", file, number, columns[at_level], cells[at_level]), number)
    return found.stage(
        f"gauge {site}", f"gauge {site}, level (parameter {parameter})", stand_in=stand_in, unit="ft",
        datum=DATUMS[parameter], say_place=lambda line: {"line": line, "field": "datetime"},
    )  # fmt: skip
