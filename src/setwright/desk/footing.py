"""Anchor, tackle and bed of one set as a part of the plan document."""

from __future__ import annotations

import math

import numpy as np

from setwright.desk import document_footing as doc
from setwright.desk.footing_figure import figure_of
from setwright.desk.wording import render, sentence, share, show, with_band
from setwright.ground.steady import Steadiness
from setwright.sets.bed import BedWork, anchor_work, bed_of
from setwright.sets.context import Context
from setwright.sets.cures import HoldCures, hold_cures
from setwright.sets.evaluate import SetResult
from setwright.sets.frozen import MENDS, TERMS
from setwright.sets.lunged import pull
from setwright.sets.model import Rig
from setwright.sets.order import FrozenIn, frozen_in
from setwright.sets.result import CheckResult
from setwright.sets.seat import seat_of
from setwright.sets.soils import ground_word
from setwright.sets.steady import rests_on
from setwright.sets.strength import Strengths, strengths_here
from setwright.tackle.reliability import READINGS, series_loss

SHOWN = 6
# Losses nearer than this are alike over the length of the chain.
ALIKE = 0.02
# Less than this is not told as sinking [m].
SINKS = 0.003


def footing_of(context: Context, result: SetResult) -> doc.Footing | None:
    """Anchor and bed of a set; None where neither chain nor anchor is named."""
    rig = result.rig
    found = hold_cures(context, rig)
    if found is None:
        return None
    held, bed, seat = strengths_here(context, rig), bed_of(context, rig), seat_of(context, rig)
    checks = {check.name: check for link in result.links for check in link.checks}
    low, middle, high = (float(point) for point in np.quantile(bed.time, (0.05, 0.5, 0.95)) / 60.0)
    aim = _aim(found)
    return doc.Footing(
        say=_say(held, found, checks.get("anchor"), checks.get("tackle")),
        facts=_facts(context, rig, held, bed, checks),
        loss=_triple(found),
        least=found.least,
        parts=_parts(context, rig, held),
        mends=_mends(found),
        lengths=[doc.ChainLength(length=length, loss=loss) for length, loss in found.lengths if not math.isnan(loss)],
        wants=_wants(found),
        aim=aim,
        volume=bed.volume,
        cover=bed.cover,
        minutes=(middle, low, high),
        frozen=_frozen(frozen_in(context, rig)),
        figure=figure_of(context, rig, bed, held.held, 0.0 if seat is None else float(np.median(seat.sunk))),
    )


def _triple(found: HoldCures) -> doc.Triple:
    if any(math.isnan(value) for value in found.loss):
        return (None, None, None)
    return found.loss


def _say(held: Strengths, found: HoldCures, anchor: CheckResult | None, tackle: CheckResult | None) -> str:
    """The answer in one sentence."""
    why = render(held.held.why)
    if math.isnan(found.loss[0]):
        return sentence(f"Cannot tell: {why}")
    loss, low, high = (share(value) for value in found.loss)
    words = f"{why}: in {loss} of full fights anchor or tackle would give way ({low} to {high})"
    if found.least:
        words += "; more where the parts that nobody rates are weak"
    weak = [name for name, check in (("anchor", anchor), ("tackle", tackle)) if check is not None and check.mend]
    if not weak and found.loss[0] < 0.05:
        words += ": it holds"
    return sentence(words)


def _facts(
    context: Context, rig: Rig, held: Strengths, bed: BedWork, checks: dict[str, CheckResult]
) -> list[tuple[str, str]]:
    facts = [("ground", ground_word(context.site) if context.site.soils else "not described")]
    peak = pull(context, rig, context.target, held.stiffness)
    facts.append(("typical lunge", with_band(*_band(peak), "force")))
    facts.append(("angle of the pull", show(float(np.median(held.held.angle)), "angle")))
    if not np.isnan(held.anchor).any():
        facts.append(("anchor holds", with_band(*_band(held.anchor), "force")))
        if held.held.expected == held.held.expected:
            before = with_band(*_band(held.held.before), "force")
            verb = "move" if rig.anchor is not None and rig.anchor.moved else "stand it"
            before += f"; {share(held.held.expected)} of such anchors were expected to {verb}"
            facts.append(("before its proof pull", before))
        if held.held.governs in ("bends", "breaks out", "pulls", "slides", "snaps", "parts"):
            facts.append(("gives way first", _GIVES[held.held.governs]))
    if not np.isnan(held.tackle).any():
        facts.append(("tackle holds of a jerk", with_band(*_band(held.tackle), "force")))
    size = f"{show(bed.length, 'length')} × {show(bed.width, 'length')}, {show(bed.depth, 'length')} deep"
    facts.append(("bed", f"{size}; {show(bed.volume, 'volume')} of dirt, {show(bed.cover, 'volume')} of cover"))
    time = with_band(*_band(bed.time), "time")
    frost = f", {show(min(bed.frozen, bed.depth), 'length')} of it frozen" if bed.frozen > 0.0 else ""
    facts.append(("digging", f"{time} in {bed.ground}{frost}"))
    whole = bed.time + anchor_work(rig)
    facts.append(
        ("bed and anchor made in", f"{with_band(*_band(whole), 'time')}, setting the anchor as usual (assumed)")
    )
    seat = seat_of(context, rig)
    if seat is not None:
        deep = float(np.quantile(seat.sunk, 0.95)) > SINKS
        sinks = f"sinks {with_band(*_band(seat.sunk), 'length')}" if deep else "does not sink"
        facts.append(("under the step", sinks))
    facts.append(("four-point test", _steady(rests_on(rig), checks.get("steady"))))
    return facts


