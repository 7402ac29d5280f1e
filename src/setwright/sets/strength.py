"""Strength of anchor and tackle at a site, as draws, with names and sources."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import Kind, Quantity, Source
from setwright.ground import tables as ground_tables
from setwright.ground.anchor import Anchor, capacity, fine_share
from setwright.ground.soil import Layer
from setwright.sets.context import Context, Floats
from setwright.sets.model import AnchorRig, Chain, Rig, SlideRig
from setwright.sets.result import Origin
from setwright.tackle import tables as tackle_tables
from setwright.tackle.strength import Part, series
from setwright.water import tables as water_tables

STIFF = 1e6
BENCH = Source(Kind.MEASURED, "loaded to failure on the bench", "stated")
# Assumed: scatter of the strength of parts of one make and size.
TACKLE_SPREAD = 0.15


@dataclass(frozen=True)
class Strengths:
    """Anchor and tackle [N], shape (n,) (NaN: cannot tell), and what to say about them."""

    anchor: Floats
    anchor_name: str
    anchor_why: Say
    anchor_mend: Say
    anchor_question: Say | None
    anchor_origins: tuple[Origin, ...]
    stiffness: Floats
    tackle: Floats
    tackle_name: str
    tackle_why: Say
    tackle_question: Say | None
    tackle_origins: tuple[Origin, ...]


def layers(context: Context) -> tuple[Layer, ...]:
    """Soil layers of the site with drawn strengths; empty when the ground was not stated."""
    found = []
    table = ground_tables.soils()
    for number, soil in enumerate(context.site.soils):
        model = table.text(soil.key, "model")
        record = table.record(soil.key)

        def draw(name: str, number: int = number, record: Mapping[str, Quantity] = record) -> Floats:
            quantity = record.get(name)
            return (
                np.full(context.n, np.nan) if quantity is None else context.drawn(f"soil.{number}.{name}", quantity)
            )

        cohesion = (
            context.drawn(f"soil.{number}.cu", soil.strength.with_spread(0.3))
            if soil.strength is not None
            else draw("cu")
        )
        submerged = context.site.medium == "water"
        found.append(
            Layer(
                name=table.text(soil.key, "label"),
                model=model,
                thickness=soil.thickness,
                phi=draw("phi"),
                cu=cohesion,
                unit_weight=draw(
                    "unit_weight_submerged" if submerged and "unit_weight_submerged" in record else "unit_weight"
                ),
                delta=draw("delta_steel"),
            )
        )
    return tuple(found)


def strengths(context: Context, rig: Rig) -> Strengths:
    """Anchor and weakest tackle part of a rig at this site."""
    anchor = _anchor(context, rig)
    tackle = _tackle(context, rig)
    return Strengths(*anchor, *tackle)


def _anchor(context: Context, rig: Rig) -> tuple[Floats, str, Say, Say, Say | None, tuple[Origin, ...], Floats]:
    used = rig.anchor
    missing = np.full(context.n, np.nan)
    stiff = np.full(context.n, STIFF)
    mend = Say("a longer or crossed stake, a plate driven into firm ground, or a tree; proof-pull it")
    if used is None:
        return (
            missing,
            "anchor",
            Say("no anchor is named for this set"),
            mend,
            Say("name the anchor of this set"),
            (),
            stiff,
        )
    source = Origin("anchor dimensions", used.source) if used.source is not None else None
    origins = tuple(origin for origin in (source,) if origin is not None)
    if used.kind == "drag":
        return (
            missing,
            used.label,
            Say("a drag does not hold: it lets the animal travel until it snags"),
            mend,
            Say("ask whether drags are allowed here, and log how far the animal went"),
            origins,
            stiff,
        )
    ground = layers(context)
    if not ground and used.kind not in ("tree", "weight") and used.proof is None:
        return (
            missing,
            used.label,
            Say("the ground was not described, so no anchor can be judged"),
            mend,
            Say("do the thumb test and write the ground of this site into the book"),
            origins,
            stiff,
        )
    anchor = anchor_of(used)
    found = capacity(
        anchor,
        ground,
        angle=context.own_figure("lunge_angle"),
        cyclic=context.own_figure("cyclic"),
        rate=1.0 + fine_share(anchor, ground) * (context.own_figure("rate_fine") - 1.0),
    )
    force = np.broadcast_to(np.asarray(found.force, dtype=float), (context.n,))
    stiffness = np.broadcast_to(np.asarray(found.stiffness, dtype=float), (context.n,))
    if ground:
        table = ground_tables.soils()
        key = context.site.soils[0].key
        name = "cu" if "cu" in table.record(key) else "phi"
        if name in table.record(key):
            origins = (*origins, Origin("strength of the ground", table.get(key, name).source))
        mend = _anchor_mend(context, used, ground)
    why = Say("{anchor:word} in {ground:word}", anchor=used.label, ground=_ground_word(ground))
    if found.governs == "frozen ground" and used.proof is not None:
        why = Say(
            "{anchor:word} in {ground:word}, frozen: only the proof pull is known, and it is void after a thaw",
            anchor=used.label,
            ground=_ground_word(ground),
        )
    return (
        force,
        used.label,
        why,
        mend,
        None,
        origins,
        np.where(np.isfinite(stiffness) & (stiffness > 0), stiffness, STIFF),
    )


def _ground_word(ground: tuple[Layer, ...]) -> str:
    return " over ".join(layer.name for layer in ground) if ground else "ground"


def _anchor_mend(context: Context, used: AnchorRig, ground: tuple[Layer, ...]) -> Say:
    soft = context.site.soils[0].key in ("muck", "mud", "soft-clay")
    if soft:
        return Say("reach the firm bottom with a longer stake or plate, or go to a tree; proof-pull it")
    if ground[0].model == "drained":
        return Say("cross two stakes or drive a plate on a long cable; a single rod is pumped out of sand")
    if used.kind == "stake":
        return Say("cross two stakes through one swivel, or take a longer stake; proof-pull it")
    return Say("drive it deeper or go to a tree; proof-pull it")


def anchor_of(used: AnchorRig) -> Anchor:
    """The anchor's dimensions for the ground room."""
    fields = {
        "width": used.width,
        "perimeter": used.perimeter,
        "length": used.length,
        "yield_moment": used.yield_moment,
        "plate_width": used.plate_width,
        "plate_length": used.plate_length,
        "depth": used.length if used.kind == "plate" else None,
        "diameter": used.diameter,
        "mass": used.mass,
        "material_density": water_tables.anchors().number(used.material, "density") if used.material else None,
        "proof": used.proof.value if used.proof is not None else None,
    }
    return Anchor(kind=used.kind, **{name: value for name, value in fields.items() if value is not None})


