"""Is the pan as deep as the foot comes, now and while the level moves?"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def in_window(depth: ArrayLike, low: ArrayLike, high: ArrayLike) -> Floats:
    """Margin of a pan depth inside the window of a foot.

    Parameters
    ----------
    depth : array_like
        Water over the pan [m], any shape.
    low, high : array_like
        Window [m].

    Returns
    -------
    ndarray
        min(depth − low, high − depth) [m]: positive inside, negative outside.

    Notes
    -----
    Doubt: windows are common practice; no trial of depth against catch was found.

    """
    water = np.asarray(depth, dtype=float)
    return np.asarray(np.minimum(water - np.asarray(low, dtype=float), np.asarray(high, dtype=float) - water))


def depth_share(depth_draws: ArrayLike, low: float, high: float) -> float:
    """Share of draws of the pan depth that lie inside the window.

    Parameters
    ----------
    depth_draws : array_like
        Water over the pan [m], shape (n,).
    low, high : float
        Window [m].

    Returns
    -------
    float
        Share [-]; NaN when a draw is unknown or there is none.

    """
    draws = np.asarray(depth_draws, dtype=float)
    if draws.size == 0 or bool(np.isnan(draws).any()):
        return float("nan")
    return float(np.mean(in_window(draws, low, high) >= 0))


def hours_share(depth: ArrayLike, change: ArrayLike, low: float, high: float) -> Floats:
    """Share of the hours of the interval in which the pan lies inside the window.

    Parameters
    ----------
    depth : array_like
        Water over the pan when set [m], shape (...).
    change : array_like
        Level less the level when set, hour by hour [m], shape (..., h).
    low, high : float
        Window [m].

    Returns
    -------
    ndarray
        Share [-], shape (...); NaN where an hour is unknown.

    """
    water = np.asarray(depth, dtype=float)[..., None] + np.asarray(change, dtype=float)
    inside = np.mean(in_window(water, low, high) >= 0, axis=-1)
    return np.asarray(np.where(np.isnan(water).any(axis=-1), np.nan, inside))


def dry_share(depth: ArrayLike, change: ArrayLike) -> Floats:
    """Share of the hours of the interval in which the pan lies bare: the set then holds alive, on land.

    Parameters
    ----------
    depth : array_like
        Water over the pan when set [m], shape (...).
    change : array_like
        Level less the level when set, hour by hour [m], shape (..., h).

    Returns
    -------
    ndarray
        Share [-], shape (...); NaN where an hour is unknown.

    """
    water = np.asarray(depth, dtype=float)[..., None] + np.asarray(change, dtype=float)
    return np.asarray(np.where(np.isnan(water).any(axis=-1), np.nan, np.mean(water < 0, axis=-1)))


def level_changes(level_hourly: ArrayLike, hours: int) -> Floats:
    """Level change hour by hour after every start hour of a record.

    Parameters
    ----------
    level_hourly : array_like
        Hourly level [m], shape (h,).
    hours : int
        Length of the check interval [h].

    Returns
    -------
    ndarray
        h(s + k) − h(s) [m], shape (s, hours + 1); no rows when the record is too short.

    """
    level = np.asarray(level_hourly, dtype=float)
    if level.size <= hours:
        return np.empty((0, hours + 1))
    windows = np.lib.stride_tricks.sliding_window_view(level, hours + 1)
    return np.asarray(windows - windows[:, :1])


def chest_zone(
    depth: ArrayLike, low: float, high: float, off_centre: ArrayLike = 0.0, clear_of: float = np.inf
) -> NDArray[np.bool_]:
    """Tell where a swimming animal's chest, not its foot, is likely to fire the pan.

    Parameters
    ----------
    depth : array_like
        Water over the pan [m], any shape.
    low, high : float
        Depths at which the chest grounds [m].
    off_centre : array_like
        Distance of the pan from the line on which the animal comes in [m].
    clear_of : float
        Distance from that line at which the chest passes the pan by [m]; without one the pan is taken to lie in
        its way.

    Returns
    -------
    ndarray of bool
        True where a chest misfire is likely. False where the depth is unknown.

    """
    with np.errstate(invalid="ignore"):
        inside = in_window(depth, low, high) >= 0
        return np.asarray(inside & (np.abs(np.asarray(off_centre, dtype=float)) < clear_of))
