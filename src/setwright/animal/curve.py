"""Chance to fire over many trip forces at once, with its band, and the closed form for want of a load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.animal.load import GRAVITY, Loads
from setwright.basis.errors import OutOfRange
from setwright.basis.spread import normal_cdf

Floats = NDArray[np.float64]

# Cells to one standard deviation of the trip force's scatter: the sum is then within 3e-4 of the exact one.
_CELLS = 5
_REACH = 4.8
_BLOCK = 12_000

AFLOAT = "it floats over the pan: only a kick fires it, and no force of a kick is published"
QUICK = "the share of its weight on one foot is unknown: closed form of the trials, a rough figure"
NO_SHARE = "the share of its weight on one foot is unknown, and the closed form holds for four feet on land only"
SHARE_OF_WEIGHT = 0.262
QUICK_SPREAD = 0.54


@dataclass(frozen=True, slots=True, eq=False)
class FireCurve:
    """Chance that a foot on the pan fires it, over trip forces.

    Parameters
    ----------
    trip_force : array (k,) [N]
        Trip forces.
    chance : array (n, k) [-]
        One row for every draw of what is uncertain for all animals; NaN where there is no figure.
    reason : str
        Why there is no figure, or a rough one only; empty otherwise.

    """

    trip_force: Floats
    chance: Floats
    reason: str = ""

    @property
    def median(self) -> Floats:
        """Median over the draws, shape (k,) [-]."""
        return np.asarray(np.median(self.chance, axis=0))

    @property
    def low(self) -> Floats:
        """5 % point over the draws, shape (k,) [-]."""
        return np.asarray(np.quantile(self.chance, 0.05, axis=0))

    @property
    def high(self) -> Floats:
        """95 % point over the draws, shape (k,) [-]."""
        return np.asarray(np.quantile(self.chance, 0.95, axis=0))


def fire_curve(
    loads: Loads, trip_force: ArrayLike, scatter: float = 0.12, crust: ArrayLike = 0.0, reason: str = ""
) -> FireCurve:
    """Chance to fire of each draw at each of many trip forces.

    Parameters
    ----------
    loads : Loads
        From `setwright.animal.load.foot_load` or `mixed_load`, n rows.
    trip_force : array (k,) [N]
        Force in the middle of the pan that fires it.
    scatter : float [-]
        Relative scatter of the trip force from shot to shot, one figure for all.
    crust : float or array (k,) [N]
        What frozen, crusted or packed cover adds to the trip force.
    reason : str
        Carried into the result.

    Returns
    -------
    FireCurve
        As `setwright.animal.load.fire_probability`, within 3e-4. NaN for a row of unknown loads (with the reason that
        the animal floats, unless another is given) and for a trip force below zero; 1 where nothing holds the pan.

    Raises
    ------
    OutOfRange
        When the scatter is below zero or not a number.

    Notes
    -----
    The logarithms of the loads are counted into even cells, shared between neighbours by distance, and the counts
    meet the normal law of the trip force in one matrix product. That is what makes a line of animals quick.

    References
    ----------
    As `setwright.animal.load.fire_probability`.

    """
    if not scatter >= 0:
        raise OutOfRange("the scatter is below zero", field="scatter", found=scatter, allowed="0 or more")
    force = np.atleast_1d(np.asarray(trip_force, dtype=float))
    hold, force = np.broadcast_arrays(force + np.asarray(crust, dtype=float), force)
    chance = np.full((loads.force.shape[0], hold.size), np.nan)
    unknown = np.isnan(loads.force).any(axis=1)
    chance[:, hold == 0] = 1.0
    usable = hold > 0
    if usable.any():
        part = _counted(loads.force, hold[usable]) if scatter == 0 else _smoothed(loads.force, hold[usable], scatter)
        chance[:, usable] = part
    chance[unknown] = np.nan
    return FireCurve(force, chance, reason or (AFLOAT if bool(unknown.any()) else ""))


def _counted(force: Floats, hold: Floats) -> Floats:
    return np.stack([(force >= one).mean(axis=1) for one in hold], axis=1)


def _smoothed(force: Floats, hold: Floats, scatter: float) -> Floats:
    wanted = np.log(hold) / scatter
    start = wanted.min() - _REACH
    cells = int(np.ceil((wanted.max() + _REACH - start) * _CELLS)) + 2
    kernel = normal_cdf(start + np.arange(cells)[:, None] / _CELLS - wanted)
    found = np.empty((force.shape[0], hold.size))
    # Blocks that stay in the cache: fresh memory for all rows at once costs more than the sums.
    block = max(_BLOCK // cells, 1)
    for first in range(0, force.shape[0], block):
        part = force[first : first + block]
        found[first : first + block] = _counts(part, scatter, start, cells) @ kernel
    return np.asarray(np.clip(found / force.shape[1], 0.0, 1.0))


def _counts(force: Floats, scatter: float, start: float, cells: int) -> Floats:
    """Loads of each row by cell of their logarithm, those beyond either end in the last cell, shape (rows, cells)."""
    with np.errstate(divide="ignore", invalid="ignore"):
        place = (np.log(force) / scatter - start) * _CELLS
    place = np.clip(np.where(place >= 0, place, 0.0), 0.0, cells - 1.001)
    low = place.astype(np.intp)
    part = (place - low).ravel()
    at = (low + cells * np.arange(force.shape[0])[:, None]).ravel()
    size = force.shape[0] * cells
    count = np.bincount(at, weights=1.0 - part, minlength=size)
    count[1:] += np.bincount(at, weights=part, minlength=size)[:-1]
    return np.asarray(count.reshape(-1, cells))


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
