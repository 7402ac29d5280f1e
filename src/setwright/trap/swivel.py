"""How the place of the swivel lets a side pull turn the trap."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from setwright.basis.errors import OutOfRange
from setwright.trap.build import BAR_SHARE
from setwright.trap.model import LONG, Dimensions, Floats


def swivel_arm(dimensions: Dimensions, *, base_play: ArrayLike = 0.005, distance: ArrayLike | None = None) -> Floats:
    """Distance of the swivel from the line of the held limb [m]: the arm by which a side pull turns the trap.

    Parameters
    ----------
    dimensions : Dimensions
        Readings; `swivel_place` says where the chain is fixed.
    base_play : float or array [m]
        Play of a swivel under the middle of the base.
    distance : float or array [m], optional
        The arm itself, when it was measured; then the place does not matter.

    Returns
    -------
    array [m]
        NaN where the place is not known and nothing was measured.

    Raises
    ------
    OutOfRange
        When the place has no such name.

    Notes
    -----
    The limb is taken over the middle of the base. Under the base: the play alone. At the side: half the spread, the
    end of the cross. At the end: half the bar; for a long-spring its arm and bend as well, for its chain hangs behind
    the spring. Assumed where no drawing of the base is at hand: measure it.

    """
    if distance is not None:
        return np.asarray(distance, dtype=float)
    spread = np.asarray(dimensions.spread, dtype=float)
    place = dimensions.swivel_place
    if place is None:
        return np.full(spread.shape, np.nan)
    if place == "base":
        return np.asarray(np.asarray(base_play, dtype=float) + 0.0 * spread)
    if place == "side":
        return 0.5 * spread
    if place == "end":
        return np.asarray(0.5 * BAR_SHARE * spread + _behind(dimensions))
    raise OutOfRange("no such place of a swivel", field="swivel_place", found=place, allowed="base, side, end")


def _behind(dimensions: Dimensions) -> Floats:
    """Length of a long-spring behind the end of the base [m]; none for a coil-spring trap."""
    if dimensions.family != LONG:
        return np.asarray(0.0)
    arm, bend = (np.nan if part is None else part for part in (dimensions.leaf_arm, dimensions.leaf_bend))
    return np.asarray(np.add(arm, bend), dtype=float)


def turning_moment(pull: ArrayLike, arm: ArrayLike, direction: ArrayLike) -> Floats:
    """Moment [N m] with which a level pull of the chain turns the trap about the line of the limb.

    Parameters
    ----------
    pull : float or array [N]
        Along the chain.
    arm : float or array [m]
        `swivel_arm`.
    direction : float or array [rad]
        Between the chain and the line from the limb to the swivel; at zero the chain draws straight away.

    Notes
    -----
    F a sin δ. A trap that is free to turn comes to rest at zero; what stays is a moment on what holds it. It says how
    readily a trap follows a pull from the side, nothing of what that does to a limb.

    """
    force, length = np.asarray(pull, dtype=float), np.asarray(arm, dtype=float)
    return np.asarray(force * length * np.sin(np.asarray(direction, dtype=float)))