_GIVES = {
    "bends": "the stake bends", "breaks out": "the plate breaks out", "pulls": "the ground lets the stake go",
    "slides": "the weight slides", "snaps": "the sapling snaps", "parts": "the root parts",
}  # fmt: skip


def _steady(found: Steadiness | None, check: CheckResult | None) -> str:
    if found is None and check is None:
        return "not made: press both jaws and both springs, nothing may move"
    return "" if check is None else render(check.why)


def _band(values: np.ndarray) -> tuple[float, float, float]:
    low, middle, high = (float(point) for point in np.quantile(values, (0.05, 0.5, 0.95)))
    return middle, low, high


def _parts(context: Context, rig: Rig, held: Strengths) -> list[doc.TacklePart]:
    """Parts with the share of failures that each would be, the likeliest first; those that nobody rates last."""
    parts = held.parts.parts
    if not parts:
        return []
    median = np.array([part.median for part in parts])
    factor = float(context.figure("shock_factor").number)
    peak = float(np.median(pull(context, rig, context.target, held.stiffness)))
    sigma, lunges = (float(context.figure(name).number) for name in ("lunge_sigma", "lunges"))
    spread = np.array([part.spread if part.rated else 1.0 for part in parts])
    found = series_loss(median * factor, spread, peak, sigma, lunges=lunges)
    told = [
        doc.TacklePart(
            name=part.name,
            strength=part.median if part.rated else None,
            share=None if not part.rated or math.isnan(chance) else float(chance),
            note=part.note,
            reading="" if part.rated else READINGS[part.kind],
        )
        for part, chance in zip(parts, found.share, strict=True)
    ]
    return sorted(told, key=lambda part: (part.strength is None, -(part.share or 0.0)))


def _mends(found: HoldCures) -> list[doc.HoldMend]:
    told = [one for one in found.mends if not one.beaten] or list(found.mends)
    return [
        doc.HoldMend(
            words=sentence(render(one.words)).rstrip("."), loss=one.loss, minutes=one.work / 60.0, mass=one.mass
        )
        for one in told[:SHOWN]
    ]


def _wants(found: HoldCures) -> str:
    """What length of chain this anchor wants, and what the foot wants."""
    known = [(length, loss) for length, loss in found.lengths if not math.isnan(loss)]
    if len(known) < 2:
        return ""
    losses = [loss for _, loss in known]
    least = min(losses)
    if max(losses) - least < ALIKE:
        return "The length of the chain hardly matters to this anchor; the foot wants it short."
    good = [length for length, loss in known if loss <= least + 0.25 * ALIKE]
    span = show(good[0], "length") if len(good) == 1 else f"{show(good[0], 'length')} to {show(good[-1], 'length')}"
    ends = [f"{share(loss)} on {show(length, 'length')}" for length, loss in (known[0], known[-1])]
    words = f"Least is lost on {span} of chain, {share(least)}; {' and '.join(ends)}. "
    if losses[0] > least + 0.25 * ALIKE:
        return (
            words + "Shorter, it draws the anchor upwards; longer, the animal gathers way. The foot wants it short."
        )
    return words + "A longer chain lets the animal run: anchor and foot both want it short."


def _aim(found: HoldCures) -> str:
    if found.aim is None:
        return ""
    pull, stands = show(found.aim.pull, "force"), found.aim.stands
    if stands < 0.02:
        return f"No such anchor in this ground stands the proof pull that would do, {pull}: take another one."
    return (
        f"Proof pull to aim for: {pull}; {share(stands)} of such anchors stand it, and of those one in ten is lost. "
        "Pull steadily with a lever, nobody in line."
    )


def _frozen(found: FrozenIn | None) -> doc.FrozenBed | None:
    if found is None:
        return None
    loads = (found.crust, found.jaw_bond, found.spring_bond)
    if any(math.isnan(load) or math.isinf(load) for load in loads):
        return None
    terms = [
        doc.FrozenTerm(name=TERMS[place], load=load, mend=MENDS[place], governs=place == found.governs)
        for place, load in enumerate(loads, start=1)
    ]
    when = f"{found.when:%H:%M}"
    if found.governs == 0:
        most = max(loads[0] + loads[1], loads[2])
        say = f"At its worst, {when}, the ice asks {most:.1f} of what the trap has: it rises."
    else:
        say = (
            f"At {when} the {TERMS[found.governs]} asks {loads[found.governs - 1]:.1f} times what the trap has. "
            f"{sentence(MENDS[found.governs])}"
        )
    return doc.FrozenBed(
        say=say,
        when=when,
        terms=terms,
        cures=[] if found.governs == 0 else [
            doc.FrozenCure(name=one.cure.name, offered=one.offered, why=sentence(one.why)) for one in found.cures
        ],
    )  # fmt: skip
