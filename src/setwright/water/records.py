"""Level records from text: the documented CSV, the public instantaneous-values JSON, the tab-separated form."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from typing import Any

import numpy as np

from setwright.basis.errors import BadInput
from setwright.water.stage import Stage

FOOT = 0.3048
COLUMNS = ("time", "stage_m")
GAGE_HEIGHT = "00065"
LONGEST_TEXT = 40_000_000
MOST_ROWS = 600_000
LOWEST, HIGHEST = -500.0, 9000.0

# Words that gauge files put in place of a number, or beside it, where the reading is no open-water level.
ICE = frozenset({"ice", "ice affected", "ice-affected"})
_HEAD = ("label", "origin", "licence", "stand-in", "alterations")
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
        The whole file: head lines `# label:`, `# origin:`, `# licence:`, `# stand-in: yes|no`, `# alterations:`,
        then the columns `time,stage_m`. Times are ISO 8601 with an offset or Z and rise; levels are metres over
        the gauge's zero. A row with an empty level counts as dropped.
    file : object
        Name for error messages.

    Returns
    -------
    Stage
        The record.

    Raises
    ------
    BadInput
        With file, line, field, what was found and what is allowed.

    """
    _short_enough(text, file)
    head: dict[str, str] = {}
    times: list[float] = []
    levels: list[float] = []
    dropped = 0
    columns_seen = False
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        if line.startswith("#"):
            name, colon, words = line[1:].partition(":")
            if colon and name.strip() in _HEAD:
                head[name.strip()] = words.strip()
            continue
        cells = next(csv.reader(io.StringIO(line)))
        if not columns_seen:
            if tuple(cell.strip() for cell in cells) != COLUMNS:
                raise BadInput("wrong columns", file=file, line=number, found=line, allowed=",".join(COLUMNS))
            columns_seen = True
            continue
        if len(cells) != 2:
            raise BadInput("a row has two cells", file=file, line=number, found=line, allowed=",".join(COLUMNS))
        moment = _moment(cells[0], file, number)
        if times and moment <= times[-1]:
            raise BadInput("times must rise from row to row", file=file, line=number, field="time", found=cells[0])
        if not cells[1].strip():
            dropped += 1
            continue
        times.append(moment)
        levels.append(_level(cells[1], 1.0, file, number, "stage_m"))
        if len(times) > MOST_ROWS:
            raise BadInput("the record is too long", file=file, line=number, allowed=f"{MOST_ROWS} rows")
    for name in _NEEDED:
        if not head.get(name):
            raise BadInput("a head line is missing", file=file, line=1, field=name, allowed=f"# {name}: …")
    if head["stand-in"] not in ("yes", "no"):
        raise BadInput(
            "yes or no is asked for", file=file, field="stand-in", found=head["stand-in"], allowed="yes, no"
        )
    if not times:
        raise BadInput("the record holds no level", file=file, allowed="rows of " + ",".join(COLUMNS))
    return Stage(
        np.array(times), np.array(levels), head["label"], head["origin"], head["licence"],
        head["stand-in"] == "yes", head.get("alterations", ""), dropped,
    )  # fmt: skip


