"""Places on the cable where the lock may stop before the stop, and what the water does for the animal there."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from setwright.water.cable import LEAST_SLOPE, Point, Slide, cable_path, lock_point
from setwright.water.profile import Profile, bed
from setwright.water.sums import MARGIN, BreathingGround, DepthSum, breathing_ground_at, depth_sum_at

LEAST_BEND = 0.05


class Hold(StrEnum):
    """Why a lock may stand at a place."""

    STOP = "stop"
    EDGE = "edge"
    FLAT = "flat"


@dataclass(frozen=True, slots=True)
class HangUp:
    """A place before the stop where the lock may stand.

    Parameters
    ----------
    place : Point
        Where on the cable [m].
    why : Hold
        An edge of the bed on which the tight cable bends, or a stretch too flat to run.
    bend : float
        Angle by which the cable bends over the edge [rad]; 0 on a straight stretch.
    slope : float
        Fall of the cable over its run after the place [-].

    """

    place: Point
    why: Hold
    bend: float
    slope: float


@dataclass(frozen=True, eq=False)
class LockStand:
    """Depth sum and breathing ground at one place where the lock may stand.

    Parameters
    ----------
    place : Point
        Where on the cable [m].
    why : Hold
        The stop, an edge, or a flat stretch.
    sum : DepthSum
        The sum there [m].
    ground : BreathingGround
        Ground within reach from there [m].

    """

    place: Point
    why: Hold
    sum: DepthSum
    ground: BreathingGround


def hang_ups(
    profile: Profile, slide: Slide, *, least_slope: float = LEAST_SLOPE, least_bend: float = LEAST_BEND
) -> tuple[HangUp, ...]:
    """Edges and flat stretches of the tight cable between the bank and the stop.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    slide : Slide
        The cable.
    least_slope : float
        Fall of the cable over its run that lets the lock slide [-].
    least_bend : float
        Bend at which an edge of the bed can catch the lock [rad].

    Returns
    -------
    tuple of HangUp
        From the bank outwards; empty when nothing is in the way, or when the lock cannot be placed.

    Notes
    -----
    At an edge the cable lies hard on the bed, and a lock that is pulled out and down meets ground there. Doubt: both
    limits are assumed; a smooth round edge may let the lock by, a root lower than the soundings tell may not.

    """
    lock = lock_point(profile, slide)
    if np.isnan(lock.x):
        return ()
    x, z = cable_path(profile, slide)
    slopes = -np.diff(z) / np.diff(x)
    found = []
    for i, slope in enumerate(slopes):
        if x[i] >= lock.x:
            break
        bend = float(np.arctan(slope) - np.arctan(slopes[i - 1])) if i else 0.0
        place = Point(float(x[i]), float(z[i]))
        if bend >= least_bend:
            found.append(HangUp(place, Hold.EDGE, bend, float(slope)))
        elif slope < least_slope:
            found.append(HangUp(place, Hold.FLAT, bend, float(slope)))
    return tuple(found)


def resting_length(profile: Profile, slide: Slide) -> float:
    """Length of cable between bank and stop that lies on the bed.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    slide : Slide
        The cable.

    Returns
    -------
    float
        Length [m]; NaN when the lock cannot be placed. A lock drags through mud and weed there.

    """
    lock = lock_point(profile, slide)
    if np.isnan(lock.x):
        return float("nan")
    x, z = cable_path(profile, slide)
    knots = np.unique(np.concatenate([x, profile.x[(profile.x > x[0]) & (profile.x < x[-1])], [lock.x]]))
    knots = knots[knots <= lock.x]
    heights = np.interp(knots, x, z)
    middles = 0.5 * (knots[1:] + knots[:-1])
    with np.errstate(invalid="ignore"):
        rests = np.interp(middles, x, z) - bed(profile, middles) <= 1e-9
    return float(np.sum(np.hypot(np.diff(knots), np.diff(heights))[rests]))


def lock_stands(
    profile: Profile,
    slide: Slide,
    *,
    reach: ArrayLike,
    nose_height: ArrayLike,
    margin: ArrayLike = MARGIN,
    fall: ArrayLike = 0.0,
    wave: float = 0.0,
    least_slope: float = LEAST_SLOPE,
    least_bend: float = LEAST_BEND,
) -> tuple[LockStand, ...]:
    """Sum and breathing ground at the stop and at every place before it where the lock may stand.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    slide : Slide
        The cable.
    reach : array_like
        Held foot to nostrils [m], shape (n,) or a number.
    nose_height : array_like
        Nostrils over the ground when standing [m].
    margin, fall, wave : array_like
        As for `depth_sum` [m].
    least_slope, least_bend : float
        As for `hang_ups`.

    Returns
    -------
    tuple of LockStand
        The stop last. An animal whose lock stands at an earlier place is held there: the set takes it under for
        certain only when every one of them does.

    """
    places = [(found.place, found.why) for found in hang_ups(
        profile, slide, least_slope=least_slope, least_bend=least_bend
    )]  # fmt: skip
    places.append((lock_point(profile, slide), Hold.STOP))
    low = -(np.asarray(fall, dtype=float) + 0.5 * wave)
    radius = np.asarray(reach, dtype=float) + slide.chain
    return tuple(
        LockStand(
            place,
            why,
            depth_sum_at(place, slide.chain, reach=reach, margin=margin, fall=fall, wave=wave),
            breathing_ground_at(profile, place, radius, nose_height, low),
        )
        for place, why in places
    )


def dry_ground(profile: Profile, level: float = 0.0) -> tuple[tuple[float, float], ...]:
    """Stretches in which the bed climbs out of the water beyond the first wet sounding: bars, logs, islands.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    level : float
        Level less the level when set [m].

    Returns
    -------
    tuple of (float, float)
        Where each stretch begins and ends [m] from the water's edge, from the bank outwards; touching the surface
        counts. The last one ends at the outermost sounding when the bed is dry there.

    """
    over = profile.z - level
    ends: list[float] = []
    dry = bool(over[0] >= 0)
    shore = dry
    for i in range(1, over.size):
        now = bool(over[i] >= 0)
        if now == dry:
            continue
        at = float(np.interp(0.0, *_rising(over[i - 1], over[i], profile.x[i - 1], profile.x[i])))
        if shore:
            shore = False
        else:
            ends.append(at)
        dry = now
    if dry and not shore:
        ends.append(profile.outermost)
    return tuple(zip(ends[0::2], ends[1::2], strict=True))


def _rising(first: float, second: float, left: float, right: float) -> tuple[list[float], list[float]]:
    return ([first, second], [left, right]) if first < second else ([second, first], [right, left])
