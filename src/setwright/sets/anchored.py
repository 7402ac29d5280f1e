"""What the anchor of a rig holds at a site, as draws: formulas of the ground, weighed with the proof pull."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from setwright.basis.say import Say
from setwright.basis.spread import normal_cdf
from setwright.ground import proof as proofs
from setwright.ground.anchor import Anchor, capacity, fine_share
from setwright.ground.anchor_kinds import DRIVEN
from setwright.ground.drag import tow_force, travel
from setwright.ground.soil import Layer
from setwright.ground.stake import lateral
from setwright.sets import soils
from setwright.sets.anchor_words import mend_of, strange, why_of
from setwright.sets.context import Context, Floats
from setwright.sets.model import AnchorRig, Rig
from setwright.sets.result import Origin
from setwright.tackle.chain_length import pull_angle
from setwright.water import tables as water_tables

STIFF = 1e6
# Assumed [m]: what of a stake stands above the ground with swivel and head, where the driven depth is not stated.
HEAD = 0.05
# Assumed [m]: how high a sapling is tied, and how wide the prong of a drag is, where neither is stated.
TIED, PRONG = 0.2, 0.012
# Assumed: how far a proof whose angle nobody noted may be off, as the error of a turn of an eighth.
ANGLE_UNKNOWN = 0.125 * np.pi
LEAST_SCATTER = 0.05


@dataclass(frozen=True, eq=False)
class Anchored:
    """What an anchor holds of a lunge [N], shape (n,) (NaN: cannot tell), and what to say about it.

    `before` is the same without the proof pull; `expected` the chance that the formulas gave such a proof before it
    was made, NaN without one; `angle` the pull above the ground [rad], `loose` the share of a slow fresh pull that a
    jerk of a fight finds [-], shape (n,).
    """

    force: Floats
    before: Floats
    name: str
    governs: str
    why: Say
    mend: Say
    question: Say | None
    origins: tuple[Origin, ...]
    stiffness: Floats
    angle: Floats
    loose: Floats
    expected: float = float("nan")


def lunge_angle(context: Context, rig: Rig) -> Floats:
    """Angle above the ground at which the animal draws on the anchor [rad], shape (n,); level for a slide cable."""
    if rig.slide is not None:
        return np.zeros(context.n)
    length = rig.chain.length.number if rig.chain is not None else 0.3
    return pull_angle(length, context.own_figure("foot_height"))


def anchor_of(used: AnchorRig) -> Anchor:
    """The anchor's dimensions for the ground room, as deep as it was driven."""
    length = used.length
    if used.driven is not None:
        length = used.driven
    elif length is not None and used.kind in ("stake", "crossed"):
        length = max(length - HEAD, 0.0)
    fields = {
        "width": used.width,
        "perimeter": used.perimeter,
        "length": length,
        "yield_moment": used.yield_moment,
        "plate_width": used.plate_width,
        "plate_length": used.plate_length,
        "depth": length if used.kind == "plate" else None,
        "diameter": used.diameter,
        "mass": used.mass,
        "material_density": water_tables.anchors().number(used.material, "density") if used.material else None,
        "refusal": used.refused,
        "pull_height": TIED if used.pull_height is None and used.kind == "sapling" else used.pull_height,
        "beta": used.lean if used.kind == "crossed" else None,
        "lean": used.lean if used.kind == "stake" else None,
    }
    return Anchor(
        kind=used.kind,
        alive=not used.dead,
        **{name: value for name, value in fields.items() if value is not None},
    )


def anchored(context: Context, rig: Rig) -> Anchored:
    """Strength of a rig's anchor against a lunge of the target at this site."""
    used = rig.anchor
    angle = lunge_angle(context, rig)
    if used is None:
        ask = Say("name the anchor of this set")
        return _untold(context, angle, "anchor", Say("no anchor is named for this set"), ask, ())
    said = (Origin("anchor dimensions", used.source),) if used.source is not None else ()
    if used.kind == "drag":
        return _dragging(context, angle, used, said)
    ground = soils.layers(context)
    needs_ground = used.kind in DRIVEN
    if needs_ground and used.proof is None:
        if not ground:
            why = Say("the ground was not described, so no anchor can be judged")
            ask = Say("do the thumb test and write the ground of this site into the book")
            return _untold(context, angle, used.label, why, ask, said)
        question = soils.question_of(context.site, _deepest(used))
        if question is not None:
            why = Say("{anchor:word} stands in ground that nobody could name", anchor=used.label)
            return _untold(context, angle, used.label, why, question, said)
    anchor = anchor_of(used)
    found = capacity(anchor, ground, angle=angle)
    fresh = np.broadcast_to(np.asarray(found.force, dtype=float), (context.n,))
    if needs_ground:
        fresh = fresh * context.own_figure("anchor_model")
        said = (
            *said,
            *soils.origins(context),
            Origin("formulas of the ground", context.figure("anchor_model").source),
        )
    elif used.kind in ("sapling", "root"):
        fresh = fresh * context.own_figure("wood")
        said = (*said, Origin("strength of wood", context.figure("wood").source))
    loose = _worked(context, used, anchor, ground)
    before, force, expected = fresh * loose, fresh * loose, float("nan")
    if used.proof is not None and used.proof.known and needs_ground:
        proved, expected = _after_proof(context, used, anchor, ground, angle, fresh)
        force = proved * loose
        said = (*said, Origin("proof pull", used.proof.source))
    if needs_ground and np.isnan(force).any():
        why = Say(
            "{anchor:word} in ground that is frozen through: what it holds after a thaw is not known",
            anchor=used.label,
        )
        ask = Say("write down the ground under the frost, or proof-pull the anchor after a thaw")
        return _untold(context, angle, used.label, why, ask, said)
    stiffness = np.broadcast_to(np.asarray(found.stiffness, dtype=float), (context.n,))
    return Anchored(
        force=np.asarray(force),
        before=np.asarray(before),
        name=used.label,
        governs=found.governs,
        why=strange(why_of(context.site, used, anchor, found.governs), used, expected),
        mend=mend_of(context.site, used, found.governs),
        question=None,
        origins=said,
        stiffness=np.where(np.isfinite(stiffness) & (stiffness > 0), stiffness, STIFF),
        angle=angle,
        loose=loose,
        expected=expected,
    )


