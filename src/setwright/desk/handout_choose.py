"""Handouts to choose by: jaws, trip force, anchors, depth sum, frost, sign, yearly treatment."""

from __future__ import annotations

import math

from setwright.animal import tables as animal_tables
from setwright.basis.units import convert, feet, inches
from setwright.desk import tables
from setwright.desk.figure import water_figure
from setwright.desk.handout_cautions import cautions_on
from setwright.desk.handout_document import Cell, Grid, Handout, Picture, Words
from setwright.desk.handout_source import Asked, cell, mark_of, topic
from setwright.water import tables as water_tables

JAWS = ("regular", "offset", "laminated", "padded", "double")
ANCHORS = ("rod", "crossed", "plate", "drag", "weight", "tree")
_ANCHOR_NAMES = {
    "rod": "rod stake",
    "crossed": "crossed rods",
    "plate": "cable earth anchor",
    "drag": "drag",
    "weight": "deep weight",
    "tree": "living tree",
}
FORCES = (
    "muskrat",
    "mink",
    "gray_fox",
    "red_fox",
    "raccoon",
    "bobcat",
    "coyote_west",
    "beaver",
    "river_otter",
    "wolf",
)
# Sign of an animal, the set types that trappers try there first, and the foot table of its water window.
SIGNS = (
    ("muskrat", "feed bed, runs, droppings on a log", "feed bed, channel, float", "muskrat-fore"),
    ("mink", "small tracks along the bank, holes", "pocket, blind", "mink-fore"),
    ("raccoon", "tracks at the water, latrine", "pocket, cubby", "raccoon-fore"),
    ("beaver", "mud mound, cuttings, worn slide, dam", "castor mound, slide, crossover", "beaver-fore"),
    ("red_fox", "track line on lanes, droppings", "dirt-hole, flat, scent post", ""),
    ("coyote_west", "tracks, droppings on crossings", "dirt-hole, flat, blind", ""),
    ("bobcat", "round tracks, scrapes", "cubby, blind, flat", ""),
)


def jaws(asked: Asked) -> Handout:
    """What each kind of jaw does, and where it belongs."""
    owned = {kind: _owned(asked, kind) for kind in JAWS}
    rows = [
        [Cell(text=kind), *(cell(f"jaw-{kind}.{part}") for part in ("does", "use")), Cell(text=owned[kind])]
        for kind in JAWS
    ]
    return Handout(
        name="jaws",
        title="Jaw chooser",
        say=Words(
            text="Width of the face, swivels and time held weigh more than the strength of the spring.", mark="p"
        ),
        blocks=[
            Picture(name="jaws"),
            Grid(
                columns=["jaws", "what they do", "where", "yours"],
                widths=[1.0, 3.0, 2.6, 1.0],
                rows=rows,
            ),
        ],
        cautions=cautions_on("dogs"),
        traps={"coil": asked.shown("coil"), "long": asked.shown("long")},
        about="" if asked.job is None else "traps of the outfit",
    )


def _owned(asked: Asked, kind: str) -> str:
    if asked.job is None:
        return ""
    count = sum(kind in (trap.jaws or "").split() for trap in asked.job.traps.values())
    return f"{count} traps" if count else "none"


def _pounds(newtons: float) -> str:
    return f"{convert(newtons, 'N', 'lbf'):.1f}".removesuffix(".0")


def trip_force(asked: Asked) -> Handout:
    """Trip force by animal, from the table of animals, and what the owned traps read."""
    table = animal_tables.species()
    rows = []
    for key in FORCES:
        if not table.has(key, "pan_low"):
            continue
        low, high = table.get(key, "pan_low"), table.get(key, "pan_high")
        mark = mark_of(low.source.confidence)
        span = f"{_pounds(low.number)} to {_pounds(high.number)} lbf"
        rows.append(
            [
                Cell(text=table.text(key, "name")),
                Cell(text=span, mark=mark),
                Cell(text=f"{low.number:.0f} to {high.number:.0f} N"),
                Cell(text=_fitting(asked, low.number, high.number)),
            ]
        )
    return Handout(
        name="trip-force",
        long=True,
        title="Pan trip force",
        say=Words(text="Set the pan for the animal that you want, then read it three times."),
        blocks=[
            Grid(
                columns=["animal", "pounds", "newtons", "traps that read so"], widths=[1.5, 1.4, 1.3, 2.4], rows=rows
            ),
            topic("force", form="plain"),
            Grid(
                head="Read today",
                columns=["trap", "1", "2", "3", "date"],
                widths=[1.4, 1.0, 1.0, 1.0, 1.2],
                blank_rows=3,
            ),
        ],
        cautions=cautions_on("dogs", "hands"),
        about="" if asked.job is None else "traps of the outfit",
    )


def _fitting(asked: Asked, low: float, high: float) -> str:
    """Tags of traps whose pan reads inside a span, by kind."""
    if asked.job is None:
        return ""
    found = [
        tags
        for family in ("coil", "long")
        for tags, trap in asked.kinds(family)
        if trap.trip_force.value is not None and low - 0.01 <= trap.trip_force.value <= high + 0.01
    ]
    return ", ".join(found) or "none"


