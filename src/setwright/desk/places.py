"""Places from the files of other programs: waypoints of GPX, points of GeoJSON."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from typing import Any

from setwright.basis.errors import BadInput
from setwright.basis.yamlfile import CONTROL

LARGEST, MOST = 2_000_000, 500
NAME_AT_MOST = 120
# A waypoint file needs neither; both can make a small file grow without end.
DECLARED = re.compile(r"<!\s*(DOCTYPE|ENTITY)", re.IGNORECASE)
ALLOWED = f"GPX or GeoJSON in UTF-8, up to {LARGEST // 1_000_000} MB and {MOST} places"


def places_of(content: bytes, name: str) -> list[dict[str, str]]:
    """Named places of a file, as the fields of new sites.

    Parameters
    ----------
    content : bytes
        The file.
    name : str
        Its name, for messages.

    Raises
    ------
    BadInput
        When it holds no places, too many, or is of no known kind.
    """
    if len(content) > LARGEST:
        raise BadInput("the file is too large", file=name, found=f"{len(content)} bytes", allowed=ALLOWED)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadInput("the file is not UTF-8 text", file=name, allowed=ALLOWED) from None
    if "\x00" in text or DECLARED.search(text):
        raise BadInput("the file declares entities or holds zero bytes", file=name, allowed=ALLOWED)
    found = list(_points(text, name) if text.lstrip()[:1] in "{[" else _waypoints(text, name))
    if not found:
        raise BadInput("the file holds no named places", file=name, allowed="waypoints, or points with a name")
    if len(found) > MOST:
        raise BadInput("the file holds too many places", file=name, found=len(found), allowed=f"up to {MOST}")
    return found


def _place(latitude: float, longitude: float, words: object, note: object, number: int, name: str) -> dict[str, str]:
    if not (abs(latitude) <= 90.0 and abs(longitude) <= 180.0):  # also refuses what is no number
        raise BadInput("not a position", file=name, found=f"{latitude:g}, {longitude:g}")
    clean = CONTROL.sub(" ", str(words or "")).replace("\n", " ").strip()[:NAME_AT_MOST] or f"Place {number}"
    found = {"name": clean, "position": f"{latitude:.7f}, {longitude:.7f}"}
    told = CONTROL.sub(" ", str(note or "")).strip()[:1000]
    return {**found, "note": told} if told and told != clean else found


def _waypoints(text: str, name: str) -> Iterator[dict[str, str]]:
    import gpxpy
    from gpxpy.gpx import GPXException

    try:
        read = gpxpy.parse(text)
    except (GPXException, ValueError, TypeError, AttributeError, RecursionError):
        raise BadInput("the file cannot be read as GPX", file=name, allowed=ALLOWED) from None
    for number, point in enumerate(read.waypoints, start=1):
        yield _place(point.latitude, point.longitude, point.name, point.comment or point.description, number, name)


def _points(text: str, name: str) -> Iterator[dict[str, str]]:
    try:
        data = json.loads(text)
        features = data["features"] if data["type"] == "FeatureCollection" else [data]
        points = [one for one in features if (one.get("geometry") or {}).get("type") == "Point"]
        for number, one in enumerate(points, start=1):
            longitude, latitude = (float(value) for value in one["geometry"]["coordinates"][:2])
            told: Any = one.get("properties") or {}
            if math.isfinite(latitude) and math.isfinite(longitude) and told.get("kind") != "base":
                yield _place(latitude, longitude, told.get("name"), told.get("note"), number, name)
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        raise BadInput("the file cannot be read as GeoJSON", file=name, allowed=ALLOWED) from None
