"""Two rigs compared: chance that one is better, exact test, and the interval of the difference, always together."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray
from scipy import special

from setwright.basis.errors import BadInput
from setwright.log.rates import LEVEL

Floats = NDArray[np.float64]
_NODES, _PIECES, _SAME = 1200, 400, 1.0 + 1e-7


@dataclass(frozen=True, slots=True)
class Comparison:
    """Second against first.

    Parameters
    ----------
    second_above : float [-]
        Chance that the second has the higher share or rate, with Jeffreys' priors.
    low, high : float
        Ends of the interval of the difference, second less first: shares [-], or rates per night.
    exact : float [-]
        Exact two-sided p (Fisher; conditional binomial for rates).
    unconditional : float [-]
        Two-sided p without the condition, of more power (Boschloo; E-test for rates).
    shown : bool
        True when the interval leaves out zero and the exact p is small.

    """

    second_above: float
    low: float
    high: float
    exact: float
    unconditional: float
    shown: bool


def shares(hits: tuple[int, int], trials: tuple[int, int], level: float = LEVEL, prior: float = 0.5) -> Comparison:
    """Compare two shares.

    Parameters
    ----------
    hits, trials : pair of int
        Of the first and of the second.
    level : float [-]
        Of the interval; 1 − level is the line for p.
    prior : float [-]
        Both parameters of the beta prior: 0.5 for Jeffreys, 1 for even.

    Raises
    ------
    BadInput
        When a count is impossible.

    """
    if any(not 0 <= k <= n or n == 0 for k, n in zip(hits, trials, strict=True)):
        raise BadInput("counts of two rigs", field="hits, trials", found=(hits, trials), allowed="0 to n, n above 0")
    (a1, b1), (a2, b2) = ((k + prior, n - k + prior) for k, n in zip(hits, trials, strict=True))
    angle, weight = _quadrature()
    up, down = np.sin(angle) ** 2, np.cos(angle) ** 2

    def below(gap: float) -> float:
        """P(second − first ≤ gap): both shares run over the part of 0 to 1 in which both may lie."""
        # As sin² of an angle that part has smooth ends, whatever the gap.
        apart, span = abs(gap), 1.0 - abs(gap)
        if span <= 0.0:
            return 1.0 if gap > 0.0 else 0.0
        low, high = (apart, 0.0) if gap < 0.0 else (0.0, apart)
        first, rest = low + span * up, high + span * down
        log = (a1 - 1.0) * np.log(first) + (b1 - 1.0) * np.log(rest) - special.betaln(a1, b1)
        density = np.exp(log) * 2.0 * span * np.sqrt(up * down)
        beyond = float(special.betaincc(a1, b1, span)) if gap > 0.0 else 0.0
        return float((weight * density) @ special.betainc(a2, b2, high + span * up)) + beyond

    tail = 0.5 * (1.0 - level)
    low, high = (_root(below, wanted, -1.0, 1.0) for wanted in (tail, 1.0 - tail))
    exact = fisher(hits, trials)
    return Comparison(1.0 - below(0.0), low, high, exact, boschloo(hits, trials), _shown(low, high, exact, level))


def rates(count: tuple[int, int], effort: tuple[float, float], level: float = LEVEL) -> Comparison:
    """Compare two rates.

    Parameters
    ----------
    count : pair of int
        Of the first and of the second.
    effort : pair of float [night]
        Trap-nights of the first and of the second.
    level : float [-]
        Of the interval; 1 − level is the line for p.

    Raises
    ------
    BadInput
        When a count is below zero or an effort not above it.

    """
    if min(count) < 0 or min(effort) <= 0:
        raise BadInput("counts and nights of two rigs", field="count, effort", found=(count, effort))
    (k1, k2), (e1, e2) = count, effort
    above = 1.0 - float(special.betainc(k2 + 0.5, k1 + 0.5, e2 / (e1 + e2)))
    chance = (np.arange(_NODES) + 0.5) / _NODES
    # Equal slices of chance: the quantiles of the first rate, each as likely as another.
    first = special.gammaincinv(k1 + 0.5, chance) / e1

    def below(gap: float) -> float:
        return float(np.mean(special.gammainc(k2 + 0.5, np.maximum(first + gap, 0.0) * e2)))

    tail = 0.5 * (1.0 - level)
    reach = float(special.gammaincinv(k1 + 0.5, 0.999999)) / e1 + float(special.gammaincinv(k2 + 0.5, 0.999999)) / e2
    low, high = (_root(below, wanted, -reach, reach) for wanted in (tail, 1.0 - tail))
    exact = binomial_test(k1, k1 + k2, e1 / (e1 + e2))
    return Comparison(above, low, high, exact, e_test(count, effort), _shown(low, high, exact, level))


def rate_ratio(count: tuple[int, int], effort: tuple[float, float], level: float = LEVEL) -> tuple[float, float]:
    """Interval of the ratio of two rates, second over first, with Jeffreys' priors.

    Parameters
    ----------
    count : pair of int
        Of the first and of the second.
    effort : pair of float [night]
        Trap-nights of both.
    level : float [-]
        Chance that the interval holds.

    """
    tail = 0.5 * (1.0 - level)
    part = special.betaincinv(count[1] + 0.5, count[0] + 0.5, np.array([tail, 1.0 - tail]))
    low, high = part / (1.0 - part) * effort[0] / effort[1]
    return float(low), float(high)


def nights_needed(
    rate: tuple[float, float], effort: tuple[float, float], level: float = LEVEL, power: float = 0.8
) -> float:
    """Trap-nights that each of two rigs still needs until the difference is likely to be shown.

    Parameters
    ----------
    rate : pair of float [1/night]
        Rates taken as true.
    effort : pair of float [night]
        Trap-nights done; the lesser counts.
    level : float [-]
        Of the proof.
    power : float [-]
        Chance to show it.

    Returns
    -------
    float [night]
        0 when enough was done; infinite for equal rates, NaN when a rate is zero or not known.

    Notes
    -----
    By the logarithm of the ratio, whose variance is 1/k₁ + 1/k₂; nights of one set taken as independent, so that it
    is the least. A figure of planning, no promise.

    """
    low, high = sorted(rate)
    if not (low > 0 and math.isfinite(high)):
        return math.nan
    if low == high:
        return math.inf
    z = NormalDist().inv_cdf(0.5 * (1.0 + level)) + NormalDist().inv_cdf(power)
    wanted = (z / math.log(high / low)) ** 2 * (1.0 / low + 1.0 / high)
    return max(wanted - min(effort), 0.0)


def clean_nights_needed(limit: float, level: float = LEVEL) -> float:
    """Trap-nights without an event until the upper limit of its rate falls to a limit.

    Parameters
    ----------
    limit : float [1/night]
        Rate that should be ruled out.
    level : float [-]
        Confidence of the one side.

    """
    return -math.log(1.0 - level) / limit if limit > 0 else math.nan


def fisher(hits: tuple[int, int], trials: tuple[int, int]) -> float:
    """Fisher's exact two-sided p of a table of two shares.

    Parameters
    ----------
    hits, trials : pair of int
        Of the first and of the second.

    """
    total = sum(hits)
    number = np.arange(max(0, total - trials[1]), min(total, trials[0]) + 1)
    log = _ways(trials[0], number) + _ways(trials[1], total - number) - _ways(sum(trials), np.array(total))
    chance = np.exp(log)
    seen = chance[int(hits[0] - number[0])]
    return float(min(chance[chance <= seen * _SAME].sum(), 1.0))


def boschloo(hits: tuple[int, int], trials: tuple[int, int]) -> float:
    """Boschloo's exact two-sided p: twice the lesser of both sides.

    Parameters
    ----------
    hits, trials : pair of int
        Of the first and of the second.

    References
    ----------
    Boschloo (1970), Statistica Neerlandica 24:1-9 (memory).

    """
    n1, n2 = trials
    first, second = np.meshgrid(np.arange(n1 + 1), np.arange(n2 + 1), indexing="ij")
    ways = _ways(n1, first) + _ways(n2, second)
    under = np.empty((n1 + 1, n2 + 1))
    over = np.empty((n1 + 1, n2 + 1))
    together = _ways(n1 + n2, np.arange(n1 + n2 + 1))
    for total in range(n1 + n2 + 1):
        number = np.arange(max(0, total - n2), min(total, n1) + 1)
        chance = np.exp(ways[number, total - number] - together[total])
        under[number, total - number] = np.cumsum(chance)
        over[number, total - number] = np.cumsum(chance[::-1])[::-1]
    sides = [_largest(part <= part[hits] * _SAME, ways, first + second, n1 + n2) for part in (under, over)]
    return min(2.0 * min(sides), 1.0)


def _largest(inside: NDArray[np.bool_], ways: Floats, total: NDArray[np.int_], trials: int) -> float:
    # All tables with one total share the power of p, so the chances depend on their sums alone.
    number = np.arange(trials + 1)
    ways_all = _ways(trials, number)
    sums = np.bincount(total[inside], np.exp(ways[inside] - ways_all[total[inside]]), trials + 1)

    def chance(share: Floats) -> Floats:
        log = ways_all + number * np.log(share)[:, None] + (trials - number) * np.log1p(-share)[:, None]
        return np.asarray(np.exp(log) @ sums)

    low, high = 1e-9, 1.0 - 1e-9
    best = 0.0
    for _ in range(4):
        grid = np.linspace(low, high, _PIECES + 1)
        found = chance(grid)
        at = int(np.argmax(found))
        best = max(best, float(found[at]))
        low, high = float(grid[max(at - 1, 0)]), float(grid[min(at + 1, _PIECES)])
    return best


def binomial_test(hits: int, trials: int, line: float) -> float:
    """Exact two-sided p of a share against a line: all outcomes no likelier than the one seen.

    Parameters
    ----------
    hits, trials : int
        Counts.
    line : float [-]
        Share, between 0 and 1.

    """
    number = np.arange(trials + 1)
    chance = np.exp(_ways(trials, number) + number * math.log(line) + (trials - number) * math.log1p(-line))
    return float(min(chance[chance <= chance[hits] * _SAME].sum(), 1.0))


def e_test(count: tuple[int, int], effort: tuple[float, float]) -> float:
    """Two-sided p of two rates by the E-test.

    Parameters
    ----------
    count : pair of int
        Of the first and of the second.
    effort : pair of float [night]
        Trap-nights of both.

    References
    ----------
    Krishnamoorthy & Thomson (2004), Journal of Statistical Planning and Inference 119:23-35 (memory).

    """
    pooled = sum(count) / sum(effort)
    if pooled == 0:
        return 1.0
    number, chance = [], []
    for nights in effort:
        mean = pooled * nights
        reach = 12.0 * math.sqrt(mean) + 30.0
        span = np.arange(max(0, math.floor(mean - reach)), math.ceil(mean + reach) + 1)
        number.append(span)
        chance.append(np.exp(span * math.log(mean) - mean - special.gammaln(span + 1.0)))

    def distance(first: NDArray[np.int_], second: NDArray[np.int_]) -> Floats:
        spread = np.sqrt(first / effort[0] ** 2 + second / effort[1] ** 2)
        gap = np.abs(first / effort[0] - second / effort[1])
        return np.asarray(np.divide(gap, spread, out=np.zeros_like(gap), where=spread > 0))

    seen = float(distance(np.array(count[0]), np.array(count[1])))
    far = distance(number[0][:, None], number[1][None, :]) >= seen / _SAME
    return min(float(chance[0] @ far @ chance[1]), 1.0)


@cache
def _quadrature() -> tuple[Floats, Floats]:
    """Nodes and weights of Gauss and Legendre over a quarter turn [rad]."""
    node, weight = special.roots_legendre(_NODES)
    quarter = 0.25 * math.pi
    return np.asarray(quarter * (node + 1.0)), np.asarray(quarter * weight)


def _ways(trials: int, number: NDArray[np.int_]) -> Floats:
    return np.asarray(
        special.gammaln(trials + 1.0) - special.gammaln(number + 1.0) - special.gammaln(trials - number + 1.0)
    )


def _root(function: Callable[[float], float], wanted: float, low: float, high: float) -> float:
    """Where a rising function has a value, between two ends on either side of it."""
    from scipy.optimize import brentq

    return float(brentq(lambda gap: function(gap) - wanted, low, high, xtol=1e-14 * (high - low), rtol=1e-14))


def _shown(low: float, high: float, exact: float, level: float) -> bool:
    return (low > 0 or high < 0) and exact < 1.0 - level
