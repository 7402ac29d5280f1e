"""Hours of a set that frost takes: within a window, from when on, and between a mild and a hard forecast."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.ground.crust import DOUBTFUL, OUT_OF_ORDER

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class LostHours:
    """Hours out of order of each site within its window, arrays (m,).

    Parameters
    ----------
    hours : int array (m,)
        Length of the window.
    lost : array (m,)
        Of these, hours out of order.
    doubtful : array (m,)
        Of these, hours that are doubtful.
    unknown : array (m,)
        Of these, hours of which nothing is known.
    share : array (m,) [-]
        Lost over the hours that are known; NaN when none is.
    first : int array (m,)
        Index of the first hour out of order; -1 when there is none among the known ones.

    """

    hours: Counts
    lost: Counts
    doubtful: Counts
    unknown: Counts
    share: Floats
    first: Counts


@dataclass(frozen=True, eq=False)
class LostBand:
    """Lost hours for a forecast as told, a milder one and a harder one.

    Parameters
    ----------
    told, mild, hard : LostHours
        By the forecast, and by the two ends of its error.
    certain : bool array (m,)
        True where all three lose some hours, or none of them does, and nothing is unknown.

    """

    told: LostHours
    mild: LostHours
    hard: LostHours
    certain: NDArray[np.bool_]


def lost_hours(code: ArrayLike, window: ArrayLike = True) -> LostHours:
    """Hours out of order within a window: the check interval, or the animals' hours in it.

    Parameters
    ----------
    code : int array (h,) or (m, h)
        0 works, 1 doubtful, 2 out of order, -1 not known.
    window : bool array (h,) or (m, h)
        Hours that count, such as dusk to dawn. Without one, all do.

    Returns
    -------
    LostHours
        Doubtful hours are not counted as lost.

    Raises
    ------
    OutOfRange
        When window and codes do not fit each other.

    """
    codes = np.atleast_2d(np.asarray(code, dtype=np.int64))
    try:
        codes, counts = np.broadcast_arrays(codes, np.atleast_2d(np.asarray(window, dtype=np.bool_)))
    except ValueError:
        raise OutOfRange(
            "the window does not fit the hours", field="window", found=np.shape(window), allowed=str(codes.shape)
        ) from None
    out = counts & (codes == OUT_OF_ORDER)
    hours, lost, doubtful, unknown = (
        np.sum(part, axis=1) for part in (counts, out, counts & (codes == DOUBTFUL), counts & (codes < 0))
    )
    known = hours - unknown
    share = np.where(known > 0, lost / np.maximum(known, 1), np.nan)
    first = np.where(lost > 0, np.argmax(out, axis=1), -1)
    return LostHours(hours, lost, doubtful, unknown, share, first)


def lost_band(told: ArrayLike, mild: ArrayLike, hard: ArrayLike, window: ArrayLike = True) -> LostBand:
    """Lost hours with the error of a forecast, from three runs of the frost model.

    Parameters
    ----------
    told, mild, hard : int array (h,) or (m, h)
        Codes by the forecast as told, warmer by its error (2 K after a day) and drier, colder and wetter.
    window : bool array (h,) or (m, h)
        As in `lost_hours`.

    Returns
    -------
    LostBand

    """
    middle, low, high = (lost_hours(code, window) for code in (told, mild, hard))
    some = np.stack([each.lost > 0 for each in (middle, low, high)])
    unknown = (middle.unknown + low.unknown + high.unknown) > 0
    return LostBand(middle, low, high, (some.all(axis=0) | ~some.any(axis=0)) & ~unknown)
