"""Water level records: hourly means, rise and fall within the check interval, tails by counting."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]

HOUR = 3600.0
WEEK = 168


@dataclass(frozen=True, eq=False)
class Stage:
    """A record of the water level at one gauge.

    Parameters
    ----------
    times : ndarray
        Seconds since 1970-01-01 UTC, rising [s], shape (k,).
    level : ndarray
        Water level over the gauge's own zero [m], shape (k,).
    label, origin, licence : str
        Name of the record, where it comes from, under which terms.
    stand_in : bool
        True when the record is of another water than the one planned for.
    alterations : str
        What was altered against the original.
    dropped : int
        Readings that were left out: no data, or marked as affected by ice [-].
    datum : str
        What the level is counted from.
    iced : int
        Of those left out, the ones that ice affects [-].
    repeated : int
        Readings that stood twice with the same level and were left out once [-].
    disorder : int
        Readings that stood before an earlier one and were put in order [-].

    """

    times: Floats
    level: Floats
    label: str
    origin: str
    licence: str
    stand_in: bool
    alterations: str = ""
    dropped: int = 0
    datum: str = "the gauge's own zero"
    iced: int = 0
    repeated: int = 0
    disorder: int = 0

    def __post_init__(self) -> None:
        times = np.asarray(self.times, dtype=float)
        level = np.asarray(self.level, dtype=float)
        if times.ndim != 1 or times.shape != level.shape or times.size == 0:
            raise OutOfRange("times and levels of a record must be two rows of the same length, not empty")
        if not bool(np.all(np.diff(times) > 0)):
            raise OutOfRange("the times of a record must rise")
        object.__setattr__(self, "times", times)
        object.__setattr__(self, "level", level)


def hour_starts(stage: Stage) -> Floats:
    """Start of each hour of `hourly`.

    Parameters
    ----------
    stage : Stage
        The record.

    Returns
    -------
    ndarray
        Seconds since 1970-01-01 UTC [s], shape (h,).

    """
    first = np.floor(stage.times[0] / HOUR)
    last = np.floor(stage.times[-1] / HOUR)
    return np.asarray(HOUR * (first + np.arange(int(last - first) + 1)))


def hourly(stage: Stage) -> Floats:
    """Mean level of each hour of the record.

    Parameters
    ----------
    stage : Stage
        The record, at any spacing.

    Returns
    -------
    ndarray
        Level [m], shape (h,); one value for every hour from the first to the last reading, NaN for an hour
        without a reading: gaps are never bridged.

    Notes
    -----
    Doubt: where readings are an hour or more apart, each stands for its hour, and a short crest between them is
    missed.

    """
    starts = hour_starts(stage)
    index = np.asarray(np.floor(stage.times / HOUR) - starts[0] / HOUR, dtype=int)
    known = np.isfinite(stage.level)
    total = np.bincount(index[known], weights=stage.level[known], minlength=starts.size)
    count = np.bincount(index[known], minlength=starts.size)
    return np.asarray(np.where(count > 0, total / np.maximum(count, 1), np.nan))


def rise_fall(level_hourly: ArrayLike, hours: int) -> tuple[Floats, Floats]:
    """Greatest rise and greatest fall of the level within `hours` after each start hour.

    Parameters
    ----------
    level_hourly : array_like
        Hourly level, equally spaced, NaN in gaps [m], shape (h,).
    hours : int
        Length of the check interval [h].

    Returns
    -------
    rise, fall : ndarray
        Both [m], not negative, shape (s,) with s = h - hours; NaN for a start whose window has a gap.
        Empty when the record is not longer than the interval.

    Notes
    -----
    rise(s) = max h(s … s + N) − h(s), fall(s) = h(s) − min h(s … s + N).
    Doubt: windows of neighbouring start hours overlap, so their number is not the number of events.

    """
    level = np.asarray(level_hourly, dtype=float)
    if hours < 1 or level.ndim != 1:
        raise OutOfRange("an hourly level and an interval of at least one hour are needed", found=hours)
    if level.size <= hours:
        return np.empty(0), np.empty(0)
    start = level[:-hours]
    top, bottom = _sliding(level, hours + 1)
    return np.asarray(top - start), np.asarray(start - bottom)


def _sliding(level: Floats, width: int) -> tuple[Floats, Floats]:
    """Greatest and least value of every `width` neighbours by doubling; NaN spreads to every window it is in."""
    top = bottom = level
    have = 1
    while have < width:
        step = min(have, width - have)
        top = np.maximum(top[:-step], top[step:])
        bottom = np.minimum(bottom[:-step], bottom[step:])
        have += step
    return top, bottom


def trend(level_hourly: ArrayLike, hours: int = 24) -> Floats:
    """Change of the level over the hours before each hour.

    Parameters
    ----------
    level_hourly : array_like
        Hourly level [m], shape (h,).
    hours : int
        How far back to look [h].

    Returns
    -------
    ndarray
        h(s) − h(s − hours) [m], shape (h,); NaN for the first hours and beside gaps.

    """
    level = np.asarray(level_hourly, dtype=float)
    if hours < 1:
        raise OutOfRange("a trend needs at least one hour", found=hours)
    found = np.full(level.shape, np.nan)
    found[hours:] = level[hours:] - level[:-hours]
    return found


def like_now(level_hourly: ArrayLike, trend_now: float, width: float, hours: int = 24) -> NDArray[np.bool_]:
    """Start hours of the record before which the level moved as it does now.

    Parameters
    ----------
    level_hourly : array_like
        Hourly level [m], shape (h,).
    trend_now : float
        Change of the level over the last `hours` at the site, at the gauge's scale [m].
    width : float
        Greatest difference that still counts as alike [m].
    hours : int
        How far back the change was read [h].

    Returns
    -------
    ndarray of bool
        Mask over the hours, shape (h,).

    """
    with np.errstate(invalid="ignore"):
        return np.asarray(np.abs(trend(level_hourly, hours) - trend_now) <= width)


def _drawn(values: Floats, u: ArrayLike, where: NDArray[np.bool_] | None) -> Floats:
    share = np.asarray(u, dtype=float)
    if where is not None and values.size:
        values = values[np.asarray(where, dtype=bool)[: values.size]]
    known = np.sort(values[np.isfinite(values)])
    if known.size == 0:
        return np.full(share.shape, np.nan)
    return np.asarray(np.interp(share, (np.arange(known.size) + 0.5) / known.size, known))


def fall_draws(
    stage_hourly: ArrayLike, hours: int, u: ArrayLike, scale: float = 1.0, where: NDArray[np.bool_] | None = None
) -> Floats:
    """Draws of the greatest fall within the interval.

    Parameters
    ----------
    stage_hourly : array_like
        Hourly level of the gauge [m], shape (h,).
    hours : int
        Length of the check interval [h].
    u : array_like
        Uniform draws in (0, 1) [-], shape (n,).
    scale : float
        Level change at the site for one at the gauge [-].
    where : ndarray of bool, optional
        Mask of the start hours that count, shape (h,), as from `like_now`.

    Returns
    -------
    ndarray
        Fall [m], shape (n,); NaN throughout when no start hour has a whole window.

    Notes
    -----
    Empirical quantile of `rise_fall` at u, linear between the sorted starts. Nothing is put beyond the record: the
    largest draw is the largest fall that the record holds, so a tail rarer than one in the number of independent
    events is not in the draws. `quantile_with_band` says where that is.

    """
    return scale * _drawn(rise_fall(stage_hourly, hours)[1], u, where)


def rise_draws(
    stage_hourly: ArrayLike, hours: int, u: ArrayLike, scale: float = 1.0, where: NDArray[np.bool_] | None = None
) -> Floats:
    """Draws of the greatest rise within the interval.

    Parameters
    ----------
    stage_hourly : array_like
        Hourly level of the gauge [m], shape (h,).
    hours : int
        Length of the check interval [h].
    u : array_like
        Uniform draws in (0, 1) [-], shape (n,).
    scale : float
        Level change at the site for one at the gauge [-].
    where : ndarray of bool, optional
        Mask of the start hours that count, shape (h,).

    Returns
    -------
    ndarray
        Rise [m], shape (n,); NaN throughout when no start hour has a whole window.

    Notes
    -----
    As for `fall_draws`.

    """
    return scale * _drawn(rise_fall(stage_hourly, hours)[0], u, where)
