"""Answers of the checks that compare a number: limits, distances, counts."""

from __future__ import annotations

from setwright.basis.say import Say
from setwright.basis.verdict import Answer
from setwright.law.condition import Count, Distance, Limit
from setwright.law.facts import Fact, Facts, Feature, feature
from setwright.law.measure import Jaws, convert_span
from setwright.law.outcome import Case, Outcome, asked, told

# Relative slack of a comparison, so that "5 3/8 in" read twice is the same length.
SAME = 1e-9


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


def limit(part: Limit, case: Case) -> Outcome:
    """A number of the set against a limit; a span that straddles it cannot tell."""
    about = feature(part.feature)
    fact = case.facts[part.feature]
    if part.value == "none":
        return told(Answer.MEETS, Say("no limit is set on the {label:word}", label=about.label))
    bound = part.limit
    if bound is None:
        return told(
            Answer.CANNOT_TELL,
            Say("the pack does not know the limit on the {label:word}", label=about.label),
            question=Say("which limit binds for the {label:word}?", label=about.label),
            open_text=True,
        )
    if part.feature == "nominal_size":
        return _nominal(part, bound, case)
    span = fact.span
    if span == (float("-inf"), float("inf")):
        return asked(about)
    method = part.method
    if part.feature == "jaw_spread":
        method = method or case.pack.definitions.jaw_spread_method or "open"
        span = convert_span(*span, fact.method, method, _jaws(case.facts))
    else:
        method = method or (case.pack.definitions.jaw_gap_method if part.feature == "jaw_gap_closed" else None)
    if part.feature != "jaw_spread" and method is not None and fact.method != method:
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
    answer = compare(span, part.op, bound)
    return _limit_said(answer, about, fact, span, part, bound, method)


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
            open_text=name is not None,
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


def distance(part: Distance, case: Case) -> Outcome:
    """Distance to the nearest thing of a class; edge and centre line bound one another."""
    name = f"distance:{part.to}"
    about, fact = feature(name), case.facts[name]
    low, high = fact.span
    if fact.span == (float("-inf"), float("inf")):
        return asked(about)
    if part.reference in ("edge", "centreline") and fact.method != part.reference:
        width = _number(case.facts[f"width:{part.to}"])
        # The centre line is never nearer than the edge; without a width nothing says how much farther.
        reach = float("inf") if width is None else 0.5 * width
        sure = 0.5 * width if width is not None and fact.method in ("edge", "centreline") else 0.0
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


def count(part: Count, case: Case) -> Outcome:
    """Traps of a person, a site or a set against the most allowed."""
    name = {"person": "traps_out", "site": "traps_at_site", "set": "traps_in_set"}[part.scope]
    return limit(Limit(feature=name, op="<=", value=str(part.at_most)), case)
