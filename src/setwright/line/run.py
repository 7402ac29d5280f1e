"""The check run: a sensible first order, and the hours left at every stop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

EARTH = 6_371_008.8
# Roads, banks and fences: ground covered over straight distance (modelling choice).
WINDING = 1.3
SPEEDS = {"truck": 11.2, "boat": 2.2, "foot": 1.1}


@dataclass(frozen=True)
class Place:
    """A stop: where it is, how one gets there, minutes there, and the last lawful moment of its visit."""

    key: str
    latitude: float
    longitude: float
    access: str
    service: float
    limit: datetime | None
    restraining: bool


@dataclass(frozen=True)
class Leg:
    """One stop of the run with its times."""

    place: Place
    arrive: datetime
    leave: datetime
    distance: float
    bearing: float
    left: float | None

    @property
    def late(self) -> bool:
        """True when the stop is reached after its last lawful moment."""
        return self.left is not None and self.left < 0


def distance(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Great-circle distance [m] between two WGS 84 points (latitude, longitude in degrees).

    References
    ----------
    Haversine formula (Sinnott 1984, from memory); sphere of mean radius 6371.0088 km (IUGG).
    """
    lat1, lon1, lat2, lon2 = np.radians([a[0], a[1], b[0], b[1]])
    h = np.sin((lat2 - lat1) / 2) ** 2 + np.cos(lat1) * np.cos(lat2) * np.sin((lon2 - lon1) / 2) ** 2
    return float(2 * EARTH * np.arcsin(np.sqrt(h)))


def bearing(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Initial bearing [degrees from north, clockwise] from a to b."""
    lat1, lon1, lat2, lon2 = np.radians([a[0], a[1], b[0], b[1]])
    east = np.sin(lon2 - lon1) * np.cos(lat2)
    north = np.cos(lat1) * np.sin(lat2) - np.sin(lat1) * np.cos(lat2) * np.cos(lon2 - lon1)
    return float(np.degrees(np.arctan2(east, north)) % 360.0)


def travel_times(base: tuple[float, float], places: Sequence[Place], speeds: dict[str, float]) -> NDArray[np.float64]:
    """Seconds from every point to every point, base first; the slower way in of the two ends counts."""
    points = [base, *((place.latitude, place.longitude) for place in places)]
    ways = ["truck", *(place.access for place in places)]
    size = len(points)
    found = np.zeros((size, size))
    for i in range(size):
        for j in range(size):
            if i != j:
                speed = min(speeds[ways[i]], speeds[ways[j]])
                found[i, j] = distance(points[i], points[j]) * WINDING / speed
    return found


def order(times: NDArray[np.float64], service: NDArray[np.float64], due: NDArray[np.float64]) -> list[int]:
    """Order of the stops 1…n: least lateness first, then least time; insertion, then 2-opt and or-opt.

    Parameters
    ----------
    times : (n+1, n+1) array
        Travel [s], base at 0.
    service : (n,) array
        Seconds at each stop.
    due : (n,) array
        Seconds after the start by which each stop must be reached; inf where nothing binds.
    """
    count = service.size

    def cost(route: list[int]) -> tuple[float, float]:
        clock, late, here = 0.0, 0.0, 0
        for stop in route:
            clock += times[here, stop]
            late += max(0.0, clock - due[stop - 1])
            clock += service[stop - 1]
            here = stop
        return late, clock + times[here, 0]

    route: list[int] = []
    for stop in sorted(range(1, count + 1), key=lambda s: (due[s - 1], times[0, s])):
        route = min(([*route[:k], stop, *route[k:]] for k in range(len(route) + 1)), key=cost)
    best = cost(route)
    improved = True
    while improved:
        improved = False
        for i in range(count - 1):
            for j in range(i + 1, count):
                turned = route[:i] + route[i : j + 1][::-1] + route[j + 1 :]
                moved = route[:i] + route[i + 1 : j + 1] + [route[i]] + route[j + 1 :]
                back = [*route[:i], route[j], *route[i:j], *route[j + 1 :]]
                for trial in (turned, moved, back):
                    found = cost(trial)
                    if found < (best[0] - 1e-9, best[1]) or (
                        found[0] <= best[0] + 1e-9 and found[1] < best[1] - 1e-6
                    ):
                        route, best, improved = trial, found, True
    return route


def check_run(
    base: tuple[float, float],
    places: Sequence[Place],
    start: datetime,
    speeds: dict[str, float],
    times: NDArray[np.float64] | None = None,
) -> tuple[list[Leg], datetime, float]:
    """Legs of the run in order, when he is back, and the distance covered [m].

    Sets that hold alive and the nearest limits come first where the order costs lateness otherwise. `times` are those
    of the network of ways [s]; straight lines stand in for them.
    """
    times = travel_times(base, places, speeds) if times is None else times
    service = np.array([place.service for place in places])
    due = np.array([np.inf if place.limit is None else (place.limit - start).total_seconds() for place in places])
    legs: list[Leg] = []
    here, clock, total, at = base, start, 0.0, 0
    for stop in order(times, service, due):
        place = places[stop - 1]
        there = (place.latitude, place.longitude)
        clock = clock + timedelta(seconds=float(times[at, stop]))
        step = distance(here, there) * WINDING
        left = None if place.limit is None else (place.limit - clock).total_seconds() / 3600.0
        leave = clock + timedelta(seconds=place.service)
        legs.append(Leg(place, clock, leave, step, bearing(here, there), left))
        here, clock, total, at = there, leave, total + step, stop
    back = clock + timedelta(seconds=float(times[at, 0]))
    return legs, back, total + distance(here, base) * WINDING
