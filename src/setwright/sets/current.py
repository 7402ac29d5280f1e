"""What a current does at a set: it draws a held animal along, and moves a trap that is not bedded."""

from __future__ import annotations

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import assumed
from setwright.sets.context import Context, Floats
from setwright.sets.model import Rig
from setwright.sets.result import CheckResult, Origin, check_margin
from setwright.water import tables as water_tables
from setwright.water.anchor import bedding_spare, drag_force

# A beaver of 20 kg broadside, a trap on edge: area across the current [m2] and coefficient (assumed).
BODY_AREA, BODY_MASS, BODY_DRAG = 0.10, 20.0, 1.0
TRAP_AREA, TRAP_SPREAD, TRAP_DRAG = 0.012, 0.16, 1.2


def speed_of(context: Context) -> float:
    """Speed of the water at the set [m/s]; 0 where the book says nothing."""
    return 0.0 if context.site.water is None else context.site.water.current


def drag_of_animal(context: Context) -> Floats:
    """Pull of the current on the target held broadside [N], shape (n,); area goes with mass to the two thirds."""
    area = BODY_AREA * (context.mass(context.target) / BODY_MASS) ** (2.0 / 3.0)
    return drag_force(area, BODY_DRAG, speed_of(context))


def current_check(context: Context, rig: Rig) -> CheckResult | None:
    """Does the trap stay where it lies, bedded by nothing but its weight? None in still water and on land."""
    flow = speed_of(context)
    if context.site.medium != "water" or flow <= 0.0:
        return None
    table = water_tables.anchors()
    friction = context.drawn("bed.friction", table.get("steel", "friction"))
    area = TRAP_AREA * (rig.trap.spread.number / TRAP_SPREAD) ** 2
    mass = context.drawn("trap.mass", rig.trap.mass)
    drag = drag_force(area, TRAP_DRAG, flow)
    spare = bedding_spare(drag, mass, table.number("steel", "density"), friction)
    origins = (
        Origin("friction on the bed", table.get("steel", "friction").source),
        Origin("mass of the trap", rig.trap.mass.source),
        Origin("area of the trap", assumed("on edge, by its spread")),
    )
    why = Say(
        "water at {flow:speed} pulls the trap with {drag:force}; lying loose it stands {grip:force}",
        flow=flow, drag=float(np.max(drag)), grip=float(np.median(spare + drag)),
    )  # fmt: skip
    mend = Say("bed it into the bottom or hold it by a stake at its base, and turn it along the current")
    return check_margin("current", np.asarray(spare), 0.0, "force", why, mend=mend, origins=origins)
