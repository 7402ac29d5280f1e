"""fire: does that foot trip the pan?"""

from __future__ import annotations

import numpy as np

from setwright.animal.load import Loads, coupling, fire_probability, foot_load
from setwright.animal.model import Species
from setwright.animal.wade import carried_share, leg_length
from setwright.basis.say import Say
from setwright.basis.source import Quantity
from setwright.sets import tables
from setwright.sets.context import Context, Floats, limit
from setwright.sets.model import TrapRig
from setwright.sets.result import CheckResult, Origin, check_margin, check_unknown

# A stiff pan measured once: the reading itself is known to about this share.
READING_SPREAD = 0.15


def trip_force(context: Context, trap: TrapRig) -> Floats:
    """Pan trip force [N], shape (n,): the reading, or the wide span of an unread pan."""
    if trap.trip_force.known:
        return context.drawn(f"trip.{trap.trap_id}", trap.trip_force.with_spread(READING_SPREAD))
    return context.drawn(f"trip.{trap.trap_id}", context.figure("slack_pan"))


def foot_loads(context: Context, species: Species) -> Loads | None:
    """Force of one foot on the pan [N], shape (n, inner); None for an animal afloat.

    No weight stands behind the foot of a floating animal, so no weight-based figure is made for it.
    """

    def make() -> Loads | None:
        carried = 1.0
        if context.site.medium == "water":
            depth = pan_depth(context)
            if not depth.known:
                return None
            share = float(carried_share(depth.number, leg_length(species.mass.number, species.class_)))
            if np.isnan(share) or share <= 0.0 or context.site.foot == "hind":
                return None
            carried = share
        gait = context.drawn("gait", tables.set_types().get(context.site.set_type, "gait"))
        return foot_load(
            context.drawn(f"mass.{species.key}", species.mass.with_spread(0.1)),
            species.mass_cv.number if species.mass_cv.known else 0.25,
            species.share.number if species.share.known else 0.5,
            species.share_sd.number if species.share_sd.known else 0.12,
            _coupling(context),
            gait=gait,
            carried=carried,
        )

    return context.kept.get(("load", species.key), make)


def _coupling(context: Context) -> Floats:
    """One matrix for all species and sites: the error in it is shared."""
    return context.line_kept.get(
        "coupling",
        lambda: coupling(context.shared_figure("coupling_mean"), context.shared_figure("coupling_sd")),
    )


def pan_depth(context: Context) -> Quantity:
    """Depth of water over the pan when set; unknown on land or when it was not stated."""
    water = context.site.water
    if water is None or water.pan_depth is None:
        return Quantity(None, "m")
    return water.pan_depth


def fire_chances(context: Context, trap: TrapRig) -> dict[str, Floats]:
    """P(the foot fires the pan | it stands on it), every species, each shape (n,)."""
    force = trip_force(context, trap)
    scatter = float(context.figure("trip_scatter").number)
    found: dict[str, Floats] = {}
    for key, species in context.species.items():
        loads = foot_loads(context, species)
        if loads is None:
            found[key] = context.drawn(f"kick.{key}", context.figure("kick"))
        else:
            found[key] = np.asarray(fire_probability(loads, force, scatter=scatter))
    return found


def trip_check(context: Context, trap: TrapRig, chances: dict[str, Floats]) -> CheckResult:
    """The pan against the target's foot."""
    target = context.target
    name = target.name.lower()
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
    if foot_loads(context, target) is None:
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


def trip_curve(context: Context, species: Species, forces: Floats) -> Floats | None:
    """P(fire | on the pan) of one species over trip forces [N], shape (n, k); None when afloat."""
    loads = foot_loads(context, species)
    if loads is None:
        return None
    scatter = float(context.figure("trip_scatter").number)
    columns = [np.asarray(fire_probability(loads, np.full(context.n, force), scatter=scatter)) for force in forces]
    return np.stack(columns, axis=1)
