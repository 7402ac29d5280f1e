"""One computed set as a part of the plan document: links, outcome, gates, law, advice, cautions, drawing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, cast

import numpy as np
from numpy.typing import NDArray

from setwright.basis.spread import band
from setwright.basis.verdict import Answer, Standing
from setwright.desk import document as doc
from setwright.desk.wording import band_words, render, sentence, show, springs_of, trip_words
from setwright.line.assemble import PlannedSet
from setwright.sets import submerge
from setwright.sets.context import Context
from setwright.sets.evaluate import SetResult
from setwright.sets.gates import CRITERIA
from setwright.sets.naming import plain_name
from setwright.sets.rank import Candidate, barred
from setwright.sets.record import RigRecord, readings, record_word
from setwright.sets.result import CheckResult, LinkResult, Origin, OutcomeDraws
from setwright.sets.under import takes_under
from setwright.sets.welfare import Bearing, RiskFact

QUESTIONS = {
    "visit": "do they come by?",
    "step": "does a foot land on the pan?",
    "fire": "does that foot trip it?",
    "close": "up high enough, in time?",
    "hold": "kept, without harm?",
    "check": "found in time, lawfully?",
}


def triple(draws: NDArray[np.float64]) -> doc.Triple:
    """Median, 5 % and 95 % point; None where nothing can be told."""
    middle, low, high = band(draws)
    return (None, None, None) if np.isnan(middle) else (middle, low, high)


def provenance(origins: Sequence[Origin]) -> list[doc.Provenance]:
    """Origins as the document carries them, each named once."""
    found = {}
    for origin in origins:
        source = origin.source
        found[origin.what, source.text] = doc.Provenance(
            what=origin.what,
            kind=source.kind.value,
            source=f"{source.text} ({source.confidence})" if source.confidence else source.text,
        )
    return list(found.values())


def check_of(found: CheckResult) -> doc.Check:
    """One check in words."""
    value = margin = None
    shown = str(found.standing)
    if found.draws is not None and not np.isnan(found.draws).any():
        value = float(np.median(found.draws))
        shown = f"{show(value, found.kind)}"
        extra = band_words(triple(found.draws), found.kind)
        if extra and extra.split("–")[0] != extra.split("–")[-1]:
            shown += f" ({extra})"
    if found.margin is not None and not np.isnan(found.margin).any():
        margin = float(np.median(found.margin))
    return doc.Check(
        name=found.name,
        standing=found.standing.value,
        shown=shown,
        value=value,
        limit=found.limit,
        margin=margin,
        unit=found.kind,
        why=sentence(render(found.why)),
        mend=sentence(render(found.mend)),
        provenance=provenance(found.origins),
    )


def link_of(found: LinkResult) -> doc.Link:
    """One link of the chain in words."""
    value = triple(found.value)
    governs = found.governing
    origins = [origin for check in found.checks for origin in check.origins]
    margin = None if governs.margin is None or np.isnan(governs.margin).any() else float(np.median(governs.margin))
    return doc.Link(
        link=cast("Literal['visit', 'step', 'fire', 'close', 'hold', 'check']", found.link),
        question=QUESTIONS[found.link],
        standing=found.standing.value,
        value=value[0],
        band=(value[1], value[2]),
        unit=found.kind,
        shown="–" if value[0] is None else show(value[0], found.kind),
        shown_band=_link_band(found, value),
        limit=found.limit,
        margin=margin,
        governs=governs.name,
        why=sentence(render(governs.why)),
        mend=sentence(render(governs.mend)),
        checks=[check_of(check) for check in found.checks],
        provenance=provenance(origins),
    )


def _link_band(found: LinkResult, value: doc.Triple) -> str:
    if found.link == "check":
        return "" if found.limit is None else f"of {show(found.limit, 'hours')}"
    words = band_words(value, found.kind)
    return f"{words} a night" if found.link == "visit" and words else words


def outcomes(context: Context, result: SetResult) -> list[doc.Outcome]:
    """Who fires it first, target first, then by chance; misfire and nothing last."""
    order = sorted(
        context.species, key=lambda key: (key != result.target, -float(np.median(result.outcome[key].first)))
    )
    rows = []
    for key in [*order, "misfire", "nothing"]:
        found: OutcomeDraws = result.outcome[key]
        species = context.species.get(key)
        names = {"misfire": "frost heave, debris, unknown", "nothing": "nothing: still armed"}
        rows.append(
            doc.Outcome(
                species=key,
                name=names.get(key, "") if species is None else species.name,
                roles=[] if species is None else list(species.roles),
                first=triple(found.first),
                held=triple(found.held),
                lost=triple(found.lost),
            )
        )
    return rows


def ranked(candidates: Sequence[Candidate], chosen: str) -> list[doc.RankedRig]:
    """The rigs of the outfit in order; a rig that a gate bars has no rank."""
    rows = []
    place = 0
    for candidate in candidates:
        result = candidate.result
        out = barred(result)
        place += 0 if out else 1
        trap = result.rig.trap
        rows.append(
            doc.RankedRig(
                rank=None if out else place,
                traps=list(candidate.trap_ids),
                label=trap.label,
                detail=", ".join(
                    (trap.jaws_said, springs_of(trap.family, trap.springs), f"pan {trip_words(trap.trip_force)}")
                ),
                held=triple(result.held),
                standing=result.standing.value,
                weakest=result.weakest.link,
                law=result.lawful.value,
                welfare=result.welfare.value,
                why=sentence(render(candidate.why)),
                behind=candidate.behind,
                chosen=chosen in candidate.trap_ids,
            )
        )
    return rows


def advice_of(planned: PlannedSet) -> list[doc.Advice]:
    """What would mend the set, with the gain that each change brings."""
    rows = []
    for advised in planned.advice:
        words = " and ".join(render(change.words) for change in advised.changes)
        rows.append(
            doc.Advice(
                change=sentence(words),
                effort="; ".join(dict.fromkeys(change.effort for change in advised.changes)),
                before=triple(advised.before.held),
                after=triple(advised.after.held),
                gain=triple(advised.gain),
                standing_before=advised.before.standing.value,
                standing_after=advised.after.standing.value,
                mends=list(advised.mends),
                why=sentence(render(advised.after.weakest.governing.why)),
            )
        )
    return rows


def law_of(result: SetResult) -> list[doc.LawFinding]:
    """Rules and their answers, what breaks first."""
    order = {Answer.BREAKS: 0, Answer.CANNOT_TELL: 1, Answer.MEETS: 2}
    return [
        doc.LawFinding(
            rule=finding.rule,
            pack=finding.pack,
            answer=finding.answer.value,
            reason=sentence(render(finding.reason)),
            citation=finding.citation,
            cure=sentence(render(finding.cure)),
            question=sentence(render(finding.question)),
        )
        for finding in sorted(result.law, key=lambda finding: order[finding.answer])
    ]


def welfare_of(result: SetResult) -> list[doc.WelfareFinding]:
    """Welfare gates and their answers."""
    return [
        doc.WelfareFinding(
            gate=gate.name,
            answer=gate.answer.value,
            reason=sentence(render(gate.reason)),
            source=str(gate.source),
            cure=sentence(render(gate.cure)),
            criterion=sentence(CRITERIA[gate.name]),
        )
        for gate in result.gates
    ]


def bearing_of(facts: Sequence[RiskFact]) -> list[doc.BearingFact]:
    """Facts that bear on a held animal, unfavourable first; listed and never added; the record stands apart."""
    order = (Bearing.UNFAVOURABLE, Bearing.NOT_KNOWN, Bearing.FAVOURABLE)
    return [
        doc.BearingFact(
            about=fact.name,
            bearing=fact.bearing.value,
            why=sentence(render(fact.why)),
            size=fact.size[:1].upper() + fact.size[1:],
            source=str(fact.source),
            mend=sentence(render(fact.mend)),
            question=sentence(render(fact.question)),
        )
        for fact in sorted(facts, key=lambda fact: order.index(fact.bearing))
        if fact.key != "record"
    ]


def record_of(facts: Sequence[RiskFact], record: RigRecord, *, killing: bool) -> doc.RigRecord:
    """What is recorded of the trap design: the word, the figure it rests on, and the test or findings behind it."""
    fact = next(fact for fact in facts if fact.key == "record")
    return doc.RigRecord(
        word=record_word(readings(record, killing=killing)).value,
        say=sentence(render(fact.why)),
        source=str(fact.source),
    )


def hours_held(result: SetResult) -> tuple[float, float] | None:
    """Hours that the target is held before it is seen, median and 95 % point; None where it never is."""
    middle, late = (result.hours_held(result.target, share) for share in (0.5, 0.95))
    return None if np.isnan(middle) or np.isnan(late) else (round(middle, 2), round(late, 2))


def questions(result: SetResult) -> list[str]:
    """What would have to be measured or asked, each once."""
    found: dict[str, None] = {}
    for link in result.links:
        for check in link.checks:
            if check.question is not None:
                found[sentence(render(check.question))] = None
    asked = [(gate.answer, gate.question) for gate in result.gates]
    asked += [(finding.answer, finding.question) for finding in result.law]
    for answer, question in asked:
        if answer is Answer.CANNOT_TELL and question is not None:
            found[sentence(render(question))] = None
    return list(found)


def headline(context: Context, result: SetResult) -> str:
    """The answer to the set in one sentence with its figure."""
    middle, low, high = (None if x is None else round(100 * x) for x in triple(result.held))
    name = plain_name(context.target)
    under = submerge.is_intended(context, result.rig)
    how = "held under at the stop" if under else "held"
    words = f"Of 100 such waits, {middle} end with a {name} {how} ({low} to {high})."
    if result.lawful is Answer.BREAKS:
        broken = next(f for f in result.law if f.answer is Answer.BREAKS and not f.profile)
        return f"Do not set this: it breaks the law pack. {sentence(render(broken.reason))}"
    if result.welfare is Answer.BREAKS:
        broken_gate = next(g for g in result.gates if g.answer is Answer.BREAKS)
        return f"Do not set this as it is: {render(broken_gate.reason)}. {words}"
    weakest = result.weakest
    governs = weakest.governing
    if result.standing is Standing.SOUND:
        return f"{words} Every link is sound."
    verb = {Standing.THIN: "is thin", Standing.FAILS: "fails", Standing.CANNOT_TELL: "cannot be told"}[
        result.standing
    ]
    return f"{words} {weakest.link.capitalize()} {verb}: {render(governs.why)}."


def must(context: Context, result: SetResult) -> str:
    """The line that a card carries under its head; a barred set says so before anything else."""
    answers = {"law": result.lawful, "welfare": result.welfare}
    bars = " and ".join(word for word, said in answers.items() if said is Answer.BREAKS)
    if bars:
        return f"Do not set this as described, for {bars}. Where it stands, see it every day."
    rig = result.rig
    if takes_under(context, rig) is Answer.MEETS:
        return "Holds under, if the sum holds. Measure the depth at the stop."
    if submerge.is_intended(context, rig):
        return "May hold at the surface, alive. See it every day."
    return "Holds alive. See it every day."
