"""Hands and boots for the setting drawings: plain outlines, as large as an adult's, in metres."""

from __future__ import annotations

import math

from setwright.draw.plate import FLESH, Plate
from setwright.draw.svg import Point
from setwright.draw.trap_frame import arc

# Proportions of an adult's hand and boot, drawn only to show which side they come from (common practice of drawing).
FINGER, BOOT = 0.013, 0.12
_DOME = [math.pi * k / 12.0 for k in range(13)]


def hand_under(plate: Plate, tip: Point, height: float, west: float) -> None:
    """A hand from the left, low, with one finger level under the loose jaw and its tip turned up under the pan.

    Parameters
    ----------
    plate : Plate
        Where it is drawn, metres.
    tip : Point [m]
        Where the finger ends.
    height : float [m]
        Thickness that the finger has room for.
    west : float [m]
        How far to the left the arm is drawn before it is cut off.

    """
    x, z = tip
    thick = min(FINGER, height)
    knuckle = x - 0.095
    low = z - thick
    far = max(knuckle - 0.12, west)
    rise = 0.18 * (knuckle - 0.02 - far)
    outline = [
        (far, z + 0.03 + rise), (knuckle - 0.02, z + 0.03), (knuckle + 0.012, z + 0.012), (knuckle + 0.022, z),
        (x - 0.5 * thick, z), *arc((x - 0.5 * thick, z - 0.5 * thick), 0.5 * thick, 0.5 * math.pi, -0.5 * math.pi, 6),
        (knuckle + 0.01, low), (knuckle - 0.02, low + 0.002), (far, low + 0.003),
    ]  # fmt: skip
    plate.part("hand", plate.area(outline, FLESH))


def boot_from_front(plate: Plate, sole: Point) -> None:
    """A boot seen from its toe, its sole at a point."""
    x, z = sole
    leg = [(x - 0.036, z + 0.03), (x - 0.038, z + BOOT), (x + 0.038, z + BOOT), (x + 0.036, z + 0.03)]
    toe = [
        (x - 0.045, z),
        (x + 0.045, z),
        *((x + 0.045 * math.cos(k), z + 0.016 + 0.05 * math.sin(k)) for k in _DOME),
    ]
    seam = [(x - 0.045, z + 0.014), (x + 0.045, z + 0.014)]
    plate.part("boot", plate.area(leg, FLESH), plate.area(toe, FLESH), plate.line(seam, "g hair"))


def knee(plate: Plate, top: Point) -> None:
    """A bent knee under a point: thigh level from the left, shin down."""
    x, z = top
    radius = 0.06
    outline = [
        (x - 0.2, z - 0.01), (x - 0.05, z), *arc((x, z - radius), radius, 0.5 * math.pi, -0.15 * math.pi, 8),
        (x + 0.05, z - 0.165), (x - 0.05, z - 0.165), (x - 0.05, z - 0.13), (x - 0.2, z - 0.13),
    ]  # fmt: skip
    plate.part("knee", plate.area(outline, FLESH))