def read_stage_json(text: str, *, file: object = None, site: str | None = None, stand_in: bool = False) -> Stage:
    """Read the gage height from the public instantaneous-values JSON (WaterML 1.1 as JSON).

    Parameters
    ----------
    text : str
        The whole file.
    file : object
        Name for error messages.
    site : str, optional
        Site number; needed when the file holds more than one gauge.
    stand_in : bool
        True when the gauge stands for another water.

    Returns
    -------
    Stage
        Levels in metres, times in UTC. Readings equal to the file's no-data value and readings marked as affected
        by ice are left out and counted.

    Raises
    ------
    BadInput
        When the file has no gage height (parameter 00065) in feet or metres, or has another form.

    """
    _short_enough(text, file)
    try:
        document = json.loads(text)
    except (ValueError, RecursionError) as error:
        line = getattr(error, "lineno", None)
        raise BadInput("this is not JSON", file=file, line=line, allowed="instantaneous values as JSON") from error
    series = [one for one in _list(document, "value.timeSeries", file) if _code(one, file) == GAGE_HEIGHT]
    sites = {_site(one, file): one for one in series}
    if not sites:
        raise BadInput(
            "no gage height in this file", file=file, field="value.timeSeries", allowed=f"parameter {GAGE_HEIGHT}"
        )
    if site is None and len(sites) > 1:
        raise BadInput("more than one gauge: say which", file=file, field="site", allowed=", ".join(sorted(sites)))
    chosen = next(iter(sites)) if site is None else site
    if chosen not in sites:
        raise BadInput("no such gauge in this file", file=file, field="site", found=site, allowed=", ".join(sites))
    one = sites[chosen]
    unit = str(_at(one, "variable.unit.unitCode", file))
    factor = {"ft": FOOT, "m": 1.0}.get(unit)
    if factor is None:
        raise BadInput(
            "unit of the gage height", file=file, field="variable.unit.unitCode", found=unit, allowed="ft, m"
        )
    nothing = _number(_at(one, "variable.noDataValue", file), file, "variable.noDataValue")
    readings: dict[float, float] = {}
    dropped = 0
    for block_number, block in enumerate(_list(one, "values", file)):
        for number, reading in enumerate(_list(block, "value", file)):
            place = f"values[{block_number}].value[{number}]"
            level = _number(_at(reading, "value", file), file, place)
            if level == nothing or _iced(reading.get("qualifiers")):
                dropped += 1
                continue
            moment = _moment(str(_at(reading, "dateTime", file)), file, None, f"{place}.dateTime")
            readings.setdefault(moment, _level(level, factor, file, None, place))
            if len(readings) > MOST_ROWS:
                raise BadInput("the record is too long", file=file, allowed=f"{MOST_ROWS} readings")
    name = str(_at(one, "sourceInfo.siteName", file))
    return _of(readings, name, f"gauge {chosen}, gage height (parameter {GAGE_HEIGHT})", stand_in, dropped, file)


def read_stage_rdb(text: str, *, file: object = None, stand_in: bool = False) -> Stage:
    """Read the gage height from the tab-separated form with `#` head lines and a line of column widths.

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
        says ice are left out and counted.

    Raises
    ------
    BadInput
        With the line, when a column, a time zone or a number cannot be read, or when two gauges are in the file.

    """
    _short_enough(text, file)
    lines = [(n, line) for n, line in enumerate(text.splitlines(), start=1) if line.strip() and line[0] != "#"]
    if len(lines) < 3:
        raise BadInput("the record holds no level", file=file, allowed="column names, widths, then rows")
    columns = lines[0][1].split("\t")
    gauged = [i for i, name in enumerate(columns) if name == GAGE_HEIGHT or name.endswith("_" + GAGE_HEIGHT)]
    needed = ("site_no", "datetime", "tz_cd")
    if len(gauged) != 1 or any(name not in columns for name in needed):
        raise BadInput(
            "columns of a gauge file are missing or stand twice", file=file, line=lines[0][0], found=lines[0][1],
            allowed=f"{', '.join(needed)} and one ending in {GAGE_HEIGHT}",
        )  # fmt: skip
    at_level = gauged[0]
    at_code = columns.index(columns[at_level] + "_cd") if columns[at_level] + "_cd" in columns else None
    at_site, at_time, at_zone = (columns.index(name) for name in needed)
    readings: dict[float, float] = {}
    dropped = 0
    site = ""
    for number, line in lines[2:]:
        cells = line.split("\t")
        cells += [""] * (len(columns) - len(cells))
        if site and cells[at_site] != site:
            raise BadInput("two gauges in one file", file=file, line=number, found=cells[at_site], allowed=site)
        site = cells[at_site]
        code = "" if at_code is None else cells[at_code]
        if not _is_number(cells[at_level]) or any(part.strip().lower() in ICE for part in code.split(":")):
            dropped += 1
            continue
        ahead = _ZONES.get(cells[at_zone])
        if ahead is None:
            raise BadInput(
                "unknown time zone", file=file, line=number, field="tz_cd", found=cells[at_zone],
                allowed=", ".join(_ZONES),
            )  # fmt: skip
        moment = _moment(cells[at_time] + "+00:00", file, number, "datetime") - 3600.0 * ahead
        readings.setdefault(moment, _level(cells[at_level], FOOT, file, number, columns[at_level]))
        if len(readings) > MOST_ROWS:
            raise BadInput("the record is too long", file=file, line=number, allowed=f"{MOST_ROWS} rows")
    origin = f"gauge {site}, gage height (parameter {GAGE_HEIGHT})"
    return _of(readings, f"gauge {site}", origin, stand_in, dropped, file)


