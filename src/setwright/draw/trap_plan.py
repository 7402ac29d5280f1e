"""Plan of a set trap, true to its own dimensions: jaws lying open, frame, pan, dog, springs, chain, spread."""

from __future__ import annotations

import math
from dataclasses import replace

from setwright.draw import svg
from setwright.draw import trap_plan_chain as chain
from setwright.draw import trap_plan_parts as parts
from setwright.draw.trap_frame import (
    GAP,
    LETTER,
    LINE,
    PHONE,
    Callout,
    column,
    figure,
    named,
    part_names,
    refusal,
    scale_line,
    sized,
    turned,
)
from setwright.draw.trap_shape import TrapShape

_FOOT = 34.0
# Parts that are alike on both sides, lettered on the right of a narrow plan.
_RIGHT = {"dogged", "dog", "notch", "coil", "ear", "base", "pad", "second"}
_USUAL = "Base, uprights, cross, dog and chain: usual form, not measured."


def plan_view(shape: TrapShape, width: float, tallest: float = 470.0, letters: bool | None = None) -> str:
    """Draw the set trap from above at one scale.

    Parameters
    ----------
    shape : TrapShape
        Dimensions of the trap.
    width : float [px]
        Width of the drawing.
    tallest : float [px]
        Greatest height of the drawing; the scale shrinks to keep it.
    letters : bool, optional
        Put letters on the parts in place of names (`trap_keys` lists them); by default on a narrow drawing.

    Returns
    -------
    str
        The drawing, or words in its place when the dimensions are no trap.

    """
    narrow = width < PHONE if letters is None else letters
    title = f"Plan of the set trap: {'coil-spring' if shape.family == 'coil' else 'long-spring'}, to scale"
    if not math.isfinite(shape.spread) or shape.spread <= 0.0 or not 0.0 < shape.height < shape.spread:
        return refusal(width, title, "No plan: spread and height of the jaws are not known.")
    left, low, right, high = _bounds(shape)
    known = _places(shape)
    keys = [key for key, _, _ in part_names(shape) if key in known and key != "pan"]
    probe = named(shape, dict.fromkeys(known, (0.0, 0.0)), narrow)
    gutter = 20.0
    if not narrow:
        gutter = 10.0 + max(max(svg.length_of(each.words), svg.length_of(each.size, 13.5)) for each in probe)
    rows = sum(LINE * (2 if each.size else 1) + GAP + 1.0 for each in probe)
    side = 30.0
    if narrow:
        # Letters stand on both sides.
        right_hand = sum(key in _RIGHT for key in keys)
        rows = (LETTER + GAP) * max(right_hand, len(keys) - right_hand + 1)
        side += 20.0
    room = max(tallest - _FOOT - 4.0, 60.0)
    per_metre = min((width - gutter - side - 6.0) / (right - left), room / (high - low))
    wide = (right - left) * per_metre
    tall = (high - low) * per_metre
    deep = max(tall, rows)
    # Names and trap stand together in the middle; what the names need more than the trap is shared above and below.
    x0 = gutter + 4.0 + 0.5 * (width - gutter - side - 6.0 - wide)
    scale = svg.Scale(left, high, per_metre, x0, 2.0 + 0.5 * (deep - tall))
    body = _trap(scale, shape)
    places = {key: scale.at(place) for key, place in known.items()}
    callouts = named(shape, places, narrow)
    on_it = _on_the_pan(shape, callouts, places["pan"], scale)
    if on_it:
        callouts = [each for each in callouts if each.place != places["pan"]]
        body += on_it
    body += _spread(scale, shape, x0 + wide + side - 20.0, deep + 36.0)
    across = {
        scale.at(known[key]): scale.at((-known[key][0], known[key][1])) for key in keys if narrow and key in _RIGHT
    }
    body += column([each for each in callouts if each.place not in across], x0 - 10.0, 2.0, deep + 2.0)
    beside = [replace(each, place=across[each.place]) for each in callouts if each.place in across]
    body += column(beside, x0 + wide + 10.0, 2.0, deep + 2.0, right=True)
    foot = deep + 12.0
    body.append(scale_line(6.0, foot, per_metre, min(0.45 * width, 260.0)))
    return figure(width, foot + 24.0, body, title, _said(shape))


