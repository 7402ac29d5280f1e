"""A slide cable on the bed: its course, where the lock stops, whether the lock can run.

Distances run from the water's edge outwards, heights upwards from the water level when the set was made.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from setwright.basis.errors import OutOfRange
from setwright.water.profile import Floats, Profile, bed

LEAST_SLOPE = 0.15


@dataclass(frozen=True, slots=True)
class Slide:
    """A slide cable from a bank stake to a deep anchor, with a stop for the one-way lock.

    Parameters
    ----------
    stake_x, stake_z : float
        Bank end of the cable: distance from the water's edge, negative on land, and height over the level [m].
    anchor_x : float
        Distance of the deep anchor from the water's edge [m].
    stop_length : float
        Cable from the anchor back to the stop [m].
    chain : float
        Lock to jaw: chain, swivels and what of the trap adds to the length [m].
    anchor_up : float
        Height at which the cable leaves the anchor over the bed [m].

    """

    stake_x: float
    stake_z: float
    anchor_x: float
    stop_length: float
    chain: float
    anchor_up: float = 0.0

    def __post_init__(self) -> None:
        if self.stop_length < 0 or self.chain < 0 or self.anchor_up < 0:
            raise OutOfRange("stop length, chain and height at the anchor are not negative")
        if not self.anchor_x > self.stake_x:
            raise OutOfRange("the deep anchor lies farther out than the bank stake", found=self.anchor_x)


class Point(NamedTuple):
    """A place in the section: distance from the water's edge and height over the level when set [m]."""

    x: float
    z: float


class CableRun(NamedTuple):
    """State of the cable: least height over the bed [m], slope [-], bank end over the high level [m]."""

    clearance: float
    slope: float
    bank_spare: float


def cable_path(profile: Profile, slide: Slide) -> tuple[Floats, Floats]:
    """Course of the tight cable from the bank stake to the anchor.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    slide : Slide
        The cable.

    Returns
    -------
    x, z : ndarray
        Corners of the course [m], shape (c,): two where the cable is straight, more where the bed holds it up.
        Empty when the anchor lies outside the soundings.

    Notes
    -----
    The shortest line over the bed: the upper hull of stake, bed points between, and anchor. Doubt: a slack cable
    hangs lower, and soft mud lets it cut in.

    """
    deep = anchor_height(profile, slide)
    if np.isnan(deep):
        return np.empty(0), np.empty(0)
    between = (profile.x > slide.stake_x) & (profile.x < slide.anchor_x)
    points = [
        (slide.stake_x, slide.stake_z),
        *zip(profile.x[between].tolist(), profile.z[between].tolist(), strict=True),
        (slide.anchor_x, deep),
    ]
    hull: list[tuple[float, float]] = []
    for x, z in points:
        while len(hull) > 1 and (hull[-1][1] - hull[-2][1]) * (x - hull[-2][0]) <= (z - hull[-2][1]) * (
            hull[-1][0] - hull[-2][0]
        ):
            hull.pop()
        hull.append((x, z))
    corners = np.array(hull)
    return corners[:, 0], corners[:, 1]


def lock_point(profile: Profile, slide: Slide) -> Point:
    """Place of the lock when it has run to the stop, on the tight cable.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    slide : Slide
        The cable.

    Returns
    -------
    Point
        NaN when the anchor lies outside the soundings or the stop length is the whole cable or more.

    Notes
    -----
    The stop length, measured back from the anchor along `cable_path`: on a cable that clears the bed,
    L = A + d (S − A)/|S − A| with anchor A, stake S and stop length d.

    """
    x, z = cable_path(profile, slide)
    if x.size == 0:
        return Point(float("nan"), float("nan"))
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x[::-1]), np.diff(z[::-1])))])
    if not slide.stop_length < along[-1]:
        return Point(float("nan"), float("nan"))
    return Point(
        float(np.interp(slide.stop_length, along, x[::-1])), float(np.interp(slide.stop_length, along, z[::-1]))
    )


def cable_run(profile: Profile, slide: Slide, high_level: float = 0.0) -> CableRun:
    """How the cable lies from the bank to the stop.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    slide : Slide
        The cable.
    high_level : float
        Highest level of the interval less the level when set [m].

    Returns
    -------
    CableRun
        NaN when the lock cannot be placed.

    Notes
    -----
    The clearance is that of a straight cable: below zero the bed holds the cable up by so much. The slope is the
    least along the course that the cable then takes, from the bank to the stop.

    """
    lock = lock_point(profile, slide)
    bank_spare = float(slide.stake_z - high_level)
    if np.isnan(lock.x):
        return CableRun(float("nan"), float("nan"), bank_spare)
    x, z = cable_path(profile, slide)
    kept = x < lock.x
    x, z = np.append(x[kept], lock.x), np.append(z[kept], lock.z)
    straight = (slide.stake_z - anchor_height(profile, slide)) / (slide.anchor_x - slide.stake_x)
    places = np.append(profile.x[(profile.x >= slide.stake_x) & (profile.x <= lock.x)], lock.x)
    clearance = slide.stake_z - straight * (places - slide.stake_x) - bed(profile, places)
    return CableRun(float(np.min(clearance)), float(np.min(-np.diff(z) / np.diff(x))), bank_spare)


def anchor_height(profile: Profile, slide: Slide) -> float:
    """Height of the cable's deep end over the level when set [m]; NaN outside the soundings."""
    return float(bed(profile, slide.anchor_x)) + slide.anchor_up


def bank_end_needed(profile: Profile, slide: Slide, clearance: float = 0.0) -> float:
    """Height of the bank end at which a straight cable clears the bed.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    slide : Slide
        The cable.
    clearance : float
        Least height of the cable over the bed between bank and stop [m].

    Returns
    -------
    float
        Height over the level when set [m]; NaN when the lock cannot be placed. May be below the present one.

    """
    lock = lock_point(profile, slide)
    if np.isnan(lock.x):
        return float("nan")
    foot = anchor_height(profile, slide)
    places = profile.x[(profile.x >= slide.stake_x) & (profile.x <= lock.x)]
    if places.size == 0:
        return foot
    steepest = np.max((bed(profile, places) + clearance - foot) / (slide.anchor_x - places))
    return float(foot + steepest * (slide.anchor_x - slide.stake_x))


def slope_ok(
    profile: Profile, slide: Slide, high_level: float = 0.0, least_slope: float = LEAST_SLOPE, clearance: float = 0.0
) -> bool:
    """Third condition: the cable clears the bed, slopes enough, and its bank end stays above the water.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    slide : Slide
        The cable.
    high_level : float
        Highest level of the interval less the level when set [m].
    least_slope : float
        Fall of the cable over its run that lets the lock slide [-].
    clearance : float
        Least height of the cable over the bed between bank and stop [m].

    Returns
    -------
    bool
        False also when it cannot be told.

    Notes
    -----
    Doubt: the least slope of one in seven is assumed; the dive of the animal does the sliding, and a lock that is
    free on a clean wire runs on less.

    """
    run = cable_run(profile, slide, high_level)
    return bool(run.clearance >= clearance - 1e-9 and run.slope >= least_slope and run.bank_spare > 0)


def dragged(slide: Slide, distance: float = 0.5) -> Slide:
    """The same cable after the anchor was dragged towards the shore.

    Parameters
    ----------
    slide : Slide
        The cable.
    distance : float
        How far the anchor moves in [m]; half a metre is assumed for a weight that does not hold sideways.

    Returns
    -------
    Slide
        To be put through the three conditions again.

    """
    return replace(slide, anchor_x=slide.anchor_x - distance)
