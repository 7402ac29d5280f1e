"""Which change of an anchor helps most, and what it costs in minutes and in weight."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from setwright.ground.reliability import DOUBT, failure_band, mean_ratio


@dataclass(frozen=True, slots=True)
class Option:
    """One way to hold the trap: what it holds, what it costs.

    Parameters
    ----------
    name : str
        For people.
    strength : float
        Median of what it holds [N]; NaN when that is not known or when it holds by travelling.
    pull : float
        Median pull of a lunge on it [N]: a shock spring or a shorter chain changes it.
    time, mass : float
        To make it [s], to carry it [kg].
    cov_strength, cov_pull : float
        Coefficients of variation [-]: 0.5 for an anchor unproved, 0.3 after a proof pull (assumed).
    doubt : float
        Factor either way on the middle of the strength [-], see `failure_band`.

    """

    name: str
    strength: float
    pull: float
    time: float
    mass: float
    cov_strength: float = 0.5
    cov_pull: float = 0.44
    doubt: float = DOUBT


@dataclass(frozen=True, slots=True)
class Ranked:
    """An option with the chance of losing the anchor.

    Parameters
    ----------
    option : Option
        The option.
    chance, low, high : float
        Chance that the lunges draw it, and its band [-].
    spared : float
        Chance of loss that it saves against what is there now, negative when it is worse [-].
    beaten : bool
        True when another option loses no more, takes no longer and weighs no more, and is better in one of these.

    """

    option: Option
    chance: float
    low: float
    high: float
    spared: float
    beaten: bool


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
        Best first; options without a known strength last, with NaN.

    Notes
    -----
    Chances are for an animal that fights at full power at each lunge: they rank, they do not forecast. An option
    that beats another may still be unlawful in a place.

    """
    every = (now, *options)
    chances = [
        failure_band(
            mean_ratio(one.strength, one.pull, one.cov_strength, one.cov_pull),
            one.cov_strength,
            one.cov_pull,
            lunges,
            one.doubt,
        )
        for one in every
    ]
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
        )
        for number, one in enumerate(every)
    ]

    def order(one: Ranked) -> tuple[bool, float, float, float]:
        unknown = math.isnan(one.chance)
        return (unknown, 0.0 if unknown else round(one.chance, 9), one.option.time, one.option.mass)

    return tuple(sorted(found, key=order))
