"""Nights of one set are no independent trials: scatter between sets, and intervals that draw whole sets."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import BadInput
from setwright.log.rates import LEVEL, Interval

Floats = NDArray[np.float64]


def dispersion(count: ArrayLike, effort: ArrayLike) -> float:
    """Pearson's scatter between sets: 1 when they differ as chance alone makes them.

    Parameters
    ----------
    count : array (n,) [-]
        Events of each set.
    effort : array (n,) [night]
        Trap-nights of each; sets without any are left out.

    Returns
    -------
    float [-]
        NaN for fewer than two sets or without events. Above 1, an interval is made wider by its root.

    """
    k, nights = np.asarray(count, dtype=float), np.asarray(effort, dtype=float)
    k, nights = k[nights > 0], nights[nights > 0]
    if k.size < 2 or k.sum() <= 0:
        return float("nan")
    mean = nights * k.sum() / nights.sum()
    return float(np.sum((k - mean) ** 2 / mean) / (k.size - 1))


def widened(low: ArrayLike, middle: ArrayLike, high: ArrayLike, scatter: float) -> Interval:
    """Interval made wider about its middle by the root of the scatter, never narrower.

    Parameters
    ----------
    low, middle, high : array
        Interval and estimate, not below zero.
    scatter : float [-]
        As `dispersion` gives it; NaN or below 1 changes nothing.

    """
    factor = np.sqrt(scatter) if scatter > 1.0 else 1.0
    bottom, centre, top = (np.asarray(part, dtype=float) for part in (low, middle, high))
    return Interval(
        np.maximum(centre - factor * (centre - bottom), 0.0), np.asarray(centre + factor * (top - centre))
    )


def bootstrap(top: ArrayLike, bottom: ArrayLike, level: float = LEVEL, draws: int = 2000, seed: int = 20) -> Interval:
    """Interval of a ratio of sums, by drawing whole sets again and again.

    Parameters
    ----------
    top, bottom : array (n,)
        What is summed above and below the line for each set, such as catches and trap-nights.
    level : float [-]
        Of the interval.
    draws : int
        How often.
    seed : int
        Same seed, same answer.

    Returns
    -------
    Interval
        NaN for fewer than five sets, which tell nothing of how sets scatter.

    """
    above, below = np.asarray(top, dtype=float), np.asarray(bottom, dtype=float)
    if above.shape != below.shape or above.ndim != 1:
        raise BadInput("one figure a set above and below", field="top, bottom", found=(above.shape, below.shape))
    if above.size < 5:
        return Interval(np.array(np.nan), np.array(np.nan))
    ratio = _drawn(above, below, draws, seed)
    if np.isnan(ratio).any():
        return Interval(np.array(np.nan), np.array(np.nan))
    low, high = np.quantile(ratio, (0.5 * (1.0 - level), 0.5 * (1.0 + level)))
    return Interval(np.asarray(low), np.asarray(high))


def _drawn(above: Floats, below: Floats, draws: int, seed: int) -> Floats:
    """Ratios of as many sets as there are, drawn with putting back; NaN without effort, shape (draws,)."""
    chosen = np.random.default_rng(seed).integers(0, above.size, (draws, above.size))
    under = below[chosen].sum(axis=1)
    over = above[chosen].sum(axis=1)
    return np.asarray(np.divide(over, under, out=np.full(draws, np.nan), where=under > 0))


def difference(
    first: tuple[ArrayLike, ArrayLike],
    second: tuple[ArrayLike, ArrayLike],
    level: float = LEVEL,
    draws: int = 2000,
    seed: int = 20,
) -> Interval:
    """Interval of the difference of two ratios of sums, second less first, by drawing whole sets of each.

    Parameters
    ----------
    first, second : pair of array
        Above and below the line for each set, as for `bootstrap`.
    level, draws, seed : float, int, int
        As for `bootstrap`.

    Returns
    -------
    Interval
        NaN when either has fewer than five sets.

    """
    drawn = []
    for number, (top, bottom) in enumerate((first, second)):
        above, below = np.asarray(top, dtype=float), np.asarray(bottom, dtype=float)
        if above.size < 5:
            return Interval(np.array(np.nan), np.array(np.nan))
        drawn.append(_drawn(above, below, draws, seed + number))
    gap = drawn[1] - drawn[0]
    if np.isnan(gap).any():
        return Interval(np.array(np.nan), np.array(np.nan))
    low, high = np.quantile(gap, (0.5 * (1.0 - level), 0.5 * (1.0 + level)))
    return Interval(np.asarray(low), np.asarray(high))
