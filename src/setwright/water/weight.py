"""A set without a slide cable: the trap lies at a deep place and its weight or a stake there keeps it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from setwright.water.anchor import lift, submerged_weight
from setwright.water.profile import Floats, Profile, bed
from setwright.water.submersion import MARGIN, BreathingGround, DepthSum, Slide, breathing_ground, depth_sum

STEEL = 7850.0


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
