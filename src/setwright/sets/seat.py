"""Does the ground carry the trap under the step?"""

from __future__ import annotations

import numpy as np

from setwright.basis.say import Say
from setwright.ground import tables as ground_tables
from setwright.ground.bearing import sinkage_undrained
from setwright.sets.context import Context, Floats, limit
from setwright.sets.model import Rig
from setwright.sets.result import CheckResult, Origin, check_margin, check_unknown

G = 9.80665
# Width of a bearing strip of the frame: jaws, base and levers are 15-25 mm wide.
STRIP = 0.02
# Depth within which strength is taken to grow by half again, as in a settled bed.
STRENGTH_DEPTH = 0.3
BOARD_SIDE = 0.25
STEP_SHARE = {"rodent": 0.5}
SINKS_THROUGH = 0.3


def seat_share(context: Context, rig: Rig) -> tuple[Floats, CheckResult | None]:
    """1 where the ground carries trap and step, 0 where the trap goes under, shape (n,), and the check.

    Undrained bearing of the frame's strips under the trap's weight and the step; a trap that sinks
    deeper than the seat limit is counted as out of order for that step. Drained and frozen ground carries.
    """
    site = context.site
    carried = np.ones(context.n)
    if not site.soils:
        if site.medium == "land":
            return carried, None
        return carried, check_unknown(
            "bearing",
            "length",
            Say("the bottom under the trap was not described"),
            Say("push a thumb or rod into the bottom and write the ground down"),
            limit=limit("order"),
        )
    soil = site.soils[0]
    table = ground_tables.soils()
    if table.text(soil.key, "model") != "undrained":
        return carried, None
    strength = soil.strength if soil.strength is not None else table.get(soil.key, "cu")
    cohesion = context.drawn("soil.0.cu", strength.with_spread(0.3) if soil.strength is not None else strength)
    area = rig.trap.bearing_area
    bearing = context.drawn(f"bearing.{rig.trap.pattern}", area.with_spread(0.25))
    strip = STRIP
    if rig.board:
        bearing, strip = np.maximum(bearing, BOARD_SIDE**2), BOARD_SIDE
    target = context.target
    mass = context.mass(target)
    load = (rig.trap.mass.number + STEP_SHARE.get(target.class_, 1.0) * mass) * G
    weight = table.number(soil.key, "unit_weight_submerged" if site.medium == "water" else "unit_weight")
    sunk = np.asarray(
        sinkage_undrained(load, bearing, strip, bearing / strip, cohesion, 0.5 * cohesion / STRENGTH_DEPTH, weight),
        dtype=float,
    )
    sunk = np.minimum(np.where(np.isfinite(sunk), sunk, SINKS_THROUGH), SINKS_THROUGH)
    if np.isfinite(soil.thickness):
        sunk = np.minimum(sunk, soil.thickness)
    bound = context.own_figure("seat_limit")
    stays = sunk <= bound
    share = np.where(stays, 1.0, 0.0)
    deep = float(np.quantile(sunk, 0.5))
    label = table.text(soil.key, "label")
    origins = (
        Origin("bearing area", area.source),
        Origin("strength of the ground", strength.source),
        Origin("depth a seat may sink", context.figure("seat_limit").source),
    )
    why = (
        Say("the step pushes it {deep:length} into {ground:word}", deep=deep, ground=label)
        if deep > 0.005
        else Say("{ground:word} carries trap and step", ground=label)
    )
    mend = Say("a board or mesh under the trap, or a double long-spring with its springs spread")
    return share, check_margin("bearing", bound - sunk, 0.0, "length", why, mend=mend, origins=origins)
