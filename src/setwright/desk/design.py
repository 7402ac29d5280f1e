"""The designer's answer for one site of a book, and what to measure first, as a document."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import cast

import setwright
from setwright.basis.errors import BadInput
from setwright.basis.spread import band
from setwright.basis.verdict import Answer, Standing
from setwright.desk import design_document as doc
from setwright.desk.cautions import cautions
from setwright.desk.plan import read_job
from setwright.desk.wording import render, sentence, show, springs_of, trip_words
from setwright.line.assemble import SEED, Job
from setwright.sets import submerge, tables
from setwright.sets.context import Context, Floats
from setwright.sets.designer import Design, Member, design
from setwright.sets.designer_combine import HUNDRED, figures_of, firings_of
from setwright.sets.designer_mend import Mended
from setwright.sets.designer_words import lacks, open_answers
from setwright.sets.evaluate import SetResult
from setwright.sets.naming import plain_name
from setwright.sets.sensitivity import Sensitivity, Share, sensitivity
from setwright.sets.sensitivity_words import measure_of

DRAWS = 300
# The shares of variance need more draws than a median; those are of one rig alone.
MEASURE_DRAWS = 1200
# Measures told of one result, and the rank correlation below which a result rises and falls with an input.
TOLD, NO_WAY = 4, 0.05
NOTES = (
    "Figures are for 100 nights and for comparing your own rigs; visits are guesses from sign until they are logged.",
    "Law and welfare are gates: what breaks one was cut before its catch was looked at. This is no legal advice.",
    "Every set type is taken to see the same animals: another place on the site may see others.",
    "Shares of variance say what is not known, not what is wrong; what inputs do only together is in the rest.",
)


def design_site(path: Path, site: str, *, draws: int = DRAWS, seed: int = SEED) -> doc.Design:
    """Design one set of a book from the traps and tackle that are free for it.

    Parameters
    ----------
    path : Path
        Line book.
    site : str
        Id or number of the site.
    draws, seed : int
        Number and seed of the draws; what to measure first is told from at least 1,200.

    Raises
    ------
    BadInput
        When the book cannot be used, has no such site, or leaves no trap for it.

    """
    job = read_job(path, draws=draws, seed=seed)
    facts = next((s for s in job.sites if site in (s.key, str(s.number))), None)
    if facts is None:
        raise BadInput("no such site in the book", file=path, found=site, allowed=", ".join(s.key for s in job.sites))
    context = job.contexts[facts.key]
    taken = {trap for key, rig in job.stated.items() if key != facts.key for trap in rig.trap_ids}
    options = replace(job.options, traps=tuple(trap for trap in job.options.traps if trap.trap_id not in taken))
    if not options.traps:
        raise BadInput("the outfit has no trap left for this site", file=path, field=f"sites.{facts.number - 1}")
    return document(job, context, design(context, options, job.stated.get(facts.key), job.person))


def document(job: Job, context: Context, found: Design) -> doc.Design:
    """The whole answer as a document."""
    site = context.site
    shown = next((member for member in (*found.members, *found.unsettled, found.nearest) if member is not None), None)
    moved = [] if shown is None else _moved(job, shown)
    return doc.Design(
        schema=doc.SCHEMA,
        program=setwright.__version__,
        site=site.key,
        number=site.number,
        name=site.name,
        target=plain_name(context.target),
        seed=job.seed,
        draws=job.draws,
        say=_say(context, found),
        members=[_rig_of(member) for member in found.members],
        unsettled=[_rig_of(member) for member in found.unsettled],
        cuts=[
            doc.DesignCut(kind=cast("doc.CutKind", cut.kind), name=cut.name, count=cut.count) for cut in found.cuts
        ],
        possible=found.possible,
        combined=found.combined,
        evaluated=found.evaluated,
        nearest=None if found.nearest is None else _rig_of(found.nearest),
        mended=[_mended_of(job, mended, shown) for mended in found.mended],
        measured_rig="" if shown is None else shown.result.rig.trap.trap_id,
        measure_first=_first(moved),
        measures=moved,
        cautions=[] if shown is None else cautions(shown.context, shown.result),
        notes=list(NOTES),
    )


def _say(context: Context, found: Design) -> str:
    target = plain_name(context.target)
    if found.members:
        best = found.members[0]
        number = len(found.members)
        choices = "one design meets" if number == 1 else f"{number} designs meet"
        return (
            f"{choices.capitalize()} law and welfare and cannot be bettered; the most that any of them holds is "
            f"{show(best.figures.catch, 'number')} {target} in 100 nights."
        )
    if found.unsettled:
        names = dict.fromkeys(name for one in found.unsettled for name, _ in open_answers(one.result))
        head = (
            "Nothing you own meets every gate for sure. These break none, but it cannot be told of: "
            f"{', '.join(names)}."
        )
        return (
            f"{head} What would settle the first: {_ways(found)}." if found.mended and found.mended[0].whole else head
        )
    if found.nearest is None:
        return "There is nothing to set here."
    missing = "; ".join(f"{name} ({render(say)})" for name, say in lacks(found.nearest.result))
    head = f"Nothing you own fits; the nearest fails by {missing or 'what cannot be told'}."
    if found.mended and found.mended[0].whole:
        return f"{head} What would mend it: {_ways(found)}."
    if found.mended:
        left = ", ".join(name for name, _ in lacks(found.mended[0].result))
        open_ = ", ".join(name for name, _ in open_answers(found.mended[0].result))
        rest = f"still fails by {left}" if left else f"leaves open: {open_}"
        return f"{head} Nothing that was tried mends it all; closest: {_words(found.mended[0])}, which {rest}."
    return f"{head} Nothing that was tried mends it."


def _ways(found: Design) -> str:
    return ", or ".join(_words(mended) for mended in found.mended if mended.whole)


def _words(mended: Mended) -> str:
    return " and ".join(render(part.words) for part in mended.mends)


def _triple(draws: Floats) -> tuple[float | None, float | None, float | None]:
    middle, low, high = (round(x, 3) for x in band(draws))
    return (None, None, None) if middle != middle else (middle, low, high)


def _rig_of(member: Member) -> doc.DesignedRig:
    result, figures, context = member.result, member.figures, member.context
    rig = result.rig
    trap = rig.trap
    return doc.DesignedRig(
        traps=list(member.trap_ids),
        label=trap.label,
        jaws=trap.jaws_said,
        springs=springs_of(trap.family, trap.springs),
        trip_force=trip_words(trap.trip_force),
        set_type=tables.set_types().text(context.site.set_type, "label"),
        chain="not named" if rig.chain is None else rig.chain.key,
        anchor="not named" if rig.anchor is None else rig.anchor.label,
        catch=_triple(member.catch),
        others=_triple(member.others),
        pets=round(figures.pets, 3),
        guarded=round(figures.guarded, 3),
        minutes=round(figures.minutes, 1),
        standing=result.standing.value,
        law=result.lawful.value,
        welfare=result.welfare.value,
        restraining=not submerge.is_intended(context, rig),
        do=[sentence(render(words)) for words in member.words],
        why=sentence(render(member.why)),
        open=[doc.OpenAnswer(name=name, say=sentence(render(say))) for name, say in open_answers(result)],
        lacks=[doc.OpenAnswer(name=name, say=sentence(render(say))) for name, say in lacks(result)],
    )


def _mended_of(job: Job, mended: Mended, base: Member | None) -> doc.MendedRig:
    """The mended rig with the work of the one that it was made of."""
    assert base is not None
    context, result = mended.context, mended.result
    per_night = HUNDRED / context.check.nights
    firsts = {key: outcome.first for key, outcome in result.outcome.items()}
    bought = any(part.kind == "trap" for part in mended.mends)
    member = Member(
        () if bought else base.trap_ids,
        context,
        result,
        figures_of(context, result, base.figures.minutes, job.person.closed),
        per_night * result.held,
        per_night * firings_of(context, firsts, job.person.closed)[0],
        base.words,
    )
    return doc.MendedRig(
        change=[sentence(render(part.words)) for part in mended.mends], mends=mended.whole, rig=_rig_of(member)
    )


def _moved(job: Job, shown: Member) -> list[doc.Moved]:
    """What moves the first design: first the thin check that governs it, then catch, others, other thin checks."""
    context, rig = shown.context, shown.result.rig
    found = {one.result: one for one in sensitivity(context, rig, job.person, n=max(job.draws, MEASURE_DRAWS))}
    wanted = [*_thin(shown.result)[:1], "catch", "others", *_thin(shown.result)[1:]]
    gate = next((gate.answer for gate in shown.result.gates if gate.name == "others"), Answer.MEETS)
    if gate is not Answer.MEETS:
        # What keeps it from standing at all comes before what only makes it thin.
        wanted = ["others", *(name for name in wanted if name != "others")]
    return [_moved_of(found[name], shown) for name in wanted if name in found and found[name].shares]


def _thin(result: SetResult) -> list[str]:
    order = (Standing.FAILS, Standing.THIN)
    checks = [
        (check.standing, f"{link.link}: {check.name}")
        for link in result.links[1:]
        for check in link.checks
        if check.standing in order
    ]
    return [name for _, name in sorted(checks, key=lambda one: order.index(one[0]))]


def _moved_of(found: Sensitivity, shown: Member) -> doc.Moved:
    target = plain_name(shown.context.target)
    words = {"catch": f"{target} held in 100 nights", "others": "other animals that fire it in 100 nights"}
    return doc.Moved(
        result=found.result,
        say=words.get(found.result, f"margin of {found.result.replace(': ', ', ')}"),
        measures=[_measure_of(share, shown) for share in found.shares[:TOLD]],
        rest=round(1.0 - sum(share.share for share in found.shares[:TOLD]), 3),
    )


def _measure_of(share: Share, shown: Member) -> doc.MeasureFirst:
    measure = measure_of(share.name, shown.context, shown.result.rig)
    return doc.MeasureFirst(
        input=share.name,
        what=sentence(render(measure.what)).rstrip("."),
        do=sentence(render(measure.act)),
        settles=measure.settles,
        share=(round(share.share, 3), round(max(share.low, 0.0), 3), round(min(share.high, 1.0), 3)),
        rises=None if abs(share.rank) < NO_WAY else share.rank > 0,
    )


def _first(moved: Sequence[doc.Moved]) -> str:
    """The first reading to take: the greatest unknown of the first result that a reading can settle."""
    for one in moved:
        for measure in one.measures:
            if measure.settles:
                part = f"{100 * (measure.share[0] or 0.0):.0f} % of what is not known of the {one.say}"
                return f"Measure this first: {measure.what[0].lower()}{measure.what[1:]} ({part}). {measure.do}"
    return ""