def _on_the_pan(shape: TrapShape, callouts: list[Callout], place: svg.Point, scale: svg.Scale) -> list[str]:
    """The name of the pan on the pan itself, where it is large enough."""
    callout = next(each for each in callouts if each.place == place)
    x, y = scale.at((0.0, 0.0))
    radius = shape.pan * scale.per_metre
    if not callout.size:
        return [svg.text(x, y + 5.0, callout.words, "mid")] if radius >= 12.0 else []
    if radius < 34.0 or shape.pan_radius is None:
        return []
    inch, millimetres = sized(2.0 * shape.pan).split(" (")
    body = [svg.text(x, y - 12.0, callout.words, "mid"), svg.text(x, y + 5.0, inch, "mid t-s f-p")]
    return [*body, svg.text(x, y + 5.0 + LINE, f"({millimetres}", "mid t-s f-p")]


def _trap(scale: svg.Scale, shape: TrapShape) -> list[str]:
    """All parts, the lowest first."""
    body = [*chain.chain(scale, shape, _links(shape)), *parts.frame(scale, shape), *parts.guard(scale, shape)]
    sides = (-1.0, 1.0) if shape.family == "coil" or shape.springs == 2 else (-1.0,)
    for side in sides:
        if shape.family == "coil":
            body += [*parts.lever(scale, shape, side), *parts.coils(scale, shape, side)]
        else:
            body += parts.leaf(scale, shape, side)
    body += parts.uprights(scale, shape)
    for side in (-1.0, 1.0):
        body += parts.jaw(scale, shape, side)
    return [*body, *parts.pan(scale, shape), *parts.dog(scale, shape)]


def _links(shape: TrapShape) -> int:
    """Links that bring the chain just past the jaw that it lies under."""
    if shape.swivel_place == "end":
        return 3
    start = chain.chain_start(shape)[0][1]
    return math.ceil((parts.reach_of(shape)[1] + start) / (0.085 * shape.spread)) + 1


def _bounds(shape: TrapShape) -> tuple[float, float, float, float]:
    """Left, low, right, high of all that is drawn [m]."""
    pad = 0.02 * shape.spread
    outer = parts.reach_of(shape)[1] + (0.0 if shape.lamination_side == "inside" else shape.lamination_width)
    half, high, low = shape.base_half_length, max(outer, parts.dog_post(shape) + 0.01 * shape.spread), -outer
    if shape.family == "coil":
        half = max(half, parts.lever_tip(shape))
    else:
        arm = (shape.leaf_arm or shape.spread) + (shape.leaf_bend or 0.08 * shape.spread)
        wide = 0.5 * (shape.leaf_width or 0.16 * shape.spread)
        about = max(shape.eye_half_opening + shape.edge_radius, wide)
        half = max(
            half, shape.end + about, shape.end + arm * math.cos(shape.leaf_turn) + wide * math.sin(shape.leaf_turn)
        )
        high = max(high, arm * math.sin(shape.leaf_turn) + wide * math.cos(shape.leaf_turn))
    left, right = -half, half
    if shape.family == "long" and shape.springs == 1:
        right = shape.base_half_length
    if shape.guard_length is not None:
        low = min(low, -shape.guard_length - shape.leg_thickness)
    if shape.swivel_place is not None:
        (u, v), (du, dv) = chain.chain_start(shape)
        long = 0.021 * shape.spread + (_links(shape) + 0.25) * 0.085 * shape.spread
        left, right = min(left, u + du * long), max(right, u + du * long)
        low = min(low, v + dv * long)
    return left - pad, low - pad, right + pad, high + pad


