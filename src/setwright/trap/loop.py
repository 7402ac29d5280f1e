"""Where the loop stands for a jaw angle, its leverage, and how friction turns it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from setwright.trap.model import LONG, SLOT, Floats, Trap

# Distance [rad] that the loop is kept from the vertical of its lever or edge, where leverage has no bound.
EDGE = 1e-4


@dataclass(frozen=True)
class Loop:
    """Geometry of the loop at jaw angles, all of one broadcast shape.

    Parameters
    ----------
    coordinate, slope, bend : lever angle [rad] or eye height [m], and d/dθ, d²/dθ²
        q, q' and q''.
    reach, slide : [m], [m/rad]
        Hinge to contact along the leg, s, and ds/dα.
    cosine, sine : [-]
        Of the bearing angle α.
    lever_cosine, lever_sine : [-]
        Of the lever angle (1 and 0 for a long-spring).
    along, across : [-]
        Shares of the sliding along the leg (with sign: up the leg positive) and across it; of a slot, along
        the slot, and both with the greater pressure of an edge that stands askew to the leg.

    """

    coordinate: Floats
    slope: Floats
    bend: Floats
    reach: Floats
    slide: Floats
    cosine: Floats
    sine: Floats
    lever_cosine: Floats
    lever_sine: Floats
    along: Floats
    across: Floats


def loop_at(trap: Trap, angle: ArrayLike, *, slide_sign: ArrayLike | None = None) -> Loop:
    """Loop geometry at a jaw angle.

    Parameters
    ----------
    trap : Trap
        Parameters that broadcast with `angle`.
    angle : float or array [rad]
        Jaw angle θ, below the angle at which the lever or the bearing edge stands upright.
    slide_sign : float or array, optional
        Direction of sliding where it reverses within the angle itself; by the geometry when None.

    Notes
    -----
    Tangency of a loop edge (radius in c) with the leg: h = b tan α − c/cos α, s = (b − c sin α)/cos α,
    h' = s/cos α, with α = θ − ψ. A lever with a round eye adds L sin φ = h − z_p, one with a slot
    L tan φ = h − z_p.

    """
    b, c = trap.clearance, np.asarray(trap.loop_clearance, dtype=float)
    alpha = np.asarray(angle, dtype=float) - trap.bevel
    sine, cosine = np.sin(alpha), np.cos(alpha)
    secant = 1.0 / cosine
    reach = (b - c * sine) * secant
    slide = (b * sine - c) * secant**2
    height = (b * sine - c) * secant
    rise = reach * secant
    curve = (2.0 * reach * sine - c * cosine) * secant**2
    if trap.family == LONG:
        sign = np.sign(slide) if slide_sign is None else np.broadcast_to(slide_sign, slide.shape)
        one, zero = np.ones_like(slide), np.zeros_like(slide)
        return Loop(height, rise, curve, reach, slide, cosine, sine, one, zero, np.asarray(sign, dtype=float), zero)
    if trap.eye == SLOT:
        return _slot(trap, height, rise, curve, reach, slide, sine, cosine)
    length = np.asarray(trap.lever_length, dtype=float)
    lever_sine = (height - trap.pivot_height) / length
    lever_cosine = np.sqrt(np.maximum(1.0 - lever_sine**2, 1e-18))
    slope = rise / (length * lever_cosine)
    bend = curve / (length * lever_cosine) + slope**2 * lever_sine / lever_cosine
    sideways = length * np.abs(lever_sine) * slope
    total = np.maximum(np.hypot(slide, sideways), 1e-300)
    return Loop(
        coordinate=np.arcsin(np.clip(lever_sine, -1.0, 1.0)),
        slope=slope,
        bend=bend,
        reach=reach,
        slide=slide,
        cosine=cosine,
        sine=sine,
        lever_cosine=lever_cosine,
        lever_sine=lever_sine,
        along=slide / total,
        across=sideways / total,
    )


def _slot(
    trap: Trap,
    height: Floats,
    rise: Floats,
    curve: Floats,
    reach: Floats,
    slide: Floats,
    sine: Floats,
    cosine: Floats,
) -> Loop:
    """Loop of a lever with a long slot: the jaws stay at one level distance from the pivot."""
    length = np.asarray(trap.lever_length, dtype=float)
    slant = (height - trap.pivot_height) / length
    lever_cosine = 1.0 / np.sqrt(1.0 + slant**2)
    slope = rise * lever_cosine**2 / length
    # Along the slot; slot and leg are askew, so that both parts of the sliding do not stand square.
    runs = length * np.abs(slant) * slope / lever_cosine
    lever_sine = slant * lever_cosine
    total = np.sqrt(np.maximum(slide**2 + runs**2 - 2.0 * slide * runs * sine * np.abs(lever_sine), 1e-300))
    askew = np.sqrt(1.0 + (cosine * slant) ** 2)
    return Loop(
        coordinate=np.arctan(slant),
        slope=slope,
        bend=curve * lever_cosine**2 / length - 2.0 * slope**2 * slant,
        reach=reach,
        slide=slide,
        cosine=cosine,
        sine=sine,
        lever_cosine=lever_cosine,
        lever_sine=lever_sine,
        along=askew * slide / total,
        across=askew * runs / total,
    )


def resistance(trap: Trap, loop: Loop, friction: ArrayLike) -> Floats:
    """Effort on the loop per contact force, G (m for a lever, 1 for a long-spring); −friction when forced open."""
    mu = np.asarray(friction, dtype=float)
    if trap.family != LONG and trap.eye == SLOT:
        length = np.asarray(trap.lever_length, dtype=float)
        return np.asarray(length * (loop.cosine / loop.lever_cosine**2 + mu * loop.along * loop.sine))
    upright = loop.cosine + mu * loop.along * loop.sine
    if trap.family == LONG:
        return np.asarray(upright)
    length = np.asarray(trap.lever_length, dtype=float)
    return np.asarray(
        upright * length * loop.lever_cosine + mu * loop.across * length * np.abs(loop.lever_sine)
    )  # fmt: skip


def arm_of_contact(trap: Trap, loop: Loop, friction: ArrayLike) -> Floats:
    """Arm of the contact force about the hinge with friction at the leg's face, s* [m]."""
    mu = np.asarray(friction, dtype=float)
    if trap.family != LONG and trap.eye == SLOT:
        down = loop.across * np.abs(loop.lever_sine)
        at_face = (loop.along - down * loop.sine) * trap.bearing_offset
        return np.asarray(loop.reach + mu * (at_face - down * loop.cosine * loop.reach))
    return np.asarray(loop.reach + mu * loop.along * trap.bearing_offset)


