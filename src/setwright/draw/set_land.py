"""Set types on land, from above and in section: dirt-hole, flat, blind trail; distances as given."""

from __future__ import annotations

import math

from setwright.draw.plate import FLESH, Given, Plate
from setwright.draw.set_view import (
    Views,
    across,
    known,
    prints,
    sized,
    soil,
    trap_above,
    trap_cut,
    two_views,
    upright,
)
from setwright.draw.svg import Point

HOLE_NEEDS = ("hole_distance", "hole_depth", "cover", "bed_depth", "dirt_hole_patch")
FLAT_NEEDS = ("flat_patch", "cover", "bed_depth")
BLIND_NEEDS = ("blind_lane", "coyote_step", "cover", "bed_depth")
_BED = 0.105


def _pit(plate: Plate, given: Given, x: float = 0.0) -> float:
    """The bed with its cover in section; gives the level of the jaws [m]."""
    cover = known(given.measure("cover"), 0.0095)
    deep = known(given.measure("bed_depth"), 0.06)
    pit = [(x - _BED, 0.0), (x - 0.95 * _BED, -deep), (x + 0.95 * _BED, -deep), (x + _BED, 0.0)]
    plate.part("cover", plate.area(pit, "w-pap"), plate.area(pit, "", "url(#h-dry)"), plate.area(pit, "g inkw"))
    trap_cut(plate, x, -cover, deep - cover - 0.004)
    return -cover


def _cover_words(given: Given) -> str:
    return f"{given.say('sifted cover')}, {sized(given.measure('cover'), 8)}"


def dirt_hole(given: Given) -> str:
    """Baited hole with a backing, the trap in front of it."""
    say = given.say
    away, deep = known(given.measure("hole_distance"), 0.23), known(given.measure("hole_depth"), 0.2)
    radius = math.sqrt(known(given.measure("dirt_hole_patch"), 0.1) / math.pi)
    lip = -away

    def above(plate: Plate) -> None:
        plate.add(plate.disc((0.0, 0.0), radius, "g thin dash"))
        backing = [(lip - 0.2, -0.1), (lip - 0.12, -0.12), (lip - 0.11, 0.11), (lip - 0.19, 0.12)]
        plate.part("backing", plate.area(backing, FLESH), plate.area(backing, "", "url(#h-loam)"))
        plate.part("hole", plate.disc((lip - 0.035, 0.0), 0.035, "g inkw f-i"))
        trap_above(plate, (0.0, 0.0), 0.5 * math.pi)
        prints(plate, [(0.1, 0.07), (0.03, -0.12), (0.17, -0.04), (-0.1, 0.1)])
        plate.arrow((0.42, 0.0), (0.25, 0.0))
        across(plate, lip, 0.0, 0.155, sized(given.measure("hole_distance")))
        plate.name("backing", say("backing"), (lip - 0.15, -0.06))
        plate.name("hole", say("hole, bait down it"), (lip - 0.035, 0.0))
        plate.name("pan", say("pan, in line with the hole"), (0.01, 0.0))
        plate.name("print", say("feet fall in this ring"), (0.1, 0.07))

    def cut(plate: Plate) -> None:
        lean = 0.5 * deep
        surface: list[Point] = [
            (lip - 0.32, 0.09), (lip - 0.12, 0.07), (lip - 0.07, 0.0), (lip - 0.07 - lean, -deep),
            (lip - lean, -deep - 0.015), (lip, 0.0), (0.44, 0.0),
        ]  # fmt: skip
        soil(plate, surface, -deep - 0.06)
        _pit(plate, given)
        bait = (lip - 0.045 - 0.82 * lean, -0.85 * deep)
        plate.part("bait", plate.disc(bait, 0.018))
        upright(plate, lip - 0.1, -deep, 0.0, sized(given.measure("hole_depth")), left=True)
        plate.name("bait", say("bait, out of sight"), bait)
        plate.name("cover", _cover_words(given), (0.09, -0.006))
        plate.name("ground", say("firm bed"), (0.2, -0.1))

    views = Views(lip - 0.32, 0.44, 0.21, 0.1, -deep - 0.06, above, cut)
    return two_views(given, say("Dirt-hole set"), views, _note(given))