def _of(
    readings: Mapping[float, float], label: str, origin: str, stand_in: bool, dropped: int, file: object
) -> Stage:
    if not readings:
        raise BadInput("the record holds no level", file=file, allowed="readings that are neither ice nor no data")
    times = np.array(sorted(readings))
    levels = np.array([readings[moment] for moment in times])
    altered = f"feet turned into metres; {dropped} readings without data or affected by ice left out"
    return Stage(
        times, levels, label, origin, "as stated by the agency that runs the gauge", stand_in, altered, dropped
    )


def _short_enough(text: str, file: object) -> None:
    if len(text) > LONGEST_TEXT:
        raise BadInput("the file is too large", file=file, found=len(text), allowed=f"{LONGEST_TEXT} characters")


def _moment(text: str, file: object, line: int | None, field: str = "time") -> float:
    try:
        moment = datetime.fromisoformat(text.strip())
    except ValueError:
        moment = None
    if moment is None or moment.tzinfo is None:
        raise BadInput(
            "a time needs a date, hours and an offset", file=file, line=line, field=field, found=text,
            allowed="such as 2018-01-05T13:00Z",
        )  # fmt: skip
    return moment.astimezone(UTC).timestamp()


def _is_number(cell: str) -> bool:
    try:
        return math.isfinite(float(cell))
    except ValueError:
        return False


def _number(value: object, file: object, field: str) -> float:
    if isinstance(value, str | int | float) and not isinstance(value, bool) and _is_number(str(value)):
        return float(value)
    raise BadInput("a number is asked for", file=file, field=field, found=value)


def _level(value: str | float, factor: float, file: object, line: int | None, field: str) -> float:
    if not _is_number(str(value)):
        raise BadInput("a level is a number", file=file, line=line, field=field, found=value)
    level = float(value) * factor
    if not LOWEST <= level <= HIGHEST:
        raise BadInput(
            "no water level on land",
            file=file,
            line=line,
            field=field,
            found=value,
            allowed=f"{LOWEST} to {HIGHEST} m",
        )
    return level


def _at(node: Any, path: str, file: object) -> Any:
    """Value at a dotted path of a JSON document; BadInput that names the path when it is not there."""
    for name in path.split("."):
        if not isinstance(node, dict) or name not in node:
            raise BadInput("a part of the document is missing", file=file, field=path, allowed="instantaneous values")
        node = node[name]
    return node


def _list(node: Any, path: str, file: object) -> Iterator[Any]:
    found = _at(node, path, file)
    if not isinstance(found, list):
        raise BadInput("a list is asked for", file=file, field=path, found=type(found).__name__)
    return iter(found)


def _first(node: Any, path: str, file: object) -> str:
    for entry in _list(node, path, file):
        return str(_at(entry, "value", file))
    raise BadInput("the list is empty", file=file, field=path)


def _code(one: Any, file: object) -> str:
    return _first(one, "variable.variableCode", file)


def _site(one: Any, file: object) -> str:
    return _first(one, "sourceInfo.siteCode", file)


def _iced(qualifiers: object) -> bool:
    return isinstance(qualifiers, list) and any(str(word).strip().lower() in ICE for word in qualifiers)
