"""The bed of a rig: its outline, how much dirt comes out, how much cover goes over it, and the minutes of digging."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from setwright.ground import tables as ground_tables
from setwright.ground.bedding import (
    CLEARANCE,
    cover_layer,
    digging_time_frozen,
    trap_outline,
)
from setwright.sets.context import Context, Floats
from setwright.sets.model import Rig
from setwright.sets.result import Origin
from setwright.sets.soils import label_of

USUAL_COVER = 0.009
# Row of the table of mends whose work stands for setting an anchor of a kind.
DRIVING = {
    "stake": "other-stake",
    "crossed": "crossed",
    "plate": "plate",
    "tree": "tree",
    "root": "tree",
    "sapling": "tree",
}


@dataclass(frozen=True, eq=False)
class BedWork:
    """A bed: sides and depth with the clearance [m], dirt out of it and cover over it [m³], time to dig [s] (n,)."""

    length: float
    width: float
    depth: float
    volume: float
    cover: float
    time: Floats
    ground: str
    frozen: float
    origins: tuple[Origin, ...]


def anchor_work(rig: Rig) -> float:
    """Time to set the anchor of a rig [s], 0 for one that is only laid down; two stakes are driven twice."""
    row = None if rig.anchor is None else DRIVING.get(rig.anchor.kind)
    if row is None:
        return 0.0
    table = ground_tables.cures()
    again = table.number("other-stake", "work") if row == "crossed" else 0.0
    return table.number(row, "work") + again


def bed_of(context: Context, rig: Rig) -> BedWork:
    """The bed that this trap asks for in this ground; springs that are bent make it wider and shorter."""
    trap, site = rig.trap, context.site
    length, width = trap.bed_length, trap.bed_width
    if trap.family == "long" and rig.bedding.springs_bent > 0.0:
        # Jaws and each spring take a third of the straight trap's length (assumed).
        along, across = length - 2.0 * CLEARANCE, width - 2.0 * CLEARANCE
        found = trap_outline(
            along / 3.0, across, along / 3.0, bend=rig.bedding.springs_bent, springs=min(trap.springs, 2),
            same_side=rig.bedding.same_side,
        )  # fmt: skip
        length, width = float(found.length) + 2.0 * CLEARANCE, float(found.width) + 2.0 * CLEARANCE
    thick = rig.cover_depth.number if rig.cover_depth is not None and rig.cover_depth.known else USUAL_COVER
    depth = trap.set_height + thick
    volume = length * width * depth
    soil = site.soils[0] if site.soils else None
    # A bottom that nobody described is dug as firm ground.
    rate = ground_tables.soils().text(soil.key, "digging") if soil is not None and soil.key else "firm"
    frozen = site.frozen_depth
    if soil is not None and soil.key == "frozen":
        frozen = soil.thickness
    table = ground_tables.digging()
    small, pick = table.get("small-pit", "factor"), table.get("frozen", "factor")
    time = digging_time_frozen(
        volume, depth, min(frozen, depth), table.number(rate, "rate"), context.drawn("small pit", small),
        context.drawn("pick", pick),
    )  # fmt: skip
    origins = [Origin("digging by hand", table.get(rate, "rate").source), Origin("trowel and sifting", small.source)]
    if frozen > 0.0:
        origins.append(Origin("digging frozen ground", pick.source))
    return BedWork(
        length=length,
        width=width,
        depth=depth,
        volume=volume,
        cover=float(cover_layer(length * width, thick)),
        time=np.broadcast_to(np.asarray(time, dtype=float), (context.n,)),
        ground="ground" if soil is None else label_of(soil),
        frozen=frozen,
        origins=tuple(origins),
    )
