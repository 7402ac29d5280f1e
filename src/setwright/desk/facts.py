"""Names and facts of a site and its rig as the sheets show them."""

from __future__ import annotations

from typing import cast

from setwright.basis.units import feet, inches, pounds_force
from setwright.desk import document as doc
from setwright.desk.wording import distance, springs_of, trip_words
from setwright.sets import tables
from setwright.sets.context import Context
from setwright.sets.fire import pan_depth
from setwright.sets.model import Rig, SiteFacts
from setwright.sets.naming import plain_name
from setwright.sets.soils import label_of
from setwright.sets.treated import additive_name, cover_words, harm_of


def site_of(context: Context) -> doc.Site:
    """The place of a set in words; a position that the book does not have stays unknown."""
    site = context.site
    return doc.Site(
        id=site.key,
        number=site.number,
        name=site.name,
        latitude=site.latitude,
        longitude=site.longitude,
        medium=cast("doc.Medium", site.medium),
        set_type=tables.set_types().text(site.set_type, "label"),
        target=site.target,
        target_name=context.target.name,
        ground=ground_words(site),
        cover=cover_words(site.cover, site.treated),
        access=site.access,
        near=[f"{what.replace('-', ' ')} {distance(metres)}" for what, metres in site.near.items()],
        sign=[
            f"{plain_name(context.species[key])}: {tables.sign().text(level, 'label')}"
            for key, level in site.sign.items()
        ],
    )


def ground_words(site: SiteFacts) -> str:
    """Ground from the top down, with thickness."""
    parts = []
    for soil in site.soils:
        label = label_of(soil)
        parts.append(label if soil.thickness == float("inf") else f"{feet(soil.thickness)} of {label}")
    return " over ".join(parts)


def rig_of(context: Context, rig: Rig) -> doc.Rig:
    """The rig in words, with the facts of the card."""
    trap = rig.trap
    reading = trap.trip_force.with_spread(0.15)
    chain = "not named" if rig.chain is None else feet(rig.chain.length.number)
    inline = None if rig.chain is None else rig.chain.swivels
    swivels = None if inline is None or trap.base_swivel is None else inline + int(trap.base_swivel)
    turning = "swivels not counted" if swivels is None else f"{swivels} swivel{'' if swivels == 1 else 's'}"
    gap = float(trap.dimensions.offset_gap)
    facts = [
        ("trap", f"{trap.trap_id}, {trap.label}"),
        ("springs", springs_of(trap.family, trap.springs)),
        ("spread", f"{inches(trap.spread.number, 8)}, {trap.jaws_said}" + (f" {inches(gap, 16)}" if gap > 0 else "")),
        ("trip force", trip_words(trap.trip_force)),
        ("chain", f"{chain}, {turning}"),
        ("anchor", "not named" if rig.anchor is None else rig.anchor.label),
    ]
    if rig.anchor is not None and rig.anchor.proof is not None and rig.anchor.proof.known:
        facts.append(("proof pull", pounds_force(rig.anchor.proof.number)))
    depth = pan_depth(context)
    if context.site.medium == "water":
        facts.append(("pan under water", inches(depth.number, 4) if depth.known else "not measured"))
    if rig.slide is not None:
        facts.append(("stop", f"{feet(rig.slide.deep_out - rig.slide.stop_back)} out"))
    cover = cover_words(rig.cover, rig.treated)
    if context.site.medium == "land":
        depth_words = (
            "" if rig.cover_depth is None or not rig.cover_depth.known else f", {inches(rig.cover_depth.number, 8)}"
        )
        facts.append(("cover", f"{cover}{depth_words}"))
        if rig.treated is not None:
            facts.append((f"beside it, {additive_name(rig.treated)}", harm_of(rig.treated)))
        facts.append(
            ("bed", f"{inches(trap.bed_length, 2)} × {inches(trap.bed_width, 2)}, {inches(trap.bed_depth, 4)} deep")
        )
    return doc.Rig(
        trap=trap.trap_id,
        pattern=trap.pattern,
        label=trap.label,
        family=cast("doc.Family", trap.family),
        jaws=trap.jaws_said,
        springs=springs_of(trap.family, trap.springs),
        spread=trap.spread.number,
        offset_gap=gap,
        trip_force=(reading.value, reading.low, reading.high),
        chain=chain,
        chain_length=0.0 if rig.chain is None else rig.chain.length.number,
        swivels=swivels,
        anchor="not named" if rig.anchor is None else rig.anchor.label,
        submersion=None
        if rig.slide is None
        else f"slide cable {feet(rig.slide.length)}, stop {feet(rig.slide.deep_out - rig.slide.stop_back)} out",
        cover=cover,
        facts=facts,
        stated=rig.stated,
    )
