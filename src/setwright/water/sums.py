"""The two depth conditions of a submersion set: the sum at the stop, and ground on which the nose stands out.

Distances run from the water's edge outwards, heights upwards from the water level when the set was made.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.water.cable import Point, Slide, lock_point
from setwright.water.profile import Floats, Profile, bed

MARGIN = 0.10


@dataclass(frozen=True, eq=False)
class DepthSum:
    """The sum at the stop, each part [m].

    Parameters
    ----------
    depth_at_stop : ndarray
        Water over the lock when the set is made [m].
    fall : ndarray
        What the level loses until the check, trough of the waves included [m].
    chain : float
        Lock to jaw [m].
    limb : ndarray
        Held foot to nostrils [m].
    required_clear : ndarray
        Water required over the nose at full reach [m].
    spare : ndarray
        depth_at_stop − fall − chain − limb − required_clear [m]; negative: too shallow, NaN: cannot tell.

    """

    depth_at_stop: Floats
    fall: Floats
    chain: float
    limb: Floats
    required_clear: Floats
    spare: Floats


class BreathingGround(NamedTuple):
    """Nearest thing to ground on which the nose stands out.

    `shortfall` [m], shape (n,): nose height less the water there; above zero the animal can breathe, NaN cannot
    tell. `where` [m], shape (n,): distance of that place from the water's edge. `sounded`, shape (n,): False when
    the reach goes on past the outermost sounding, so that the bed there is not known.
    """

    shortfall: Floats
    where: Floats
    sounded: NDArray[np.bool_]


def depth_sum(
    profile: Profile,
    slide: Slide,
    *,
    reach: ArrayLike,
    margin: ArrayLike = MARGIN,
    fall: ArrayLike = 0.0,
    wave: ArrayLike = 0.0,
) -> DepthSum:
    """First condition: at the lowest level of the interval the nose cannot come up at the stop.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    slide : Slide
        The cable.
    reach : array_like
        Held foot to nostrils [m], shape (n,) or a number.
    margin : array_like
        Water required over the nose at full reach [m].
    fall : array_like
        Greatest fall of the level until the check [m].
    wave : array_like
        Height of waves or boat wash, crest to trough [m].

    Returns
    -------
    DepthSum
        `spare` NaN when the bed at the anchor is not known.

    Notes
    -----
    spare = −z_L − (fall + wave/2) − chain − reach − margin. Doubt: the reach of a held foot to the nose was never
    measured; the margin is a modelling choice.

    References
    ----------
    Own geometry (derived). Practitioner pages ask for 3 ft of water for a front foot and 4 ft for a hind foot
    (seen): the sum comes near to both.

    """
    return depth_sum_at(lock_point(profile, slide), slide.chain, reach=reach, margin=margin, fall=fall, wave=wave)


def depth_sum_at(
    place: Point,
    chain: float,
    *,
    reach: ArrayLike,
    margin: ArrayLike = MARGIN,
    fall: ArrayLike = 0.0,
    wave: ArrayLike = 0.0,
) -> DepthSum:
    """The same sum with the lock at any place, as where a ledge holds it up.

    Parameters
    ----------
    place : Point
        Where the lock is.
    chain : float
        Lock to jaw [m].
    reach, margin, fall, wave : array_like
        As for `depth_sum` [m].

    Returns
    -------
    DepthSum
        `spare` NaN when the place is not known.

    """
    limb = np.asarray(reach, dtype=float)
    clear = np.asarray(margin, dtype=float)
    down = np.asarray(fall, dtype=float) + 0.5 * np.asarray(wave, dtype=float)
    depth = np.asarray(0.0 - place.z)
    return DepthSum(depth, down, chain, limb, clear, np.asarray(depth - down - chain - limb - clear))


def _highest_within(profile: Profile, centre: float, radius: Floats) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Greatest bed height within a horizontal radius, its place, and whether all of it is sounded."""
    left, right = centre - radius, centre + radius
    inside = (profile.x >= left[..., None]) & (profile.x <= right[..., None])
    knots = np.where(inside, profile.z, -np.inf)
    first, last = float(profile.x[0]), float(profile.x[-1])
    ends = [np.clip(left, first, last), np.clip(right, first, last)]
    heights = np.concatenate([knots, *(bed(profile, end)[..., None] for end in ends)], axis=-1)
    places = np.concatenate([np.broadcast_to(profile.x, knots.shape), *(end[..., None] for end in ends)], axis=-1)
    best = np.argmax(heights, axis=-1)[..., None]
    height = np.take_along_axis(heights, best, axis=-1)[..., 0]
    where = np.take_along_axis(places, best, axis=-1)[..., 0]
    return height, where, np.asarray(right <= last)


def breathing_ground(
    profile: Profile, slide: Slide, reach: ArrayLike, nose_height: ArrayLike, level: ArrayLike
) -> BreathingGround:
    """Second condition: within reach of the stop no ground lets the nose stand out.

    Parameters
    ----------
    profile : Profile
        Bed along the cable, with logs, roots and ledges as points of it.
    slide : Slide
        The cable.
    reach : array_like
        Stop to nostrils: chain and limb together [m], shape (n,) or a number.
    nose_height : array_like
        Nostrils over the ground on which the animal stands [m].
    level : array_like
        Level less the level when set, at its lowest [m]: a fall is negative.

    Returns
    -------
    BreathingGround
        All NaN when the lock cannot be placed. Where the reach goes past the shore end of the bed, the bank there
        counts as ground at the height of the bed's first point, at the water's edge or higher.

    Notes
    -----
    shortfall = max over |x − x_L| ≤ reach of (nose_height − (level − z_b(x))).
    Doubt: the section is one line; ground to either side, ice shelves, undercuts and air under ice are seen only
    when they are points of the bed. Past the outermost sounding nothing is looked at: see `sounded`.

    References
    ----------
    Own geometry (derived).

    """
    return breathing_ground_at(profile, lock_point(profile, slide), reach, nose_height, level)


def breathing_ground_at(
    profile: Profile, place: Point, reach: ArrayLike, nose_height: ArrayLike, level: ArrayLike
) -> BreathingGround:
    """The same search with the lock at any place, as where a ledge holds it up.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    place : Point
        Where the lock is.
    reach, nose_height, level : array_like
        As for `breathing_ground` [m].

    Returns
    -------
    BreathingGround
        All NaN when the place is not known.

    """
    radius, nose, water = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(part, dtype=float)) for part in (reach, nose_height, level))
    )
    lock = place
    unknown = np.isnan(radius) | np.isnan(nose) | np.isnan(water) | np.isnan(lock.x)
    if bool(unknown.all()):
        nothing = np.full(radius.shape, np.nan)
        return BreathingGround(nothing, nothing.copy(), np.zeros(radius.shape, dtype=bool))
    height, where, sounded = _highest_within(profile, lock.x, np.where(unknown, 0.0, radius))
    first = float(profile.x[0])
    # Land begins where the soundings do: it is at least as high as the water's edge.
    ashore = lock.x - radius < first
    land = max(float(profile.z[0]), 0.0)
    where = np.where(ashore & (land >= height), first, where)
    height = np.where(ashore, np.maximum(height, land), height)
    shortfall = nose - (water - height)
    return BreathingGround(
        np.asarray(np.where(unknown, np.nan, shortfall)),
        np.asarray(np.where(unknown, np.nan, where)),
        np.asarray(sounded & ~unknown),
    )
