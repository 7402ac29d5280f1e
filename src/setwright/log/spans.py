"""Catch and effort over time: spans of days with their rates and bands."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import BadInput
from setwright.log import rates

Floats = NDArray[np.float64]
DAY = 86_400_000_000


@dataclass(frozen=True, slots=True, eq=False)
class Spans:
    """Spans of a season, s of them, none left out between the first and the last.

    Parameters
    ----------
    begins : array (s,) of int [µs]
        Start of each span, since 1970 in UTC.
    catches, nights : array (s,) [-], [night]
        Target animals held and trap-nights spent in each.
    rate, low, high : array (s,) [1/100 night]
        Catch per 100 trap-nights with its exact 95 % interval; NaN in a span without effort.

    """

    begins: NDArray[np.int64]
    catches: Floats
    nights: Floats
    rate: Floats
    low: Floats
    high: Floats


def spans(instant: ArrayLike, target: ArrayLike, nights: ArrayLike, days: int = 7) -> Spans:
    """Sum waits up in spans of so many days, each wait in the span of the look that ends it.

    Parameters
    ----------
    instant : array (n,) of int [µs]
        Look that ends each wait.
    target : array (n,)
        Whether a target was held.
    nights : array (n,) [night]
        Trap-nights of each, as they count.
    days : int [d]
        Length of a span.

    Raises
    ------
    BadInput
        When a span has no length.

    """
    if days < 1:
        raise BadInput("length of a span", field="days", found=days, allowed="1 or more")
    when = np.asarray(instant, dtype=np.int64)
    if when.size == 0:
        none = np.zeros(0)
        return Spans(np.zeros(0, dtype=np.int64), none, none, none, none, none)
    first = int(when.min()) // DAY * DAY
    place = (when - first) // (DAY * days)
    length = int(place.max()) + 1
    caught = np.asarray(np.bincount(place, np.asarray(target, dtype=float), length), dtype=float)
    spent = np.asarray(np.bincount(place, np.asarray(nights, dtype=float), length), dtype=float)
    ends = rates.garwood(caught, spent)
    with np.errstate(divide="ignore", invalid="ignore"):
        rate = np.where(spent > 0, 100.0 * caught / spent, np.nan)
    begins = first + np.arange(length, dtype=np.int64) * DAY * days
    return Spans(begins, caught, spent, rate, 100.0 * ends.low, 100.0 * ends.high)
