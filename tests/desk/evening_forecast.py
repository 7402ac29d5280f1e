"""A forecast in the public form of one grid cell, made up for tests."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

START = datetime(2026, 12, 20, 20, tzinfo=UTC)
NIGHT = [
    *(2.0, 1.0, 0.0, -1.0, -2.0, -3.0, -4.0, -5.0, -6.0, -6.5, -7.0, -7.5, -8.0, -8.0, -8.0, -7.0, -5.0, -3.0),
    *(-1.0, 1.0),
    *([2.0] * 10),
]


def layer(unit, values, start=START):
    """One layer: null stays null, `left out` leaves the hour out."""
    return {
        "uom": f"wmoUnit:{unit}",
        "values": [
            {"validTime": f"{(start + timedelta(hours=hour)).isoformat()}/PT1H", "value": value}
            for hour, value in enumerate(values)
            if value != "left out"
        ],
    }


def grid(temperatures=None, issued=START, **layers):
    """The whole document, with every layer that the evening reads unless told otherwise."""
    air = NIGHT if temperatures is None else temperatures
    count = len(air)
    found = {
        "updateTime": issued.isoformat(),
        "temperature": layer("degC", air),
        "dewpoint": layer("degC", [None if value is None else value - 3.0 for value in air]),
        "skyCover": layer("percent", [20] * count),
        "windSpeed": layer("km_h-1", [8] * count),
        "quantitativePrecipitation": layer("mm", [0] * count),
    }
    return {"properties": {**found, **layers}}


def write(folder, document, name="forecast.json"):
    """Write a document (or text as it is) and return its path."""
    path = folder / name
    path.write_text(document if isinstance(document, str) else json.dumps(document), encoding="utf-8")
    return path
