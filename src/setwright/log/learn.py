"""From what was assumed and what the log has to what is now believed: each law before and after, side by side."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special, stats

from setwright.basis.errors import BadInput
from setwright.log.evidence import AnchorStory, Segment

Floats = NDArray[np.float64]
# A field scale read by hand at an anchor (assumed).
PULL_ERROR = 0.10
# Scatter of one reading of a pan about the next (assumed), and how fast a pan may drift, by a firing and by a day.
READING, BY_FIRING, BY_DAY = 0.12, 0.03, 0.01
# Minutes of a visit: scatter of one about the next, weight of that guess in visits (assumed).
VISIT_SCATTER, WEIGHT = 0.5, 3.0
_GRID = 241


@dataclass(frozen=True, slots=True)
class Band:
    """Median and the 5 % and 95 % points.

    Parameters
    ----------
    median, low, high : float
        Of the quantity.

    """

    median: float
    low: float
    high: float


def gamma_band(shape: float, rate: float) -> Band:
    """Band of a gamma law.

    Parameters
    ----------
    shape, rate : float
        Its parameters.

    """
    low, middle, high = special.gammaincinv(shape, np.array([0.05, 0.5, 0.95])) / rate
    return Band(float(middle), float(low), float(high))


def beta_band(hits: float, misses: float) -> Band:
    """Band of a beta law.

    Parameters
    ----------
    hits, misses : float
        Its parameters.

    """
    low, middle, high = special.betaincinv(hits, misses, np.array([0.05, 0.5, 0.95]))
    return Band(float(middle), float(low), float(high))


def visit_rate(prior: ArrayLike, seen: float, nights: float) -> tuple[float, float]:
    """Gamma law of a rate of visits, from draws of what was assumed and so many visits in so many nights.

    Parameters
    ----------
    prior : array (n,) [1/night]
        Draws before the log.
    seen, nights : float [-], [night]
        Visits and trap-nights armed.

    Returns
    -------
    tuple of float
        Shape and rate [night]: mean and variance before the log are those of the draws.

    """
    draws = np.asarray(prior, dtype=float)
    mean, variance = float(draws.mean()), float(draws.var())
    if not variance > 0 or nights < 0 or seen < 0:
        raise BadInput("a rate with a spread, visits and nights", field="prior, seen, nights", found=(seen, nights))
    return mean**2 / variance + seen, mean / variance + nights


def loosening(prior: ArrayLike, stories: Sequence[AnchorStory], static: Sequence[tuple[float, float]]) -> Floats:
    """Weights of draws of the working-loose factor, by pulls before and after animals worked at anchors.

    Parameters
    ----------
    prior : array (n,) [-]
        Draws of the factor before the log.
    stories : sequence of AnchorStory
        Pulls; a story without a pull after an animal says nothing.
    static : sequence of (float, float)
        For each story median [N] and log-normal scatter of the anchor before any animal.

    Returns
    -------
    array (n,) [-]
        Sum 1. The strength R of each anchor is summed over; a pull P held weighs Φ(ln(R/P)/σ), one that moved the
        anchor 1 − Φ; after an animal cR stands in place of R.

    """
    factor = np.asarray(prior, dtype=float)
    log = np.zeros(factor.shape)
    for story, (median, scatter) in zip(stories, static, strict=True):
        if not story.after or not (median > 0 and scatter > 0):
            continue
        place = np.linspace(-5.0, 5.0, _GRID)
        strength = math.log(median) + scatter * place
        weight = np.exp(-0.5 * place**2)
        for force, held in story.before:
            weight = weight * _stood(strength, force, held)
        if weight.sum() <= 0:
            continue
        weight = weight / weight.sum()
        chance = np.ones((factor.size, _GRID))
        for force, held in story.after:
            chance *= _stood(strength + np.log(factor)[:, None], force, held)
        log += np.log(np.maximum(chance @ weight, 1e-300))
    found = np.exp(log - log.max())
    return np.asarray(found / found.sum())


def _stood(strength: Floats, force: float, held: bool) -> Floats:
    stood = special.ndtr((strength - math.log(force)) / PULL_ERROR)
    return np.asarray(stood if held else 1.0 - stood)


def weighted_band(draws: ArrayLike, weight: ArrayLike) -> Band:
    """Band of weighted draws.

    Parameters
    ----------
    draws, weight : array (n,)
        Draws and their weights.

    """
    value, mass = np.asarray(draws, dtype=float), np.asarray(weight, dtype=float)
    order = np.argsort(value)
    running = np.cumsum(mass[order]) - 0.5 * mass[order]
    low, middle, high = np.interp(np.array([0.05, 0.5, 0.95]) * mass.sum(), running, value[order])
    return Band(float(middle), float(low), float(high))


@dataclass(frozen=True, slots=True, eq=False)
class Drift:
    """Drift of trip force in logarithms: by a firing, by a day.

    Parameters
    ----------
    mean : array (2,)
        [1/firing], [1/d].
    covariance : array (2, 2)
        Of both.
    readings : int
        Readings after the first of each segment.

    """

    mean: Floats
    covariance: Floats
    readings: int

    def band(self, which: int) -> Band:
        """Band of the drift by a firing (0) or by a day (1).

        Parameters
        ----------
        which : int
            0 or 1.

        """
        middle, half = float(self.mean[which]), 1.6448536 * math.sqrt(float(self.covariance[which, which]))
        return Band(middle, middle - half, middle + half)


def drift(segments: Sequence[Segment]) -> Drift:
    """Drift of trip force from readings of many pans.

    Parameters
    ----------
    segments : sequence of Segment
        Each from one tuning to the next.

    Returns
    -------
    Drift
        The prior when no pan was read twice.

    Notes
    -----
    ln F = a + b · firings + c · days + ε, a of each segment left open, b and c shared; ε of a known scatter. Normal
    priors about zero; Bayes' rule in closed form.

    """
    precision = np.diag([BY_FIRING**-2, BY_DAY**-2])
    pull = np.zeros(2)
    count = 0
    for one in segments:
        if len(one.force) < 2:
            continue
        design = np.column_stack([np.asarray(one.firings, dtype=float), np.asarray(one.days, dtype=float)])
        value = np.log(np.asarray(one.force, dtype=float))
        # The level of each segment is left open: only departures from its mean count.
        design, value = design - design.mean(axis=0), value - value.mean()
        precision = precision + design.T @ design / READING**2
        pull = pull + design.T @ value / READING**2
        count += len(one.force) - 1
    covariance = np.linalg.inv(precision)
    return Drift(covariance @ pull, covariance, count)


def drifted(segment: Segment, now: int, found: Drift) -> Band:
    """Trip force of a pan as it should stand now.

    Parameters
    ----------
    segment : Segment
        Its readings since it was tuned.
    now : int [µs]
        Present time.
    found : Drift
        Drift of the line's pans.

    """
    steps = np.column_stack([np.asarray(segment.firings, dtype=float), np.asarray(segment.days, dtype=float)])
    target = np.array([float(segment.open_firings), max((now - segment.began) / 86_400_000_000.0, 0.0)])
    value = np.log(np.asarray(segment.force, dtype=float))
    level = float((value - steps @ found.mean).mean())
    gap = target - steps.mean(axis=0)
    spread = math.sqrt(READING**2 / value.size + float(gap @ found.covariance @ gap))
    middle = level + float(target @ found.mean)
    return Band(math.exp(middle), math.exp(middle - 1.6448536 * spread), math.exp(middle + 1.6448536 * spread))


@dataclass(frozen=True, slots=True)
class Service:
    """Minutes of a visit.

    Parameters
    ----------
    typical : Band [min]
        Of the median visit.
    mean : float [min]
        Of all visits: the long ones weigh more.
    visits : int
        Visits with minutes written.

    """

    typical: Band
    mean: float
    visits: int


def service(minutes: Sequence[float], prior: Band) -> Service:
    """Minutes of a visit from what was assumed and what was written.

    Parameters
    ----------
    minutes : sequence of float [min]
        Of visits, above zero.
    prior : Band [min]
        Typical minutes before the log.

    Notes
    -----
    Logarithms normal with mean and variance unknown (normal-inverse-gamma, in closed form).

    """
    with np.errstate(divide="ignore", invalid="ignore"):
        value = np.log(np.asarray(minutes, dtype=float))
    if not np.isfinite(value).all() or not 0 < prior.low <= prior.median <= prior.high:
        raise BadInput("minutes of visits", field="minutes", found=list(minutes)[:5], allowed="above 0")
    spread = max(math.log(prior.high / prior.low) / (2 * 1.6448536), 1e-3)
    weight, half, size = (VISIT_SCATTER / spread) ** 2, WEIGHT, value.size
    rest = (half - 1.0) * VISIT_SCATTER**2
    start = math.log(prior.median)
    if size:
        centre = float(value.mean())
        rest += 0.5 * float(((value - centre) ** 2).sum())
        rest += 0.5 * weight * size / (weight + size) * (centre - start) ** 2
        start = (weight * start + size * centre) / (weight + size)
        weight, half = weight + size, half + 0.5 * size
    reach = float(stats.t.ppf(0.95, 2.0 * half)) * math.sqrt(rest / (half * weight))
    typical = Band(math.exp(start), math.exp(start - reach), math.exp(start + reach))
    return Service(typical, math.exp(start + 0.5 * rest / (half - 1.0)), size)
