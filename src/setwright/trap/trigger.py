"""The pan: what trips it, and whether it creeps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.trap.holding import dog_force
from setwright.trap.model import GRAVITY, Floats, Trap


@dataclass(frozen=True)
class Trip:
    """Answer of `trip_force`, each of the broadcast shape (n,).

    Parameters
    ----------
    force : [N]
        Pan trip force at the pan radius; zero or less: the pan lets go by itself.
    creeps : bool
        True where the notch is raked the wrong way, so that the dog slips without load. Unsafe.
    holds : bool
        True where the pan stays up by itself.

    """

    force: Floats
    creeps: NDArray[np.bool_]
    holds: NDArray[np.bool_]


def notch_force(
    trap: Trap, *, dogless: bool = False, dog_ratio: ArrayLike = 0.3, latch_radius: ArrayLike | None = None
) -> Floats:
    """Force of the dog, or of the jaw itself, on the notch of the pan [N].

    Parameters
    ----------
    trap : Trap
        Parameters of one or n designs.
    dogless : bool
        The pan holds the jaw itself.
    dog_ratio : float or array [-]
        Jaw side over pan side of the dog's lever, r1/r2, below 1.
    latch_radius : float or array [m], optional
        Hinge to where a dogless pan holds the jaw; half the jaw's height when None.

    Notes
    -----
    Dogged: F r1/r2. Dogless: F H/r_j, so that the trip force grows with the springs.

    """
    force = dog_force(trap)
    if not dogless:
        return np.asarray(force * np.asarray(dog_ratio, dtype=float))
    radius = 0.5 * np.asarray(trap.height) if latch_radius is None else np.asarray(latch_radius, dtype=float)
    return np.asarray(force * trap.height / radius)


def bolt_moment(
    preload: ArrayLike, *, friction: ArrayLike, outer_radius: ArrayLike, inner_radius: ArrayLike
) -> Floats:
    """Friction moment of a tightened pan bolt [N m].

    Parameters
    ----------
    preload : float or array [N]
        Tension of the bolt.
    friction : float or array [-]
        Of the pan's cheeks.
    outer_radius, inner_radius : float or array [m]
        Of the rubbing rings.

    Notes
    -----
    2 μ Q r with r = ⅔(r_o³ − r_i³)/(r_o² − r_i²): two faces under even pressure.

    """
    outer, inner = np.asarray(outer_radius, dtype=float), np.asarray(inner_radius, dtype=float)
    # Written without the difference of squares, which vanishes for a thin ring.
    radius = 2.0 * (outer**2 + outer * inner + inner**2) / (3.0 * (outer + inner))
    return np.asarray(2.0 * np.asarray(friction, dtype=float) * np.asarray(preload, dtype=float) * radius)


def trip_force(
    notch: ArrayLike,
    *,
    notch_arm: ArrayLike,
    notch_friction: ArrayLike,
    pan_radius: ArrayLike,
    rake: ArrayLike = 0.0,
    bolt: ArrayLike = 0.0,
    pan_mass: ArrayLike = 0.0,
    pan_centre: ArrayLike = 0.0,
) -> Trip:
    """Force on the pan that fires the trap.

    Parameters
    ----------
    notch : float or array [N]
        Force on the notch (`notch_force`).
    notch_arm : float or array [m]
        Pivot of the pan to the notch, e.
    notch_friction : float or array [-]
        In the notch.
    pan_radius : float or array [m]
        Pivot of the pan to where the foot presses.
    rake : float or array [rad]
        Of the notch; negative lets the dog slip out by itself.
    bolt : float or array [N m]
        Friction moment of the pan bolt (`bolt_moment`).
    pan_mass, pan_centre : float or array [kg], [m]
        Pan, and its centre of mass out from the pivot.

    Notes
    -----
    F = [R e (μ + tan γ) + M_b − m g r]/r_p. A reading with a pan tester replaces it: burrs, wax and rust
    are not in it.

    References
    ----------
    Moment balance: derived.

    """
    gamma, arm = np.asarray(rake, dtype=float), np.asarray(notch_arm, dtype=float)
    moment = np.asarray(notch, dtype=float) * arm * (np.asarray(notch_friction, dtype=float) + np.tan(gamma))
    weight = GRAVITY * np.asarray(pan_mass, dtype=float) * np.asarray(pan_centre, dtype=float)
    force = np.asarray((moment + np.asarray(bolt, dtype=float) - weight) / np.asarray(pan_radius, dtype=float))
    return Trip(force=force, creeps=np.broadcast_to(gamma < 0.0, force.shape).copy(), holds=force > 0.0)
