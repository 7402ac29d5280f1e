"""Shares and rates with their intervals: what so many animals, or so many trap-nights, can say."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from setwright.basis.errors import BadInput

Floats = NDArray[np.float64]
LEVEL = 0.95


@dataclass(frozen=True, slots=True, eq=False)
class Interval:
    """Both ends of an interval, any shape.

    Parameters
    ----------
    low, high : array
        NaN where the counts are impossible.

    """

    low: Floats
    high: Floats


def _tails(level: float) -> tuple[float, float]:
    if not 0.0 < level < 1.0:
        raise BadInput("a level of confidence", field="level", found=level, allowed="between 0 and 1")
    return 0.5 * (1.0 - level), 0.5 * (1.0 + level)


def _counts(hits: ArrayLike, trials: ArrayLike) -> tuple[Floats, Floats]:
    k, n = np.broadcast_arrays(np.asarray(hits, dtype=float), np.asarray(trials, dtype=float))
    good = (k >= 0) & (k <= n)
    return np.where(good, k, np.nan), np.where(good, n, np.nan)


def jeffreys(hits: ArrayLike, trials: ArrayLike, level: float = LEVEL) -> Interval:
    """Interval of a share with Jeffreys' prior, any shape; the one that is shown.

    Parameters
    ----------
    hits, trials : array [-]
        Counts; none of none gives the interval of the prior.
    level : float [-]
        Chance that the interval holds.

    References
    ----------
    Brown, Cai & DasGupta (2001), Statistical Science 16:101-133 (memory).

    """
    k, n = _counts(hits, trials)
    low, high = _tails(level)
    ends = (np.asarray(special.betaincinv(k + 0.5, n - k + 0.5, tail), dtype=float) for tail in (low, high))
    return Interval(*ends)


def clopper_pearson(hits: ArrayLike, trials: ArrayLike, level: float = LEVEL) -> Interval:
    """Exact interval of a share, any shape; the one that decides.

    Parameters
    ----------
    hits, trials : array [-]
        Counts.
    level : float [-]
        Confidence of both sides together.

    References
    ----------
    Clopper & Pearson (1934), Biometrika 26:404-413 (memory).

    """
    k, n = _counts(hits, trials)
    low, high = _tails(level)
    bottom = np.where(k > 0, special.betaincinv(np.where(k > 0, k, 1.0), n - k + 1.0, low), 0.0)
    top = np.where(k < n, special.betaincinv(k + 1.0, np.where(k < n, n - k, 1.0), high), 1.0)
    bad = np.isnan(k)
    return Interval(np.where(bad, np.nan, bottom), np.where(bad, np.nan, top))


def wilson(hits: ArrayLike, trials: ArrayLike, level: float = LEVEL) -> Interval:
    """Score interval of a share, any shape.

    Parameters
    ----------
    hits, trials : array [-]
        Counts; NaN without trials.
    level : float [-]
        Confidence of both sides together.

    References
    ----------
    Wilson (1927), Journal of the American Statistical Association 22:209-212 (memory).

    """
    k, n = _counts(hits, trials)
    n = np.where(n > 0, n, np.nan)
    from statistics import NormalDist

    z = NormalDist().inv_cdf(_tails(level)[1])
    middle = (k + 0.5 * z * z) / (n + z * z)
    half = z * np.sqrt(k * (n - k) / n + 0.25 * z * z) / (n + z * z)
    return Interval(np.maximum(middle - half, 0.0), np.minimum(middle + half, 1.0))


def none_seen(trials: ArrayLike, level: float = LEVEL) -> Floats:
    """Upper limit of a share of which none was seen, any shape.

    Parameters
    ----------
    trials : array [-]
        How many were looked at; without any the limit is 1.
    level : float [-]
        Confidence of the one side.

    References
    ----------
    Hanley & Lippman-Hand (1983), Journal of the American Medical Association 249:1743-1745 (memory).

    """
    _tails(level)
    n = np.asarray(trials, dtype=float)
    with np.errstate(divide="ignore"):
        return np.asarray(np.where(n >= 0, -np.expm1(np.log(1.0 - level) / n), np.nan))


def garwood(count: ArrayLike, effort: ArrayLike = 1.0, level: float = LEVEL) -> Interval:
    """Exact interval of a rate, any shape, per unit of `effort`.

    Parameters
    ----------
    count : array [-]
        What was counted.
    effort : array [night]
        Trap-nights; NaN at or below zero.
    level : float [-]
        Confidence of both sides together.

    References
    ----------
    Garwood (1936), Biometrika 28:437-442 (memory).

    """
    k, nights = _rate(count, effort)
    low, high = _tails(level)
    bottom = np.where(k > 0, special.gammaincinv(np.where(k > 0, k, 1.0), low), 0.0)
    return Interval(bottom / nights, special.gammaincinv(k + 1.0, high) / nights)


def jeffreys_rate(count: ArrayLike, effort: ArrayLike = 1.0, level: float = LEVEL) -> Interval:
    """Interval of a rate with Jeffreys' prior, any shape, per unit of `effort`.

    Parameters
    ----------
    count : array [-]
        What was counted.
    effort : array [night]
        Trap-nights; NaN at or below zero.
    level : float [-]
        Chance that the interval holds.

    """
    k, nights = _rate(count, effort)
    low, high = _tails(level)
    return Interval(special.gammaincinv(k + 0.5, low) / nights, special.gammaincinv(k + 0.5, high) / nights)


def upper_rate(count: ArrayLike, effort: ArrayLike, level: float = LEVEL) -> Floats:
    """Exact one-sided upper limit of a rate, any shape, per unit of `effort`.

    Parameters
    ----------
    count : array [-]
        What was counted; also none.
    effort : array [night]
        Trap-nights; NaN at or below zero.
    level : float [-]
        Confidence of the one side.

    """
    _tails(level)
    k, nights = _rate(count, effort)
    return np.asarray(special.gammaincinv(k + 1.0, level) / nights)


def _rate(count: ArrayLike, effort: ArrayLike) -> tuple[Floats, Floats]:
    k, nights = np.broadcast_arrays(np.asarray(count, dtype=float), np.asarray(effort, dtype=float))
    good = (k >= 0) & (nights > 0)
    return np.where(good, k, np.nan), np.where(good, nights, np.nan)


def chance_above(hits: ArrayLike, trials: ArrayLike, line: ArrayLike) -> Floats:
    """Chance that a share lies above a line, with Jeffreys' prior, any shape.

    Parameters
    ----------
    hits, trials : array [-]
        Counts.
    line : array [-]
        Share, 0 to 1.

    """
    k, n = _counts(hits, trials)
    return np.asarray(1.0 - special.betainc(k + 0.5, n - k + 0.5, np.asarray(line, dtype=float)), dtype=float)
