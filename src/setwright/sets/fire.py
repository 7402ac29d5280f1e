"""fire: does that foot trip the pan?"""

from __future__ import annotations

import numpy as np

from setwright.animal.load import coupling, fire_probability, foot_load
from setwright.animal.model import Species
from setwright.animal.wade import carried_share, leg_length
from setwright.basis.say import Say
from setwright.basis.source import Quantity
from setwright.sets import tables
from setwright.sets.context import Context, Floats, limit
from setwright.sets.model import TrapRig
from setwright.sets.naming import plain_name
from setwright.sets.result import CheckResult, Origin, check_margin, check_unknown

# A stiff pan measured once: the reading itself is known to about this share.
READING_SPREAD = 0.15
# Trip forces of the tables, about 0.15 to 15 lbf, and feet drawn for every draw of what is uncertain.
GRID: Floats = np.geomspace(0.7, 65.0, 17)
STEP = float(np.log(GRID[1] / GRID[0]))
INNER = 48


def trip_force(context: Context, trap: TrapRig) -> Floats:
    """Pan trip force [N], shape (n,): the reading, or the wide span of an unread pan."""
    reading = trap.trip_force.with_spread(READING_SPREAD) if trap.trip_force.known else context.figure("slack_pan")
    return context.drawn("trip force", reading)


def carried(context: Context, species: Species) -> float | None:
    """Share of its weight that is on the animal's feet; None afloat, where no weight stands behind a foot."""
    if context.site.medium == "land":
        return 1.0
    depth = pan_depth(context)
    if not depth.known or context.site.foot == "hind":
        return None
    share = float(carried_share(depth.number, leg_length(species.mass.number, species.class_)))
    return None if np.isnan(share) or share <= 0.0 else round(share, 2)


def fire_table(context: Context, species: Species) -> Floats | None:
    """P(fire | on the pan) over the trip forces `GRID`, shape (n, k); None for an animal afloat.

    One population comes to all sites, so mass, gait and coupling have the same draws everywhere on the line.
    """
    weight = carried(context, species)
    if weight is None:
        return None
    gait = tables.set_types().get(context.site.set_type, "gait")
    key = ("fire", species.key, species.mass, gait.value, gait.low, gait.high, weight)
    return context.line_kept.get(key, lambda: _fire_table(context, species, gait, weight))


def _fire_table(context: Context, species: Species, gait: Quantity, weight: float) -> Floats:
    loads = foot_load(
        context.mass(species),
        species.mass_cv.number if species.mass_cv.known else 0.25,
        species.share.number if species.share.known else 0.5,
        species.share_sd.number if species.share_sd.known else 0.12,
        context.line_kept.get(
            "coupling",
            lambda: coupling(
                context.shared_figure("coupling_mean"), context.shared_figure("coupling_sd"), inner=INNER
            ),
        ),
        gait=context.shared.quantity("gait", gait),
        carried=weight,
    )
    scatter = float(context.figure("trip_scatter").number)
    columns = [fire_probability(loads, np.full(context.n, force), scatter=scatter) for force in GRID]
    return np.stack([np.asarray(column) for column in columns], axis=1)


def at_force(table: Floats, force: Floats) -> Floats:
    """Read a table of `fire_table` at one trip force [N] a draw, shape (n,), linear in the logarithm of the force."""
    place = np.clip((np.log(force) - np.log(GRID[0])) / STEP, 0.0, GRID.size - 1.001)
    low = place.astype(int)
    rows = np.arange(table.shape[0])
    part = place - low
    return np.asarray((1.0 - part) * table[rows, low] + part * table[rows, low + 1])


def pan_depth(context: Context) -> Quantity:
    """Depth of water over the pan when set; unknown on land or when it was not stated."""
    water = context.site.water
    if water is None or water.pan_depth is None:
        return Quantity(None, "m")
    return water.pan_depth


def fire_chances(context: Context, trap: TrapRig) -> dict[str, Floats]:
    """P(the foot fires the pan | it stands on it), every species, each shape (n,)."""

    def make() -> dict[str, Floats]:
        force = trip_force(context, trap)
        found: dict[str, Floats] = {}
        for key, species in context.species.items():
            table = fire_table(context, species)
            found[key] = (
                context.drawn(f"kick.{key}", context.figure("kick")) if table is None else at_force(table, force)
            )
        return found

    return context.kept.get(("fire", trap.trip_force), make)


def trip_check(context: Context, trap: TrapRig, chances: dict[str, Floats]) -> CheckResult:
    """The pan against the target's foot."""
    target = context.target
    name = plain_name(target)
    origins = (
        Origin("trip force", trap.trip_force.source),
        Origin("body mass", target.mass.source),
        Origin("share of weight on one foot", target.share.source),
        Origin("share that reaches the pan", context.figure("coupling_mean").source),
    )
    if not trap.trip_force.known:
        return check_unknown(
            "trip force",
            "share",
            Say("the trip force of {trap:word} was never read", trap=trap.trap_id),
            Say("read the trip force of {trap:word} three times with a spring scale", trap=trap.trap_id),
            origins=origins,
            limit=limit("fire"),
        )
    if carried(context, target) is None:
        if context.site.foot == "hind" or pan_depth(context).known:
            return check_unknown(
                "trip force",
                "share",
                Say("a floating {animal:word} fires it with a kick, and no force of that is published", animal=name),
                Say("keep the pan light and crisp, and log every visit that did not fire it"),
                origins=(origins[0], Origin("kick", context.figure("kick").source)),
                limit=limit("fire"),
            )
        return check_unknown(
            "trip force",
            "share",
            Say("the depth of water over the pan is not written down"),
            Say("measure the water over the pan"),
            origins=origins,
            limit=limit("fire"),
        )
    force = trap.trip_force.number
    return check_margin(
        "trip force",
        chances[target.key],
        limit("fire"),
        "share",
        Say(
            "a trip force of {force:force} against the foot of a {mass:mass} {animal:word}",
            force=force,
            mass=target.mass.number,
            animal=name,
        ),
        mend=Say("set the pan lighter, and see below what else that lets in"),
        origins=origins,
    )
