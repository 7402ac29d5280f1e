"""The facts of a set that law packs ask about, and their answers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from setwright.basis.say import Say
from setwright.basis.source import Quantity
from setwright.basis.verdict import Answer
from setwright.law.compose import compose
from setwright.law.facts import UNKNOWN, Fact, Facts
from setwright.law.pack import Pack
from setwright.sets.context import Context
from setwright.sets.fire import pan_depth
from setwright.sets.model import Rig, TrapRig
from setwright.sets.result import LawAnswer
from setwright.sets.under import takes_under

# A jaw spread in the book was taken as the trap lies set, inside the jaws across the pan.
SPREAD_METHOD = "inside_dog_across_pan"
READING = 0.0016
NO_PACK = LawAnswer(
    "law pack",
    "none",
    Answer.CANNOT_TELL,
    Say("no law pack is named: every legal question is open"),
    "line book",
    None,
    Say("read the rules of this place, write them into a pack, and name it in the book"),
)


def _fact(quantity: Quantity, method: str | None = None, spread: float = 0.0) -> Fact:
    """A quantity as a fact; a reading without a stated spread carries `spread` (absolute, SI)."""
    if quantity.value is None:
        return Fact(None)
    low = quantity.low if quantity.low is not None else quantity.value - spread
    high = quantity.high if quantity.high is not None else quantity.value + spread
    return Fact(quantity.value, low, high, method)


def facts_of(
    context: Context,
    rig: Rig | None,
    *,
    traps_out: int | None,
    tag_name: bool | None,
    stated: Mapping[str, Fact] | None = None,
) -> Facts:
    """Features of the set that rules may ask for; what the book does not say stays unknown.

    What the book states in so many words (`stated` for the person, the site's own facts) fills what is not told else.
    """
    found = _of_site(context, traps_out, tag_name)
    if rig is not None:
        found |= _of_rig(context, rig, tag_name)
    for name, fact in {**(stated or {}), **context.site.law_facts}.items():
        if not found.get(name, UNKNOWN).known:
            found[name] = fact
    found.setdefault("purpose", Fact("fur"))
    return Facts(found)


def _of_site(context: Context, traps_out: int | None, tag_name: bool | None) -> dict[str, Fact]:
    site, depth = context.site, pan_depth(context)
    found: dict[str, Fact] = {
        "device": Fact("foothold"),
        "medium": Fact(site.medium),
        "set_type": Fact(site.set_type) if site.set_type_stated else Fact(None),
        "target": Fact(site.target),
        "under_ice": Fact(site.set_type == "pole"),
        "depth_over_pan": _fact(depth, None, 0.01) if site.medium == "water" else Fact(0.0, 0.0, 0.0),
        "submerged_share": Fact(_under(context)),
        "bait_present": Fact(None if site.bait is None else site.bait in ("meat", "plant")),
        "bait_visible": Fact(False if site.bait in ("none", "lure") else site.bait_visible),
        "tag_name": Fact(tag_name),
        "land_tenure": Fact(site.tenure),
        "permission": Fact(site.permission),
        "traps_out": Fact(None if traps_out is None else float(traps_out)),
        "check_interval": Fact(context.check.hours * 3600.0),
        "made": Fact(context.check.made),
        "last_visit": Fact(context.check.made),
        "next_visit": Fact(context.check.visit),
        "sunrise": Fact(context.conditions.sunrise),
        "sunset": Fact(context.conditions.sunset),
        "traps_in_set": Fact(1.0),
        "traps_at_site": Fact(1.0),
    }
    for what, distance in site.near.items():
        found[f"distance:{what}"] = Fact(distance, 0.97 * distance, 1.03 * distance)
    return found


def _of_rig(context: Context, rig: Rig, tag_name: bool | None) -> dict[str, Fact]:
    site, trap, chain, anchor = context.site, rig.trap, rig.chain, rig.anchor
    dimensions = trap.dimensions
    inline = None if chain is None else chain.swivels
    total = None if inline is None or trap.base_swivel is None else inline + int(trap.base_swivel)
    return {
        "family": Fact(trap.family),
        "jaw_spread": _fact(trap.spread, SPREAD_METHOD, READING),
        "jaw_gap_closed": Fact(None if _offset(trap) is None else float(dimensions.offset_gap)),
        "jaw_face_width": Fact(_face(rig)),
        "offset": Fact(_offset(trap)),
        "laminated": Fact(trap.has_jaws("laminated")),
        "padded": Fact(trap.has_jaws("padded")),
        "toothed": Fact(trap.toothed),
        "spring_count": Fact(float(trap.springs)),
        "nominal_size": Fact(trap.nominal or None),
        "pan_trip_force": _fact(trap.trip_force.with_spread(0.1)),
        "swivel_count": Fact(None if total is None else float(total)),
        "base_swivel": Fact(trap.base_swivel),
        "chain_length": Fact(None) if chain is None else _fact(chain.length, None, READING),
        "anchor_kind": Fact(None if anchor is None else anchor.kind),
        "drag": Fact(None if anchor is None else anchor.kind == "drag"),
        "submersion": Fact(_submersion(context, rig)),
        "covered": Fact(rig.cover not in (None, "none")) if site.medium == "land" else Fact(True),
        "tag_name": Fact(tag_name if trap.tag is None else True),
        "double_jawed": Fact(trap.has_jaws("double")),
    }


def _submersion(context: Context, rig: Rig) -> bool | None:
    """Whether it is a submersion set: one that is made as such and does not hold under is a set that holds alive."""
    return {Answer.MEETS: True, Answer.BREAKS: False}.get(takes_under(context, rig))


def _offset(trap: TrapRig) -> bool | None:
    """Whether the closed jaws leave a gap: as stated, or by the gap that he measured."""
    if trap.jaws is None and "offset_gap" in trap.measured:
        return float(trap.dimensions.offset_gap) > 0.0
    return trap.has_jaws("offset")


def _face(rig: Rig) -> float | None:
    if rig.trap.jaws is None and "face_width" not in rig.trap.measured:
        return None
    dimensions = rig.trap.dimensions
    lamination = float(dimensions.lamination_width or 0.0)
    return float(dimensions.face_width) + lamination


def _under(context: Context) -> float | None:
    if context.site.medium == "land":
        return 0.0
    depth = pan_depth(context)
    return None if depth.value is None else (1.0 if depth.value > 0.0 else 0.0)


def law_answers(context: Context, packs: Sequence[tuple[str, Pack]], facts: Facts) -> tuple[LawAnswer, ...]:
    """Every finding of every pack for this set, in the order of the packs."""
    whole = compose(packs, facts, on=context.conditions.on, species=context.site.target)
    found = [
        LawAnswer(
            one.finding.rule,
            one.pack,
            one.finding.answer,
            one.finding.reason,
            one.finding.citation,
            one.finding.cure,
            one.finding.question,
            one.kind == "profile",
        )
        for one in whole
    ]
    if not any(pack.kind == "law" for _, pack in packs):
        found.append(NO_PACK)
    return tuple(found)
