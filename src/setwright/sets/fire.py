"""fire: does that foot trip the pan?"""

from __future__ import annotations

import numpy as np

from setwright.animal import tables as animal_tables
from setwright.animal.curve import AFLOAT, animal_curve, mixed_curve
from setwright.animal.gaits import Tread
from setwright.animal.load import coupling
from setwright.animal.model import Species
from setwright.animal.probit import LoadPosterior, fitted_coupling, update
from setwright.animal.wade import carried_share, leg_length
from setwright.basis.say import Say
from setwright.basis.source import Quantity
from setwright.basis.spread import Z95
from setwright.sets import tables
from setwright.sets.context import Context, Floats, limit
from setwright.sets.model import TrapRig
from setwright.sets.naming import plain_name
from setwright.sets.result import CheckResult, Origin, check_margin, check_unknown

# A stiff pan measured once: the reading itself is known to about this share.
READING_SPREAD = 0.15
# From a slack pan to a stiff one under a crust that no animal breaks.
GRID: Floats = np.geomspace(0.7, 650.0, 31)
STEP = float(np.log(GRID[1] / GRID[0]))
# Steps summed for every draw of what is uncertain.
INNER = 64
HIND = "a hind foot kicks at the pan under water, and no force of a kick is published"
NO_DEPTH = "the depth of water over the pan is not written down"


def trip_force(context: Context, trap: TrapRig) -> Floats:
    """Pan trip force [N], shape (n,): the reading, or the wide span of an unread pan."""
    reading = trap.trip_force.with_spread(READING_SPREAD) if trap.trip_force.known else context.figure("slack_pan")
    return context.drawn("trip force", reading)


def carried(context: Context, species: Species) -> float | None:
    """Share of its weight that is on the animal's feet; None where no weight stands behind a foot."""
    if context.site.medium == "land":
        return 1.0
    if without_weight(context, species):
        return None
    share = float(carried_share(pan_depth(context).number, leg_length(species.mass.number, species.class_)))
    return round(share, 2)


def without_weight(context: Context, species: Species) -> str:
    """Why no figure from weight may be shown for this animal here; empty where one may."""
    if context.site.medium == "land":
        return ""
    if context.site.foot == "hind":
        return HIND
    depth = pan_depth(context)
    if not depth.known:
        return NO_DEPTH
    share = float(carried_share(depth.number, leg_length(species.mass.number, species.class_)))
    return AFLOAT if np.isnan(share) or round(share, 2) <= 0.0 else ""


def tread_of(context: Context) -> Tread:
    """How a foot comes down at this kind of set; a set type may have a gait of its own."""
    table, key = tables.set_types(), context.site.set_type
    found = animal_tables.tread(table.text(key, "tread"))
    own = table.record(key).get("gait")
    return found if own is None else Tread(found.kind, found.coupling_mean, found.coupling_sd, own)


def fire_table(context: Context, species: Species) -> Floats | None:
    """P(fire | on the pan) over the trip forces `GRID`, shape (n, k); None for an animal without weight on its feet.

    One population comes to all sites, so mass, gait and coupling have the same draws everywhere on the line.
    """
    weight = carried(context, species)
    if weight is None:
        return None
    return _table(context, species, weight, context.posterior)


def _table(context: Context, species: Species, weight: float, posterior: LoadPosterior | None) -> Floats:
    tread = tread_of(context)
    mix = context.mixes.get(species.key)
    own = (species.mass, species.mass_cv, species.share, species.share_sd)
    key = ("fire", species.key, own, mix, tread.kind, tread.gait, weight, posterior)

    def make() -> Floats:
        scatter = float(context.figure("trip_scatter").number)
        share = species.share.number if species.share.known else 0.5
        share_sd = species.share_sd.number if species.share_sd.known else 0.12
        steps = _coupling(context, tread, posterior)
        gait = context.shared.quantity("gait", tread.gait)
        mass = context.mass(species)
        if mix is not None and mix.known:
            return mixed_curve(
                mix, share, share_sd, steps, GRID, scale=mass / species.mass.number,
                gait=gait, carried=weight, scatter=scatter,
            ).chance  # fmt: skip
        spread = (
            float(mix.mass_cv[0]) if mix is not None else species.mass_cv.number if species.mass_cv.known else 0.25
        )
        return animal_curve(
            mass, spread, share, share_sd, steps, GRID, gait=gait, carried=weight, scatter=scatter
        ).chance

    return context.line_kept.get(key, make)


