"""Sun times by two independent programs; nothing of `setwright` is imported.

pvlib: the solar position algorithm of the US national renewable energy laboratory, searched for the height asked for.
ephem: planetary theory of the XEphem library, with its own search for the horizon.
"""

from __future__ import annotations

import csv
import sys
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import ephem
import numpy as np
import pandas as pd
from pvlib import solarposition

PLACES = {
    "36.10 -79.95": (36.10, -79.95),
    "46.80 -71.20": (46.80, -71.20),
    "61.20 -149.90": (61.20, -149.90),
    "29.95 -90.07": (29.95, -90.07),
    "-41.29 174.78": (-41.29, 174.78),
}
DATES = ("2026-01-15", "2026-03-20", "2026-06-21", "2026-10-31", "2026-12-21")
# Height of the sun's centre [degrees], without refraction: the almanacs' definitions.
HEIGHTS = {"dawn": -6.0, "sunrise": -0.833, "sunset": -0.833, "dusk": -6.0}


def noon_of(day: date, longitude: float) -> datetime:
    """Local mean noon as UTC."""
    return datetime(day.year, day.month, day.day, 12, tzinfo=UTC) - timedelta(hours=longitude / 15.0)


def by_pvlib(name: str, latitude: float, longitude: float, day: date) -> float | None:
    """Seconds since 1970, or None where the sun does not pass that height."""
    noon = noon_of(day, longitude)
    low = -13.0 if name in ("dawn", "sunrise") else 0.0
    times = pd.date_range(noon + timedelta(hours=low), periods=13 * 60 + 1, freq="60s")
    height = solarposition.spa_python(times, latitude, longitude)["elevation"].to_numpy() - HEIGHTS[name]
    rising = name in ("dawn", "sunrise")
    above = height >= 0
    crossing = np.flatnonzero(~above[:-1] & above[1:] if rising else above[:-1] & ~above[1:])
    if crossing.size == 0:
        return None
    at = int(crossing[-1] if rising else crossing[0])
    share = height[at] / (height[at] - height[at + 1])
    return float(times[at].timestamp() + 60.0 * share)


def by_ephem(name: str, latitude: float, longitude: float, day: date) -> float | None:
    """Seconds since 1970, or None where the sun does not pass that height."""
    there = ephem.Observer()
    there.lat, there.lon, there.pressure, there.elevation = str(latitude), str(longitude), 0.0, 0.0
    there.horizon = str(HEIGHTS[name])
    there.date = ephem.Date(noon_of(day, longitude).replace(tzinfo=None))
    ask = there.previous_rising if name in ("dawn", "sunrise") else there.next_setting
    try:
        found = ask(ephem.Sun(), use_center=True)
    except (ephem.AlwaysUpError, ephem.NeverUpError):
        return None
    return float(found.datetime().replace(tzinfo=UTC).timestamp())


def main() -> None:
    """Write the table of both answers."""
    with (Path(sys.argv[1]) / "sun.csv").open("w", encoding="utf-8", newline="") as handle:
        writer = csv.writer(handle, lineterminator="\n")
        writer.writerow(["latitude", "longitude", "date", "name", "pvlib", "ephem"])
        for latitude, longitude in PLACES.values():
            for text in DATES:
                day = date.fromisoformat(text)
                for name in HEIGHTS:
                    both = [ask(name, latitude, longitude, day) for ask in (by_pvlib, by_ephem)]
                    told = ["" if moment is None else f"{moment:.1f}" for moment in both]
                    writer.writerow([latitude, longitude, text, name, *told])


if __name__ == "__main__":
    main()
