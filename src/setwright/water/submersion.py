"""Does a submersion set take the animal under, and is there no ground on which its nose stands out?

Distances run from the water's edge outwards, heights upwards from the water level when the set was made.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.water.profile import Floats, Profile, bed

MARGIN = 0.10
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


class CableRun(NamedTuple):
    """State of the cable: least height over the bed [m], slope [-], bank end over the high level [m]."""

    clearance: float
    slope: float
    bank_spare: float


@dataclass(frozen=True, slots=True)
class Fix:
    """The smallest change that brings the sum at the stop to zero spare.

    Parameters
    ----------
    farther_out : float
        How much farther out the anchor, and with it the stop, must lie [m]; 0 when nothing is missing, NaN when
        no place within the soundings is deep enough.
    shorter_chain : float
        How much shorter the chain must be [m]; 0 when nothing is missing, NaN when no chain is short enough.

    """

    farther_out: float
    shorter_chain: float


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
    L = A + d (S − A)/|S − A| with anchor A, stake S and stop length d. Doubt: a slack cable hangs lower in the
    middle, so the lock then lies a little deeper and a little nearer to the bank.

    """
    anchor_z = float(bed(profile, slide.anchor_x)) + slide.anchor_up
    run = np.hypot(slide.anchor_x - slide.stake_x, anchor_z - slide.stake_z)
    if not slide.stop_length < run:
        return Point(float("nan"), float("nan"))
    share = slide.stop_length / float(run)
    return Point(
        slide.anchor_x + share * (slide.stake_x - slide.anchor_x), anchor_z + share * (slide.stake_z - anchor_z)
    )


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
    return _sum(lock_point(profile, slide).z, slide.chain, reach, margin, fall, wave)


def _sum(z: float, chain: float, reach: ArrayLike, margin: ArrayLike, fall: ArrayLike, wave: ArrayLike) -> DepthSum:
    limb = np.asarray(reach, dtype=float)
    clear = np.asarray(margin, dtype=float)
    down = np.asarray(fall, dtype=float) + 0.5 * np.asarray(wave, dtype=float)
    depth = np.asarray(0.0 - z)
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
    radius, nose, water = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(part, dtype=float)) for part in (reach, nose_height, level))
    )
    lock = lock_point(profile, slide)
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
    Straight cable, straight bed between soundings: the least clearance is at a point of the bed or at the stop.

    """
    lock = lock_point(profile, slide)
    if np.isnan(lock.x):
        return CableRun(lock.x, lock.x, float(slide.stake_z - high_level))
    slope = (slide.stake_z - lock.z) / (lock.x - slide.stake_x)
    between = profile.x[(profile.x >= slide.stake_x) & (profile.x <= lock.x)]
    places = np.append(between, lock.x)
    cable = slide.stake_z - slope * (places - slide.stake_x)
    return CableRun(float(np.min(cable - bed(profile, places))), float(slope), float(slide.stake_z - high_level))


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


def shortest_fix(
    profile: Profile,
    slide: Slide,
    *,
    reach: float,
    margin: float = MARGIN,
    fall: float = 0.0,
    wave: float = 0.0,
    nose_height: float | None = None,
    step: float = 0.05,
) -> Fix:
    """How much farther out, or how much shorter the chain, for a sum of zero spare.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    slide : Slide
        The cable as it lies.
    reach, margin, fall, wave : float
        As for `depth_sum`, at the values to be met [m].
    nose_height : float, optional
        Nostrils over the ground when standing [m]; with it the new place must also be free of breathing ground.
    step : float
        Step of the search outwards [m]; the answer is then refined to a hundredth of it.

    Returns
    -------
    Fix
        Each of the two changes alone.

    """

    def meets(moved: Slide) -> bool:
        spare = float(depth_sum(profile, moved, reach=reach, margin=margin, fall=fall, wave=wave).spare)
        if not spare >= -1e-12:
            return False
        if nose_height is None:
            return True
        ground = breathing_ground(profile, moved, reach + moved.chain, nose_height, -fall - 0.5 * wave)
        return bool(ground.shortfall[0] <= 0)

    if meets(slide):
        return Fix(0.0, 0.0)
    return Fix(_farther(profile, slide, meets, step), _shorter(slide, meets, step))


def _farther(profile: Profile, slide: Slide, meets: Callable[[Slide], bool], step: float) -> float:
    room = profile.outermost - slide.anchor_x
    if not room > 0:
        return float("nan")
    tries = np.append(np.arange(step, room, step), room)
    before = 0.0
    for distance in tries:
        if meets(replace(slide, anchor_x=slide.anchor_x + float(distance))):
            return _refine(
                before, float(distance), lambda out: meets(replace(slide, anchor_x=slide.anchor_x + out)), step
            )
        before = float(distance)
    return float("nan")


def _shorter(slide: Slide, meets: Callable[[Slide], bool], step: float) -> float:
    if slide.chain <= 0 or not meets(replace(slide, chain=0.0)):
        return float("nan")
    return _refine(0.0, slide.chain, lambda cut: meets(replace(slide, chain=max(slide.chain - cut, 0.0))), step)


def _refine(fails: float, works: float, test: Callable[[float], bool], step: float) -> float:
    """Halve the span between a change that fails and one that works; the answer always works."""
    while works - fails > 0.01 * step:
        middle = 0.5 * (fails + works)
        if test(middle):
            works = middle
        else:
            fails = middle
    return works