def _coupling(context: Context, tread: Tread, posterior: LoadPosterior | None) -> Floats:
    """Share of a foot's force that reaches the pan, shape (n, steps): one draw for all animals and sites.

    Without notes it is the calibrated law, drawn evenly from the table's band. With notes the posterior stands in
    its place; where nobody has tried the kind of set it is as much wider as the table says.
    """

    def make() -> Floats:
        if posterior is None:
            mean, spread = (
                context.shared.between(name, part.low or part.number, part.high or part.number)
                for name, part in (("coupling_mean", tread.coupling_mean), ("coupling_sd", tread.coupling_sd))
            )
            return coupling(mean, spread, inner=INNER)
        place, spread = posterior.draws(
            context.shared.uniform("coupling_mean"), context.shared.uniform("coupling_sd")
        )
        tried = animal_tables.tread("worked")
        wider = np.sqrt(max(_width(tread) ** 2 - _width(tried) ** 2, 0.0))
        return fitted_coupling(place + wider * context.shared.normal("coupling elsewhere"), spread, INNER)

    return context.line_kept.get(("coupling", tread.kind, tread.coupling_mean, tread.coupling_sd, posterior), make)


def _width(tread: Tread) -> float:
    """Standard deviation of the logarithm of a tread's mean coupling."""
    low, high = tread.coupling_mean.low, tread.coupling_mean.high
    return 0.0 if not low or not high else float(np.log(high / low)) / (2.0 * Z95)


def notes_effect(context: Context, trap: TrapRig) -> tuple[Floats, Floats] | None:
    """P(fire) of the target before and after the notes on pans, each shape (n,); None where there are none.

    Both from the same law of the coupling, so that the difference is what the notes say and nothing else.
    """
    weight = carried(context, context.target)
    if context.posterior is None or weight is None:
        return None
    force = trip_force(context, trap)
    prior = context.line_kept.get(("prior of notes",), update)
    before, after = (_table(context, context.target, weight, law) for law in (prior, context.posterior))
    return at_force(before, force), at_force(after, force)


def at_force(table: Floats, force: Floats) -> Floats:
    """Read a table of `fire_table` at trip forces [N], shape (n,) or (n, h), linear in the logarithm of the force."""
    with np.errstate(divide="ignore"):
        place = np.clip((np.log(force) - np.log(GRID[0])) / STEP, 0.0, GRID.size - 1.001)
    low = place.astype(int)
    rows = np.arange(table.shape[0])
    rows = rows if low.ndim == 1 else rows[:, None]
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
                context.drawn_share(f"kick.{key}", context.figure("kick"))
                if table is None
                else at_force(table, force)
            )
        return found

    return context.kept.get(("fire", trap.trip_force, context.posterior), make)


def crusted_chances(context: Context, trap: TrapRig, crust: Floats) -> dict[str, Floats]:
    """P(fire) under a crust over that without one, every species, shape (n, h); `crust` is a force [N]."""
    force = trip_force(context, trap)
    chances = fire_chances(context, trap)
    found: dict[str, Floats] = {}
    for key, species in context.species.items():
        table = fire_table(context, species)
        if table is None:
            found[key] = np.ones_like(crust)
            continue
        under, free = at_force(table, force[:, None] + crust), chances[key][:, None]
        found[key] = np.divide(under, free, out=np.zeros_like(under), where=free > 0)
    return found


def reasons(context: Context) -> dict[str, str]:
    """Animals whose chance to fire rests on no weight, and why."""
    found = {key: without_weight(context, species) for key, species in context.species.items()}
    return {key: reason for key, reason in found.items() if reason}


def trip_check(context: Context, trap: TrapRig, chances: dict[str, Floats]) -> CheckResult:
    """The pan against the target's foot."""
    target = context.target
    name = plain_name(target)
    origins = (
        Origin("trip force", trap.trip_force.source),
        Origin("body mass", target.mass.source),
        Origin("share of weight on one foot", target.share.source),
        Origin("share that reaches the pan", tread_of(context).coupling_mean.source),
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
