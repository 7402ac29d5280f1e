"""The bed from above and in section, with the four points of the test."""

from __future__ import annotations

import math

from setwright.basis.units import inches
from setwright.draw import svg
from setwright.draw import trap_plan_parts as parts
from setwright.draw.plate import Given, Plate, arrow
from setwright.draw.trap_frame import figure, refusal, scale_line, turned
from setwright.draw.trap_shape import Posture
from setwright.draw.trap_state import trap_at

NEEDS = ("bed_clearance", "cover")


def bed(given: Given) -> str:
    """A bedded trap: pressed at both jaws and both levers or springs it does not rock."""
    say = given.say
    title = say("Bed and the four-point test")
    shape = given.coil or given.long
    if shape is None:
        return refusal(given.width, title, say("No drawing: no trap is described."))
    room = given.measure("bed_clearance")
    room = room if math.isfinite(room) else 0.025
    outer = parts.reach_of(shape)[1]
    along = parts.lever_tip(shape) if shape.family == "coil" else shape.end + (shape.leaf_arm or shape.spread)
    west, high = along + room, outer + room
    column = 128.0
    per_metre = min((given.width - column - 60.0) / (2.0 * west), max(0.37 * given.tallest, 84.0) / (2.0 * high))
    scale = svg.Scale(-west, high, per_metre, 44.0, 28.0)
    plate = Plate(scale)
    edge = [(-west, -high), (west, -high), (west, high), (-west, high)]
    plate.part("bed", plate.area(edge, "w-ear"), plate.area(edge, "", "url(#h-dry)"), plate.area(edge, "g inkw"))
    plate.add(*parts.frame(scale, shape))
    for side in (-1.0, 1.0):
        if shape.family == "coil":
            plate.add(*parts.lever(scale, shape, side), *parts.coils(scale, shape, side))
        elif shape.springs == 2 or side < 0:
            plate.add(*parts.leaf(scale, shape, side))
    plate.add(*parts.uprights(scale, shape))
    for side in (-1.0, 1.0):
        plate.add(*parts.jaw(scale, shape, side))
    plate.add(*parts.pan(scale, shape), *parts.dog(scale, shape))
    middle = outer - 0.5 * shape.face_width
    points = [(0.3 * shape.bar, middle), (0.3 * shape.bar, -middle), (1.1 * along, 0.0), (-1.1 * along, 0.0)]
    size = 10.0 if per_metre > 650.0 else 7.0
    for number, at in enumerate(points, 1):
        x, y = scale.at(at)
        plate.add(f'<circle class="g inkw w-pap" cx="{svg.num(x)}" cy="{svg.num(y)}" r="{size:g}"/>')
        plate.add(svg.text(x, y + 0.5 * size, str(number), "mid t-b"))
    plate.name("bed", say("bed, packed firm"), (west - 0.4 * room, 0.82 * high))
    plate.name("dogged", say("jaw, press here: 1, 2"), (0.08 * shape.bar, middle))
    key = "lever" if shape.family == "coil" else "leaf"
    words = say("lever, press here: 3, 4") if shape.family == "coil" else say("spring, press here: 3, 4")
    spot = (0.75 * along, 0.0)
    if shape.family == "coil":
        spot = (shape.pivot + 0.76 * (along - shape.pivot), shape.eye_half_opening)
    plate.name(key, words, spot)
    east, low = scale.at((west, -high))
    plate.right(east + 14.0, 20.0, low)
    left, top = scale.at((-west, high))
    plate.add(svg.level_line(top - 8.0, [left, east]))
    plate.add(svg.text(0.5 * (left + east), top - 13.0, say("bed") + f" {inches(2.0 * west, 2)}", "mid t-b"))
    plate.add(svg.upright(left - 10.0, [top, low], "g thin"))
    y = 0.5 * (top + low)
    plate.add(turned(left - 28.0, y, inches(2.0 * high, 2), "mid t-b"))
    foot = _section(plate, given, low + 20.0, west, room)
    plate.add(scale_line(6.0, foot + 6.0, per_metre, min(0.5 * given.width, 220.0)))
    told = say("Press both jaws and both levers, one after the other: nothing rocks, nothing sinks.")
    return figure(given.width, foot + 32.0, plate.body, title, told)


def _section(plate: Plate, given: Given, top: float, west: float, room: float) -> float:
    """The bed cut across the hinges under the plan; gives its lower edge [px]."""
    shape = given.coil or given.long
    assert shape is not None
    say = given.say
    cover = given.measure("cover")
    shown = cover if math.isfinite(cover) else 0.008
    per_metre = plate.scale.per_metre
    half = parts.reach_of(shape)[1] + room
    deep = shape.rise + 0.5 * shape.leg_thickness + shown
    surface = top + 12.0
    scale = svg.Scale(-west, 0.0, per_metre, plate.scale.x0, surface)
    cut = Plate(scale)
    floor = -deep - 0.05
    soil = [(-west, 0.0), (west, 0.0), (west, floor), (-west, floor)]
    cut.part("ground", cut.area(soil, "w-ear"), cut.area(soil, "", "url(#h-loam)"))
    pit = [(-half, 0.0), (-0.95 * half, -deep), (0.95 * half, -deep), (half, 0.0)]
    cut.part("cover", cut.area(pit, "w-pap"), cut.area(pit, "", "url(#h-dry)"), cut.area(pit, "g inkw"))
    cut.add(
        cut.line([(-west, 0.0), (-half, 0.0)], "g heavy s-e"), cut.line([(half, 0.0), (west, 0.0)], "g heavy s-e")
    )
    inner = svg.Scale(0.0, deep - shape.rise, per_metre, scale.at((0.0, 0.0))[0], surface)
    posture = Posture("set", (0.02, max(shape.set_angle, 0.02)), -0.4 * shape.leg_thickness, held=True)
    cut.add(*trap_at(shape, posture, inner, 0.3 * shape.height))
    said = f"{say('cover')} {inches(cover, 8)}" if math.isfinite(cover) else f"{say('cover')} ____ in"
    cut.name("cover", said, (0.9 * half, -0.5 * shown))
    cut.name("ground", say("firm ground beneath"), (0.5 * (half + west), floor + 0.014))
    bottom = scale.at((0.0, floor))[1]
    cut.right(scale.at((west, 0.0))[0] + 14.0, top - 6.0, bottom + 10.0)
    for side in (-1.0, 1.0):
        x, y = scale.at((side * 0.75 * half, 0.0))
        cut.add(*arrow((x, y - 26.0), (x, y - 4.0)))
    plate.add(*cut.body)
    return bottom
