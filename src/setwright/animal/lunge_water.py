"""Lunges in water: run-up against drag, what the animal weighs there, the run down a slide cable to its stop."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
GRAVITY = 9.80665


def swim_limit(push: ArrayLike, area: ArrayLike, drag: ArrayLike, density: ArrayLike = 1000.0) -> Floats:
    """Speed at which drag takes the whole push.

    Parameters
    ----------
    push : float or array [N]
        Thrust of feet and tail.
    area : float or array [m²]
        Frontal area.
    drag : float or array [-]
        Drag coefficient on it; 0.1-0.3 stretched out, about 1 across or with a trap (assumed).
    density : float or array [kg/m³]
        Of the water.

    Returns
    -------
    array [m/s]
        √(2 F / (ρ C A)); 0 where there is no push.

    """
    thrust = np.asarray(push, dtype=float)
    below = np.asarray(density, dtype=float) * np.asarray(drag, dtype=float) * np.asarray(area, dtype=float)
    return np.asarray(np.sqrt(2.0 * np.where(thrust > 0.0, thrust, 0.0) / below))


def swim_speed(acceleration: ArrayLike, run: ArrayLike, terminal: ArrayLike) -> Floats:
    """Speed after a free run through water.

    Parameters
    ----------
    acceleration : float or array [m/s²]
        Push over the mass that moves, at rest.
    run : float or array [m]
        Free run.
    terminal : float or array [m/s]
        Speed at which drag takes the whole push; infinity has no drag.

    Returns
    -------
    array [m/s]
        v = v_t √(1 − exp(−2 a s / v_t²)): √(2 a s) at first, v_t in the end.

    References
    ----------
    Motion under a constant push and quadratic drag (derived).

    """
    a, s, top = (np.asarray(part, dtype=float) for part in (acceleration, run, terminal))
    bounded = (top > 0.0) & np.isfinite(top)
    used = np.where(bounded, top, 1.0)
    reached = used * np.sqrt(-np.expm1(-2.0 * a * s / used**2))
    return np.asarray(np.where(bounded, reached, np.where(top > 0.0, np.sqrt(2.0 * a * s), 0.0)))


def moved_mass(mass: ArrayLike, entrained: ArrayLike = 0.2) -> Floats:
    """Mass that a swimming animal sets in motion [kg], its own and a share of water that goes along.

    Parameters
    ----------
    mass : float or array [kg]
        Body mass.
    entrained : float or array [-]
        Water that goes along, over the body mass; 0.1 to 0.3 (assumed).

    """
    return np.asarray(np.asarray(mass, dtype=float) * (1.0 + np.asarray(entrained, dtype=float)))


def weight_in_water(mass: ArrayLike, body_density: ArrayLike, density: ArrayLike = 1000.0) -> Floats:
    """Weight less buoyancy [N]; negative where it floats.

    Parameters
    ----------
    mass : float or array [kg]
        Of body or trap.
    body_density : float or array [kg/m³]
        With fur and lungs about 900-1000 for a beaver (assumed); steel 7850.
    density : float or array [kg/m³]
        Of the water.

    """
    sinks = 1.0 - np.asarray(density, dtype=float) / np.asarray(body_density, dtype=float)
    return np.asarray(np.asarray(mass, dtype=float) * GRAVITY * sinks)


def slide_speed(
    mass: ArrayLike,
    push: ArrayLike,
    run: ArrayLike,
    slope: ArrayLike,
    sinking: ArrayLike,
    terminal: ArrayLike,
    friction: ArrayLike = 0.0,
) -> Floats:
    """Speed down a slide cable when the lock meets its stop.

    Parameters
    ----------
    mass : float or array [kg]
        That moves, see `moved_mass`.
    push : float or array [N]
        Of the dive, along the cable.
    run : float or array [m]
        Along the cable to the stop.
    slope : float or array [rad]
        Of the cable below the level.
    sinking : float or array [N]
        Weight of animal and trap in water; negative floats.
    terminal : float or array [m/s]
        Speed at which drag takes the push alone.
    friction : float or array [N]
        Of the lock on the cable.

    Returns
    -------
    array [m/s]
        As `swim_speed` under the net push; 0 where it never starts: then the stop is not reached.

    """
    drive = np.asarray(push, dtype=float)
    net = drive + np.asarray(sinking, dtype=float) * np.sin(np.asarray(slope, dtype=float))
    net = net - np.asarray(friction, dtype=float)
    going = (net > 0.0) & (drive > 0.0)
    ratio = np.where(going, net, 0.0) / np.where(drive > 0.0, drive, 1.0)
    top = np.asarray(terminal, dtype=float) * np.sqrt(ratio)
    return swim_speed(np.where(going, net, 0.0) / np.asarray(mass, dtype=float), run, top)
