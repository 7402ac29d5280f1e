"""The pan beyond its trip force: travel, creep by angle, large pans, pans without tension."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.trap.model import Floats
from setwright.trap.trigger import Trip, trip_force

CANNOT_TELL, KEEPS, CREEPS, LETS_GO = range(4)
NOTCH_STATES = ("cannot tell", "keeps", "creeps", "lets go by itself")


@dataclass(frozen=True)
class PanFit:
    """Answer of `pan_fit`, each of the broadcast shape (n,).

    Parameters
    ----------
    share : [-]
        Area of the pan over the opening between the set jaws.
    force_ratio : [-]
        Trip force with this pan over that with the usual one, at the edge that the foot presses.
    within : bool
        True where the pan goes in between the jaws.

    """

    share: Floats
    force_ratio: Floats
    within: NDArray[np.bool_]


def notch_state(rake: ArrayLike, *, friction: ArrayLike) -> NDArray[np.int_]:
    """Whether the notch keeps the dog, by its rake against the angle of friction.

    Parameters
    ----------
    rake : float or array [rad]
        Of the notch; negative lets the dog slip out.
    friction : float or array [-]
        In the notch.

    Returns
    -------
    array of int
        `KEEPS` for a rake of zero or more; `CREEPS` between zero and −atan μ, where only friction holds; `LETS_GO`
        beyond, where even friction does not; `CANNOT_TELL` for what is not known. Only `KEEPS` is safe to set.

    """
    gamma, mu = np.broadcast_arrays(np.asarray(rake, dtype=float), np.asarray(friction, dtype=float))
    with np.errstate(invalid="ignore"):
        known = np.isfinite(gamma) & (mu >= 0.0)
        found = np.select([~known, gamma >= 0.0, -gamma <= np.arctan(mu)], [CANNOT_TELL, KEEPS, CREEPS], LETS_GO)
    return np.asarray(found, dtype=int)


def pan_travel(overlap: ArrayLike, *, notch_arm: ArrayLike, pan_radius: ArrayLike) -> Floats:
    """Way of the pan at the pan radius until the notch is clear of the dog and the trap fires [m].

    Parameters
    ----------
    overlap : float or array [m]
        By how much the dog reaches into the notch, measured along the way of the notch.
    notch_arm, pan_radius : float or array [m]
        Pivot of the pan to the notch, and to where the foot presses.

    Returns
    -------
    array [m]
        Overlap × r_p/e, along the arc; NaN where a length is not positive (an overlap of zero holds nothing).

    Notes
    -----
    A second notch filed nearer to the edge shortens the overlap, and with it the travel, at the same trip force.

    """
    over, arm, radius = np.broadcast_arrays(
        *(np.asarray(value, dtype=float) for value in (overlap, notch_arm, pan_radius))
    )
    with np.errstate(invalid="ignore", divide="ignore"):
        good = (over > 0.0) & (arm > 0.0) & (radius > 0.0) & (over < arm)
        return np.where(good, over * radius / arm, np.nan)


def pan_fit(
    pan_area: ArrayLike, pan_radius: ArrayLike, *, usual_radius: ArrayLike, opening: ArrayLike, bar_length: ArrayLike
) -> PanFit:
    """How much of the opening a pan fills, and what its radius does to the trip force.

    Parameters
    ----------
    pan_area : float or array [m²]
        Of the pan that is fitted.
    pan_radius, usual_radius : float or array [m]
        Pivot to where the foot presses, of this pan and of the usual one.
    opening, bar_length : float or array [m]
        Clear spread between the set jaws, and length of a bar.

    Notes
    -----
    Opening as spread × bar. The moment that fires the pan stays what it is, so the force goes with 1/r_p: the same
    bolt makes a large pan trip lighter at its edge, and as before where the old edge was.

    """
    area, radius, usual, wide, long = (
        np.asarray(value, dtype=float) for value in (pan_area, pan_radius, usual_radius, opening, bar_length)
    )
    with np.errstate(invalid="ignore", divide="ignore"):
        share = area / (wide * long)
        ratio = usual / radius
        within = np.asarray((share < 1.0) & (radius < np.minimum(wide, long)))
    shape = np.broadcast_shapes(share.shape, ratio.shape)
    return PanFit(*(np.broadcast_to(value, shape).copy() for value in (share, ratio, within)))


def without_tension(
    notch: ArrayLike,
    *,
    notch_arm: ArrayLike,
    notch_friction: ArrayLike,
    pan_radius: ArrayLike,
    rake: ArrayLike = 0.0,
    pan_mass: ArrayLike = 0.0,
    pan_centre: ArrayLike = 0.0,
) -> Trip:
    """Trip force of a pan whose bolt is slack: what notch and weight leave.

    Parameters
    ----------
    notch : float or array [N]
        Force on the notch.
    notch_arm, pan_radius : float or array [m]
        Pivot of the pan to the notch, and to where the foot presses.
    notch_friction : float or array [-]
        In the notch.
    rake : float or array [rad]
        Of the notch.
    pan_mass, pan_centre : float or array [kg], [m]
        Pan, and its centre of mass out from the pivot.

    Returns
    -------
    Trip
        `creeps` as well where the weight of the pan exceeds what the notch holds: unsafe to set.

    Notes
    -----
    The trip force with a bolt moment of zero. A free pan hangs down before the trap is set; that is what it is wanted
    for, not what it trips at.

    """
    found = trip_force(
        notch, notch_arm=notch_arm, notch_friction=notch_friction, pan_radius=pan_radius, rake=rake, bolt=0.0,
        pan_mass=pan_mass, pan_centre=pan_centre,
    )  # fmt: skip
    return Trip(force=found.force, creeps=found.creeps | (found.force <= 0.0), holds=found.holds)
