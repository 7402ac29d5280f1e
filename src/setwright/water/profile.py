"""The bed of the water along the line of a set."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Profile:
    """Bed heights along a line from the bank out.

    Parameters
    ----------
    x : ndarray
        Distance from the water's edge outwards, rising [m], shape (k,).
    z : ndarray
        Height of the bed over the water level when set, below it negative [m], shape (k,).

    """

    x: Floats
    z: Floats

    def __post_init__(self) -> None:
        x = np.asarray(self.x, dtype=float)
        z = np.asarray(self.z, dtype=float)
        if x.ndim != 1 or x.shape != z.shape or x.size < 2:
            raise OutOfRange("a bed needs two rows of the same length, two points or more")
        if not bool(np.all(np.isfinite(x)) and np.all(np.isfinite(z)) and np.all(np.diff(x) > 0)):
            raise OutOfRange("distances of a bed must be known and rise from point to point")
        object.__setattr__(self, "x", x)
        object.__setattr__(self, "z", z)

    @classmethod
    def from_depths(cls, distances: ArrayLike, depths: ArrayLike) -> Profile:
        """Bed from soundings.

        Parameters
        ----------
        distances : array_like
            Distance of each sounding from the water's edge [m], in any order, shape (k,).
        depths : array_like
            Depth at each [m], shape (k,).

        Returns
        -------
        Profile
            With the water's edge as its first point when no sounding stands at or before it.

        Raises
        ------
        OutOfRange
            When two soundings stand at one place or a number is missing.

        """
        out = np.atleast_1d(np.asarray(distances, dtype=float))
        down = np.atleast_1d(np.asarray(depths, dtype=float))
        if out.shape != down.shape or out.ndim != 1 or out.size == 0:
            raise OutOfRange("soundings need a distance and a depth each")
        order = np.argsort(out, kind="stable")
        out, down = out[order], down[order]
        if out[0] > 0:
            out, down = np.concatenate([[0.0], out]), np.concatenate([[0.0], down])
        return cls(out, 0.0 - down)

    @property
    def outermost(self) -> float:
        """Distance of the outermost point [m]."""
        return float(self.x[-1])


def bed(profile: Profile, x: ArrayLike) -> Floats:
    """Height of the bed between the soundings.

    Parameters
    ----------
    profile : Profile
        The bed.
    x : array_like
        Distance from the water's edge [m], any shape.

    Returns
    -------
    ndarray
        Height over the water level when set [m], straight between neighbours; NaN outside the soundings.

    Notes
    -----
    Doubt: a stump, a root or a bar between two soundings is not seen.

    """
    at = np.asarray(x, dtype=float)
    return np.asarray(np.interp(at, profile.x, profile.z, left=np.nan, right=np.nan))
