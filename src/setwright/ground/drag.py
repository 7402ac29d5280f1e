"""Drags, grapples and roots: what lets an animal travel, and what it ends at."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

GRAVITY = 9.80665
# Tensile strength of live root wood and bark [Pa], 10 to 30 MPa, from memory; a dead root has none to count on.
LIVE_ROOT = 15e6


def tow_force(mass: ArrayLike, rubs: ArrayLike = 0.6, prong: ArrayLike = 0.0) -> Floats:
    """Force that moves a drag over open ground [N], any shape: μ m g, and what a prong ploughs.

    Parameters
    ----------
    mass : array_like
        Of the drag [kg].
    rubs : array_like
        Friction μ on the ground, 0.4 to 0.8 (assumed) [-].
    prong : array_like
        Side pull of the prongs in the soil [N], from the length that they dig in; 0 on hard ground.

    """
    return np.asarray(
        np.asarray(rubs, dtype=float) * np.asarray(mass, dtype=float) * GRAVITY + np.asarray(prong, dtype=float)
    )


def travel(share: ArrayLike, spacing: ArrayLike) -> Floats:
    """Distance that a share of animals has not gone beyond with a drag [m], any shape; never a strength.

    Parameters
    ----------
    share : array_like
        Share of animals that have snagged by then [-]: 0.5 for the median, 0.95 for how far to look.
    spacing : array_like
        Mean way between two things that catch the drag, across the country as it lies [m].

    Notes
    -----
    −d ln(1 − share): what catches stands at random and each catches for good, which is a doubt; a drag that comes
    free goes on. Doubles with the spacing: no brush, no drag.

    """
    part = np.asarray(share, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        gone = -np.asarray(spacing, dtype=float) * np.log1p(-part)
    return np.asarray(np.where((part >= 0.0) & (part <= 1.0), gone, np.nan))


def root(diameter: ArrayLike, strength: ArrayLike = LIVE_ROOT) -> Floats:
    """Pull that parts a live root [N], any shape: σ π d² / 4; for a dead or rotten one hand in a strength of zero.

    Parameters
    ----------
    diameter : array_like
        Of the root where it is tied, without bark [m].
    strength : array_like
        Tensile strength [Pa], 10 to 30 MPa (from memory).

    """
    return np.asarray(np.asarray(strength, dtype=float) * np.pi * np.asarray(diameter, dtype=float) ** 2 / 4.0)
