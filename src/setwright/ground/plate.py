"""Cable plates: uplift after keying, in sand and in clay."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

UPLIFT_PRESSURE = 0.95
KEYING = 1.5
CRITICAL_FRICTION = float(np.radians(33.0))
_PHI = np.radians([20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 48.0])
_M = np.array([0.05, 0.10, 0.15, 0.25, 0.35, 0.50, 0.60])
_CRITICAL = np.array([2.5, 3.0, 4.0, 5.0, 7.0, 9.0, 11.0])


def keyed_depth(driven: ArrayLike, plate_length: float, keying: ArrayLike = KEYING) -> Floats:
    """Depth of a plate after it has turned [m]: driven depth less 1.5 plate lengths (1 to 2, assumed)."""
    return np.asarray(np.maximum(np.asarray(driven, dtype=float) - np.asarray(keying) * plate_length, 0.0))


def breakout_factor(
    ratio: ArrayLike, m: ArrayLike, pressure_tan_phi: ArrayLike, width_over_length: float = 1.0
) -> Floats:
    """Breakout factor F_q of a plate in sand [-].

    F_q = 1 + {[1 + 2 m r](B/L) + 1} r K_u tanφ; for a square 1 + 2 [1 + m r] r K_u tanφ.

    References
    ----------
    Meyerhof & Adams 1968, Das (from memory; the square form is held by a published table).

    """
    r = np.asarray(ratio, dtype=float)
    inner = (1.0 + 2.0 * np.asarray(m, dtype=float) * r) * width_over_length + 1.0
    return np.asarray(1.0 + inner * r * np.asarray(pressure_tan_phi, dtype=float))


def uplift_drained(
    phi: ArrayLike,
    unit_weight: ArrayLike,
    depth: ArrayLike,
    width: float,
    length: float,
    embedded: ArrayLike = np.inf,
) -> Floats:
    """Uplift of a plate in sand or gravel [N].

    Parameters
    ----------
    phi, unit_weight : array_like
        Friction angle [rad] and effective unit weight [N/m³].
    depth : array_like
        Depth after keying [m].
    width, length : float
        Short and long side of the plate [m].
    embedded : array_like
        How deep the plate lies in the sand itself, under soil that has no friction [m].

    """
    angle = np.asarray(phi, dtype=float)
    m, critical = np.interp(angle, _PHI, _M), np.interp(angle, _PHI, _CRITICAL)
    critical = np.minimum(critical * (0.133 * length / width + 0.867), 1.4 * critical)
    deep = np.asarray(depth, dtype=float)
    ratio = np.minimum(np.minimum(deep, np.asarray(embedded, dtype=float)) / width, critical)
    factor = breakout_factor(ratio, m, UPLIFT_PRESSURE * np.tan(angle), width / length)
    return np.asarray(factor * np.asarray(unit_weight, dtype=float) * deep * width * length)


def uplift_undrained(
    cu: ArrayLike,
    unit_weight: ArrayLike,
    depth: ArrayLike,
    width: float,
    length: float,
    embedded: ArrayLike = np.inf,
    cu_above: ArrayLike = 0.0,
) -> Floats:
    """Uplift of a deep plate in clay or muck [N]: A (F_c cu + γ H), F_c = 7.56 + 1.44 B/L; no suction.

    Parameters
    ----------
    cu, unit_weight : array_like
        Undrained strength at the plate [Pa] and mean weight of all soil above it [N/m³].
    depth : array_like
        Depth after keying [m].
    width, length : float
        Short and long side of the plate [m].
    embedded : array_like
        How deep the plate lies in the layer of that strength [m].
    cu_above : array_like
        Strength of the weaker soil over that layer, 0 for none [Pa].

    Notes
    -----
    Shallower than the critical ratio the factor falls in proportion to the depth, which is on the safe side. Just
    under a boundary the plate breaks out into the soil above: the part of the factor that its own layer does not give
    is taken with the strength of that soil, never with a higher one (assumed).

    References
    ----------
    Das (from memory).

    """
    strength, deep = np.asarray(cu, dtype=float), np.asarray(depth, dtype=float)
    critical = np.minimum(7.0, 0.107e-3 * strength + 2.5)
    critical = critical * np.minimum(0.73 + 0.27 * length / width, 1.55)
    whole = np.minimum(deep / width / critical, 1.0)
    own = np.minimum(np.asarray(embedded, dtype=float) / width / critical, whole)
    above = np.minimum(np.asarray(cu_above, dtype=float), strength)
    resisting = own * strength + (whole - own) * above
    shape = 7.56 + 1.44 * width / length
    return np.asarray(width * length * (shape * resisting + np.asarray(unit_weight, dtype=float) * deep))


def peak_friction(
    relative_density: ArrayLike, pressure: ArrayLike, critical: ArrayLike = CRITICAL_FRICTION
) -> Floats:
    """Peak friction angle by dilation [rad]: φ_cv + 3° I_R, I_R = D_R (10 − ln p') − 1, 0 to 4; p' in kPa inside.

    References
    ----------
    Bolton 1986 (from memory; values of a public library hold it).

    """
    index = np.asarray(relative_density) * (10.0 - np.log(np.asarray(pressure, dtype=float) / 1e3)) - 1.0
    return np.asarray(np.asarray(critical) + np.radians(3.0 * np.clip(index, 0.0, 4.0)))
