"""Reads weather records from text in the documented hourly CSV."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np

from setwright.basis.errors import BadInput
from setwright.weather.series import Floats, Hourly

# Column of the documented CSV: quantity of `Hourly`, smallest and largest figure that a record may hold.
COLUMNS: Mapping[str, tuple[str, float, float]] = {
    "temperature_C": ("temperature", -90.0, 60.0),
    "dew_point_C": ("dew_point", -95.0, 40.0),
    "wind_m_s": ("wind", 0.0, 100.0),
    "cloud_share": ("cloud", 0.0, 1.0),
    "radiation_W_m2": ("radiation", -20.0, 1500.0),
    "rain_mm": ("rain", 0.0, 300.0),
}
HEAD = ("label", "origin", "licence", "stand-in", "alterations", "hours")
# A record longer than this (20 years, or 20 MB) is taken for a mistake.
MOST_HOURS = 20 * 8784
MOST_CHARACTERS = 20_000_000
# Dew points may lie above the air by the rounding of both, no more.
DEW_SLACK = 1.0

NUMBER = re.compile(r"[+-]?(?:[0-9]{1,6}(?:\.[0-9]{0,9})?|\.[0-9]{1,9})", re.ASCII)
_TIME = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}(?::[0-9]{2})?(?:Z|[+-][0-9]{2}:[0-9]{2})?", re.ASCII
)


def read_hourly_csv(text: str, *, file: str, timezone: str) -> Hourly:
    """Read the documented hourly weather CSV.

    Head lines `# label:`, `# origin:`, `# licence:`, `# stand-in: yes|no`, `# alterations:` and, so that a
    cut-off file is noticed, `# hours:` (number of rows) stand above the column names
    `time, temperature_C, dew_point_C, wind_m_s, cloud_share, radiation_W_m2, rain_mm`. Only `time` and
    `temperature_C` are needed. `time` is ISO 8601, the beginning of the hour; an empty cell is a gap; hours
    that are left out become gaps.

    Parameters
    ----------
    text : str
        The whole file.
    file : str
        Name for error messages.
    timezone : str
        IANA zone of times that are written without an offset.

    Returns
    -------
    Hourly

    Raises
    ------
    BadInput
        With file, line, field, what was found and what is allowed, for the first thing that cannot be used.

    """
    check_size(text, file)
    zone = _zone(timezone, file)
    head: dict[str, str] = {}
    rows: list[tuple[int, list[str]]] = []
    for number, line in enumerate(text.lstrip("\ufeff").splitlines(), start=1):
        if line.startswith("#"):
            name, mark, value = line[1:].partition(":")
            if mark and name.strip().lower() in HEAD:
                head[name.strip().lower()] = value.strip()
        elif line.strip():
            rows.append((number, cells_of(line, file, number)))
    if not rows:
        raise BadInput("the weather record is empty", file=file, allowed=", ".join(("time", *COLUMNS)))
    names = _columns(rows[0][1], file, rows[0][0])
    _check_length(head.get("hours"), len(rows) - 1, file)
    stamps: list[datetime] = []
    values: list[list[float]] = []
    for number, cells in rows[1:]:
        if len(cells) != len(names):
            raise BadInput(
                f"{len(cells)} cells instead of {len(names)}: broken or cut off", file=file, line=number,
                found=",".join(cells),
            )  # fmt: skip
        record = dict(zip(names, cells, strict=True))
        stamps.append(_stamp(record["time"], stamps[-1] if stamps else None, zone, file, number))
        values.append(_values(record, file, number))
    filled = _fill(stamps, values, file)
    stand_in = head.get("stand-in", "no").lower()
    if stand_in not in ("yes", "no"):
        raise BadInput("a yes or a no is needed", file=file, field="# stand-in", found=stand_in, allowed="yes, no")
    quantities = {name: filled[:, place] for place, (name, _, _) in enumerate(COLUMNS.values())}
    return Hourly(
        start=stamps[0],
        **quantities,
        label=head.get("label", file),
        origin=head.get("origin", "not stated"),
        licence=head.get("licence", "not stated"),
        stand_in=stand_in == "yes",
    )


def check_size(text: str, file: str) -> None:
    """Refuse a text [characters] that no record of weather needs; BadInput with the `file`."""
    if len(text) > MOST_CHARACTERS:
        raise BadInput(
            "the weather record is too large", file=file, found=f"{len(text)} characters",
            allowed=f"at most {MOST_CHARACTERS}",
        )  # fmt: skip


def _zone(name: str, file: str) -> ZoneInfo:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise BadInput(
            "unknown time zone",
            file=file,
            field="timezone",
            found=name,
            allowed="an IANA name such as America/Chicago",
        ) from None


def cells_of(line: str, file: str, number: int) -> list[str]:
    """Cells of one line of a CSV file; BadInput with `file` and line `number` when it is none."""
    try:
        return [cell.strip() for cell in next(csv.reader(io.StringIO(line), strict=True))]
    except (csv.Error, StopIteration):
        raise BadInput("not a line of a CSV file", file=file, line=number, found=line) from None


def _columns(names: list[str], file: str, number: int) -> list[str]:
    known = ("time", *COLUMNS)
    for name in names:
        if name not in known or names.count(name) > 1:
            raise BadInput("unknown or doubled column", file=file, line=number, found=name, allowed=", ".join(known))
    for name in known[:2]:
        if name not in names:
            raise BadInput("a column is missing", file=file, line=number, field=name, allowed=", ".join(known))
    return names


def _check_length(stated: str | None, found: int, file: str) -> None:
    if found < 1:
        raise BadInput("the weather record has no hours", file=file)
    if stated is not None and stated != str(found):
        raise BadInput(
            "the record is cut off or was added to", file=file, field="# hours", found=found, allowed=stated
        )
    if found > MOST_HOURS:
        raise BadInput("too many hours", file=file, found=found, allowed=f"at most {MOST_HOURS}")


def _stamp(text: str, last: datetime | None, zone: ZoneInfo, file: str, number: int) -> datetime:
    try:
        if not _TIME.fullmatch(text):
            raise ValueError
        moment = datetime.fromisoformat(text)
        if moment.tzinfo is None:
            local = moment.replace(tzinfo=zone)
            stamp = local.astimezone(UTC)
            if stamp.astimezone(zone).replace(tzinfo=None) != moment:
                raise BadInput(
                    "this hour does not exist in this zone (clocks go forward)", file=file, line=number, field="time",
                    found=text,
                )  # fmt: skip
            if last is not None and stamp <= last:
                stamp = local.replace(fold=1).astimezone(UTC)
        else:
            stamp = moment.astimezone(UTC)
    except (ValueError, OverflowError):
        raise BadInput(
            "not a time", file=file, line=number, field="time", found=text, allowed="such as 2026-12-10T06:00-05:00"
        ) from None
    if stamp.minute or stamp.second:
        raise BadInput("a full hour is needed", file=file, line=number, field="time", found=text)
    if last is not None and stamp <= last:
        what = "this hour stands twice" if stamp == last else "the hours are not in order"
        raise BadInput(what, file=file, line=number, field="time", found=text, allowed=f"after {last.isoformat()}")
    return stamp


def _values(record: Mapping[str, str], file: str, number: int) -> list[float]:
    found = []
    for column, (_, low, high) in COLUMNS.items():
        text = record.get(column, "")
        if not text:
            found.append(np.nan)
            continue
        value = float(text) if NUMBER.fullmatch(text) else np.nan
        if not low <= value <= high:
            raise BadInput(
                "not a number, or out of what weather can be", file=file, line=number, field=column, found=text,
                allowed=f"{low:g} to {high:g}, or empty for a gap",
            )  # fmt: skip
        found.append(value)
    if found[1] > found[0] + DEW_SLACK:
        raise BadInput(
            "the dew point is above the air temperature", file=file, line=number, field="dew_point_C",
            found=record["dew_point_C"], allowed=f"at most {found[0]:g}",
        )  # fmt: skip
    return found


def _fill(stamps: list[datetime], values: list[list[float]], file: str) -> Floats:
    places = [round((stamp - stamps[0]) / timedelta(hours=1)) for stamp in stamps]
    if places[-1] >= MOST_HOURS:
        raise BadInput(
            "the record spans too long a time", file=file, field="time", found=f"{places[-1] + 1} hours",
            allowed=f"at most {MOST_HOURS}",
        )  # fmt: skip
    filled = np.full((places[-1] + 1, len(COLUMNS)), np.nan)
    filled[places] = values
    return filled
