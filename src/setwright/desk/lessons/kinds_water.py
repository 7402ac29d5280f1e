"""Questions on water: the depth sum, what a weight weighs there, which foot a depth takes, ice."""

from __future__ import annotations

import random

import numpy as np

from setwright.basis.units import convert, inches
from setwright.desk.lessons.question import Question, QuestionKind, chosen, number
from setwright.water import tables
from setwright.water.anchor import submerged_weight
from setwright.water.cable import Point
from setwright.water.depth import chest_zone, in_window
from setwright.water.ice import stefan_ice
from setwright.water.sums import MARGIN, depth_sum_at

INCH = 0.0254
FEET = {"fore": "front", "hind": "hind"}
STANDS = "\N{MULTIPLICATION SIGN}"


def depth_sum(rng: random.Random) -> Question:
    """How deep it must be at the stop."""
    foot = rng.choice(("fore", "hind"))
    chain, fall = rng.randrange(8, 19, 2), rng.randrange(0, 7, 2)
    reach = tables.reaches().number(f"beaver-{foot}", "reach")
    told = depth_sum_at(Point(0.0, -2.0), chain * INCH, reach=reach, fall=fall * INCH)
    needed = (2.0 - float(told.spare)) / INCH
    limb, clear = round(reach / INCH), round(MARGIN / INCH)
    return Question(
        "depth-sum",
        f"A slide set for a beaver by the {FEET[foot]} foot. From the lock to the jaw of the trap are {chain} in of "
        f"chain and trap. From the held foot to the nose are {limb} in. The water may fall {fall} in before the "
        "check. "
        f"{clear} in of water must stay over the nose. How deep must it be at the stop when you make the set?",
        f"{chain} + {limb} + {fall} + {clear} = {chain + limb + fall + clear} in. The chain counts in full, and so "
        "does the leg.",
        "own geometry; reach and spare water are figures of this program, assumed",
        answer=needed, unit="in", tolerance=1.0,
        given={"foot": foot, "chain": chain, "fall": fall},
    )  # fmt: skip


def deep_weight(rng: random.Random) -> Question:
    """What a weight is worth under water."""
    material = rng.choice(("concrete", "stone", "steel", "sandbag"))
    mass = rng.randrange(20, 61, 5)
    table = tables.anchors()
    density = table.number(material, "density")
    force = convert(float(submerged_weight(convert(mass, "lb", "kg"), density)), "N", "lbf")
    left = 1.0 - 1000.0 / density
    return Question(
        "deep-weight",
        f"Your deep weight is {mass} lb of {table.text(material, 'label')} on the scale at home. It is "
        f"{density:.0f} kg "
        "to the cubic metre; water is 1000. How many pounds is it worth on the bottom of the pond?",
        f"Water carries 1000/{density:.0f} of it. What is left is {left:.2f} {STANDS} {mass} = {force:.1f} lb.",
        "law of Archimedes; densities: usual values of the material, common practice",
        answer=force, unit="lbf", tolerance=0.5,
        given={"mass": mass, "material": material},
    )  # fmt: skip


def pan_depth(rng: random.Random) -> Question:
    """What comes down on a pan at a depth."""
    depth = rng.choice((1, 2, 3, 5, 6, 9, 10, 11, 12, 13, 16, 18))
    table = tables.windows()
    words = {
        "fore": "a front foot", "hind": "a hind foot", "chest": "the chest, which fires it and is not held",
        "none": "nothing: the animal swims over it",
    }  # fmt: skip
    low, high = (table.number("beaver-fore", part) for part in ("chest_low", "chest_high"))
    chest = bool(chest_zone(depth * INCH, low, high))
    fits = {
        foot: float(in_window(depth * INCH, table.number(key, "depth_low"), table.number(key, "depth_high"))) >= -1e-9
        for foot, key in (("fore", "beaver-fore"), ("hind", "beaver-hind"))
    }
    right = "chest" if chest else next((foot for foot, fit in fits.items() if fit), "none")
    choices, place = chosen(rng, words[right], list(words.values()))
    least, most = (inches(table.number("beaver-fore", part)) for part in ("depth_low", "depth_high"))
    return Question(
        "pan-depth",
        f"A pan lies {depth} in under water, right on the line where beavers swim in. What fires it, most likely?",
        f"Front foot: {least} to {most}. Around 6 in the chest comes first. Hind foot: about 8 to 14 in. Set it "
        "off to "
        "the side to spare the chest.",
        "common practice; practitioner pages on beaver placing",
        choices=choices, right=place, given={"depth": depth},
    )  # fmt: skip


def ice_growth(rng: random.Random) -> Question:
    """How thick ice may have grown."""
    nights, cold = rng.randrange(3, 15), rng.randrange(4, 16, 2)
    factor = tables.ice().number("lake-snow", "growth")
    grown = convert(float(stefan_ice(nights * cold, factor)), "m", "in")
    centimetres = 100.0 * factor
    return Question(
        "ice-growth",
        f"For {nights} days the air was {cold} °C below freezing on the average. A rule for lakes with snow: "
        "thickness "
        f"in cm = {centimetres:.2f} {STANDS} √(days {STANDS} degrees below freezing). About how many inches of ice "
        "may "
        "there be? (It is never a leave to walk on it: you bore, and the thinnest hole counts.)",
        f"√({nights} {STANDS} {cold}) = {np.sqrt(nights * cold):.1f}; {STANDS} {centimetres:.2f} = "
        f"{grown * 2.54:.0f} cm, "
        f"or {number(grown)} in. A lodge, a spring or a current keeps ice thin: no sum can see them.",
        "Michel (1971) growth factor, as tabulated in a public script (seen)",
        answer=grown, unit="in", tolerance=0.5, given={"nights": nights, "cold": cold},
    )  # fmt: skip


KINDS = {
    "depth-sum": QuestionKind("depth at the stop", depth_sum),
    "deep-weight": QuestionKind("weight in water", deep_weight),
    "pan-depth": QuestionKind("water over the pan", pan_depth),
    "ice-growth": QuestionKind("ice by cold days", ice_growth),
}
