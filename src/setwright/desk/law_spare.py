"""Traps of the outfit that stand nowhere, judged by the rules that ask for the trap alone."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from setwright.desk import law_document as doc
from setwright.law.compose import PackFinding, compose, together
from setwright.law.pack import Pack
from setwright.line.assemble import Job
from setwright.sets.lawful import facts_of
from setwright.sets.model import Rig, SiteFacts, TrapRig
from setwright.sets.naming import plain_name
from setwright.sets.rank import kinds

# Topics on which the trap answers by itself; chain, swivels and anchor are judged where it stands.
OF_THE_TRAP = frozenset(("jaw-spread", "jaw-form", "teeth", "pan-trip-force", "tag", "device"))
TOLD = 40

RuleMaker = Callable[[PackFinding], doc.RuleAnswer]


def spare(
    job: Job, packs: Sequence[tuple[str, Pack]], on: date, told: RuleMaker, sites: Sequence[SiteFacts]
) -> list[doc.SpareTrap]:
    """Every kind of trap that no set of the book names, for every use that the sites of the book have.

    Parameters
    ----------
    job : Job
        The line made ready.
    packs : sequence of tuple of str and Pack
        Packs by which it is judged.
    on : date
        Day that is asked about.
    told : callable
        Makes a rule's answer into words.
    sites : sequence of SiteFacts
        Sites whose uses are asked about: on land or in water, and for which animal.
    """
    used = {tag for rig in job.stated.values() for tag in rig.trap_ids}
    idle = [trap for tag, trap in job.traps.items() if tag not in used]
    uses: dict[tuple[str, str], list[SiteFacts]] = {}
    for site in sites:
        uses.setdefault((site.medium, site.target), []).append(site)
    found = []
    for group in list(kinds(idle).values())[:TOLD]:
        answers = [_use(job, packs, on, group[0], places, told) for places in uses.values()]
        found.append(
            doc.SpareTrap(
                traps=[one.trap_id for one in group],
                label=group[0].label,
                jaws=group[0].jaws_said,
                uses=_once(answers),
            )
        )
    return found


def _once(uses: Sequence[doc.SpareUse]) -> list[doc.SpareUse]:
    """Uses of which the rules say the same, told together."""
    found: dict[tuple[object, ...], doc.SpareUse] = {}
    for one in uses:
        key = (
            one.law,
            *((rule.pack, rule.rule, rule.answer, rule.reason) for rule in one.rules if rule.answer != "meets"),
        )
        same = found.get(key)
        if same is None:
            found[key] = one
            continue
        where, _, animal = one.use.partition(", for ")
        again = same.use.rpartition("; ")[2].startswith(f"{where}, for ")
        words = f"{same.use}, {animal}" if again else f"{same.use}; {one.use}"
        found[key] = same.model_copy(update={"use": words, "sets": sorted([*same.sets, *one.sets])})
    return list(found.values())


def _use(
    job: Job, packs: Sequence[tuple[str, Pack]], on: date, trap: TrapRig, places: Sequence[SiteFacts], told: RuleMaker
) -> doc.SpareUse:
    site = places[0]
    context = job.contexts[site.key]
    facts = facts_of(
        context, Rig(trap, None, None, None), traps_out=job.person.traps_out, tag_name=job.person.tag_name,
        stated=job.person.facts,
    )  # fmt: skip
    place = None if site.latitude is None or site.longitude is None else (site.latitude, site.longitude)
    whole = compose(packs, facts, on=on, species=site.target, place=place)
    mine = [one for one in whole if one.kind != "profile" and one.finding.topic in OF_THE_TRAP]
    where = "on land" if site.medium == "land" else "in water"
    return doc.SpareUse(
        use=f"{where}, for {plain_name(context.target).lower()}", law=together(mine).value if mine else "cannot tell",
        sets=[one.number for one in places], rules=[told(one) for one in mine],
    )  # fmt: skip
