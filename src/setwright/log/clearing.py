"""Odds of clearing a place by night n, of a catch at all, and what a job then costs."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from setwright.basis.errors import BadInput

Floats = NDArray[np.float64]
_SLICES = 400


def odds_of_clearing(
    caught: float, effort: float, present: float, animals: ArrayLike, sets: float, nights: ArrayLike
) -> Floats:
    """Chance that all animals are taken by each night, shape (number of `animals`, number of `nights`).

    Parameters
    ----------
    caught, effort : float [-], [night]
        Animals taken in so many trap-nights, on which the rate rests.
    present : float [-]
        Animals that were there meanwhile.
    animals : array (a,) [-]
        Animals to be taken.
    sets : float [-]
        Sets that lie out.
    nights : array (n,) [night]
        Nights from the start.

    Raises
    ------
    BadInput
        When a number is not above zero, or catches below it.

    Notes
    -----
    Each animal runs the same risk h for each trap-night, whatever the others do: the fewer are left, the slower it
    goes. h ~ Gamma(caught + ½, effort · present); P(all N by night n | h) = (1 − exp(−h s n))^N, averaged over h.
    Animals that have learned, and weather, make it slower.

    References
    ----------
    Independent exponential waits (derived); Jeffreys' prior of a rate.

    """
    if caught < 0 or min(effort, present, sets) <= 0:
        raise BadInput("rate of taking", field="caught, effort, present, sets", found=(caught, effort, present, sets))
    chance = (np.arange(_SLICES) + 0.5) / _SLICES
    hazard = special.gammaincinv(caught + 0.5, chance) / (effort * present)
    number = np.atleast_1d(np.asarray(animals, dtype=float))
    night = np.atleast_1d(np.asarray(nights, dtype=float))
    taken = -np.expm1(-hazard[:, None] * sets * night)
    return np.asarray((taken[:, None, :] ** number[None, :, None]).mean(axis=0))


def no_catch(caught: float, effort: float, nights: ArrayLike) -> Floats:
    """Chance of no catch at all in so many trap-nights, any shape.

    Parameters
    ----------
    caught, effort : float [-], [night]
        Animals taken in so many trap-nights.
    nights : array [night]
        Trap-nights to come.

    Notes
    -----
    exp(−λT) averaged over λ ~ Gamma(caught + ½, effort): (effort / (effort + T))^(caught + ½).

    """
    t = np.asarray(nights, dtype=float)
    return np.asarray((effort / (effort + t)) ** (caught + 0.5)) if effort > 0 else np.full(t.shape, np.nan)


@dataclass(frozen=True, slots=True)
class Quote:
    """Price of a job.

    Parameters
    ----------
    visits : int
        Set-out, checks and pull-out.
    price : float
        In the user's money.
    cleared : tuple of float [-]
        Chance that the place is cleared by the nights quoted, for the fewest and the most animals.

    """

    visits: int
    price: float
    cleared: tuple[float, float]


def quote(
    nights: int,
    check_days: float,
    visit_cost: float,
    gear: float,
    disposal: float,
    margin: float,
    cleared: tuple[float, float],
) -> Quote:
    """Price of so many nights, with the odds that they are enough.

    Parameters
    ----------
    nights : int [night]
        Nights quoted.
    check_days : float [d]
        Days from check to check; never more than law and welfare allow.
    visit_cost, gear, disposal : float
        Travel and labour of one visit; wear of gear; disposal of animals.
    margin : float [-]
        Share put on top for risk.
    cleared : pair of float [-]
        Odds for the fewest and the most animals.

    References
    ----------
    Common practice.

    """
    if nights < 1 or not 0 < check_days <= 30 or min(visit_cost, gear, disposal, margin) < 0:
        raise BadInput("a job to quote", field="nights, check_days, costs", found=(nights, check_days))
    visits = math.ceil(nights / check_days) + 2
    price = (visits * visit_cost + gear + disposal) * (1.0 + margin)
    return Quote(visits, price, cleared)
