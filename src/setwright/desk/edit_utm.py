"""Positions typed and shown on the UTM grid."""

from __future__ import annotations

import re

from setwright.basis.errors import BadInput
from setwright.basis.utm import BANDS, GridPosition, band_of, from_grid, to_grid

GRID = re.compile(
    r"(?:UTM\s*:?\s*)?(?:zone\s*)?(?P<zone>\d{1,2})\s*(?P<half>north|south|[A-Z])\s*[,;]?\s*"
    r"(?P<east>\d{5,8}(?:\.\d+)?)(?:\s*m?\s*E\s*[,;]?\s*|\s*[,;]\s*|\s+)(?P<north>\d{1,8}(?:\.\d+)?)\s*(?:m?\s*N)?",
    re.IGNORECASE,
)
BEGUN = re.compile(r"\s*(?:UTM\b|zone\b|\d{1,2}\s*(?:north|south)\b|\d{1,2}\s*[A-Z]\s+\d{5})", re.IGNORECASE)
EXAMPLE = "17 north 595220 3996246"
ALLOWED = f"zone, north or south (or the letter of the band), easting, northing: {EXAMPLE}"
WIDEST = (100_000.0, 1_000_000.0)
FARTHEST = 10_000_000.0


def grid_value(text: str, field: str = "position") -> dict[str, float] | None:
    """A place on the UTM grid of WGS 84, such as `17 north 595220 3996246`; None when it is written otherwise.

    Raises
    ------
    BadInput
        When zone, letter or metres cannot be, or the letter S stands alone: it is a band of the north and is also
        written for the southern half.
    """
    match = GRID.fullmatch(text.strip())
    if match is None:
        if BEGUN.match(text):
            raise BadInput("this is no position on the UTM grid", field=field, found=text, allowed=ALLOWED)
        return None
    zone, half = int(match["zone"]), match["half"].upper()
    easting, northing = float(match["east"]), float(match["north"])
    _within("the UTM zone", zone, 1, 60, field)
    _within("the easting", easting, *WIDEST, field)
    _within("the northing", northing, 0.0, FARTHEST, field)
    if half == "S":
        raise BadInput(
            "S may be the band from 32° to 40° N or the southern half: write which", field=field, found=text,
            allowed=f"{zone} north {match['east']} {match['north']}, or {zone} south",
        )  # fmt: skip
    if len(half) == 1 and half not in BANDS:
        raise BadInput("there is no such band of the UTM grid", field=field, found=half, allowed=", ".join(BANDS))
    latitude, longitude = from_grid(GridPosition(zone, half in ("NORTH", "N") or (len(half) == 1 and half > "M"),
                                                 easting, northing))  # fmt: skip
    # N alone is written for the northern half as often as for its band.
    if len(half) == 1 and half != "N" and band_of(latitude) != half:
        raise BadInput(
            f"the metres lie in band {band_of(latitude)}, not in {half}", field=field, found=text, allowed=ALLOWED
        )
    if not -80.0 <= latitude <= 84.0:
        raise BadInput("the UTM grid ends at 80° S and 84° N", field=field, found=text, allowed=ALLOWED)
    return {"latitude": round(latitude, 7), "longitude": round(longitude, 7)}


def grid_words(latitude: float, longitude: float) -> str:
    """A place on the UTM grid to the metre, as `grid_value` reads it; in degrees where the grid has ended."""
    found = to_grid(latitude, longitude)
    if found is None:
        return f"{latitude}, {longitude}"
    half = "north" if found.north else "south"
    return f"{found.zone} {half} {found.easting:.0f} {found.northing:.0f}"


def _within(what: str, found: float, low: float, high: float, field: str) -> None:
    if not low <= found <= high:
        allowed = f"{low:.0f} to {high:.0f}"
        raise BadInput(f"{what} is out of its range", field=field, found=f"{found:.0f}", allowed=allowed)
