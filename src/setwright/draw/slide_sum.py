"""Slide cable with its depth sum: what stands between the stop and the surface, stacked to scale."""

from __future__ import annotations

import math
from itertools import pairwise

from setwright.basis.units import inches
from setwright.draw import svg
from setwright.draw.ground import scale_line
from setwright.draw.plate import FLESH, STEEL, Given, Plate
from setwright.draw.set_view import soil, water
from setwright.draw.trap_frame import figure, wrap

NEEDS = ("sum_depth", "sum_fall", "sum_chain", "sum_limb", "sum_clear")
# Drawn with these where the sum is a blank, and said to be no scale [m].
_USUAL = {"sum_depth": 1.2, "sum_fall": 0.1, "sum_chain": 0.3, "sum_limb": 0.35, "sum_clear": 0.1}
LETTERS = {"sum_depth": "A", "sum_fall": "B", "sum_chain": "C", "sum_limb": "D", "sum_clear": "E", "sum_spare": "F"}


def slide_sum(given: Given) -> str:
    """Bank stake, cable, lock and stop in section; the sum stands as a chain of dimensions over the stop."""
    say = given.say
    known = all(math.isfinite(given.measure(name)) for name in NEEDS)
    size = {name: abs(given.measure(name)) if known else usual for name, usual in _USUAL.items()}
    depth = size["sum_depth"]
    spare = depth - size["sum_fall"] - size["sum_chain"] - size["sum_limb"] - size["sum_clear"]
    run = max(1.25 * depth, 1.1)
    west, east, high, low = -0.35, run + 0.75, 0.42, -depth - 0.28
    column = 156.0
    per_metre = min((given.width - column) / (east - west), (given.tallest - 84.0) / (high - low))
    plate = Plate(svg.Scale(west, high, per_metre, 0.0, 34.0))
    bed = [
        (west, 0.28),
        (-0.1, 0.2),
        (0.0, 0.0),
        (0.2, -0.2),
        (0.55 * run, -0.75 * depth),
        (run, -depth - 0.12),
        (east, -depth - 0.2),
    ]
    water(plate, bed, 0.0)
    soil(plate, bed, low, "h-clay")
    head, foot = (-0.15, 0.3), (run, -depth - 0.02)
    stop = (head[0] + 0.93 * (foot[0] - head[0]), head[1] + 0.93 * (foot[1] - head[1]))
    stop = (stop[0], -depth)
    plate.part("stake", plate.area([(-0.165, 0.36), (-0.135, 0.36), (-0.145, -0.05), (-0.155, -0.05)], "g thin f-i"))
    block = [
        (run - 0.02, -depth - 0.15),
        (run + 0.26, -depth - 0.18),
        (run + 0.26, -depth + 0.02),
        (run - 0.02, -depth + 0.02),
    ]
    plate.part("cable", plate.line([head, stop, foot], "g inkw"))
    plate.part("weight", plate.area(block, STEEL))
    plate.part("stop", plate.disc(stop, 0.028, "f-i"))
    at = 0.35
    lock = (head[0] + at * (stop[0] - head[0]), head[1] + at * (stop[1] - head[1]))
    plate.part(
        "lock",
        plate.area(
            [
                (lock[0] - 0.04, lock[1] + 0.05),
                (lock[0] + 0.05, lock[1] + 0.02),
                (lock[0] + 0.03, lock[1] - 0.04),
                (lock[0] - 0.05, lock[1]),
            ],
            STEEL,
        ),
    )
    plate.arrow(
        (lock[0] + 0.1, lock[1] + 0.02),
        (lock[0] + 0.32, lock[1] + 0.02 + 0.22 * (stop[1] - head[1]) / (stop[0] - head[0])),
    )
    _held(plate, stop, size)
    plate.name("stake", say("bank stake"), (-0.15, 0.33))
    plate.name("lock", say("one-way lock, runs down only"), lock)
    _, deep = plate.scale.at((0.0, low))
    plate.over(2.0, 0.0, given.width)
    edge = plate.scale.at((east, 0.0))[0]
    plate.name("stop", say("stop"), stop)
    plate.name("weight", say("deep weight"), (run + 0.18, -depth - 0.08))
    chain_at = run + 0.42
    levels = [-depth, -depth + size["sum_chain"]]
    levels.append(levels[-1] + size["sum_limb"])
    levels.append(levels[-1] + size["sum_clear"])
    x = plate.scale.at((chain_at, 0.0))[0]
    heights = [plate.scale.at((0.0, level))[1] for level in [*levels, -size["sum_fall"], 0.0]]
    plate.add(svg.upright(x, sorted(set(heights)), "g thin s-l"))
    outer = plate.scale.at((chain_at + 0.2, 0.0))[0]
    plate.add(svg.upright(outer, [heights[0], heights[-1]], "g thin s-l"))
    told = _words(given, size, spare, known=known)
    spots = [0.5 * (a + b) for a, b in pairwise(heights)]
    middles = svg.spread([*spots, 0.5 * (heights[0] + heights[-1])], 16.0, plate.scale.y0, deep)
    order = ["sum_chain", "sum_limb", "sum_clear", "sum_spare", "sum_fall", "sum_depth"]
    for name, y, spot in zip(order, middles, [*spots, 0.5 * (heights[0] + heights[-1])], strict=True):
        start = outer if name == "sum_depth" else x
        plate.add(svg.line([(start + 3.0, spot), (edge + 4.0, y)], "g hair s-p"))
        plate.add(svg.text(edge + 7.0, y + 5.0, told[name], "halo"))
    _under(plate, deep)
    bottom = deep + 24.0
    foot_words = say("The water may fall; what is left must still cover the nose.")
    if known:
        plate.add(scale_line(6.0, bottom, per_metre, min(0.5 * given.width, 220.0)))
        bottom += 26.0
    else:
        foot_words = say("Not to scale: measure A, C and D, and write them down.")
    lines = wrap(foot_words, given.width, 13.5)
    for index, line in enumerate(lines):
        plate.add(svg.text(0.0, bottom + 14.0 + 16.0 * index, line, "t-s f-p"))
    title = say("Slide cable and its depth sum")
    return figure(given.width, bottom + 10.0 + 16.0 * len(lines), plate.body, title, "; ".join(told.values()))