def _tackle(context: Context, rig: Rig) -> tuple[Floats, str, Say, Say | None, tuple[Origin, ...]]:
    missing = np.full(context.n, np.nan)
    if rig.chain is None:
        return missing, "", Say("no chain is named for this set"), Say("name the chain of this set and its parts"), ()
    if not rig.chain.parts:
        return (
            missing,
            "",
            Say("the parts of chain {chain:word} are not written down", chain=rig.chain.key),
            Say("gauge the wire of chain {chain:word} and name its links, hooks and swivels", chain=rig.chain.key),
            (),
        )
    parts, origins = _parts(rig.chain, rig.slide)
    weakest = series(parts)
    factor = context.shared_figure("shock_factor")
    scatter = np.exp(TACKLE_SPREAD * context.draws.normal("tackle"))
    force = np.broadcast_to(np.asarray(weakest.force, dtype=float), (context.n,)) * scatter
    # The room's parts carry no shock factor here: it is drawn, once for all parts.
    force = force * factor
    if weakest.unrated:
        names = ", ".join(weakest.unrated)
        why = Say(
            "{names:word}: no published strength; of the rated parts the weakest is {part:word}",
            names=names,
            part=weakest.name or "none",
        )
        question = Say("load three samples of {names:word} to failure and write the readings down", names=names)
        return force, weakest.name, why, question, origins
    return force, weakest.name, Say("weakest part: {part:word}", part=weakest.name), None, origins


def _parts(chain: Chain, slide: SlideRig | None) -> tuple[list[Part], tuple[Origin, ...]]:
    table = tackle_tables.tackle()
    keys = list(chain.parts)
    tested = dict(chain.tested)
    parts: list[Part] = []
    origins: list[Origin] = []
    if slide is not None and slide.cable is not None:
        keys.append(slide.cable)
    for key in keys:
        record = table.record(key)
        name = table.text(key, "label") or key
        breaking = record.get("breaking")
        if key in tested:
            parts.append(Part(name=name, median=tested[key], spread=0.0, rated=True, factor=1.0))
            origins.append(Origin(name, BENCH))
            continue
        if breaking is None or breaking.value is None:
            parts.append(Part(name=name, median=float("nan"), spread=0.0, rated=False, factor=1.0))
            continue
        strength = breaking.value * (chain.worn if key in chain.parts else 1.0)
        if slide is not None and key == slide.cable and slide.ends is not None:
            strength *= table.number(slide.ends, "efficiency")
        parts.append(Part(name=name, median=strength, spread=0.0, rated=True, factor=1.0))
        origins.append(Origin(name, breaking.source))
    return parts, tuple(origins)
