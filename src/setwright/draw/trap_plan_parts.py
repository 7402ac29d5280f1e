"""Parts of a trap seen from above: outlines along and across the hinge line, drawn at a given scale."""

from __future__ import annotations

import math
from collections.abc import Sequence

from setwright.draw import svg
from setwright.draw.trap_frame import arc
from setwright.draw.trap_shape import TrapShape

STEEL = "g inkw w-pap"
THIN = "g thin w-pap"


def ring(scale: svg.Scale, outer: Sequence[svg.Point], inner: Sequence[svg.Point], classes: str = STEEL) -> str:
    """A closed outline with an opening."""
    rule = ' fill-rule="evenodd"'
    return f'<path class="{classes}"{rule} d="{svg.points(scale.path(outer))}Z{svg.points(scale.path(inner))}Z"/>'


def solid(scale: svg.Scale, outline: Sequence[svg.Point], classes: str = STEEL) -> str:
    """A closed outline."""
    return f'<path class="{classes}" d="{svg.points(scale.path(outline))}Z"/>'


def box(left: float, low: float, right: float, high: float) -> list[svg.Point]:
    """A rectangle."""
    return [(left, low), (right, low), (right, high), (left, high)]


def bow(half: float, foot: float, top: float, corner: float) -> list[svg.Point]:
    """A line up one leg, round the corner, along the bar and down the other leg."""
    corner = max(min(corner, half, top - foot), 0.0)
    left = arc((-half + corner, top - corner), corner, math.pi, 0.5 * math.pi)
    right = arc((half - corner, top - corner), corner, 0.5 * math.pi, 0.0)
    return [(-half, foot), *left, *right, (half, foot)]


def across(outline: Sequence[svg.Point], side: float) -> list[svg.Point]:
    """The outline on the side of the dogged jaw (1) or of the loose jaw (-1)."""
    return [(u, side * v) for u, v in outline]


def spun(outline: Sequence[svg.Point], about: svg.Point, turn: float) -> list[svg.Point]:
    """The outline turned about a point."""
    cosine, sine = math.cos(turn), math.sin(turn)
    return [
        (
            about[0] + (u - about[0]) * cosine - (v - about[1]) * sine,
            about[1] + (u - about[0]) * sine + (v - about[1]) * cosine,
        )
        for u, v in outline
    ]


def reach_of(shape: TrapShape) -> tuple[float, float]:
    """Inner and outer edge of the set jaw's bar from the hinge line's middle, as seen from above [m]."""
    flat = math.cos(shape.set_angle)
    inner = shape.hinge_half_distance + shape.height * flat
    return inner, inner + shape.face_width * flat


def jaw(scale: svg.Scale, shape: TrapShape, side: float) -> list[str]:
    """One jaw lying open, face up, with its strip, pad, offset and second bar."""
    inner, outer = reach_of(shape)
    half, foot = 0.5 * shape.face_width, shape.hinge_half_distance - 0.5 * shape.leg_thickness
    corner = 0.35 * shape.height
    line = [
        *bow(shape.end + half, foot, outer, corner + shape.face_width),
        *reversed(bow(shape.end - half, foot, inner, corner)),
    ]
    body = [svg.part("dogged" if side > 0.0 else "loose", [solid(scale, across(line, side), f"{STEEL} jaw")])]
    straight = shape.end - half - corner
    if shape.double:
        second = shape.hinge_half_distance + 0.8 * (inner - shape.hinge_half_distance)
        bar = box(-shape.end + half, second - half, shape.end - half, second + half)
        body.append(svg.part("second", [solid(scale, across(bar, side), THIN)]))
    strip = min(0.4 * shape.bar, straight)
    if shape.lamination_width > 0.0:
        low = inner - shape.lamination_width if shape.lamination_side == "inside" else outer
        kind = f"{STEEL}{'' if shape.lamination_side else ' dash'} lamination"
        lying = across(box(-strip, low, strip, low + shape.lamination_width), side)
        body.append(svg.part("lamination", [solid(scale, lying, kind)]))
    if shape.pad_width > 0.0:
        middle = 0.5 * (inner + outer)
        pad = across(box(-strip, middle - 0.5 * shape.pad_width, strip, middle + 0.5 * shape.pad_width), side)
        drawn = [solid(scale, pad, f"{STEEL} pad"), svg.area(scale.path(pad), "", "url(#h-dry)")]
        body.append(svg.part("pad", drawn))
    if shape.offset_gap > 0.0:
        steps = [across([(end, inner), (end, outer)], side) for end in (-straight, straight)]
        body.append(svg.part("offset", [svg.line(scale.path(step), "g thin") for step in steps]))
    return body


