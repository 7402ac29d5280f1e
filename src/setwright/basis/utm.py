"""Universal Transverse Mercator: positions in metres within zones six degrees wide, on WGS 84."""

from __future__ import annotations

import math
from dataclasses import dataclass

# WGS 84, and the scale and false origins of the grid (NGA.SIG.0012).
RADIUS, FLATTENING = 6_378_137.0, 1.0 / 298.257223563
SCALE, EAST, SOUTH = 0.9996, 500_000.0, 10_000_000.0
LOWEST, HIGHEST = -80.0, 84.0
BANDS = "CDEFGHJKLMNPQRSTUVWX"

_E = math.sqrt(FLATTENING * (2.0 - FLATTENING))
_N = FLATTENING / (2.0 - FLATTENING)
_RECTIFYING = RADIUS / (1.0 + _N) * (1.0 + _N**2 / 4.0 + _N**4 / 64.0)
_THERE = (
    _N / 2 - 2 * _N**2 / 3 + 5 * _N**3 / 16 + 41 * _N**4 / 180,
    13 * _N**2 / 48 - 3 * _N**3 / 5 + 557 * _N**4 / 1440,
    61 * _N**3 / 240 - 103 * _N**4 / 140,
    49561 * _N**4 / 161280,
)
_BACK = (
    _N / 2 - 2 * _N**2 / 3 + 37 * _N**3 / 96 - _N**4 / 360,
    _N**2 / 48 + _N**3 / 15 - 437 * _N**4 / 1440,
    17 * _N**3 / 480 - 37 * _N**4 / 840,
    4397 * _N**4 / 161280,
)


@dataclass(frozen=True, slots=True)
class GridPosition:
    """A position on the grid.

    Parameters
    ----------
    zone : int
        1 to 60, counted eastwards from 180° W.
    north : bool
        Whether it lies north of the equator.
    easting, northing : float
        [m]
    """

    zone: int
    north: bool
    easting: float
    northing: float


def zone_of(latitude: float, longitude: float) -> int:
    """The zone of a place [degrees], with the wider zones of the coast of Norway and of Svalbard."""
    east = (longitude + 180.0) % 360.0 - 180.0
    if 56.0 <= latitude < 64.0 and 3.0 <= east < 12.0:
        return 32
    if 72.0 <= latitude <= HIGHEST and 0.0 <= east < 42.0:
        return 31 + 2 * int((east + 3.0) // 12.0)
    return int((east + 180.0) // 6.0) + 1


def band_of(latitude: float) -> str:
    """The letter of the band of eight degrees that a latitude [degrees] lies in; the last one is of twelve."""
    return BANDS[min(max(int((latitude - LOWEST) // 8.0), 0), len(BANDS) - 1)]


def to_grid(latitude: float, longitude: float) -> GridPosition | None:
    """A place [degrees] on the grid, in the zone that is its own; None beyond 80° S and 84° N, where the grid ends.

    Series of Krüger to the fourth order of the third flattening, as given by Karney (2011), J. Geodesy 85, 475-485,
    equations 7 to 12 and 35: within a zone right to less than a thousandth of a millimetre.
    """
    if not LOWEST <= latitude <= HIGHEST:
        return None
    zone = zone_of(latitude, longitude)
    away = math.radians((longitude - _middle(zone) + 180.0) % 360.0 - 180.0)
    tangent = math.tan(math.radians(latitude))
    conformal = _conformal(tangent)
    xi = math.atan2(conformal, math.cos(away))
    eta = math.asinh(math.sin(away) / math.hypot(conformal, math.cos(away)))
    x, y = eta, xi
    for order, part in enumerate(_THERE, start=1):
        y += part * math.sin(2 * order * xi) * math.cosh(2 * order * eta)
        x += part * math.cos(2 * order * xi) * math.sinh(2 * order * eta)
    north = latitude >= 0.0
    northing = SCALE * _RECTIFYING * y + (0.0 if north else SOUTH)
    return GridPosition(zone, north, EAST + SCALE * _RECTIFYING * x, northing)


def from_grid(found: GridPosition) -> tuple[float, float]:
    """Latitude and longitude [degrees] of a position on the grid (Karney 2011, equations 15 to 21 and 36)."""
    xi = (found.northing - (0.0 if found.north else SOUTH)) / (SCALE * _RECTIFYING)
    eta = (found.easting - EAST) / (SCALE * _RECTIFYING)
    x, y = eta, xi
    for order, part in enumerate(_BACK, start=1):
        y -= part * math.sin(2 * order * xi) * math.cosh(2 * order * eta)
        x -= part * math.cos(2 * order * xi) * math.sinh(2 * order * eta)
    wanted = math.sin(y) / math.hypot(math.sinh(x), math.cos(y))
    tangent = wanted
    for _ in range(5):  # by Newton's way; the third step is already within the last figure
        now = _conformal(tangent)
        slope = (1.0 + (1.0 - _E**2) * tangent**2) / ((1.0 - _E**2) * math.hypot(1.0, tangent))
        tangent += (wanted - now) / math.hypot(1.0, now) * slope
    longitude = _middle(found.zone) + math.degrees(math.atan2(math.sinh(x), math.cos(y)))
    return math.degrees(math.atan(tangent)), (longitude + 180.0) % 360.0 - 180.0


def _middle(zone: int) -> float:
    return 6.0 * zone - 183.0


def _conformal(tangent: float) -> float:
    """Tangent of the conformal latitude from that of the latitude."""
    sigma = math.sinh(_E * math.atanh(_E * tangent / math.hypot(1.0, tangent)))
    return tangent * math.hypot(1.0, sigma) - sigma * math.hypot(1.0, tangent)
