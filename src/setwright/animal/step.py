"""Does a foot land on the pan? Footfalls scattered over a lane or over a working patch."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def foot_radius(width: ArrayLike, length: ArrayLike) -> Floats:
    """Radius of the disc with the area of the foot's ellipse.

    Parameters
    ----------
    width, length : float or array [m]
        Foot across and along.

    Returns
    -------
    array [m]
        r_f = √(w l) / 2.

    """
    return np.asarray(0.5 * np.sqrt(np.asarray(width, dtype=float) * np.asarray(length, dtype=float)))


def contact_area(pan_radius: ArrayLike, foot_radius: ArrayLike) -> Floats:
    """Area in which the centre of a foot must land so that the foot touches the pan.

    Parameters
    ----------
    pan_radius, foot_radius : float or array [m]
        Pan and foot as discs.

    Returns
    -------
    array [m²]
        π (R + r_f)², the sum of both discs.

    """
    reach = np.asarray(pan_radius, dtype=float) + np.asarray(foot_radius, dtype=float)
    return np.asarray(np.pi * reach**2)


def lane_probability(contact_area: ArrayLike, lane_width: ArrayLike, stride: ArrayLike, places: ArrayLike) -> Floats:
    """Chance that an animal which walks through a lane once puts a foot on the pan.

    Answers for a blind set in a trail. Does not know an animal that sees or smells the trap, nor a step
    drawn by a guide stick other than by a narrower lane.

    Parameters
    ----------
    contact_area : float or array [m²]
        From `contact_area`.
    lane_width : float or array [m]
        Width over which the footfalls scatter evenly.
    stride : float or array [m]
        Length of a whole stride, that is two steps of a walk.
    places : float or array [-]
        Separate foot places in a stride: 2 at a walk in which the hind foot takes the place of the fore
        foot, 4 when the hind foot oversteps, 2 at a bound.

    Returns
    -------
    array [-]
        P = 1 − exp(−ν) with ν = places · A / (stride · width); NaN where width or stride is not above zero.

    Notes
    -----
    Range: a lane wider than the foot and pan together. In a narrower lane all feet touch the pan's row and the
    even scatter across is the weakest assumption. Doubt: the scatter is a modelling choice; the log decides.

    References
    ----------
    Own derivation (derived): Poisson count of discs that meet a disc.

    """
    width, length = np.asarray(lane_width, dtype=float), np.asarray(stride, dtype=float)
    ground = np.where((width > 0) & (length > 0), width * length, np.nan)
    return np.asarray(-np.expm1(-np.asarray(places, dtype=float) * np.asarray(contact_area, dtype=float) / ground))


def patch_probability(contact_area: ArrayLike, placements: ArrayLike, patch_area: ArrayLike) -> Floats:
    """Chance that an animal which works a set puts a foot on the pan.

    Answers for a baited set, where the animal shifts its feet in front of the hole.

    Parameters
    ----------
    contact_area : float or array [m²]
        From `contact_area`.
    placements : float or array [-]
        Foot placements in the working patch during one visit (assumed 6 to 12).
    patch_area : float or array [m²]
        Area over which they scatter evenly.

    Returns
    -------
    array [-]
        P = 1 − exp(−placements · A / patch); NaN where the patch has no area.

    Notes
    -----
    Doubt: the number of placements and the patch are modelling choices; the set type changes P far more than
    the size of the pan does, so the log decides.

    References
    ----------
    Own derivation (derived).

    """
    patch = np.asarray(patch_area, dtype=float)
    patch = np.where(patch > 0, patch, np.nan)
    return np.asarray(-np.expm1(-np.asarray(placements, dtype=float) * np.asarray(contact_area, dtype=float) / patch))
