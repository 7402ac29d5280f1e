"""Chance that an anchor gives way: log-normal strength against log-normal pulls."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.spread import normal_cdf

Floats = NDArray[np.float64]


def _scatter(cov: ArrayLike) -> Floats:
    return np.asarray(np.sqrt(np.log1p(np.asarray(cov, dtype=float) ** 2)))


def index(ratio: ArrayLike, cov_strength: ArrayLike, cov_pull: ArrayLike) -> Floats:
    """Reliability index β of one pull [-] from mean strength over mean pull and both coefficients of variation.

    β = ln[(R/S) √((1+V_S²)/(1+V_R²))] / √ln[(1+V_R²)(1+V_S²)].
    """
    r, s = _scatter(cov_strength) ** 2, _scatter(cov_pull) ** 2
    return np.asarray((np.log(np.asarray(ratio, dtype=float)) + 0.5 * (s - r)) / np.sqrt(r + s))


def failure(ratio: ArrayLike, cov_strength: ArrayLike, cov_pull: ArrayLike) -> Floats:
    """Chance that one pull exceeds the strength [-], Φ(−β)."""
    return normal_cdf(-index(ratio, cov_strength, cov_pull))


def failure_in(ratio: float, cov_strength: float, cov_pull: float, lunges: float) -> float:
    """Chance that one of N pulls on the same anchor exceeds its strength [-], ∫ f_R [1 − F_S^N] dr.

    All pulls meet one strength; 1 − (1 − p)^N would draw it anew each time and be far too high.
    """
    z = np.linspace(-8.0, 8.0, 4001)
    density = np.exp(-0.5 * z**2) / np.sqrt(2 * np.pi)
    s_r, s_s = float(_scatter(cov_strength)), float(_scatter(cov_pull))
    strength = np.log(ratio) - 0.5 * s_r**2 + s_r * z
    one = normal_cdf((strength + 0.5 * s_s**2) / s_s)
    return float(np.sum(density * (1.0 - one**lunges)) * (z[1] - z[0]))