def _deepest(used: AnchorRig) -> float:
    return (used.driven if used.driven is not None else used.length) or 0.0


def _worked(context: Context, used: AnchorRig, anchor: Anchor, ground: tuple[Layer, ...]) -> Floats:
    """Share left when it is worked loose, times the gain at a jerk, shape (n,)."""
    loose = context.own_figure("cyclic") if used.kind in ("stake", "crossed") else np.ones(context.n)
    return np.asarray(loose * (1.0 + fine_share(anchor, ground) * (context.own_figure("rate_fine") - 1.0)))


def _after_proof(
    context: Context, used: AnchorRig, anchor: Anchor, ground: tuple[Layer, ...], angle: Floats, fresh: Floats
) -> tuple[Floats, float]:
    """Fresh strength towards the lunge after the proof pull [N], and how likely such a pull was before."""
    assert used.proof is not None
    pull = used.proof.number
    at, error = _proof_angle(used, angle)
    kind = "moved" if used.moved else "held"
    score = context.draws.normal("proof reading")
    if np.isnan(fresh).any():
        # Of ground that nobody can name the pull itself is all that is known.
        return np.asarray(pull * np.exp(proofs.READING_ERROR * score)), float("nan")
    there = np.broadcast_to(np.asarray(capacity(anchor, ground, angle=at).force, dtype=float), (context.n,))
    here = np.broadcast_to(np.asarray(capacity(anchor, ground, angle=angle).force, dtype=float), (context.n,))
    prior = np.maximum(there * context.own_figure("anchor_model"), 1e-6)
    logs = np.log(prior)
    middle, spread = float(np.median(logs)), max(float(np.std(logs)), LEAST_SCATTER)
    proved = proofs.redrawn(np.exp(middle), spread, pull, (logs - middle) / spread, kind=kind, error=error)
    told = float(normal_cdf((middle - np.log(pull)) / np.hypot(spread, error)))
    return np.asarray(proved * here / np.maximum(there, 1e-9)), 1.0 - told if used.moved else told


def _proof_angle(used: AnchorRig, angle: Floats) -> tuple[Floats, float]:
    """Angle of the proof [rad], shape (n,), and the error of its logarithm; the lunge's own where nobody noted it."""
    if used.kind == "plate":
        return angle, proofs.READING_ERROR
    if used.proof_angle is None or not used.proof_angle.known:
        return angle, float(proofs.turning_error(ANGLE_UNKNOWN, 0.0))
    stated = used.proof_angle.number
    return np.full(angle.shape, stated), float(proofs.turning_error(stated, float(np.median(angle))))


def _dragging(context: Context, angle: Floats, used: AnchorRig, said: tuple[Origin, ...]) -> Anchored:
    """A drag holds nothing: how far an animal goes with it, and what is missing to say so."""
    snags = context.site.snags
    if snags is None or not snags.known:
        ask = Say(
            "pace out how far apart brush, roots and rocks stand that would stop it; ask whether drags are allowed"
        )
        why = Say("a drag does not hold: it lets the animal travel until it snags")
        return _untold(context, angle, used.label, why, ask, said)
    half, far = (float(travel(share, snags.number)) for share in (0.5, 0.95))
    moves = Say("")
    if used.mass is not None:
        moves = Say(", it moves at {tow:force}", tow=float(tow_force(used.mass, prong=_ploughs(context, used))))
    why = Say(
        "a drag does not hold{moves:say}: half of the animals go less than {half:distance} with it, one in twenty "
        "beyond {far:distance}",
        moves=moves, half=half, far=far,
    )  # fmt: skip
    ask = Say("ask whether drags are allowed here, and log how far the animal went")
    return _untold(
        context, angle, used.label, why, ask, (*said, Origin("way between snags", snags.source)), "travels"
    )


def _ploughs(context: Context, used: AnchorRig) -> float:
    """Side pull of a drag's prong in the ground [N]; 0 without prongs or where nobody can name the ground."""
    ground = soils.layers(context)
    if used.prongs <= 0.0 or not ground:
        return 0.0
    return float(np.nan_to_num(np.median(lateral(ground[0], PRONG, used.prongs, 0.0)[0])))


def _untold(
    context: Context, angle: Floats, name: str, why: Say, ask: Say, said: tuple[Origin, ...], governs: str = ""
) -> Anchored:
    nothing = np.full(context.n, np.nan)
    mend = Say("a longer or crossed stake, a plate driven into firm ground, or a tree; proof-pull it")
    return Anchored(
        nothing, nothing, name, governs, why, mend, ask, said, np.full(context.n, STIFF), angle, np.ones(context.n)
    )
