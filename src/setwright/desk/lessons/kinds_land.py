"""Questions on land sets: who trips the pan, what parts first, what holds, frost and cold."""

from __future__ import annotations

import random

import numpy as np

from setwright.animal import tables as animal_tables
from setwright.animal.load import coupling, foot_load
from setwright.basis.units import convert, inches, metric
from setwright.desk.lessons.question import Question, QuestionKind, asked, chosen, number, unit_of
from setwright.ground import tables as ground_tables
from setwright.ground.crust import crust_code
from setwright.ground.stake import lateral_undrained, yield_limited
from setwright.tackle import tables as tackle_tables
from setwright.tackle.chain_length import pull_angle
from setwright.tackle.strength import Part, cable, series, worn
from setwright.weather.chill import wind_chill, wind_chill_fahrenheit

ANIMALS = {
    "striped_skunk": "skunk", "opossum": "opossum", "red_fox": "red fox", "raccoon": "raccoon",
    "coyote_west": "coyote", "dog_medium": "bird dog",
}  # fmt: skip
# Nobody's median lies so near to the force that is asked about.
APART = 1.2
INCH = 0.0254
TIMES = "\N{MULTIPLICATION SIGN}"
# Classes of pull, in the unit that is asked in.
CLASSES = {
    "lbf": (
        ("below 50 lb", 0.0, 50.0), ("50 to 120 lb", 50.0, 120.0), ("120 to 300 lb", 120.0, 300.0),
        ("above 300 lb", 300.0, np.inf),
    ),
    "N": (
        ("below 200 N", 0.0, 200.0), ("200 to 500 N", 200.0, 500.0), ("500 to 1300 N", 500.0, 1300.0),
        ("above 1300 N", 1300.0, np.inf),
    ),
}  # fmt: skip
WORKS = ("it works", "it is in doubt", "it is out of order")


def median_press(key: str) -> float:
    """Force with which half of the steps of an animal press the pan at least [lbf]."""
    species, tread = animal_tables.record(key), animal_tables.tread("worked")
    steps = coupling(tread.coupling_mean.number, tread.coupling_sd.number)
    load = foot_load(
        species.mass.number, species.mass_cv.number, species.share.number, species.share_sd.number, steps
    )
    return convert(float(load.median[0]), "N", "lbf")


def who_presses(rng: random.Random) -> Question:
    """Which animals trip the pan at a force."""
    pressed = {key: median_press(key) for key in rng.sample(sorted(ANIMALS), 4)}
    order = sorted(pressed, key=lambda key: pressed[key])
    names = ANIMALS
    forces = [
        force
        for force in (1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0)
        if all(max(force / one, one / force) > APART for one in pressed.values())
    ]
    force, unit = rng.choice(forces), unit_of("force")
    word, told_force = ("N", asked(force, "force", 0.5)) if metric() else ("lb", force)
    over = [key for key in order if pressed[key] > force]
    sets = [tuple(order[start:]) for start in range(len(order) + 1)]
    words = [_listed([names[key] for key in part]) for part in sets]
    choices, place = chosen(rng, words[sets.index(tuple(over))], words)
    told = "; ".join(f"{names[key]} {number(convert(pressed[key], 'lbf', unit))} {word}" for key in order)
    return Question(
        "who-presses",
        f"A pan is set to {told_force:g} {word}. Which of these press harder than that with half of their steps "
        f"or more: {_listed([names[key] for key in sorted(order)])}?",
        f"Half of the steps press at least: {told}. A dog presses harder than a fox: a stiff pan keeps no dog out.",
        "weight × share on one foot × share that meets the pan; calibrated on published pan trials",
        choices=choices, right=place, given={"force": told_force, "animals": " ".join(order), "unit": unit},
    )  # fmt: skip


