"""The yearly treatment of the traps as a batch: which traps to a load, how many loads, how long, in which order."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from setwright.basis.errors import BadInput
from setwright.basis.units import convert, parse
from setwright.desk import tables
from setwright.desk import treatment_document as doc
from setwright.desk.handout_cautions import cautions_on
from setwright.desk.overhaul import overhauled
from setwright.line.assemble import Job
from setwright.sets.model import TrapRig

POT = "20 gal"
STEPS = {"boil": "boil clean", "dye": "dye", "wax_dip": "wax"}
# A finish by its steps; how long a dip takes its maker's sheet says, and nobody else.
FINISHES = {"wax": ("boil", "dye", "wax_dip"), "dye": ("boil", "dye"), "dip": ("boil",), "clean": ("boil",)}
FINISH_WORDS = {
    "wax": "boil, dye and wax", "dye": "boil and dye", "dip": "boil, then a dip by its maker's sheet",
    "clean": "boil clean only",
}  # fmt: skip
HOURS, LEAST_HOURS, MOST_HOURS = 8.0, 1.0, 16.0
SMALLEST, LARGEST = 0.004, 1.0


@dataclass(frozen=True)
class Loads:
    """Traps by load, as many to each as the pot takes; traps that do not go into it at all stand apart."""

    loads: tuple[tuple[TrapRig, ...], ...]
    too_large: tuple[TrapRig, ...]


def bulk_of(trap: TrapRig) -> float:
    """What a trap that hangs free takes of the pot [m³]: share of its spread both ways and half of it high."""
    spread = trap.spread.number
    return 0.5 * spread**3 * tables.figures()["trap_bulk"].number


def loads_of(traps: Sequence[TrapRig], pot: float) -> Loads:
    """Traps to loads, largest first, each into the first load that has room.

    Parameters
    ----------
    traps : sequence of TrapRig
        What is to be treated.
    pot : float [m³]
        Room of the pot.
    """
    room = pot * tables.figures()["pot_share"].number
    made: list[tuple[float, list[TrapRig]]] = []
    too_large = []
    for trap in sorted(traps, key=lambda one: -bulk_of(one)):
        bulk = bulk_of(trap)
        if bulk > room:
            too_large.append(trap)
            continue
        place = next((k for k, (taken, _) in enumerate(made) if taken + bulk <= room + 1e-12), None)
        if place is None:
            made.append((bulk, [trap]))
        else:
            taken, inside = made[place]
            made[place] = (taken + bulk, [*inside, trap])
    return Loads(tuple(tuple(inside) for _, inside in made), tuple(too_large))


def hours_of(text: str) -> float:
    """Hours of a day at the pot, from words.

    Raises
    ------
    BadInput
        When they are none.
    """
    try:
        found = float(text)
    except ValueError:
        found = math.nan
    if not LEAST_HOURS <= found <= MOST_HOURS:
        raise BadInput("no hours of a day at the pot", field="hours", found=text[:40],
                       allowed=f"{LEAST_HOURS:g} to {MOST_HOURS:g}")  # fmt: skip
    return found


def _room(text: str) -> float:
    try:
        return parse(text, "m**3")
    except BadInput as error:
        raise BadInput(error.message, field="pot", found=text[:40], allowed=error.allowed) from None


def treatment(job: Job, *, pot: str = POT, finish: str = "wax", hours: str = "") -> doc.Treatment:
    """The batch plan of the outfit.

    Parameters
    ----------
    job : Job
        The line made ready.
    pot : str
        Room of the pot, with its unit.
    finish : str
        One of `FINISHES`.
    hours : str
        Hours of a day at the pot.

    Raises
    ------
    BadInput
        When the pot, the finish or the hours are none.
    """
    if finish not in FINISHES:
        raise BadInput("no such finish", field="finish", found=finish[:40], allowed=", ".join(FINISHES))
    room = _room(pot)
    if not SMALLEST <= room <= LARGEST:
        raise BadInput("no pot of that size", field="pot", found=pot[:40], allowed="1 to 264 gal")
    day = hours_of(hours) if hours.strip() else HOURS
    scrap = {one.trap for one in overhauled(job).traps if one.verdict == "scrap"}
    packed = loads_of([trap for tag, trap in job.traps.items() if tag not in scrap], room)
    trade = tables.figures()
    rows, whole = [], 0.0
    for step in FINISHES[finish]:
        one = trade[step]
        each = one.number + trade["load_change"].number
        total = each * len(packed.loads)
        whole += total
        rows.append(doc.TreatStep(
            name=STEPS[step], minutes=one.number / 60.0, low=(one.low or one.number) / 60.0,
            high=(one.high or one.number) / 60.0, all_minutes=total / 60.0, source=str(one.source),
        ))  # fmt: skip
    days = math.ceil(whole / 3600.0 / day - 1e-9) if whole else 0
    named = [[trap.trap_id for trap in inside] for inside in packed.loads]
    lines = tables.lines()
    return doc.Treatment(
        schema=doc.SCHEMA, pot_gallons=convert(room, "m**3", "gal"), finish=finish, hours=day,
        say=_say(named, finish, whole, days, sorted(scrap)), loads=named, steps=rows, minutes=whole / 60.0, days=days,
        order=[doc.TreatLine(text=lines.text(key, "say"), source=str(lines.get(key, "say").source))
               for key in lines if key.startswith("treat.")],
        left_out=sorted(scrap), too_large=[trap.trap_id for trap in packed.too_large],
        again=[tag for load in named for tag in load],
        cautions=[one.text for one in cautions_on("wax")],
    )  # fmt: skip


def _say(loads: list[list[str]], finish: str, seconds: float, days: int, scrap: list[str]) -> str:
    count = sum(len(load) for load in loads)
    if not count:
        return "No trap of the outfit goes into this pot."
    hours = seconds / 3600.0
    most = max(len(load) for load in loads)
    words = (
        f"{count} traps in {len(loads)} load{'' if len(loads) == 1 else 's'} of up to {most}: "
        f"{FINISH_WORDS[finish]}, "
        f"about {hours:.0f} hours at the pot, {days} day{'' if days == 1 else 's'}."
    )
    if finish == "dip":
        words += " How long the dip takes cannot be told here."
    return words + (f" {', '.join(scrap)} left out: scrap." if scrap else "")
