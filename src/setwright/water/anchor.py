"""Weights in water: what a deep anchor holds, what lifts, what a current pulls."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

GRAVITY = 9.80665
WATER = 1000.0


class SlideHold(NamedTuple):
    """Spare of a deep weight [N]: upwards, and sideways while it is lifted; negative does not hold."""

    vertical: Floats
    horizontal: Floats


def weight_factor(density: ArrayLike) -> Floats:
    """Share of a body's weight that is left in fresh water.

    Parameters
    ----------
    density : array_like
        Density of the body [kg/m³], any shape.

    Returns
    -------
    ndarray
        κ = 1 − ρ_w/ρ [-]; NaN where the density is not positive. Negative for what floats.

    """
    rho = np.asarray(density, dtype=float)
    return np.asarray(1.0 - WATER / np.where(rho > 0, rho, np.nan))


def submerged_weight(mass: ArrayLike, density: ArrayLike) -> Floats:
    """Weight of a body in fresh water.

    Parameters
    ----------
    mass : array_like
        Mass in air [kg].
    density : array_like
        Density [kg/m³].

    Returns
    -------
    ndarray
        m g (1 − ρ_w/ρ) [N].

    Notes
    -----
    Doubt: air in a sandbag or a hollow block lightens it further until it is soaked.

    References
    ----------
    Archimedes' principle (derived).

    """
    return np.asarray(np.asarray(mass, dtype=float) * GRAVITY * weight_factor(density))


def holds_slide(
    mass: ArrayLike, density: ArrayLike, vertical: ArrayLike, horizontal: ArrayLike, mu: ArrayLike
) -> SlideHold:
    """Does a deep weight stay when the cable lifts it and draws it sideways?

    Parameters
    ----------
    mass : array_like
        Mass of the weight in air [kg].
    density : array_like
        Its density [kg/m³].
    vertical, horizontal : array_like
        Pull on it, upwards and sideways [N].
    mu : array_like
        Friction on the bed [-], about 0.3 on mud to 0.6 on gravel.

    Returns
    -------
    SlideHold
        κ m g − V, and μ max(κ m g − V, 0) − F_h, both [N].

    Notes
    -----
    Doubt: friction on a bed is assumed; a weight that has sunk in holds more.

    References
    ----------
    Own statics (derived); friction and pulls assumed.

    """
    rest = submerged_weight(mass, density) - np.asarray(vertical, dtype=float)
    grip = np.asarray(mu, dtype=float) * np.maximum(rest, 0.0)
    return SlideHold(np.asarray(rest), np.asarray(grip - np.asarray(horizontal, dtype=float)))


def drawn_in(hold: SlideHold, distance: ArrayLike = 0.5) -> Floats:
    """How far towards the shore the depth sum must take a deep weight to have come.

    Parameters
    ----------
    hold : SlideHold
        Spare of the weight, as from `holds_slide` [N].
    distance : array_like
        How far a weight that slips is drawn [m]; half a metre is assumed.

    Returns
    -------
    ndarray
        0 where it stays, `distance` where it slips, infinite where it is lifted off the bed [m]; NaN unknown.

    """
    vertical, horizontal = np.broadcast_arrays(*hold)
    unknown = np.isnan(vertical) | np.isnan(horizontal)
    moved = np.where(vertical < 0, np.inf, np.where(horizontal < 0, np.asarray(distance, dtype=float), 0.0))
    return np.asarray(np.where(unknown, np.nan, moved))


def mass_needed(density: ArrayLike, vertical: ArrayLike, horizontal: ArrayLike, mu: ArrayLike) -> Floats:
    """Dry mass of a weight that just stays.

    Parameters
    ----------
    density : array_like
        Its density [kg/m³].
    vertical, horizontal : array_like
        Pull on it, upwards and sideways [N].
    mu : array_like
        Friction on the bed [-].

    Returns
    -------
    ndarray
        (V + F_h/μ)/(κ g) [kg]; NaN for what floats or has no friction.

    """
    factor = weight_factor(density)
    friction = np.asarray(mu, dtype=float)
    side = np.asarray(horizontal, dtype=float) / np.where(friction > 0, friction, np.nan)
    need = np.asarray(vertical, dtype=float) + side
    return np.asarray(need / (GRAVITY * np.where(factor > 0, factor, np.nan)))


def lift(mass: ArrayLike, animal_density: ArrayLike, swim: ArrayLike = 0.0) -> Floats:
    """Upward pull of an animal in water.

    Parameters
    ----------
    mass : array_like
        Body mass [kg].
    animal_density : array_like
        Density with the air in fur and lungs [kg/m³]; 950 to 1000 assumed.
    swim : array_like
        Upward pull of swimming as a share of the body weight [-]; a peak of 1 is assumed.

    Returns
    -------
    ndarray
        m g (ρ_w/ρ − 1 + swim) [N].

    References
    ----------
    Own statics (derived); density and swimming pull assumed.

    """
    rho = np.asarray(animal_density, dtype=float)
    share = WATER / np.where(rho > 0, rho, np.nan) - 1.0 + np.asarray(swim, dtype=float)
    return np.asarray(np.asarray(mass, dtype=float) * GRAVITY * share)


def drag_force(area: ArrayLike, cd: ArrayLike, speed: ArrayLike) -> Floats:
    """Pull of a current.

    Parameters
    ----------
    area : array_like
        Area across the current [m²].
    cd : array_like
        Drag coefficient [-]: about 1 for an animal broadside, 1.2 for a trap on edge.
    speed : array_like
        Speed of the water [m/s].

    Returns
    -------
    ndarray
        F = ½ ρ C_d A U|U| [N], along the current.

    Notes
    -----
    Doubt: areas and coefficients are assumed.

    """
    flow = np.asarray(speed, dtype=float)
    force = 0.5 * WATER * np.asarray(cd, dtype=float) * np.asarray(area, dtype=float) * flow * np.abs(flow)
    return np.asarray(force)


def carcass_drag(speed: ArrayLike) -> Floats:
    """Drag of a mink carcass towed at the surface.

    Parameters
    ----------
    speed : array_like
        Speed through the water [m/s], not negative.

    Returns
    -------
    ndarray
        1.24 U^1.82 [N]; NaN for a negative speed.

    Notes
    -----
    Doubt: the abstract does not print the units; newtons and metres a second are taken.

    References
    ----------
    Williams (1983), Journal of Experimental Biology, swimming of the mink, abstract (seen).

    """
    flow = np.asarray(speed, dtype=float)
    return np.asarray(1.24 * np.where(flow >= 0, flow, np.nan) ** 1.82)


def bedding_spare(drag: ArrayLike, mass: ArrayLike, density: ArrayLike, mu: ArrayLike) -> Floats:
    """Does a trap stay where it lies in a current?

    Parameters
    ----------
    drag : array_like
        Pull of the current on it [N].
    mass : array_like
        Trap in air [kg].
    density : array_like
        Its density [kg/m³].
    mu : array_like
        Friction on the bed [-].

    Returns
    -------
    ndarray
        μ κ m g − drag [N]; negative: the trap needs bedding or a stake.

    """
    grip = np.asarray(mu, dtype=float) * submerged_weight(mass, density)
    return np.asarray(grip - np.asarray(drag, dtype=float))
