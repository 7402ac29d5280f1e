"""step: does a foot land on the pan?"""

from __future__ import annotations

from functools import partial

import numpy as np

from setwright.animal import tables as animal_tables
from setwright.animal.contacts import MODEL_WEIGHT, step_update
from setwright.animal.gaits import Gait
from setwright.animal.model import Species
from setwright.animal.step import contact_area, foot_radius, lane_probability, patch_probability
from setwright.basis.say import Say
from setwright.basis.source import Kind, Quantity, Source
from setwright.sets import tables
from setwright.sets.chest import chest_check, chest_share
from setwright.sets.context import Context, Floats, limit
from setwright.sets.feet import foot_size
from setwright.sets.model import TrapRig
from setwright.sets.naming import plain_name
from setwright.sets.pan_fit import size_check
from setwright.sets.result import CheckResult, LinkResult, Origin, check_margin, check_unknown


def step_link(context: Context, trap: TrapRig) -> LinkResult:
    """Chance that a visitor puts a foot on the pan, for every species.

    Footfalls scatter evenly over a lane or over the working patch of the set type; the pan is met when
    a foot's contact disc overlaps it. A visitor that does not come right up steps on nothing. Visits with and
    without a foot on the pan that the book has of this site correct the model.
    """
    found: dict[str, Floats] = {}
    pan = trap.pan_radius.number
    for key, species in context.species.items():
        found[key] = context.kept.get(("step", key, round(pan, 5)), partial(_step, context, species, pan))
    checks = [_footfall(context, trap, found)]
    chest = chest_check(context)
    if chest is not None:
        checks.append(chest)
    small = size_check(context, trap)
    if small is not None:
        checks.append(small)
    return LinkResult("step", found[context.target.key], "share", limit("step"), tuple(checks), found)


def _footfall(context: Context, trap: TrapRig, found: dict[str, Floats]) -> CheckResult:
    site, kind = context.site, tables.set_types()
    target = context.target
    label = kind.text(site.set_type, "label")
    lane = kind.text(site.set_type, "form") == "lane"
    geometry = kind.get(site.set_type, "lane_width" if lane else "patch_area")
    origins = [
        Origin("pan radius", trap.pan_radius.source),
        Origin("foot", (target.hind_width if site.foot == "hind" else target.fore_width).source),
        Origin("lane width" if lane else "working patch", geometry.source),
        Origin("who comes right up", tables.works().get(kind.text(site.set_type, "draws"), target.class_).source),
    ]
    gait = gait_of(context, target)
    if lane:
        origins.append(Origin("stride", stride_of(context, gait).source))
    record = context.records.get(target.key)
    if record is not None and record.contacts is not None and record.visits:
        origins.append(Origin("feet on the pan", Source(Kind.MEASURED, record.origin, "stated")))
        why = Say(
            "a foot on the pan in {contacts:count} of {visits:count} visits here; the model of footfalls counts for "
            "{weight:count} more",
            contacts=record.contacts, visits=record.visits, weight=MODEL_WEIGHT,
        )  # fmt: skip
    elif lane and gait.stride.value is None:
        return check_unknown(
            "footfall",
            "share",
            Say(
                "the stride of {animal:word} at a {gait:word} is not known", animal=plain_name(target), gait=gait.word
            ),
            Say("measure its stride on the trail and write the step into the book"),
            origins=tuple(origins),
            limit=limit("step"),
        )
    elif lane:
        why = Say(
            "{label:word}: feet scatter over a lane of {width:length}, with {stride:length} from print to print "
            "at a {gait:word}",
            label=label, width=_lane(context), stride=gait.stride.number, gait=gait.word,
        )  # fmt: skip
    else:
        why = Say(
            "{label:word}: about {number:count} foot placements over {side:length} by {side:length}",
            label=label,
            number=kind.number(site.set_type, "placements"),
            side=float(np.sqrt(geometry.number)),
        )
    return check_margin(
        "footfall",
        found[target.key],
        limit("step"),
        "share",
        why,
        mend=Say("narrow the lane with guides, or set a wider pan")
        if lane
        else Say("guide the foot with sticks or stones, or set a wider pan"),
        origins=tuple(origins),
    )


def gait_of(context: Context, species: Species) -> Gait:
    """Gait in which an animal passes here: the usual one on a trail, a walk in water.

    A usual gait without a known stride gives way to a walk with one. An animal of the book's own walks.
    """
    walk = Gait.walk(species.step, usual=True)
    if context.site.medium == "water" or species.key not in animal_tables.species():
        return walk
    usual = next(gait for gait in animal_tables.gaits(species.key) if gait.usual)
    if usual.word == "walk" or (usual.stride.value is None and walk.stride.value is not None):
        return walk
    return usual


def stride_of(context: Context, gait: Gait) -> Quantity:
    """Stride of a gait [m]; where nobody knows it, the wide assumed one."""
    return gait.stride if gait.stride.value is not None else context.figure("stride")


def _lane(context: Context) -> float:
    site = context.site
    return site.lane_width if site.lane_width is not None else tables.set_types().number(site.set_type, "lane_width")


def _step(context: Context, species: Species, pan: float) -> Floats:
    site, kind = context.site, tables.set_types()
    area = contact_area(pan, foot_radius(*foot_size(species, site.foot)))
    share = context.drawn_share(
        f"works.{species.class_}", tables.works().get(kind.text(site.set_type, "draws"), species.class_)
    )
    if kind.text(site.set_type, "form") == "lane":
        width = (
            np.full(context.n, site.lane_width)
            if site.lane_width is not None
            else context.drawn("lane", kind.get(site.set_type, "lane_width"))
        )
        gait = gait_of(context, species)
        stride = context.drawn(f"stride.{species.key}", stride_of(context, gait))
        met = lane_probability(area, width, stride, gait.places.number)
    else:
        met = patch_probability(
            area,
            context.drawn("placements", kind.get(site.set_type, "placements")),
            context.drawn("patch", kind.get(site.set_type, "patch_area")),
        )
    return _seen(context, species, np.asarray(share * met * (1.0 - chest_share(context, species))))


def _seen(context: Context, species: Species, model: Floats) -> Floats:
    """The model of footfalls, or what the record of the site makes of it."""
    record = context.records.get(species.key)
    middle = float(np.mean(model))
    if record is None or record.contacts is None or not record.visits or not 0.0 < middle < 1.0:
        return model
    belief = step_update(record.contacts, record.visits, middle)
    return belief.draws(context.draws.uniform(f"step.{species.key}"))
