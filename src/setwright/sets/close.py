"""close: are the jaws up high enough, in time?"""

from __future__ import annotations

import numpy as np

from setwright.animal import tables as animal_tables
from setwright.animal.jawfit import pad_catch
from setwright.animal.jawfit import time_available as time_until_gone
from setwright.animal.model import Species
from setwright.basis.say import Say
from setwright.basis.spread import normal_cdf
from setwright.basis.verdict import Standing, standing_of_margin
from setwright.sets.context import Context, Floats, limit
from setwright.sets.feet import foot_size
from setwright.sets.mechanics import Load, closing, spread_out, trap_of
from setwright.sets.model import Rig
from setwright.sets.naming import plain_name
from setwright.sets.result import CheckResult, LinkResult, Origin, check_margin, check_unknown
from setwright.trap import tables as trap_tables


def load_on_jaws(context: Context, rig: Rig) -> Load:
    """Cover [m] and water that the rising jaws must carry."""
    water = context.site.medium == "water"
    depth = rig.cover_depth.number if rig.cover_depth is not None and rig.cover_depth.known else 0.0
    return Load(0.0 if water else round(depth, 4), water)


def catch_height(context: Context, rig: Rig, species: Species) -> float:
    """Height [m] above the hinge line at which the bars should meet this foot, within the jaws' own reach."""
    reach = float(np.max(trap_of(context, rig.trap).height))
    wanted = species.grip_height.number if species.grip_height.known else 0.03
    return min(wanted, 0.95 * reach)


def close_link(context: Context, rig: Rig) -> LinkResult:
    """Chance that the jaws take the foot, given that the trap was fired, for every species.

    Two things must hold: the bars stand at the height of the grip before the foot has left, and the
    foot stood far enough inside the jaws for a hold behind the pad.
    """
    load = load_on_jaws(context, rig)
    run = closing(context, rig.trap, load)
    scatter = float(context.figure("grip_time").number)
    table = animal_tables.withdrawal()
    reaction = context.drawn("reaction", table.get("foot", "reaction"))
    lift = context.drawn("lift", table.get("foot", "lift_acceleration"))
    found: dict[str, Floats] = {}
    times: dict[str, Floats] = {}
    for key, species in context.species.items():
        height = catch_height(context, rig, species)
        needed = spread_out(context, run.time_to_height(height))
        left = np.asarray(time_until_gone(reaction, lift, height))
        with np.errstate(invalid="ignore"):
            in_time = np.where(np.isfinite(needed), normal_cdf(np.log(left / needed) / scatter), 0.0)
        width, length = foot_size(species, context.site.foot)
        inside = pad_catch(rig.trap.spread.number, rig.trap.pan_radius.number, width, length, OFF_PAN)
        found[key] = np.asarray(in_time * np.broadcast_to(inside, (context.n,)))
        times[key] = needed
    target = context.target
    origins = (
        Origin("closing", trap_tables.readings().get("prior", "time_factor").source),
        Origin("jaw spread", rig.trap.spread.source),
        Origin("time until the foot has left", table.get("foot", "reaction").source),
    )
    return LinkResult(
        "close",
        found[target.key],
        "share",
        limit("close"),
        (_speed(context, rig, times[target.key], found[target.key], origins), _size(context, rig)),
        found,
    )


def _speed(context: Context, rig: Rig, times: Floats, chance: Floats, origins: tuple[Origin, ...]) -> CheckResult:
    name = plain_name(context.target)
    if np.isnan(times).any():
        return check_margin(
            "closing",
            chance,
            limit("close"),
            "share",
            Say("the springs of {trap:word} do not lift its jaws through this load", trap=rig.trap.trap_id),
            mend=Say("less or drier cover, or stronger springs"),
            origins=origins,
        )
    return check_margin(
        "closing",
        chance,
        limit("close"),
        "share",
        Say(
            "bars at {height:length} after {time:short_time}, while a {animal:word} lifts its foot",
            height=catch_height(context, rig, context.target),
            time=float(np.median(times)),
            animal=name,
        ),
        mend=Say("two more coils or a second spring, less cover, or a lighter jaw"),
        origins=origins,
    )


# How far the middle of the footfalls may lie off the pan in a made set (modelling choice).
OFF_PAN = 0.012
# A trade band is no measured limit: up to half an inch outside it is thin, more is a misfit.
BAND_SLACK = 0.0127


def _size(context: Context, rig: Rig) -> CheckResult:
    """Jaw spread against the band that fits the animal's foot."""
    target = context.target
    name = plain_name(target)
    origins = (Origin("jaw spread", rig.trap.spread.source), Origin("band for the foot", target.jaw_low.source))
    if not (target.jaw_low.known and target.jaw_high.known):
        return check_unknown(
            "jaw spread",
            "length",
            Say("no band of jaw spreads is known for {animal:word}", animal=name),
            Say("write the band of jaw spreads for {animal:word} into the book", animal=name),
            origins=origins,
        )
    low, high = target.jaw_low.number, target.jaw_high.number
    spread = context.drawn(f"spread.{rig.trap.trap_id}", rig.trap.spread.with_spread(0.03))
    inside = np.minimum(spread - low, high - spread)
    standing = standing_of_margin(inside + BAND_SLACK)
    if standing is Standing.SOUND and float(np.median(inside)) < 0:
        standing = Standing.THIN
    near = low if rig.trap.spread.number < 0.5 * (low + high) else high
    why = Say(
        "{spread:length} between the jaws; {low:length} to {high:length} suits a {animal:word}",
        spread=rig.trap.spread.number,
        low=low,
        high=high,
        animal=name,
    )
    mend = Say("take a trap with {low:length} to {high:length} between the jaws", low=low, high=high)
    return CheckResult(
        "jaw spread",
        standing,
        spread,
        near,
        inside,
        "length",
        why,
        None if standing is Standing.SOUND else mend,
        origins,
    )
