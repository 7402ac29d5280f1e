"""Does the ground carry the trap under the step?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import assumed
from setwright.ground import tables as ground_tables
from setwright.ground.bearing import board_area, sinkage_bekker, sinkage_layered
from setwright.sets import soils
from setwright.sets.context import Context, Floats, limit
from setwright.sets.model import Board, Rig, Soil
from setwright.sets.result import CheckResult, Origin, check_margin, check_unknown

G = 9.80665
# Width of a bearing strip of the frame: jaws, base and levers are 15-25 mm wide.
STRIP = 0.02
# Depth within which strength is taken to grow by half again, as in a settled bed.
STRENGTH_DEPTH = 0.3
STEP_SHARE = {"rodent": 0.5}
SINKS_THROUGH = 0.3
# Above this share of steel or wood a board bears over its short side, below it by its own strips.
CLOSED = 0.5
# Terrains of the sinkage table for ground that is judged by Bekker's law; the rest by its undrained strength.
TERRAINS = {
    ("loose-sand", "dry"): "dry-sand-lll", ("loose-sand", "moist"): "dry-sand-lll",
    ("loose-sand", "soaked"): "dry-sand-lll", ("firm-sand", "dry"): "lete-sand-wong",
    ("firm-sand", "moist"): "lete-sand-wong", ("firm-sand", "soaked"): "lete-sand-wong",
    ("loam", "soaked"): "sandy-loam-32-hanamoto",
}  # fmt: skip


@dataclass(frozen=True, eq=False)
class Seat:
    """How a trap stands on its bed under a step, shape (n,) each.

    `load` [N] on `area` [m²] of steel or board, `sunk` [m] where it comes to rest; `carries` tells whether that is
    less than a seat may sink.
    """

    load: Floats
    area: Floats
    sunk: Floats
    carries: Floats


def board_of(rig: Rig) -> Board | None:
    """Board or mesh under the trap; the usual one where only its being there is stated."""
    if isinstance(rig.board, Board):
        return rig.board
    return Board() if rig.board else None


def seat_of(context: Context, rig: Rig) -> Seat | None:
    """Sinkage of the trap under the target's step; None where the ground is not described or frozen."""
    site = context.site
    if not site.soils or not site.soils[0].key or soils.is_frozen(site):
        return None
    soil = site.soils[0]
    steel = context.drawn(f"bearing.{rig.trap.pattern}", rig.trap.bearing_area.with_spread(0.25))
    area, strip, board = steel, STRIP, board_of(rig)
    if board is not None:
        area = board_area(board.length, board.width, board.solid, steel)
        strip = min(board.length, board.width) if board.solid > CLOSED else STRIP
    share = STEP_SHARE.get(context.target.class_, 1.0)
    load = (rig.trap.mass.number + share * context.mass(context.target)) * G
    sunk = _sunk(context, soil, np.asarray(load), np.asarray(area), strip)
    sunk = np.minimum(np.where(np.isfinite(sunk), sunk, SINKS_THROUGH), SINKS_THROUGH)
    carries = np.where(sunk <= context.own_figure("seat_limit"), 1.0, 0.0)
    return Seat(np.asarray(load), np.asarray(area), sunk, carries)


def _sunk(context: Context, soil: Soil, load: Floats, area: Floats, strip: float) -> Floats:
    table = ground_tables.soils()
    terrain = TERRAINS.get((soil.key, soil.moisture)) if soil.strength is None else None
    if terrain is not None:
        found = ground_tables.terrains()
        return sinkage_bekker(
            load / area, strip, *(found.number(terrain, name) for name in ("kc", "kphi", "n"))
        )  # fmt: skip
    if table.text(soil.key, "model") != "undrained":
        return np.zeros(context.n)
    firm = soils.cohesion(context, 0)
    weight = table.number(soil.key, "unit_weight_submerged" if context.site.medium == "water" else "unit_weight")
    below = firm + 0.5 * firm
    thickness = SINKS_THROUGH
    if np.isfinite(soil.thickness):
        thickness = min(soil.thickness, SINKS_THROUGH)
        under = context.site.soils[1] if len(context.site.soils) > 1 else None
        if under is not None and under.key and table.text(under.key, "model") == "undrained":
            below = soils.cohesion(context, 1)
        elif under is not None and under.key:
            # Sand and gravel under muck carry a trap.
            below = np.full(context.n, np.inf)
    rate = 0.5 * firm / STRENGTH_DEPTH
    return sinkage_layered(load, area, strip, area / strip, firm, thickness, below, weight, rate)


def seat_share(context: Context, rig: Rig) -> tuple[Floats, CheckResult | None]:
    """1 where the ground carries trap and step, 0 where the trap goes under, shape (n,), and the check.

    Bearing of the frame's strips, or of a board, under the trap's weight and the step, in soft ground over firmer
    layers; Bekker's law in sand and soaked loam. A trap that sinks deeper than the seat limit is counted as out of
    order for that step. Gravel and frozen ground carry.
    """
    site = context.site
    carried = np.ones(context.n)
    question = None if not site.soils else soils.question_of(site, 0.001)
    if not site.soils or question is not None:
        if site.medium == "land":
            return carried, None
        why = Say("the bottom under the trap was not described")
        ask = question or Say("push a thumb or rod into the bottom and write the ground down")
        return carried, check_unknown("bearing", "length", why, ask, limit=limit("order"))
    found = seat_of(context, rig)
    soil = site.soils[0]
    if found is None or (ground_tables.soils().text(soil.key, "model") != "undrained" and not found.sunk.any()):
        return carried, None
    deep = float(np.quantile(found.sunk, 0.5))
    board = board_of(rig)
    on = "on its board " if board is not None else ""
    if deep > 0.005:
        why = Say(
            "the step pushes it {on:word}{deep:length} into {ground:word}",
            on=on,
            deep=deep,
            ground=soils.label_of(soil),
        )
    else:
        why = Say("{ground:word} carries trap and step", ground=soils.label_of(soil))
    mend = Say("a board or mesh under the trap, or a double long-spring with its springs spread")
    if board is not None:
        mend = Say("a longer and wider board, or firmer ground a yard away")
    check = check_margin(
        "bearing", context.own_figure("seat_limit") - found.sunk, 0.0, "length", why, mend=mend,
        origins=_origins(context, rig, soil),
    )  # fmt: skip
    return found.carries, check


def _origins(context: Context, rig: Rig, soil: Soil) -> tuple[Origin, ...]:
    board = board_of(rig)
    if board is None:
        bears = Origin("bearing area", rig.trap.bearing_area.source)
    elif board.stated:
        bears = Origin("board", soils.STATED)
    else:
        bears = Origin("board", assumed("a board of 10 in square"))
    terrain = TERRAINS.get((soil.key, soil.moisture)) if soil.strength is None else None
    ground: tuple[Origin, ...] = soils.origins(context)[:1]
    if terrain is not None:
        ground = (Origin("sinkage of this ground", ground_tables.terrains().get(terrain, "kphi").source),)
    return (bears, *ground, Origin("depth a seat may sink", context.figure("seat_limit").source))
