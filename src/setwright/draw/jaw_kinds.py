"""Kinds of jaws on a limb, each cut through at one scale: regular, offset, laminated, padded."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from setwright.draw import svg
from setwright.draw.plate import Given, Panel, Plate, panels
from setwright.draw.trap_frame import figure, refusal, scale_line
from setwright.draw.trap_shape import Posture, TrapShape, cam_length
from setwright.draw.trap_state import grip_height, trap_at

LIMB = 0.022


def closed_on(shape: TrapShape, limb: float) -> float:
    """Angle of both jaws when their faces meet a limb of this thickness [rad]: a + H cos θ − t sin θ = half of it."""
    half = 0.5 * max(limb - shape.offset_gap, 0.0) - shape.hinge_half_distance
    face = 0.5 * shape.leg_thickness + shape.pad_thickness
    share = min(max(half / math.hypot(shape.height, face), -1.0), 1.0)
    return math.acos(share) - math.atan2(face, shape.height)


def kinds(shape: TrapShape, sizes: dict[str, float]) -> list[tuple[str, TrapShape]]:
    """The same trap with four kinds of jaws; sizes of gap, strip and pad [m] come from the table of jaws."""
    plain = replace(shape, offset_gap=0.0, lamination_width=0.0, pad_width=0.0, pad_thickness=0.0, double=False)
    wide, thick = sizes["lamination_width"], sizes["lamination_thickness"]
    laminated = replace(plain, lamination_width=wide, lamination_thickness=thick, lamination_side="outside")
    return [
        ("regular", plain),
        ("offset", replace(plain, offset_gap=sizes["offset_gap"])),
        ("laminated", laminated),
        ("padded", replace(plain, pad_width=sizes["pad_width"], pad_thickness=sizes["pad_thickness"])),
    ]


NEEDS = ("offset_gap", "lamination_width", "lamination_thickness", "pad_width", "pad_thickness")
_CAPTIONS = {
    "regular": "Regular: the faces meet when it is shut empty.",
    "offset": "Offset: a gap is left when it is shut.",
    "laminated": "Laminated: a strip makes the face thicker.",
    "padded": "Padded: rubber on each face.",
}
_PARTS = {
    "regular": ("loose", "jaw"),
    "offset": ("loose", "jaw"),
    "laminated": ("lamination", "strip"),
    "padded": ("pad", "pad"),
}


def jaws(given: Given) -> str:
    """The four kinds of jaws, each shut on a limb of one thickness, seen along the hinges."""
    title = given.say("Four kinds of jaws, shut on the same foot")
    shape = given.coil
    if shape is None or any(math.isnan(given.measure(name)) for name in NEEDS):
        return refusal(given.width, title, given.say("No drawing: the jaws are not described."))
    found = kinds(shape, {name: given.measure(name) for name in NEEDS})
    high = 1.25 * (shape.outer + given.measure("lamination_width"))
    columns = 4 if given.width >= 400.0 else 2
    wide = given.width / columns - 14.0
    tall = min(max(0.4 * given.tallest, 104.0), 150.0)
    per_metre = min(wide / (2.0 * 0.036), (tall - 26.0) / (high + shape.rise))
    shown = [Panel(given.say(_CAPTIONS[name]), _one(given, name, each, per_metre)) for name, each in found]
    body, deep = panels(given.width, tall, shown, columns, numbered=False)
    body.append(scale_line(6.0, deep + 2.0, per_metre, min(0.45 * given.width, 200.0)))
    told = " ".join(one.caption for one in shown)
    return figure(given.width, deep + 28.0, body, title, told)


def _one(given: Given, name: str, shape: TrapShape, per_metre: float) -> Callable[..., Sequence[str]]:
    angle = closed_on(shape, LIMB)
    posture = Posture(name, (angle, angle), 0.55 * shape.height, limb=LIMB)

    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        scale = svg.Scale(0.0, -shape.rise, per_metre, left + 0.5 * width, top + height)
        plate = Plate(scale)
        plate.add(*trap_at(shape, posture, scale, cam_length(shape, [posture.loop_height])))
        key, words = _PARTS[name]
        side = -1.0
        middle = shape.height + 0.5 * shape.face_width
        along, across = middle, -0.5 * shape.offset_gap
        if key == "lamination":
            along, across = shape.height + shape.face_width + 0.5 * shape.lamination_width, -0.1 * shape.leg_thickness
        if key == "pad":
            across = 0.5 * shape.leg_thickness + 0.5 * shape.pad_thickness
        cosine, sine = math.cos(angle), math.sin(angle)
        at = (side * (shape.hinge_half_distance + along * cosine - across * sine), along * sine + across * cosine)
        x, y = scale.at(at)
        body = [*plate.body, svg.line([(left + 8.0, top + 18.0), (x, y)], "g hair s-p"), svg.dot(x, y, names=key)]
        body.append(svg.text(left, top + 13.0, given.say(words)))
        limb = scale.at((0.0, grip_height(shape, posture) + 0.009))
        end = (left + width - 6.0, top + 18.0)
        body += [svg.line([end, limb], "g hair s-p"), svg.dot(*limb, names="limb")]
        body.append(svg.text(left + width, top + 13.0, given.say("foot"), "end"))
        return body

    return draw
