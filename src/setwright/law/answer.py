"""Answer of a whole pack for one set: every rule that applies or may apply, with reason, cure and question."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from setwright.basis.say import Say
from setwright.basis.verdict import Answer, all_of, any_of
from setwright.law.applies import applies_to, outside, season_is_open, stale, unsure_of
from setwright.law.condition import Check, IntervalCheck
from setwright.law.evaluate import forbidden, outcome_of
from setwright.law.facts import Facts, feature
from setwright.law.outcome import Case, Outcome, told
from setwright.law.pack import TOPICS, LiftedWhen, Pack, Rule
from setwright.law.season import season_findings


@dataclass(frozen=True, slots=True)
class Finding:
    """Answer of one rule.

    Parameters
    ----------
    rule : str
        Id of the rule; `topic:…`, `season:…` and `welfare:check-interval` for findings without a rule.
    answer : Answer
        *meets*, *breaks* or *cannot tell*.
    reason : Say
        Why.
    citation : str
        Where it stands.
    cure : Say or None
        What would mend it.
    question : Say or None
        What must be measured or asked.
    topic : str
        Topic of the rule.
    text : str
        The rule in a sentence, as the pack has it.
    applies : Answer
        *meets* when the rule certainly applies, *cannot tell* when it may.
    open_text : bool
        True when the gap is in the pack or the rules: the authority must be asked, not the tape measure.

    """

    rule: str
    answer: Answer
    reason: Say
    citation: str
    cure: Say | None = None
    question: Say | None = None
    topic: str = "other"
    text: str = ""
    applies: Answer = Answer.MEETS
    open_text: bool = False


def judge(pack: Pack, facts: Facts, *, on: date, species: str) -> tuple[Finding, ...]:
    """Answer every rule of a pack that applies, or may apply, to a set.

    What it does not answer: whether the pack says what the law says, and rules that the pack does not hold.

    Parameters
    ----------
    pack : Pack
        Rules of a place, or a profile of good practice.
    facts : Facts
        What is known of the set; what is not named is unknown.
    on : date
        Day that is asked about.
    species : str
        Target of the set.

    Returns
    -------
    tuple of Finding
        In the order of the pack: rules, then season and topics. Rules that certainly do not apply are left out.

    Notes
    -----
    Kleene's strong three-valued logic. A number with a spread that straddles a limit, an unknown fact, an unknown
    limit and a way of measuring that does not bound the other cannot be told. Where it is not known whether a rule
    applies, a check that is met meets and one that is broken cannot be told. An exception lifts a breach only when
    it certainly holds; one that may hold makes the breach one that cannot be told. Of two rules of one topic, the
    one with the higher priority sets the other aside. Nothing of a stale pack is *meets*.

    References
    ----------
    Kleene (1952), Introduction to Metamathematics, s. 64: strong connectives (memory).

    """
    case = Case(pack, facts, on, species)
    found = _of_rules(case, species)
    if pack.kind == "law":
        found += _of_seasons(case, species)
        found += _of_topics(case)
    why = stale(pack, on)
    if why is not None:
        found = [
            _doubted(finding, Say("{why:word}", why=why), Say("does the rule still stand so?")) for finding in found
        ]
    elsewhere = outside(pack, facts)
    if elsewhere is not Answer.BREAKS:
        area = Say("{text:word}", text=pack.zones[pack.area or ""].text)
        said = (
            Say("the site lies outside the area of this pack ({area:say})", area=area)
            if elsewhere is Answer.MEETS
            else Say("it is not known whether the site lies in the area of this pack ({area:say})", area=area)
        )
        asks = Say("which rules bind at this place; does it lie in {area:say}?", area=area)
        found = [_elsewhere(finding, said, asks) for finding in found]
    return tuple(found)


def plan_answer(findings: Iterable[Finding]) -> Answer:
    """Answer of all findings together: one *breaks* decides, else one *cannot tell* clouds, else *meets*."""
    return all_of(finding.answer for finding in findings)


Applying = tuple[Rule, Answer, Outcome, Answer]


def _applying(case: Case, species: str) -> list[Applying]:
    """Rules that apply or may apply: whether they do, their outcome, whether another one sets them aside."""
    answers: list[tuple[Rule, Answer, Outcome]] = []
    for rule in case.pack.rules:
        if not rule.effective.holds(case.on):
            continue
        applies = applies_to(rule.applies, case, species)
        if applies is not Answer.BREAKS:
            answers.append((rule, applies, _checked(rule, case)))
    found: list[Applying] = []
    highest: dict[str, int] = {}
    for rule, _, _ in answers:
        highest[rule.topic] = max(rule.priority, highest.get(rule.topic, rule.priority))
    for rule, applies, outcome in answers:
        if rule.priority == highest[rule.topic]:
            found.append((rule, applies, outcome, Answer.BREAKS))
            continue
        aside = any_of(
            all_of((other_applies, _sets_aside(other, other_outcome)))
            for other, other_applies, other_outcome in answers
            if other.topic == rule.topic and other.priority > rule.priority
        )
        found.append((rule, applies, outcome, aside))
    return found


def binding_checks(pack: Pack, facts: Facts, *, on: date, species: str) -> list[tuple[Rule, Check]]:
    """What a set must keep to while it is planned: the checks of rules that bind or may bind it.

    An exception that certainly holds puts its own check in the place of the rule's, or lifts it; one that may hold
    does neither.
    """
    case = Case(pack, facts, on, species)
    found = []
    for rule, _, _, aside in _applying(case, species):
        if aside is Answer.MEETS or rule.kind not in ("limit", "require"):
            continue
        certain = next((one for one in rule.unless if _holds(one, case) is Answer.MEETS), None)
        check = rule.check if certain is None else certain.instead
        if check is not None:
            found.append((rule, check))
    return found


def _of_rules(case: Case, species: str) -> list[Finding]:
    found = []
    for rule, applies, outcome, aside in _applying(case, species):
        if rule.kind == "permit" and outcome.answer is not Answer.MEETS:
            continue
        if aside is not Answer.MEETS:
            sure = all_of((applies, aside.negated()))
            asks = None if applies is Answer.MEETS else unsure_of(rule.applies, case, species)
            found.append(_finding(rule, sure, _as_far_as_sure(outcome, sure, asks)))
    return found


def _sets_aside(rule: Rule, outcome: Outcome) -> Answer:
    """A permit sets others aside only when its check is met, every other rule by applying."""
    return outcome.answer if rule.kind == "permit" else Answer.MEETS


def _checked(rule: Rule, case: Case) -> Outcome:
    outcome = _of_kind(rule, rule.check, case)
    if outcome.answer is Answer.MEETS:
        return outcome
    doubt = outcome
    for exception in rule.unless:
        holds = _holds(exception, case)
        if holds is Answer.BREAKS:
            continue
        text = exception.text or "an exception of the rule"
        instead = (
            told(Answer.MEETS, Say("lifted: {text:word}", text=text))
            if exception.instead is None
            else _of_kind(rule, exception.instead, case)
        )
        if holds is Answer.MEETS:
            # An exception that certainly holds is what binds, for better or worse.
            return instead
        if instead.answer is not Answer.BREAKS:
            doubt = told(
                Answer.CANNOT_TELL,
                Say("{reason:say}; an exception may lift this: {text:word}", reason=outcome.reason, text=text),
                outcome.cure,
                _question_of(exception, case) or outcome.question,
            )
    return doubt


def _of_kind(rule: Rule, check: Check | None, case: Case) -> Outcome:
    if rule.kind == "forbid":
        if check is None:
            return told(Answer.BREAKS, Say("{text:word}", text=rule.text), Say("do not make this set here"))
        return forbidden(check, case)
    if check is None:
        return told(Answer.MEETS, Say("{text:word}", text=rule.text))
    return outcome_of(check, case)


def _holds(exception: LiftedWhen, case: Case) -> Answer:
    found = []
    if exception.when is not None:
        found.append(outcome_of(exception.when, case).answer)
    if exception.season_open is not None:
        found.append(season_is_open(exception.season_open, case))
    return all_of(found)


def _question_of(exception: LiftedWhen, case: Case) -> Say | None:
    return None if exception.when is None else outcome_of(exception.when, case).question


def _as_far_as_sure(outcome: Outcome, applies: Answer, asks: Say | None) -> Outcome:
    if applies is Answer.MEETS or outcome.answer is Answer.MEETS:
        return outcome
    if outcome.answer is Answer.CANNOT_TELL:
        return outcome
    return told(
        Answer.CANNOT_TELL,
        Say("it is not known whether this rule binds here; if it does: {reason:say}", reason=outcome.reason),
        outcome.cure,
        asks or Say("does this rule bind for this set?"),
    )


def _finding(rule: Rule, applies: Answer, outcome: Outcome) -> Finding:
    return Finding(
        rule.id, outcome.answer, outcome.reason, rule.citation, outcome.cure, outcome.question,
        rule.topic, rule.text, applies, outcome.open_text,
    )  # fmt: skip


def _of_seasons(case: Case, species: str) -> list[Finding]:
    if case.pack.state_of("seasons") != "stated":
        return []
    return [
        Finding(
            f"season:{species}",
            outcome.answer,
            outcome.reason,
            citation,
            outcome.cure,
            outcome.question,
            "seasons",
            open_text=outcome.open_text,
        )
        for outcome, citation in season_findings(case, species)
    ]


def _of_topics(case: Case) -> list[Finding]:
    found = []
    for topic, idle in TOPICS.items():
        if idle is not None and case.facts[idle].truth is False:
            continue
        state = case.pack.state_of(topic)
        words = topic.replace("-", " ")
        if state == "unknown":
            found.append(
                Finding(
                    f"topic:{topic}",
                    Answer.CANNOT_TELL,
                    Say("the pack does not know what the rules say on {topic:word}", topic=words),
                    "not in the pack",
                    None,
                    Say("what do the rules of the place say on {topic:word}?", topic=words),
                    topic,
                    open_text=True,
                )
            )
        if topic == "check-interval" and state == "none":
            found += _welfare_default(case)
    return found


def _welfare_default(case: Case) -> list[Finding]:
    """Daily visit of a set that holds alive, where the law sets no interval."""
    submersion = case.facts["submersion"].truth
    if submersion is True:
        return []
    outcome = outcome_of(Check(interval=IntervalCheck(every="P1D")), case)
    if submersion is None and outcome.answer is not Answer.MEETS:
        outcome = told(
            Answer.CANNOT_TELL, outcome.reason, outcome.cure, Say("{text:word}", text=feature("submersion").question)
        )
    reason = Say(
        "no interval in the rules; a set that holds alive is seen each day: {reason:say}", reason=outcome.reason
    )
    return [
        Finding(
            "welfare:check-interval", outcome.answer, reason, "common practice", outcome.cure, outcome.question,
            "check-interval",
        )
    ]  # fmt: skip


def _doubted(finding: Finding, why: Say, question: Say) -> Finding:
    if finding.answer is not Answer.MEETS:
        return finding
    return replace(
        finding,
        answer=Answer.CANNOT_TELL,
        reason=Say("{why:say}; as the pack stands: {reason:say}", why=why, reason=finding.reason),
        question=question,
        open_text=True,
    )


def _elsewhere(finding: Finding, why: Say, question: Say) -> Finding:
    """A rule of another place neither permits nor forbids here: its breach is no more certain than its yes."""
    if finding.answer is not Answer.BREAKS:
        return _doubted(finding, why, question)
    return replace(
        finding,
        answer=Answer.CANNOT_TELL,
        reason=Say("{why:say}; there it would break: {reason:say}", why=why, reason=finding.reason),
        question=question,
        open_text=True,
    )
