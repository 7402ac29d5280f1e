"""Rigs out of the owned outfit at one site: ranked by gates first, then standing, then what is held."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from setwright.basis.say import Say
from setwright.basis.verdict import Answer, Standing
from setwright.sets.context import Context
from setwright.sets.evaluate import Person, SetResult, evaluate
from setwright.sets.hold import lunges_survived
from setwright.sets.lunged import pull
from setwright.sets.model import AnchorRig, Chain, Rig, SlideRig, TrapRig
from setwright.sets.result import LinkResult
from setwright.sets.strength import strengths

ANSWERS = {Answer.MEETS: 2, Answer.CANNOT_TELL: 1, Answer.BREAKS: 0}
STANDINGS = {Standing.SOUND: 3, Standing.THIN: 2, Standing.CANNOT_TELL: 1, Standing.FAILS: 0}
# How much a check weighs that is not sound: one failure outweighs any number of thin ones a set may have.
AMISS = {Standing.SOUND: 0, Standing.THIN: 1, Standing.CANNOT_TELL: 10, Standing.FAILS: 100}
Score = tuple[int, int, int, int, float]


@dataclass(frozen=True)
class Options:
    """What he owns and may use at a site; `slides` lie nowhere yet (their `deep_out` is their length)."""

    traps: Sequence[TrapRig] = ()
    chains: Sequence[Chain] = ()
    anchors: Sequence[AnchorRig] = ()
    slides: Sequence[SlideRig] = ()
    covers: Sequence[str] = ()
    boards: int = 0


@dataclass(frozen=True)
class Candidate:
    """Alike traps at a site with the result of the first of them."""

    trap_ids: tuple[str, ...]
    result: SetResult
    score: Score
    behind: float | None = None
    why: Say | None = None


def score(result: SetResult) -> Score:
    """Order of rigs: law, welfare, standing, less amiss in the checks, median share held."""
    amiss = sum(AMISS[check.standing] for link in result.links[1:] for check in link.checks)
    return (
        ANSWERS[result.lawful],
        ANSWERS[result.welfare],
        STANDINGS[result.standing],
        -amiss,
        float(np.median(result.held)),
    )


def barred(result: SetResult) -> bool:
    """True when a gate bars the rig or a link fails: it has no rank."""
    return Answer.BREAKS in (result.lawful, result.welfare) or result.standing is Standing.FAILS


def kinds(traps: Sequence[TrapRig]) -> dict[str, list[TrapRig]]:
    """Alike traps together: the same but for their id and tag, by the id of the first."""
    found: dict[object, list[TrapRig]] = {}
    for trap in traps:
        found.setdefault(replace(trap, trap_id="", tag=None if trap.tag is None else "yes"), []).append(trap)
    return {group[0].trap_id: group for group in found.values()}


def tackle_for(
    context: Context, trap: TrapRig, options: Options, slide: SlideRig | None
) -> tuple[Chain | None, AnchorRig | None]:
    """Chain and anchor of the outfit that hold this site's animal best, the shorter and lighter on a tie."""
    best: tuple[float, float, Chain | None, AnchorRig | None] | None = None
    anchors: Sequence[AnchorRig | None] = [
        anchor
        for anchor in options.anchors
        if anchor.kind != "drag" and (anchor.kind != "weight" or slide is not None)
    ] or [None]
    chains: Sequence[Chain | None] = options.chains or [None]
    for chain in chains:
        for anchor in anchors:
            rig = Rig(trap, chain, anchor, slide)
            found = context.kept.get(("strength", chain, anchor, slide), partial(strengths, context, rig))
            peak = pull(context, rig, context.target, found.stiffness)
            stays = lunges_survived(context, np.fmin(found.anchor, found.tackle), peak)
            told = 0.0 if np.isnan(stays).any() else float(np.median(stays))
            unsure = 0.05 if found.tackle_question is not None or found.anchor_question is not None else 0.0
            key = (round(told - unsure, 3), -(0.0 if chain is None else chain.length.number))
            if best is None or key > best[:2]:
                best = (*key, chain, anchor)
    return (None, None) if best is None else (best[2], best[3])


def rank(context: Context, options: Options, tackle: Rig | None, person: Person) -> list[Candidate]:
    """Every kind of owned trap at the site, best first, on the tackle stated there or the best of the outfit."""
    found: list[Candidate] = []
    for group in kinds(options.traps).values():
        trap = group[0]
        if tackle is not None:
            rig = replace(tackle, trap=trap, stated=False)
        else:
            chain, anchor = tackle_for(context, trap, options, None)
            rig = Rig(
                trap, chain, anchor, None, context.site.cover, context.site.cover_depth, treated=context.site.treated
            )
        result = evaluate(context, rig, person)
        found.append(Candidate(tuple(member.trap_id for member in group), result, score(result)))
    found.sort(key=lambda candidate: (not barred(candidate.result), candidate.score), reverse=True)
    return [
        replace(candidate, behind=_behind(candidate, found[0]), why=_why(candidate, found[0])) for candidate in found
    ]


def _behind(candidate: Candidate, winner: Candidate) -> float | None:
    """Share of the paired draws in which it holds less than the winner."""
    if candidate is winner:
        return None
    return float(np.mean(candidate.result.held < winner.result.held))


def _why(candidate: Candidate, winner: Candidate) -> Say:
    result, best = candidate.result, winner.result
    broken = next(
        (finding for finding in result.law if finding.answer is Answer.BREAKS and not finding.profile), None
    )
    if broken is not None:
        return broken.reason
    gate = next((gate for gate in result.gates if gate.answer is Answer.BREAKS), None)
    if gate is not None:
        return gate.reason
    if candidate is winner:
        governs = result.weakest
        return governs.governing.why
    if STANDINGS[result.standing] < STANDINGS[best.standing]:
        return result.weakest.governing.why
    link, ratio = _poorest(result.links, best.links)
    if ratio >= 0.995:
        return Say("as good as the first within the draws")
    return Say(
        "{link:word} is {ratio:share} of the first's: {why:say}", link=link.link, ratio=ratio, why=link.governing.why
    )


def _poorest(links: Sequence[LinkResult], best: Sequence[LinkResult]) -> tuple[LinkResult, float]:
    """The link that falls most behind the winner's, and by what ratio."""
    ratios: Mapping[int, float] = {
        index: float(np.median(link.value)) / max(float(np.median(best[index].value)), 1e-12)
        for index, link in enumerate(links)
        if link.link in ("step", "fire", "close", "hold")
    }
    index = min(ratios, key=ratios.__getitem__)
    return links[index], ratios[index]
