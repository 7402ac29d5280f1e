"""Chance to fire over many trip forces at once, with its band."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.animal.ages import MassMix
from setwright.animal.load import Loads, foot_load
from setwright.basis.errors import OutOfRange
from setwright.basis.spread import normal_cdf

Floats = NDArray[np.float64]

# Cells to one standard deviation of the trip force's scatter: the sum is then within 5e-4 of the exact one.
_CELLS = 8
_REACH = 4.8
_BLOCK = 12_000

AFLOAT = "it floats over the pan: only a kick fires it, and no force of a kick is published"


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
        As `setwright.animal.load.fire_probability`, within 5e-4. NaN for a row of unknown loads (with the reason that
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


def animal_curve(
    mass_median: ArrayLike,
    mass_cv: float,
    share: ArrayLike,
    share_sd: ArrayLike,
    coupling: ArrayLike,
    trip_force: ArrayLike,
    *,
    gait: ArrayLike = 1.0,
    carried: ArrayLike = 1.0,
    scatter: float = 0.12,
    crust: ArrayLike = 0.0,
) -> FireCurve:
    """Chance to fire of one animal, individuals summed exactly; the quick way for the chain.

    Parameters
    ----------
    mass_median : float or array (n,) [kg]
        Median body mass, per draw.
    mass_cv : float [-]
        Relative spread of individuals, one figure.
    share, share_sd, coupling, gait, carried
        As in `setwright.animal.load.foot_load`.
    trip_force, scatter, crust
        As in `fire_curve`.

    Returns
    -------
    FireCurve
        Shape (n, k).

    Notes
    -----
    Mass and trip force are both lognormal and independent, so the mass needs no sampling: its spread is added to the
    scatter of the trip force. What is left to sample is share and coupling. With 64 steps the result is within
    0.008 of a sample of a million, where sampled masses with 48 steps are off by up to 0.04.

    References
    ----------
    As `setwright.animal.load.foot_load`; sum of lognormal spreads (derived).

    """
    loads = foot_load(mass_median, 0.0, share, share_sd, coupling, gait=gait, carried=carried)
    return fire_curve(loads, trip_force, float(np.sqrt(np.log1p(mass_cv**2) + scatter**2)), crust)


def mixed_curve(
    mix: MassMix,
    share: ArrayLike,
    share_sd: ArrayLike,
    coupling: ArrayLike,
    trip_force: ArrayLike,
    *,
    scale: ArrayLike = 1.0,
    gait: ArrayLike = 1.0,
    carried: ArrayLike = 1.0,
    scatter: float = 0.12,
    crust: ArrayLike = 0.0,
) -> FireCurve:
    """Chance to fire where old and young come by in known shares: the mean of their curves.

    Parameters
    ----------
    mix : MassMix
        From `setwright.animal.ages.mix_classes`.
    scale : float or array (n,) [-]
        Factor on all masses, per draw.
    share, share_sd, coupling, trip_force, gait, carried, scatter, crust
        As in `animal_curve`.

    Returns
    -------
    FireCurve
        Shape (n, k); the reason is the mix's question where its shares are unknown.

    References
    ----------
    As `animal_curve`.

    """
    curves = [
        animal_curve(
            mass * np.asarray(scale, dtype=float), cv, share, share_sd, coupling, trip_force,
            gait=gait, carried=carried, scatter=scatter, crust=crust,
        )
        for mass, cv in zip(mix.mass.tolist(), mix.mass_cv.tolist(), strict=True)
    ]  # fmt: skip
    chance = np.tensordot(mix.weight, np.stack([curve.chance for curve in curves]), axes=1)
    return FireCurve(curves[0].trip_force, np.asarray(chance), curves[0].reason or mix.question)


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
