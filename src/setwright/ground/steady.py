"""Does a trap rock in its bed: level and wobble on the stones and lumps that it rests on."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]

TOUCH = 1e-7


@dataclass(frozen=True, eq=False)
class Steadiness:
    """How a flat frame lies on what is under it.

    Parameters
    ----------
    tilt : float
        Angle of the frame from level as it lies [rad]; NaN when it lies on nothing that carries its middle.
    rests : tuple of int
        The three supports that carry it; empty when it falls over.
    drop : array (k,)
        How far each corner that is pressed goes down [m]; inf where nothing stops it.
    steady : bool
        True when no corner goes down farther than allowed.

    """

    tilt: float
    rests: tuple[int, ...]
    drop: Floats
    steady: bool


def four_points(
    supports: ArrayLike, corners: ArrayLike, *, middle: Sequence[float] = (0.0, 0.0), allowed: float = 0.001
) -> Steadiness:
    """The four-point test: press both jaws and both springs, one after the other; nothing may move.

    Parameters
    ----------
    supports : array_like
        Places under the frame that bear, shape (n, 3): along the hinge line, across it, height [m].
    corners : array_like
        Where it is pressed, shape (k, 2) [m].
    middle : sequence of float
        Where its own weight acts [m].
    allowed : float
        Drop of a corner that a hand calls steady [m], a millimetre (assumed).

    Returns
    -------
    Steadiness

    Raises
    ------
    OutOfRange
        When fewer than three supports are given or more than 24.

    Notes
    -----
    A rigid flat frame lies on three supports that no other one stands above and that enclose the load. Pressed at a
    corner outside these three it tips until another support stops it, or falls. Geometry only: packed dirt gives way
    a little under a foot, so pack it under the corner that drops.

    References
    ----------
    Statics of a rigid plate on points (derived).

    """
    points = np.asarray(supports, dtype=float).reshape(-1, 3)
    if not 3 <= len(points) <= 24:
        raise OutOfRange(
            "a frame lies on three points or more", field="supports", found=len(points), allowed="3 to 24"
        )
    planes = _planes(points)
    rest = _under(planes, np.asarray(middle, dtype=float))
    pressed = np.asarray(corners, dtype=float).reshape(-1, 2)
    if rest is None:
        return Steadiness(float("nan"), (), np.full(len(pressed), np.inf), False)
    plane, rests, _ = rest
    drop = np.full(len(pressed), np.inf)
    for number, corner in enumerate(pressed):
        found = _under(planes, corner)
        if found is not None:
            drop[number] = max(_height(plane, corner) - _height(found[0], corner), 0.0)
    tilt = float(np.arctan(np.hypot(plane[0], plane[1])))
    return Steadiness(tilt, rests, drop, bool(np.all(drop <= allowed)))


def _planes(points: Floats) -> list[tuple[Floats, tuple[int, ...], Floats]]:
    """Planes through three supports above which none stands: (slopes and height, supports, their places)."""
    found: list[tuple[Floats, tuple[int, ...], Floats]] = []
    for three in itertools.combinations(range(len(points)), 3):
        corner = points[list(three)]
        (along, across), (other_along, other_across) = corner[1:, :2] - corner[0, :2]
        if abs(float(along * other_across - across * other_along)) < 1e-10:
            continue
        matrix = np.column_stack([corner[:, :2], np.ones(3)])
        plane = np.asarray(np.linalg.solve(matrix, corner[:, 2]), dtype=float)
        if bool(np.all(points[:, 2] - points[:, :2] @ plane[:2] - plane[2] <= TOUCH)):
            found.append((plane, three, corner[:, :2]))
    return found


def _under(
    planes: list[tuple[Floats, tuple[int, ...], Floats]], at: Floats
) -> tuple[Floats, tuple[int, ...], Floats] | None:
    """The plane that carries a load at a place, or None where it falls over."""
    for plane, three, place in planes:
        share = np.linalg.solve(np.column_stack([place, np.ones(3)]).T, np.array([at[0], at[1], 1.0]))
        if bool(np.all(share >= -1e-9)):
            return plane, three, place
    return None


def _height(plane: Floats, at: Floats) -> float:
    return float(plane[0] * at[0] + plane[1] * at[1] + plane[2])
