"""Rise and fall of the level by check interval and season, given how the level moves now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.water.stage import WEEK, Floats, like_now, rise_fall
from setwright.water.tails import Tail, blocks_apart, exceedance_with_band, independent_events, quantile_with_band

TRAPPING_MONTHS = (11, 12, 1, 2, 3)


@dataclass(frozen=True)
class LevelOdds:
    """What a record says of one check interval.

    Parameters
    ----------
    hours : int
        Length of the check interval [h].
    starts : int
        Start hours that were counted [-].
    events : int
        Of these, how many can count as independent: a block apart [-].
    limits : tuple of float
        Rises and falls asked for, at the site [m].
    rise_over, fall_over : tuple of Tail
        Chance that the level rises, or falls, by more than each limit within the interval [-].
    rise_floods, fall_floods : tuple of int
        Times at which the record did so, each a block apart from the next [-].
    rise_quantile, fall_quantile : tuple of Tail
        Rise and fall at the site that the asked share of waits stays under [m].

    """

    hours: int
    starts: int
    events: int
    limits: tuple[float, ...]
    rise_over: tuple[Tail, ...]
    fall_over: tuple[Tail, ...]
    rise_floods: tuple[int, ...]
    fall_floods: tuple[int, ...]
    rise_quantile: tuple[Tail, ...]
    fall_quantile: tuple[Tail, ...]


def in_months(starts: ArrayLike, months: Sequence[int] = TRAPPING_MONTHS) -> NDArray[np.bool_]:
    """Hours that lie in given months of any year.

    Parameters
    ----------
    starts : array_like
        Start of each hour, as from `hour_starts` [s], shape (h,).
    months : sequence of int
        Months that count, January as 1; UTC.

    Returns
    -------
    ndarray of bool
        Mask, shape (h,).

    Raises
    ------
    OutOfRange
        When a month is none.

    """
    if not months or any(month not in range(1, 13) for month in months):
        raise OutOfRange("months run from 1 to 12", found=tuple(months))
    whole = np.asarray(starts, dtype=float).astype("datetime64[s]").astype("datetime64[M]").astype(int)
    return np.asarray(np.isin(whole % 12 + 1, list(months)))


def level_odds(
    level_hourly: ArrayLike,
    starts: ArrayLike,
    hours: int,
    *,
    limits: Sequence[float] = (0.05, 0.10, 0.30),
    shares: Sequence[float] = (0.50, 0.95),
    months: Sequence[int] | None = None,
    trend_now: float | None = None,
    width: float = 0.03,
    trend_hours: int = 24,
    scale: float = 1.0,
    block: int = WEEK,
    seed: int = 20,
) -> LevelOdds:
    """Chance of rise and fall within one check interval, with bands that know how few events there were.

    Parameters
    ----------
    level_hourly : array_like
        Hourly level of the gauge, as from `hourly` [m], shape (h,).
    starts : array_like
        Start of each hour, as from `hour_starts` [s], shape (h,).
    hours : int
        Length of the check interval [h].
    limits : sequence of float
        Rises and falls at the site to be exceeded [m].
    shares : sequence of float
        Quantiles asked for [-], inside (0, 1).
    months : sequence of int, optional
        Months in which a wait must begin; all of the year without.
    trend_now : float, optional
        Change of the level at the site over the last `trend_hours` [m]; only waits that began after a like change
        then count.
    width : float
        Greatest difference from `trend_now` that counts as alike, at the site [m].
    trend_hours : int
        How far back the present change was read [h].
    scale : float
        Level change at the site for one at the gauge [-].
    block : int
        Hours that are drawn together [h].
    seed : int
        Same seed, same bands [-].

    Returns
    -------
    LevelOdds
        Tails that the record cannot tell are NaN with the reason.

    Raises
    ------
    OutOfRange
        When the scale is not positive, or level and hours differ in number.

    Notes
    -----
    Seasons of several years are laid end to end, and blocks of a week drawn from that row; a condition on the trend
    selects within the drawn blocks. Doubt: no rain forecast goes in; a trend condition on a short record leaves few
    events, and `events` says how few.

    References
    ----------
    Künsch (1989), Annals of Statistics 17:1217-1241 (memory).

    """
    if not scale > 0:
        raise OutOfRange("the scale from gauge to site is positive", found=scale)
    level = np.asarray(level_hourly, dtype=float)
    begins = np.asarray(starts, dtype=float)
    if level.shape != begins.shape:
        raise OutOfRange("each hour of the level has a start", found=(level.size, begins.size))
    rise, fall = rise_fall(level, hours)
    season = np.ones(rise.size, dtype=bool) if months is None else in_months(begins, months)[: rise.size]
    alike = (
        np.ones(rise.size, dtype=bool)
        if trend_now is None
        else like_now(level, trend_now / scale, width / scale, trend_hours)[: rise.size]
    )
    rise, fall = rise[season] * scale, fall[season] * scale
    counts = alike[season] & np.isfinite(rise)
    where = None if trend_now is None else counts

    def over(change: Floats) -> tuple[Tail, ...]:
        return tuple(exceedance_with_band(change, limit, block, seed, where) for limit in limits)

    def floods(change: Floats) -> tuple[int, ...]:
        return tuple(independent_events(np.where(counts, change, np.nan), limit, block) for limit in limits)

    def quantile(change: Floats) -> tuple[Tail, ...]:
        return tuple(quantile_with_band(change, share, block, seed, where) for share in shares)

    return LevelOdds(
        hours,
        int(counts.sum()),
        blocks_apart(counts, block) if where is not None else int(counts.sum()) // block,
        tuple(limits),
        over(rise),
        over(fall),
        floods(rise),
        floods(fall),
        quantile(rise),
        quantile(fall),
    )


def change_draws(
    level_hourly: ArrayLike, hours: int, u: ArrayLike, scale: float = 1.0, where: NDArray[np.bool_] | None = None
) -> Floats:
    """Draws of whole waits: the level change hour by hour, as the record saw it.

    Parameters
    ----------
    level_hourly : array_like
        Hourly level of the gauge [m], shape (h,).
    hours : int
        Length of the check interval [h].
    u : array_like
        Uniform draws in (0, 1) [-], shape (n,).
    scale : float
        Level change at the site for one at the gauge [-].
    where : ndarray of bool, optional
        Mask of the start hours that count, shape (h,), as from `like_now` or `in_months`.

    Returns
    -------
    ndarray
        Level less the level when set [m], shape (n, hours + 1), first column zero; NaN throughout when no start hour
        has a whole window.

    Notes
    -----
    Waits are ranked by their greatest fall, then by their greatest rise, and u picks the rank: rise and fall of a
    draw belong to one wait, which two separate draws would not hold. Nothing is put beyond the record.

    """
    level = np.asarray(level_hourly, dtype=float)
    share = np.asarray(u, dtype=float)
    rise, fall = rise_fall(level, hours)
    counts = np.isfinite(rise)
    if where is not None:
        counts &= np.asarray(where, dtype=bool)[: rise.size]
    kept = np.flatnonzero(counts)
    if kept.size == 0:
        return np.full((*share.shape, hours + 1), np.nan)
    ranked = kept[np.lexsort((rise[kept], fall[kept]))]
    rank = np.minimum((share * kept.size).astype(int), kept.size - 1)
    begin = ranked[rank][..., None]
    return np.asarray(scale * (level[begin + np.arange(hours + 1)] - level[begin]))
