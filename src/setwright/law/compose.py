"""Several packs together: law, permit, landowner's terms and good practice, each named in the answer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from setwright.basis.say import Say
from setwright.basis.verdict import Answer, all_of, any_of
from setwright.law.answer import Finding, binding_checks, judge
from setwright.law.applies import outside, stale
from setwright.law.condition import Check
from setwright.law.evaluate import outcome_of, truth_of
from setwright.law.facts import Facts
from setwright.law.outcome import Case
from setwright.law.pack import Pack, Rule, SetsAside, same_species
from setwright.law.zones import zone_facts


@dataclass(frozen=True, slots=True)
class PackFinding:
    """Answer of one rule with the pack in which it stands.

    Parameters
    ----------
    pack : str
        Name of the pack, as the book or the command gives it.
    kind : str
        `law`, `permit`, `landowner` or `profile`.
    finding : Finding
        The answer.
    aside : str
        Name of the permit that sets the rule aside; empty otherwise.

    """

    pack: str
    kind: str
    finding: Finding
    aside: str = ""


def compose(
    packs: Sequence[tuple[str, Pack]],
    facts: Facts,
    *,
    on: date,
    species: str,
    place: tuple[float, float] | None = None,
) -> tuple[PackFinding, ...]:
    """Answer all packs that bind a set together.

    Parameters
    ----------
    packs : sequence of tuple of str and Pack
        Named packs, in the order in which they are to be answered.
    facts : Facts
        What is known of the set; zones of the packs are added from `place`.
    on : date
        Day that is asked about.
    species : str
        Target of the set.
    place : tuple of float, optional
        Latitude and longitude of the set [degrees].

    Returns
    -------
    tuple of PackFinding
        Each rule with its pack.

    Notes
    -----
    Law, landowner's terms and profile add up: each binds by itself. A permit is the one kind that takes away, and
    only what it names, while it is in force, for the species and under the conditions that it names; what it sets
    aside is still shown, with the permit's citation. Where several packs of law bind (a state and a district), a
    topic or a season is open only when none of them speaks of it.

    """
    cases = []
    for name, pack in packs:
        located = {} if place is None else zone_facts(pack.zones, *place)
        told = {key: fact for key, fact in located.items() if fact.value is not None or key not in facts}
        known = facts.with_facts(**told) if told else facts
        cases.append((name, pack, Case(pack, known, on, species)))
    found = [
        PackFinding(name, pack.kind, finding)
        for name, pack, case in cases
        for finding in judge(pack, case.facts, on=on, species=species)
    ]
    found = _once_told(found, [pack for _, pack, case in cases if outside(pack, case.facts) is not Answer.MEETS])
    for name, pack, case in cases:
        for lifted in pack.sets_aside:
            found = [_lifted(one, lifted, name, case) for one in found]
    return tuple(found)


def _once_told(found: Iterable[PackFinding], packs: Sequence[Pack]) -> list[PackFinding]:
    """Leave out a gap of one pack of law that another one fills."""
    law = [pack for pack in packs if pack.kind == "law"]
    told = {topic for pack in law for topic, state in pack.topics.items() if state.state != "unknown"}
    named = [row.species for pack in law for row in pack.seasons]
    kept = []
    for one in found:
        rule = one.finding.rule
        if rule.startswith("topic:") and one.finding.topic in told:
            continue
        nameless = rule.startswith("season:") and one.finding.citation == "not in the pack"
        if nameless and any(_covers(name, rule.removeprefix("season:"), law) for name in named):
            continue
        kept.append(one)
    return kept


def _covers(name: str, species: str, law: Sequence[Pack]) -> bool:
    return any(same_species(name, species, pack) for pack in law)


def _lifted(one: PackFinding, part: SetsAside, permit: str, case: Case) -> PackFinding:
    finding = one.finding
    meant = finding.rule == part.rule if part.rule is not None else finding.topic == part.topic
    if one.kind != "law" or not meant or one.aside or finding.answer is Answer.MEETS:
        return one
    holds = _holds(part, case)
    if holds is Answer.BREAKS:
        return one
    named = Say("{permit:word}, {citation:word}: {text:word}", permit=permit, citation=part.citation, text=part.text)
    if holds is Answer.MEETS:
        reason = Say("set aside by {named:say}; without it: {reason:say}", named=named, reason=finding.reason)
        met = replace(finding, answer=Answer.MEETS, reason=reason, cure=None, question=None, open_text=False)
        return replace(one, finding=met, aside=permit)
    doubtful = replace(
        finding,
        answer=Answer.CANNOT_TELL,
        reason=Say("{reason:say}; it may be set aside by {named:say}", reason=finding.reason, named=named),
        question=finding.question or Say("does this permit hold for this set on this day: {named:say}?", named=named),
        open_text=True,
    )
    return replace(one, finding=doubtful)


def _holds(part: SetsAside, case: Case) -> Answer:
    """Whether a permit holds: in force, here, for the species and under its conditions."""
    pack = case.pack
    if not pack.effective.holds(case.on):
        return Answer.BREAKS
    found = [outside(pack, case.facts).negated()]
    if stale(pack, case.on) is not None:
        found.append(Answer.CANNOT_TELL)
    if part.species is not None:
        found.append(truth_of(any(same_species(name, case.species, pack) for name in part.species)))
    if part.when is not None:
        found.append(outcome_of(part.when, case).answer)
    return all_of(found)


def binding(
    packs: Sequence[tuple[str, Pack]], facts: Facts, *, on: date, species: str
) -> list[tuple[str, Rule, Check]]:
    """Checks that a set must keep to, with pack and rule; what a permit certainly sets aside is left out.

    Parameters
    ----------
    packs, facts, on, species
        As in `compose`; a landowner's terms and the profile bind a plan like law.

    """
    cases = [(pack, Case(pack, facts, on, species)) for _, pack in packs]
    lifted = [part for pack, case in cases for part in pack.sets_aside if _holds(part, case) is Answer.MEETS]
    found = []
    for name, pack in packs:
        for rule, check in binding_checks(pack, facts, on=on, species=species):
            aside = any(
                rule.id == part.rule if part.rule is not None else rule.topic == part.topic for part in lifted
            )
            if pack.kind != "law" or not aside:
                found.append((name, rule, check))
    return found


def together(found: Iterable[PackFinding], *, kinds: Sequence[str] = ("law", "permit", "landowner")) -> Answer:
    """Answer of all findings of some kinds of pack; without a pack of law it cannot be told.

    Parameters
    ----------
    found : iterable of PackFinding
        As `compose` gives them.
    kinds : sequence of str
        Kinds of pack that count; a profile is no law.

    """
    counted = [one for one in found if one.kind in kinds]
    spoken = any_of(truth_of(one.kind == "law") for one in counted)
    return all_of(
        [Answer.MEETS if spoken is Answer.MEETS else Answer.CANNOT_TELL, *(c.finding.answer for c in counted)]
    )
