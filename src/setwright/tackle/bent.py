"""Hooks, rings and rivets: thick bends, closed against open, pins in shear."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def bend_factor(wire: ArrayLike, radius: ArrayLike) -> Floats:
    """Stress inside a thick bend over that of a straight beam of the same round wire.

    Parameters
    ----------
    wire, radius : array_like
        Wire diameter and mean radius of the bend [m].

    Returns
    -------
    array [-]
        K of Winkler and Bach: neutral radius r_n = (r + √(r² − d²/4))/2. NaN where the wire is thicker than the
        bend allows (r ≤ d/2).

    References
    ----------
    Curved beams, textbook table of K for round sections (memory).

    """
    d, r = np.asarray(wire, dtype=float), np.asarray(radius, dtype=float)
    c = 0.5 * d
    fits = r > c
    used = np.where(fits, r, 2.0 * c)
    off = 0.5 * (used - np.sqrt(used**2 - c**2))
    return np.asarray(np.where(fits, (c - off) / (off * (used - c)) * c / 4.0, np.nan))


def hook_yield(wire: ArrayLike, radius: ArrayLike, yield_strength: ArrayLike) -> Floats:
    """Pull at which the inside of an open hook yields, with its thick bend [N].

    Parameters
    ----------
    wire, radius : array_like
        Wire diameter and mean radius of the bend [m].
    yield_strength : array_like
        Of the wire [Pa].

    Notes
    -----
    f_y A / (1 + K 8 r/d), with K of `bend_factor`: less than the straight-beam figure of `hook_open`. Past it
    the hook keeps a bent shape; it holds on up to the plastic figure while it opens.

    """
    d, r, f = (np.asarray(part, dtype=float) for part in (wire, radius, yield_strength))
    return np.asarray(f * np.pi * d**2 / 4.0 / (1.0 + bend_factor(d, r) * 8.0 * r / d))


def ring_open(wire: ArrayLike, radius: ArrayLike, yield_strength: ArrayLike) -> tuple[Floats, Floats]:
    """Pull that yields, and that collapses, a closed ring or a hook whose eyes are closed and welded [N].

    Parameters
    ----------
    wire, radius : array_like
        Wire diameter and mean radius [m].
    yield_strength : array_like
        Of the wire [Pa].

    Notes
    -----
    First yield under the load with the moment P r/π of a thin ring. Collapse by four hinges, the two at the
    sides weakened by their tension: P r/2 = M_p (2 − (P/2N_p)²), M_p = f d³/6, N_p = f π d²/4. A soft ring does
    not part there: it draws out into a link.

    References
    ----------
    Ring under two loads: plastic hinges (derived).

    """
    d, r, f = (np.asarray(part, dtype=float) for part in (wire, radius, yield_strength))
    first = f * np.pi * d**3 / 32.0 * np.pi / r
    moment, tension = f * d**3 / 6.0, f * np.pi * d**2 / 4.0
    square = moment / (4.0 * tension**2)
    collapse = (-0.5 * r + np.sqrt(0.25 * r**2 + 8.0 * moment * square)) / (2.0 * square)
    return np.asarray(first), np.asarray(collapse)


def rivet_load(
    diameter: ArrayLike, planes: ArrayLike, plate: ArrayLike, strength: ArrayLike, plate_strength: ArrayLike
) -> tuple[Floats, NDArray[np.bool_]]:
    """Load that a rivet or pin carries across its length [N], and true where the plate tears before it shears.

    Parameters
    ----------
    diameter : array_like
        Of the shank [m].
    planes : array_like
        Planes in shear, 1 or 2 [-].
    plate : array_like
        Thickness of the thinner side that bears on it [m].
    strength, plate_strength : array_like
        Tensile strength of rivet and plate [Pa].

    Notes
    -----
    Shear 0.6 f_u A a plane; bearing 1.5 f_u d t at a hole near the edge (memory). Nothing on a head that is worn
    or was set loose: bench-pull those.

    References
    ----------
    EN 1993-1-8, table 3.4, factor of shear 0.6 (memory).

    """
    d = np.asarray(diameter, dtype=float)
    shear = 0.6 * np.asarray(strength, dtype=float) * np.asarray(planes, dtype=float) * np.pi * d**2 / 4.0
    bearing = 1.5 * np.asarray(plate_strength, dtype=float) * d * np.asarray(plate, dtype=float)
    return np.asarray(np.minimum(shear, bearing)), np.asarray(bearing < shear)