def flat(given: Given) -> str:
    """A lure on a low mark, no hole, the trap where the feet shift."""
    say = given.say
    radius = math.sqrt(known(given.measure("flat_patch"), 0.14) / math.pi)

    def above(plate: Plate) -> None:
        plate.add(plate.disc((0.0, 0.0), radius, "g thin dash"))
        tuft = [(-radius - 0.03, -0.03), (-radius + 0.02, -0.035), (-radius + 0.03, 0.02), (-radius - 0.02, 0.04)]
        plate.part("mark", plate.area(tuft, FLESH), plate.area(tuft, "", "url(#h-loam)"))
        trap_above(plate, (0.0, 0.0), 0.5 * math.pi)
        prints(plate, [(0.1, 0.08), (0.02, -0.13), (0.16, -0.05), (-0.09, 0.12)])
        plate.arrow((0.42, 0.0), (0.26, 0.0))
        across(
            plate,
            -radius,
            0.0,
            radius + 0.012,
            sized(radius if math.isfinite(given.measure("flat_patch")) else math.nan),
        )
        plate.name("mark", say("tuft or bone with the lure"), (-radius, 0.0))
        plate.name("pan", say("pan"), (0.01, 0.0))
        plate.name("print", say("feet fall in this ring"), (0.1, 0.08))

    def cut(plate: Plate) -> None:
        soil(plate, [(-radius - 0.2, 0.0), (0.44, 0.0)], -0.15)
        _pit(plate, given)
        tuft = [
            (-radius - 0.03, 0.0),
            (-radius - 0.02, 0.07),
            (-radius, 0.03),
            (-radius + 0.015, 0.08),
            (-radius + 0.03, 0.0),
        ]
        plate.part("mark", plate.area(tuft, FLESH))
        plate.name("mark", say("tuft"), (-radius, 0.015))
        plate.name("cover", _cover_words(given), (0.09, -0.006))
        plate.name("ground", say("firm bed"), (0.2, -0.1))

    views = Views(-radius - 0.2, 0.44, radius + 0.1, 0.1, -0.15, above, cut)
    return two_views(given, say("Flat set"), views, _note(given))


def blind(given: Given) -> str:
    """No bait: the trap in the lane of a trail, between guides, where the foot must come down."""
    say = given.say
    lane = known(given.measure("blind_lane"), 0.2)
    step = known(given.measure("coyote_step"), 0.4)
    half = 0.5 * lane

    def above(plate: Plate) -> None:
        west, east = -0.5 * step - 0.2, 0.5 * step + 0.2
        for side in (-1.0, 1.0):
            edge = [(west, side * half), (east, side * half)]
            plate.add(plate.line(edge, "g thin dash"))
            guide = [
                (-0.06, side * (half + 0.005)),
                (0.06, side * (half + 0.005)),
                (0.05, side * (half + 0.06)),
                (-0.05, side * (half + 0.07)),
            ]
            plate.part("guide", plate.area(guide, FLESH), plate.area(guide, "", "url(#h-gravel)"))
        for at in (-0.5 * step, 0.5 * step):
            stick = [(at - 0.01, -half), (at + 0.01, -half), (at + 0.01, half), (at - 0.01, half)]
            plate.part("stick", plate.area(stick))
        trap_above(plate, (0.0, 0.0), 0.5 * math.pi)
        prints(plate, [(0.5 * step + 0.1, 0.03), (-0.5 * step - 0.1, -0.03)])
        plate.arrow((east - 0.01, 0.0), (0.5 * step + 0.13, 0.0))
        across(
            plate, -0.5 * step, 0.5 * step, -half - 0.115, f"{say('one step')}, {sized(given.measure('coyote_step'))}"
        )
        upright(plate, west + 0.06, -half, half, sized(given.measure("blind_lane")))
        plate.name("guide", say("stone or brush as a guide"), (0.02, half + 0.035))
        plate.name("stick", say("stepping stick"), (0.5 * step, 0.5 * half))
        plate.name("pan", say("pan, where the foot lands"), (0.012, -0.012))

    def cut(plate: Plate) -> None:
        soil(plate, [(-0.5 * step - 0.2, 0.0), (0.5 * step + 0.2, 0.0)], -0.15)
        _pit(plate, given)
        for at in (-0.5 * step, 0.5 * step):
            plate.part("stick", plate.disc((at, 0.012), 0.013))
        plate.name("stick", say("stick, stepped over"), (0.5 * step, 0.012))
        plate.name("cover", _cover_words(given), (0.09, -0.006))

    views = Views(-0.5 * step - 0.2, 0.5 * step + 0.2, 0.24, 0.06, -0.15, above, cut)
    return two_views(given, say("Blind set on a trail"), views, _note(given))


def _note(given: Given) -> str:
    return given.say("Distances are trade practice or assumed; your log is the better guide.")
