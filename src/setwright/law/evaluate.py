"""Answer of one check for the facts of a set: meets, breaks or cannot tell, with the reason."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from setwright.basis import verdict
from setwright.basis.say import Say
from setwright.basis.verdict import Answer
from setwright.law import evaluate_number, evaluate_time
from setwright.law.condition import Bait, Boolean, Check, ListMembership, OneOf, Tag
from setwright.law.evaluate_number import compare
from setwright.law.facts import feature
from setwright.law.outcome import Case, Outcome, asked, told


def outcome_of(check: Check, case: Case) -> Outcome:
    """Evaluate a check.

    Parameters
    ----------
    check : Check
        Any kind.
    case : Case
        Pack, facts and day.

    Returns
    -------
    Outcome
        Answer with reason, cure and question.

    """
    return _KINDS[check.kind](check.part, case)


def truth_of(value: bool | None) -> Answer:
    """Truth as an answer; None cannot tell."""
    return Answer.CANNOT_TELL if value is None else Answer.MEETS if value else Answer.BREAKS


def _truth(name: str, wanted: bool, case: Case) -> Outcome:
    about, found = feature(name), case.facts[name].truth
    if found is None:
        return asked(about)
    words = "{label:word}: {found:word}"
    if found is not wanted:
        words += ", where {wanted:word} is wanted"
    return replace(
        told(
            truth_of(found is wanted),
            Say(words, label=about.label, found=_yes(found), wanted=_yes(wanted)),
            Say("{label:word}: make it {wanted:word}", label=about.label, wanted=_yes(wanted)),
        ),
        brief=Say("{label:word}: {found:word}", label=about.label, found=_yes(found)),
    )


def _yes(truth: bool) -> str:
    return "yes" if truth else "no"


def _boolean(part: Boolean, case: Case) -> Outcome:
    return _truth(part.feature, part.be, case)


def _one_of(part: OneOf, case: Case) -> Outcome:
    about, found = feature(part.feature), case.facts[part.feature].word
    words = ", ".join(part.words)
    if found is None:
        return asked(about)
    return told(
        truth_of(found in part.words),
        Say("{label:word}: {found:word}; named are: {words:word}", label=about.label, found=found, words=words),
        Say("choose for the {label:word} one of: {words:word}", label=about.label, words=words),
    )


def _tag(part: Tag, case: Case) -> Outcome:
    contents = {
        "name": ("tag_name",),
        "name_and_address": ("tag_name", "tag_address"),
        "number": ("tag_number",),
    }
    content = any_of([all_of([_truth(name, True, case) for name in contents[item]]) for item in part.any_of])
    wanted = [content]
    if part.durable:
        wanted.append(_truth("tag_durable", True, case))
    if part.visible:
        wanted.append(_truth("tag_visible", True, case))
    return all_of(wanted)


def _bait(part: Bait, case: Case) -> Outcome:
    facts = case.facts
    if part.visible_from == "defined":
        if case.pack.definitions.exposed_bait is None:
            return told(
                Answer.CANNOT_TELL,
                Say("the pack does not define exposed bait"),
                question=Say("from where must bait be hidden: from the air, or from every side?"),
                open_text=True,
            )
        part = case.pack.definitions.exposed_bait
    seen = facts["bait_visible"]
    visible = seen.truth
    # What is seen from the air is seen from some side; what is hidden from the air may still show from the side.
    if part.visible_from == "any" and seen.method != "any" and visible is False:
        visible = None
    if part.visible_from == "air" and seen.method == "any" and visible is True:
        visible = None
    parts = [
        (truth_of(facts["bait_present"].truth), "bait_present"),
        (truth_of(visible), "bait_visible"),
    ]
    if part.larger_than is not None:
        parts.append((compare(facts["bait_volume"].span, ">", part.larger_than.number), "bait_volume"))
    if part.nearer_than is not None:
        parts.append((compare(facts["bait_distance"].span, "<", part.nearer_than.number), "bait_distance"))
    answer = verdict.all_of(found for found, _ in parts).negated()
    where = "from the air" if part.visible_from == "air" else "from any side"
    if answer is Answer.CANNOT_TELL:
        name = next(name for found, name in parts if found is Answer.CANNOT_TELL)
        return asked(feature(name))
    reasons = {
        Answer.MEETS: Say("no exposed bait (seen {where:word}) lies here", where=where),
        Answer.BREAKS: Say("the bait is exposed: it can be seen {where:word}", where=where),
    }
    return told(answer, reasons[answer], Say("cover the bait so that it cannot be seen {where:word}", where=where))


def _listed(part: ListMembership, case: Case) -> Outcome:
    listing = case.pack.lists[part.list]
    about, found = feature(part.feature), case.facts[part.feature].word
    if not listing.effective.holds(case.on):
        return told(
            Answer.CANNOT_TELL,
            Say("the list {name:word} is not in force on this day", name=part.list),
            question=Say("which list is in force on this day?"),
            open_text=True,
        )
    if found is None:
        return asked(about)
    return told(
        truth_of(found in listing.members),
        Say("{found:word} against the list {name:word}", found=found, name=part.list),
        Say("use a device that is on the list {name:word}", name=part.list),
    )


def all_of(found: Sequence[Outcome]) -> Outcome:
    """Outcome of several that must all be met; the one that decides gives the reason."""
    return _deciding(verdict.all_of(item.answer for item in found), found)


def any_of(found: Sequence[Outcome]) -> Outcome:
    """Outcome of several of which one is enough."""
    answer = verdict.any_of(item.answer for item in found)
    if answer is Answer.BREAKS and len(found) > 1:
        said, cures = found[0].brief or found[0].reason, found[0].cure
        for item in found[1:]:
            said = Say("{a:say}; {b:say}", a=said, b=item.brief or item.reason)
            if item.cure is not None:
                cures = item.cure if cures is None else Say("{a:say}, or {b:say}", a=cures, b=item.cure)
        return told(answer, Say("one of these is wanted: {all:say}", all=said), cures)
    return _deciding(answer, found)


def _deciding(answer: Answer, found: Sequence[Outcome]) -> Outcome:
    return next(item for item in found if item.answer is answer)


def forbidden(check: Check, case: Case) -> Outcome:
    """Outcome of a check that must not be met."""
    if check.boolean is not None:
        return _truth(check.boolean.feature, not check.boolean.be, case)
    found = outcome_of(check, case)
    reason = Say("not allowed: {what:say}", what=found.reason)
    if found.answer is Answer.MEETS:
        return told(Answer.BREAKS, reason, Say("do otherwise"))
    if found.answer is Answer.BREAKS:
        return told(Answer.MEETS, Say("this is not the case: {what:say}", what=found.reason))
    return replace(found, reason=reason, cure=None)


def _all(parts: list[Check], case: Case) -> Outcome:
    return all_of([outcome_of(part, case) for part in parts])


def _any(parts: list[Check], case: Case) -> Outcome:
    return any_of([outcome_of(part, case) for part in parts])


def _not(part: Check, case: Case) -> Outcome:
    return forbidden(part, case)


_KINDS: dict[str, Callable[[Any, Case], Outcome]] = {
    "limit": evaluate_number.limit,
    "interval": lambda part, case: evaluate_time.interval(part, case),
    "clock_window": lambda part, case: evaluate_time.clock_window(part, case.facts),
    "distance": evaluate_number.distance,
    "tag": _tag,
    "bait": _bait,
    "count": evaluate_number.count,
    "list_membership": _listed,
    "boolean": _boolean,
    "one_of": _one_of,
    "deadline": lambda part, case: evaluate_time.deadline(part, case),
    "all_of": _all,
    "any_of": _any,
    "not": _not,
}
