"""Set types at the water, from above and in section: pocket, castor mound, slide, crossover, feed bed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from setwright.draw.plate import FLESH, STEEL, Given, Plate
from setwright.draw.set_view import (
    Views,
    known,
    prints,
    sized,
    soil,
    span,
    trap_above,
    trap_cut,
    two_views,
    upright,
    water,
)
from setwright.draw.svg import Point, height_at

POCKET_NEEDS = ("mink_depth_low", "mink_depth_high")
MOUND_NEEDS = ("beaver_depth_low", "beaver_depth_high", "beaver_off_centre")
SLIDE_NEEDS = (*MOUND_NEEDS, "beaver_guide_gap")
CROSSOVER_NEEDS = SLIDE_NEEDS
FEED_NEEDS = ("muskrat_depth_low", "muskrat_depth_high")
_TRAP_DEEP = 0.045


@dataclass(frozen=True, slots=True)
class Shore:
    """A bank and a bed, x from land to water [m], level of the water at height zero."""

    bed: Sequence[Point]
    west: float
    east: float
    edge: float
    high: float
    low: float


def _at_depth(shore: Shore, depth: float) -> float:
    """Where the bed lies so deep under the water, outside the edge [m]."""
    steps = [shore.edge + 0.004 * k for k in range(400)]
    return next((x for x in steps if height_at(shore.bed, x) <= -depth), shore.east - 0.2)


def _drawn(
    given: Given,
    title: str,
    shore: Shore,
    animal: str,
    above: Callable[[Plate, float, float], None],
    cut: Callable[[Plate, float], None],
    aside: float = 0.0,
) -> str:
    """Both views of a set on a shore: water, bank, trap at the middle of its window of depth."""
    low, high = given.measure(f"{animal}_depth_low"), given.measure(f"{animal}_depth_high")
    middle = 0.5 * (known(low, 0.03) + known(high, 0.07))
    # The trap is dug in: its jaws lie on the bed, the pan so deep under the level.
    x = _at_depth(shore, middle)
    half = 0.26

    def from_above(plate: Plate) -> None:
        pond = [
            (shore.edge, -half),
            (shore.edge + 0.012, -0.1),
            (shore.edge - 0.008, 0.08),
            (shore.edge + 0.006, half),
            (shore.east, half),
            (shore.east, -half),
        ]
        plate.part("water", plate.area(pond, "w-wat"), plate.area(pond, "", "url(#h-water)"))
        plate.part("edge", plate.line(pond[:4], "g heavy s-e"))
        above(plate, x, aside)
        trap_above(plate, (x, aside))
        plate.name("pan", given.say("pan"), (x + 0.012, aside))

    def in_section(plate: Plate) -> None:
        water(plate, shore.bed, 0.0)
        soil(plate, shore.bed, shore.low, "h-clay")
        ground = height_at(shore.bed, x)
        pit = [
            (x - 0.085, ground + 0.02),
            (x - 0.08, ground - _TRAP_DEEP - 0.006),
            (x + 0.08, ground - _TRAP_DEEP - 0.006),
            (x + 0.085, ground - 0.02),
        ]
        plate.part("bed", plate.area(pit, "w-pap"), plate.area(pit, "", "url(#h-muck)"))
        trap_cut(plate, x, ground, _TRAP_DEEP)
        cut(plate, x)
        upright(plate, x + 0.11, ground, 0.0, span(low, high))
        plate.name("trap", given.say("trap, bedded firm"), (x + 0.05, ground))
        plate.name("water", given.say("level when set"), (shore.east - 0.03, -0.001))

    views = Views(shore.west, shore.east, half, shore.high, shore.low, from_above, in_section)
    said = given.say("Depths are trade practice. Both feet and dogs differ: measure, log, and ask the local rule.")
    return two_views(given, title, views, said)


def _travel(plate: Plate, start: Point, end: Point) -> None:
    """The line on which the animal comes, dashed, with an arrow."""
    plate.part("travel", plate.line([start, end], "g thin dash"))
    share = 0.9
    plate.arrow((start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])), end)


def pocket(given: Given) -> str:
    """A hole in the bank at the water line, the trap before it."""
    say = given.say
    bed = [
        (-0.5, 0.28),
        (-0.06, 0.24),
        (-0.04, 0.07),
        (-0.2, 0.05),
        (-0.22, -0.012),
        (-0.03, -0.02),
        (0.1, -0.05),
        (0.5, -0.28),
    ]
    shore = Shore(bed, -0.5, 0.5, 0.0, 0.3, -0.32)

    def above(plate: Plate, x: float, aside: float) -> None:
        del aside
        hole = [(-0.22, -0.04), (0.0, -0.05), (0.0, 0.05), (-0.22, 0.04)]
        plate.part("hole", plate.area(hole, "g thin dash w-pap"))
        _travel(plate, (0.46, 0.12), (x + 0.1, 0.02))
        plate.part("bait", plate.disc((-0.19, 0.0), 0.018))
        plate.name("hole", say("pocket in the bank"), (-0.1, 0.0))
        plate.name("bait", say("bait at the back"), (-0.19, 0.0))

    def cut(plate: Plate, x: float) -> None:
        del x
        plate.part("bait", plate.disc((-0.19, 0.025), 0.018))
        plate.name("bait", say("bait, above the water"), (-0.19, 0.025))

    return _drawn(given, say("Pocket set (mink, raccoon)"), shore, "mink", above, cut)


def castor_mound(given: Given) -> str:
    """A mound with castor on the bank; the front foot comes down beside the line of travel."""
    say = given.say
    bed = [(-0.45, 0.1), (-0.2, 0.08), (0.0, 0.0), (0.16, -0.05), (0.35, -0.14), (0.65, -0.36)]
    shore = Shore(bed, -0.45, 0.65, 0.0, 0.22, -0.38)
    aside = known(given.measure("beaver_off_centre"), 0.09)

    def above(plate: Plate, x: float, off: float) -> None:
        mound = plate.disc((-0.25, 0.0), 0.09, FLESH)
        plate.part("mound", mound)
        _travel(plate, (0.62, 0.0), (-0.13, 0.0))
        upright(plate, x + 0.1, 0.0, off, sized(given.measure("beaver_off_centre")))
        plate.name("mound", say("mud mound with castor"), (-0.25, 0.05))
        plate.name("travel", say("line of travel"), (0.5, 0.0))

    def cut(plate: Plate, x: float) -> None:
        del x
        mound = [(-0.34, 0.092), (-0.29, 0.16), (-0.22, 0.165), (-0.16, 0.064)]
        plate.part("mound", plate.area(mound, FLESH), plate.area(mound, "", "url(#h-muck)"))
        plate.name("mound", say("mound"), (-0.25, 0.12))

    return _drawn(given, say("Castor mound set (beaver, front foot)"), shore, "beaver", above, cut, aside)


def _guides(plate: Plate, given: Given, x: float) -> None:
    """Guide sticks on both sides of the line of travel, and the gap between them."""
    gap = known(given.measure("beaver_guide_gap"), 0.36)
    for side in (-1.0, 1.0):
        for shift in (0.02, 0.06):
            plate.part("guide", plate.disc((x + 0.02, side * (0.5 * gap + shift)), 0.011, "g thin f-i"))
    upright(plate, x + 0.2, -0.5 * gap, 0.5 * gap, sized(given.measure("beaver_guide_gap")))
    plate.name("guide", given.say("guide sticks"), (x + 0.02, -0.5 * gap - 0.02))


def slide(given: Given) -> str:
    """Where a beaver comes out over a worn slide: trap under water at its foot, off the line."""
    say = given.say
    bed = [(-0.5, 0.3), (-0.2, 0.16), (0.0, 0.0), (0.14, -0.05), (0.32, -0.16), (0.65, -0.42)]
    shore = Shore(bed, -0.5, 0.65, 0.0, 0.32, -0.44)
    aside = known(given.measure("beaver_off_centre"), 0.09)

    def above(plate: Plate, x: float, off: float) -> None:
        track = [(-0.5, -0.1), (0.0, -0.12), (0.0, 0.12), (-0.5, 0.1)]
        plate.part("slide", plate.area(track, FLESH))
        _travel(plate, (0.62, 0.0), (-0.2, 0.0))
        _guides(plate, given, x)
        upright(plate, x - 0.09, 0.0, off, sized(given.measure("beaver_off_centre")), left=True)
        plate.name("slide", say("worn slide"), (-0.35, 0.06))

    def cut(plate: Plate, x: float) -> None:
        stick = [
            (x + 0.015, height_at(bed, x) - 0.1),
            (x + 0.025, height_at(bed, x) - 0.1),
            (x + 0.025, 0.1),
            (x + 0.015, 0.1),
        ]
        plate.part("guide", plate.area(stick, "g thin w-pap"))
        plate.name("guide", say("guide stick"), (x + 0.02, 0.06))

    return _drawn(given, say("Slide set (beaver)"), shore, "beaver", above, cut, aside)


def crossover(given: Given) -> str:
    """Where beavers cross a dam or a neck of land: trap under water at the foot of the path."""
    say = given.say
    bed = [
        (-0.65, -0.3),
        (-0.45, -0.12),
        (-0.3, 0.05),
        (-0.18, 0.1),
        (0.0, 0.0),
        (0.14, -0.05),
        (0.32, -0.16),
        (0.6, -0.4),
    ]
    shore = Shore(bed, -0.65, 0.6, 0.0, 0.18, -0.42)
    aside = known(given.measure("beaver_off_centre"), 0.09)

    def above(plate: Plate, x: float, off: float) -> None:
        below = [(-0.65, -0.26), (-0.4, -0.26), (-0.38, 0.26), (-0.65, 0.26)]
        plate.part(
            "below",
            plate.area(below, "w-wat"),
            plate.area(below, "", "url(#h-water)"),
            plate.area(below, "g thin s-w"),
        )
        dam = [(-0.37, -0.26), (-0.02, -0.26), (-0.02, 0.26), (-0.36, 0.26)]
        plate.part("dam", plate.area(dam, FLESH), plate.area(dam, "", "url(#h-loam)"))
        _travel(plate, (0.57, 0.0), (-0.55, 0.0))
        _guides(plate, given, x)
        upright(plate, x - 0.09, 0.0, off, sized(given.measure("beaver_off_centre")), left=True)
        plate.name("dam", say("dam or neck of land"), (-0.2, 0.18))

    def cut(plate: Plate, x: float) -> None:
        del x
        stick = [(-0.28, 0.06), (-0.1, 0.085), (-0.1, 0.1), (-0.28, 0.075)]
        plate.part("dam", plate.area(stick, STEEL))
        plate.name("dam", say("crest, kept as it is"), (-0.2, 0.08))

    return _drawn(given, say("Crossover set (beaver)"), shore, "beaver", above, cut, aside)


def feed_bed(given: Given) -> str:
    """A muskrat's feeding place: trap at its edge, just under water."""
    say = given.say
    bed = [(-0.4, 0.06), (-0.12, 0.03), (0.0, 0.0), (0.1, -0.03), (0.22, -0.06), (0.5, -0.24)]
    shore = Shore(bed, -0.4, 0.5, 0.0, 0.16, -0.27)

    def above(plate: Plate, x: float, off: float) -> None:
        del off
        heap = [(-0.16, -0.13), (0.03, -0.11), (0.05, 0.1), (-0.15, 0.14)]
        plate.part("heap", plate.area(heap, FLESH), plate.area(heap, "", "url(#h-loam)"))
        prints(plate, [(x + 0.16, 0.05), (x + 0.25, 0.0)])
        _travel(plate, (0.47, -0.03), (x + 0.1, -0.01))
        plate.name("heap", say("cut plants, the feed bed"), (-0.08, 0.06))

    def cut(plate: Plate, x: float) -> None:
        del x
        heap = [(-0.16, 0.03), (-0.12, 0.07), (0.0, 0.06), (0.03, 0.0), (0.0, 0.0), (-0.12, 0.028)]
        plate.part("heap", plate.area(heap, FLESH))
        plate.name("heap", say("feed bed"), (-0.06, 0.045))

    return _drawn(given, say("Feed bed set (muskrat)"), shore, "muskrat", above, cut)
