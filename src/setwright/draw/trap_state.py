"""One state of a trap cut across its hinges: base, upright, levers or eyes, jaws, pan and dog, and what is held."""

from __future__ import annotations

import math
from collections.abc import Sequence

from setwright.draw import svg
from setwright.draw.trap_shape import Posture, TrapShape, jaw_section, strips, to_world

_STEEL = "g inkw w-pap"


def trap_at(shape: TrapShape, posture: Posture, scale: svg.Scale, cam: float) -> list[str]:
    """The trap in one state: base, upright, levers or eyes, jaws, pan and dog, and the limb between the faces."""
    body = base_of(shape, scale)
    if posture.limb is not None:
        body.append(_limb(shape, posture, scale))
    body += _eye_behind(shape, posture, scale)
    outline = jaw_section(shape, cam)
    for side, angle in zip((-1.0, 1.0), posture.angles, strict=True):
        key = "dogged" if side > 0.0 else "loose"
        body.append(svg.part(key, [_area(scale, to_world(shape, angle, side, outline), f"{_STEEL} jaw")]))
        # The strip is cut with the bar; the leg stands behind it.
        for name, strip in strips(shape):
            drawn = _area(scale, to_world(shape, angle, side, strip), f"{_STEEL} {name}")
            body.append(svg.part(name, [drawn]))
        seam = [
            (shape.height, 0.5 * shape.leg_thickness - 0.5 * shape.offset_gap),
            (shape.height, -0.5 * shape.leg_thickness - 0.5 * shape.offset_gap),
        ]
        body.append(svg.line(scale.path(to_world(shape, angle, side, seam)), "g thin"))
        pin = scale.at((side * shape.hinge_half_distance, 0.0))
        size = svg.num(max(0.18 * shape.leg_thickness * scale.per_metre, 1.4))
        body.append(f'<circle class="f-i" cx="{svg.num(pin[0])}" cy="{svg.num(pin[1])}" r="{size}"/>')
    body += _eye(shape, posture, scale)
    return body + trigger_of(shape, posture, scale)


def _area(scale: svg.Scale, outline: Sequence[svg.Point], classes: str = _STEEL) -> str:
    return svg.area(scale.path(outline), classes)


def _box(left: float, low: float, right: float, high: float) -> list[svg.Point]:
    return [(left, low), (right, low), (right, high), (left, high)]


def base_reach(shape: TrapShape) -> float:
    """Half the base across the hinge line as it is drawn [m]: it stands out from under the upright."""
    return max(shape.base_half_width, shape.hinge_half_distance + shape.leg_thickness + 0.045 * shape.spread)


def base_of(shape: TrapShape, scale: svg.Scale) -> list[str]:
    """Base and upright, which stand still."""
    thick = 0.03 * shape.spread
    ear = shape.hinge_half_distance + shape.leg_thickness
    wide = base_reach(shape)
    upright = _box(-ear, -shape.rise + thick, ear, 0.6 * shape.leg_thickness + 0.01 * shape.spread)
    base = _area(scale, _box(-wide, -shape.rise, wide, -shape.rise + thick))
    return [svg.part("base", [base]), svg.part("ear", [_area(scale, upright)])]


def _eye_behind(shape: TrapShape, posture: Posture, scale: svg.Scale) -> list[str]:
    """The outer bar of the lever or the far side of the spring eye, behind the jaws."""
    h, w = posture.loop_height, shape.eye_half_opening
    body = [svg.line(scale.path([(-w, h), (w, h)]), "g inkw dash")]
    if shape.family == "coil" and shape.pivot_height is not None:
        for side in (-1.0, 1.0):
            r = shape.edge_radius
            arm = _box(side * w - r, min(shape.pivot_height, h), side * w + r, max(shape.pivot_height, h))
            body.append(_area(scale, arm, "g thin w-pap"))
    return body


def _eye(shape: TrapShape, posture: Posture, scale: svg.Scale) -> list[str]:
    """The edges of the eye, cut through, where they bear on the legs."""
    body = []
    r = svg.num(max(shape.edge_radius * scale.per_metre, 1.6))
    for side in (-1.0, 1.0):
        x, y = scale.at((side * shape.eye_half_opening, posture.loop_height))
        body.append(f'<circle class="f-i eye" cx="{svg.num(x)}" cy="{svg.num(y)}" r="{r}"/>')
    return [svg.part("eye", body)]


def _limb(shape: TrapShape, posture: Posture, scale: svg.Scale) -> str:
    """What is held, as an oval as wide as it is thick, at the height of the bars."""
    height = grip_height(shape, posture)
    x, y = scale.at((0.0, height))
    half = 0.5 * (posture.limb or 0.0) * scale.per_metre
    place = f'cx="{svg.num(x)}" cy="{svg.num(y)}" rx="{svg.num(half)}" ry="{svg.num(1.15 * half)}"'
    return svg.part("limb", [f'<ellipse class="g inkw w-ear limb" {place}/>'])


def grip_height(shape: TrapShape, posture: Posture) -> float:
    """Height over the hinge line at which the faces bear [m]."""
    face = 0.5 * shape.leg_thickness + shape.pad_thickness
    return sum(shape.height * math.sin(angle) + face * math.cos(angle) for angle in posture.angles) / 2.0


def trigger_of(shape: TrapShape, posture: Posture, scale: svg.Scale) -> list[str]:
    """Pan and dog while the dog holds; after the release the pan hangs lower and the dog is thrown clear."""
    if not posture.held:
        return []
    thick = 0.012 * shape.spread
    sine, cosine = math.sin(posture.angles[1]), math.cos(posture.angles[1])
    level = (shape.hinge_half_distance + shape.height) * sine
    top = shape.height * sine + 0.5 * shape.leg_thickness + thick
    post = [(0.0, -shape.rise + 0.03 * shape.spread), (0.0, level)]
    body = [svg.line(scale.path(post), "g inkw")]
    plate = svg.line(scale.path([(-shape.pan, level), (shape.pan, level)]), "g heavy pan")
    body.append(svg.part("pan", [plate]))
    if shape.dogless:
        on_the_jaw = (shape.hinge_half_distance + (shape.height + 0.5 * shape.face_width) * cosine, top)
        tongue = svg.line(scale.path([(shape.pan, level), on_the_jaw]), "g inkw tongue")
        return [*body, svg.part("notch", [tongue])]
    hinge = dog_hinge(shape, posture)
    over = shape.hinge_half_distance + shape.height * cosine
    notch = shape.pan + 0.045 * shape.spread
    tip = level + 0.4 * thick
    step = svg.line(scale.path([(shape.pan, level), (notch - 0.01 * shape.spread, level)]), "g heavy")
    body.append(svg.part("notch", [step]))
    body.append(svg.line(scale.path([(0.0, -shape.rise), (hinge[0], -shape.rise), hinge]), "g inkw"))
    dog = [hinge, (over, max(top, tip)), (notch - 0.03 * shape.spread, tip)]
    return [*body, svg.part("dog", [svg.line(scale.path(dog), "g inkw dog")])]


def dog_hinge(shape: TrapShape, posture: Posture) -> svg.Point:
    """Where the dog is hinged, outside the dogged jaw [m]."""
    far = shape.hinge_half_distance + shape.outer * math.cos(posture.angles[1]) + 0.05 * shape.spread
    return far, shape.height * math.sin(posture.angles[1]) + 0.5 * shape.leg_thickness + 0.012 * shape.spread
