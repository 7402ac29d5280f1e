"""How much a spring has weakened, by rates that were measured."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from setwright.trap.model import Floats

# Points of the normal curve between which nine of ten lie.
NINE_OF_TEN = 1.6448536269514722


@dataclass(frozen=True)
class Health:
    """Answer of `health` and `loss_per_season`: a middle and a 90 % band [-].

    Parameters
    ----------
    middle, low, high : [-]
        Rate now over rate new; or share of the rate that a season takes, negative where it grew.

    """

    middle: Floats
    low: Floats
    high: Floats


def health(rate_now: ArrayLike, rate_new: ArrayLike, *, sd_now: ArrayLike, sd_new: ArrayLike) -> Health:
    """Rate now over rate when new, with its 90 % band from both readings.

    Parameters
    ----------
    rate_now, rate_new : float or array [any unit of rate]
        Measured alike.
    sd_now, sd_new : float or array [the same unit]
        Their standard deviations.

    Returns
    -------
    Health
        NaN where a rate is not positive or not known.

    Notes
    -----
    Readings as lognormal: band exp(±1.645 √((s/k)²_now + (s/k)²_new)) about the ratio. Good to spreads of about
    a fifth.

    """
    now, new = np.asarray(rate_now, dtype=float), np.asarray(rate_new, dtype=float)
    with np.errstate(invalid="ignore", divide="ignore"):
        good = (now > 0.0) & (new > 0.0)
        ratio = np.where(good, now / new, np.nan)
        spread = np.hypot(np.asarray(sd_now, dtype=float) / now, np.asarray(sd_new, dtype=float) / new)
        wide = np.exp(NINE_OF_TEN * spread)
    return Health(middle=ratio, low=ratio / wide, high=ratio * wide)


def loss_per_season(days: ArrayLike, rates: ArrayLike, sds: ArrayLike, *, season_days: float = 365.0) -> Health:
    """Share of its rate that a spring loses from season to season, by dated readings.

    Parameters
    ----------
    days : array (n,) [d]
        Days of the readings, from any day on.
    rates, sds : array (n,) [any unit of rate]
        Measured rates and their standard deviations.
    season_days : float [d]
        From one season to the next.

    Returns
    -------
    Health
        Positive for a loss; NaN with fewer than two days, or where a rate or its spread is not positive.

    Notes
    -----
    Weighted straight line through the logarithms of the rates, spreads taken as known; the loss is
    1 − exp(slope × season).

    """
    when, rate, spread = (np.atleast_1d(np.asarray(value, dtype=float)) for value in (days, rates, sds))
    nothing = Health(*(np.asarray(np.nan) for _ in range(3)))
    if not (np.isfinite(when).all() and (rate > 0.0).all() and (spread > 0.0).all()):
        return nothing
    weight = np.broadcast_to((rate / spread) ** 2, rate.shape)
    centred = when - float(np.average(when, weights=weight))
    squares = float(np.sum(weight * centred**2))
    if squares == 0.0:
        return nothing
    slope = float(np.sum(weight * centred * np.log(rate))) / squares
    half = NINE_OF_TEN / np.sqrt(squares)
    losses = [np.asarray(-np.expm1((slope + side * half) * season_days)) for side in (0.0, 1.0, -1.0)]
    return Health(middle=losses[0], low=losses[1], high=losses[2])
