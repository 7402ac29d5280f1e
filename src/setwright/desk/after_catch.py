"""The list for a set that has caught: what to do, what to bring, what to write down."""

from __future__ import annotations

from collections.abc import Sequence

from setwright.basis.units import inches, pounds_force
from setwright.desk import after_catch_document as doc
from setwright.desk import tables
from setwright.desk.caution_words import HANDS, PET, RABIES
from setwright.desk.tonight_document import EveningSet
from setwright.desk.wording import sentence, show, trip_words
from setwright.line.assemble import Job
from setwright.line.kit import bed_cover
from setwright.sets.context import Context
from setwright.sets.fire import pan_depth
from setwright.sets.model import AnchorRig, Rig, TrapRig
from setwright.sets.treated import cover_words

PRACTICE = "common practice"
FROZEN = (
    "Frozen in: lift trap and bed as one lump, set the spare, and thaw the other at home. No hammer on jaws or dog."
)
NIGHT = "Below freezing nothing wet goes back over the trap: carry the wet dirt off, fill with dry."
DRIVERS = {
    "stake": "driver or hammer for the rod, and what pulls it", "crossed": "driver or hammer for both rods",
    "plate": "driver rod of this plate, and what loads it", "tree": "wire and pliers for the tree",
    "root": "wire and pliers for the root", "sapling": "wire and pliers for the sapling",
    "drag": "nothing for the drag but a look at its prongs", "weight": "rope for the weight",
}  # fmt: skip


def after_catch(
    job: Job, context: Context, rig: Rig, asks: Sequence[str], night: EveningSet | None
) -> doc.AfterCatch:
    """The list of one set.

    Parameters
    ----------
    job : Job
        The line with the rigs that stand.
    context : Context
        The set's own.
    rig : Rig
        What stands there.
    asks : sequence of str
        What the log asks of a catch.
    night : EveningSet or None
        How the set stands in the coming night, where that can be told.
    """
    site = context.site
    spare = spare_of(job, rig.trap)
    bring = _bring(context, rig, spare)
    frost = night is not None and night.fires in ("doubtful", "will not fire") and site.medium == "land"
    return doc.AfterCatch(
        schema=doc.SCHEMA, site=site.key, number=site.number, name=site.name,
        say=_say(rig, spare, frost=frost), do=_do(context, rig, frost=frost), bring=bring, note=_note(job, asks),
        tonight="" if night is None else night.say, mend="" if night is None else night.mend,
        cautions=[HANDS, RABIES, PET],
    )  # fmt: skip


def spare_of(job: Job, trap: TrapRig) -> list[str]:
    """Tags of traps of the same kind that stand nowhere and are fit to be set."""
    used = {tag for rig in job.stated.values() for tag in rig.trap_ids}
    return [
        one.trap_id
        for one in job.traps.values()
        if one.trap_id not in used and one.state == "good"
        and (one.pattern, one.springs, one.jaws) == (trap.pattern, trap.springs, trap.jaws)
    ]  # fmt: skip


def _say(rig: Rig, spare: Sequence[str], *, frost: bool) -> str:
    words = f"Six things at the set, and the pan of {rig.trap.trap_id} is read again before you leave."
    if frost:
        words += " The night freezes: dry cover, or a dry trap."
    if not spare:
        words += " No trap of its kind is idle."
    return words


def _line(number: int, here: str = "") -> doc.Item:
    found = tables.lines().get(f"remake.{number}", "say")
    return doc.Item(what=found.text or "", here=here, source=str(found.source))


def _do(context: Context, rig: Rig, *, frost: bool) -> list[doc.Item]:
    trap, site = rig.trap, context.site
    bed = f"This bed: {inches(trap.bed_length, 2)} by {inches(trap.bed_width, 2)}, {inches(trap.bed_depth, 4)} deep."
    found = [_line(1), _line(2), _line(3, bed), _line(4, _pan(context, trap)), _line(5, _held(rig))]
    found.append(_line(6, _over(context, rig)))
    if frost:
        found += [doc.Item(what=NIGHT, source=PRACTICE), doc.Item(what=FROZEN, source=PRACTICE)]
    if site.medium == "water":
        found.append(
            doc.Item(what="Sound the depth at the pan and at the stop again: a held animal digs.", source=PRACTICE)
        )
    return found


def _pan(context: Context, trap: TrapRig) -> str:
    low, high = context.target.pan_low, context.target.pan_high
    words = [f"Before: {trip_words(trap.trip_force)}."]
    if low.known and high.known:
        words.append(f"For {context.target.name.lower()}: {pounds_force(low.number)} to {pounds_force(high.number)}.")
    return " ".join(words)


def _held(rig: Rig) -> str:
    if rig.anchor is None:
        return "The book names no anchor here."
    proof = rig.anchor.proof
    pulled = (
        "" if proof is None or not proof.known else f" It was pulled to {pounds_force(proof.number)}: as far again."
    )
    chain = "" if rig.chain is None or rig.chain.swivels is None else f" {rig.chain.swivels} swivels must turn."
    return f"{rig.anchor.label[0].upper()}{rig.anchor.label[1:]}.{pulled}{chain}"


def _over(context: Context, rig: Rig) -> str:
    if context.site.medium == "water":
        depth = pan_depth(context)
        return (
            f"Pan {inches(depth.number, 4)} under water." if depth.known else "The depth over the pan is not written."
        )
    thick = "" if rig.cover_depth is None or not rig.cover_depth.known else f", {inches(rig.cover_depth.number, 8)}"
    return sentence(f"{cover_words(rig.cover, rig.treated)}{thick}")


def _bring(context: Context, rig: Rig, spare: Sequence[str]) -> list[doc.Item]:
    site = context.site
    kind = f"{rig.trap.label}, {rig.trap.jaws_said}"
    idle = f"{', '.join(spare[:6])} idle" if spare else "none is idle, so the same one goes back"
    found = [doc.Item(what="a dry trap of the same kind, its pan read", source=PRACTICE, here=f"{kind}: {idle}")]
    if site.medium == "land" and rig.cover not in (None, "none"):
        found.append(
            doc.Item(
                what="dry cover for one bed", source="computed from the bed, less the trap",
                here=f"{cover_words(rig.cover, rig.treated)}, {show(bed_cover(rig), 'volume')}",
            )
        )  # fmt: skip
    found += [
        doc.Item(what="spring scale", here="three pulls on the pan", source=PRACTICE),
        doc.Item(what="stiff brush, rag, file, pliers, wire", source=PRACTICE),
        doc.Item(what="trowel and sifter" if site.medium == "land" else "rod marked in inches", source=PRACTICE),
        doc.Item(what=_driver(rig.anchor), source=PRACTICE),
        doc.Item(what="a spare swivel and a lap link", source=PRACTICE),
        doc.Item(what="catch pole, board, coat and gloves", here="for whatever is held there next", source=PRACTICE),
    ]
    if site.bait not in (None, "none"):
        found.append(doc.Item(what=f"{site.bait}, as it was", source="the line book"))
    return found


def _driver(anchor: AnchorRig | None) -> str:
    return "what drives the anchor" if anchor is None else DRIVERS.get(anchor.kind, "what drives the anchor")


def _note(job: Job, asks: Sequence[str]) -> list[doc.Item]:
    found = [doc.Item(what="the catch", here=", ".join(asks), source="the log")]
    found.append(doc.Item(what="set remade, and three pulls on its pan", source="the log"))
    for named in job.packs:
        for rule in named.pack.rules:
            if rule.topic == "reports" and not named.profile:
                found.append(doc.Item(what=rule.text, source=f"{named.title}, {rule.citation}"))
    return found
