"""All teaching pictures by name, so that a sheet, a lesson or a page can take one without knowing how it is drawn."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from setwright.draw import anchor_kinds, bed_test, jaw_kinds, set_land, set_water, slide_sum
from setwright.draw.hand_place import hand_place
from setwright.draw.plate import Given
from setwright.draw.setting import opening, setting_coil, setting_long
from setwright.draw.strip import strip
from setwright.draw.trap_end import end_view
from setwright.draw.trap_frame import refusal, trap_keys
from setwright.draw.trap_plan import plan_view
from setwright.draw.trap_shape import TrapShape
from setwright.draw.trigger import notch, pan_level, trigger


def _no_keys(given: Given) -> list[tuple[str, str]]:
    del given
    return []


@dataclass(frozen=True, slots=True)
class Picture:
    """One teaching picture.

    Parameters
    ----------
    title : str
        What it shows, as a heading.
    caption : str
        A sentence under it, and what a reader who cannot see it is told.
    draw : callable
        Takes a `Given`, gives the SVG (class names only: a page styles it, `svg.standalone` makes it black on white).
    needs : tuple of str
        Names of the measures it shows; `coil`, `long` and `frames` stand for the traps and the closing.
    keys : callable
        Letters on a narrow drawing with the words that they stand for; empty where names stand on the drawing.

    """

    title: str
    caption: str
    draw: Callable[[Given], str]
    needs: tuple[str, ...] = ()
    keys: Callable[[Given], list[tuple[str, str]]] = _no_keys


def _trap_of(given: Given, family: str) -> TrapShape | None:
    return given.coil if family == "coil" else given.long


def _parts(family: str) -> Callable[[Given], str]:
    def draw(given: Given) -> str:
        shape = _trap_of(given, family)
        if shape is None:
            title = given.say("Parts of the trap")
            return refusal(given.width, title, given.say("No drawing: no trap is described."))
        return plan_view(shape, given.width, given.tallest)

    return draw


def _keys(family: str) -> Callable[[Given], list[tuple[str, str]]]:
    def keys(given: Given) -> list[tuple[str, str]]:
        shape = _trap_of(given, family)
        return [] if shape is None else trap_keys(shape)

    return keys


def _states(family: str) -> Callable[[Given], str]:
    def draw(given: Given) -> str:
        shape = _trap_of(given, family)
        states = given.coil_postures if family == "coil" else given.long_postures
        if shape is None or not states:
            title = given.say("The trap set, half way, closed")
            return refusal(given.width, title, given.say("No drawing: the closing is not known."))
        return end_view(shape, states, given.width, given.tallest)

    return draw


def _strip(given: Given) -> str:
    if given.coil is None or given.frames is None:
        title = given.say("Closing in still frames")
        return refusal(given.width, title, given.say("No drawing: the closing is not known."))
    # Where there is little height the frames stand closer, so that they take fewer rows.
    return strip(given.coil, given.frames, given.width, narrowest=70.0 if given.tallest > 300.0 else 40.0)


PICTURES: Mapping[str, Picture] = MappingProxyType(
    {
        "coil-parts": Picture(
            "Parts of a coil-spring trap", "A set coil-spring from above, to scale, with the trade's names.",
            _parts("coil"), ("coil",), _keys("coil"),
        ),
        "long-parts": Picture(
            "Parts of a long-spring trap", "A set long-spring from above, to scale, with the trade's names.",
            _parts("long"), ("long",), _keys("long"),
        ),
        "coil-states": Picture(
            "Set, half way, closed", "A coil-spring cut across its hinges: set, on its way, closed.",
            _states("coil"), ("coil",), _keys("coil"),
        ),
        "long-states": Picture(
            "Long-spring: set, half way, closed", "A long-spring cut across its hinges: set, on its way, closed.",
            _states("long"), ("long",), _keys("long"),
        ),
        "firing-strip": Picture(
            "Firing strip", "The closing in still frames, one every two milliseconds.", _strip, ("coil", "frames")
        ),
        "trigger": Picture(
            "Dog and dogless trigger",
            "A dog crosses one jaw into the pan's notch; without one the pan holds the jaw.",
            trigger,
        ),
        "pan-level": Picture(
            "Pan level", "A pan level with the jaws, one too high, one too low.", pan_level
        ),
        "notch": Picture("Crisp and creeping", "A square notch lets go at once; a rounded one creeps.", notch),
        "hand-place": Picture(
            "Where the hand may be", "From outside and below, under the loose jaw; never where the jaws sweep.",
            hand_place, ("coil",),
        ),
        "setting-coil": Picture(
            "Setting a coil-spring", "Six steps, from levers pressed to the last look.", setting_coil, ("coil",)
        ),
        "setting-long": Picture(
            "Setting a long-spring", "Six steps, over the knee or under the heel.", setting_long, ("long",)
        ),
        "opening": Picture(
            "Opening a trap",
            "Both levers, or both springs, pressed at once: the jaws fall open.",
            opening,
            ("coil", "long"),
        ),
        "jaws": Picture(
            "Four kinds of jaws", "Regular, offset, laminated and padded jaws shut on the same foot, one scale.",
            jaw_kinds.jaws, ("coil", *jaw_kinds.NEEDS),
        ),
        "swivels": Picture(
            "Places of the swivels", "On the base, in the chain, at the stake.", anchor_kinds.swivels
        ),
        "anchors": Picture(
            "Anchors in section", "Rod, crossed rods, cable earth anchor, drag and deep weight, at one scale.",
            anchor_kinds.anchors, anchor_kinds.NEEDS,
        ),
        "bed": Picture(
            "Bed and four-point test", "Press both jaws and both levers: nothing rocks.", bed_test.bed,
            ("coil", *bed_test.NEEDS),
        ),
        "set-dirt-hole": Picture(
            "Dirt-hole set", "Baited hole, backing, trap in front of it.", set_land.dirt_hole, set_land.HOLE_NEEDS
        ),
        "set-flat": Picture(
            "Flat set", "A lure on a low mark, the trap where the feet shift.", set_land.flat, set_land.FLAT_NEEDS
        ),
        "set-blind": Picture(
            "Blind set on a trail", "No bait: guides and sticks bring the foot to the pan.", set_land.blind,
            set_land.BLIND_NEEDS,
        ),
        "set-pocket": Picture(
            "Pocket set", "A hole in the bank at the water line, the trap before it.", set_water.pocket,
            set_water.POCKET_NEEDS,
        ),
        "set-castor-mound": Picture(
            "Castor mound set", "Mound on the bank, trap under water beside the line of travel.",
            set_water.castor_mound, set_water.MOUND_NEEDS,
        ),
        "set-slide": Picture(
            "Slide set", "At the foot of a worn slide, off the line of travel.", set_water.slide,
            set_water.SLIDE_NEEDS,
        ),
        "set-crossover": Picture(
            "Crossover set", "Where beavers cross a dam or a neck of land.", set_water.crossover,
            set_water.CROSSOVER_NEEDS,
        ),
        "set-feed-bed": Picture(
            "Feed bed set", "At the edge of a muskrat's feeding place, just under water.", set_water.feed_bed,
            set_water.FEED_NEEDS,
        ),
        "slide-sum": Picture(
            "Slide cable and depth sum", "Depth at the stop less fall, chain, reach and water over the nose.",
            slide_sum.slide_sum, slide_sum.NEEDS,
        ),
    }
)  # fmt: skip
