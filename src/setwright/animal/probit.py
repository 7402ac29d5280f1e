"""What field notes say of the load model: fired or not, given a foot on the pan."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.animal.curve import AFLOAT, FireCurve
from setwright.animal.lattice import normal_score, strata
from setwright.animal.notes import FieldNotes
from setwright.basis.errors import OutOfRange
from setwright.basis.spread import normal_cdf

Floats = NDArray[np.float64]

PRIOR_LOCATION, PRIOR_LOCATION_SD = float(np.log(0.54)), 0.20
PRIOR_SPREAD, PRIOR_SPREAD_SD = 0.46, 0.10
_LOCATIONS, _SPREADS, _REACH = 161, 101, 4.5
_LEAST_SPREAD = 0.05
_TINY = 1e-300


@dataclass(frozen=True, slots=True, eq=False)
class LoadPosterior:
    """What is believed of the coupling, lognormal over steps, on a full grid.

    Parameters
    ----------
    locations : array (i,) [-]
        Logarithm of the median coupling.
    spreads : array (j,) [-]
        Standard deviation of the logarithm of the coupling over steps.
    weight : array (i, j) [-]
        Probability of each cell; sums to 1.
    used, left_out : int
        Rows of notes that counted, and rows without a figure (an animal afloat, no steps).

    """

    locations: Floats
    spreads: Floats
    weight: Floats
    used: int
    left_out: int

    @property
    def location(self) -> tuple[float, float]:
        """Mean and standard deviation of the location [-]."""
        return _moments(self.locations, self.weight.sum(axis=1))

    @property
    def coupling_spread(self) -> tuple[float, float]:
        """Mean and standard deviation of the coupling's own spread [-]."""
        return _moments(self.spreads, self.weight.sum(axis=0))

    def draws(self, first: ArrayLike, second: ArrayLike) -> tuple[Floats, Floats]:
        """Draws of location and spread for handed-in uniforms, so that all animals move together.

        Parameters
        ----------
        first, second : array (n,) [-]
            Draws from (0, 1), the same for every animal of the study.

        Returns
        -------
        tuple of array (n,) [-]
            Location, and spread given the location, by inverse distribution functions on the grid.

        """
        of_location = self.weight.sum(axis=1)
        below = np.concatenate(([0.0], np.cumsum(of_location)))
        edges = _edges(self.locations)
        location = np.interp(np.asarray(first, dtype=float), below / below[-1], edges)
        row = np.clip(np.searchsorted(edges, location) - 1, 0, self.locations.size - 1)
        inside = self.weight / np.maximum(of_location[:, None], _TINY)
        summed = np.concatenate([np.zeros((inside.shape[0], 1)), np.cumsum(inside, axis=1)], axis=1)
        summed = summed / np.maximum(summed[:, -1:], _TINY)
        steps = (np.arange(inside.shape[0])[:, None] + summed).ravel()
        spread_edges = np.tile(_edges(self.spreads), inside.shape[0])
        wanted = row + np.clip(np.asarray(second, dtype=float), 1e-9, 1 - 1e-9)
        return np.asarray(location), np.asarray(np.interp(wanted, steps, spread_edges))


def probit_probability(
    load: ArrayLike, load_spread: ArrayLike, hold: ArrayLike, location: ArrayLike, coupling_spread: ArrayLike
) -> Floats:
    """Chance to fire with a lognormal coupling, in closed form.

    Parameters
    ----------
    load, load_spread, hold
        As in `FieldNotes`, broadcast.
    location, coupling_spread : float or array [-]
        Mean and standard deviation of the logarithm of the coupling.

    Returns
    -------
    array [-]
        Φ((ln load + location − ln hold) / √(coupling_spread² + load_spread²)); NaN where the load is unknown.

    """
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.log(np.asarray(load, dtype=float) / np.asarray(hold, dtype=float)) + np.asarray(location, float)
        score = ratio / np.hypot(np.asarray(coupling_spread, dtype=float), np.asarray(load_spread, dtype=float))
    return np.asarray(np.where(np.isnan(score), np.nan, normal_cdf(score)))