def anchors(asked: Asked) -> Handout:
    """Which anchor for which ground."""
    del asked
    rows = [
        [Cell(text=_ANCHOR_NAMES[kind]), cell(f"anchor-{kind}.ground"), cell(f"anchor-{kind}.watch")]
        for kind in ANCHORS
    ]
    return Handout(
        name="anchors",
        title="Anchor chooser",
        say=Words(text="An animal that leaves with a trap on its foot is the worst outcome. When in doubt, pull it."),
        blocks=[
            Picture(name="anchors", high=0.9),
            Grid(columns=["anchor", "ground", "watch"], widths=[1.2, 2.2, 2.6], rows=rows),
            topic("anchor", form="plain"),
        ],
        cautions=cautions_on("driving"),
    )


def tackle(asked: Asked) -> Handout:
    """Chain and swivels: where they sit, and which anchor each owned chain is for."""
    chains = () if asked.job is None else asked.job.options.chains
    trade = tables.figures()
    short, long = trade["chain_plate"].number, trade["chain_rod"].number
    rows = []
    for chain in chains:
        length = chain.length.number
        fits = "cable earth anchor" if length < short else "rod, drag" if length > long else "neither, by the guides"
        count = "" if chain.swivels is None else str(chain.swivels)
        rows.append([Cell(text=chain.key), Cell(text=feet(length)), Cell(text=count), Cell(text=fits, mark="g")])
    return Handout(
        name="tackle",
        title="Chain and swivels",
        student=True,
        say=Words(text="A chain that cannot turn twists the leg, and then it breaks or lets go."),
        blocks=[
            Picture(name="swivels"),
            topic("tackle"),
            Grid(
                head="Chains of the outfit" if rows else "Your chains",
                columns=["chain", "length", "swivels in it", "anchor it suits"],
                widths=[1.4, 1.0, 1.0, 2.0],
                rows=rows,
                blank_rows=0 if rows else 5,
                note="Count the swivel on the trap's base as well." if rows else "",
            ),
        ],
        cautions=cautions_on("hands", "driving"),
        about="chains of the outfit" if rows else "",
    )


def slide_sum(asked: Asked) -> Handout:
    """The depth sum of a slide set, or the blanks to work it out."""
    total, about = [], ""
    wanted = asked.chosen()
    job = asked.job
    if job is not None:
        for site in job.sites if wanted is None else (wanted,):
            rig = job.stated.get(site.key)
            if site.medium == "water" and rig is not None and rig.slide is not None:
                total = water_figure(job.contexts[site.key], rig).sum
                about = f"set {site.number}, {site.name}" if total else ""
                break
    labels = (
        "Depth at the stop",
        "Less: the water may fall",
        "Less: chain and trap",
        "Less: foot to nose",
        "Less: water over the nose",
        "To spare",
    )
    rows = [
        [Cell(text=letter), Cell(text=label), Cell(text=inches(abs(total[k].value), 2) if total else "")]
        for k, (letter, label) in enumerate(zip("ABCDEF", labels, strict=True))
    ]
    return Handout(
        name="slide-sum",
        title="Slide cable: the depth sum",
        student=True,
        say=_verdict(total[-1].value if total else math.nan),
        blocks=[
            Picture(name="slide-sum"),
            Grid(columns=["", "what", "inches"], widths=[0.4, 3.0, 1.2], rows=rows),
            topic("slide", form="plain"),
        ],
        cautions=cautions_on("submersion"),
        total=total,
        about=about,
    )


def _verdict(spare: float) -> Words:
    if math.isnan(spare):
        return Words(text="A less B, C, D and E must leave something over. If not, the set holds alive.")
    if spare >= 0.0:
        return Words(text="The sum leaves {spare} over.", values={"spare": inches(spare, 2)})
    return Words(
        text="The sum is {short} short: this set holds alive. Go deeper, or shorten the chain.",
        values={"short": inches(-spare, 2)},
    )


def _span(low: float, high: float) -> str:
    """Two lengths in inches, the unit said once."""
    return f"{inches(low, 4).removesuffix(' in')} to {inches(high, 4)}"


def sign(asked: Asked) -> Handout:
    """From sign to set: animal, set types, jaw spread, depth over the pan."""
    del asked
    animals, windows = animal_tables.species(), water_tables.windows()
    rows = []
    for key, seen, types, window in SIGNS:
        spread = _span(animals.number(key, "jaw_low"), animals.number(key, "jaw_high"))
        mark = mark_of(animals.get(key, "jaw_low").source.confidence)
        depth = ""
        if window:
            low, high = windows.number(window, "depth_low"), windows.number(window, "depth_high")
            depth = _span(low, high)
        rows.append(
            [
                Cell(text=animals.text(key, "name").split(",")[0]),
                Cell(text=seen, mark="p"),
                Cell(text=types, mark="p"),
                Cell(text=spread, mark=mark),
                Cell(text=depth or "on land"),
            ]
        )
    return Handout(
        name="sign",
        title="From sign to set",
        student=True,
        say=Words(text="Find the sign, pick a set that the ground allows, then ask who else comes by."),
        blocks=[
            Grid(
                columns=["animal", "sign", "sets to try", "jaw spread", "water over pan"],
                widths=[1.0, 2.0, 1.9, 1.2, 1.1],
                rows=rows,
            ),
            Grid(
                head="Your sites",
                columns=["place", "sign, how fresh", "who else", "set"],
                widths=[1.2, 1.6, 1.2, 1.2],
                blank_rows=4,
            ),
        ],
        cautions=cautions_on("dogs", "water"),
    )