def _places(shape: TrapShape) -> dict[str, svg.Point]:
    """Where the leader of each part ends [m]; on the left half, where the names stand."""
    inner, outer = parts.reach_of(shape)
    middle = 0.5 * (inner + outer)
    notch = shape.pan + 0.11 * shape.pan + 0.03 * shape.spread
    a, end = shape.hinge_half_distance, shape.end
    straight = end - 0.5 * shape.face_width - 0.35 * shape.height
    # A pad hides the bar: the name then points to the leg.
    bar = (-end, 0.55 * inner) if shape.pad_width > 0.0 else (-0.7 * straight, middle)
    found = {
        "dogged": bar,
        "loose": (bar[0], -bar[1]),
        "notch": (-0.4 * shape.pan, notch),
        "pan": (-0.6 * shape.pan, -0.35 * shape.pan),
        "ear": (-end - 0.5 * shape.face_width - 0.8 * parts.ear_thickness(shape), -a - 0.5 * shape.leg_thickness),
        "base": (-_bare_base(shape), -0.75 * shape.base_half_width),
        "cross": (-0.9 * shape.cross_half_width, 0.6 * notch + 0.4 * min(inner, parts.dog_post(shape))),
        "offset": (-straight, 0.4 * inner + 0.6 * outer),
        "second": (-0.5 * end, a + 0.8 * (inner - a)),
        "dog": (-0.02 * shape.spread, 0.5 * (notch + inner)),
    }
    if shape.dogless:
        found["notch"] = (-0.02 * shape.spread, 0.5 * (notch + inner))
    strip = min(0.4 * shape.bar, straight)
    beside = (
        inner - 0.5 * shape.lamination_width
        if shape.lamination_side == "inside"
        else (outer + 0.5 * shape.lamination_width)
    )
    found["lamination"] = (-0.85 * strip, beside)
    found["pad"] = (-0.9 * strip, middle)
    if shape.family == "coil":
        tip, wide = parts.lever_tip(shape), shape.eye_half_opening
        found["lever"] = (-tip + 0.15 * (tip - shape.pivot), wide)
        found["eye"] = (-tip + shape.edge_radius, 0.0)
        wound = (shape.wire_diameter or 0.028 * shape.spread) * shape.coil_turns
        low = 0.8 * wound if shape.springs == 4 else 0.42 * wound
        found["coil"] = (-shape.pivot - 0.8 * parts.coil_radius(shape), -low)
    else:
        about = (-end, 0.0)
        arm = shape.leaf_arm or shape.spread
        swing = -shape.leaf_turn
        found["leaf"] = parts.spun([(-end - 0.6 * arm, 0.0)], about, swing)[0]
        found["eye"] = parts.spun([(-end - shape.eye_half_opening, 0.0)], about, swing + 0.55)[0]
    if shape.guard_length is not None:
        found["guard"] = (-0.5 * end, -shape.guard_length)
    if shape.swivel_place is not None:
        (u, v), (du, dv) = chain.chain_start(shape)
        found["swivel"] = (u, v)
        near = 0.021 * shape.spread + (_links(shape) - 0.4) * 0.085 * shape.spread
        # The last link lies open or on edge: the leader ends on its steel, not in its hole.
        aside = chain.LINK_HALF * shape.spread if _links(shape) % 2 else 0.0
        found["chain"] = (u + du * near - dv * aside, v + dv * near + du * aside)
    return found


def _bare_base(shape: TrapShape) -> float:
    """Middle of a stretch of the base that neither pan nor coil covers [m along]."""
    if shape.family == "long":
        return 0.5 * (shape.pan + shape.end)
    inner, outer = shape.pivot - parts.coil_radius(shape), shape.pivot + parts.coil_radius(shape)
    if inner > shape.pan + 0.001:
        return 0.5 * (shape.pan + inner)
    return 0.5 * (max(shape.pan, outer) + shape.end - 0.5 * shape.face_width)


def _spread(scale: svg.Scale, shape: TrapShape, x: float, bottom: float) -> list[str]:
    """The spread as a dimension beside the trap, between the inner edges of the bars."""
    inner, _ = parts.reach_of(shape)
    straight = 0.4 * shape.bar
    ends = [scale.at((straight, side * inner)) for side in (1.0, -1.0)]
    body = [svg.line([(start[0] + 3.0, start[1]), (x + 5.0, start[1])], "g hair s-p") for start in ends]
    body.append(svg.upright(x, [ends[0][1], ends[1][1]], "g thin spread"))
    said = f"spread {sized(shape.spread)}, inside the jaws"
    if svg.length_of(said) > ends[1][1] - ends[0][1]:
        said = f"spread {sized(shape.spread)}"
    half = 0.5 * svg.length_of(said) + 4.0
    middle = min(max(0.5 * (ends[0][1] + ends[1][1]), half), max(bottom - half, half))
    return [*body, turned(x + 7.0, middle, said, "mid")]


def _said(shape: TrapShape) -> str:
    springs = f"{shape.springs} coils on two levers" if shape.family == "coil" else f"{shape.springs} long-spring(s)"
    held = "no dog, the pan holds the jaw" if shape.dogless else "dog over the dogged jaw into the pan notch"
    return f"From above, set: jaws open flat, spread {sized(shape.spread)}, {springs}, {held}. {_USUAL}"
