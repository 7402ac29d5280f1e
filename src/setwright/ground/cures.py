"""Which change of an anchor helps most, and what it costs in minutes and in weight."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from setwright.ground.proof import failure_proved, updated
from setwright.ground.reliability import DOUBT, Chance, failure_band, mean_ratio


@dataclass(frozen=True, slots=True)
class Option:
    """One way to hold the trap: what it holds, what it costs.

    Parameters
    ----------
    name : str
        For people.
    strength : float
        What it holds by the formulas, taken as a mean [N]; NaN when not known or when it holds by travelling.
    pull : float
        Median pull of a lunge on it [N]: a shock spring or a shorter chain changes it.
    time, mass : float
        To make it [s], to carry it [kg].
    cov_strength, cov_pull : float
        Coefficients of variation [-]: 0.5 for an anchor unproved, 0.3 after a proof pull (assumed).
    doubt : float
        Factor either way on the middle of the strength [-], see `failure_band`.
    proof : float
        Pull that it is to stand before it is used, in the direction of the lunge [N]; NaN for none.

    """

    name: str
    strength: float
    pull: float
    time: float
    mass: float
    cov_strength: float = 0.5
    cov_pull: float = 0.44
    doubt: float = DOUBT
    proof: float = float("nan")


@dataclass(frozen=True, slots=True)
class Ranked:
    """An option with the chance of losing the anchor.

    Parameters
    ----------
    option : Option
        The option.
    chance, low, high : float
        Chance that the lunges draw it, and its band [-]; of an anchor that stood its proof, if one is asked.
    spared : float
        Chance of loss that it saves against what is there now, negative when it is worse [-].
    beaten : bool
        True when another option loses no more, takes no longer and weighs no more, and is better in one of these.
    stands : float
        Chance that it stands the proof asked of it [-]; 1 without one.

    """

    option: Option
    chance: float
    low: float
    high: float
    spared: float
    beaten: bool
    stands: float = 1.0


def rank_cures(now: Option, options: Sequence[Option], lunges: float = 20.0) -> tuple[Ranked, ...]:
    """Options in the order of the chance that the anchor is lost, then of time, then of weight.

    Parameters
    ----------
    now : Option
        What is there now; it stands in the ranking with no time and no weight of its own to add.
    options : sequence of Option
        What could be done.
    lunges : float
        Full lunges that the anchor must stand [-].

    Returns
    -------
    tuple of Ranked
        Best first; after them those that would sooner fail than stand their own proof pull, and last those without a
        known strength, with NaN.

    Notes
    -----
    Chances are for an animal that fights at full power at each lunge: they rank, they do not forecast. An option
    that beats another may still be unlawful in a place.

    """
    every = (now, *options)
    chances = [_lost(one, lunges) for one in every]
    middle = [float(each.middle) for each in chances]
    cost = [(middle[number], one.time, one.mass) for number, one in enumerate(every)]

    def beaten(number: int) -> bool:
        mine = cost[number]
        if math.isnan(mine[0]):
            return False
        return any(
            other != mine and all(theirs <= own for theirs, own in zip(other, mine, strict=True)) for other in cost
        )

    found = [
        Ranked(
            one,
            middle[number],
            float(chances[number].low),
            float(chances[number].high),
            middle[0] - middle[number],
            beaten(number),
            _stands(one),
        )
        for number, one in enumerate(every)
    ]

    def order(one: Ranked) -> tuple[int, float, float, float]:
        unknown = math.isnan(one.chance)
        return (
            2 if unknown else int(one.stands < 0.5),
            0.0 if unknown else round(one.chance, 9),
            one.option.time,
            one.option.mass,
        )

    return tuple(sorted(found, key=order))


def _logarithm(cov: float) -> float:
    """Standard deviation of the logarithm of a coefficient of variation [-]."""
    return math.sqrt(math.log1p(cov**2))


def _lost(one: Option, lunges: float) -> Chance:
    if math.isnan(one.proof):
        ratio = mean_ratio(one.strength, one.pull, one.cov_pull)
        return failure_band(ratio, one.cov_strength, one.cov_pull, lunges, one.doubt)
    scatter, pull_scatter = _logarithm(one.cov_strength), _logarithm(one.cov_pull)
    medians = one.strength * math.exp(-0.5 * scatter**2) * np.array([1.0, one.doubt, 1.0 / one.doubt])
    return Chance(*failure_proved(medians, scatter, one.proof, one.pull, pull_scatter, lunges))


def _stands(one: Option) -> float:
    if math.isnan(one.proof):
        return 1.0
    scatter = _logarithm(one.cov_strength)
    return float(updated(one.strength * math.exp(-0.5 * scatter**2), scatter, one.proof).expected)
