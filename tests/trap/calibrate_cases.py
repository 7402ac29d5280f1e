"""Invented traps drawn from a pattern's prior, and the readings that a bench would have shown of them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from setwright.trap import tables
from setwright.trap.forward import predict
from setwright.trap.model import Floats
from setwright.trap.readings import AT_LEAST, Reading
from setwright.trap.unknowns import Design, Unknowns, design_of, unknowns_of

DOWEL = 0.02
MOST_PULL = 400.0
CALIPERS = ("spread", "jaw_height", "leg_thickness", "face_width", "eye_opening", "jaw_mass")


@cache
def unknowns(key: str) -> Unknowns:
    return unknowns_of(tables.dimensions(key), tables.priors(key))


@cache
def usual_trap(key: str) -> Design:
    """The trap at the median of its prior."""
    return design_of(unknowns(key), np.zeros((1, unknowns(key).size)))


@cache
def bench_plan(key: str) -> tuple[Reading, ...]:
    """Readings of one bench day, settings stated, values still to be filled in."""
    both = [Reading(kind, 1.0, 1.0) for kind in (*CALIPERS, "pan_pull")]
    both += [Reading("opening_force", 1.0, 1.0, dowel=DOWEL), Reading("closing_time", 1.0, 1.0, frame_rate=1000.0)]
    if key.startswith("coil"):
        reach = float(usual_trap(key).trap.lever_length[0])
        both += [Reading(kind, 1.0, 1.0) for kind in ("wire_diameter", "lever_length", "empty_lever_angle")]
        both += [Reading("lever_force", 1.0, 1.0, lever_angle=angle, distance=reach) for angle in (0.2, 0.9)]
    else:
        both += [Reading("leaf_thickness", 1.0, 1.0)]
        both += [Reading("creep_force", 1.0, 1.0, dowel=DOWEL, bar_force=60.0)]
        both += [Reading("lever_force", 1.0, 1.0, eye_height=eye, base_height=0.01) for eye in (0.012, 0.04)]
    return tuple(both)


def one_trap(key: str, rng: np.random.Generator) -> tuple[Floats, Design]:
    """Scores and design of one trap of the prior."""
    scores = rng.standard_normal((1, unknowns(key).size))
    return scores, design_of(unknowns(key), scores)


def read_off(
    design: Design, plan: tuple[Reading, ...], rng: np.random.Generator | None, *, sharper: float = 1.0
) -> list[Reading]:
    """Readings of a design with seeded errors; without a generator they are free of error.

    A force above what anybody pulls is read as a bound.
    """
    errors = tables.reading_errors()
    found = []
    for reading, value in zip(plan, predict(design, plan)[0].tolist(), strict=True):
        if reading.kind == "opening_force" and not value < MOST_PULL:
            found.append(replace(reading, value=MOST_PULL, sd=errors[reading.kind].sd(MOST_PULL), bound=AT_LEAST))
            continue
        sd = errors[reading.kind].sd(value, reading.frame_rate) / sharper
        seen = value if rng is None else value + sd * float(rng.standard_normal())
        if seen > 0.0:
            found.append(replace(reading, value=seen, sd=sd))
    return found
