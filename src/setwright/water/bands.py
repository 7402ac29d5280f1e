"""Bands of the water level in which a set works and in which it takes the animal under."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.water.cable import Slide, lock_point
from setwright.water.profile import Floats, Profile
from setwright.water.sums import MARGIN, breathing_ground, depth_sum


class Band(NamedTuple):
    """Lowest and highest level, each less the level when set [m]; low over high: no level will do."""

    low: Floats
    high: Floats


class PanState(StrEnum):
    """What the water over the pan makes of a set."""

    WORKS = "works"
    DEEP = "too deep"
    SHALLOW = "too shallow"
    DRY = "dry"
    UNKNOWN = "cannot tell"


@dataclass(frozen=True, eq=False)
class LevelShares:
    """Share of the hours of the interval in each state of the level [-], shape (...); NaN where an hour is unknown.

    Parameters
    ----------
    works, too_deep, too_shallow, dry : ndarray
        Pan inside the window, over it, under it but wet, bare.
    submerges : ndarray
        Level inside the band in which the set takes the animal under.
    both : ndarray
        Works and takes under.
    held_alive : ndarray
        Works, or is dry and open to whatever walks there, and does not take under: what it takes it holds alive.

    """

    works: Floats
    too_deep: Floats
    too_shallow: Floats
    dry: Floats
    submerges: Floats
    both: Floats
    held_alive: Floats


def working_band(pan_depth: ArrayLike, low: ArrayLike, high: ArrayLike) -> Band:
    """Levels at which the pan lies inside the window of a foot.

    Parameters
    ----------
    pan_depth : array_like
        Water over the pan when set [m], any shape.
    low, high : array_like
        Window of that foot, front or hind [m].

    Returns
    -------
    Band
        low − d and high − d [m].

    """
    depth = np.asarray(pan_depth, dtype=float)
    return Band(np.asarray(np.asarray(low, dtype=float) - depth), np.asarray(np.asarray(high, dtype=float) - depth))


def submerging_band(
    profile: Profile,
    slide: Slide,
    *,
    reach: ArrayLike,
    nose_height: ArrayLike,
    margin: ArrayLike = MARGIN,
    wave: float = 0.0,
) -> Band:
    """Levels at which a slide cable takes the animal under.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    slide : Slide
        The cable.
    reach, nose_height, margin : array_like
        As for `depth_sum` and `breathing_ground` [m], shape (n,) or numbers.
    wave : float
        Height of waves, crest to trough [m].

    Returns
    -------
    Band
        Low end: where the sum has nothing to spare or ground within reach just stands too high, whichever comes
        first as the water falls. High end: the bank end of the cable. Infinite low end where the bank itself lies
        within reach, NaN where the bed within reach is not sounded to its end.

    Notes
    -----
    Sum and shortfall change by one metre for a metre of level, so both ends are exact. Whether the lock runs does not
    depend on the level: `hang_ups` and `slope_ok` tell that. Doubt: as for the sum and the breathing ground.

    """
    limb = np.atleast_1d(np.asarray(reach, dtype=float))
    spare = np.atleast_1d(depth_sum(profile, slide, reach=limb, margin=margin, wave=wave).spare)
    ground = breathing_ground(profile, slide, limb + slide.chain, nose_height, -0.5 * wave)
    spare, shortfall, sounded = np.broadcast_arrays(spare, ground.shortfall, ground.sounded)
    low = np.maximum(-spare, shortfall)
    ashore = lock_point(profile, slide).x - limb - slide.chain < float(profile.x[0])
    low = np.where(sounded, low, np.nan)
    low = np.where(np.broadcast_to(ashore, low.shape), np.inf, low)
    return Band(np.asarray(low), np.full(low.shape, slide.stake_z))


def pan_state(pan_depth: ArrayLike, change: ArrayLike, low: float, high: float) -> NDArray[np.str_]:
    """State of the pan hour by hour.

    Parameters
    ----------
    pan_depth : array_like
        Water over the pan when set [m], shape (...).
    change : array_like
        Level less the level when set, hour by hour [m], shape (..., h).
    low, high : float
        Window of the foot [m].

    Returns
    -------
    ndarray of str
        Words of `PanState`, shape (..., h).

    """
    water = np.asarray(pan_depth, dtype=float)[..., None] + np.asarray(change, dtype=float)
    with np.errstate(invalid="ignore"):
        cases = [np.isnan(water), water < 0, water < low, water > high]
    words = [PanState.UNKNOWN.value, PanState.DRY.value, PanState.SHALLOW.value, PanState.DEEP.value]
    return np.asarray(np.select(cases, words, PanState.WORKS.value))


def level_shares(
    pan_depth: ArrayLike, change: ArrayLike, low: float, high: float, submerging: Band | None = None
) -> LevelShares:
    """Share of the hours that a set spends in each state while the level moves.

    Parameters
    ----------
    pan_depth : array_like
        Water over the pan when set [m], shape (...), a draw each.
    change : array_like
        Level less the level when set, hour by hour [m], shape (..., h), as from `change_draws`.
    low, high : float
        Window of the foot, front or hind [m].
    submerging : Band, optional
        Levels at which it takes the animal under, shape (...); without one it never does.

    Returns
    -------
    LevelShares
        Shape (...): one share a draw.

    """
    moved = np.asarray(change, dtype=float)
    water = np.asarray(pan_depth, dtype=float)[..., None] + moved
    with np.errstate(invalid="ignore"):
        works = (water >= low) & (water <= high)
        dry = water < 0
        if submerging is None:
            under, unsure = np.zeros(water.shape, dtype=bool), np.zeros(water.shape, dtype=bool)
        else:
            floor, roof = (np.asarray(end, dtype=float)[..., None] for end in submerging)
            under = (moved >= floor) & (moved < roof)
            unsure = np.broadcast_to(np.isnan(floor) | np.isnan(roof), np.broadcast_shapes(moved.shape, floor.shape))
    shape = np.broadcast_shapes(water.shape, under.shape)
    works, dry, under, unsure = (
        np.asarray(np.broadcast_to(part, shape), dtype=bool) for part in (works, dry, under, unsure)
    )
    lost = np.asarray(np.broadcast_to(np.isnan(water), shape).any(axis=-1), dtype=bool)

    def share(mask: NDArray[np.bool_], unknown: NDArray[np.bool_]) -> Floats:
        return np.asarray(np.where(unknown, np.nan, np.mean(mask, axis=-1)))

    puzzled = np.asarray(lost | unsure.any(axis=-1), dtype=bool)
    depth = np.broadcast_to(water, shape)
    with np.errstate(invalid="ignore"):
        deep = np.asarray(depth > high, dtype=bool)
        shallow = np.asarray((depth >= 0) & (depth < low), dtype=bool)
    return LevelShares(
        share(works, lost),
        share(deep, lost),
        share(shallow, lost),
        share(dry, lost),
        share(under, puzzled),
        share(works & under, puzzled),
        share((works | dry) & ~under, puzzled),
    )
