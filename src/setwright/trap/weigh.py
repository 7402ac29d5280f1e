"""Draws of the normal law of a fit, bent and weighted to the true posterior, or walked to it."""

from __future__ import annotations

from dataclasses import dataclass

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
    misfits: Misfits, law: Fit, start: Weighted, *, chains: int = 64, steps: int = 300, kept: int = 4000,
    share: float = 0.35, seed: int = 20,
) -> Floats:  # fmt: skip
    """Draws of the posterior by random walks that keep the normal law of a fit.

    Parameters
    ----------
    misfits : callable, (n, d) -> (n, m)
        As for `fit`.
    law : Fit
        The normal law that steps are made from.
    start : Weighted
        Where the walks begin.
    chains, steps : int
        Walks side by side, and their length; the first third is left out.
    kept : int
        Most draws that are given back.
    share : float [-]
        Of each step that is new.
    seed : int
        Same seed, same walks.

    Returns
    -------
    array, shape (k, d) [-]
        Scores, equal weights.

    Notes
    -----
    z' = √(1 − β²) z + β ξ keeps N(0, I); a step is taken with the chance min(1, w'/w) of the weights of
    `weigh`, so its acceptance does not fall with the number of unknowns that no reading tells of.

    References
    ----------
    Cotter, Roberts, Stuart & White 2013, *Statistical Science* 28:424-446 (memory).

    """
    rng = np.random.default_rng(seed)
    order = np.argsort(-start.weights, kind="stable")[: 4 * chains]
    begin = start.scores[rng.choice(order, size=chains)]
    z = np.linalg.solve(law.factor, (begin - law.mode).T).T

    def log_weight(normals: Floats) -> Floats:
        scores = law.mode + normals @ law.factor.T
        value = -0.5 * costs_of(scores, misfits(scores)) + 0.5 * np.sum(normals**2, axis=-1)
        return np.where(np.isfinite(value), value, -np.inf)

    now, found = log_weight(z), []
    for step in range(steps):
        fresh = np.sqrt(1.0 - share**2) * z + share * rng.standard_normal(z.shape)
        value = log_weight(fresh)
        with np.errstate(invalid="ignore"):
            taken = np.log(rng.uniform(size=chains)) < value - now
        z, now = np.where(taken[:, None], fresh, z), np.where(taken, value, now)
        if step >= steps // 3:
            found.append(law.mode + z @ law.factor.T)
    every = np.concatenate(found)
    return np.asarray(every[:: max(1, every.shape[0] // kept)][:kept])
