"""Several rigs side by side: each borrows from all, by how much they are seen to differ."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from setwright.basis.errors import BadInput

Floats = NDArray[np.float64]
_MEANS, _SPREADS = 100, 60
_LIKE = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class Shrunk:
    """Shares or rates of r rigs, drawn towards what all have in common.

    Parameters
    ----------
    mean, low, high : array (r,)
        Posterior mean and the 5 % and 95 % points: shares [-], or rates per night.
    common : float
        Posterior mean of what the rigs have in common.
    concentration : float
        Posterior median of how alike they are: as many animals (or nights) as a rig is worth before it is seen.
    differ : bool
        False when the rigs show no sign of a difference: the pooled figure then says as much.

    """

    mean: Floats
    low: Floats
    high: Floats
    common: float
    concentration: float
    differ: bool


def log_likelihood(hits: ArrayLike, trials: ArrayLike, mean: ArrayLike, concentration: ArrayLike) -> Floats:
    """Marginal likelihood of shares that vary by a beta law, in logarithms, summed over the rigs (last axis).

    Parameters
    ----------
    hits, trials : array (r,) [-]
        Counts of the rigs.
    mean, concentration : array [-]
        Mean of the law and sum of its parameters.

    """
    k, n = np.asarray(hits, dtype=float), np.asarray(trials, dtype=float)
    m, c = np.asarray(mean, dtype=float)[..., None], np.asarray(concentration, dtype=float)[..., None]
    ways = special.gammaln(n + 1.0) - special.gammaln(k + 1.0) - special.gammaln(n - k + 1.0)
    a, b = m * c, (1.0 - m) * c
    return np.asarray((ways + special.betaln(a + k, b + n - k) - special.betaln(a, b)).sum(axis=-1))


def shares(hits: ArrayLike, trials: ArrayLike) -> Shrunk:
    """Shares of several rigs by the full posterior over mean and concentration.

    Parameters
    ----------
    hits, trials : array (r,) [-]
        Counts of the rigs, two or more.

    Notes
    -----
    Prior: the mean even, the concentration c with density proportional to (1 + c)^−2, which says little. The grid
    goes from 0.1 to 10⁵ animals.

    """
    k, n = _counts(hits, trials)
    if np.any(k > n):
        raise BadInput("counts of rigs", field="hits", found=k.tolist(), allowed="no more than trials")
    mean = (np.arange(_MEANS) + 0.5) / _MEANS
    spread = np.geomspace(0.1, 1e5, _SPREADS)
    m, c = np.meshgrid(mean, spread, indexing="ij")
    log = log_likelihood(k, n, m, c) + np.log(c) - 2.0 * np.log1p(c)
    weight = _normal(log)
    a, b = m[..., None] * c[..., None] + k, (1.0 - m[..., None]) * c[..., None] + n - k
    centre = (weight[..., None] * a / (a + b)).sum(axis=(0, 1))
    grid = np.linspace(0.0, 1.0, 402)[1:-1]
    low, high = np.empty(k.size), np.empty(k.size)
    part = weight > weight.max() * 1e-4
    for rig in range(k.size):
        density = (a[part][:, rig, None] - 1) * np.log(grid) + (b[part][:, rig, None] - 1) * np.log1p(-grid)
        mixed = weight[part] @ np.exp(density - special.betaln(a[part][:, rig], b[part][:, rig])[:, None])
        low[rig], high[rig] = _points(grid, mixed)
    one = float(k.sum() / n.sum())
    same = float(log_likelihood(k, n, _inside(one), 1e5))
    differ = float(log_likelihood(k, n, m, c).max()) - same > 0.5 * _LIKE
    return Shrunk(centre, low, high, float((weight * m).sum()), _median(spread, weight.sum(axis=0)), differ)


def rates(count: ArrayLike, effort: ArrayLike) -> Shrunk:
    """Rates of several rigs by the full posterior over mean rate and shape of a gamma law.

    Parameters
    ----------
    count : array (r,) [-]
        What each rig caught.
    effort : array (r,) [night]
        Trap-nights of each.

    Notes
    -----
    Prior: the mean rate even in its logarithm within 30 times the pooled one, the shape s with density proportional
    to (1 + s)^−2. When the likelihood only grows towards an infinite shape the rigs show no sign of a difference.

    """
    k, nights = _counts(count, effort)
    if np.any(nights <= 0):
        raise BadInput("trap-nights of rigs", field="effort", found=nights.tolist(), allowed="above 0")
    pooled = max(float(k.sum()), 0.5) / float(nights.sum())
    mean = pooled * np.geomspace(1.0 / 30.0, 30.0, _MEANS)
    spread = np.geomspace(0.05, 1e5, _SPREADS)
    m, s = np.meshgrid(mean, spread, indexing="ij")
    like = _gamma_likelihood(k, nights, m, s)
    weight = _normal(like + np.log(s) - 2.0 * np.log1p(s))
    a, b = s[..., None] + k, (s / m)[..., None] + nights
    centre = (weight[..., None] * a / b).sum(axis=(0, 1))
    low, high = np.empty(k.size), np.empty(k.size)
    part = weight > weight.max() * 1e-4
    for rig in range(k.size):
        grid = np.linspace(0.0, 12.0 * float(centre[rig]), 601)[1:]
        density = a[part][:, rig, None] * np.log(b[part][:, rig, None]) - special.gammaln(a[part][:, rig])[:, None]
        density = density + (a[part][:, rig, None] - 1) * np.log(grid) - b[part][:, rig, None] * grid
        low[rig], high[rig] = _points(grid, weight[part] @ np.exp(density))
    same = float(_gamma_likelihood(k, nights, np.array(pooled), np.array(1e5)))
    differ = float(like.max()) - same > 0.5 * _LIKE
    return Shrunk(centre, low, high, float((weight * m).sum()), _median(spread, weight.sum(axis=0)), differ)


def _gamma_likelihood(k: Floats, nights: Floats, mean: Floats, shape: Floats) -> Floats:
    s, b = shape[..., None], (shape / mean)[..., None]
    log = special.gammaln(s + k) - special.gammaln(s) - special.gammaln(k + 1.0) - s * np.log1p(nights / b)
    return np.asarray((log + k * np.log(nights / (b + nights))).sum(axis=-1))


def _counts(first: ArrayLike, second: ArrayLike) -> tuple[Floats, Floats]:
    a, b = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    if a.shape != b.shape or a.ndim != 1 or a.size < 2 or np.any(a < 0) or np.any(b < 0) or b.sum() <= 0:
        raise BadInput("counts of two or more rigs", field="hits, trials", found=(a.tolist(), b.tolist()))
    return a, b


def _normal(log: Floats) -> Floats:
    weight = np.exp(log - log.max())
    return np.asarray(weight / weight.sum())


def _points(grid: Floats, density: Floats) -> tuple[float, float]:
    running = np.cumsum(density)
    low, high = np.interp((0.05, 0.95), running / running[-1], grid)
    return float(low), float(high)


def _median(grid: Floats, weight: Floats) -> float:
    return float(np.exp(np.interp(0.5, np.cumsum(weight), np.log(grid))))


def _inside(share: float) -> float:
    return min(max(share, 1e-9), 1.0 - 1e-9) if math.isfinite(share) else 0.5
