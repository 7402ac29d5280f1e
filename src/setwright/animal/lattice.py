"""Even fill of the unit cube, by which individuals and steps are drawn the same for every animal."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from setwright.basis.spread import normal_cdf

Floats = NDArray[np.float64]


@lru_cache(maxsize=16)
def _lattice(inner: int) -> NDArray[np.intp]:
    """Ranks of the best Korobov lattice of `inner` points in three columns, shape (3, inner).

    Best by the worst-case error of smooth periodic functions, P₂ = mean Π (1 + 2 π² B₂(x)) − 1.
    """
    point = np.arange(inner)
    best, least = np.tile(point, (3, 1)), np.inf
    for step in range(1, max(inner, 2)):
        if np.gcd(step, inner) > 1:
            continue
        ranks = np.stack([point, point * step % inner, point * (step * step % inner) % inner])
        x = ranks / inner
        error = float(np.prod(1 + 2 * np.pi**2 * (x * x - x + 1 / 6), axis=0).mean())
        if error < least - 1e-12:
            best, least = ranks, error
    return best


@lru_cache(maxsize=64)
def strata(inner: int, seed: int, column: int) -> Floats:
    """Mid-points of equal strata of (0, 1), one column of a lattice turned by a seeded shift.

    Parameters
    ----------
    inner : int
        Number of strata.
    seed : int
        Turns the order; the same seed gives the same order.
    column : int
        0 coupling, 1 individuals, 2 share of the weight.

    Returns
    -------
    array (inner,) [-]
        Read only.

    """
    shift = int(np.random.default_rng([seed, column]).integers(inner))
    found = ((_lattice(inner)[column] + shift) % inner + 0.5) / inner
    found.setflags(write=False)
    return np.asarray(found)


@lru_cache(maxsize=1)
def _normal_points() -> tuple[Floats, Floats]:
    score = np.linspace(-6.0, 6.0, 12001)
    return normal_cdf(score), score


def normal_score(probability: Floats) -> Floats:
    """Inverse of the standard normal distribution function by interpolation, any shape; −6 to 6."""
    return np.asarray(np.interp(probability, *_normal_points()))
