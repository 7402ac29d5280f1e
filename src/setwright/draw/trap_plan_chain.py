"""Swivel and first links of the chain, seen from above, where they leave the trap."""

from __future__ import annotations

import math

from setwright.draw import svg
from setwright.draw import trap_plan_parts as parts
from setwright.draw.trap_frame import arc
from setwright.draw.trap_shape import TrapShape

# Half the width of a link that lies open, as a share of the jaw spread.
LINK_HALF = 0.024


def chain_start(shape: TrapShape) -> tuple[svg.Point, svg.Point]:
    """Place of the swivel and the direction in which the chain leaves."""
    if shape.swivel_place == "end":
        # At the end without a spring where there is one, clear of the lever or leaf.
        side = 1.0 if shape.family == "long" and shape.springs == 1 else -1.0
        tip = parts.lever_tip(shape) if shape.family == "coil" else shape.end + shape.eye_half_opening
        if shape.family == "long" and shape.springs == 2 and abs(shape.leaf_turn) < 0.5:
            tip = shape.end + (shape.leaf_arm or shape.spread) + (shape.leaf_bend or 0.0)
        if shape.family == "long" and shape.springs == 1:
            tip = shape.base_half_length
        return (side * (tip + 0.05 * shape.spread), 0.0), (side, 0.0)
    u = -0.3 * shape.bar if shape.swivel_place == "side" else -0.14 * shape.spread - 0.35 * shape.pan
    return (u, -shape.base_half_width - 0.04 * shape.spread), (0.0, -1.0)


def chain(scale: svg.Scale, shape: TrapShape, links: int) -> list[str]:
    """The swivel and the first links of the chain, broken off."""
    if shape.swivel_place is None:
        return []
    (u, v), (du, dv) = chain_start(shape)
    size = 0.035 * shape.spread
    body = []
    # A strap or a tab back to the base holds the swivel.
    strap = [(u - dv * size, v + abs(du) * size), (u - du * 3.0 * size, v - dv * 3.0 * size)]
    strap.append((u + dv * size, v - abs(du) * size))
    if shape.swivel_place == "end":
        near, far = sorted((u, math.copysign(shape.base_half_length, u)))
        strap = parts.box(near, -0.4 * size, far, 0.4 * size)
    body.append(parts.solid(scale, strap, parts.STEEL))
    x, y = scale.at((u, v))
    step = 0.085 * shape.spread
    drawn = []
    for index in range(links):
        near = size * 0.6 + index * step
        far = near + 1.25 * step
        ends = scale.path([(u + du * near, v + dv * near), (u + du * far, v + dv * far)])
        if index % 2 == 0:
            half = LINK_HALF * shape.spread
            link = [
                *arc((u + du * (near + half), v + dv * (near + half)), half, *_half_turn(du, dv, back=True)),
                *arc((u + du * (far - half), v + dv * (far - half)), half, *_half_turn(du, dv, back=False)),
            ]
            drawn.append(parts.solid(scale, link, "g inkw"))
        else:
            drawn.append(svg.line(ends, "g heavy"))
    size_px = svg.num(size * scale.per_metre)
    round_it = f'<circle class="{parts.STEEL} swivel" cx="{svg.num(x)}" cy="{svg.num(y)}" r="{size_px}"/>'
    return [*body, svg.part("chain", drawn), svg.part("swivel", [round_it])]


def _half_turn(du: float, dv: float, *, back: bool) -> tuple[float, float]:
    heading = math.atan2(dv, du)
    start = heading + 0.5 * math.pi if back else heading - 0.5 * math.pi
    return start, start + math.pi
