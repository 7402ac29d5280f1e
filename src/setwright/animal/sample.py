"""What a small sample says of a share: exact binomial chances and bounds."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import BadInput

Floats = NDArray[np.float64]

LEVEL = 0.95
_HALVINGS = 60


def _tail(good: int, total: int, share: Floats) -> Floats:
    """P(X ≥ good) of a binomial, shape of `share`; terms in logarithms, so that large samples do not overflow."""
    if good <= 0:
        return np.ones_like(share)
    number = np.arange(good, total + 1)
    ways = np.array([math.lgamma(total + 1) - math.lgamma(k + 1) - math.lgamma(total - k + 1) for k in number])
    p = share[..., None]
    with np.errstate(divide="ignore", invalid="ignore"):
        heads = np.where(number > 0, number * np.log(p), 0.0)
        tails = np.where(total - number > 0, (total - number) * np.log1p(-p), 0.0)
    return np.asarray(np.minimum(np.exp(ways + heads + tails).sum(axis=-1), 1.0))


def at_least(good: ArrayLike, total: ArrayLike, share: ArrayLike) -> Floats:
    """Chance that a trap of a true share has so many good results, or more.

    Parameters
    ----------
    good, total : int or array
        Good results out of all.
    share : float or array [-]
        True share, 0 to 1.

    Returns
    -------
    array [-]
        P(X ≥ good), X binomial; NaN where `good` is not 0 to `total`, or `share` not 0 to 1.

    References
    ----------
    Textbook formula (memory).

    """
    found = np.broadcast_arrays(np.asarray(good), np.asarray(total), np.asarray(share, dtype=float))
    flat = [
        float(_tail(int(k), int(n), np.asarray(p))) if 0 <= k <= n and 0.0 <= p <= 1.0 else math.nan
        for k, n, p in zip(*(part.ravel() for part in found), strict=True)
    ]
    return np.array(flat).reshape(found[0].shape)


def lower_bound(good: ArrayLike, total: ArrayLike, level: float = LEVEL) -> Floats:
    """Exact one-sided lower bound of a share (Clopper and Pearson).

    Parameters
    ----------
    good, total : int or array
        Good results out of all.
    level : float [-]
        Confidence of the one side; 0.975 gives the lower end of the usual two-sided 95 % interval.

    Returns
    -------
    array [-]
        The share at which so many good results have the chance 1 − level; 0 without good results or without any;
        NaN where `good` is not 0 to `total`.

    Raises
    ------
    BadInput
        When `level` does not lie between 0 and 1.

    Notes
    -----
    Animals are taken as independent with one share. Two held in one cold night, or one animal caught twice, are not:
    the truth is then wider.

    References
    ----------
    Clopper and Pearson (1934), Biometrika 26:404 (memory).

    """
    if not 0.0 < level < 1.0:
        raise BadInput("a level of confidence", field="level", found=level, allowed="between 0 and 1")
    hits, trials = np.broadcast_arrays(np.asarray(good), np.asarray(total))
    low, high = np.zeros(hits.shape), np.ones(hits.shape)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        rare = at_least(hits, trials, middle) < 1.0 - level
        low, high = np.where(rare, middle, low), np.where(rare, high, middle)
    valid = (hits >= 0) & (hits <= trials)
    return np.asarray(np.where(valid, np.where(hits == 0, 0.0, low), np.nan))


def upper_bound(good: ArrayLike, total: ArrayLike, level: float = LEVEL) -> Floats:
    """Exact one-sided upper bound of a share (Clopper and Pearson); see `lower_bound`.

    Parameters
    ----------
    good, total : int or array
        Good results out of all.
    level : float [-]
        Confidence of the one side.

    Returns
    -------
    array [-]
        1 when every result is good or there is none; NaN where `good` is not 0 to `total`.

    """
    hits, trials = np.asarray(good), np.asarray(total)
    return np.asarray(1.0 - lower_bound(trials - hits, trials, level))


def animals_needed(bad: int, share: float, level: float = LEVEL, most: int = 100000) -> int | None:
    """Fewest animals, `bad` of them bad, whose lower bound lies above a share.

    Parameters
    ----------
    bad : int
        Bad results.
    share : float [-]
        The line, between 0 and 1.
    level : float [-]
        Confidence of the bound.
    most : int
        Where to stop looking.

    Returns
    -------
    int or None
        Number of animals; None when it is above `most`.

    """
    if bad < 0 or not 0.0 < share < 1.0:
        raise BadInput("a number of animals and a share", field="bad, share", found=f"{bad}, {share}")

    def enough(total: int) -> bool:
        return bool(at_least(total - bad, total, share) < 1.0 - level)

    low, high = bad, bad + 1
    while not enough(high):
        low, high = high, 2 * high
        if low >= most:
            return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high if high <= most else None