def upright_angle(trap: Trap) -> Floats:
    """Jaw angle [rad] at which the lever, or the bearing edge of a long-spring or slot, stands upright."""
    if trap.family == LONG or trap.eye == SLOT:
        return np.asarray(0.5 * np.pi + np.asarray(trap.bevel, dtype=float))
    return angle_of_height(trap, np.add(trap.lever_length, trap.pivot_height))


def angle_of_height(trap: Trap, height: ArrayLike) -> Floats:
    """Jaw angle [rad] at which the loop stands `height` [m] over the hinge line: b sin α − h cos α = c."""
    b, h = trap.clearance, np.asarray(height, dtype=float)
    with np.errstate(invalid="ignore"):
        return np.asarray(np.arcsin(trap.loop_clearance / np.hypot(b, h)) + np.arctan2(h, b) + trap.bevel)


def reversal_angle(trap: Trap) -> Floats:
    """Jaw angle [rad] at which the eye turns from sliding down the leg to sliding up: sin α = c/b."""
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(np.arcsin(np.divide(trap.loop_clearance, trap.clearance)) + trap.bevel)


def spent_angle(trap: Trap) -> Floats:
    """Jaw angle [rad] at which the springs have no force left; beyond reach it is the upright angle."""
    free = np.asarray(trap.free_coordinate, dtype=float)
    if trap.family == LONG:
        return np.minimum(angle_of_height(trap, free), upright_angle(trap))
    if trap.eye == SLOT:
        with np.errstate(invalid="ignore"):
            height = trap.lever_length * np.tan(np.minimum(free, 0.5 * np.pi)) + trap.pivot_height
        return np.minimum(angle_of_height(trap, height), upright_angle(trap))
    height = trap.lever_length * np.sin(np.minimum(free, 0.5 * np.pi)) + trap.pivot_height
    return np.asarray(angle_of_height(trap, height))


def limb_angle(trap: Trap, limb: ArrayLike) -> Floats:
    """Jaw angle [rad] at which the faces meet a limb of thickness `limb` [m]; NaN when it does not fit in.

    a + H cos θ − t_f sin θ = max(0, D − g)/2.
    """
    x = 0.5 * np.maximum(np.subtract(limb, trap.offset_gap), 0.0) - trap.hinge_half_distance
    with np.errstate(invalid="ignore"):
        return np.asarray(
            np.arccos(x / np.hypot(trap.height, trap.face_offset)) - np.arctan2(trap.face_offset, trap.height)
        )


def opening_at(trap: Trap, angle: ArrayLike) -> Floats:
    """Opening between the two faces at a jaw angle [m], the offset gap counted in."""
    theta = np.asarray(angle, dtype=float)
    half = trap.hinge_half_distance + trap.height * np.cos(theta) - trap.face_offset * np.sin(theta)
    return np.asarray(2.0 * np.maximum(half, 0.0) + trap.offset_gap)
