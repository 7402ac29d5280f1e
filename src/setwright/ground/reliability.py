"""Chance that an anchor gives way: log-normal strength against log-normal pulls."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.spread import normal_cdf

Floats = NDArray[np.float64]

# Even steps over the whole of a normal score: on such a bell the plain sum is exact far beyond what is known.
_SCORES = np.linspace(-8.0, 8.0, 161)
_WEIGHTS = np.exp(-0.5 * _SCORES**2) / np.sqrt(2 * np.pi) * (_SCORES[1] - _SCORES[0])
# Factor either way on the strength that formulas of piles and plates give for stakes and trap plates, if unproved.
DOUBT = 2.0


@dataclass(frozen=True, eq=False)
class Chance:
    """Chance with the band that the doubt about the strength leaves, any shape.

    Parameters
    ----------
    middle, low, high : ndarray
        As reckoned, with the strength raised and with it lowered by the factor of doubt [-].

    """

    middle: Floats
    low: Floats
    high: Floats


def _scatter(cov: ArrayLike) -> Floats:
    return np.asarray(np.sqrt(np.log1p(np.asarray(cov, dtype=float) ** 2)))


def mean_ratio(strength: ArrayLike, pull: ArrayLike, cov_pull: ArrayLike) -> Floats:
    """Mean strength over mean pull [-] from the figure of a formula and a typical lunge [N].

    The figure of a formula is taken as the mean of the strength, a typical lunge as the median of the pulls
    (assumed); the mean of a log-normal is its median × √(1 + V²).
    """
    mean_pull = np.asarray(pull, dtype=float) * np.sqrt(1.0 + np.asarray(cov_pull, dtype=float) ** 2)
    return np.asarray(np.asarray(strength, dtype=float) / mean_pull)


def index(ratio: ArrayLike, cov_strength: ArrayLike, cov_pull: ArrayLike) -> Floats:
    """Reliability index β of one pull [-] from mean strength over mean pull and both coefficients of variation.

    β = ln[(R/S) √((1+V_S²)/(1+V_R²))] / √ln[(1+V_R²)(1+V_S²)].
    """
    r, s = _scatter(cov_strength) ** 2, _scatter(cov_pull) ** 2
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray((np.log(np.asarray(ratio, dtype=float)) + 0.5 * (s - r)) / np.sqrt(r + s))


def failure(ratio: ArrayLike, cov_strength: ArrayLike, cov_pull: ArrayLike) -> Floats:
    """Chance that one pull exceeds the strength [-], Φ(−β)."""
    return normal_cdf(-index(ratio, cov_strength, cov_pull))


def failure_in(ratio: ArrayLike, cov_strength: ArrayLike, cov_pull: ArrayLike, lunges: ArrayLike) -> Floats:
    """Chance that one of N pulls on the same anchor exceeds its strength [-], ∫ f_R [1 − F_S^N] dr; any shape.

    Parameters
    ----------
    ratio : array_like
        Mean strength over mean pull [-].
    cov_strength, cov_pull : array_like
        Coefficients of variation [-].
    lunges : array_like
        Number of pulls, 0 to 1e5 [-].

    Notes
    -----
    All pulls meet one strength; 1 − (1 − p)^N would draw it anew each time and be far too high. The integral runs
    over the strength where the pulls scatter more, else over the greatest of the pulls, so that what is integrated
    is always smooth; sums over 161 even steps of the normal score are then good to 1e-6. With no scatter at all the
    answer is a step.

    """
    s_r, s_s = _scatter(cov_strength), _scatter(cov_pull)
    with np.errstate(divide="ignore", invalid="ignore"):
        middle = np.log(np.asarray(ratio, dtype=float)) + 0.5 * (s_s**2 - s_r**2)
    middle, s_r, s_s, many = np.broadcast_arrays(middle, s_r, s_s, np.asarray(lunges, dtype=float))
    by_strength = (s_s >= s_r).ravel()
    found = np.empty(by_strength.shape)
    flat = [part.ravel() for part in (middle, s_r, s_s, many)]
    for chosen, integral in ((by_strength, _over_strength), (~by_strength, _over_pulls)):
        if bool(chosen.any()):
            found[chosen] = integral(*(part[chosen] for part in flat))
    return np.asarray(np.clip(found, 0.0, 1.0).reshape(middle.shape))


def _over_strength(middle: Floats, s_r: Floats, s_s: Floats, many: Floats) -> Floats:
    with np.errstate(divide="ignore", invalid="ignore"):
        one = normal_cdf((middle[:, None] + s_r[:, None] * _SCORES) / s_s[:, None])
    return np.asarray((1.0 - one ** many[:, None]) @ _WEIGHTS)


def _over_pulls(middle: Floats, s_r: Floats, s_s: Floats, many: Floats) -> Floats:
    below = normal_cdf((s_s[:, None] * _SCORES - middle[:, None]) / s_r[:, None])
    greatest = many[:, None] * normal_cdf(_SCORES) ** (many[:, None] - 1.0)
    return np.asarray((below * greatest) @ _WEIGHTS)


def failure_worn(ratio: ArrayLike, cov_strength: ArrayLike, cov_pull: ArrayLike, share: ArrayLike) -> Floats:
    """Chance that an anchor that is worked loose gives way [-], ∫ f_R [1 − Π F_S(r w_i)] dr.

    Parameters
    ----------
    ratio, cov_strength, cov_pull : array_like
        As in `failure_in`, of the fresh anchor; shape (...).
    share : array_like
        Share w_i of its strength that is left at each pull [-], shape (N,).

    Notes
    -----
    Summed over the strength in 161 steps: good where the pulls scatter at least half as much as the strength.

    """
    s_r, s_s = _scatter(cov_strength), _scatter(cov_pull)
    left = np.asarray(share, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        middle = np.log(np.asarray(ratio, dtype=float)) + 0.5 * (s_s**2 - s_r**2)
        middle, s_r, s_s = np.broadcast_arrays(middle, s_r, s_s)
        survives = np.ones((*middle.shape, _SCORES.size))
        for one in left:
            strength = (middle + np.log(one))[..., None] + s_r[..., None] * _SCORES
            survives = survives * normal_cdf(strength / s_s[..., None])
    return np.asarray((1.0 - survives) @ _WEIGHTS)


def failure_band(
    ratio: ArrayLike, cov_strength: ArrayLike, cov_pull: ArrayLike, lunges: ArrayLike, doubt: ArrayLike = DOUBT
) -> Chance:
    """Chance of N pulls with the band that the doubt about the middle of the strength leaves.

    Parameters
    ----------
    ratio, cov_strength, cov_pull, lunges : array_like
        As in `failure_in`.
    doubt : array_like
        Factor either way on the strength, 2 without a proof pull (assumed); 1 for none [-].

    """
    middle, factor = np.asarray(ratio, dtype=float), np.asarray(doubt, dtype=float)
    at = (failure_in(middle * by, cov_strength, cov_pull, lunges) for by in (1.0, factor, 1.0 / factor))
    return Chance(*at)


def ratio_needed(chance: ArrayLike, cov_strength: ArrayLike, cov_pull: ArrayLike, lunges: ArrayLike) -> Floats:
    """Mean strength over mean pull [-] at which N pulls break out with a given chance; any shape.

    Parameters
    ----------
    chance : array_like
        Above 0 and below 1 [-]; NaN elsewhere.
    cov_strength, cov_pull, lunges : array_like
        As in `failure_in`.

    """
    wanted = np.asarray(chance, dtype=float)
    shape = np.broadcast_shapes(*(np.shape(part) for part in (wanted, cov_strength, cov_pull, lunges)))
    low, high = np.full(shape, -12.0), np.full(shape, 12.0)
    for _ in range(50):
        half = 0.5 * (low + high)
        enough = failure_in(np.exp(half), cov_strength, cov_pull, lunges) <= wanted
        low, high = np.where(enough, low, half), np.where(enough, half, high)
    return np.asarray(np.where((wanted > 0.0) & (wanted < 1.0), np.exp(0.5 * (low + high)), np.nan))
