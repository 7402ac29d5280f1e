"""Zones of a pack: areas on the map (GeoJSON), and whether a site lies in them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import AfterValidator, Field, PrivateAttr, model_validator

from setwright.basis.fields import Length
from setwright.law.condition import Part, Text
from setwright.law.facts import Fact

if TYPE_CHECKING:
    from shapely.geometry import Polygon
    from shapely.geometry.base import BaseGeometry

EARTH = 6_371_008.8
# Nearer to a border than this, a fix of the phone does not tell on which side a set stands (common practice).
FIX = 15.0


def _areas(found: Any) -> Any:
    """Check that a GeoJSON object is one or more polygons on the globe."""
    if not isinstance(found, dict):
        raise ValueError("a zone is a GeoJSON object: {type: Polygon, coordinates: [[[longitude, latitude], …]]}")
    for part in _parts(found):
        if part.get("type") not in ("Polygon", "MultiPolygon"):
            raise ValueError(f"a zone is of polygons; found {part.get('type')!r}")
        rings = part["coordinates"]
        polygons = [rings] if part["type"] == "Polygon" else rings
        for ring in (ring for polygon in polygons for ring in polygon):
            if len(ring) < 4 or list(ring[0]) != list(ring[-1]):
                raise ValueError("a ring of a polygon has four positions or more and ends where it begins")
            for position in ring:
                longitude, latitude = _degrees(position)
                if not (-180 <= longitude <= 180 and -90 <= latitude <= 90):
                    raise ValueError(f"not a position (longitude, latitude in degrees): {longitude:g}, {latitude:g}")
    return found


def _degrees(position: Any) -> tuple[float, float]:
    """Longitude and latitude of a position [degree]; a height behind them is left out."""
    try:
        if not isinstance(position, list | tuple):
            raise TypeError
        longitude, latitude, *_ = (float(value) for value in position)
    except (TypeError, ValueError):
        raise ValueError(f"a position is [longitude, latitude] in degrees; found {str(position)[:60]}") from None
    return longitude, latitude


def _parts(found: dict[str, Any]) -> list[dict[str, Any]]:
    if found.get("type") == "FeatureCollection":
        return [part for feature in found.get("features") or [{}] for part in _parts(feature)]
    if found.get("type") == "Feature":
        return _parts(found.get("geometry") or {})
    return [found]


def _polygons(part: dict[str, Any]) -> list[Polygon]:
    """Polygons of a checked part."""
    from shapely.geometry import Polygon

    rings = part["coordinates"]
    found = []
    for polygon in [rings] if part["type"] == "Polygon" else rings:
        shell, *holes = [[_degrees(position) for position in ring] for ring in polygon] or [[]]
        found.append(Polygon(shell, holes))
    return found


def _checked(found: Any) -> Any:
    try:
        return _areas(found)
    except (TypeError, KeyError, IndexError, AttributeError):
        raise ValueError("not a GeoJSON area") from None


class Zone(Part):
    """An area on the map, inline as GeoJSON (RFC 7946) or in a file beside the pack; without one only a name."""

    geometry: Annotated[dict[str, Any], AfterValidator(_checked)] | None = None
    file: Annotated[str, Field(min_length=1, max_length=200)] | None = None
    border: Length | None = None
    text: Text
    citation: Text
    _shape: Any = PrivateAttr(default=None)

    @model_validator(mode="after")
    def _one(self) -> Zone:
        if self.geometry is not None and self.file is not None:
            raise ValueError("give the area inline or as a file, not both")
        return self

    @property
    def shape(self) -> BaseGeometry | None:
        """The area as a shape in degrees (longitude, latitude); None when the pack only names it."""
        if self._shape is None and self.geometry is not None:
            from shapely import union_all

            self._shape = union_all([one for part in _parts(self.geometry) for one in _polygons(part)])
        found: BaseGeometry | None = self._shape
        return found


def with_area(zone: Zone, geometry: Any) -> Zone:
    """Zone with the area that its file holds."""
    found: Zone = Zone.model_validate(
        {"geometry": geometry, "border": zone.border, "text": zone.text, "citation": zone.citation}
    )
    return found


def border_distance(area: BaseGeometry, latitude: float, longitude: float) -> float:
    """Distance from a place to the border of an area [m], positive inside and negative outside.

    Parameters
    ----------
    area : shapely geometry
        Polygons in degrees, longitude before latitude.
    latitude, longitude : float
        Place [degrees, WGS 84].

    Returns
    -------
    float
        [m]; on a plane that touches the globe at the place, so it is good near the border and rough far off.

    """
    from shapely import Point, transform

    across = math.cos(math.radians(latitude))
    metre = math.radians(1.0) * EARTH

    def flat(points: Any) -> Any:
        return (points - (longitude, latitude)) * (metre * across, metre)

    local, here = transform(area, flat), Point(0.0, 0.0)
    away = float(local.boundary.distance(here))
    return away if local.covers(here) else -away


def zone_facts(
    zones: Mapping[str, Zone], latitude: float, longitude: float, *, error: float = FIX
) -> dict[str, Fact]:
    """Whether a place lies in each zone; not known where the border is nearer than the fix or the border is good for.

    Parameters
    ----------
    zones : mapping of str to Zone
        Zones of a pack; those without an area give nothing.
    latitude, longitude : float
        Place [degrees, WGS 84].
    error : float
        How far off the place may be [m].

    Returns
    -------
    dict of str to Fact
        `zone:<name>` for every zone that has an area.

    """
    found = {}
    for name, zone in zones.items():
        if zone.shape is None:
            continue
        away = border_distance(zone.shape, latitude, longitude)
        doubt = error + (0.0 if zone.border is None else zone.border.number)
        found[f"zone:{name}"] = Fact(None if abs(away) <= doubt else away > 0.0)
    return found
