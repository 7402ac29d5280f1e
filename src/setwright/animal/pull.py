"""How hard a held animal pulls when it runs to the end of the chain."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class ShockPull:
    """Peak pull through a shock spring.

    Parameters
    ----------
    force : array [N]
        Peak pull.
    bottomed : array of bool
        True where the spring reached the end of its stroke.
    stored : array [J]
        Energy in the spring at the peak.

    """

    force: Floats
    bottomed: NDArray[np.bool_]
    stored: Floats


def run_up_speed(acceleration: ArrayLike, run: ArrayLike, top_speed: ArrayLike) -> Floats:
    """Speed after a free run.

    Parameters
    ----------
    acceleration : float or array [m/s²]
        Held over the run; typical 4, hard 8 (assumed; pitch limits it to about 8-10).
    run : float or array [m]
        Free run until the chain comes tight: one chain length typical, two from side to side.
    top_speed : float or array [m/s]
        Cap.

    Returns
    -------
    array [m/s]
        min(v_top, √(2 a s)).

    References
    ----------
    Limit of acceleration by pitch: Williams et al. (2009), abstract seen; its value 8-10 m/s², memory.

    """
    reached = np.sqrt(2 * np.asarray(acceleration, dtype=float) * np.asarray(run, dtype=float))
    return np.asarray(np.minimum(reached, np.asarray(top_speed, dtype=float)))


def body_stiffness(mass: ArrayLike) -> Floats:
    """Stiffness of limb and body of an animal that is pulled up short.

    Parameters
    ----------
    mass : float or array [kg]
        Body mass.

    Returns
    -------
    array [N/m]
        715 m^0.67.

    Notes
    -----
    Leg stiffness of hopping and trotting animals, used for a limb in pull, which is a doubt: a factor of 1 to
    2.5 on it is an assumption of this program.

    References
    ----------
    Farley et al. (1993), memory.

    """
    return np.asarray(715.0 * np.asarray(mass, dtype=float) ** 0.67)


def series(*stiffness: ArrayLike) -> Floats:
    """Stiffness of springs one after the other.

    Parameters
    ----------
    *stiffness : float or array [N/m]
        Body, chain, shock spring, anchor. Infinity is rigid.

    Returns
    -------
    array [N/m]
        1 / Σ (1/k); infinity when none is given.

    """
    total: Floats = np.asarray(0.0)
    with np.errstate(divide="ignore"):
        for one in stiffness:
            total = np.asarray(total + 1.0 / np.asarray(one, dtype=float))
        return np.asarray(1.0 / total)


def peak_pull(mass: ArrayLike, acceleration: ArrayLike, speed: ArrayLike, stiffness: ArrayLike) -> Floats:
    """Peak pull of an animal that runs to the end of the chain and keeps pushing.

    Parameters
    ----------
    mass : float or array [kg]
        Body mass.
    acceleration : float or array [m/s²]
        What its feet still give while the chain stretches.
    speed : float or array [m/s]
        Speed when the chain comes tight.
    stiffness : float or array [N/m]
        Of all in series.

    Returns
    -------
    array [N]
        S = F_m + √(F_m² + k m v²), F_m = m a: all energy goes into one linear spring.

    Notes
    -----
    Pull on the anchor; never a measure of injury. No force on a trap chain has been published: log pulled
    anchors. The only check point found is a leash: 412.5 N peak at a hard run-in, dog mass not given.

    References
    ----------
    Energy balance (derived).

    """
    steady = np.asarray(mass, dtype=float) * np.asarray(acceleration, dtype=float)
    energy = np.asarray(stiffness, dtype=float) * np.asarray(mass, dtype=float) * np.asarray(speed, dtype=float) ** 2
    return np.asarray(steady + np.sqrt(steady**2 + energy))


def pull_over_steady(steady: ArrayLike, mass: ArrayLike, speed: ArrayLike, stiffness: ArrayLike) -> Floats:
    """Peak pull when the moving body hits a chain that already carries its steady pull.

    Parameters
    ----------
    steady : float or array [N]
        What the feet can give on this ground, friction times weight (0.6-1.0 turf, 0.3 snow; assumed).
    mass, speed, stiffness : float or array [kg], [m/s], [N/m]
        As in `peak_pull`.

    Returns
    -------
    array [N]
        F = F_steady + v √(k m).

    Notes
    -----
    A second reading of the same event; it lies below `peak_pull` of the same steady force while the
    steady force does work over the stretch. Use one of the two throughout a comparison.

    References
    ----------
    Energy balance (derived).

    """
    body = np.asarray(stiffness, dtype=float) * np.asarray(mass, dtype=float)
    return np.asarray(np.asarray(steady, dtype=float) + np.asarray(speed, dtype=float) * np.sqrt(body))


def with_shock_spring(
    mass: ArrayLike,
    acceleration: ArrayLike,
    speed: ArrayLike,
    stiffness: ArrayLike,
    spring_rate: ArrayLike,
    stroke: ArrayLike,
) -> ShockPull:
    """Peak pull with a shock spring that has an end to its stroke.

    Parameters
    ----------
    mass, acceleration, speed : float or array [kg], [m/s²], [m/s]
        As in `peak_pull`.
    stiffness : float or array [N/m]
        Of all but the shock spring, in series.
    spring_rate : float or array [N/m]
        Of the shock spring.
    stroke : float or array [m]
        Its free stretch; beyond it the spring is a rigid link.

    Returns
    -------
    ShockPull
        Peak force, whether the spring bottomed, energy in it.

    Notes
    -----
    Until the spring bottoms, ½ m v² + F_m S / k_c = S² / (2 k_c) with k_c both in series. After that
    ½ m v² + F_m (d + S / k) = S² / (2 k) + ½ k_s d², hence S = F_m + √(F_m² + k (m v² + 2 F_m d − k_s d²)).
    A bottomed spring helps only by the energy that it stores.

    References
    ----------
    Energy balance (derived).

    """
    m, a, v, k, rate, travel = (
        np.asarray(part, dtype=float) for part in (mass, acceleration, speed, stiffness, spring_rate, stroke)
    )
    free = peak_pull(m, a, v, series(k, rate))
    bottomed = np.asarray(free > rate * travel)
    steady = m * a
    inside = steady**2 + k * (m * v**2 + 2 * steady * travel - rate * travel**2)
    hard = steady + np.sqrt(np.maximum(inside, 0.0))
    stretch = np.where(bottomed, travel, free / rate)
    return ShockPull(np.asarray(np.where(bottomed, hard, free)), bottomed, np.asarray(0.5 * rate * stretch**2))
