"""All conditions of a slide cable together, at the values that must be met."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from setwright.water.cable import LEAST_SLOPE, Slide, dragged, slope_ok
from setwright.water.profile import Profile
from setwright.water.sums import MARGIN, breathing_ground, depth_sum


@dataclass(frozen=True, eq=False)
class Demand:
    """What must hold, draw by draw.

    Parameters
    ----------
    reach : array_like
        Held foot to nostrils [m], shape (n,) or a number.
    nose_height : array_like
        Nostrils over the ground when standing [m].
    fall : array_like
        Greatest fall of the level until the check [m].
    wave : float
        Height of waves, crest to trough [m].
    margin : array_like
        Water required over the nose [m].
    drawn : float
        How far the deep end is drawn in by the animal, as from `drawn_in` [m]; infinite for one that is lifted.
    share : float
        Share of the draws in which it must hold [-].
    high_level : float
        Highest level of the interval less the level when set [m].
    least_slope, clearance : float
        As for `slope_ok`.

    """

    reach: ArrayLike
    nose_height: ArrayLike
    fall: ArrayLike = 0.0
    wave: float = 0.0
    margin: ArrayLike = MARGIN
    drawn: float = 0.0
    share: float = 1.0
    high_level: float = 0.0
    least_slope: float = LEAST_SLOPE
    clearance: float = 0.0


@dataclass(frozen=True, slots=True)
class Under:
    """Does it take the animal under?

    Parameters
    ----------
    share : float
        Share of the draws in which sum and breathing ground both hold, with the deep end where it lies and where it
        is drawn to [-]; NaN when it cannot be told.
    spare : float
        Least spare of the sum over those draws, at the quantile that the demand asks for [m].
    shortfall : float
        Greatest nose over water there, at the same quantile [m].
    runs : bool
        True when the cable clears the bed and slopes enough.
    holds : bool
        All of it together; False also when it cannot be told.

    """

    share: float
    spare: float
    shortfall: float
    runs: bool
    holds: bool


def goes_under(profile: Profile, slide: Slide, demand: Demand) -> Under:
    """Put a slide cable through all three conditions, the drawn-in deep end included.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    slide : Slide
        The cable.
    demand : Demand
        What must hold.

    Returns
    -------
    Under
        `share` NaN when the bed at the deep end or within reach, or the drawing of it, is not known.

    """
    places = [slide]
    lost = bool(np.isinf(demand.drawn))
    if demand.drawn > 0 and not lost:
        if slide.anchor_x - demand.drawn <= slide.stake_x:
            lost = True
        else:
            places.append(dragged(slide, demand.drawn))
    low = -(np.asarray(demand.fall, dtype=float) + 0.5 * demand.wave)
    sums, grounds, known = [], [], not np.isnan(demand.drawn)
    for place in places:
        total = depth_sum(
            profile, place, reach=demand.reach, margin=demand.margin, fall=demand.fall, wave=demand.wave
        )
        ground = breathing_ground(
            profile, place, np.asarray(demand.reach, dtype=float) + place.chain, demand.nose_height, low
        )
        sums.append(np.atleast_1d(total.spare))
        grounds.append(ground.shortfall)
        known = known and bool(ground.sounded.all())
    spare = np.min(np.broadcast_arrays(*sums), axis=0)
    shortfall = np.max(np.broadcast_arrays(*grounds), axis=0)
    runs = slope_ok(profile, slide, demand.high_level, demand.least_slope, demand.clearance)
    if not known or bool(np.isnan(spare).any() or np.isnan(shortfall).any()):
        return Under(float("nan"), float("nan"), float("nan"), runs, False)
    share = 0.0 if lost else float(np.mean((spare >= -1e-9) & (shortfall <= 1e-9)))
    holds = runs and share >= demand.share - 1e-12
    low_end = float(np.quantile(spare, 1.0 - demand.share, method="lower"))
    return Under(share, low_end, float(np.quantile(shortfall, demand.share, method="higher")), runs, holds)
