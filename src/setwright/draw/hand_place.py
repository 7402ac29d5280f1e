"""Where the hand may be when a trap is set, and where never: the trap cut across its hinges."""

from __future__ import annotations

import math
from typing import Literal

from setwright.draw import svg
from setwright.draw.limbs import hand_under
from setwright.draw.plate import FLESH, Given, Plate, ground_line
from setwright.draw.trap_frame import arc, figure, refusal
from setwright.draw.trap_shape import Posture, TrapShape
from setwright.draw.trap_state import dog_hinge, trap_at

_LEVEL = 0.02


def _scaled(shape: TrapShape, left: float, top: float, width: float, height: float, high: float) -> svg.Scale:
    """Scale and place of the trap in its box: the ground on the floor of the box."""
    west = shape.hinge_half_distance + shape.outer + 0.085
    east = shape.hinge_half_distance + shape.outer + 0.04
    per_metre = min(width / (west + east), (height - 8.0) / (high + shape.rise))
    spare = 0.5 * (width - (west + east) * per_metre)
    return svg.Scale(-west, -shape.rise, per_metre, left + spare, top + height - 8.0)


def end_of_set(
    shape: TrapShape,
    left: float,
    top: float,
    width: float,
    height: float,
    *,
    hand: Literal["pan", "dog", "none"],
    high: float = 0.085,
) -> Plate:
    """The set trap in section in a box, with the hand that lifts the pan or folds the dog.

    Parameters
    ----------
    shape : TrapShape
        Dimensions of the trap.
    left, top, width, height : float [px]
        The box; the ground lies on its floor.
    hand : {"pan", "dog", "none"}
        What the hand does.
    high : float [m]
        Room over the hinge line.

    """
    plate = Plate(_scaled(shape, left, top, width, height, high))
    reach = shape.hinge_half_distance + shape.outer
    held = hand != "dog"
    posture = Posture("set", (_LEVEL, max(shape.set_angle, _LEVEL)), -0.4 * shape.leg_thickness, held=True)
    ground_line(plate, -reach - 0.08, reach + 0.035, -shape.rise)
    if hand == "pan":
        # The finger lies on the ground side of the loose jaw; the jaw is drawn over it.
        room = shape.rise - 0.6 * shape.leg_thickness
        hand_under(
            plate, (-0.45 * shape.pan, -0.55 * shape.leg_thickness - 0.001), min(0.013, 0.9 * room), -reach - 0.08
        )
    if held:
        plate.add(*trap_at(shape, posture, plate.scale, 0.3 * shape.height))
        if hand == "pan":
            x, low = -0.45 * shape.pan, -0.5 * shape.leg_thickness
            plate.arrow((x, low), (x, low + 0.03))
        return plate
    loose = Posture("set", posture.angles, posture.loop_height)
    plate.add(*trap_at(shape, loose, plate.scale, 0.3 * shape.height))
    _loose_pan_and_dog(plate, shape, posture)
    return plate


def _loose_pan_and_dog(plate: Plate, shape: TrapShape, posture: Posture) -> None:
    """Pan hanging, dog thrown back, and the way it is folded over the jaw."""
    level = -0.25 * shape.rise
    plate.part("pan", plate.line([(-shape.pan, level - 0.004), (shape.pan, level)], "g heavy"))
    x, z = dog_hinge(shape, posture)
    plate.add(plate.line([(0.0, -shape.rise), (x, -shape.rise), (x, z)], "g inkw"))
    long = x - shape.pan
    turned = [(x + long * math.cos(k), z + long * math.sin(k)) for k in (math.radians(100.0), math.radians(140.0))]
    plate.part("dog", plate.line([(x, z), turned[0]], "g inkw"))
    swing = arc((x, z), 0.8 * long, math.radians(105.0), math.radians(165.0), 10)
    plate.add(plate.line(swing, "g thin dash"))
    plate.arrow(swing[-2], swing[-1], "thin")
    tip = turned[0]
    finger = [
        (tip[0] + 0.004, tip[1] - 0.012), (tip[0] + 0.045, tip[1] - 0.006), (tip[0] + 0.045, tip[1] + 0.012),
        (tip[0] + 0.006, tip[1] + 0.006),
    ]  # fmt: skip
    plate.part("hand", plate.area(finger, FLESH))


def hand_place(given: Given) -> str:
    """Where the hand may be and where never, on one large section of the set trap."""
    title = given.say("Where the hand may be, and where never")
    shape = given.coil or given.long
    if shape is None:
        return refusal(given.width, title, given.say("No drawing: no trap is described."))
    high = shape.outer + 0.012
    reach = shape.hinge_half_distance + shape.outer
    tall = 26.0 + (high + shape.rise) * (given.width - 8.0) / (2.0 * reach + 0.125) + 40.0
    plate = end_of_set(shape, 4.0, 26.0, given.width - 8.0, tall - 66.0, hand="pan", high=high)
    swept = [
        (-reach, 0.0), *arc((0.0, 0.0), reach, math.pi, 0.0, 40), (reach, 0.0), (0.25 * reach, 0.006),
        (-0.25 * reach, 0.006),
    ]  # fmt: skip
    zone = svg.part("never", [svg.area(plate.scale.path(swept), "", "url(#h-band)")])
    plate.body.insert(0, zone)
    edge = plate.line(arc((0.0, 0.0), reach, math.pi, 0.0, 40), "g inkw dash")
    plate.add(edge)
    for side in (-1.0, 1.0):
        way = arc((0.0, 0.0), 0.82 * reach, math.pi if side < 0 else 0.0, 0.5 * math.pi + side * -0.5, 12)
        plate.arrow(way[-2], way[-1])
        plate.add(plate.line(way[4:-1], "g thin"))
    x, y = plate.scale.at((0.0, 0.55 * reach))
    plate.add(svg.text(x, y, given.say("Never: no finger, foot or face"), "mid t-b halo"))
    plate.add(svg.text(x, y + 18.0, given.say("where the jaws sweep"), "mid t-b halo"))
    told = given.say("Only here: from outside and below, under the loose jaw")
    low = plate.scale.at((0.0, -shape.rise))[1]
    spot = plate.scale.at((-0.45 * shape.pan - 0.11, -0.012))
    plate.add(svg.line([(spot[0], low + 20.0), spot], "g hair s-p") + svg.dot(*spot, names="hand"))
    plate.add(svg.text(6.0, low + 33.0, told))
    return figure(given.width, low + 44.0, plate.body, title, told)
