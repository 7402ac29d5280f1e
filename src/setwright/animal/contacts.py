"""Feet on the pan as the log has them, against the model of footfalls."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]

# The model of footfalls counts for as much as this many logged visits (assumed).
MODEL_WEIGHT = 8.0
_CELLS = 8192


@dataclass(frozen=True, slots=True)
class StepBelief:
    """Chance that a visitor puts a foot on the pan, as a beta law.

    Parameters
    ----------
    hits, misses : float
        Parameters of the law: visits with and without a foot on the pan, the model's counted in.

    """

    hits: float
    misses: float

    @property
    def mean(self) -> float:
        """Mean [-]."""
        return self.hits / (self.hits + self.misses)

    @property
    def sd(self) -> float:
        """Standard deviation [-]."""
        total = self.hits + self.misses
        return float(np.sqrt(self.hits * self.misses / (total + 1)) / total)

    def draws(self, uniform: ArrayLike) -> Floats:
        """Draws for handed-in uniforms (the inverse distribution function), any shape [-].

        Parameters
        ----------
        uniform : float or array [-]
            From (0, 1).

        Notes
        -----
        Quantiles within 1e-4 while hits and misses are at least 0.3, within 0.02 down to 0.08.

        """
        # In t with x = sin²(π t / 2) both ends of the density stay mild.
        angle = 0.5 * np.pi * (np.arange(_CELLS) + 0.5) / _CELLS
        edge = np.sin(0.5 * np.pi * np.arange(_CELLS + 1) / _CELLS) ** 2
        log_density = (2 * self.hits - 1) * np.log(np.sin(angle)) + (2 * self.misses - 1) * np.log(np.cos(angle))
        return _inverse(log_density, edge, uniform)


@dataclass(frozen=True, slots=True)
class ContactBelief:
    """Feet on the pan in a visit, as a gamma law; a visitor may step on it several times.

    Parameters
    ----------
    contacts, visits : float
        Parameters of the law: feet on the pan in so many visits, the model's counted in.

    """

    contacts: float
    visits: float

    @property
    def mean(self) -> float:
        """Mean number of feet on the pan in a visit [-]."""
        return self.contacts / self.visits

    @property
    def step_mean(self) -> float:
        """Mean chance of at least one foot on the pan [-], 1 − (v / (v + 1))^k."""
        return float(-np.expm1(self.contacts * np.log(self.visits / (self.visits + 1))))

    def draws(self, uniform: ArrayLike) -> Floats:
        """Draws of the chance of at least one foot for handed-in uniforms, any shape [-].

        Parameters
        ----------
        uniform : float or array [-]
            From (0, 1).

        """
        low = np.log(self.mean) - 10 / np.sqrt(self.contacts) - 14 / self.contacts
        high = np.log((self.contacts + 12 * np.sqrt(self.contacts) + 30) / self.visits)
        edge = np.linspace(low, high, _CELLS + 1)
        middle = 0.5 * (edge[1:] + edge[:-1])
        log_density = self.contacts * middle - self.visits * np.exp(middle)
        return np.asarray(-np.expm1(-np.exp(_inverse(log_density, edge, uniform))))


def step_update(steps: float, visits: float, model: float, model_weight: float = MODEL_WEIGHT) -> StepBelief:
    """Chance of a foot on the pan from the log, with the model as prior.

    Parameters
    ----------
    steps : float
        Visits in which a foot stood on the pan: fired, or a track on it. A refusal is a visit without one.
    visits : float
        Visits that the log knows of: fired, stepped on, or tracks at the set.
    model : float [-]
        P(step) of the model of footfalls, between 0 and 1.
    model_weight : float
        Visits that the model counts for; 8 is assumed.

    Returns
    -------
    StepBelief
        Beta(weight · model + steps, weight · (1 − model) + visits − steps).

    Raises
    ------
    OutOfRange
        When a count is below zero, steps exceed visits, or the model is not between 0 and 1 or has no weight.

    Notes
    -----
    Doubt: a visit that left no track is not in the log, and the chance then comes out too high.

    References
    ----------
    Conjugate update (derived); weight assumed.

    """
    _check_counts(steps, visits, model_weight)
    if steps > visits:
        raise OutOfRange("more steps than visits", field="steps", found=steps, allowed=f"0 to {visits}")
    if not 0 < model < 1:
        raise OutOfRange("not a chance between 0 and 1", field="model", found=model, allowed="above 0, below 1")
    return StepBelief(model_weight * model + steps, model_weight * (1 - model) + visits - steps)


def contact_update(contacts: float, visits: float, model: float, model_weight: float = MODEL_WEIGHT) -> ContactBelief:
    """Feet on the pan in a visit from the log, where one visitor may step on it several times.

    Parameters
    ----------
    contacts : float
        Tracks on the pan and firings together.
    visits : float
        Visits that the log knows of.
    model : float [-]
        P(step) of the model of footfalls; ν = −ln(1 − model) feet in a visit.
    model_weight : float
        Visits that the model counts for.

    Returns
    -------
    ContactBelief
        Gamma with weight · ν + contacts feet in weight + visits visits.

    Raises
    ------
    OutOfRange
        As `step_update`, but there may be more contacts than visits.

    References
    ----------
    Conjugate update of a Poisson count (derived); weight assumed.

    """
    _check_counts(contacts, visits, model_weight)
    if not 0 < model < 1:
        raise OutOfRange("not a chance between 0 and 1", field="model", found=model, allowed="above 0, below 1")
    return ContactBelief(float(-model_weight * np.log1p(-model)) + contacts, model_weight + visits)


def _check_counts(count: float, visits: float, model_weight: float) -> None:
    for name, number in (("count", count), ("visits", visits)):
        if not number >= 0:
            raise OutOfRange("a count is below zero", field=name, found=number, allowed="0 or more")
    if not model_weight > 0:
        raise OutOfRange("the model needs a weight", field="model_weight", found=model_weight, allowed="above 0")


def _inverse(log_density: Floats, edge: Floats, uniform: ArrayLike) -> Floats:
    density = np.exp(log_density - log_density.max())
    below = np.concatenate(([0.0], np.cumsum(density)))
    wanted = np.asarray(uniform, dtype=float)
    found = np.interp(wanted, below / below[-1], edge)
    return np.asarray(np.where((wanted >= 0) & (wanted <= 1), found, np.nan))
