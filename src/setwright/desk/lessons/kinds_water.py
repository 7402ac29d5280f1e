"""Questions on water: the depth sum, what a weight weighs there, which foot a depth takes, ice."""

from __future__ import annotations

import random

import numpy as np

from setwright.basis.units import convert, inches, metric
from setwright.desk.lessons.question import Question, QuestionKind, asked, chosen, number, unit_of
from setwright.water import tables
from setwright.water.anchor import submerged_weight
from setwright.water.cable import Point
from setwright.water.depth import chest_zone, in_window
from setwright.water.ice import stefan_ice
from setwright.water.sums import MARGIN, depth_sum_at

# The same places of the windows, none of them on an edge where rounding would decide.
DEPTHS = {
    "in": (1, 2, 3, 5, 6, 9, 10, 11, 12, 13, 16, 18), "cm": (3, 5, 7, 13, 15, 23, 25, 28, 30, 33, 41, 46),
}  # fmt: skip
FEET = {"fore": "front", "hind": "hind"}
STANDS = "\N{MULTIPLICATION SIGN}"


def depth_sum(rng: random.Random) -> Question:
    """How deep it must be at the stop."""
    foot = rng.choice(("fore", "hind"))
    drawn, lower = rng.randrange(8, 19, 2), rng.randrange(0, 7, 2)
    chain, fall, unit = round(asked(drawn, "length")), round(asked(lower, "length")), unit_of("length")
    size = convert(1.0, unit, "m")
    reach = tables.reaches().number(f"beaver-{foot}", "reach")
    told = depth_sum_at(Point(0.0, -2.0), chain * size, reach=reach, fall=fall * size)
    needed = (2.0 - float(told.spare)) / size
    limb, clear = round(reach / size), round(MARGIN / size)
    return Question(
        "depth-sum",
        f"A slide set for a beaver by the {FEET[foot]} foot. From the lock to the jaw of the trap are {chain} {unit} "
        f"of chain and trap. From the held foot to the nose are {limb} {unit}. The water may fall {fall} {unit} "
        "before the check. "
        f"{clear} {unit} of water must stay over the nose. How deep must it be at the stop when you make the "
        "set?",
        f"{chain} + {limb} + {fall} + {clear} = {chain + limb + fall + clear} {unit}. The chain counts in full, and "
        "so does the leg.",
        "own geometry; reach and spare water are figures of this program, assumed",
        answer=needed, unit=unit, tolerance=2.0 if metric() else 1.0,
        given={"foot": foot, "chain": chain, "fall": fall, "unit": unit},
    )  # fmt: skip


def deep_weight(rng: random.Random) -> Question:
    """What a weight is worth under water."""
    material = rng.choice(("concrete", "stone", "steel", "sandbag"))
    mass, unit = asked(rng.randrange(20, 61, 5), "mass"), unit_of("mass")
    table = tables.anchors()
    density = table.number(material, "density")
    # What a scale would read there: a force of a pound, or of a kilogram.
    scale, answer_unit, word = ("kgf", "kg", "kilograms") if metric() else ("lbf", "lbf", "pounds")
    force = convert(float(submerged_weight(convert(mass, unit, "kg"), density)), "N", scale)
    left = 1.0 - 1000.0 / density
    return Question(
        "deep-weight",
        f"Your deep weight is {mass:g} {unit} of {table.text(material, 'label')} on the scale at home. It is "
        f"{density:.0f} kg "
        f"to the cubic metre; water is 1000. How many {word} is it worth on the bottom of the pond?",
        f"Water carries 1000/{density:.0f} of it. What is left is {left:.2f} {STANDS} {mass:g} = {force:.1f} {unit}.",
        "law of Archimedes; densities: usual values of the material, common practice",
        answer=force, unit=answer_unit, tolerance=0.5,
        given={"mass": mass, "material": material, "unit": unit},
    )  # fmt: skip


def pan_depth(rng: random.Random) -> Question:
    """What comes down on a pan at a depth."""
    place_of = rng.randrange(len(DEPTHS["in"]))
    unit = unit_of("length")
    depth, size = DEPTHS[unit][place_of], convert(1.0, unit, "m")
    table = tables.windows()
    words = {
        "fore": "a front foot", "hind": "a hind foot", "chest": "the chest, which fires it and is not held",
        "none": "nothing: the animal swims over it",
    }  # fmt: skip
    low, high = (table.number("beaver-fore", part) for part in ("chest_low", "chest_high"))
    chest = bool(chest_zone(depth * size, low, high))
    fits = {
        foot: float(in_window(depth * size, table.number(key, "depth_low"), table.number(key, "depth_high"))) >= -1e-9
        for foot, key in (("fore", "beaver-fore"), ("hind", "beaver-hind"))
    }
    right = "chest" if chest else next((foot for foot, fit in fits.items() if fit), "none")
    choices, place = chosen(rng, words[right], list(words.values()))
    least, most = (inches(table.number("beaver-fore", part)) for part in ("depth_low", "depth_high"))
    at, about = ("15 cm", "20 to 35 cm") if metric() else ("6 in", "8 to 14 in")
    return Question(
        "pan-depth",
        f"A pan lies {depth} {unit} under water, right on the line where beavers swim in. What fires it, most "
        "likely?",
        f"Front foot: {least} to {most}. Around {at} the chest comes first. Hind foot: about {about}. Set it "
        "off to "
        "the side to spare the chest.",
        "common practice; practitioner pages on beaver placing",
        choices=choices, right=place, given={"depth": depth, "unit": unit},
    )  # fmt: skip


def ice_growth(rng: random.Random) -> Question:
    """How thick ice may have grown."""
    nights, cold = rng.randrange(3, 15), rng.randrange(4, 16, 2)
    factor = tables.ice().number("lake-snow", "growth")
    unit = unit_of("length")
    grown = convert(float(stefan_ice(nights * cold, factor)), "m", unit)
    word = "centimetres" if metric() else "inches"
    centimetres = 100.0 * factor
    shown = f"{number(grown)} cm" if metric() else f"{grown * 2.54:.0f} cm, or {number(grown)} in"
    return Question(
        "ice-growth",
        f"For {nights} days the air was {cold} °C below freezing on the average. A rule for lakes with snow: "
        "thickness "
        f"in cm = {centimetres:.2f} {STANDS} √(days {STANDS} degrees below freezing). About how many {word} of "
        "ice may "
        "there be? (It is never a leave to walk on it: you bore, and the thinnest hole counts.)",
        f"√({nights} {STANDS} {cold}) = {np.sqrt(nights * cold):.1f}; {STANDS} {centimetres:.2f} = "
        f"{shown}. A lodge, a spring or a current keeps ice thin: no sum can see them.",
        "Michel (1971) growth factor, as tabulated in a public script (seen)",
        answer=grown, unit=unit, tolerance=1.0 if metric() else 0.5,
        given={"nights": nights, "cold": cold, "unit": unit},
    )  # fmt: skip


KINDS = {
    "depth-sum": QuestionKind("depth at the stop", depth_sum),
    "deep-weight": QuestionKind("weight in water", deep_weight),
    "pan-depth": QuestionKind("water over the pan", pan_depth),
    "ice-growth": QuestionKind("ice by cold days", ice_growth),
}
