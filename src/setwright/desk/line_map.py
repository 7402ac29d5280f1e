"""The line as a map: its start, sites, zones of its packs, water and tracks, as GeoJSON (RFC 7946)."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from setwright.basis.errors import BadInput
from setwright.line.background import background
from setwright.line.book import LineBook, read_book
from setwright.line.lawbook import packs_of


def line_map(path: Path, standing: Mapping[str, str] | None = None) -> dict[str, Any]:
    """Everything of the line that has a place, as a feature collection.

    Parameters
    ----------
    path : Path
        Line book.
    standing : mapping, optional
        Standing of the sets by site, where a plan knows them.

    Raises
    ------
    BadInput
        When the book cannot be read.
    """
    book, _ = read_book(path)
    known = standing or {}
    features = [*_zones(book, path), *_ground(book, path)]
    if book.line.base is not None:
        place = [book.line.base.longitude, book.line.base.latitude]
        features.append(_feature({"type": "Point", "coordinates": place}, kind="base", name="start"))
    for number, site in enumerate(book.sites, start=1):
        spot = site.position
        geometry = None if spot is None else {"type": "Point", "coordinates": [spot.longitude, spot.latitude]}
        features.append(
            {
                **_feature(
                    geometry, kind="site", number=number, name=site.name, medium=site.medium, target=site.target,
                    set_type=site.set_type, standing=known.get(site.id),
                ),
                "id": site.id,
            }
        )  # fmt: skip
    return {"type": "FeatureCollection", "features": features}


def _feature(geometry: Any, **properties: object) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": properties}


def _zones(book: LineBook, path: Path) -> list[dict[str, Any]]:
    found = []
    try:
        packs = packs_of(book, path.resolve().parent)
    except BadInput:
        return []
    for pack in packs:
        for name, zone in pack.pack.zones.items():
            for geometry in _geometries(zone.geometry):
                found.append(_feature(geometry, kind="zone", name=name, pack=pack.name))
    return found


def _geometries(found: Any) -> list[Any]:
    if not isinstance(found, dict):
        return []
    if found.get("type") == "FeatureCollection":
        return [part for feature in found["features"] for part in _geometries(feature)]
    return _geometries(found.get("geometry")) if found.get("type") == "Feature" else [found]


def _ground(book: LineBook, path: Path) -> list[dict[str, Any]]:
    try:
        shapes = background(book.ways, path.resolve().parent)
    except BadInput:
        return []
    found = []
    for shape in shapes:
        line = [list(position) for position in shape.positions]
        found.append(
            _feature(
                {"type": "Polygon", "coordinates": [line]}
                if shape.closed
                else {"type": "LineString", "coordinates": line},
                kind=shape.kind,
            )
        )
    return found
