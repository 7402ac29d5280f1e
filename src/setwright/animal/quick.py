"""The closed form of the pan trials: a check of the load model, and a rough figure where a share is unknown."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.animal.curve import FireCurve
from setwright.animal.load import GRAVITY
from setwright.basis.spread import normal_cdf

Floats = NDArray[np.float64]

QUICK = "the share of its weight on one foot is unknown: closed form of the trials, a rough figure"
NO_SHARE = "the share of its weight on one foot is unknown, and the closed form holds for four feet on land only"
SHARE_OF_WEIGHT = 0.262
QUICK_SPREAD = 0.54


def quick_probability(mass: ArrayLike, trip_force: ArrayLike) -> Floats:
    """Closed-form check of `fire_curve` for a four-footed animal at a walk.

    Parameters
    ----------
    mass : float or array [kg]
        Median body mass.
    trip_force : float or array [N]
        Trip force of the pan.

    Returns
    -------
    array [-]
        Φ(ln(0.262 m g / T) / 0.54).

    Notes
    -----
    Two numbers fitted to the same two targets as the coupling. No more than a cross-check, or a fallback where the
    share of a class is unknown; never for birds or for an animal in water.

    References
    ----------
    Fitted (derived) to Turkowski, Armistead & Linhart (1984), abstract seen.

    """
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = SHARE_OF_WEIGHT * GRAVITY * np.asarray(mass, dtype=float) / np.asarray(trip_force, dtype=float)
        return normal_cdf(np.log(ratio) / QUICK_SPREAD)


def quick_curve(mass: ArrayLike, trip_force: ArrayLike, *, four_footed: bool = True) -> FireCurve:
    """What can be said of an animal whose share of weight on a foot is unknown.

    Parameters
    ----------
    mass : float or array (n,) [kg]
        Median body mass, per draw.
    trip_force : array (k,) [N]
        Trip force of the pan.
    four_footed : bool
        False for a bird, and for any animal in water: no figure then.

    Returns
    -------
    FireCurve
        The closed form with the reason that it is rough, or NaN with the reason that there is none.

    References
    ----------
    As `quick_probability`.

    """
    force = np.atleast_1d(np.asarray(trip_force, dtype=float))
    median = np.atleast_1d(np.asarray(mass, dtype=float))[:, None]
    if not four_footed:
        return FireCurve(force, np.full((median.size, force.size), np.nan), NO_SHARE)
    return FireCurve(force, quick_probability(median, force), QUICK)
