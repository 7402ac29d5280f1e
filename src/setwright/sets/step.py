"""step: does a foot land on the pan?"""

from __future__ import annotations

from functools import partial

import numpy as np

from setwright.animal.model import Species
from setwright.animal.step import contact_area, foot_radius, lane_probability, patch_probability
from setwright.basis.say import Say
from setwright.sets import tables
from setwright.sets.context import Context, Floats, limit
from setwright.sets.model import TrapRig
from setwright.sets.result import LinkResult, Origin, check_margin

# Two foot places per stride: a walking animal sets the hind foot where the fore foot was.
PLACES = 2
UNKNOWN_STEP = 0.3


def foot_size(species: Species, foot: str) -> tuple[float, float]:
    """Width and length [m] of the foot that matters; the other foot's where this one is not known."""
    fore = (species.fore_width, species.fore_length)
    hind = (species.hind_width, species.hind_length)
    first, second = (hind, fore) if foot == "hind" else (fore, hind)
    width, length = first if first[0].value is not None and first[1].value is not None else second
    return width.number, length.number


def step_link(context: Context, trap: TrapRig) -> LinkResult:
    """Chance that a visitor puts a foot on the pan, for every species.

    Footfalls scatter evenly over a lane or over the working patch of the set type; the pan is met when
    a foot's contact disc overlaps it. A visitor that does not come right up steps on nothing.
    """
    found: dict[str, Floats] = {}
    pan = trap.pan_radius.number
    for key, species in context.species.items():
        found[key] = context.kept.get(("step", key, round(pan, 5)), partial(_step, context, species, pan))
    site, kind = context.site, tables.set_types()
    target = context.target
    label = kind.text(site.set_type, "label")
    lane = kind.text(site.set_type, "form") == "lane"
    geometry = kind.get(site.set_type, "lane_width" if lane else "patch_area")
    origins = (
        Origin("pan radius", trap.pan_radius.source),
        Origin("foot", (target.hind_width if site.foot == "hind" else target.fore_width).source),
        Origin("lane width" if lane else "working patch", geometry.source),
        Origin("who comes right up", tables.works().get(kind.text(site.set_type, "draws"), target.class_).source),
    )
    check = check_margin(
        "footfall",
        found[target.key],
        limit("step"),
        "share",
        Say("{label:word}: feet scatter over a lane of {width:length}", label=label, width=_lane(context))
        if lane
        else Say(
            "{label:word}: about {number:count} foot placements over {side:length} by {side:length}",
            label=label,
            number=kind.number(site.set_type, "placements"),
            side=float(np.sqrt(geometry.number)),
        ),
        mend=Say("narrow the lane with guides, or set a wider pan")
        if lane
        else Say("guide the foot with sticks or stones, or set a wider pan"),
        origins=origins,
    )
    return LinkResult("step", found[target.key], "share", limit("step"), (check,), found)


def _lane(context: Context) -> float:
    site = context.site
    return site.lane_width if site.lane_width is not None else tables.set_types().number(site.set_type, "lane_width")


def _step(context: Context, species: Species, pan: float) -> Floats:
    site, kind = context.site, tables.set_types()
    area = contact_area(pan, foot_radius(*foot_size(species, site.foot)))
    share = context.drawn(
        f"works.{species.class_}", tables.works().get(kind.text(site.set_type, "draws"), species.class_)
    )
    if kind.text(site.set_type, "form") == "lane":
        width = (
            np.full(context.n, site.lane_width)
            if site.lane_width is not None
            else context.drawn("lane", kind.get(site.set_type, "lane_width"))
        )
        step = species.step.value if species.step.value is not None else UNKNOWN_STEP
        met = lane_probability(area, width, 2.0 * step, PLACES)
    else:
        met = patch_probability(
            area,
            context.drawn("placements", kind.get(site.set_type, "placements")),
            context.drawn("patch", kind.get(site.set_type, "patch_area")),
        )
    return np.asarray(np.clip(share, 0.0, 1.0) * met)
