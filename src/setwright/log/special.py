"""Distribution functions of the beta and the gamma law and their quantiles, for arrays, in NumPy alone."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

_LANCZOS = (
    0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
    12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
)  # fmt: skip
_STEPS, _HALVINGS, _TINY = 600, 90, 1e-300
# To look whether a sum has settled costs as much as a step of it.
_LOOK = 8


def log_gamma(value: ArrayLike) -> Floats:
    """Logarithm of the gamma function, any shape; NaN at or below zero.

    Parameters
    ----------
    value : array [-]
        Argument.

    References
    ----------
    Lanczos (1964), coefficients for g = 7 (memory); held to `math.lgamma` by the tests.

    """
    x = np.asarray(value, dtype=float)
    z = np.where(x > 0, x, np.nan) - 1.0
    series = _LANCZOS[0] + sum(weight / (z + number) for number, weight in enumerate(_LANCZOS[1:], start=1))
    shifted = z + 7.5
    return np.asarray(0.5 * np.log(2.0 * np.pi) + (z + 0.5) * np.log(shifted) - shifted + np.log(series))


def log_beta(first: ArrayLike, second: ArrayLike) -> Floats:
    """Logarithm of the beta function, any shape.

    Parameters
    ----------
    first, second : array [-]
        Parameters, above zero.

    """
    a, b = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    return np.asarray(log_gamma(a) + log_gamma(b) - log_gamma(a + b))


def beta_cdf(value: ArrayLike, first: ArrayLike, second: ArrayLike) -> Floats:
    """Chance that a beta variable is at most a value, any shape.

    Parameters
    ----------
    value : array [-]
        Share; below 0 and above 1 it is 0 and 1.
    first, second : array [-]
        Parameters, above zero; NaN otherwise.

    References
    ----------
    Continued fraction of the incomplete beta function by the method of Lentz (memory).

    """
    x, a, b = np.broadcast_arrays(*(np.asarray(part, dtype=float) for part in (value, first, second)))
    x = np.clip(x, 0.0, 1.0)
    swap = x > (a + 1.0) / (a + b + 2.0)
    p, q, y = np.where(swap, b, a), np.where(swap, a, b), np.where(swap, 1.0 - x, x)
    with np.errstate(divide="ignore", invalid="ignore"):
        front = np.exp(p * np.log(y) + q * np.log1p(-y) - log_beta(p, q)) / p
    part = np.where(y > 0, front * _beta_fraction(np.where(y > 0, y, 0.0), p, q), 0.0)
    good = (a > 0) & (b > 0)
    return np.asarray(np.where(good, np.clip(np.where(swap, 1.0 - part, part), 0.0, 1.0), np.nan))


def _beta_fraction(y: Floats, p: Floats, q: Floats) -> Floats:
    c = np.ones_like(y)
    d = 1.0 / _away(1.0 - (p + q) * y / (p + 1.0))
    total = d.copy()
    for m in range(1, _STEPS):
        before = total
        for top in (
            m * (q - m) * y / ((p + 2 * m - 1) * (p + 2 * m)),
            -(p + m) * (p + q + m) * y / ((p + 2 * m) * (p + 2 * m + 1)),
        ):
            d = 1.0 / _away(1.0 + top * d)
            c = _away(1.0 + top / c)
            total = total * d * c
        if m % _LOOK == 0 and np.all(np.abs(total - before) <= 1e-15 * np.abs(total)):
            break
    return total


def _away(value: Floats) -> Floats:
    return np.where(np.abs(value) < _TINY, _TINY, value)


def gamma_cdf(value: ArrayLike, shape: ArrayLike) -> Floats:
    """Chance that a gamma variable of scale 1 is at most a value, any shape.

    Parameters
    ----------
    value : array [-]
        Below 0 the chance is 0.
    shape : array [-]
        Parameter, above zero; NaN otherwise.

    References
    ----------
    Series and continued fraction of the incomplete gamma function (memory).

    """
    x, a = np.broadcast_arrays(np.asarray(value, dtype=float), np.asarray(shape, dtype=float))
    x = np.maximum(x, 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        front = np.exp(a * np.log(x) - x - log_gamma(a))
    low = x < a + 1.0
    some, rest = low & (x > 0) & (a > 0), ~low & (a > 0)
    found = np.where(a > 0, 0.0, np.nan)
    if some.any():
        found[some] = front[some] * _gamma_series(x[some], a[some])
    if rest.any():
        found[rest] = 1.0 - front[rest] * _gamma_fraction(x[rest], a[rest])
    return np.asarray(found)


def _gamma_series(x: Floats, a: Floats) -> Floats:
    term = 1.0 / a
    total = term
    for step in range(1, 40 * _STEPS):
        term = term * x / (a + step)
        total = total + term
        if step % _LOOK == 0 and np.all(term <= 1e-16 * total):
            break
    return total


def _gamma_fraction(x: Floats, a: Floats) -> Floats:
    b = x + 1.0 - a
    c = np.full_like(x, 1.0 / _TINY)
    d = 1.0 / _away(b)
    total = d
    for step in range(1, 40 * _STEPS):
        top = -step * (step - a)
        b = b + 2.0
        d = 1.0 / _away(top * d + b)
        c = _away(b + top / c)
        total = total * d * c
        if step % _LOOK == 0 and np.all(np.abs(d * c - 1.0) < 1e-15):
            break
    return total


def beta_quantile(chance: ArrayLike, first: ArrayLike, second: ArrayLike) -> Floats:
    """Share below which a beta variable lies with a chance, any shape.

    Parameters
    ----------
    chance : array [-]
        0 to 1.
    first, second : array [-]
        Parameters, above zero; NaN otherwise.

    """
    wanted, a, b = np.broadcast_arrays(*(np.asarray(part, dtype=float) for part in (chance, first, second)))
    good = (a > 0) & (b > 0) & (wanted >= 0) & (wanted <= 1)
    a, b, target = np.where(good, a, 1.0), np.where(good, b, 1.0), np.where(good, wanted, 0.5)
    front = log_beta(a, b)

    def slope(x: Floats) -> Floats:
        return np.exp((a - 1.0) * np.log(x) + (b - 1.0) * np.log1p(-x) - front)

    start = a / (a + b)
    found = _invert(lambda x: beta_cdf(x, a, b), slope, target, np.zeros(a.shape), np.ones(a.shape), start)
    return np.asarray(np.where(good, found, np.nan))


def gamma_quantile(chance: ArrayLike, shape: ArrayLike) -> Floats:
    """Value below which a gamma variable of scale 1 lies with a chance, any shape.

    Parameters
    ----------
    chance : array [-]
        0 to below 1.
    shape : array [-]
        Parameter, above zero; NaN otherwise.

    """
    wanted, a = np.broadcast_arrays(np.asarray(chance, dtype=float), np.asarray(shape, dtype=float))
    good = (a > 0) & (wanted >= 0) & (wanted < 1)
    a = np.where(good, a, 1.0)
    target = np.where(good, wanted, 0.5)
    high = a + 10.0
    while np.any(short := gamma_cdf(high, a) < target):
        high = np.where(short, 2.0 * high, high)
    front = log_gamma(a)

    def slope(x: Floats) -> Floats:
        return np.exp((a - 1.0) * np.log(x) - x - front)

    found = _invert(lambda x: gamma_cdf(x, a), slope, target, np.zeros(a.shape), high, a)
    return np.asarray(np.where(good, found, np.nan))


def _invert(
    function: Callable[[Floats], Floats],
    slope: Callable[[Floats], Floats],
    wanted: Floats,
    low: Floats,
    high: Floats,
    start: Floats,
) -> Floats:
    """Newton's steps, and halving wherever a step would leave the bracket or gains too little."""
    x = start
    width = high - low
    for number in range(2 * _HALVINGS):
        gap = function(x) - wanted
        low, high = np.where(gap < 0, x, low), np.where(gap < 0, high, x)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            step = x - gap / slope(x)
        bad = ~((step > low) & (step < high))
        if number % 4 == 3:
            bad |= high - low > 0.5 * width
            width = high - low
        after = np.where(gap == 0, x, np.where(bad, 0.5 * (low + high), step))
        done = np.all(np.abs(after - x) <= 4e-15 * np.abs(after))
        x = after
        if done:
            break
    return np.asarray(x)
