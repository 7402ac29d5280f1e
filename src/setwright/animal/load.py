"""The force of one foot on the pan, over individuals and steps, and whether it fires the pan."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.animal.ages import MassMix, mass_at
from setwright.animal.lattice import normal_score, strata
from setwright.basis.spread import normal_cdf

Floats = NDArray[np.float64]

GRAVITY = 9.80665
# Cells over which a beta law is summed before it is inverted.
_CELLS = 512


@dataclass(frozen=True, slots=True, eq=False)
class Loads:
    """Force of one foot on the pan.

    Parameters
    ----------
    force : array (n, inner) [N]
        Each row holds the individuals and steps of one draw of what is uncertain for all, sorted upwards.

    """

    force: Floats

    @property
    def median(self) -> Floats:
        """Median over individuals and steps, shape (n,) [N]."""
        return np.asarray(np.median(self.force, axis=1))


def coupling(draws_mean: ArrayLike, draws_sd: ArrayLike, inner: int = 192, seed: int = 7) -> Floats:
    """Share of a foot's force that reaches the pan, over steps; one matrix for all animals.

    A foot stands partly off the pan, the cover bridges, the animal places it with care: c is between 0 and 1. The
    mean and spread of c over steps are themselves uncertain, and that error is the same for every animal. So draw
    them once, make this matrix once and hand it to `foot_load` of each animal.

    Parameters
    ----------
    draws_mean, draws_sd : float or array (n,) [-]
        Mean and standard deviation of c over steps, one per outer draw.
    inner : int
        Steps per outer draw.
    seed : int
        Turns the order of the steps; the same seed gives the same order.

    Returns
    -------
    array (n, inner) [-]
        Quantiles of the beta law at the middles of `inner` equal strata, in an order shared by all rows. A row
        is NaN when no beta law has that mean and sd; with sd 0 it holds the mean.

    Notes
    -----
    a = m k, b = (1 − m) k with k = m (1 − m) / sd² − 1. The law is summed in t, x = sin²(π t / 2), in which its
    ends stay finite, and inverted by interpolation; quantiles within 0.001 while a and b are at least one half.

    Calibrated values: mean 0.55 (0.45 to 0.65), sd 0.20 (0.15 to 0.25); see `setwright.animal.calibrate`.

    References
    ----------
    Turkowski, Armistead & Linhart (1984), J. Wildl. Manage. 48:700-708 (abstract seen): the trials behind the
    calibrated values.

    """
    mean, sd = np.broadcast_arrays(*np.atleast_1d(np.asarray(draws_mean, float), np.asarray(draws_sd, float)))
    rank = strata(inner, seed, 0)
    middle = (np.arange(_CELLS) + 0.5) / _CELLS
    edge = np.sin(0.5 * np.pi * np.arange(_CELLS + 1) / _CELLS) ** 2
    log_x, log_y = 2 * np.log(np.sin(0.5 * np.pi * middle)), 2 * np.log(np.cos(0.5 * np.pi * middle))
    found = np.full((mean.size, inner), np.nan)
    with np.errstate(divide="ignore", invalid="ignore"):
        total = mean * (1 - mean) / sd**2 - 1
    made: dict[tuple[float, float], Floats] = {}
    for row, (m, s, k) in enumerate(zip(mean.tolist(), sd.tolist(), total.tolist(), strict=True)):
        if not 0 < m < 1 or not s >= 0:
            continue
        if s == 0:
            found[row] = m
            continue
        if not k > 0:
            continue
        if (m, s) not in made:
            log_density = (m * k - 0.5) * log_x + ((1 - m) * k - 0.5) * log_y
            density = np.exp(log_density - log_density.max())
            below = np.concatenate(([0.0], np.cumsum(density)))
            made[m, s] = np.interp(rank, below / below[-1], edge)
        found[row] = made[m, s]
    return found


def foot_load(
    mass_median: ArrayLike,
    mass_cv: ArrayLike,
    share: ArrayLike,
    share_sd: ArrayLike,
    coupling: ArrayLike,
    *,
    gait: ArrayLike = 1.0,
    carried: ArrayLike = 1.0,
    seed: int = 11,
) -> Loads:
    """Force with which one foot of an animal presses on the pan.

    Parameters
    ----------
    mass_median : float or array (n,) [kg]
        Median body mass of the individuals that come by.
    mass_cv : float or array (n,) [-]
        Their relative spread (lognormal).
    share, share_sd : float or array (n,) [-]
        Peak vertical force of one foot over body weight at a walk, mean and standard deviation (normal, cut off
        at zero).
    coupling : array (n, inner) [-]
        From `coupling`.
    gait : float or array (n,) [-]
        Factor on the share: 1 walk, about 2 trot or hop.
    carried : float or array (n,) [-]
        Share of the body weight that is on the feet at all (`setwright.animal.wade.carried_share`); NaN for an
        animal afloat makes the loads NaN.
    seed : int
        Turns the order of individuals and steps, the same for all animals.

    Returns
    -------
    Loads
        F = m g s c · gait · carried, shape (n, inner), sorted along the second axis.

    Notes
    -----
    Mass, share and coupling are taken as independent of one another; together they run through a lattice that
    fills the three of them evenly, so that 192 steps come within about 0.01 of a large random sample.
    `mass_median` carries what is not known of the local median; `mass_cv` spreads the individuals; give each
    only once.

    Range: an animal that stands or walks on firm ground. Doubt: a jump on the pan presses harder, the coupling is a
    calibration on one study, birds, hoofed animals and water are extrapolation.

    References
    ----------
    Share of weight on a foot: Kano et al. (2016), Hall et al. (2022), abstracts seen; a congress abstract of 2025 on
    14 house cats, seen; dog gait laboratories, memory.

    """
    spread = np.sqrt(np.log1p(_column(mass_cv) ** 2))
    score = normal_score(strata(np.shape(coupling)[-1], seed, 1))
    mass = _column(mass_median) * np.exp(spread * score)
    return _loads(mass, share, share_sd, coupling, gait, carried, seed)


def mixed_load(
    mix: MassMix,
    share: ArrayLike,
    share_sd: ArrayLike,
    coupling: ArrayLike,
    *,
    scale: ArrayLike = 1.0,
    gait: ArrayLike = 1.0,
    carried: ArrayLike = 1.0,
    seed: int = 11,
) -> Loads:
    """Force with which one foot presses on the pan where old and young come by in known shares.

    Parameters
    ----------
    mix : MassMix
        From `setwright.animal.ages.mix_classes`.
    share, share_sd, coupling, gait, carried, seed
        As in `foot_load`.
    scale : float or array (n,) [-]
        Factor on all masses, per draw: what is not known of the local animals.

    Returns
    -------
    Loads
        As `foot_load`, with the individuals at the quantiles of the mixture.

    References
    ----------
    As `foot_load`; a mixture of lognormal masses (derived).

    """
    mass = _column(scale) * mass_at(mix, strata(np.shape(coupling)[-1], seed, 1))
    return _loads(mass, share, share_sd, coupling, gait, carried, seed)


def _column(part: ArrayLike) -> Floats:
    return np.atleast_1d(np.asarray(part, dtype=float))[:, None]


def _loads(
    mass: Floats,
    share: ArrayLike,
    share_sd: ArrayLike,
    coupling: ArrayLike,
    gait: ArrayLike,
    carried: ArrayLike,
    seed: int,
) -> Loads:
    steps = np.asarray(coupling, dtype=float)
    weight = _share_over_steps(_column(share), _column(share_sd), strata(steps.shape[-1], seed, 2))
    return Loads(np.sort(GRAVITY * mass * weight * steps * _column(gait) * _column(carried), axis=1))


def _share_over_steps(mean: Floats, sd: Floats, rank: Floats) -> Floats:
    """Quantiles of a normal law cut off at zero, shape (rows, inner); the mean itself where sd is zero."""
    with np.errstate(divide="ignore", invalid="ignore"):
        below = np.where(sd > 0, normal_cdf(-mean / sd), 0.0)
    score = normal_score(below + (1 - below) * rank)
    return np.asarray(np.maximum(mean + sd * score, 0.0))


def fire_probability(
    loads: Loads, trip_force: ArrayLike, scatter: ArrayLike = 0.12, crust: ArrayLike = 0.0
) -> Floats:
    """Chance that a foot which stands on the pan fires it.

    Parameters
    ----------
    loads : Loads
        From `foot_load`, n rows.
    trip_force : float or array (n,) [N]
        Force in the middle of the pan that fires it, from the bench.
    scatter : float or array (n,) [-]
        Relative scatter of the trip force from shot to shot (lognormal; assumed 0.12: take your own readings).
    crust : float or array (n,) [N]
        What frozen, crusted or packed cover adds to the trip force.

    Returns
    -------
    array (n,) [-]
        Mean over individuals and steps of Φ(ln(F / (T + crust)) / scatter). NaN where a load is unknown (an animal
        afloat) or the trip force is negative; 1 where nothing holds the pan.

    Notes
    -----
    Range: quasi-static; the pan is free to move. A pan that is blocked by ice is not a matter of chance.

    References
    ----------
    Turkowski, Armistead & Linhart (1984), abstract seen: the trials that the coupling was calibrated on.

    """
    force = loads.force
    shape = (force.shape[0],)
    hold = np.asarray(trip_force, dtype=float) + np.asarray(crust, dtype=float)
    hold = np.broadcast_to(np.where(hold >= 0, hold, np.nan), np.broadcast_shapes(shape, hold.shape))[:, None]
    spread = np.atleast_1d(np.asarray(scatter, dtype=float))[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.log(force) - np.log(hold)
        score = np.where(spread > 0, ratio / spread, np.where(ratio >= 0, np.inf, -np.inf))
    score = np.where(hold == 0, np.inf, score)
    score = np.where(np.isnan(force) | np.isnan(hold) | np.isnan(spread), np.nan, score)
    return np.asarray(normal_cdf(score).mean(axis=1))