def _under(plate: Plate, deep: float) -> None:
    """Names beneath the section, each under its part."""
    for each in plate.names:
        x, _ = each.place
        plate.add(svg.line([(x, deep + 4.0), each.place], "g hair s-p"), svg.dot(*each.place, names=each.key))
        plate.add(svg.text(x - 4.0, deep + 16.0, each.words, "end halo" if each.key == "stop" else "halo"))
    plate.names.clear()


def _held(plate: Plate, stop: svg.Point, size: dict[str, float]) -> None:
    """Trap on its chain over the stop, and the length from held foot to nose, as lines of their true length."""
    x, z = stop
    foot = (x, z + size["sum_chain"])
    nose = (x, foot[1] + size["sum_limb"])
    plate.part("chain", plate.line([stop, foot], "g inkw"))
    wide = 0.03
    body = [(x - wide, foot[1]), (x + wide, foot[1]), (x + 0.6 * wide, nose[1]), (x - 0.6 * wide, nose[1])]
    plate.part("limb", plate.area(body, FLESH))
    plate.part(
        "trap",
        plate.area(
            [
                (x - 0.06, foot[1] - 0.015),
                (x + 0.06, foot[1] - 0.015),
                (x + 0.06, foot[1] + 0.015),
                (x - 0.06, foot[1] + 0.015),
            ],
            STEEL,
        ),
    )


def _words(given: Given, size: dict[str, float], spare: float, *, known: bool) -> dict[str, str]:
    say = given.say
    names = {
        "sum_depth": say("depth at the stop"), "sum_fall": say("may fall"), "sum_chain": say("chain, trap"),
        "sum_limb": say("foot to nose"), "sum_clear": say("over the nose"),
        "sum_spare": say("to spare") if spare >= 0.0 or not known else say("too little"),
    }  # fmt: skip
    amount = {**size, "sum_spare": abs(spare)}
    return {
        name: f"{LETTERS[name]} {words} {inches(amount[name], 2) if known else '____'}"
        for name, words in names.items()
    }
