"""Competing risks in time: what fires one trap first when every rate moves by the hour."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]

SERIES_BELOW, SERIES_TERMS = 0.1, 9


@dataclass(frozen=True, eq=False)
class FirstFiring:
    """What fires one trap first within a wait, by cause and hour.

    `rates` (k, ..., h) and their sum `total` (..., h) [1/h]; `widths` (h,) [h]; `cumulative` hazard at the edges of
    the hours (..., h + 1); `armed` expected armed time in each hour (..., h) [h]; `first` (k, ..., h) chance that
    the cause is the first, in that hour. NaN where a rate is unknown or negative.
    """

    rates: Floats
    total: Floats
    widths: Floats
    cumulative: Floats
    armed: Floats
    first: Floats

    @property
    def edges(self) -> Floats:
        """Edges of the hours since the set was made [h], shape (h + 1,)."""
        return np.concatenate([[0.0], np.cumsum(self.widths)])

    @property
    def survival(self) -> Floats:
        """P(still armed) at the edges, shape (..., h + 1)."""
        return np.exp(-self.cumulative)

    @property
    def by_cause(self) -> Floats:
        """P(the cause is the first within the wait), shape (k, ...)."""
        return np.asarray(self.first.sum(axis=-1))

    @property
    def nothing(self) -> Floats:
        """P(nothing fires the trap), shape (...)."""
        return np.exp(-self.cumulative[..., -1])

    @property
    def armed_time(self) -> Floats:
        """Expected time armed within the wait [h], shape (...)."""
        return np.asarray(self.armed.sum(axis=-1))


def hourly_share(pattern: ArrayLike, hour_of_day: ArrayLike) -> Floats:
    """Share of a day's visits that falls into each hour of a wait.

    Parameters
    ----------
    pattern : (..., 24) array
        Weights of the hours of the day, hour 0 from midnight on; only their proportions count [-].
    hour_of_day : (h,) array
        Clock hour in which each hour of the wait begins, 0 to 23.

    Returns
    -------
    (..., h) array
        Shares [1/h]; over any 24 hours in a row they sum to one. NaN when a weight is negative or none is positive.
    """
    weights = np.asarray(pattern, dtype=float)
    if weights.shape[-1:] != (24,):
        raise OutOfRange(
            "a pattern of activity has one weight an hour of the day",
            field="pattern", found=weights.shape, allowed="24 weights in the last axis",
        )  # fmt: skip
    whole = weights.sum(axis=-1, keepdims=True)
    sound = (weights >= 0).all(axis=-1, keepdims=True) & (whole > 0)
    shares = np.divide(weights, whole, out=np.full_like(weights, np.nan), where=sound)
    return np.asarray(shares[..., np.asarray(hour_of_day, dtype=int) % 24])


def firing_rates(visits: ArrayLike, works: ArrayLike, shares: ArrayLike, in_order: ArrayLike = 1.0) -> Floats:
    """Rates at which every cause fires an armed trap, shape (k, n, h) [1/h].

    Parameters
    ----------
    visits : (k, n) array
        Visits a night (for misfires: firings a night) [1/night].
    works : (k, n) array
        step × fire: chance that a visitor fires the trap [-].
    shares : (k, h) array
        Share of a night's visits in each hour, from `hourly_share` [1/h].
    in_order : (n, h) or (k, n, h) array
        1 where the trap is free to fire, 0 where it is not, or the part of the hour.
    """
    night = np.asarray(visits, dtype=float) * np.asarray(works, dtype=float)
    return np.asarray(night[..., None] * np.asarray(in_order, dtype=float) * np.asarray(shares, dtype=float)[:, None])


def first_firing(rates: ArrayLike, widths: ArrayLike = 1.0) -> FirstFiring:
    """Chance of each cause to be the first to fire the trap, in each hour of the wait.

    Parameters
    ----------
    rates : (k, ..., h) array
        Rate of each cause while the trap is armed, constant within an hour [1/h].
    widths : float or (h,) array
        Length of each hour of the grid, positive [h]; the last may be a part of one.

    Returns
    -------
    FirstFiring
        In hour j: P(k) = λ_kj a_j, with the armed time a_j = S_j (1 − exp(−λ_j w_j)) / λ_j and
        S_j = exp(−Σ_{i<j} λ_i w_i).

    Notes
    -----
    Exact for rates that are constant within each hour. A trap that was fired fishes no more until it is seen. All
    chances of one draw and that of nothing sum to one. A draw with an unknown rate is unknown as a whole.

    References
    ----------
    Cumulative incidence of constant rates: Lifetime analysis course TMA4275 (NTNU), problem on competing risks (a),
    seen; hour after hour the same with what is still armed.
    """
    rate = np.asarray(rates, dtype=float)
    if rate.ndim < 2:
        raise OutOfRange(
            "rates need an axis of causes and one of hours", field="rates", found=rate.shape, allowed="(k, ..., h)"
        )
    width = np.broadcast_to(np.asarray(widths, dtype=float), rate.shape[-1:])
    if not (width > 0).all():
        raise OutOfRange("hours have a length", field="widths", found=width.tolist(), allowed="above 0")
    total = np.asarray(rate.sum(axis=0))
    total = np.where((rate.min(axis=0) >= 0) & np.isfinite(total), total, np.nan)
    cumulative = np.zeros((*total.shape[:-1], total.shape[-1] + 1))
    hazard = total * width
    np.cumsum(hazard, axis=-1, out=cumulative[..., 1:])
    armed = np.exp(-cumulative[..., :-1]) * width * mean_left(hazard)
    return FirstFiring(rate, total, np.asarray(width), cumulative, armed, rate * armed)


def incidence(found: FirstFiring, time: ArrayLike) -> Floats:
    """P(the cause was the first, by a time after the setting).

    Parameters
    ----------
    found : FirstFiring
        Result of `first_firing`.
    time : float or (t,) array
        Time since the setting [h].

    Returns
    -------
    (k, ...) or (k, ..., t) array
        Cumulative incidence; NaN before the setting and after the wait.
    """
    moment = np.asarray(time, dtype=float)
    edges = found.edges
    hour = np.clip(np.searchsorted(edges, moment, side="right") - 1, 0, found.widths.size - 1)
    past = moment - edges[hour]
    before = _at_edges(found.first)[..., hour]
    share = found.survival[..., hour] * past * mean_left(found.total[..., hour] * past)
    within = (moment >= 0) & (moment <= edges[-1])
    return np.asarray(np.where(within, before + found.rates[..., hour] * share, np.nan))


def time_of_firing(found: FirstFiring, share: float = 0.5) -> Floats:
    """Time by which the trap was fired with a chance of `share` [h], shape (...); infinite if not within the wait."""
    needed = np.full(found.cumulative.shape[:-1], -np.log1p(-share))
    hour = _hour_of(found.cumulative, needed)
    rate = _take(found.total, hour)
    missing = needed - _take(found.cumulative, hour)
    past = np.divide(missing, rate, out=np.zeros_like(missing), where=rate > 0)
    reached = needed <= found.cumulative[..., -1]
    time = np.where(reached, found.edges[hour] + past, np.inf)
    return np.asarray(np.where(np.isnan(found.cumulative[..., -1]), np.nan, time))


def held_longer(found: FirstFiring, hours: ArrayLike) -> Floats:
    """P(the cause is the first, with at least that many hours left to the visit), shape (k, ...) or (k, ..., t)."""
    return incidence(found, found.edges[-1] - np.asarray(hours, dtype=float))


def held_mean(found: FirstFiring) -> Floats:
    """Mean time from firing to visit, where the cause is the first [h], shape (k, ...); NaN where it never is."""
    hazard = found.total * found.widths
    left = found.edges[-1] - found.edges[:-1]
    here = found.survival[..., :-1] * found.widths * (left * mean_left(hazard) - found.widths * _mean_late(hazard))
    chance = found.by_cause
    spent = np.einsum("k...h,...h->k...", found.rates, here)
    return np.asarray(np.divide(spent, chance, out=np.full_like(chance, np.nan), where=chance > 0))


def held_quantile(found: FirstFiring, share: float) -> Floats:
    """Time from firing to visit not exceeded with a chance of `share` [h], shape (k, ...).

    Where the cause is the first to fire; NaN where it never is.
    """
    steps = _at_edges(found.first)
    needed = (1.0 - share) * steps[..., -1]
    hour = _hour_of(steps, needed)
    rate, total = _take(found.rates, hour), _take(np.broadcast_to(found.total, found.rates.shape), hour)
    armed = _take(np.broadcast_to(found.survival, steps.shape), hour)
    missing = np.maximum(needed - _take(steps, hour), 0.0)
    flow = rate * armed
    part = np.divide(missing * total, flow, out=np.zeros_like(missing), where=flow > 0)
    # Rounding at the very end of an hour may ask for a hair more than the hour has.
    full = -np.expm1(-total * found.widths[hour])
    gone = -np.log1p(-np.minimum(part, full))
    past = np.divide(gone, total, out=np.zeros_like(gone), where=total > 0)
    held = found.edges[-1] - found.edges[hour] - past
    return np.asarray(np.where(steps[..., -1] > 0, held, np.nan))


def met_armed(found: FirstFiring) -> Floats:
    """Share of the firings a trap that sets itself anew would have had, shape (k, ...): what saturation leaves."""
    wished = np.einsum("k...h,h->k...", found.rates, found.widths)
    return np.asarray(np.divide(found.by_cause, wished, out=np.full_like(wished, np.nan), where=wished > 0))


def mean_left(hazard: ArrayLike) -> Floats:
    """Mean chance of still being armed over a span with this hazard, (1 − exp(−x)) / x, any shape."""
    x = np.asarray(hazard, dtype=float)
    return np.asarray(np.divide(-np.expm1(-x), x, out=np.ones_like(x), where=x != 0))


def _mean_late(hazard: Floats) -> Floats:
    """∫₀¹ v exp(−x v) dv; by its series where the closed form would cancel."""
    x = np.asarray(hazard, dtype=float)
    series = np.zeros_like(x)
    factor = np.ones_like(x)
    for power in range(SERIES_TERMS):
        series += factor / (power + 2.0)
        factor = factor * -x / (power + 1.0)
    closed = np.divide(mean_left(x) - np.exp(-x), x, out=np.zeros_like(x), where=x != 0)
    return np.where(x < SERIES_BELOW, series, closed)


def _at_edges(first: Floats) -> Floats:
    """Running sum over the hours with a zero in front."""
    steps = np.zeros((*first.shape[:-1], first.shape[-1] + 1))
    np.cumsum(first, axis=-1, out=steps[..., 1:])
    return steps


def _hour_of(rising: Floats, needed: Floats) -> NDArray[np.intp]:
    """First hour at whose end a running sum has reached what is needed."""
    below = rising[..., 1:] < needed[..., None]
    return np.asarray(np.minimum(below.sum(axis=-1), rising.shape[-1] - 2), dtype=np.intp)


def _take(values: Floats, hour: NDArray[np.intp]) -> Floats:
    return np.take_along_axis(values, hour[..., None], axis=-1)[..., 0]
