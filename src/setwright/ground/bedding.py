"""The bed of a trap: its outline and volume, the minutes to dig it, the cover to fill it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]

CLEARANCE = 0.025


@dataclass(frozen=True, eq=False)
class Outline:
    """Outline of a set trap on the ground, any shape.

    Parameters
    ----------
    length, width : ndarray
        Sides of the box round it, along the hinge line and across it [m].
    box : ndarray
        Area of the box with the clearance all round [m²]: a bed dug with a spade.
    close : ndarray
        Area that follows the trap with the clearance all round [m²]: a bed dug with a trowel.

    """

    length: Floats
    width: Floats
    box: Floats
    close: Floats


def trap_outline(
    base: ArrayLike,
    across: ArrayLike,
    spring: ArrayLike,
    spring_width: ArrayLike = 0.025,
    bend: ArrayLike = 0.0,
    *,
    springs: int = 2,
    same_side: bool = False,
    clearance: float = CLEARANCE,
) -> Outline:
    """Outline of a set trap: open jaws, and the springs or levers at the ends of the hinge line.

    Parameters
    ----------
    base, across : array_like
        Of the open jaws along the hinge line and across it [m].
    spring : array_like
        Length of a long-spring, or of a coil-spring's lever, beyond the base [m].
    spring_width : array_like
        Its width [m].
    bend : array_like
        Turn of each spring out of the hinge line, 0 to π/2 [rad]; levers of a coil-spring do not turn.
    springs : int
        0 (under-spring), 1 or 2.
    same_side : bool
        True when both are swung to one side (to the dog, so that the loose jaw lies flat), False when to opposite
        ones.
    clearance : float
        All round [m].

    Raises
    ------
    OutOfRange
        When the number of springs is none of 0, 1, 2 or a bend is not 0 to π/2.

    Notes
    -----
    Springs are rectangles from the ends of the hinge line. Where a spring lies beside the jaws the close area counts
    the overlap once only for the first clearance at its root: it errs by a few per cent to the larger side.

    """
    if springs not in (0, 1, 2):
        raise OutOfRange("a trap has at most two springs", field="springs", found=springs, allowed="0, 1, 2")
    turn = np.asarray(bend, dtype=float)
    if not bool(np.all((turn >= 0.0) & (turn <= 0.5 * np.pi + 1e-9))):
        raise OutOfRange("a spring turns out of the hinge line", field="bend", found=bend, allowed="0 to π/2 rad")
    long, wide, leaf, half = (
        np.asarray(part, dtype=float) for part in (base, across, spring, 0.5 * np.asarray(spring_width, dtype=float))
    )
    count = float(springs)
    length = long + count * np.where(count > 0, leaf * np.cos(turn) + half * np.sin(turn), 0.0)
    beyond = np.maximum(leaf * np.sin(turn) + half * np.cos(turn) - 0.5 * wide, 0.0) if springs else 0.0
    width = wide + (beyond if same_side or springs == 1 else 2.0 * beyond)
    box = (length + 2 * clearance) * (width + 2 * clearance)
    body = (long + 2 * clearance) * (wide + 2 * clearance)
    strips = count * leaf * (2.0 * half + 2 * clearance)
    close = np.minimum(body + strips, box)
    return Outline(*(np.asarray(part) for part in np.broadcast_arrays(length, width, box, close)))


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


def digging_time_frozen(
    volume: ArrayLike, deep: ArrayLike, frozen_depth: ArrayLike, rate: ArrayLike, factor: ArrayLike, pick: ArrayLike
) -> Floats:
    """Time to dig a bed through a frozen top [s], any shape.

    Parameters
    ----------
    volume, deep : array_like
        Of the bed [m³] and its depth [m].
    frozen_depth : array_like
        Of the frozen top of the ground [m].
    rate, factor : array_like
        As in `digging_time`.
    pick : array_like
        How many times slower frozen ground goes, 5 to 20 (common practice) [-].

    """
    share = np.clip(np.asarray(frozen_depth, dtype=float) / np.asarray(deep, dtype=float), 0.0, 1.0)
    slower = 1.0 + share * (np.asarray(pick, dtype=float) - 1.0)
    return np.asarray(digging_time(volume, rate, factor) * slower)


def cover_volume(bed: ArrayLike, mass: ArrayLike, steel: float = 7850.0) -> Floats:
    """Cover that fills a bed around the trap [m³]: the bed [m³] less the steel of the trap's mass [kg]."""
    return np.asarray(np.maximum(np.asarray(bed, dtype=float) - np.asarray(mass, dtype=float) / steel, 0.0))


def cover_layer(area: ArrayLike, cover: ArrayLike) -> Floats:
    """Cover sifted over a set trap whose bed was filled with its own dirt [m³]: area of the bed times the cover."""
    return np.asarray(np.asarray(area, dtype=float) * np.asarray(cover, dtype=float))