def frame(scale: svg.Scale, shape: TrapShape) -> list[str]:
    """Base along the hinge line, cross to the dog, uprights at the jaw ends."""
    wide, long = shape.base_half_width, shape.base_half_length
    cross = shape.cross_half_width
    body = [svg.part("cross", [solid(scale, box(-cross, 0.0, cross, dog_post(shape)), STEEL)])]
    body.append(svg.part("base", [solid(scale, box(-long, -wide, long, wide), STEEL)]))
    return body


def ear_thickness(shape: TrapShape) -> float:
    """Thickness of the upright that holds the jaw pins [m]."""
    return max(0.02 * shape.spread, 0.002)


def uprights(scale: svg.Scale, shape: TrapShape) -> list[str]:
    """The ears that hold the jaw pins, and the pins."""
    start = shape.end + 0.5 * shape.face_width
    thick = ear_thickness(shape)
    half = shape.hinge_half_distance + shape.leg_thickness
    body = []
    for side in (-1.0, 1.0):
        left, right = sorted((side * start, side * (start + thick)))
        body.append(solid(scale, box(left, -half, right, half), STEEL))
        for hinge in (-shape.hinge_half_distance, shape.hinge_half_distance):
            pin = [(side * (start + thick), hinge), (side * (shape.end - 0.5 * shape.face_width), hinge)]
            body.append(svg.line(scale.path(pin), "g thin dash"))
    return [svg.part("ear", body)]


def dog_post(shape: TrapShape) -> float:
    """End of the cross, where the dog is hinged [m across]."""
    inner, outer = reach_of(shape)
    strip = 0.0 if shape.lamination_side == "inside" else shape.lamination_width
    pad = max(0.5 * (shape.pad_width - shape.face_width), 0.0)
    return outer + max(strip, pad) + 0.05 * shape.spread if not shape.dogless else inner * 0.6


def pan(scale: svg.Scale, shape: TrapShape) -> list[str]:
    """The pan on its post, with the notch on the dog's side."""
    radius, tongue = shape.pan, 0.11 * shape.pan + 0.03 * shape.spread
    notch = 0.35 * radius
    x, y = scale.at((0.0, 0.0))
    size = svg.num(radius * scale.per_metre)
    disc = f'<circle class="{STEEL} pan" cx="{svg.num(x)}" cy="{svg.num(y)}" r="{size}"/>'
    step = svg.line(scale.path([(-1.3 * notch, radius + tongue), (1.3 * notch, radius + tongue)]), "g heavy")
    held = solid(scale, box(-notch, 0.8 * radius, notch, radius + tongue), STEEL)
    return [svg.part("notch", [held]), svg.part("pan", [disc]), svg.part("notch", [step])]


def dog(scale: svg.Scale, shape: TrapShape) -> list[str]:
    """The dog from its hinge over the jaw to the notch; on a dogless trap the tongue of the pan over the jaw."""
    inner, outer = reach_of(shape)
    notch = shape.pan + 0.11 * shape.pan + 0.03 * shape.spread
    half = 0.028 * shape.spread
    if shape.dogless:
        # The tongue is part of the pan and ends on the jaw.
        tongue = box(-half, 0.9 * shape.pan, half, inner + 0.6 * (outer - inner))
        return [svg.part("notch", [solid(scale, tongue, f"{STEEL} tongue")])]
    post = dog_post(shape)
    body = [solid(scale, box(-half, notch - 0.015 * shape.spread, half, post + 0.01 * shape.spread), f"{STEEL} dog")]
    pin = post - 0.015 * shape.spread
    body.append(svg.line(scale.path([(-1.9 * half, pin), (1.9 * half, pin)]), "g heavy"))
    return [svg.part("dog", body)]


def lever_tip(shape: TrapShape) -> float:
    """Middle of the trap to the tip of the lever, as it lies [m along]."""
    length = shape.lever_length or 0.3 * shape.spread
    usual = length + 2.0 * shape.edge_radius if shape.eye == "round" else 1.9 * length
    return shape.pivot + (usual if shape.lever_reach is None else shape.lever_reach)


