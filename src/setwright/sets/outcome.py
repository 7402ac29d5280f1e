"""Outcome: who fires the trap first over the check interval, and is it held; catches and effort of a season."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.sets.result import OutcomeDraws
from setwright.sets.risks import FirstFiring, firing_rates, first_firing

Floats = NDArray[np.float64]

MISFIRE, NOTHING = "misfire", "nothing"


@dataclass(frozen=True, eq=False)
class TimedOutcome:
    """Outcome of one wait with rates that move by the hour.

    `causes` in the order of the first axis of `risk`, misfires last; `by_cause` has every one of them and `nothing`.
    """

    causes: tuple[str, ...]
    risk: FirstFiring
    by_cause: Mapping[str, OutcomeDraws]


@dataclass(frozen=True)
class SeasonSpread:
    """Catches of a season: mean, 5 % and 95 % point, and variance over mean (1: Poisson scatter)."""

    mean: float
    low: float
    high: float
    dispersion: float


def first_to_fire(rates: Mapping[str, Floats], nights: Floats) -> tuple[dict[str, Floats], Floats]:
    """Chance of each cause to be the first to fire the trap, and that nothing does.

    Parameters
    ----------
    rates : mapping of str to (n,) array
        Firing rate of each cause, per armed night [1/night].
    nights : (n,) array
        Time in order within the interval [night].

    Returns
    -------
    first : dict of str to (n,) array
        f_k / Σf · (1 − exp(−Σf·T)); zero where nothing can fire.
    nothing : (n,) array
        exp(−Σf·T): still armed at the end. All of them sum to one.

    Notes
    -----
    Constant rates, and whatever fires the trap takes it: a trap that was sprung fishes no more until it
    is seen. Cumulative incidence of constant rates (Lifetime analysis course TMA4275, NTNU, problem on competing
    risks (a), seen; Kalbfleisch & Prentice 1980, from memory).
    """
    total = np.sum(list(rates.values()), axis=0)
    some = -np.expm1(-total * nights)
    share = np.divide(some, total, out=np.zeros_like(some), where=total > 0)
    return {key: rate * share for key, rate in rates.items()}, np.asarray(1.0 - some)


def outcome(
    firing: Mapping[str, Floats],
    close: Mapping[str, Floats],
    hold: Mapping[str, Floats],
    misfire: Floats,
    nights: Floats,
) -> dict[str, OutcomeDraws]:
    """Outcome of every species, of `misfire` and of `nothing`, over one check interval.

    Parameters
    ----------
    firing : mapping of str to (n,) array
        Firing rates visit × step × fire, per armed night.
    close, hold : mapping of str to (n,) array
        P(jaws take the foot | fired) and P(held to the check | taken).
    misfire : (n,) array
        Rate of firing by anything else, per armed night.
    nights : (n,) array
        Nights with the trap in order within the interval.
    """
    firsts, nothing = first_to_fire({**firing, MISFIRE: misfire}, nights)
    return _by_cause(firsts, nothing, close, hold)


def outcome_by_hour(
    firing: Mapping[str, Floats],
    close: Mapping[str, Floats],
    hold: Mapping[str, Floats],
    misfire: Floats,
    shares: Mapping[str, Floats],
    in_order: Floats | Mapping[str, Floats],
    widths: ArrayLike = 1.0,
) -> TimedOutcome:
    """Outcome over one check interval, with visits by the hour of the day and a trap that is in order by the hour.

    Parameters
    ----------
    firing : mapping of str to (n,) array
        Firing rates visit × step × fire, per armed night.
    close, hold : mapping of str to (n,) array
        P(jaws take the foot | fired) and P(held to the check | taken).
    misfire : (n,) array
        Rate of firing by anything else, per armed night.
    shares : mapping of str to (h,) array
        Share of a night's visits in each hour of the wait, from `risks.hourly_share`; `misfire` has its own.
    in_order : (n, h) array, or mapping of str to (n, h) array
        1 where the trap is free to fire, for all alike or for every cause (a depth of water reaches one foot and
        not another), misfires included.
    widths : float or (h,) array
        Length of each hour of the grid [h].

    Notes
    -----
    With the same share in all hours of a night and a trap always in order the chances are those of `outcome`.
    """
    rates = {**firing, MISFIRE: misfire}
    causes = tuple(rates)
    order = np.stack([in_order[key] for key in causes]) if isinstance(in_order, Mapping) else in_order
    night = np.stack([np.asarray(rates[key], dtype=float) for key in causes])
    hourly = firing_rates(night, np.ones_like(night), np.stack([shares[key] for key in causes]), order)
    risk = first_firing(hourly, widths)
    firsts = dict(zip(causes, risk.by_cause, strict=True))
    return TimedOutcome(causes, risk, _by_cause(firsts, risk.nothing, close, hold))


def _by_cause(
    firsts: Mapping[str, Floats], nothing: Floats, close: Mapping[str, Floats], hold: Mapping[str, Floats]
) -> dict[str, OutcomeDraws]:
    found: dict[str, OutcomeDraws] = {}
    for key, first in firsts.items():
        held = first * close[key] * hold[key] if key in close else np.zeros_like(first)
        found[key] = OutcomeDraws(first, held, first - held)
    found[NOTHING] = OutcomeDraws(nothing, np.zeros_like(nothing), np.zeros_like(nothing))
    return found


def half_interval_effort(intervals: ArrayLike, length: ArrayLike, sprung: ArrayLike) -> Floats:
    """Effort with half an interval taken off for every trap found sprung, any shape, in the unit of `length`.

    Parameters
    ----------
    intervals : array
        Waits between two visits, over all traps [-].
    length : array
        Length of a wait [night].
    sprung : array
        How many of them ended with a sprung trap, whatever fired it, catches included [-].

    References
    ----------
    Nelson & Clark (1973), Journal of Mammalogy 54:295-298, as coded in public research scripts (secondary).
    """
    waits, nights, fired = (np.asarray(value, dtype=float) for value in (intervals, length, sprung))
    return np.asarray(np.where((fired >= 0) & (fired <= waits), (waits - 0.5 * fired) * nights, np.nan))


def armed_effort(intervals: ArrayLike, length: ArrayLike, sprung: ArrayLike) -> Floats:
    """Time that the traps stood armed, judged by how many were found sprung, any shape, in the unit of `length`.

    Parameters as in `half_interval_effort`, all waits of one length.

    Notes
    -----
    With a constant rate h the share found armed is exp(−h T), so h = −ln(1 − S/n) / T and the armed time is S / h.
    Catches over it are the rate of a trap that is always armed, whoever else fires it. For few sprung traps it is
    `half_interval_effort`; NaN when all were sprung, which tells nothing of how fast.

    References
    ----------
    Linn & Downton (1975), equation 4, the index of Fitzgerald, Efford & Karl (2004), New Zealand Journal of Zoology
    31:167-184, as coded in a public research script (secondary).
    """
    waits, nights, fired = np.broadcast_arrays(
        *(np.asarray(value, dtype=float) for value in (intervals, length, sprung))
    )
    part = np.divide(
        fired, waits, out=np.full(waits.shape, np.nan), where=(waits > 0) & (fired >= 0) & (fired < waits)
    )
    hazard = -np.log1p(-part)
    share = np.divide(part, hazard, out=np.ones_like(hazard), where=hazard != 0)
    return np.asarray(waits * nights * share)


def season_counts(count: ArrayLike, intervals: int) -> Floats:
    """Chances of 0, 1, 2, … catches over many waits that are alike and independent, shape (intervals · m + 1, n).

    Parameters
    ----------
    count : (m + 1, n) array
        Chances of 0 … m catches in one wait, summing to one: `GangOutcome.count`, or [1 − held, held] of one trap.
    intervals : int
        Number of waits.
    """
    one = np.asarray(count, dtype=float)
    if intervals < 1:
        raise OutOfRange("a season has at least one wait", field="intervals", found=intervals, allowed="1 or more")
    size = intervals * (one.shape[0] - 1) + 1
    whole = np.fft.irfft(np.fft.rfft(one, n=size, axis=0) ** intervals, n=size, axis=0)
    # The transform rounds at 1e-16, to either side of zero.
    return np.asarray(np.maximum(whole, 0.0))


def season_spread(counts: ArrayLike) -> SeasonSpread:
    """Mean and 90 % band of catches over all draws together, from `season_counts`; NaN when a draw is unknown.

    Family groups (several catches in one passing) and rates that are not known both widen it over Poisson scatter.
    """
    chance = np.asarray(counts, dtype=float).mean(axis=-1)
    if np.isnan(chance).any():
        return SeasonSpread(*(float("nan"),) * 4)
    number = np.arange(chance.size)
    mean = float(number @ chance)
    variance = float((number - mean) ** 2 @ chance)
    below = np.cumsum(chance)
    low, high = (float(np.searchsorted(below, level)) for level in (0.05, 0.95))
    return SeasonSpread(mean, low, high, variance / mean if mean > 0 else float("nan"))
