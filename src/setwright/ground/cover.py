"""Covers to lay in for the winter: which one loses fewest hours, how much of it, how much solute goes with it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# Density of water [kg/m3].
WATER = 1000.0


def cover_volume(length: ArrayLike, width: ArrayLike, depth: ArrayLike, spare: ArrayLike = 0.25) -> Floats:
    """Loose cover that one bed takes.

    Parameters
    ----------
    length, width : float or array [m]
        Of the bed; 0.3 m square for a common foothold trap (common practice).
    depth : float or array [m]
        Of cover over and around the trap; the steel in it is not taken off.
    spare : float or array [-]
        Part more than that, for remakes and for what settles (assumed).

    Returns
    -------
    float or array [m3]
        NaN where a size is below zero.

    """
    sizes = [np.asarray(part, dtype=np.float64) for part in (length, width, depth, spare)]
    found = sizes[0] * sizes[1] * sizes[2] * (1.0 + sizes[3])
    sound = np.all(np.stack([part >= 0.0 for part in np.broadcast_arrays(*sizes)]), axis=0)
    return np.asarray(np.where(sound, found, np.nan))


def solute_mass(volume: ArrayLike, water_volume: ArrayLike, share: ArrayLike) -> Floats:
    """Salt or glycol that brings the water of a cover to a share of solute.

    Parameters
    ----------
    volume : float or array [m3]
        Of the cover.
    water_volume : float or array [-]
        Water by volume of it; count the rain to come, which thins the solute.
    share : float or array [-]
        Mass of solute over mass of solution, from a table of freezing points.

    Returns
    -------
    float or array [kg]
        NaN where the share is not from 0 to below 1.

    Notes
    -----
    Water x/(1 - x). Rusts springs, wets the pattern, draws salt-hungry animals; check local rules first.

    """
    part = np.asarray(share, dtype=np.float64)
    sound = (part >= 0.0) & (part < 1.0)
    ratio = np.where(sound, part / (1.0 - np.where(sound, part, 0.0)), np.nan)
    return np.asarray(WATER * np.asarray(volume, dtype=np.float64) * np.asarray(water_volume) * ratio)


def thinned_share(share: ArrayLike, laid: ArrayLike, wet: ArrayLike) -> Floats:
    """Share of solute that is left when a cover's water has grown.

    Parameters
    ----------
    share : float or array [-]
        Mass of solute over mass of solution in the cover as laid.
    laid, wet : float or array [-]
        Water by volume as laid, and now; what drained took its part of the solute along, so count it in.

    Returns
    -------
    float or array [-]
        NaN where the share is not from 0 to below 1 or a water content not above 0.

    """
    part, before, now = (np.asarray(value, dtype=np.float64) for value in (share, laid, wet))
    sound = (part >= 0.0) & (part < 1.0) & (before > 0.0) & (now > 0.0)
    held = before * part
    with np.errstate(divide="ignore", invalid="ignore"):
        found = held / (held + now * (1.0 - part))
    return np.asarray(np.where(sound, found, np.nan))


def fewest_lost(lost: ArrayLike, most: ArrayLike = 0.0) -> NDArray[np.int64]:
    """First cover in the order given that loses no more hours than allowed; else the one that loses fewest.

    Parameters
    ----------
    lost : array (c, m)
        Hours out of order by cover and set, or their share; NaN where it is not known. Put the cover that is least
        work first.
    most : float or array (m,)
        Hours, or share, that may be lost.

    Returns
    -------
    int array (m,)
        Index of the cover; -1 where no cover is known.

    """
    hours = np.asarray(lost, dtype=np.float64)
    known = np.where(np.isnan(hours), np.inf, hours)
    enough = known <= np.asarray(most, dtype=np.float64)
    best = np.where(enough.any(axis=0), np.argmax(enough, axis=0), np.argmin(known, axis=0))
    return np.asarray(np.where(np.isinf(known).all(axis=0), -1, best), dtype=np.int64)
