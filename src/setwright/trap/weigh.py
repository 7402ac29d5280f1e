"""Draws of the normal law of a fit, bent and weighted to the true posterior, or walked to it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from setwright.trap.fit import Fit, Misfits, costs_of
from setwright.trap.model import Floats

# The greatest weights, this share of the draws at most, decide what tail they have.
_TAIL_SHARE = 0.2
# Bending is held below this many standard deviations of a reading, and done in this many rounds.
_LARGEST_BEND = 6.0
_ROUNDS = 2
_STEP = 0.02
# Logarithm of the weight of what cannot be, finite so that it may be multiplied by a degree.
_NEVER = -1e12
# The walks begin in a law this much wider than that of the fit, so that another branch is not missed.
_WIDENED = 1.2
# So that weights of a matched law have no long tail.
_MARGIN = 1.05
# Share of moves that should be taken, and steps of the search for the next degree.
_TAKEN = 0.35
_HALVINGS = 30


@dataclass(frozen=True)
class Bend:
    """Readings that curve most, for draws that follow their curve.

    Parameters
    ----------
    rows : array, shape (k,)
        Which of the misfits they are.
    part : callable, (n, d) -> (n, k)
        Their misfits alone; called often, so it should be quick.

    """

    rows: NDArray[np.intp]
    part: Misfits


@dataclass(frozen=True)
class Weighted:
    """Draws of the normal law with what makes up for its error.

    Parameters
    ----------
    scores : array, shape (n, d) [-]
        Draws of the unknowns.
    weights : array, shape (n,) [-]
        Shares that sum to 1.
    effective : float [-]
        Share of the draws that count, 1/(n Σ w²).
    tail : float [-]
        Shape of the tail of the weights; above 0.7 they cannot be trusted.

    """

    scores: Floats
    weights: Floats
    effective: float
    tail: float


def weigh(misfits: Misfits, law: Fit, normals: Floats, bend: Bend | None = None) -> Weighted:
    """Draws around a fit, weighted to the true posterior.

    Parameters
    ----------
    misfits : callable, (n, d) -> (n, m)
        As for `setwright.trap.fit.fit`.
    law : Fit
        The normal law.
    normals : array, shape (n, d) [-]
        Standard normal draws.
    bend : Bend, optional
        Readings whose curve the draws shall follow.

    Notes
    -----
    Plain: u = mode + factor z, ln w = −½(|u|² + |r(u)|²) + ½|z|². Bent: u moves on by −C Jᵀδ(u) to where the
    curved readings are met as their straight line would be, δ being curve less line, in two rounds; the weight
    gets the determinant of that move, which for k readings is of k columns only. The tail is the mean of the
    logarithms of the greatest weights over the least of them (Hill).

    References
    ----------
    Hill 1975; limits of trust after Vehtari, Simpson, Gelman, Yao & Gabry, *Pareto smoothed importance
    sampling* (memory). Draws that solve the equations: Bardsley, Solonen, Haario & Laine 2014 (memory).

    """
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        scores = law.mode + normals @ law.factor.T
        stretch: Floats = np.zeros(normals.shape[0])
        if bend is not None:
            scores, stretch = _bent(law, scores, bend)
        known = np.asarray(np.isfinite(scores).all(axis=-1))
        scores = np.where(known[:, None], scores, law.mode)
        logs = -0.5 * costs_of(scores, misfits(scores)) + 0.5 * np.sum(normals**2, axis=-1) + stretch
    return _weighted(scores, np.where(known & np.isfinite(logs), logs, -np.inf))


def _bent(law: Fit, straight: Floats, bend: Bend) -> tuple[Floats, Floats]:
    """Scores moved along the curve of some readings, and the logarithm of the determinant of the move."""
    slopes, offset = law.jacobian[bend.rows], law.residuals[bend.rows]
    moves = law.covariance @ slopes.T

    def curve(scores: Floats) -> Floats:
        return np.asarray(bend.part(scores) - offset - (scores - law.mode) @ slopes.T)

    scores, change = straight, np.eye(bend.rows.size)
    for _ in range(_ROUNDS):
        here = curve(scores)
        along = [(curve(scores + _STEP * move) - here) / _STEP for move in moves.T]
        held = np.tanh(here / _LARGEST_BEND)
        change = np.eye(bend.rows.size) - (np.stack(along, axis=-1) * (1.0 - held**2)[..., None]) @ change
        scores = straight - _LARGEST_BEND * held @ moves.T
    known = np.asarray(np.isfinite(change).all(axis=(-2, -1)))
    found = np.linalg.det(np.where(known[..., None, None], change, 0.0))
    return np.asarray(scores), np.where(found > 0.0, np.log(np.where(found > 0.0, found, 1.0)), -np.inf)


def _weighted(scores: Floats, logs: Floats) -> Weighted:
    n = logs.size
    if not np.isfinite(logs).any():
        return Weighted(scores, np.full(n, 1.0 / n), 0.0, np.inf)
    weights = np.exp(logs - np.max(logs))
    weights = weights / np.sum(weights)
    count = int(min(_TAIL_SHARE * n, 3.0 * np.sqrt(n)))
    tail = 0.0
    if count > 1:
        top = np.sort(logs)[-count - 1 :]
        tail = float(np.mean(top[1:] - top[0])) if np.isfinite(top[0]) else np.inf
    return Weighted(scores, weights, float(1.0 / (n * np.sum(weights**2))), tail)


def in_place(weights: Floats) -> NDArray[np.intp]:
    """Rows that stand for each row after resampling: a row that stays keeps its own place.

    Parameters
    ----------
    weights : array, shape (n,) [-]
        Shares that sum to 1.

    Notes
    -----
    Systematic resampling from the middle of each interval, so that no chance is in it; places of rows that
    fall out go to the surplus of those that count more than once. Draws shared by two traps stay paired as
    far as the weights allow.

    References
    ----------
    Kitagawa 1996, systematic resampling (memory).

    """
    n = weights.size
    edges = np.cumsum(weights) / np.sum(weights)
    picks = np.minimum(np.searchsorted(edges, (np.arange(n) + 0.5) / n), n - 1)
    counts = np.bincount(picks, minlength=n)
    rows = np.arange(n)
    rows[counts == 0] = np.repeat(np.arange(n), np.maximum(counts - 1, 0))
    return rows


def walk(
    misfits: Misfits, law: Fit, *, walkers: int = 800, moves: int = 6, steps: int = 12, seed: int = 20
) -> Floats:
    """Draws of the posterior by many short walks, from the normal law of a fit towards the true law by degrees.

    Parameters
    ----------
    misfits : callable, (n, d) -> (n, m)
        As for `setwright.trap.fit.fit`.
    law : Fit
        The normal law that is begun from.
    walkers : int
        Walks side by side, and draws that are given back.
    moves : int
        Moves of each walk at every degree; twice as many at the last.
    steps : int
        Most degrees; the last one takes what is left.
    seed : int
        Same seed, same walks.

    Returns
    -------
    array, shape (walkers, d) [-]
        Scores, equal weights.

    Notes
    -----
    At the degree t the law is the normal one times w^t, w the weights of `weigh`; each degree goes as far as
    half of the walks still count, and resamples them. A move y' = √(1 − β²) y + β ξ in the mean and covariance
    of the walks keeps the normal law of these; its chance makes up for the difference to the law wanted, and β
    follows what was taken.

    References
    ----------
    Del Moral, Doucet & Jasra 2006, sequential Monte Carlo; Cotter, Roberts, Stuart & White 2013, *Statistical
    Science* 28:424-446 (memory).

    """
    rng = np.random.default_rng(seed)
    factor = _WIDENED * law.factor

    def log_weight(normals: Floats) -> Floats:
        scores = law.mode + normals @ factor.T
        value = -0.5 * costs_of(scores, misfits(scores)) + 0.5 * np.sum(normals**2, axis=-1)
        return np.where(np.isfinite(value), value, _NEVER)

    z = rng.standard_normal((walkers, law.mode.size))
    now, degree, share = log_weight(z), 0.0, 0.5
    for step in range(steps):
        rise = 1.0 - degree if step == steps - 1 else _rise(now, 1.0 - degree)
        degree += rise
        rows = in_place(np.exp(rise * (now - now.max())))
        z, now = z[rows], now[rows]
        last = degree >= 1.0
        # By turns in the normal law of the fit, which reaches far, and in that of the walks, which lies close.
        frames = ((np.zeros(z.shape[1]), np.eye(z.shape[1])), _frame(z))
        for move in range(2 * moves if last else moves):
            middle, width = frames[move % 2]
            y = np.linalg.solve(width, (z - middle).T).T
            fresh = np.sqrt(1.0 - share**2) * y + share * rng.standard_normal(y.shape)
            there = middle + fresh @ width.T
            value = log_weight(there)
            gain = degree * (value - now) + 0.5 * np.sum(z**2 - there**2 + fresh**2 - y**2, axis=-1)
            taken = np.log(rng.uniform(size=walkers)) < gain
            z, now = np.where(taken[:, None], there, z), np.where(taken, value, now)
            share = float(np.clip(share * np.exp(float(np.mean(taken)) - _TAKEN), 0.02, 0.98))
        if last:
            break
    return np.asarray(law.mode + z @ factor.T)


def matched(law: Fit, scores: Floats) -> Fit:
    """The same fit with a normal law of the mean and covariance of some draws, a little widened.

    Parameters
    ----------
    law : Fit
        That the misfits and slopes are kept of.
    scores : array, shape (n, d) [-]
        Draws of equal weight.

    """
    middle, width = _frame(scores)
    width = _MARGIN * width
    return replace(law, mode=middle, covariance=width @ width.T, factor=width)


def _frame(scores: Floats) -> tuple[Floats, Floats]:
    """Mean of the walks, and the factor of their covariance."""
    spread = np.atleast_2d(np.cov(scores.T)) + 1e-6 * np.eye(scores.shape[1])
    return np.mean(scores, axis=0), np.asarray(np.linalg.cholesky(spread), dtype=float)


def _rise(logs: Floats, most: float) -> float:
    """Exponent at which half of the walks still count, at most `most`."""
    low, high = 0.0, most
    for _ in range(_HALVINGS):
        weights = np.exp(high * (logs - logs.max()))
        if np.sum(weights) ** 2 >= 0.5 * logs.size * np.sum(weights**2):
            low = high
            if high >= most:
                break
            high = min(most, 1.5 * high)
        else:
            high = 0.5 * (low + high)
    return float(max(low, 1e-4 * most))
