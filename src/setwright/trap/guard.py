"""Third arm of a guarded trap, which swings up behind the jaws and keeps a held muskrat off its own foot."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.trap.model import Floats, Number

CANNOT_TELL, PRESSES, RESTS, STOPS_SHORT = range(4)
STATES = ("cannot tell", "presses on its stop", "reaches its stop and no more", "stops short")


@dataclass(frozen=True)
class Guard:
    """A guard arm on its own spring; each a float or an array that broadcasts.

    Parameters
    ----------
    length, mass : [m], [kg]
        Pivot to the end of the arm; the arm, even along its length.
    torque : [N m]
        Of its spring when set.
    rate : [N m/rad]
        By how much that torque falls with the angle.
    swing_angle : [rad]
        From set to its stop.

    """

    length: Number
    mass: Number
    torque: Number
    rate: Number
    swing_angle: Number


@dataclass(frozen=True)
class GuardSwing:
    """Answer of `swing`, each of the broadcast shape (n,).

    Parameters
    ----------
    time : [s]
        From the release of the pan until the arm meets its stop; inf where it stops short.
    force : [N]
        At the end of the arm on its stop; zero where the spring no longer presses.
    state : int
        `PRESSES`, `RESTS` (reaches the stop by its run alone), `STOPS_SHORT`, `CANNOT_TELL`.

    """

    time: Floats
    force: Floats
    state: NDArray[np.int_]


def swing(guard: Guard, *, released_at: ArrayLike = 0.0) -> GuardSwing:
    """When the guard arm meets its stop, and how hard it presses there.

    Parameters
    ----------
    guard : Guard
        Arm and spring of one or n guards.
    released_at : float or array [s]
        Time since the release of the pan at which the jaws let the arm go: the closing time, or the time of the jaw
        angle at which they clear it.

    Returns
    -------
    GuardSwing
        For the time after release; the time is NaN where a figure is not known or makes no sense.

    Notes
    -----
    m ℓ²/3 φ̈ = T − k φ from rest: φ = (T/k)(1 − cos ωt), ω² = 3 k/(m ℓ²), so t = arccos(1 − k φ_s/T)/ω; without a
    rate t = √(2 m ℓ² φ_s/(3 T)). It reaches the stop where k φ_s ≤ 2 T, and presses there where k φ_s < T, with
    (T − k φ_s)/ℓ.

    Weight, water and rubbing are left out: under water the arm comes later. What it is for: it holds the body of a
    muskrat away from the foot that is held, so that it can neither twist nor bite it off. Its figures are assumed
    until measured.

    References
    ----------
    Motion: derived. Use of guarded traps: common practice.

    """
    length, mass, torque, rate, angle, start = np.broadcast_arrays(
        *(
            np.asarray(value, dtype=float)
            for value in (guard.length, guard.mass, guard.torque, guard.rate, guard.swing_angle, released_at)
        )
    )
    with np.errstate(invalid="ignore", divide="ignore"):
        known = (length > 0.0) & (mass > 0.0) & (torque > 0.0) & (rate >= 0.0) & (angle > 0.0) & np.isfinite(start)
        inertia = mass * length**2 / 3.0
        spent = rate * angle / torque
        # sin²(ωt/2) = kφ/2T holds down to a spring without a rate, where the quotient tends to 1.
        half = np.arcsin(np.sqrt(0.5 * spent))
        lag = np.where(half > 0.0, half / np.sqrt(0.5 * spent), 1.0)
        moved = np.where(spent <= 2.0, np.sqrt(2.0 * inertia * angle / torque) * lag, np.inf)
        push = np.maximum(torque - rate * angle, 0.0) / length
    state = np.select([~known, spent > 2.0, spent >= 1.0], [CANNOT_TELL, STOPS_SHORT, RESTS], PRESSES)
    return GuardSwing(
        time=np.where(known, start + moved, np.nan),
        force=np.where(known, push, np.nan),
        state=np.asarray(state, dtype=int),
    )
