"""What would keep the animal on its anchor: every mend run on the same draws, with its minutes and its weight."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import Quantity, assumed
from setwright.basis.spread import points
from setwright.ground import tables as ground_tables
from setwright.ground.anchor_kinds import DRIVEN
from setwright.ground.proof import proof_needed, updated
from setwright.sets.anchor_words import plate_depth
from setwright.sets.context import Context, Floats
from setwright.sets.hold import lunges_survived
from setwright.sets.lunged import pull
from setwright.sets.model import AnchorRig, Chain, Rig
from setwright.sets.strength import Strengths, strengths, strengths_here
from setwright.tackle import tables as tackle_tables
from setwright.tackle.cures import Cure, rank_cures

TRIED = assumed("tried out, not read")
# A mend that spares less than this chance of loss is not told.
WORTH = 0.005
# Two mends together are told where they spare this much more than the best alone.
BOTH = 0.02
# Lengths of chain for the curve [in]; and what counts as a short one.
LENGTHS = (6, 8, 12, 18, 24, 36, 48, 60)
INCH, SHORT = 0.0254, 12
# Chance of loss that a proof pull is aimed at.
AIM = 0.1
# A mend in words, the rig with it, work [s] and weight [kg]; and the same after it was run.
Changed = tuple[Say, Rig, float, float]
Tried = tuple[Say, Cure, Rig]
SIZES = ("length", "width", "perimeter", "yield_moment", "plate_width", "plate_length", "mass")


@dataclass(frozen=True)
class Mended:
    """One mend: in words, chance of loss after it [-], work [s], weight carried [kg]; `beaten` by another one."""

    words: Say
    loss: float
    work: float
    mass: float
    beaten: bool


@dataclass(frozen=True)
class Aim:
    """Proof pull [N] after which the lunges draw it in one case of ten, and how many such anchors stand it [-]."""

    pull: float
    stands: float


@dataclass(frozen=True)
class HoldCures:
    """Chance that a full fight parts the animal from its anchor, with its band [-], and what would mend it.

    `least` is True where a part is not rated: the loss is no less. `lengths` are (length [m], loss [-]) of the chain.
    """

    loss: tuple[float, float, float]
    least: bool
    mends: tuple[Mended, ...]
    lengths: tuple[tuple[float, float], ...]
    aim: Aim | None


def lost(context: Context, rig: Rig, found: Strengths | None = None) -> Floats:
    """Chance of loss by anchor or rated tackle, shape (n,); NaN where the anchor cannot be told."""
    held = strengths(context, rig) if found is None else found
    peak = pull(context, rig, context.target, held.stiffness)
    weakest = np.where(np.isnan(held.tackle), held.anchor, np.minimum(held.anchor, held.tackle))
    return np.asarray(1.0 - lunges_survived(context, weakest, peak))


def hold_cures(context: Context, rig: Rig) -> HoldCures | None:
    """Mends of anchor and tackle in the order of what is then lost; None without chain or anchor."""
    chain, anchor = rig.chain, rig.anchor
    if chain is None or anchor is None:
        return None
    # No trap or pan has a part in it: rigs that differ in those alone share it.
    key = ("hold cures", chain, anchor, rig.slide)
    return context.kept.get(key, lambda: _cures_of(context, rig, chain, anchor))


def _cures_of(context: Context, rig: Rig, chain: Chain, anchor: AnchorRig) -> HoldCures:
    found = strengths_here(context, rig)
    now = lost(context, rig, found)
    loss = float(np.mean(now))
    anchors = _run(context, _other_anchors(context, rig, anchor), loss)
    chains = _run(context, _other_chains(rig, chain), loss)
    best = min((one[1].loss for one in (*anchors, *chains)), default=loss)
    both = _run(context, _pairs(anchors), best - BOTH + WORTH)
    tried = {str(number): one for number, one in enumerate((*anchors, *chains, *both))}
    cures = [replace(cure, name=key) for key, (_, cure, _) in tried.items()]
    ranked = rank_cures(1.0 if np.isnan(loss) else loss, cures)
    mends = [
        Mended(tried[one.cure.name][0], one.cure.loss, one.cure.work, one.cure.mass, bool(one.beaten))
        for one in ranked
    ]
    mends.sort(key=lambda one: (round(one.loss, 3), one.work, one.mass))
    low, _, high = (np.nan,) * 3 if np.isnan(now).any() else points(now)
    return HoldCures(
        loss=(loss, float(low), float(high)),
        least=found.parts.question is not None,
        mends=tuple(mends),
        lengths=_by_length(context, rig),
        aim=_aim(context, rig, found),
    )


def _run(context: Context, changes: Iterable[Changed], loss: float) -> list[Tried]:
    """Mends that leave less than this to be lost, or that can be told where it cannot, run on the same draws."""
    found = []
    for words, changed, work, mass in changes:
        after = float(np.mean(lost(context, changed)))
        if after <= loss - WORTH or (np.isnan(loss) and not np.isnan(after)):
            found.append((words, Cure("", after, work, mass), changed))
    return found


def _pairs(anchors: Sequence[Tried]) -> Iterator[Changed]:
    """Mends of the chain on top of the best two of the anchor: the weaker hides what the other would bring."""
    for first, cure, rig in sorted(anchors, key=lambda one: one[1].loss)[:2]:
        assert rig.chain is not None
        for second, both, work, mass in _other_chains(rig, rig.chain):
            words = Say("{first:say}, and {second:say}", first=first, second=second)
            yield words, both, cure.work + work, cure.mass + max(mass, 0.0)


def _by_length(context: Context, rig: Rig) -> tuple[tuple[float, float], ...]:
    """Loss over the length of the chain: a rod wants it long, a plate and the foot want it short."""
    if rig.slide is not None or rig.chain is None or rig.anchor is None or rig.anchor.kind == "drag":
        return ()
    return tuple(
        (inches * INCH, float(np.mean(lost(context, replace(rig, chain=_long(rig.chain, inches))))))
        for inches in LENGTHS
    )


def _long(chain: Chain, inches: float) -> Chain:
    return replace(chain, length=Quantity(inches * INCH, "m", TRIED))


def _aim(context: Context, rig: Rig, found: Strengths) -> Aim | None:
    """The pull to prove the anchor with; None where it was proved, cannot be told or needs none."""
    anchor = rig.anchor
    if anchor is None or anchor.kind not in DRIVEN or anchor.proof is not None or np.isnan(found.anchor).any():
        return None
    logs = np.log(np.maximum(found.anchor, 1e-6))
    median, scatter = float(np.exp(np.median(logs))), max(float(np.std(logs)), 0.05)
    peak = float(np.median(pull(context, rig, context.target, found.stiffness)))
    sigma, lunges = (float(context.figure(name).number) for name in ("lunge_sigma", "lunges"))
    needed = float(proof_needed(median, scatter, peak, sigma, lunges, AIM))
    if not needed > 0.0:
        return None
    # It is proved slowly and fresh: what circling takes and a jerk gives is taken out again.
    return Aim(needed / float(np.median(found.held.loose)), float(updated(median, scatter, needed).expected))


def _other_anchors(context: Context, rig: Rig, now: AnchorRig) -> Iterator[Changed]:
    costs, stock = ground_tables.cures(), ground_tables.stakes()

    def cost(key: str, mass: float | None = 0.0) -> tuple[float, float]:
        return costs.number(key, "work"), costs.number(key, "mass") + (mass or 0.0)

    fresh: dict[str, Any] = {"proof": None, "proof_angle": None, "moved": False, "lean": None}
    if now.kind == "stake":
        twice = replace(now, kind="crossed", label=f"two crossed stakes ({now.label})", **fresh)
        yield (
            Say("cross a second {stake:word} with it", stake=now.label),
            _with(rig, twice),
            *cost("crossed", now.mass),
        )
    deep, through = plate_depth(context.site, 0.064), set[str]()
    for key in stock:
        kind, label, mass = stock.text(key, "kind"), stock.text(key, "label"), stock.number(key, "mass")
        other = _of_stock(key, kind)
        if kind == "stake" and now.kind in ("stake", "crossed") and label not in now.label:
            if (other.length or 0.0) < (now.length or 0.0):
                continue
            made = replace(other, kind=now.kind)
            told = "two crossed of {stake:word}" if now.kind == "crossed" else "a {stake:word} in its place"
            pieces = 2.0 if now.kind == "crossed" else 1.0
            yield Say(told, stake=label), _with(rig, made), *cost("other-stake", pieces * mass)
        elif kind == "plate" and label != now.label:
            yield Say("a {plate:word}", plate=label), _with(rig, other), *cost("plate", mass)
        plain = label.split(",")[0]
        if kind == "plate" and deep is not None and (other.length or 0.0) < deep and plain not in through:
            through.add(plain)
            words = Say("a {plate:word} on a longer cable, driven {deep:length} deep", plate=plain, deep=deep)
            yield words, _with(rig, replace(other, length=deep, driven=deep)), *cost("plate", mass)
    if now.kind != "tree":
        tree = AnchorRig("tree", "tree", "a living tree", source=TRIED)
        yield Say("tie to a living tree, where one stands in reach"), _with(rig, tree), *cost("tree")


def _of_stock(key: str, kind: str) -> AnchorRig:
    table = ground_tables.stakes()
    record = table.record(key)
    sizes: dict[str, Any] = {name: record[name].value for name in SIZES if name in record}
    return AnchorRig(key, kind, table.text(key, "label"), source=record["length"].source, **sizes)


def _with(rig: Rig, anchor: AnchorRig) -> Rig:
    return replace(rig, anchor=anchor)


def _other_chains(rig: Rig, chain: Chain) -> Iterator[Changed]:
    costs, table = tackle_tables.cures(), tackle_tables.tackle()

    def cost(key: str) -> tuple[float, float]:
        return costs.number(key, "work"), costs.number(key, "mass")

    def parts(old: str, new: str) -> Rig:
        changed = tuple(new if part == old else part for part in chain.parts)
        return replace(rig, chain=replace(chain, parts=changed, worn=None, rusted=()))

    if chain.length.number > (SHORT + 2) * INCH and rig.slide is None:
        words = Say("shorten the chain to {length:length}", length=SHORT * INCH)
        yield words, replace(rig, chain=_long(chain, SHORT)), *cost("shorten")
    if chain.shock_spring is False:
        yield (
            Say("put a shock spring in the chain"),
            replace(rig, chain=replace(chain, shock_spring=True)),
            *cost("shock-spring"),
        )
    for part in dict.fromkeys(chain.parts):
        label = (table.text(part, "label") or part).split(",")[0]
        if f"{part}-closed" in table:
            yield Say("close and weld the {part:word}", part=label), parts(part, f"{part}-closed"), *cost("weld-hook")
        if table.text(part, "kind") == "connector" and "hook" in part:
            yield (
                Say("a quick link for the {part:word}", part=label),
                parts(part, "quick-link-3/16"),
                *cost("quick-link"),
            )
        if table.text(part, "kind") == "chain":
            better = [
                key
                for key in ("machine-2", "machine-2/0")
                if table.number(key, "breaking") > table.number(part, "breaking")
            ]
            worn = chain.worn is not None or bool(chain.rusted)
            for key in (*better, *((part,) if worn else ())):
                new = Say("new {chain:word}", chain=table.text(key, "label"))
                yield new, parts(part, key), *cost("new-chain")
    if rig.slide is not None and rig.slide.cable is not None and (rig.slide.kinked or rig.slide.ends != "end-sleeve"):
        slide = replace(rig.slide, kinked=False, ends="end-sleeve")
        yield Say("cut the cable back and press a new sleeve"), replace(rig, slide=slide), *cost("new-end")
