"""Readings of the trip force: where the next pull will lie, and when rust asks for another test."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.trap.model import Floats

CANNOT_TELL, OUT_OF_BAND, DUE, NOT_BY_RUST = range(4)
STATES = ("cannot tell", "out of the band already", "due", "not by rust")

# 90 % band: this share of the next pulls lies below its upper end.
UPPER = 0.95
NORMAL_UPPER = 1.6448536269514722
_HALVINGS = 60


@dataclass(frozen=True)
class Pulls:
    """Answer of `next_pull`.

    Parameters
    ----------
    mean, sd : [N]
        Of the readings; the sd of a single one is the assumed share of it.
    low, high : [N]
        Band in which nine of ten next pulls lie. A low end of zero or less says that the pan may let go by itself.
    count : int
        Readings counted.
    assumed : bool
        True where the spread is assumed because one pull shows none.

    """

    mean: Floats
    sd: Floats
    low: Floats
    high: Floats
    count: NDArray[np.int_]
    assumed: NDArray[np.bool_]


@dataclass(frozen=True)
class Retest:
    """Answer of `retest`, each of the broadcast shape (n,).

    Parameters
    ----------
    days_first, days_likely : [d]
        From the reading until rust may, and until it likely will, have carried the force out of the band; inf where
        it never gets wet.
    state : int
        `DUE` (after that many days), `OUT_OF_BAND` (now), `NOT_BY_RUST` (never wet), `CANNOT_TELL`.

    """

    days_first: Floats
    days_likely: Floats
    state: NDArray[np.int_]


def student_quantile(degrees: int) -> float:
    """Point of Student's t below which 95 % lie, for whole degrees of freedom.

    Parameters
    ----------
    degrees : int
        Degrees of freedom, 1 or more.

    Raises
    ------
    OutOfRange
        Below one degree.

    Notes
    -----
    By halving on the finite series of the distribution for whole degrees.

    References
    ----------
    Abramowitz & Stegun, *Handbook of Mathematical Functions*, 26.7.3 and 26.7.4 (memory).

    """
    if degrees < 1:
        raise OutOfRange("Student's t needs a degree of freedom", field="degrees", found=degrees, allowed="1 or more")
    low, high = 0.0, 10.0
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        below = 0.5 + 0.5 * _two_sided(middle, degrees) < UPPER
        low, high = (middle, high) if below else (low, middle)
    return 0.5 * (low + high)


def _two_sided(point: float, degrees: int) -> float:
    """Probability that |t| stays below a point."""
    angle = math.atan(point / math.sqrt(degrees))
    cosine = math.cos(angle)
    odd = degrees % 2 == 1
    term, total = (cosine, cosine) if odd else (1.0, 1.0)
    for k in range(2 if odd else 1, degrees - 1, 2):
        term *= cosine * cosine * k / (k + 1)
        total += term
    if odd:
        return 2.0 / math.pi * (angle + (math.sin(angle) * total if degrees > 1 else 0.0))
    return math.sin(angle) * total


def next_pull(pulls: ArrayLike, *, assumed_share: float = 0.2) -> Pulls:
    """Mean and scatter of readings of the trip force, and the band of the next one.

    Parameters
    ----------
    pulls : array (..., n) [N]
        Readings of one pan along the last axis; NaN where there is none.
    assumed_share : float [-]
        Spread over the reading while there is only one.

    Returns
    -------
    Pulls
        Of the shape of the readings without their last axis; NaN without a reading.

    Notes
    -----
    Mean ± t₀.₉₅(n − 1) s √(1 + 1/n). A single reading shows no spread: mean ± 1.645 × share × reading × √2, and
    `assumed` says so.

    """
    table = np.atleast_1d(np.asarray(pulls, dtype=float))
    count = np.sum(np.isfinite(table), axis=-1)
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = np.nansum(table, axis=-1) / np.where(count > 0, count, np.nan)
        squares = np.nansum((table - mean[..., None]) ** 2, axis=-1)
        one = count == 1
        sd = np.where(one, assumed_share * np.abs(mean), np.sqrt(squares / np.maximum(count - 1, 1)))
        factor = np.full(count.shape, NORMAL_UPPER)
        for several in np.unique(count[count > 1]):
            factor = np.where(count == several, student_quantile(int(several) - 1), factor)
        half = factor * sd * np.sqrt(1.0 + 1.0 / np.maximum(count, 1))
    return Pulls(
        mean=np.asarray(mean), sd=np.where(count > 0, sd, np.nan), low=np.asarray(mean - half),
        high=np.asarray(mean + half), count=np.asarray(count, dtype=int), assumed=np.asarray(one),
    )  # fmt: skip


def rust_factor(wet_days: ArrayLike, *, growth: ArrayLike = 1.25) -> Floats:
    """Trip force over that of the last test, after days in the wet [-].

    Parameters
    ----------
    wet_days : float or array [d]
        Days since the test on which the trap lay wet.
    growth : float or array [-]
        Factor for each wet week; see `wet_week_growth` of the table of working figures for its band.

    Notes
    -----
    growth^(days/7). The trade says that a pan needs far more than its set force after three or four wet weeks; the
    figure behind it is assumed.

    """
    return np.asarray(np.asarray(growth, dtype=float) ** (np.asarray(wet_days, dtype=float) / 7.0))


def retest(
    force: ArrayLike,
    *,
    band_low: ArrayLike,
    band_high: ArrayLike,
    wetness: ArrayLike,
    growth: ArrayLike = 1.25,
    growth_high: ArrayLike = 1.6,
) -> Retest:
    """Days after which the pan is to be fired and tested again.

    Parameters
    ----------
    force : float or array [N]
        Trip force at the last test; hand in the upper end of `next_pull` to keep most pulls in the band.
    band_low, band_high : float or array [N]
        Band that is wanted.
    wetness : float or array [-]
        Share of days on which the trap lies wet, 0 to 1.
    growth, growth_high : float or array [-]
        Likely and fastest factor for each wet week, above 1.

    Returns
    -------
    Retest
        Days from the reading on; the caller turns them into a date.

    Notes
    -----
    Days = 7 ln(band_high/force)/(wetness ln growth). Only rust is in it: test again after every catch and every
    waxing, whatever the days say.

    """
    now, low, high, wet, likely, fast = np.broadcast_arrays(
        *(np.asarray(value, dtype=float) for value in (force, band_low, band_high, wetness, growth, growth_high))
    )
    with np.errstate(invalid="ignore", divide="ignore"):
        known = (now > 0.0) & (low <= high) & (wet >= 0.0) & (wet <= 1.0) & (likely > 1.0) & (fast >= likely)
        outside = (now < low) | (now > high)
        days = [7.0 * np.log(high / now) / (wet * np.log(factor)) for factor in (fast, likely)]
        state = np.select([~known, outside, wet == 0.0], [CANNOT_TELL, OUT_OF_BAND, NOT_BY_RUST], DUE)
        first, later = (
            np.select([~known, outside, wet == 0.0], [np.nan, 0.0, np.inf], found) for found in days
        )  # fmt: skip
    return Retest(days_first=first, days_likely=later, state=np.asarray(state, dtype=int))