def update(
    notes: FieldNotes | None = None,
    *,
    location: float = PRIOR_LOCATION,
    location_sd: float = PRIOR_LOCATION_SD,
    coupling_spread: float = PRIOR_SPREAD,
    coupling_spread_sd: float = PRIOR_SPREAD_SD,
) -> LoadPosterior:
    """Posterior of the coupling from field notes, on a full grid.

    Parameters
    ----------
    notes : FieldNotes, optional
        From `field_notes`; without them the prior comes back.
    location, location_sd : float [-]
        Normal prior of the logarithm of the median coupling.
    coupling_spread, coupling_spread_sd : float [-]
        Normal prior of the coupling's own spread, cut off at 0.05.

    Returns
    -------
    LoadPosterior
        One law for all animals: a row on raccoons moves the coyotes too.

    Raises
    ------
    OutOfRange
        When a standard deviation of the prior is not above zero.

    Notes
    -----
    Binomial probit with the offset ln(m g s / T). With P the chance to fire and q the share of unfired steps that are
    found, a found step fired with P / (P + q (1 − P)). Notes are taken as independent of one another; five notes of
    one wary animal are not, so enter them as one.

    Doubt: an animal that presses lightly because it smells the trap is in the coupling; the prior rests on one study.

    References
    ----------
    Prior from the calibration on Turkowski, Armistead & Linhart (1984), abstract seen; grid posterior (derived).

    """
    if not (location_sd > 0 and coupling_spread_sd > 0):
        found = (location_sd, coupling_spread_sd)
        raise OutOfRange("a prior needs a spread", field="location_sd, coupling_spread_sd", found=found)
    score = np.linspace(-_REACH, _REACH, _LOCATIONS)
    places = location + location_sd * score
    least = max(coupling_spread - _REACH * coupling_spread_sd, _LEAST_SPREAD)
    widths = np.linspace(least, coupling_spread + _REACH * coupling_spread_sd, _SPREADS)
    log_weight = -0.5 * score[:, None] ** 2 - 0.5 * ((widths - coupling_spread) / coupling_spread_sd) ** 2
    used = left_out = 0
    if notes is not None:
        good = np.isfinite(notes.load) & (notes.load > 0) & (notes.hold > 0) & (notes.steps > 0)
        used, left_out = int(good.sum()), int((~good).sum())
        for row in np.flatnonzero(good):
            chance = probit_probability(
                notes.load[row], notes.load_spread[row], notes.hold[row], places[:, None], widths
            )
            found = chance / (chance + notes.noticed[row] * (1 - chance))
            missed = notes.steps[row] - notes.fired[row]
            log_weight = log_weight + notes.fired[row] * np.log(np.maximum(found, _TINY))
            log_weight = log_weight + missed * np.log(np.maximum(1 - found, _TINY))
    weight = np.exp(log_weight - log_weight.max())
    return LoadPosterior(places, widths, weight / weight.sum(), used, left_out)


def posterior_curve(
    posterior: LoadPosterior,
    load: float,
    load_spread: float,
    trip_force: ArrayLike,
    first: ArrayLike,
    second: ArrayLike,
) -> FireCurve:
    """Chance to fire of one animal over trip forces; call it with prior and posterior for before and after.

    Parameters
    ----------
    posterior : LoadPosterior
        From `update`.
    load : float [N]
        Median weight on one foot, as in `FieldNotes`.
    load_spread : float [-]
        As in `FieldNotes`.
    trip_force : array (k,) [N]
        Trip forces, crust added.
    first, second : array (n,) [-]
        Draws from (0, 1), the same for every animal.

    Returns
    -------
    FireCurve
        Shape (n, k).

    """
    force = np.atleast_1d(np.asarray(trip_force, dtype=float))
    location, spread = posterior.draws(first, second)
    chance = probit_probability(load, load_spread, force, location[:, None], spread[:, None])
    return FireCurve(force, chance, AFLOAT if np.isnan(load) else "")


def fitted_coupling(location: ArrayLike, coupling_spread: ArrayLike, inner: int = 192, seed: int = 7) -> Floats:
    """Coupling over steps for `setwright.animal.load.foot_load` from draws of the posterior.

    Parameters
    ----------
    location, coupling_spread : float or array (n,) [-]
        From `LoadPosterior.draws`.
    inner : int
        Steps per draw.
    seed : int
        Turns the order of the steps.

    Returns
    -------
    array (n, inner) [-]
        Lognormal quantiles in the order of `setwright.animal.load.coupling`. Some lie above 1: the median was fitted
        with them, and a foot that comes down hard does press more than its walking share.

    """
    given = (location, coupling_spread)
    middle, width = np.broadcast_arrays(*(np.atleast_1d(np.asarray(part, dtype=float)) for part in given))
    return np.asarray(np.exp(middle[:, None] + width[:, None] * normal_score(strata(inner, seed, 0))))


def _moments(values: Floats, weight: Floats) -> tuple[float, float]:
    mean = float(values @ weight)
    return mean, float(np.sqrt(np.maximum((values - mean) ** 2 @ weight, 0.0)))


def _edges(middles: Floats) -> Floats:
    half = 0.5 * (middles[1] - middles[0])
    return np.concatenate((middles - half, [middles[-1] + half]))
