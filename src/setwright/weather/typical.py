"""Reads a typical year in the third layout of the US typical meteorological years (TMY3)."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

import numpy as np

from setwright.basis.errors import BadInput
from setwright.weather.records import NUMBER, cells_of, check_size
from setwright.weather.series import Hourly

_TMY3 = {
    "temperature": ("Dry-bulb (C)", 1.0, -90.0, 60.0),
    "dew_point": ("Dew-point (C)", 1.0, -95.0, 40.0),
    "wind": ("Wspd (m/s)", 1.0, 0.0, 100.0),
    "cloud": ("TotCld (tenths)", 0.1, 0.0, 1.0),
    "radiation": ("GHI (W/m^2)", 1.0, -20.0, 1500.0),
}
_RAIN = "Lprecip depth (mm)"


def read_typical_year_tmy3(text: str, *, file: str, year: int = 2025, rain_scale: float = 0.1) -> Hourly:
    """Read a typical year in the third layout of the US typical meteorological years (TMY3).

    Parameters
    ----------
    text : str
        The whole file: a line of station figures, a line of column names, 8760 hours.
    file : str
        Name for error messages.
    year : int
        Calendar year to give the months, which come from different years; not a leap year.
    rain_scale : float [mm for each unit of the file]
        The column is headed mm, yet holds tenths: the year of Greensboro sums to 8345, of a climate with
        some 1100 mm; so 0.1.

    Returns
    -------
    Hourly
        Marked as a stand-in, starting on 1 January in the local standard time of the station. A row stands at the
        end of its hour; sun and rain are sums over that hour, air and wind its last reading. The file's missing
        marks (-9900, and a cloud of 99) are gaps.

    Raises
    ------
    BadInput
        When the layout, an hour or a figure is not what it should be.

    References
    ----------
    Wilcox and Marion 2008, Users Manual for TMY3 Data Sets, NREL/TP-581-43156 (memory).

    """
    check_size(text, file)
    lines = [line for line in text.splitlines() if line.strip()]
    if len(lines) != 8762:
        raise BadInput("not a typical year of 8760 hours", file=file, found=f"{len(lines)} lines", allowed="8762")
    station, names = cells_of(lines[0], file, 1), cells_of(lines[1], file, 2)
    missing = [name for name in (*(column for column, *_ in _TMY3.values()), _RAIN) if name not in names]
    if missing or len(station) < 7:
        raise BadInput("not the layout of a typical year", file=file, line=2, found=", ".join(missing or station))
    first = datetime(year, 1, 1, tzinfo=timezone(timedelta(hours=_number(station[3], -14.0, 14.0, file, 1, "zone"))))
    columns: dict[str, list[float]] = {name: [] for name in (*_TMY3, "rain")}
    for hour, line in enumerate(lines[2:]):
        cells = cells_of(line, file, hour + 3)
        moment = first + timedelta(hours=hour)
        stamp = f"{moment:%m/%d}", f"{moment.hour + 1:02d}:00"
        if len(cells) != len(names) or (cells[0][:5], cells[1]) != stamp:
            raise BadInput(
                "a row is broken, missing or out of order", file=file, line=hour + 3, found=",".join(cells[:2]),
                allowed=" ".join(stamp),
            )  # fmt: skip
        row = dict(zip(names, cells, strict=True))
        for name, (column, scale, low, high) in _TMY3.items():
            columns[name].append(_scaled(row[column], scale, low, high, file, hour + 3, column))
        columns["rain"].append(_scaled(row[_RAIN], rain_scale, 0.0, 300.0, file, hour + 3, _RAIN))
    return Hourly(
        start=first,
        **{name: np.array(found) for name, found in columns.items()},
        label=f"typical year {station[1]} {station[2]} (stand-in record)",
        origin="typical meteorological year (TMY3) of the US national renewable energy laboratory",
        licence="not stated",
        stand_in=True,
    )


def _number(text: str, low: float, high: float, file: str, line: int, column: str) -> float:
    value = float(text) if NUMBER.fullmatch(text) else np.nan
    if not low <= value <= high:
        raise BadInput(
            "not a number, or out of what weather can be", file=file, line=line, field=column, found=text,
            allowed=f"{low:g} to {high:g}",
        )  # fmt: skip
    return value


def _scaled(text: str, scale: float, low: float, high: float, file: str, line: int, column: str) -> float:
    if text in ("", "-9900", "-9900.0") or (column.startswith("TotCld") and text == "99"):
        return np.nan
    return scale * _number(text, low / scale, high / scale, file, line, column)
