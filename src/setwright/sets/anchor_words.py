"""Why an anchor holds what it holds, and what would mend it, in words."""

from __future__ import annotations

from setwright.basis.say import Say
from setwright.ground import tables as ground_tables
from setwright.ground.anchor_kinds import DRIVEN, Anchor
from setwright.ground.plate import KEYING
from setwright.sets import soils
from setwright.sets.model import AnchorRig, SiteFacts

# Common practice: how far a plate goes into the firm ground under the muck before it is turned [m].
INTO_FIRM = 0.3
SOFT = ("muck", "mud", "soft-clay")
# A proof that the formulas gave less than this chance says that ground or anchor are not what was thought.
ODD = 0.05


def why_of(site: SiteFacts, used: AnchorRig, anchor: Anchor, governs: str) -> Say:
    """What stands where, how deep, and what is special about it."""
    if governs == "dead wood":
        return Say("{anchor:word} is dead wood: nothing is credited to it", anchor=used.label)
    if used.kind not in DRIVEN:
        return Say("{anchor:word}", anchor=used.label)
    if not site.soils:
        return Say("{anchor:word}: the ground is not described, the proof pull alone is known", anchor=used.label)
    deep = anchor.depth if used.kind == "plate" else anchor.length
    told = Say(
        "{anchor:word}, {deep:length} deep in {ground:word}", anchor=used.label.split(",")[0], deep=deep,
        ground=soils.ground_word(site),
    )  # fmt: skip
    if soils.is_frozen(site):
        return Say("{told:say}; judged as after a thaw, soaked: frost lets go", told=told)
    if governs == "bends":
        return Say("{told:say}; it bends before the ground gives", told=told)
    return told


def strange(why: Say, used: AnchorRig, expected: float) -> Say:
    """The same with what the proof pull says."""
    if used.proof is None or not used.proof.known:
        return why
    verb = "began to move at" if used.moved else "stood"
    told = Say("{why:say}; it {verb:word} {proof:force}", why=why, verb=verb, proof=used.proof.number)
    if expected < ODD:
        return Say(
            "{told:say}, which this ground gives {chance:share} of such anchors: feel the ground again",
            told=told, chance=expected,
        )  # fmt: skip
    return told


def mend_of(site: SiteFacts, used: AnchorRig, governs: str) -> Say:
    """What to do first; the ranked cures give the figures."""
    first = site.soils[0].key if site.soils else ""
    if governs == "dead wood":
        return Say("tie to living wood, or drive an anchor beside it")
    if governs in ("snaps", "parts"):
        return Say("tie lower on it, to a thicker one, or to a living tree")
    if first in SOFT:
        return through_soft(site)
    if first and ground_tables.soils().text(first, "model") == "drained":
        return Say("cross two stakes or drive a plate on a long cable; a single rod is pumped out of sand")
    if governs == "bends":
        return Say("take a stiffer section: a T-bar in place of a rod; proof-pull it")
    if used.kind == "stake":
        return Say("cross two stakes through one swivel, or take a longer stake; proof-pull it")
    return Say("drive it deeper or go to a tree; proof-pull it")


def firm_below(site: SiteFacts) -> float | None:
    """Depth at which something firmer than muck begins [m]; None where no layer is known to be."""
    top = 0.0
    for soil in site.soils:
        if soil.key and soil.key not in SOFT[:2]:
            return top if top > 0.0 else None
        top += soil.thickness
    return None


def plate_depth(site: SiteFacts, plate_length: float) -> float | None:
    """Depth to drive a plate so that it lies in the firm ground after turning [m]; None where none is known."""
    top = firm_below(site)
    return None if top is None else top + INTO_FIRM + KEYING * plate_length


def through_soft(site: SiteFacts) -> Say:
    """How deep to go where the top is soft."""
    deep = plate_depth(site, 0.064)
    if deep is None:
        return Say("probe for firm bottom with a rod and write it down; or go to a tree, and proof-pull it")
    return Say(
        "drive a plate {deep:length} deep, a foot into the firm bottom and what it needs to turn, or go to a tree; "
        "proof-pull it",
        deep=deep,
    )  # fmt: skip
