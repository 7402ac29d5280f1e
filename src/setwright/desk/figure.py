"""Geometry of a set for its section drawing."""

from __future__ import annotations

import numpy as np

from setwright.basis.spread import band
from setwright.desk import document as doc
from setwright.desk import tables as trade_tables
from setwright.sets import submerge, tables
from setwright.sets.context import Context
from setwright.sets.evaluate import SetResult
from setwright.sets.fire import pan_depth
from setwright.sets.level import fall, rise
from setwright.sets.model import Rig, SlideRig
from setwright.sets.soils import label_of
from setwright.sets.treated import cover_words
from setwright.water.submersion import cable_path, lock_point

HOLED = ("dirt-hole",)


def figure_of(context: Context, result: SetResult) -> doc.Figure:
    """Section geometry of the set, in metres."""
    return water_figure(context, result.rig) if context.site.medium == "water" else _land(context, result.rig)


def _layers(context: Context) -> list[dict[str, object]]:
    return [
        {
            "soil": soil.key,
            "label": label_of(soil),
            "thickness": None if not np.isfinite(soil.thickness) else soil.thickness,
        }
        for soil in context.site.soils
    ]


def _words(context: Context, rig: Rig) -> dict[str, str]:
    layers = _layers(context)
    words = {
        "trap": rig.trap.label,
        "anchor": "" if rig.anchor is None else rig.anchor.label,
        "cover": "" if rig.cover is None else cover_words(rig.cover, rig.treated),
        "ground": str(layers[0]["label"]) if layers else "",
        "ground_below": str(layers[1]["label"]) if len(layers) > 1 else "",
        "set_type": tables.set_types().text(context.site.set_type, "label"),
    }
    return {name: word for name, word in words.items() if word}


def _land(context: Context, rig: Rig) -> doc.Figure:
    trap = rig.trap
    lengths = {
        "bed_length": trap.bed_length,
        "bed_depth": trap.bed_depth,
        "set_height": trap.set_height,
        "spread": trap.spread.number,
    }
    if rig.cover_depth is not None and rig.cover_depth.known:
        lengths["cover"] = rig.cover_depth.number
    if rig.chain is not None:
        lengths["chain"] = rig.chain.length.number
    if rig.anchor is not None and rig.anchor.length is not None and rig.anchor.kind in ("stake", "crossed", "plate"):
        lengths["stake_length"] = rig.anchor.length
        lengths["stake_angle"] = 0.7 if rig.anchor.kind == "crossed" else 0.0
    if context.site.set_type in HOLED:
        trade = trade_tables.figures()
        lengths["hole_distance"], lengths["hole_depth"] = trade["hole_distance"].number, trade["hole_depth"].number
    words = _words(context, rig)
    if rig.anchor is not None:
        words["anchor_kind"] = rig.anchor.kind
    return doc.Figure(kind="land", lengths=lengths, layers=_layers(context), words=words)


def water_figure(context: Context, rig: Rig) -> doc.Figure:
    """Bed, levels, trap, slide cable and the sum at the stop; z is measured from the level when set."""
    words = _words(context, rig)
    profile = submerge.profile_of(context)
    depth = pan_depth(context)
    dropped, _, _ = fall(context)
    risen, _, _ = rise(context)
    levels = {"low": -band(dropped)[2], "high": band(risen)[2]}
    lengths: dict[str, float] = {"spread": rig.trap.spread.number}
    points: dict[str, tuple[float, float]] = {}
    bed: list[tuple[float, float]] = []
    if depth.known:
        lengths["pan_depth"] = depth.number
    if rig.chain is not None:
        lengths["chain"] = rig.chain.length.number
    cable: list[tuple[float, float]] = []
    total: list[doc.SumLine] = []
    if profile is not None:
        x, z = np.asarray(profile.x, dtype=float), np.asarray(profile.z, dtype=float)
        bed = [(round(float(a), 4), round(float(b), 4)) for a, b in zip(x, z, strict=True)]
        if depth.known:
            points["trap"] = (
                float(np.interp(depth.number, -z, x)) if np.all(np.diff(z) <= 0) else float(x[0]),
                -depth.number,
            )
        if rig.slide is not None:
            slide = submerge.slide_of(rig, rig.slide)
            total = _sum(context, rig, lengths)
            words |= _ends(rig, rig.slide)
            points["stake"] = (slide.stake_x, slide.stake_z)
            points["anchor"] = (slide.anchor_x, float(np.interp(slide.anchor_x, x, z)))
            along, height = cable_path(profile, slide)
            cable = [(round(float(a), 4), round(float(b), 4)) for a, b in zip(along, height, strict=True)]
            lock = lock_point(profile, slide)
            if not np.isnan(lock.x):
                points["stop"] = (float(lock.x), float(lock.z))
    return doc.Figure(
        kind="water",
        bed=bed,
        cable=cable,
        levels=levels,
        points=points,
        lengths=lengths,
        layers=_layers(context),
        words=words,
        sum=total,
    )


def _ends(rig: Rig, slide: SlideRig) -> dict[str, str]:
    """Words for the two ends of the cable: the bank end where no other is named is the set's own anchor."""
    bank = slide.bank_anchor or rig.anchor
    words = {"stake": bank.label if bank is not None else "bank end"}
    words["anchor"] = slide.deep_anchor.label if slide.deep_anchor is not None else "deep end, not stated"
    return words


def _sum(context: Context, rig: Rig, lengths: dict[str, float]) -> list[doc.SumLine]:
    found = submerge.submersion(context, rig).sum
    if found is None or rig.slide is None:
        return []
    reach, _ = submerge.limb_reach(context)
    slide = submerge.slide_of(rig, rig.slide)
    wave = context.site.water.wave if context.site.water is not None else 0.0
    dropped = float(np.quantile(fall(context)[0], 0.95)) + 0.5 * wave
    depth = float(np.median(np.asarray(found.depth_at_stop, dtype=float)))
    limb = float(np.median(reach))
    clear = float(np.median(context.own_figure("clear")))
    if np.isnan(depth):
        return []
    spare = depth - dropped - slide.chain - limb - clear
    lengths.update(reach=slide.chain + limb, required_clear=clear, spare=spare)
    return [
        doc.SumLine(label="depth at the stop when set", value=depth),
        doc.SumLine(label="the water may fall, one wait in twenty", value=-dropped),
        doc.SumLine(label="chain and trap", value=-slide.chain),
        doc.SumLine(label="held foot to nose", value=-limb),
        doc.SumLine(label="water over the nose, required", value=-clear),
        doc.SumLine(label="to spare", value=spare),
    ]
