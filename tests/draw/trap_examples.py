"""Two invented traps for the drawings: nothing here was measured, and no such trap was made."""

from __future__ import annotations

import math
from dataclasses import replace

from setwright.draw.trap_shape import Frames, Posture, TrapShape

COIL = TrapShape(
    family="coil",
    spread=0.1238,
    height=0.0592,
    hinge_half_distance=0.0027,
    face_width=0.008,
    leg_thickness=0.0045,
    eye_half_opening=0.013,
    loop_clearance=0.0037,
    bevel=math.radians(14.0),
    springs=2,
    pan_radius=0.025,
    lever_length=0.038,
    pivot_height=-0.011,
    wire_diameter=0.00343,
    coil_diameter=0.015,
)
FOUR = replace(
    COIL,
    springs=4,
    offset_gap=0.0048,
    lamination_width=0.0063,
    lamination_thickness=0.0048,
    lamination_side="inside",
    swivel_place="end",
    eye="slot",
    lever_reach=0.055,
)
LONG = TrapShape(
    family="long",
    spread=0.1397,
    height=0.0668,
    hinge_half_distance=0.003,
    face_width=0.009,
    leg_thickness=0.005,
    eye_half_opening=0.0115,
    loop_clearance=0.0039,
    bevel=math.radians(2.0),
    springs=2,
    pan_radius=0.028,
    leaf_arm=0.145,
    leaf_bend=0.011,
    leaf_width=0.022,
    leaf_thickness=0.0031,
    guard_length=0.09,
    double=True,
)
TURNED = replace(
    LONG,
    springs=1,
    leaf_turn=0.5 * math.pi,
    guard_length=None,
    double=False,
    dogless=True,
    pad_width=0.013,
    pad_thickness=0.004,
    swivel_place="side",
    pan_radius=None,
)
SHAPES = {"coil": COIL, "four": FOUR, "long": LONG, "turned": TURNED}
LIMB = 0.022


def eye_height(shape: TrapShape, angle: float) -> float:
    """Where the edge of the eye touches a leg at a jaw angle: b tan α − c/cos α."""
    alpha = angle - shape.bevel
    clear = shape.eye_half_opening - shape.hinge_half_distance
    return clear * math.tan(alpha) - shape.loop_clearance / math.cos(alpha)


def limb_angle(shape: TrapShape, limb: float) -> float:
    """Jaw angle at which the faces meet a limb: a + H cos θ − t sin θ is half the limb less the gap."""
    x = 0.5 * max(limb - shape.offset_gap, 0.0) - shape.hinge_half_distance
    face = 0.5 * shape.leg_thickness + shape.pad_thickness
    return math.acos(x / math.hypot(shape.height, face)) - math.atan2(face, shape.height)


def postures(shape: TrapShape) -> list[Posture]:
    """Set, half way, closed empty, closed on a limb; the eye of the empty trap no higher than at 75°."""
    closed, held = limb_angle(shape, 0.0), limb_angle(shape, LIMB)
    seat = math.radians(75.0)
    return [
        Posture("set", (0.02, shape.set_angle), eye_height(shape, shape.set_angle), held=True),
        Posture("half way", (0.25 * math.pi, 0.25 * math.pi), eye_height(shape, 0.25 * math.pi)),
        Posture("closed, empty", (closed, closed), eye_height(shape, min(closed, seat))),
        Posture("on a limb", (held, held), eye_height(shape, min(held, seat)), limb=LIMB, note="grip 11 to 28 lbf"),
    ]


def frames(shape: TrapShape, end: float, count: int = 80, apart: float = math.radians(74.0)) -> Frames:
    """An invented closing: the angle grows with the 2.2nd power of time; past `apart` the eye stays where it is."""
    times = [end * k / (count - 1) for k in range(count)]
    last = limb_angle(shape, 0.0)
    angles = [shape.set_angle + (last - shape.set_angle) * (time / end) ** 2.2 for time in times]
    return Frames(
        times=tuple(times),
        angles=tuple((angle, angle) for angle in angles),
        loop_height=tuple(eye_height(shape, min(angle, apart)) for angle in angles),
        separated=tuple(angle > apart for angle in angles),
    )
