"""The bed of a trap: its volume, the minutes to dig it, the cover to fill it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

CLEARANCE = 0.025


def bed_volume(length: ArrayLike, width: ArrayLike, set_height: ArrayLike, cover: ArrayLike) -> Floats:
    """Volume of the bed [m³]: outline of the set trap plus 25 mm all round, set height plus cover deep.

    Parameters
    ----------
    length, width : array_like
        Outline of the set trap [m].
    set_height, cover : array_like
        Height of the set trap and depth of the cover [m].

    """
    area = (np.asarray(length, dtype=float) + 2 * CLEARANCE) * (np.asarray(width, dtype=float) + 2 * CLEARANCE)
    return np.asarray(area * (np.asarray(set_height, dtype=float) + np.asarray(cover, dtype=float)))


def digging_time(volume: ArrayLike, rate: ArrayLike, factor: ArrayLike) -> Floats:
    """Time to dig a bed [s]: volume over the hand rate [m³/s], times how much slower a trowel is [-]."""
    return np.asarray(
        np.asarray(volume, dtype=float) / np.asarray(rate, dtype=float) * np.asarray(factor, dtype=float)
    )


def cover_volume(bed: ArrayLike, mass: ArrayLike, steel: float = 7850.0) -> Floats:
    """Cover that fills a bed around the trap [m³]: the bed [m³] less the steel of the trap's mass [kg]."""
    return np.asarray(np.maximum(np.asarray(bed, dtype=float) - np.asarray(mass, dtype=float) / steel, 0.0))