def lever(scale: svg.Scale, shape: TrapShape, side: float) -> list[str]:
    """One lever: two arms from the pivot, the eye about the jaw ends, and its tip where the foot presses."""
    length = shape.lever_length or 0.3 * shape.spread
    edge, half = shape.edge_radius, shape.eye_half_opening
    tip = lever_tip(shape)
    inside = shape.pivot + length if shape.eye == "round" else tip - 2.0 * edge
    start = shape.pivot - 1.5 * edge
    corner = 0.35 * half
    outer = [
        (start, half + edge),
        *arc((tip - corner, half + edge - corner), corner, 0.5 * math.pi, 0.0),
        *arc((tip - corner, -half - edge + corner), corner, 0.0, -0.5 * math.pi),
        (start, -half - edge),
    ]
    body = [
        ring(
            scale,
            [(side * u, v) for u, v in outer],
            [(side * u, v) for u, v in box(shape.pivot + edge, -half + edge, inside, half - edge)],
            f"{STEEL} lever",
        )
    ]
    wound = max(round(shape.coil_turns), 1) * (shape.wire_diameter or 0.028 * shape.spread)
    reach = max(half + 2.5 * edge, (1.0 if shape.springs == 4 else 0.5) * wound + edge)
    body.append(svg.line(scale.path([(side * shape.pivot, -reach), (side * shape.pivot, reach)]), "g inkw"))
    loop = [(side * u, v) for u, v in box(inside, -half + edge, tip, half - edge)]
    return [svg.part("lever", body), svg.part("eye", [svg.area(scale.path(loop), "w-pap")])]


def coil_radius(shape: TrapShape) -> float:
    """Outer radius of a coil [m]."""
    wire = shape.wire_diameter or 0.028 * shape.spread
    return 0.5 * ((shape.coil_diameter or 0.12 * shape.spread) + wire)


def coils(scale: svg.Scale, shape: TrapShape, side: float) -> list[str]:
    """The coils about the pivot of one lever, turn by turn."""
    wire = shape.wire_diameter or 0.028 * shape.spread
    radius = coil_radius(shape)
    turns = max(round(shape.coil_turns), 1)
    long = turns * wire
    starts = [-long - 0.3 * wire, 0.3 * wire] if shape.springs == 4 else [-0.5 * long]
    weight = f' stroke-width="{svg.num(0.72 * wire * scale.per_metre)}"'
    body = []
    for start in starts:
        for turn in range(turns):
            v = start + (turn + 0.5) * wire
            slant = [(side * (shape.pivot - radius), v - 0.3 * wire), (side * (shape.pivot + radius), v + 0.3 * wire)]
            body.append(svg.line(scale.path(slant), "g coil", weight))
    return [svg.part("coil", body)]


def leaf(scale: svg.Scale, shape: TrapShape, side: float) -> list[str]:
    """One long-spring: eye about the jaw ends, arm widening to the bend; swung towards the dog by its turn."""
    arm = shape.leaf_arm or shape.spread
    bend = shape.leaf_bend or 0.08 * shape.spread
    wide = 0.5 * (shape.leaf_width or 0.16 * shape.spread)
    half, edge = shape.eye_half_opening, shape.edge_radius
    about = (side * shape.end, 0.0)
    narrow = 0.55 * wide
    far = shape.end + arm + bend
    neck = shape.end + half + edge
    outline = [(neck - 0.4 * edge, narrow), (far, wide), (far, -wide), (neck - 0.4 * edge, -narrow)]
    swing = shape.leaf_turn if side > 0 else -shape.leaf_turn
    body = [solid(scale, spun([(side * u, v) for u, v in outline], about, swing), f"{STEEL} leaf")]
    fold = [(side * (far - bend), wide), (side * (far - bend), -wide)]
    body.append(svg.line(scale.path(spun(fold, about, swing)), "g thin"))
    loop = ring(
        scale, arc(about, half + edge, 0.0, 2.0 * math.pi, 28), arc(about, half - edge, 0.0, 2.0 * math.pi, 28)
    )
    return [svg.part("leaf", body), svg.part("eye", [loop])]


def guard(scale: svg.Scale, shape: TrapShape) -> list[str]:
    """The third arm lying behind the loose jaw until the jaws let it go."""
    if shape.guard_length is None:
        return []
    thick = 0.5 * shape.leg_thickness
    half = shape.end - 1.2 * shape.face_width
    line = [
        *bow(half + thick, 0.0, shape.guard_length + thick, 0.3 * half),
        *reversed(bow(half - thick, 0.0, shape.guard_length - thick, 0.3 * half)),
    ]
    return [svg.part("guard", [solid(scale, across(line, -1.0), f"{STEEL} guard")])]
