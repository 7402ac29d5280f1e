"""The trap seen from its side: levers or springs at both ends, jaws up or down."""

from __future__ import annotations

import math

from setwright.draw.plate import STEEL, Plate
from setwright.draw.trap_frame import arc
from setwright.draw.trap_plan_parts import bow, lever_tip
from setwright.draw.trap_shape import TrapShape

# How far a lever or spring is pressed: 0 as it stands with the jaws closed, 1 flat.
UP, DOWN = 0.0, 1.0
_THICK = 0.006


def side_view(
    plate: Plate, shape: TrapShape, pressed: tuple[float, float], jaw_angle: float, *, chain: bool = False
) -> None:
    """Draw the trap standing with its base on the ground at height zero.

    Parameters
    ----------
    plate : Plate
        Where it is drawn; along the hinge line and up, metres.
    shape : TrapShape
        Dimensions of the trap.
    pressed : tuple of float
        How far the left and the right lever or spring is pressed, 0 to 1.
    jaw_angle : float [rad]
        Of both jaws above the hinge line.
    chain : bool
        Whether the hinge bolts are drawn as seen through.

    """
    hinge = shape.rise
    long = shape.base_half_length
    base = [(-long, 0.0), (long, 0.0), (long, 0.03 * shape.spread), (-long, 0.03 * shape.spread)]
    for side, share in zip((-1.0, 1.0), pressed, strict=True):
        if shape.family == "coil":
            _lever(plate, shape, side, share, hinge)
        elif shape.springs == 2 or side < 0.0:
            _leaf(plate, shape, side, share, hinge)
    plate.part("base", plate.area(base))
    for side in (-1.0, 1.0):
        start = side * (shape.end + 0.5 * shape.face_width)
        wide = side * max(0.02 * shape.spread, 0.002)
        ear = [(start, 0.0), (start + wide, 0.0), (start + wide, hinge + 0.02 * shape.spread)]
        plate.part("ear", plate.area([*ear, (start, hinge + 0.02 * shape.spread)]))
    _jaws(plate, shape, jaw_angle, hinge)
    if chain:
        plate.add(plate.disc((0.0, hinge), 0.002, "f-i"))


def tip_of(shape: TrapShape, side: float, share: float) -> tuple[float, float]:
    """Where a boot presses: the tip of the lever, or the top of the spring near its eye."""
    hinge = shape.rise
    if shape.family == "coil":
        pivot, height, angle, length = _lever_line(shape, share, hinge)
        return side * (pivot + 0.86 * length * math.cos(angle)), height + 0.86 * length * math.sin(angle) + 0.003
    arm = shape.leaf_arm or shape.spread
    top = _eye_height(shape, share, hinge)
    at = 0.3
    return side * (shape.end + at * arm), top + at * (_bend_height(shape) - top) + 0.004


def pressed_at(shape: TrapShape, along: float) -> tuple[float, float]:
    """A point on the middle of the right lever, or on the upper arm of the left spring, pressed flat [m]."""
    hinge = shape.rise
    if shape.family == "coil":
        pivot, height, angle, length = _lever_line(shape, DOWN, hinge)
        return pivot + along * length * math.cos(angle), height + along * length * math.sin(angle)
    arm = shape.leaf_arm or shape.spread
    top, thick = _eye_height(shape, DOWN, hinge), shape.leaf_thickness or 0.003
    start, far = shape.end - shape.eye_half_opening, shape.end + arm
    share = along * arm / (far - start)
    return -(start + share * (far - start)), top + thick + share * (_bend_height(shape) - top - thick)


def _eye_height(shape: TrapShape, share: float, hinge: float) -> float:
    high, low = hinge + 0.62 * shape.height, hinge - 0.6 * shape.leg_thickness
    return high + share * (low - high)


def _bend_height(shape: TrapShape) -> float:
    return 0.03 * shape.spread + 2.0 * (shape.leaf_bend or 0.08 * shape.spread)


def _lever_line(shape: TrapShape, share: float, hinge: float) -> tuple[float, float, float, float]:
    """Pivot along and up, angle and length of a lever."""
    pivot, height = shape.pivot, hinge + (shape.pivot_height or 0.0)
    length = lever_tip(shape) - shape.pivot
    up = math.atan2(_eye_height(shape, UP, hinge) - height, shape.end - pivot)
    flat = math.atan2(hinge - 0.9 * shape.leg_thickness - height, shape.end - pivot)
    return pivot, height, up + share * (flat - up), length


def _lever(plate: Plate, shape: TrapShape, side: float, share: float, hinge: float) -> None:
    pivot, height, angle, length = _lever_line(shape, share, hinge)
    cosine, sine = math.cos(angle), math.sin(angle)
    half = 0.5 * _THICK
    outline = [
        (pivot - sine * half, height + cosine * half),
        (pivot + length * cosine - sine * half, height + length * sine + cosine * half),
        (pivot + length * cosine + sine * half, height + length * sine - cosine * half),
        (pivot + sine * half, height - cosine * half),
    ]
    plate.part("lever", plate.area([(side * u, z) for u, z in outline]))
    radius = 0.5 * ((shape.coil_diameter or 0.12 * shape.spread) + (shape.wire_diameter or 0.028 * shape.spread))
    inner = radius - (shape.wire_diameter or 0.028 * shape.spread)
    plate.part("coil", plate.disc((side * pivot, height), radius), plate.disc((side * pivot, height), inner))


def _leaf(plate: Plate, shape: TrapShape, side: float, share: float, hinge: float) -> None:
    arm = shape.leaf_arm or shape.spread
    bend = shape.leaf_bend or 0.08 * shape.spread
    top = _eye_height(shape, share, hinge)
    low = 0.03 * shape.spread
    thick = shape.leaf_thickness or 0.003
    far = shape.end + arm
    high = _bend_height(shape)
    round_it = arc((far, low + bend), bend, 0.5 * math.pi, -0.5 * math.pi)
    inside = arc((far, low + bend), bend - thick, -0.5 * math.pi, 0.5 * math.pi)
    start = shape.end - shape.eye_half_opening
    outline = [(start, top + thick), *round_it, (start, low), (start, low + thick), *inside, (start, top)]
    outline[1] = (far, high)
    plate.part("leaf", plate.area([(side * u, z) for u, z in outline]))


def _jaws(plate: Plate, shape: TrapShape, angle: float, hinge: float) -> None:
    """Both jaws as one outline, as high as they stand; flat, they are seen on edge."""
    sine = math.sin(angle)
    if sine * shape.height < 1.5 * shape.leg_thickness:
        half, thick = shape.end + 0.5 * shape.face_width, 0.5 * shape.leg_thickness
        flat = [(-half, hinge - thick), (half, hinge - thick), (half, hinge + thick), (-half, hinge + thick)]
        plate.part("jaw", plate.area(flat))
        return
    half, corner = 0.5 * shape.face_width, 0.35 * shape.height * sine
    outer = bow(shape.end + half, 0.0, (shape.height + shape.face_width) * sine, corner + shape.face_width * sine)
    inner = bow(shape.end - half, 0.0, shape.height * sine, corner)
    outline = [(u, hinge + z) for u, z in [*outer, *reversed(inner)]]
    plate.part("jaw", plate.area(outline, f"{STEEL} jaw"))
