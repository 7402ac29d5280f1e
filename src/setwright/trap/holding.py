"""What the closed trap grips with: an interval of forces, self-lock, slack, mean pressure."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.trap.loop import (
    EDGE,
    Loop,
    arm_of_contact,
    limb_angle,
    loop_at,
    opening_at,
    resistance,
    reversal_angle,
    spent_angle,
    upright_angle,
)
from setwright.trap.model import COIL, LONG, SLOT, Floats, Trap
from setwright.trap.motion import CLOSES, LEVER_PAST_VERTICAL, LIMB_TOO_THICK, NO_CLEARANCE, NOT_KNOWN, SPRING_SPENT
from setwright.trap.springs import spring_effort

# A rounded edge never bears on less than this width.
LEAST_WIDTH = 0.001
_HALVINGS = 40


@dataclass(frozen=True)
class Clamp:
    """Answer of `clamp`, each of the broadcast shape (n,).

    Parameters
    ----------
    closing_force, opening_force : [N]
        Ends of the interval of force at the bars: the loop creeping up, and the force at which the loop
        starts to slide down. The opening force is inf where locked.
    locked : bool
        No finite force at the bars moves the loop; the ring would have to break.
    lock_margin : [rad]
        Bearing angle over the angle at which the lock begins; negative when not locked.
    angle : [rad]
        Jaw angle on the limb.
    slack : [m]
        Opening left between the faces where the loop comes to its end: thinner limbs are loose.
    state : int
        `CLOSES` (gripped, or in the gap), `SPRING_SPENT`, `LEVER_PAST_VERTICAL` (loose, force 0),
        `NO_CLEARANCE`, `LIMB_TOO_THICK`, `NOT_KNOWN` (forces NaN).

    """

    closing_force: Floats
    opening_force: Floats
    locked: NDArray[np.bool_]
    lock_margin: Floats
    angle: Floats
    slack: Floats
    state: NDArray[np.int_]


def clamp(trap: Trap, *, friction: ArrayLike, limb: ArrayLike, margin_to_lock: bool = True) -> Clamp:
    """Force at the gripping bars on a limb, as an interval.

    Parameters
    ----------
    trap : Trap
        Parameters of one or n designs.
    friction : float or array [-]
        Coulomb friction of loop on jaw.
    limb : float or array [m]
        Thickness of the stiff limb between the faces.
    margin_to_lock : bool
        Search the angle at which it locks; without it `lock_margin` is NaN.

    Returns
    -------
    Clamp
        A limb no thicker than the offset gap lies in the gap with force 0 and can slide.

    Notes
    -----
    N = P/(2G), F = n N s*/H; G and s* with the friction turned round for opening. Locked where that
    G is zero or less: for a thin leg of a long-spring tan α ≥ 1/μ; a lever locks sooner, because its eye
    slides sideways too.

    Range: rigid parts and limb, loop seated and in step. Doubts: friction of wet, waxed or rusted steel,
    0.1 to 0.3; the true force lies between the two. Nothing about injury follows from it.

    References
    ----------
    Equations: derived. That offset lets the levers close higher, so that the shape holds and not the
    spring: a state hunter-education study guide (seen); same for long-springs: Harding, *Steel Traps* (seen).

    """
    mu, thick = np.asarray(friction, dtype=float), np.asarray(limb, dtype=float)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        theta = limb_angle(trap, thick)
        upright = upright_angle(trap) - EDGE
        loop = loop_at(trap, np.minimum(theta, upright))
        effort = spring_effort(trap.spring_rate, trap.free_coordinate, loop.coordinate)
        hard = resistance(trap, loop, -mu)
        force = [
            trap.loops * effort * arm_of_contact(trap, loop, signed) / (2.0 * value * trap.height)
            for signed, value in ((mu, resistance(trap, loop, mu)), (-mu, hard))
        ]  # fmt: skip
        in_gap = thick <= np.asarray(trap.offset_gap)
        past = theta > upright
        state = np.select(
            np.broadcast_arrays(
                ~np.isfinite(thick + mu + theta * 0.0 + trap.spring_rate) & ~(thick > 0.0),
                trap.clearance <= trap.loop_clearance,
                ~(theta > np.asarray(trap.set_angle)) | (np.isnan(theta) & (thick > 0.0)),
                ~np.isfinite(mu + effort),
                past & (thick >= 0.0),
                effort <= 0.0,
            ),
            [NOT_KNOWN, NO_CLEARANCE, LIMB_TOO_THICK, NOT_KNOWN, LEVER_PAST_VERTICAL, SPRING_SPENT],
            CLOSES,
        )
        bad = np.isin(state, (NOT_KNOWN, NO_CLEARANCE, LIMB_TOO_THICK))
        loose = in_gap | np.isin(state, (SPRING_SPENT, LEVER_PAST_VERTICAL))
        locked = (hard <= 0.0) & ~loose & ~bad
        opening = np.where(hard > 0.0, force[1], np.inf)
        margin = theta - trap.bevel - (lock_angle(trap, friction=mu) if margin_to_lock else np.nan)
    return Clamp(
        closing_force=np.where(bad, np.nan, np.where(loose, 0.0, force[0])),
        opening_force=np.where(bad, np.nan, np.where(loose, 0.0, opening)),
        locked=locked,
        lock_margin=np.where(bad, np.nan, margin),
        angle=np.where(bad, np.nan, theta + 0.0 * mu),
        slack=np.broadcast_to(slack_opening(trap), state.shape).copy(),
        state=np.asarray(state, dtype=int),
    )


def lock_angle(trap: Trap, *, friction: ArrayLike) -> Floats:
    """Bearing angle α [rad] from which the loop locks: G with the friction turned round is zero.

    Parameters
    ----------
    trap : Trap
        Parameters of one or n designs.
    friction : float or array [-]
        Coulomb friction of loop on jaw; without friction the answer is the upright angle.

    """
    mu = np.asarray(friction, dtype=float)
    with np.errstate(invalid="ignore", divide="ignore"):
        if trap.family == LONG:
            return np.asarray(np.arctan2(1.0, mu) + 0.0 * np.asarray(trap.bevel))
        shape = np.broadcast_shapes(mu.shape, upright_angle(trap).shape)
        high = np.broadcast_to(upright_angle(trap), shape)
        low = np.minimum(np.broadcast_to(reversal_angle(trap), shape), high)
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            slides = resistance(trap, loop_at(trap, middle), -mu) > 0.0
            low, high = np.where(slides, middle, low), np.where(slides, high, middle)
        return np.asarray(0.5 * (low + high) - trap.bevel)


def face_pressure(trap: Trap, force: ArrayLike, limb_width: ArrayLike) -> Floats:
    """Mean pressure of a jaw face under a clamp force [Pa].

    Parameters
    ----------
    trap : Trap
        Parameters of one or n designs.
    force : float or array [N]
        At the bars.
    limb_width : float or array [m]
        Of the limb along the bar.

    Notes
    -----
    Force over face width (1 mm at least) times the smaller of limb width and bar length. It ranks one's
    own set-ups; it says nothing of injury.

    """
    width = np.maximum(trap.face_width, LEAST_WIDTH)
    length = np.minimum(np.asarray(limb_width, dtype=float), trap.face_length)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(np.asarray(force, dtype=float) / (width * length))


@dataclass(frozen=True)
class Pressures:
    """Answer of `pressures`, each of the broadcast shape (n,).

    Parameters
    ----------
    face, edge : [Pa]
        Mean pressure where the whole face bears, and where the jaw bears on its rounded edge alone.

    """

    face: Floats
    edge: Floats


def pressures(
    trap: Trap, force: ArrayLike, limb_width: ArrayLike, *, edge_radius: ArrayLike = LEAST_WIDTH
) -> Pressures:
    """Mean pressure of a jaw by its face and by its edge.

    Parameters
    ----------
    trap : Trap
        Parameters of one or n designs.
    force : float or array [N]
        At the bars.
    limb_width : float or array [m]
        Of the limb along the bar.
    edge_radius : float or array [m]
        Rounding of the edge; it bears on a strip as wide as the radius, never narrower than 1 mm.

    Notes
    -----
    A limb lies between the two: flat on the face, or over the edge when it is pulled aside. Both rank one's own
    set-ups; neither says anything of injury. An edge worn sharp is no narrower here than 1 mm, because steel that
    bears on something soft sinks in.

    """
    narrow = replace(trap, face_width=np.minimum(edge_radius, np.maximum(trap.face_width, LEAST_WIDTH)))
    return Pressures(face=face_pressure(trap, force, limb_width), edge=face_pressure(narrow, force, limb_width))


def set_torque(trap: Trap, *, friction: ArrayLike) -> Floats:
    """Torque with which the springs lift one jaw out of the set position [N m].

    Parameters
    ----------
    trap : Trap
        Parameters of one or n designs.
    friction : float or array [-]
        Coulomb friction of loop on jaw.

    Notes
    -----
    n N s* at the set angle, where leverage is least; to hold against what a frozen cover resists. NaN where
    the trap cannot be set so.

    """
    mu = np.asarray(friction, dtype=float)
    with np.errstate(invalid="ignore", divide="ignore"):
        loop = loop_at(trap, trap.set_angle)
        effort = spring_effort(trap.spring_rate, trap.free_coordinate, loop.coordinate)
        torque = trap.loops * effort * arm_of_contact(trap, loop, mu) / (2.0 * resistance(trap, loop, mu))
        return np.where(_settable(trap, loop), torque, np.nan)


def _settable(trap: Trap, loop: Loop) -> NDArray[np.bool_]:
    """True where the eye clears the jaw and the lever can stand as the set angle asks."""
    return np.asarray((trap.clearance > trap.loop_clearance) & (np.abs(loop.lever_sine) < 1.0))


def dog_force(trap: Trap) -> Floats:
    """Force that holds the dogged jaw down, at its bar [N], without friction.

    Notes
    -----
    In a set trap the loose jaw lies slack and the dogged jaw carries the whole loop:
    F = n P_v h'/H with P_v = P/(L cos φ) for a lever.

    """
    with np.errstate(invalid="ignore", divide="ignore"):
        loop = loop_at(trap, trap.set_angle)
        effort = spring_effort(trap.spring_rate, trap.free_coordinate, loop.coordinate)
        return np.where(_settable(trap, loop), trap.loops * effort * loop.slope / trap.height, np.nan)


def slack_opening(trap: Trap) -> Floats:
    """Opening left between the faces where the loop comes to its end [m]; thinner limbs are loose.

    Notes
    -----
    The loop ends where its lever stands upright or its springs are spent; with neither before full
    closure the answer is the offset gap.

    """
    with np.errstate(invalid="ignore", divide="ignore"):
        stop = np.minimum(np.minimum(upright_angle(trap), spent_angle(trap)), limb_angle(trap, 0.0))
        return opening_at(trap, stop)


def bevel_from_empty_lever(trap: Trap, lever_angle: ArrayLike) -> Floats:
    """Bevel ψ [rad] that lets the lever of the closed empty trap stand at a measured angle [rad].

    Parameters
    ----------
    trap : Trap
        A coil-spring trap, or n of them.
    lever_angle : float or array [rad]
        Of the lever above the level, jaws closed and empty.

    Notes
    -----
    b sin α − h cos α = c at h = L sin φ + z_p (L tan φ + z_p in a slot), and ψ = θ − α. NaN for a long-spring.

    """
    if trap.family != COIL:
        return np.full(np.shape(lever_angle), np.nan)
    turn = np.tan(lever_angle) if trap.eye == SLOT else np.sin(lever_angle)
    height = np.asarray(trap.lever_length * turn + trap.pivot_height, dtype=float)
    plain = replace(trap, bevel=0.0)
    b = plain.clearance
    with np.errstate(invalid="ignore"):
        alpha = np.arcsin(trap.loop_clearance / np.hypot(b, height)) + np.arctan2(height, b)
    return np.asarray(limb_angle(trap, 0.0) - alpha)