def _listed(words: list[str]) -> str:
    if not words:
        return "none of them"
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def weakest_link(rng: random.Random) -> Question:
    """Which part goes first."""
    table = tackle_tables.tackle()
    chain = rng.choice(("machine-2", "machine-3", "machine-1", "machine-2/0"))
    hook = rng.choice(("s-hook-4.8", "s-hook-5.5", "s-hook-4.8-closed"))
    link, rope, end = "quick-link-3/16", "cable-3/32-7x7", "end-sleeve"
    share = table.number(end, "efficiency")
    names = {
        "chain": table.text(chain, "label"), "hook": table.text(hook, "label"), "link": table.text(link, "label"),
        "cable": table.text(rope, "label"),
    }  # fmt: skip
    slow = {name: table.number(key, "breaking") for name, key in (("chain", chain), ("hook", hook), ("link", link))}
    slow["cable"] = table.number(rope, "breaking")
    strong = {**slow, "cable": float(cable(slow["cable"], share))}
    weakest = series([Part(name, force) for name, force in strong.items()]).name
    word, step = ("N", 10.0) if metric() else ("lb", 1.0)
    shown = {name: round(convert(force, "N", unit_of("force")) / step) * step for name, force in slow.items()}
    listed = "; ".join(f"{names[name]}: {shown[name]:.0f} {word}" for name in names)
    choices, place = chosen(rng, names[weakest], list(names.values()))
    return Question(
        "weakest-link",
        f"These parts hang one behind the other. They break at: {listed}. The cable ends in pressed sleeves, which "
        "keep "
        f"{100 * share:.0f} % of its strength. Which part goes first?",
        f"The cable is worth {share:g} {TIMES} {shown['cable']:.0f} = {share * shown['cable']:.0f} {word}. The least "
        "of all is "
        f"{names[weakest]}. The rest does not help.",
        "strengths as in the table of tackle, each with its source there",
        choices=choices, right=place, given={"chain": chain, "hook": hook},
    )  # fmt: skip


def worn_chain(rng: random.Random) -> Question:
    """What a worn link is still worth."""
    table = tackle_tables.tackle()
    key = rng.choice(("machine-2", "machine-1", "machine-2/0"))
    new = round(table.number(key, "wire_diameter") * 1e3, 1)
    left = round(new * rng.choice((0.95, 0.9, 0.85, 0.8, 0.7)), 1)
    share = 100.0 * float(worn(left, new))
    return Question(
        "worn-chain",
        f"{table.text(key, 'label')} has wire of {new:g} mm when new. Where two links rub you measure {left:g} mm. "
        "How many "
        "percent of its strength are left?",
        f"Strength goes with the area of the wire: ({left:g}/{new:g})² = {share:.0f} %. Gauge it where it is "
        "thinnest.",
        "area of the wire",
        answer=share, unit="%", tolerance=2.0, given={"new": new, "left": left},
    )  # fmt: skip


def stake_class(rng: random.Random) -> Question:
    """What class of pull a stake holds."""
    soils, stakes = ground_tables.soils(), ground_tables.stakes()
    soil, stock = rng.choice(("loam", "stiff-clay", "soft-clay")), rng.choice(("rod-24", "tbar-30"))
    width, whole = stakes.number(stock, "width"), stakes.number(stock, "length")
    deep, height = whole - 2.0 * INCH, 1.0 * INCH
    pull, moment = lateral_undrained(soils.number(soil, "cu"), width, deep, height)
    held, bends = yield_limited(pull, moment, stakes.number(stock, "yield_moment"))
    unit = unit_of("force")
    force, classes = convert(float(held), "N", unit), CLASSES[unit]
    right = next(words for words, low, high in classes if low <= force < high)
    choices, place = chosen(rng, right, [words for words, *_ in classes])
    about = f"{round(force, -1):.0f} N" if metric() else f"{force:.0f} lb"
    high = "25 mm" if metric() else "an inch"
    why = "the stake bends first" if bool(bends) else "the ground lets it turn first"
    return Question(
        "stake-class",
        f"A {stakes.text(stock, 'label')} is driven to {inches(deep)} in {soils.text(soil, 'label')}. The animal "
        "pulls it level, "
        f"{high} over the ground. About what does it hold?",
        f"About {about}: {why}. It can be off by half or by double. Pull it with a scale before you trust "
        "it, and "
        "wear eye cover when you do.",
        "Broms (1964) for a short stake in clay; strength of the ground by hand test, table of soils",
        choices=choices, right=place, given={"soil": soil, "stake": stock, "unit": unit},
    )  # fmt: skip


