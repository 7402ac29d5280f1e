"""Does a submersion set take the animal under, and what is the smallest change that makes it do so?

Distances run from the water's edge outwards, heights upwards from the water level when the set was made.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from setwright.water.anchor import lift, submerged_weight
from setwright.water.cable import (
    CableRun,
    Point,
    Slide,
    bank_end_needed,
    cable_path,
    cable_run,
    dragged,
    lock_point,
    slope_ok,
)
from setwright.water.profile import Floats, Profile, bed
from setwright.water.sums import MARGIN, BreathingGround, DepthSum, breathing_ground, depth_sum

__all__ = [
    "BreathingGround",
    "CableRun",
    "DepthSum",
    "Fix",
    "Point",
    "Slide",
    "WeightAlone",
    "bank_end_needed",
    "breathing_ground",
    "cable_path",
    "cable_run",
    "depth_sum",
    "dragged",
    "lock_point",
    "shortest_fix",
    "slope_ok",
    "weight_alone",
]

STEEL = 7850.0


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


@dataclass(frozen=True, eq=False)
class WeightAlone:
    """What holds an animal under when only the trap's weight does.

    Parameters
    ----------
    sum : DepthSum
        The depth sum at the place where the trap lies [m].
    ground : BreathingGround
        Ground within reach on which the nose stands out [m].
    weight_spare : ndarray
        Trap weight in water less the lift of the animal [N]; negative: the animal floats the trap.

    """

    sum: DepthSum
    ground: BreathingGround
    weight_spare: Floats


def weight_alone(
    profile: Profile,
    place: float,
    *,
    chain: float,
    reach: ArrayLike,
    nose_height: ArrayLike,
    trap_mass: ArrayLike,
    animal_mass: ArrayLike,
    fall: ArrayLike = 0.0,
    wave: float = 0.0,
    margin: ArrayLike = MARGIN,
    trap_density: float = STEEL,
    animal_density: float = 950.0,
    swim: ArrayLike = 0.0,
) -> WeightAlone:
    """Three conditions of a set without a slide cable, as it is made for muskrat and mink.

    Parameters
    ----------
    profile : Profile
        Bed.
    place : float
        Distance from the water's edge of the stake or the place in which the trap comes to rest [m].
    chain : float
        Stake to jaw [m]; 0 when the trap lies loose.
    reach : array_like
        Held foot to nostrils [m], shape (n,) or a number.
    nose_height : array_like
        Nostrils over the ground when standing [m].
    trap_mass : array_like
        Trap and chain in air [kg].
    animal_mass : array_like
        Body mass [kg].
    fall, wave, margin : array_like
        As for `depth_sum` [m].
    trap_density : float
        Density of the trap [kg/m³].
    animal_density : float
        Density of the animal with the air in fur and lungs [kg/m³].
    swim : array_like
        Upward pull of swimming, as a share of the body weight [-]; 0 for an animal that does not swim up.

    Returns
    -------
    WeightAlone
        NaN where the bed is not known.

    Notes
    -----
    Doubt: common practice keeps to muskrat and mink, a short chain and a deep ledge. A swimming animal of these
    can lift most traps for a while: a negative `weight_spare` says so.

    References
    ----------
    Common practice; own statics (derived); animal density assumed.

    """
    height = float(bed(profile, place))
    # A cable of no slope whose stop is its anchor: the lock lies where the trap does.
    still = Slide(
        stake_x=place - 1.0,
        stake_z=0.0 if np.isnan(height) else height,
        anchor_x=place,
        stop_length=0.0,
        chain=chain,
    )
    water = -(np.asarray(fall, dtype=float) + 0.5 * wave)
    up = lift(animal_mass, animal_density, swim)
    return WeightAlone(
        depth_sum(profile, still, reach=reach, margin=margin, fall=fall, wave=wave),
        breathing_ground(profile, still, np.asarray(reach, dtype=float) + chain, nose_height, water),
        np.asarray(submerged_weight(trap_mass, trap_density) - up),
    )
