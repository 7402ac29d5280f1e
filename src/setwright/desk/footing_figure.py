"""Geometry of anchor, chain and bed for their drawing."""

from __future__ import annotations

from typing import cast

import numpy as np

from setwright.desk import document_footing as doc
from setwright.ground.plate import keyed_depth
from setwright.sets.anchored import Anchored, anchor_of
from setwright.sets.bed import BedWork
from setwright.sets.context import Context
from setwright.sets.model import Rig
from setwright.sets.seat import board_of
from setwright.sets.soils import label_of

# Lean of each of a crossed pair where it is not stated [rad].
CROSSED = 0.7


def figure_of(context: Context, rig: Rig, bed: BedWork, held: Anchored, sunk: float) -> doc.FootingFigure:
    """Bed and trap from above, anchor and chain in section, in metres."""
    used, board = rig.anchor, board_of(rig)
    made = None if used is None else anchor_of(used)
    kind = "none" if used is None else used.kind
    keyed = None
    if made is not None and kind == "plate":
        keyed = float(keyed_depth(made.depth, made.plate_length))
    driven = (
        {"plate": made.depth, "stake": made.length, "crossed": made.length}.get(kind) if made is not None else None
    )
    lean = 0.0
    if used is not None:
        lean = used.lean if used.lean is not None else CROSSED if kind == "crossed" else 0.0
    chain = 0.3 if rig.chain is None else rig.chain.length.number
    return doc.FootingFigure(
        kind=cast("doc.AnchorKind", kind),
        layers=[
            doc.Layer(label=label_of(soil), thickness=soil.thickness if np.isfinite(soil.thickness) else None)
            for soil in context.site.soils
        ],
        frozen=bed.frozen if np.isfinite(bed.frozen) else 0.0,
        chain=chain,
        angle=float(np.median(held.angle)),
        bed_length=bed.length,
        bed_width=bed.width,
        bed_depth=bed.depth,
        cover=bed.depth - rig.trap.set_height,
        spread=rig.trap.spread.number,
        family=cast("doc.Family", rig.trap.family),
        springs=rig.trap.springs,
        springs_bent=rig.bedding.springs_bent if rig.trap.family == "long" else 0.0,
        same_side=rig.bedding.same_side,
        driven=driven,
        lean=lean,
        keyed=keyed,
        plate_length=None if used is None else used.plate_length,
        plate_width=None if used is None else used.plate_width,
        thickness=None if used is None else used.diameter or used.width,
        refused=None if used is None else used.refused,
        board=None if board is None else (board.length, board.width),
        sunk=sunk,
        stones=[doc.Stone(along=along, across=across, height=height) for along, across, height in rig.bedding.stones],
        words={"trap": rig.trap.label, "anchor": "no anchor" if used is None else used.label.split(",")[0]},
    )