def chain_angle(rng: random.Random) -> Question:
    """At what angle a short chain pulls."""
    long, high = rng.choice((8, 12, 18, 30, 36)), rng.choice((4, 6))
    length, height, unit = round(asked(long, "length", 5.0)), round(asked(high, "length", 5.0)), unit_of("length")
    angle = float(np.degrees(pull_angle(length, height)))
    return Question(
        "chain-angle",
        f"A held animal lifts its foot {height} {unit} over the head of the stake. The chain is {length} {unit} long "
        "and tight. At how "
        "many degrees over the ground does it pull? (The sine is height over length.)",
        f"sin⁻¹({height}/{length}) = {angle:.0f}°. A rod likes a level pull, so it likes a long chain. An earth "
        "anchor "
        "takes a steep one, and a short chain gives no run-up.",
        "geometry",
        answer=angle, unit="deg", tolerance=2.0, given={"length": length, "height": height},
    )  # fmt: skip


def crust(rng: random.Random) -> Question:
    """Whether a frozen cover still lets the trap fire."""
    thick, ice = rng.choice((1.0, 3.0, 4.0, 7.0, 9.0)), rng.choice((0, 2, 6, 12, 20))
    strong, weak = (thick / 1e3 if ice >= least else 0.0 for least in (8, 4))
    code = int(crust_code(strong, weak))
    choices, place = chosen(rng, WORKS[code], list(WORKS))
    why = (
        "Cold but dry, so nothing glues it"
        if ice < 4
        else "Ice glues it, but it is thin"
        if thick < 2
        else "Ice glues it"
    )
    return Question(
        "crust",
        f"The cover over a trap is frozen {thick:g} mm down. {ice} % of it is ice, the rest is dirt and air. Rule "
        "of thumb: "
        "from 8 % ice it sets like stone, and 5 mm of that hold the trap; from 4 % on, 2 mm are a doubt. How does "
        "it stand?",
        f"{why}: {WORKS[code]}. Dry cover is what beats frost, not more springs.",
        "rule of thumb of this program, common practice and assumed",
        choices=choices, right=place, given={"thick": thick, "ice": ice},
    )  # fmt: skip


def chill(rng: random.Random) -> Question:
    """What a bare face feels."""
    cold, blows = rng.randrange(-10, 36, 5), rng.randrange(5, 31, 5)
    air, wind = round(asked(cold, "air")), round(asked(blows, "wind", 5.0))
    if metric():
        found, degrees, speed = float(wind_chill(air, convert(wind, "kph", "m/s"))), "°C", "km/h"
        rule = "13.12 + 0.6215 T − 11.37 V^0.16 + 0.3965 T V^0.16"
        source = "Meteorological Service of Canada, wind chill index of 2001"
    else:
        found, degrees, speed = float(wind_chill_fahrenheit(air, wind)), "°F", "mph"
        rule = "35.74 + 0.6215 T − 35.75 V^0.16 + 0.4275 T V^0.16"
        source = "US National Weather Service wind chill index of 2001"
    power, feels = wind**0.16, f"{found:.0f}".replace("-", "−")
    return Question(
        "wind-chill",
        f"The air is {air} {degrees} and the wind {wind} {speed}. Wind chill = {rule}. "
        f"({wind}^0.16 is {power:.3f}.) What does a bare face feel?".replace("-", "−"),
        f"About {feels} {degrees}. That is for your face. Wet hands are worse off, and it says nothing of an animal.",
        source,
        answer=found, unit=unit_of("air"), tolerance=1.0,
        given={"air": air, "wind": wind, "unit": unit_of("air")},
    )  # fmt: skip


KINDS = {
    "who-presses": QuestionKind("who trips the pan", who_presses),
    "weakest-link": QuestionKind("the weakest link", weakest_link),
    "worn-chain": QuestionKind("worn chain", worn_chain),
    "stake-class": QuestionKind("what a stake holds", stake_class),
    "chain-angle": QuestionKind("angle of the pull", chain_angle),
    "crust": QuestionKind("frozen cover", crust),
    "wind-chill": QuestionKind("wind chill", chill),
}
