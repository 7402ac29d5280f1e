"""Does the ground carry a trap: undrained bearing and sinkage, and Bekker's law elsewhere."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def undrained_capacity(
    cu: ArrayLike, unit_weight: ArrayLike, depth: ArrayLike, width: ArrayLike, length: ArrayLike
) -> Floats:
    """Bearing pressure of a strip or rectangle in clay or muck [Pa].

    q = N_c cu + γ' z, N_c = 5 (1 + 0.2 B/L)(1 + 0.2 z/B), at most 9.

    References
    ----------
    Skempton; Brinch Hansen, UFC 3-220-20 Eq. 6-39 (secondary copy).

    """
    b, z = np.asarray(width, dtype=float), np.asarray(depth, dtype=float)
    factor = np.minimum(5.0 * (1.0 + 0.2 * b / np.asarray(length, dtype=float)) * (1.0 + 0.2 * z / b), 9.0)
    return np.asarray(factor * np.asarray(cu, dtype=float) + np.asarray(unit_weight, dtype=float) * z)


def bearing_factors(phi: ArrayLike) -> tuple[Floats, Floats]:
    """Bearing factors N_q and N_γ of a strip on sand or gravel [-].

    N_q = e^(π tanφ) tan²(45° + φ/2), N_γ = 2 (N_q + 1) tanφ.

    Parameters
    ----------
    phi : array_like
        Friction angle [rad].

    References
    ----------
    Prandtl and Reissner; Vesic 1973 (from memory; values of a public library hold both).

    """
    tangent = np.tan(np.asarray(phi, dtype=float))
    n_q = np.exp(np.pi * tangent) * np.tan(np.pi / 4 + 0.5 * np.asarray(phi, dtype=float)) ** 2
    return np.asarray(n_q), np.asarray(2.0 * (n_q + 1.0) * tangent)


def drained_capacity(
    phi: ArrayLike, unit_weight: ArrayLike, depth: ArrayLike, width: ArrayLike, length: ArrayLike
) -> Floats:
    """Bearing pressure of a strip or rectangle on sand or gravel [Pa].

    q = γ' z N_q (1 + (B/L) tanφ) + ½ γ' B N_γ (1 − 0.4 B/L). At the surface of dry sand only the second part is
    left, and it is small for a narrow strip: a trap settles until its bed carries it.

    Parameters
    ----------
    phi, unit_weight : array_like
        Friction angle [rad] and effective unit weight [N/m³].
    depth, width, length : array_like
        Depth of the strip, its short and long side [m].

    References
    ----------
    Shape factors of Vesic 1973 (from memory).

    """
    b, gamma = np.asarray(width, dtype=float), np.asarray(unit_weight, dtype=float)
    n_q, n_gamma = bearing_factors(phi)
    plan = b / np.asarray(length, dtype=float)
    deep = gamma * np.asarray(depth, dtype=float) * n_q * (1.0 + plan * np.tan(np.asarray(phi, dtype=float)))
    return np.asarray(deep + 0.5 * gamma * b * n_gamma * (1.0 - 0.4 * plan))


def sinkage_undrained(
    load: ArrayLike,
    area: ArrayLike,
    strip_width: ArrayLike,
    strip_length: ArrayLike,
    cu0: ArrayLike,
    cu_rate: ArrayLike,
    unit_weight: ArrayLike,
    deepest: float = 0.6,
) -> Floats:
    """Depth to which a frame of strips sinks under a load [m]; inf where it goes deeper than looked at.

    Parameters
    ----------
    load, area : array_like
        Force [N] on the steel in contact [m²].
    strip_width, strip_length : array_like
        Of the strips that bear [m].
    cu0, cu_rate : array_like
        Undrained strength at the top [Pa] and its growth with depth [Pa/m].
    unit_weight : array_like
        Effective, of the soil [N/m³].
    deepest : float
        Where the search ends [m].

    """
    pressure = np.asarray(load, dtype=float) / np.asarray(area, dtype=float)

    def spare(z: Floats) -> Floats:
        strength = np.asarray(cu0, dtype=float) + np.asarray(cu_rate, dtype=float) * z
        return np.asarray(undrained_capacity(strength, unit_weight, z, strip_width, strip_length) - pressure)

    shape = np.broadcast(pressure, np.asarray(cu0, dtype=float), np.asarray(strip_width, dtype=float)).shape
    low, high = np.zeros(shape), np.full(shape, deepest)
    through = spare(high) < 0.0
    for _ in range(50):
        middle = 0.5 * (low + high)
        carries = spare(middle) >= 0.0
        high, low = np.where(carries, middle, high), np.where(carries, low, middle)
    stays = spare(np.zeros(shape)) >= 0.0
    return np.asarray(np.where(through, np.inf, np.where(stays, 0.0, high)))


def sinkage_bekker(
    pressure: ArrayLike, strip_width: ArrayLike, kc: ArrayLike, kphi: ArrayLike, n: ArrayLike
) -> Floats:
    """Sinkage by Bekker's law z = (p / (k_c/b + k_φ))^(1/n) [m]; NaN for n ≤ 0.2, where it cannot be inverted.

    References
    ----------
    Bekker; fits in Wong, *Theory of Ground Vehicles* (secondary copy), of plates 50-300 mm wide.

    """
    exponent = np.asarray(n, dtype=float)
    modulus = np.asarray(kc, dtype=float) / np.asarray(strip_width, dtype=float) + np.asarray(kphi, dtype=float)
    usable = exponent > 0.2
    with np.errstate(divide="ignore", invalid="ignore"):
        depth = (np.asarray(pressure, dtype=float) / modulus) ** (1.0 / np.where(usable, exponent, 1.0))
    return np.asarray(np.where(usable, depth, np.nan))


def sinkage_layered(
    load: ArrayLike,
    area: ArrayLike,
    strip_width: ArrayLike,
    strip_length: ArrayLike,
    cu_top: ArrayLike,
    thickness: ArrayLike,
    cu_below: ArrayLike,
    unit_weight: ArrayLike,
    cu_rate: ArrayLike = 0.0,
) -> Floats:
    """Depth to which a frame sinks in muck over firmer clay [m]; inf where the clay does not carry it either.

    Parameters
    ----------
    load, area : array_like
        Force [N] on the steel in contact [m²].
    strip_width, strip_length : array_like
        Of the strips that bear [m].
    cu_top, cu_below : array_like
        Undrained strength of the muck and of what lies under it [Pa].
    thickness : array_like
        Of the muck [m], under 0.6.
    unit_weight : array_like
        Effective, of the muck [N/m³].
    cu_rate : array_like
        Growth of the muck's strength with depth [Pa/m].

    Notes
    -----
    The firm ground is counted only once the frame stands on it, which is on the safe side.

    """
    deep = np.asarray(thickness, dtype=float)
    sunk = sinkage_undrained(load, area, strip_width, strip_length, cu_top, cu_rate, unit_weight)
    pressure = np.asarray(load, dtype=float) / np.asarray(area, dtype=float)
    # On the clay the strip stands at its surface: depth in the muck counts as weight beside it, not as strength.
    carried = undrained_capacity(cu_below, 0.0, 0.0, strip_width, strip_length)
    carried = carried + np.asarray(unit_weight, dtype=float) * deep
    return np.asarray(np.where(sunk <= deep, sunk, np.where(carried >= pressure, deep, np.inf)))


def board_area(length: ArrayLike, width: ArrayLike, solid: ArrayLike = 1.0, frame: ArrayLike = 0.0) -> Floats:
    """Area that bears with a board or a mesh under the trap [m²], never less than the frame alone.

    Parameters
    ----------
    length, width : array_like
        Of the board [m]; stiff enough not to bend under the step.
    solid : array_like
        Share that is not open: 1 for a board, wire and knots only for a mesh [-].
    frame : array_like
        Steel of the trap in contact without it [m²].

    """
    board = np.asarray(length, dtype=float) * np.asarray(width, dtype=float) * np.asarray(solid, dtype=float)
    return np.asarray(np.maximum(board, np.asarray(frame, dtype=float)))
