"""Answer of one check for the facts of a set: meets, breaks or cannot tell, with the reason."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from setwright.basis import verdict
from setwright.basis.say import Say
from setwright.basis.verdict import Answer
from setwright.law import evaluate_time
from setwright.law.condition import Bait, Boolean, Check, Count, Distance, Limit, ListMembership, OneOf, Tag
from setwright.law.facts import Fact, Facts, Feature, feature
from setwright.law.measure import Jaws, convert_span
from setwright.law.outcome import Outcome, asked, told
from setwright.law.pack import Pack

# Relative slack of a comparison, so that "5 3/8 in" read twice is the same length.
SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Case:
    """What a check is asked about: the pack, the facts, the day."""

    pack: Pack
    facts: Facts
    on: date


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


def compare(span: tuple[float, float], op: str, limit: float) -> Answer:
    """Whole span against a limit: one that straddles it cannot tell.

    A span that has shrunk to the limit itself meets `<=` and `>=` and breaks `<` and `>`.
    """
    low, high = span
    slack = SAME * max(1e-6, abs(limit))
    if op in ("<", ">="):
        below, reaches = high < limit - slack, low >= limit - slack
        met, broken = (below, reaches) if op == "<" else (reaches, below)
    else:
        within, beyond = high <= limit + slack, low > limit + slack
        met, broken = (within, beyond) if op == "<=" else (beyond, within)
    return Answer.MEETS if met else Answer.BREAKS if broken else Answer.CANNOT_TELL


_WORDS = {"<": "less than", "<=": "at most", ">": "more than", ">=": "at least"}


def _limit(part: Limit, case: Case) -> Outcome:
    about = feature(part.feature)
    fact = case.facts[part.feature]
    if part.value == "none":
        return told(Answer.MEETS, Say("no limit is set on the {label:word}", label=about.label))
    limit = part.limit
    if limit is None:
        return told(
            Answer.CANNOT_TELL,
            Say("the pack does not know the limit on the {label:word}", label=about.label),
            question=Say("which limit binds for the {label:word}?", label=about.label),
        )
    if part.feature == "nominal_size":
        return _nominal(part, limit, case)
    span = fact.span
    if span == (float("-inf"), float("inf")):
        return asked(about)
    method = part.method
    if part.feature == "jaw_spread":
        method = method or case.pack.definitions.jaw_spread_method or "open"
        span = convert_span(*span, fact.method, method, _jaws(case.facts))
    elif method is not None and fact.method != method:
        return told(
            Answer.CANNOT_TELL,
            Say(
                "the rule measures the {label:word} by the way “{method:word}”, the reading is by another",
                label=about.label, method=_spaced(method),
            ),
            question=Say(
                "what is the {label:word} when measured by the way “{method:word}”?",
                label=about.label, method=_spaced(method),
            ),
        )  # fmt: skip
    answer = compare(span, part.op, limit)
    return _limit_said(answer, about, fact, span, part, limit, method)


def _limit_said(
    answer: Answer,
    about: Feature,
    fact: Fact,
    span: tuple[float, float],
    part: Limit,
    limit: float,
    method: str | None,
) -> Outcome:
    kind, words = about.shown, _WORDS[part.op]
    needed = f"{words} {{limit:{kind}}}"
    measured = Say(f"{{label:word}} must be {needed}", label=about.label, limit=limit)
    cure = Say(f"make the {{label:word}} {needed}", label=about.label, limit=limit)
    if answer is not Answer.CANNOT_TELL:
        return told(answer, _with_value(measured, about, fact, limit), cure if answer is Answer.BREAKS else None)
    if part.feature == "jaw_spread" and fact.method != method:
        how = _spaced(method or "open")
        return told(
            answer,
            Say("{rule:say}, measured “{how:word}”; the reading was taken otherwise", rule=measured, how=how),
            question=Say("what is the jaw spread of the set trap when measured “{how:word}”?", how=how),
        )
    low, high = span
    reason = Say(
        f"{{rule:say}}; the reading lies between {{low:{kind}}} and {{high:{kind}}}",
        rule=measured,
        low=low,
        high=high,
    )
    return told(
        answer, reason, cure,
        Say(f"is the {{label:word}} {needed} when measured more closely?", label=about.label, limit=limit),
    )  # fmt: skip


def _with_value(rule: Say, about: Feature, fact: Fact, limit: float) -> Say:
    if not fact.known or not isinstance(fact.value, (int, float)) or abs(fact.value) == float("inf"):
        return rule
    return Say(f"{{rule:say}}; it is {{value:{about.shown}}}", rule=rule, value=float(fact.value), limit=limit)


def _nominal(part: Limit, limit: float, case: Case) -> Outcome:
    name = case.facts["nominal_size"].word
    number = None if name is None else case.pack.definitions.nominal_size_map.get(name)
    if number is None:
        return told(
            Answer.CANNOT_TELL,
            Say(
                "the rule goes by trap numbers, which are no measure; this trap is not in the pack's list of numbers"
            ),
            question=Say("which number does the authority give to the trap {name:word}?", name=name or "in question"),
        )
    return told(
        compare((number, number), part.op, limit),
        Say(
            f"trap number {{number:number}} against {_WORDS[part.op]} {{limit:number}}", number=number, limit=limit
        ),
        Say(f"use a trap whose number is {_WORDS[part.op]} {{limit:number}}", limit=limit),
    )  # fmt: skip


def _spaced(name: str) -> str:
    return name.replace("_", " ").replace("-", " ")


def _jaws(facts: Facts) -> Jaws:
    """Bars of the jaws from the facts; what is not known is left unknown and widens the bounds."""
    face = facts["jaw_face_width"].span[1]
    strip = 0.0 if facts["laminated"].truth is False else _number(facts["lamination_width"])
    side = facts["lamination_side"].word
    inside = 0.0 if strip == 0.0 or side == "outside" else strip if side == "inside" else None
    outside = 0.0 if strip == 0.0 or side == "inside" else strip if side == "outside" else None
    double = 0.0 if facts["double_jawed"].truth is False else _number(facts["double_jaw_width"])
    return Jaws(None if face == float("inf") else face, inside, outside, double)


def _number(fact: Fact) -> float | None:
    return float(fact.value) if isinstance(fact.value, (int, float)) and fact.known else None


def _distance(part: Distance, case: Case) -> Outcome:
    name = f"distance:{part.to}"
    about, fact = feature(name), case.facts[name]
    low, high = fact.span
    if fact.span == (float("-inf"), float("inf")):
        return asked(about)
    if part.reference in ("edge", "centreline") and fact.method != part.reference:
        half = _number(case.facts[f"width:{part.to}"])
        # The centre line is never nearer than the edge; without a width nothing says how much farther.
        reach = float("inf") if half is None else 0.5 * half
        sure = half if half is not None and fact.method in ("edge", "centreline") else 0.0
        low, high = (low - reach, high - sure) if part.reference == "edge" else (low + sure, high + reach)
    answer = compare((low, high), ">=", part.at_least.number)
    what = _spaced(part.to)
    from_where = (
        "" if part.reference is None else f" (from its {part.reference})".replace("centreline", "centre line")
    )
    rule = Say(
        f"at least {{limit:distance}} from the nearest {{what:word}}{from_where}",
        limit=part.at_least.number, what=what,
    )  # fmt: skip
    if answer is Answer.CANNOT_TELL:
        return told(
            answer,
            Say("{rule:say}; the distance is not known well enough", rule=rule),
            Say("move the set farther from the {what:word}", what=what),
            Say(
                f"is it {{limit:distance}} or more from the set to the {{what:word}}{from_where}?",
                limit=part.at_least.number, what=what,
            ),
        )  # fmt: skip
    cure = Say("move the set to {limit:distance} or more from the {what:word}", limit=part.at_least.number, what=what)
    return told(answer, _with_value(rule, about, fact, part.at_least.number), cure)


def _truth(name: str, wanted: bool, case: Case) -> Outcome:
    about, found = feature(name), case.facts[name].truth
    if found is None:
        return asked(about)
    return told(
        truth_of(found is wanted),
        Say(
            "{label:word}: {found:word}; wanted: {wanted:word}",
            label=about.label, found=_yes(found), wanted=_yes(wanted),
        ),
        Say("{label:word}: make it {wanted:word}", label=about.label, wanted=_yes(wanted)),
    )  # fmt: skip


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


def _count(part: Count, case: Case) -> Outcome:
    name = {"person": "traps_out", "site": "traps_at_site", "set": "traps_in_set"}[part.scope]
    return _limit(Limit(feature=name, op="<=", value=str(part.at_most)), case)


def _listed(part: ListMembership, case: Case) -> Outcome:
    listing = case.pack.lists[part.list]
    about, found = feature(part.feature), case.facts[part.feature].word
    if not listing.effective.holds(case.on):
        return told(
            Answer.CANNOT_TELL,
            Say("the list {name:word} is not in force on this day", name=part.list),
            question=Say("which list is in force on this day?"),
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
        said, cures = found[0].reason, found[0].cure
        for item in found[1:]:
            said = Say("{a:say}; nor: {b:say}", a=said, b=item.reason)
            if item.cure is not None:
                cures = item.cure if cures is None else Say("{a:say}, or {b:say}", a=cures, b=item.cure)
        return told(answer, said, cures)
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
    "limit": _limit,
    "interval": lambda part, case: evaluate_time.interval(part, case.facts),
    "clock_window": lambda part, case: evaluate_time.clock_window(part, case.facts),
    "distance": _distance,
    "tag": _tag,
    "bait": _bait,
    "count": _count,
    "list_membership": _listed,
    "boolean": _boolean,
    "one_of": _one_of,
    "deadline": lambda part, case: evaluate_time.deadline(part, case.facts, case.on),
    "all_of": _all,
    "any_of": _any,
    "not": _not,
}
