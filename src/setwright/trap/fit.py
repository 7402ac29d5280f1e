"""Least squares on unknowns of standard normal prior, and the normal law around the best point."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from setwright.trap.model import Floats

Misfits = Callable[[Floats], Floats]

# Half the step of the differences, in prior standard deviations: well above the error of the nodes.
STEP = 0.02
ITERATIONS = 40
_DAMPING = (0.0, 1e-2, 1e-1, 1.0, 10.0, 100.0)
_DONE = 1e-9


@dataclass(frozen=True)
class Fit:
    """Best point of d unknowns of standard normal prior, and the normal law around it.

    Parameters
    ----------
    mode : array, shape (d,) [-]
        Most probable scores.
    covariance, factor : array, shape (d, d) [-]
        (I + JᵀJ)⁻¹ and its lower Cholesky factor.
    jacobian : array, shape (m, d) [-]
        Misfits by scores at the mode.
    residuals : array, shape (m,) [-]
        Misfits at the mode, in standard deviations.
    cost : float [-]
        Sum of squares of scores and misfits.
    iterations : int
        Steps taken.
    settled : bool
        False when the steps ended before the cost stood still, or no start could be computed.

    """

    mode: Floats
    covariance: Floats
    factor: Floats
    jacobian: Floats
    residuals: Floats
    cost: float
    iterations: int
    settled: bool


def jacobian(misfits: Callable[[Floats], Floats], point: Floats, *, step: float = STEP) -> Floats:
    """Derivatives of a batched function at one point by differences, in one call.

    Parameters
    ----------
    misfits : callable, (n, d) -> (n, m)
        Any function of rows of scores.
    point : array, shape (d,) [-]
        Where.
    step : float [-]
        Half the difference.

    Returns
    -------
    array, shape (m, d)
        One-sided where one side cannot be computed, 0 where none can.

    """
    shifts = step * np.eye(point.size)
    found = misfits(np.concatenate((point + shifts, point - shifts, point[None])))
    above, below, here = found[: point.size], found[point.size : -1], found[-1:]
    with np.errstate(invalid="ignore"):
        both = (above - below) / (2.0 * step)
        one = np.where(np.isfinite(above), (above - here) / step, (here - below) / step)
    return np.asarray(np.where(np.isfinite(both), both, np.where(np.isfinite(one), one, 0.0)).T)


def fit(misfits: Misfits, size: int, *, starts: int = 3, seed: int = 20, iterations: int = ITERATIONS) -> Fit:
    """Most probable scores under readings, with prior N(0, I).

    Parameters
    ----------
    misfits : callable, (n, d) -> (n, m)
        Misfits of every reading in standard deviations; infinite where a design cannot be.
    size : int
        Number of unknowns d.
    starts : int
        Points tried when the first one, 0, ends in a poor fit.
    seed : int
        Of the other starts.
    iterations : int
        Most steps from each start.

    Notes
    -----
    Levenberg-Marquardt on scores and misfits together; all dampings of a step are tried in one call. A fit is
    poor when its cost lies above m + 4 √(2 m).

    References
    ----------
    Levenberg 1944 and Marquardt 1963, as in any text on least squares (memory).

    """
    rng = np.random.default_rng(seed)
    best: Fit | None = None
    for start in range(max(starts, 1)):
        point = np.zeros(size) if start == 0 else 0.7 * rng.standard_normal(size)
        found = _descend(misfits, point, iterations)
        if best is None or found.cost < best.cost:
            best = found
        count = found.residuals.size
        if best.settled and best.cost <= count + 4.0 * np.sqrt(2.0 * count):
            break
    assert best is not None
    return best


def costs_of(points: Floats, residuals: Floats) -> Floats:
    """Sums of squares of scores and misfits, row by row: minus twice the log posterior.

    Parameters
    ----------
    points, residuals : array, shapes (n, d) and (n, m) [-]
        Scores, and misfits in standard deviations.

    """
    return np.asarray(np.sum(points**2, axis=-1) + np.sum(residuals**2, axis=-1))


def _descend(misfits: Misfits, point: Floats, iterations: int) -> Fit:
    here = misfits(point[None])
    cost = float(costs_of(point[None], here)[0])
    scale, count, settled = 1.0, 0, False
    slopes = jacobian(misfits, point)
    while np.isfinite(cost) and count < iterations:
        count += 1
        information = np.eye(point.size) + slopes.T @ slopes
        gradient = point + slopes.T @ here[0]
        diagonal = np.diag(np.diag(information))
        steps = np.stack([-np.linalg.solve(information + damp * scale * diagonal, gradient) for damp in _DAMPING])
        tried = misfits(point + steps)
        costs = np.where(np.isfinite(tried).all(axis=-1), costs_of(point + steps, tried), np.inf)
        pick = int(np.argmin(costs))
        if not costs[pick] < cost:
            settled = scale >= 1e3 or float(np.max(np.abs(steps[0]))) < 1e-4
            if settled:
                break
            scale *= 10.0
            continue
        gained = cost - float(costs[pick])
        point, here, cost = point + steps[pick], tried[pick][None], float(costs[pick])
        scale = max(scale * (0.3 if pick < 2 else 2.0), 1e-3)
        slopes = jacobian(misfits, point)
        if gained < _DONE * (1.0 + cost):
            settled = True
            break
    covariance = np.linalg.inv(np.eye(point.size) + slopes.T @ slopes)
    covariance = 0.5 * (covariance + covariance.T)
    factor = np.asarray(np.linalg.cholesky(covariance), dtype=float)
    return Fit(point, covariance, factor, slopes, here[0], cost, count, settled)
