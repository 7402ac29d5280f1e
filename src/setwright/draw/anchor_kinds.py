"""Anchors in section, side by side: rod, crossed rods, cable earth anchor, drag, deep weight; places of swivels."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from setwright.basis.units import inches, pounds
from setwright.draw import svg
from setwright.draw.ground import scale_line
from setwright.draw.plate import STEEL, Given, Panel, Plate, panels
from setwright.draw.trap_frame import arc, figure

NEEDS = (
    "rod_length",
    "cross_lean",
    "plate_length",
    "plate_depth",
    "chain_rod",
    "chain_plate",
    "weight_dry",
    "weight_wet",
)
# Where a length is a blank, the picture is drawn at this size and the figure left open [m].
_ROD, _PLATE_DEPTH, _PLATE, _LEAN = 0.61, 0.61, 0.064, math.radians(40.0)
_HIGH = 0.22
SHORT = 260.0
Box = Callable[[float, float, float, float], Sequence[str]]


def _or(value: float, usual: float) -> float:
    return value if math.isfinite(value) else usual


def _size(value: float) -> str:
    return inches(value, 2) if math.isfinite(value) else "____ in"


def _silent(words: str) -> str:
    """Stands for a picture without names."""
    return words


def anchors(given: Given) -> str:
    """Four anchors on land and one under water, at one scale, with depth and length of chain."""
    say = given.say
    rod, plate_depth = given.measure("rod_length"), given.measure("plate_depth")
    deepest = max(_or(rod, _ROD), _or(plate_depth, _PLATE_DEPTH)) + 0.05
    dry, wet = given.measure("weight_dry"), given.measure("weight_wet")
    heavy = f"{pounds(dry)}, {say('in water')} {pounds(wet)}" if math.isfinite(dry + wet) else "____ lb"
    # Where there is little room the pictures stand in one row under their names alone.
    short = given.tallest < SHORT
    draw = (_rod, _crossed, _plate, _drag, _weight)
    names = [say(words) for words in ("Rod", "Crossed rods", "Cable earth anchor", "Drag", "Deep weight")]
    more = [
        f": {_size(rod)}. {say('Chain')} {_size(given.measure('chain_rod'))}+.",
        f": {_size(rod)}, {say('one ring')}.",
        f". {say('Chain to')} {_size(given.measure('chain_plate'))}.",
        f", {say('where rules allow.')}",
        f": {heavy}.",
    ]
    captions = names if short else [f"{name}{words}" for name, words in zip(names, more, strict=True)]
    bare = replace(given, say=_silent) if short else given
    shown = [Panel(words, one(bare, deepest)) for words, one in zip(captions, draw, strict=True)]
    columns = 5 if given.width >= 500.0 or short else 3 if given.width >= 400.0 else 2
    wide = given.width / columns - 14.0
    rows = -(-len(shown) // columns)
    tall = min(min(wide / 0.5, 220.0) * (deepest + _HIGH) + 28.0, max(given.tallest / rows - 62.0, 88.0))
    body, high = panels(given.width, tall, shown, columns)
    per_metre = min(wide / 0.5, (tall - 28.0) / (deepest + _HIGH))
    body.append(scale_line(6.0, high + 2.0, per_metre, min(0.6 * given.width, 220.0)))
    title = say("Anchors in section, at one scale")
    return figure(given.width, high + 28.0, body, title, " ".join(one.caption for one in shown))


def _ground(left: float, top: float, width: float, height: float, deepest: float) -> Plate:
    """Hatched ground with the surface at height zero and a place for the chain to come in from the left."""
    per_metre = min(width / 0.5, (height - 20.0) / (deepest + _HIGH))
    half = 0.5 * width / per_metre
    plate = Plate(svg.Scale(-half, _HIGH, per_metre, left, top + 20.0))
    soil = [(-half, 0.0), (half, 0.0), (half, -deepest), (-half, -deepest)]
    plate.add(plate.area(soil, "w-ear"), plate.area(soil, "", "url(#h-loam)"))
    plate.add(plate.line([(-half, 0.0), (half, 0.0)], "g heavy s-e"))
    return plate


def _links(plate: Plate, start: svg.Point, end: svg.Point) -> None:
    """A chain between two points, link by link."""
    (x1, y1), (x2, y2) = plate.scale.at(start), plate.scale.at(end)
    long = math.hypot(x2 - x1, y2 - y1)
    count = max(int(long / 8.0), 1)
    heading = math.degrees(math.atan2(y2 - y1, x2 - x1))
    links = []
    for k in range(count):
        share = (k + 0.5) / count
        x, y = x1 + share * (x2 - x1), y1 + share * (y2 - y1)
        size = 0.56 * long / count
        ring = arc((0.0, 0.0), 1.0, 0.0, 2.0 * math.pi, 12)
        across = 2.6 if k % 2 == 0 and count > 1 else 0.5
        turn = math.radians(heading)
        path = [
            (
                x + size * u * math.cos(turn) - across * v * math.sin(turn),
                y + size * u * math.sin(turn) + across * v * math.cos(turn),
            )
            for u, v in ring
        ]
        links.append(svg.area(path, "g thin"))
    plate.part("chain", *links)


def _told(
    plate: Plate, given: Given, names: Sequence[tuple[str, str, svg.Point]], left: float, top: float, width: float
) -> list[str]:
    if given.say is _silent:
        return plate.body
    for key, words, at in names:
        plate.name(key, given.say(words), at)
    plate.over(top - 2.0, left, left + width)
    return plate.body


def _stake(plate: Plate, length: float, lean: float, key: str = "rod") -> None:
    tip = (length * math.sin(lean), -length * math.cos(lean))
    head = (-0.04 * math.sin(lean), 0.04 * math.cos(lean))
    half = 0.007
    nu, nz = half * math.cos(lean), half * math.sin(lean)
    point = (tip[0] + 0.02 * math.sin(lean), tip[1] - 0.02 * math.cos(lean))
    outline = [
        (head[0] + nu, head[1] + nz),
        (tip[0] + nu, tip[1] + nz),
        point,
        (tip[0] - nu, tip[1] - nz),
        (head[0] - nu, head[1] - nz),
    ]
    plate.part(key, plate.area(outline, "g thin f-i"))


def _rod(given: Given, deepest: float) -> Box:
    length = _or(given.measure("rod_length"), _ROD)

    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        plate = _ground(left, top, width, height, deepest)
        _stake(plate, length, 0.0)
        plate.part("swivel", plate.disc((0.0, 0.012), 0.016))
        _links(plate, (-0.22, 0.008), (-0.016, 0.012))
        names = (
            ("swivel", "swivel", (0.0115, 0.012)),
            ("chain", "chain", _on_chain(plate, (-0.22, 0.008), (-0.016, 0.012))),
        )
        return _told(plate, given, names, left, top, width)

    return draw


def _on_chain(plate: Plate, start: svg.Point, end: svg.Point) -> svg.Point:
    """The middle of a link of the chain that is seen on edge: its steel, not its hole."""
    (x1, y1), (x2, y2) = plate.scale.at(start), plate.scale.at(end)
    count = max(int(math.hypot(x2 - x1, y2 - y1) / 8.0), 1)
    share = ((count // 2) // 2 * 2 + 1 + 0.5) / count if count > 1 else 0.5
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def _crossed(given: Given, deepest: float) -> Box:
    length = _or(given.measure("rod_length"), _ROD)
    lean = _or(given.measure("cross_lean"), _LEAN)

    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        plate = _ground(left, top, width, height, deepest)
        # Only as much of each rod as the box has room for: the break is marked.
        room = 0.5 * width / plate.scale.per_metre - 0.015
        shown = min(length, room / math.sin(lean)) if math.sin(lean) > 0 else length
        for side in (lean, -lean):
            _stake(plate, shown, side)
        plate.part("ring", plate.disc((0.0, 0.0), 0.02))
        names = (
            ("ring", "one ring", (0.0, 0.0)),
            ("rod", "rods", (0.5 * shown * math.sin(lean), -0.5 * shown * math.cos(lean))),
        )
        return _told(plate, given, names, left, top, width)

    return draw


def _plate(given: Given, deepest: float) -> Box:
    depth = _or(given.measure("plate_depth"), _PLATE_DEPTH)
    half = 0.5 * _or(given.measure("plate_length"), _PLATE)

    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        plate = _ground(left, top, width, height, deepest)
        plate.part("cable", plate.line([(0.0, -depth), (0.0, 0.01)], "g inkw"))
        flat = [(-half, -depth - 0.008), (half, -depth - 0.008), (half, -depth + 0.006), (-half, -depth + 0.006)]
        driven = [(-0.004, -depth - 0.02 + 2.0 * half), (-0.004, -depth - 0.02)]
        plate.add(plate.line([(u - 0.01, z) for u, z in driven], "g thin dash"))
        plate.part("plate", plate.area(flat, "g thin f-i"))
        plate.part("ring", plate.disc((0.0, 0.012), 0.014))
        _links(plate, (-0.14, 0.008), (-0.014, 0.012))
        names = (("cable", "cable", (0.0, -0.3 * depth)), ("plate", "plate, turned", (0.6 * half, -depth - 0.001)))
        return _told(plate, given, names, left, top, width)

    return draw


def _drag(given: Given, deepest: float) -> Box:
    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        plate = _ground(left, top, width, height, deepest)
        shank = [(-0.02, 0.012), (0.16, 0.012)]
        prongs = [[(0.16, 0.012), (0.13, 0.075), (0.08, 0.06)], [(0.16, 0.012), (0.13, -0.05), (0.08, -0.035)]]
        plate.part("drag", plate.line(shank, "g heavy"), *(plate.line(each, "g heavy") for each in prongs))
        _links(plate, (-0.22, 0.006), (-0.02, 0.012))
        names = (
            ("drag", "drag", (0.1, 0.012)),
            ("chain", "long chain", _on_chain(plate, (-0.22, 0.006), (-0.02, 0.012))),
        )
        return _told(plate, given, names, left, top, width)

    return draw


def _weight(given: Given, deepest: float) -> Box:
    def draw(left: float, top: float, width: float, height: float) -> list[str]:
        per_metre = min(width / 0.5, (height - 20.0) / (deepest + _HIGH))
        half = 0.5 * width / per_metre
        plate = Plate(svg.Scale(-half, _HIGH, per_metre, left, top + 20.0))
        level, bed = _HIGH - 0.06, -deepest + 0.12
        water = [(-half, level), (half, level), (half, bed), (-half, bed)]
        plate.add(plate.area(water, "w-wat"), plate.area(water, "", "url(#h-water)"))
        soil = [(-half, bed), (half, bed), (half, -deepest), (-half, -deepest)]
        plate.add(plate.area(soil, "w-ear"), plate.area(soil, "", "url(#h-muck)"))
        plate.add(
            plate.line([(-half, level), (half, level)], "g inkw s-w"),
            plate.line([(-half, bed), (half, bed)], "g heavy s-e"),
        )
        block = [(-0.09, bed), (0.09, bed), (0.09, bed + 0.15), (-0.09, bed + 0.15)]
        plate.part("cable", plate.line([(-half, level + 0.02), (0.0, bed + 0.15)], "g inkw"))
        plate.part("weight", plate.area(block, STEEL))
        at = 0.45
        on_cable = (-half + at * half, level + 0.02 + at * (bed + 0.13 - level))
        names = (("cable", "cable", on_cable), ("weight", "weight", (0.04, bed + 0.07)))
        return _told(plate, given, names, left, top, width)

    return draw


def swivels(given: Given) -> str:
    """Where the swivels sit: on the base, in the chain, at the anchor."""
    say = given.say
    wide = given.width
    plate = Plate(svg.Scale(0.0, 0.0, (wide - 16.0) / 1.0, 8.0, 64.0))
    base = [(0.02, 0.028), (0.16, 0.028), (0.16, 0.044), (0.02, 0.044)]
    jaws = arc((0.09, 0.036), 0.06, 0.0, 2.0 * math.pi, 32)
    plate.part("trap", plate.area(jaws, "g inkw"), plate.area(base))
    places = ((0.19, "base", "base swivel"), (0.5, "inline", "in-line swivel"), (0.86, "end", "stake swivel"))
    last = 0.16
    for at, key, words in places:
        _links(plate, (last, 0.036), (at - 0.012, 0.036))
        plate.part(key, plate.disc((at, 0.036), 0.014), plate.disc((at, 0.036), 0.005, "f-i"))
        plate.name(key, say(words), (at, 0.036))
        last = at + 0.014
    plate.part("stake", plate.area([(0.88, 0.026), (0.93, 0.026), (0.93, 0.046), (0.88, 0.046)], "g thin f-i"))
    plate.name("stake", say("stake"), (0.915, 0.036))
    plate.name("trap", say("trap"), (0.05, 0.036))
    plate.over(2.0, 0.0, wide)
    title = say("Places of the swivels, trap to stake")
    return figure(wide, 108.0, plate.body, title, title)
