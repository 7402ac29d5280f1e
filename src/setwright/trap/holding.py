"""The closed trap: clamp interval on a limb, self-lock, pressure, and what the set trap needs to lift its jaws."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.trap.loop import (
    EDGE,
    arm_of_contact,
    limb_angle,
    loop_at,
    opening_at,
    resistance,
    spent_angle,
    upright_angle,
)
from setwright.trap.model import Floats, Trap
from setwright.trap.springs import spring_effort

HOLDS, NOT_HELD, SPENT, NO_ROOM = range(4)
STATES = (
    "holds",
    "the gap is as wide as the limb",
    "the springs are spent before they reach it",
    "limb does not fit",
)
ROUNDED = 0.001


@dataclass(frozen=True, eq=False)
class Clamp:
    """Grip on a limb, every field of shape (n,).

    Parameters
    ----------
    closing_force, opening_force : [N]
        Force of a bar on the limb while the loop creeps up, and when jaws forced apart begin to give; the true
        clamp lies between. Infinite when locked, zero when the limb is not held.
    locked : bool
        No force at the bar moves the loop.
    lock_margin : [rad]
        Bearing angle over the angle at which it locks; positive when locked.
    angle : [rad]
        Of a jaw on the limb.
    slack : [m]
        Play of the limb when the springs are spent below it; zero otherwise.
    state : int
        Index into `STATES`.

    """

    closing_force: Floats
    opening_force: Floats
    locked: NDArray[np.bool_]
    lock_margin: Floats
    angle: Floats
    slack: Floats
    state: NDArray[np.int64]


def _force_at_bar(trap: Trap, angle: Floats, friction: ArrayLike) -> tuple[Floats, Floats]:
    """Force of one bar [N] and effort per contact force G at a jaw angle; friction negative when opening."""
    loop = loop_at(trap, angle)
    effort = resistance(trap, loop, friction)
    arm = arm_of_contact(trap, loop, friction)
    press = spring_effort(trap.spring_rate, trap.free_coordinate, loop.coordinate)
    with np.errstate(divide="ignore", invalid="ignore"):
        contact = press / (2.0 * effort)
    return np.asarray(trap.loops * contact * arm / np.asarray(trap.height, dtype=float)), effort


def lock_angle(trap: Trap, friction: ArrayLike) -> Floats:
    """Jaw angle [rad] from which the trap is locked: where the effort to open, G with −μ, falls to zero."""
    top = upright_angle(trap) - EDGE
    mu = np.asarray(friction, dtype=float)
    shape = np.broadcast(mu, top, np.asarray(trap.bevel)).shape
    low, high = np.broadcast_to(np.asarray(0.6), shape).copy(), np.broadcast_to(top, shape).copy()
    for _ in range(60):
        middle = 0.5 * (low + high)
        opens = resistance(trap, loop_at(trap, middle), -mu) > 0.0
        low, high = np.where(opens, middle, low), np.where(opens, high, middle)
    return np.asarray(0.5 * (low + high))


def clamp(trap: Trap, *, friction: ArrayLike, limb: ArrayLike) -> Clamp:
    """Clamp interval and lock on a limb.

    Parameters
    ----------
    trap : Trap
        Parameters; numbers or arrays that broadcast to (n,).
    friction : array_like
        Coulomb friction of loop on jaw [-].
    limb : array_like
        Thickness of the limb [m].

    Returns
    -------
    Clamp
        Closing force n N s*/H with N = P/(2G), opening force the same with −μ. Locked where G with −μ is not
        positive. A limb no thicker than the gap has no force on it.

    Notes
    -----
    Rigid limb; the loop has come to rest. Once the loop has crept up it does not let go at the force that drove it:
    a tired spring still holds a locked trap. Nothing here is a statement on injury.

    References
    ----------
    Own derivation (derived); offset lets levers close higher and so hold better (state hunter-education guide,
    seen; Harding, *Steel Traps*, seen).

    """
    thickness = np.asarray(limb, dtype=float)
    mu = np.asarray(friction, dtype=float)
    with np.errstate(invalid="ignore", divide="ignore"):
        wanted = np.asarray(limb_angle(trap, thickness))
        top = upright_angle(trap) - EDGE
        angle = np.minimum(wanted, top)
        closing, _ = _force_at_bar(trap, angle, mu)
        opening, effort = _force_at_bar(trap, angle, -mu)
        locked = effort <= 0.0
        margin = angle - lock_angle(trap, mu)
        rests = spent_angle(trap)
        spent = rests <= angle
        play = np.asarray(opening_at(trap, np.minimum(rests, top))) - thickness
    shape = np.broadcast(thickness, mu, angle, closing, spent).shape or (1,)
    no_room = np.isnan(wanted)
    loose = thickness <= np.asarray(trap.offset_gap, dtype=float)
    state = np.where(no_room, NO_ROOM, np.where(loose, NOT_HELD, np.where(spent, SPENT, HOLDS)))
    holds = np.broadcast_to(state == HOLDS, shape)

    def wide(values: ArrayLike) -> Floats:
        return np.asarray(np.broadcast_to(np.asarray(values, dtype=float), shape))

    lock = np.broadcast_to(locked, shape) & holds
    return Clamp(
        closing_force=np.where(holds, wide(closing), 0.0),
        opening_force=np.where(lock, np.inf, np.where(holds, wide(opening), 0.0)),
        locked=np.asarray(lock),
        lock_margin=np.where(np.broadcast_to(no_room, shape), np.nan, wide(margin)),
        angle=wide(wanted),
        slack=np.where(np.broadcast_to(state == SPENT, shape), np.maximum(wide(play), 0.0), 0.0),
        state=np.asarray(np.broadcast_to(state, shape), dtype=np.int64),
    )


def face_pressure(trap: Trap, force: ArrayLike, limb_width: ArrayLike) -> Floats:
    """Mean pressure of a face on a limb [Pa], for comparing jaws; no statement on injury.

    Force [N] over face width times the shorter of the limb's width [m] and the face; a rounded edge never counts
    less than 1 mm.
    """
    width = np.maximum(np.asarray(trap.face_width, dtype=float), ROUNDED)
    length = np.minimum(np.asarray(limb_width, dtype=float), np.asarray(trap.face_length, dtype=float))
    return np.asarray(np.asarray(force, dtype=float) / (width * length))


def set_torque(trap: Trap, *, friction: ArrayLike) -> Floats:
    """Torque that lifts one jaw out of the set position [N m]: n N s* with N = P/(2G), where leverage is least."""
    angle = np.asarray(trap.set_angle, dtype=float)
    force, _ = _force_at_bar(trap, angle, np.asarray(friction, dtype=float))
    return np.asarray(force * np.asarray(trap.height, dtype=float))


def dog_force(trap: Trap) -> Floats:
    """Force of the set jaw on the dog at the bar [N]: the dogged jaw carries all loops, n P q'/H."""
    loop = loop_at(trap, np.asarray(trap.set_angle, dtype=float))
    return np.asarray(
        trap.loops
        * spring_effort(trap.spring_rate, trap.free_coordinate, loop.coordinate)
        * loop.slope
        / np.asarray(trap.height, dtype=float)
    )


def slack_opening(trap: Trap) -> Floats:
    """Opening left at the bars when the springs are spent before the empty jaws meet [m]; limbs thinner are loose."""
    with np.errstate(invalid="ignore"):
        rests = np.minimum(spent_angle(trap), upright_angle(trap) - EDGE)
        return np.asarray(opening_at(trap, rests))
