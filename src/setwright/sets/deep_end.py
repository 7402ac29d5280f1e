"""Does the deep end of a slide cable stay where it lies while an animal pulls at the lock?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.basis.say import Say
from setwright.basis.source import Kind, Source, assumed
from setwright.ground.anchor import capacity
from setwright.ground.anchor_kinds import DRIVEN
from setwright.sets import soils
from setwright.sets.anchored import anchor_of
from setwright.sets.context import Context, Floats
from setwright.sets.current import drag_of_animal
from setwright.sets.model import AnchorRig
from setwright.sets.naming import plain_name
from setwright.sets.result import CheckResult, Origin, check_margin, check_unknown
from setwright.water import tables as water_tables
from setwright.water.anchor import GRAVITY, holds_slide, lift, mass_needed, submerged_weight

STATED = Source(Kind.MEASURED, "line book", "stated")
NAME = "deep anchor"
SAME_BED = assumed("taken as the ground of the set; probe it where the deep end lies")


@dataclass(frozen=True)
class DeepEnd:
    """What becomes of the deep end, draw by draw, shape (n,).

    `lost`: it comes up or pulls out, so that nothing keeps the animal under. `dragged`: it stays on the bed and
    moves towards the shore. `check` is None when the depth sum with the dragged end decides; `why` and `origins`
    then go with that sum.
    """

    lost: NDArray[np.bool_]
    dragged: NDArray[np.bool_]
    check: CheckResult | None
    why: Say
    mend: Say
    origins: tuple[Origin, ...] = ()


def deep_end(context: Context, anchor: AnchorRig | None) -> DeepEnd:
    """Pull of the target against what its slide cable's deep end is tied to.

    Parameters
    ----------
    context : Context
        The site.
    anchor : AnchorRig or None
        What the deep end is tied to; None when the book does not say.

    Returns
    -------
    DeepEnd
        Of an end that cannot be judged nothing is lost or dragged, and the check says so.

    Notes
    -----
    The animal lifts by its buoyancy for as long as it lives and swims at its peak sideways, along the cable towards
    the shore: the direction in which a weight holds least. Doubt: density and swimming pull are assumed.

    """
    nothing = np.zeros(context.n, dtype=bool)
    if anchor is not None and anchor.proof is not None and anchor.proof.known:
        return _proved(context, anchor.proof.number, anchor.label, Origin("proof pull", anchor.proof.source))
    if anchor is not None and anchor.kind == "weight" and anchor.mass is not None and anchor.material is not None:
        return _weight(context, anchor, anchor.mass, anchor.material)
    if anchor is not None and anchor.kind in DRIVEN and anchor.length is not None and context.site.soils:
        driven = _driven(context, anchor)
        if driven is not None:
            return driven
    if anchor is None:
        why, ask = Say("what the deep end is tied to is not stated"), Say("name the deep anchor of this set")
    elif anchor.kind == "weight":
        why = Say("{anchor:word}: mass or material is not stated", anchor=anchor.label)
        ask = Say("weigh {anchor:word} and say what it is made of", anchor=anchor.label)
    else:
        why = Say("{anchor:word}: the bed at the deep end is not described", anchor=anchor.label)
        ask = Say("proof-pull the deep end towards the shore and write the pull down")
    return DeepEnd(nothing, nothing, check_unknown(NAME, "force", why, ask), why, ask)


def _pulls(context: Context) -> tuple[Floats, Floats, tuple[Origin, ...]]:
    """Lasting lift and peak pull sideways of the target [N], shape (n,)."""
    mass = context.mass(context.target)
    up = lift(mass, context.own_figure("animal_density"))
    # The current may come from any side: the hardest is along the pull of the animal.
    side = context.own_figure("swim") * mass * GRAVITY + drag_of_animal(context)
    origins = (
        Origin("body mass", context.target.mass.source),
        Origin("density of the animal", context.figure("animal_density").source),
        Origin("pull of swimming", context.figure("swim").source),
    )
    return up, side, origins


def _driven(context: Context, anchor: AnchorRig) -> DeepEnd | None:
    """A stake or plate at the deep end, in a bed taken to be that of the set; None where the ground tells nothing."""
    up, side, origins = _pulls(context)
    made = anchor_of(anchor)
    ground = soils.layers(context)
    found = capacity(made, ground, angle=np.arctan2(np.maximum(up, 0.0), side))
    force = np.asarray(found.force, dtype=float) * context.own_figure("anchor_model")
    force = force * (1.0 if anchor.kind == "plate" else context.own_figure("cyclic"))
    if np.isnan(force).any():
        return None
    why = Say(
        "{anchor:word} in a bed taken as that of the set, {ground:word}: about {force:force}; a {animal:word} pulls "
        "{pull:force} at its hardest",
        anchor=anchor.label, ground=soils.ground_word(context.site), force=float(np.median(force)),
        animal=plain_name(context.target), pull=float(np.median(side)),
    )  # fmt: skip
    mend = Say("drive it deeper into firm ground and proof-pull it towards the shore")
    said = (*soils.origins(context), Origin("bed at the deep end", SAME_BED), *origins)
    spare = force - np.hypot(up, side)
    check = check_margin(NAME, spare, 0.0, "force", why, mend=mend, origins=said)
    return DeepEnd(np.asarray(spare < 0), np.zeros(context.n, dtype=bool), check, why, mend)


def _proved(context: Context, proof: float, label: str, origin: Origin) -> DeepEnd:
    up, side, origins = _pulls(context)
    spare = proof - np.hypot(up, side)
    why = Say(
        "{anchor:word} stood {proof:force}; a {animal:word} pulls {pull:force} at its hardest",
        anchor=label,
        proof=proof,
        animal=plain_name(context.target),
        pull=float(np.median(side)),
    )
    mend = Say("drive it deeper, or proof-pull it harder")
    check = check_margin(NAME, spare, 0.0, "force", why, mend=mend, origins=(origin, *origins))
    lost = spare < 0
    return DeepEnd(np.asarray(lost), np.zeros(context.n, dtype=bool), check, why, mend)


def _weight(context: Context, anchor: AnchorRig, mass: float, material: str) -> DeepEnd:
    table = water_tables.anchors()
    density, rubs = table.get(material, "density"), table.get(material, "friction")
    friction = context.drawn("deep.friction", rubs)
    up, side, origins = _pulls(context)
    origins = (
        Origin("deep weight", anchor.source or STATED),
        Origin("density of the weight", density.source),
        Origin("friction on the bed", rubs.source),
        *origins,
    )
    found = holds_slide(mass, density.number, up, side, friction)
    lost, dragged = found.vertical < 0, (found.vertical >= 0) & (found.horizontal < 0)
    wet = float(submerged_weight(mass, density.number))
    needed = float(np.quantile(mass_needed(density.number, up, side, friction), 0.95))
    mend = Say(
        "drive a stake at the deep end and proof-pull it, or lay the weight farther out; {material:word} that "
        "stays would weigh {needed:mass}",
        needed=needed,
        material=table.text(material, "label"),
    )
    why = Say(
        "{anchor:word} weighs {wet:force} under water; a {animal:word} pulls {pull:force} at its hardest",
        anchor=anchor.label,
        wet=wet,
        animal=plain_name(context.target),
        pull=float(np.median(side)),
    )
    check = None
    if float(np.mean(lost)) > 0.05:
        words = Say("{why:say} and lifts it", why=why)
        check = check_margin(NAME, found.vertical, 0.0, "force", words, mend=mend, origins=origins)
    elif float(np.mean(dragged)) <= 0.05:
        check = check_margin(NAME, found.horizontal, 0.0, "force", why, mend=mend, origins=origins)
    return DeepEnd(np.asarray(lost), np.asarray(dragged), check, why, mend, origins)
