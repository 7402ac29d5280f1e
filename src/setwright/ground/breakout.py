"""Forces and torques that break a trap out of frozen cover."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

GRAVITY = 9.80665
POISSON = 0.3
# A jaw is taken as free only with this much torque in hand (modelling choice).
TORQUE_RESERVE = 1.5


def _number(value: ArrayLike) -> Floats:
    return np.asarray(value, dtype=np.float64)


def breakout_torque(
    thickness: ArrayLike,
    radius: ArrayLike,
    shear: ArrayLike,
    tension: ArrayLike,
    adfreeze: ArrayLike,
    jaw_width: ArrayLike,
    jaw_bonded: ArrayLike,
    *,
    density: float = 2000.0,
) -> Floats:
    """Torque about its hinge line that one jaw needs to lift a frozen half-disc of cover.

    Parameters
    ----------
    thickness : float or array [m]
        Of the bonded crust.
    radius : float or array [m]
        Of the half-disc: half the jaw spread.
    shear, tension, adfreeze : float or array [Pa]
        Strength of the crust round the jaw, at the hinge crack, and of its bond to steel.
    jaw_width : float or array [m]
        Of the jaw steel that lies on the bed.
    jaw_bonded : bool or array
        True when the jaw is frozen to the bed.
    density : float [kg/m3]
        Of the frozen cover.

    Returns
    -------
    float or array [N m]
        2 tau t R^2 + sigma t^2 R / 3 + (2/3) rho g t R^3, and 2 sigma_ad b R^2 when the jaw is bonded, whatever
        the thickness.

    Notes
    -----
    Millimetres of wet crust, or a jaw frozen to a wet bed, stop any foothold trap.

    References
    ----------
    Balance of a half-disc turning about its diameter (derived).

    """
    t, r = _number(thickness), _number(radius)
    crust = 2.0 * _number(shear) * t * r**2 + _number(tension) * t**2 * r / 3.0
    weight = (2.0 / 3.0) * density * GRAVITY * t * r**3
    stuck = np.where(np.asarray(jaw_bonded, dtype=np.bool_), 2.0 * _number(adfreeze) * _number(jaw_width) * r**2, 0.0)
    return np.asarray(crust + weight + stuck)


def jaw_stuck(torque_available: ArrayLike, breakout: ArrayLike) -> Floats:
    """Torque in hand of a jaw at the set position.

    Parameters
    ----------
    torque_available : float or array [N m]
        Of springs and levers on that jaw; it is least in the set position.
    breakout : float or array [N m]
        From `breakout_torque`.

    Returns
    -------
    float or array [N m]
        Margin: available - 1.5 x breakout. At or below zero the trap is not counted as free to move.

    References
    ----------
    Reserve of 1.5: assumed.

    """
    return np.asarray(_number(torque_available) - TORQUE_RESERVE * _number(breakout))


def pan_plate_break(
    foot_force: ArrayLike, cavity_radius: ArrayLike, paw_radius: ArrayLike, strength: ArrayLike
) -> Floats:
    """Thickest crust over the hollow of the pan that a foot still breaks.

    Parameters
    ----------
    foot_force : float or array [N]
        On the pan; take off the pan's own trip force first, as both must be overcome.
    cavity_radius, paw_radius : float or array [m]
        Of the hollow under the pan and of the pad; the pad no larger than the hollow.
    strength : float or array [Pa]
        Tensile strength of the crust.

    Returns
    -------
    float or array [m]
        sqrt(3 P [(1 + nu) ln(a/r0) + 1] / (2 pi sigma)); NaN where the pad is larger than the hollow (the
        formula does not hold), infinite for a crust without strength, 0 without force.

    Notes
    -----
    Thin plate, held up freely at its rim, nu = 0.3. At these thicknesses the crust is thick for its span, so the
    figure is a rough one.

    References
    ----------
    Roark's Formulas for Stress and Strain, circular plate under a central patch (memory).

    """
    force, a, r0, sigma = np.broadcast_arrays(
        np.maximum(_number(foot_force), 0.0), _number(cavity_radius), _number(paw_radius), _number(strength)
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        form = (1.0 + POISSON) * np.log(a / r0) + 1.0
        thickness = np.sqrt(3.0 * force * form / (2.0 * math.pi * sigma))
    thickness = np.where(force > 0.0, thickness, 0.0)
    return np.asarray(np.where((r0 > 0.0) & (r0 <= a), thickness, np.nan))


def lever_bonded(adfreeze: ArrayLike, length: ArrayLike, width: ArrayLike) -> Floats:
    """Torque about its pivot that frees a coil-spring's lever bonded to the bed along its length.

    Parameters
    ----------
    adfreeze : float or array [Pa]
        Bond to steel.
    length, width : float or array [m]
        Of the lever's bonded face.

    Returns
    -------
    float or array [N m]
        sigma_ad w l^2 / 2; over the length it is the force at the tip.

    References
    ----------
    Balance of moments (derived).

    """
    return np.asarray(_number(adfreeze) * _number(width) * _number(length) ** 2 / 2.0)


def leaf_bonded(adfreeze: ArrayLike, width: ArrayLike, length: ArrayLike, contact: ArrayLike) -> Floats:
    """Force at the eye that tears a long-spring's top leaf from the bed, when all of the contact tears at once.

    Parameters
    ----------
    adfreeze : float or array [Pa]
        Bond to steel.
    width, length : float or array [m]
        Of the leaf.
    contact : float or array [m]
        Length near the eye that touches; the whole length once ice fills the gap between the leaves.

    Returns
    -------
    float or array [N]
        sigma_ad b c (l - c/2) / l; NaN where the contact is longer than the leaf.

    References
    ----------
    Balance of moments about the bow (derived).

    """
    span, touch = _number(length), _number(contact)
    force = _number(adfreeze) * _number(width) * touch * (span - 0.5 * touch) / span
    return np.asarray(np.where(touch <= span, force, np.nan))


def leaf_peel(width: ArrayLike, bending_stiffness: ArrayLike, toughness: ArrayLike, contact: ArrayLike) -> Floats:
    """Force at the eye that peels the top leaf off the bed; the smaller of this and `leaf_bonded` counts.

    Parameters
    ----------
    width : float or array [m]
        Of the leaf.
    bending_stiffness : float or array [N m2]
        E I of the leaf.
    toughness : float or array [J/m2]
        Of the ice bond, 1 to 10 (assumed).
    contact : float or array [m]
        Length that touches; infinite force for none, where `leaf_bonded` gives zero.

    Returns
    -------
    float or array [N]
        sqrt(2 b E I G) / c.

    References
    ----------
    Peeling of a cantilever, Griffith's balance (derived); toughness assumed.

    """
    with np.errstate(divide="ignore"):
        return np.asarray(
            np.sqrt(2.0 * _number(width) * _number(bending_stiffness) * _number(toughness)) / _number(contact)
        )


def cover_pull(strength: ArrayLike, thickness: ArrayLike, crack_length: ArrayLike) -> Floats:
    """Force that cracks the crust along a jaw.

    Parameters
    ----------
    strength : float or array [Pa]
        Tensile strength.
    thickness, crack_length : float or array [m]
        Of the crust; length of cover that cracks.

    Returns
    -------
    float or array [N]
        sigma t l, before any bond to steel.

    References
    ----------
    Derived.

    """
    return np.asarray(_number(strength) * _number(thickness) * _number(crack_length))
