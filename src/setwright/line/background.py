"""Water and tracks behind the map of a line: GeoJSON beside the book, read once and checked."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from setwright.basis.errors import BadInput
from setwright.basis.yamlfile import read_text
from setwright.line.ways_book import Ways

Position = tuple[float, float]
ALLOWED = "GeoJSON of lines and polygons (RFC 7946), longitude before latitude"


@dataclass(frozen=True)
class Shape:
    """One line or area: `water` or `track`, closed or open, positions as longitude and latitude [degrees]."""

    kind: str
    closed: bool
    positions: tuple[Position, ...]


def background(ways: Ways, folder: Path) -> tuple[Shape, ...]:
    """Shapes of the files that the book names.

    Raises
    ------
    BadInput
        When a file is not beside the book, or holds no lines or areas.

    """
    found: list[Shape] = []
    for kind, name in (("water", ways.water), ("track", ways.tracks)):
        if name is not None:
            found += _read(kind, name, folder, f"ways.{'water' if kind == 'water' else 'tracks'}")
    return tuple(found)


def _read(kind: str, name: str, folder: Path, where: str) -> list[Shape]:
    path = (folder / name).resolve()
    if Path(name).is_absolute() or not path.is_relative_to(folder.resolve()) or not path.is_file():
        raise BadInput(
            "no such map beside the book", field=where, found=name, allowed="a GeoJSON file beside the book"
        )
    try:
        data = json.loads(read_text(path))
        found = [Shape(kind, closed, tuple(_positions(line))) for closed, line in _lines(data)]
    except (ValueError, TypeError, KeyError, RecursionError) as error:
        raise BadInput("this map cannot be read", file=path, found=str(error), allowed=ALLOWED) from None
    if not found:
        raise BadInput("this map holds no line and no area", file=path, allowed=ALLOWED)
    return found


def _lines(data: Any) -> Iterator[tuple[bool, Any]]:
    if not isinstance(data, dict):
        raise ValueError("not a GeoJSON object")
    kind = data.get("type")
    if kind == "FeatureCollection":
        for feature in data["features"]:
            yield from _lines(feature)
    elif kind == "Feature":
        if data.get("geometry") is not None:
            yield from _lines(data["geometry"])
    elif kind == "LineString":
        yield False, data["coordinates"]
    elif kind == "MultiLineString":
        yield from ((False, line) for line in data["coordinates"])
    elif kind == "Polygon":
        yield from ((True, ring) for ring in data["coordinates"])
    elif kind == "MultiPolygon":
        yield from ((True, ring) for polygon in data["coordinates"] for ring in polygon)
    elif kind not in ("Point", "MultiPoint"):
        raise ValueError(f"a GeoJSON object of the type {kind!r}")


def _positions(line: Any) -> Iterator[Position]:
    for position in line:
        longitude, latitude = float(position[0]), float(position[1])
        if not (-180 <= longitude <= 180 and -90 <= latitude <= 90):
            raise ValueError(f"not a position: {longitude:g}, {latitude:g}")
        yield longitude, latitude
