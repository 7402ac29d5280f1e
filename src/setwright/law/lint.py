"""What is wrong or doubtful in a pack by itself: contradictions, rules that never bind, gaps, age, lost names."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, time
from itertools import combinations
from typing import Literal

from setwright.basis.say import Say
from setwright.law.applies import stale
from setwright.law.condition import Check, Limit
from setwright.law.facts import feature
from setwright.law.pack import OTHER_TOPICS, TOPICS, Pack, Rule, TopicWord, checks_within


@dataclass(frozen=True, slots=True)
class Remark:
    """One remark on a pack.

    Parameters
    ----------
    level : str
        `fault` (the pack cannot be right), `doubt` (it may lead astray) or `note`.
    place : str
        Rule, season, topic or field that is meant.
    text : Say
        What is wrong.
    mend : Say
        What would mend it.

    """

    level: Literal["fault", "doubt", "note"]
    place: str
    text: Say
    mend: Say


@dataclass(frozen=True, slots=True)
class Covered:
    """What a pack says on one topic.

    Parameters
    ----------
    topic : str
        Name of the topic.
    state : str
        `stated`, `none` or `unknown`.
    rules : tuple of str
        Rules of the pack on it.
    citation : str
        Where the text was found silent, for `none`.
    needed : bool
        True for a topic on which a pack of law must speak.

    """

    topic: str
    state: TopicWord
    rules: tuple[str, ...]
    citation: str
    needed: bool


def coverage(pack: Pack) -> tuple[Covered, ...]:
    """What the pack says on every topic; topics on which no pack must speak only where this one does."""
    found = []
    for topic in (*TOPICS, *OTHER_TOPICS):
        rules = tuple(rule.id for rule in pack.rules if rule.topic == topic)
        rows = len(pack.seasons) if topic == "seasons" else 0
        needed = topic in TOPICS and pack.kind == "law"
        if not needed and not rules and topic not in pack.topics:
            continue
        state: TopicWord = "stated" if not needed and rules else pack.state_of(topic)
        stated = pack.topics.get(topic)
        names = (*rules, f"{rows} rows of seasons") if rows else rules
        found.append(Covered(topic, state, names, "" if stated is None else stated.citation, needed))
    return tuple(found)


def lint(pack: Pack, on: date) -> tuple[Remark, ...]:
    """Remarks on a pack, faults first.

    Parameters
    ----------
    pack : Pack
        Any kind; its form was checked when it was read.
    on : date
        Day for which it is to serve.

    Returns
    -------
    tuple of Remark
        Empty when there is nothing to say. What the law really says is not looked at.

    """
    found = [*_age(pack, on), *_pairs(pack), *_names(pack), *_gaps(pack), *_dates(pack)]
    order = ("fault", "doubt", "note")
    return tuple(sorted(found, key=lambda remark: order.index(remark.level)))


def _age(pack: Pack, on: date) -> Iterator[Remark]:
    why = stale(pack, on)
    if why is not None:
        yield Remark(
            "doubt", "checked_on", Say("{why:word}: nothing of it is answered with meets", why=why),
            Say("read it against the present text and write checked_by and checked_on"),
        )  # fmt: skip
    if pack.invented:
        yield Remark("note", "invented", Say("an invented place: this is law nowhere"), Say("never trap by it"))


def _same_field(a: object, b: object) -> bool:
    """Whether two fields of `applies` may hold together."""
    if a is None or b is None:
        return True
    if isinstance(a, list) and isinstance(b, list):
        return bool(set(map(str, a)) & set(map(str, b)))
    return a == b


def _wider_field(a: object, b: object) -> bool:
    """Whether field `a` holds wherever `b` does."""
    if a is None:
        return True
    if isinstance(a, list) and isinstance(b, list):
        return set(map(str, b)) <= set(map(str, a))
    return a == b


def _meet(a: Rule, b: Rule) -> bool:
    """Whether two rules may bind the same set: no named field keeps them apart and neither outranks the other."""
    fields = type(a.applies).model_fields
    ranked = a.topic == b.topic and a.priority != b.priority
    return not ranked and all(_same_field(getattr(a.applies, f), getattr(b.applies, f)) for f in fields)


def _wider(a: Rule, b: Rule) -> bool:
    fields = type(a.applies).model_fields
    return all(_wider_field(getattr(a.applies, f), getattr(b.applies, f)) for f in fields)


def _pairs(pack: Pack) -> Iterator[Remark]:
    binding = [rule for rule in pack.rules if rule.kind in ("limit", "require", "forbid") and rule.check is not None]
    for a, b in combinations(binding, 2):
        if not _meet(a, b) or a.check is None or b.check is None:
            continue
        both = f"{a.id}, {b.id}"
        why = _contradiction(a, a.check, b, b.check)
        if why is not None and not a.unless and not b.unless:
            yield Remark(
                "fault", both, Say("no set can meet both rules: {why:say}", why=why),
                Say("read both texts again; say with `applies`, `unless` or `priority` which of them binds when"),
            )  # fmt: skip
        idle = next(((x, y) for x, y in ((a, b), (b, a)) if _never_binds(x, y)), None)
        if why is None and idle is not None:
            yield Remark(
                "doubt", both,
                Say("{idle:word} never binds: {other:word} asks as much or more wherever it applies",
                    idle=idle[0].id, other=idle[1].id),
                Say("one of them is not as the text has it, or not needed"),
            )  # fmt: skip


def _bounds(part: Limit) -> tuple[float, float]:
    limit = part.limit
    if limit is None:
        return float("-inf"), float("inf")
    return (limit, float("inf")) if part.op in (">", ">=") else (float("-inf"), limit)


def _same_measure(a: Limit, b: Limit) -> bool:
    return a.feature == b.feature and a.method == b.method


def _contradiction(a: Rule, first: Check, b: Rule, second: Check) -> Say | None:
    """Why no set can meet both checks, by the plain kinds that can be told without a set."""
    forbids = (a.kind == "forbid", b.kind == "forbid")
    one, two = first.limit, second.limit
    if one is not None and two is not None and _same_measure(one, two) and not any(forbids):
        (low_a, high_a), (low_b, high_b) = _bounds(one), _bounds(two)
        low, high = max(low_a, low_b), min(high_a, high_b)
        strict = low == high and (one.op in ("<", ">") or two.op in ("<", ">"))
        if low > high or strict:
            return Say("nothing for the {label:word} is left between them", label=feature(one.feature).label)
    if first.boolean is not None and second.boolean is not None and first.boolean.feature == second.boolean.feature:
        wanted = [
            part.be is not forbid for part, forbid in zip((first.boolean, second.boolean), forbids, strict=True)
        ]
        if wanted[0] is not wanted[1]:
            return Say("one wants {label:word}, the other not", label=feature(first.boolean.feature).label)
    words, others = first.one_of, second.one_of
    if (
        words is not None
        and others is not None
        and words.feature == others.feature
        and not any(forbids)
        and not set(words.words) & set(others.words)
    ):
        return Say("no {label:word} is named in both", label=feature(words.feature).label)
    return _no_hour(first, second) if not any(forbids) else None


def _no_hour(first: Check, second: Check) -> Say | None:
    one, two = first.clock_window, second.clock_window
    if one is None or two is None or one.activity != two.activity:
        return None
    minutes = [time(m // 60, m % 60) for m in range(0, 1440, 5)]
    open_ = [(_open_at(first, moment), _open_at(second, moment)) for moment in minutes]
    if any(x is None or y is None for x, y in open_) or any(x and y for x, y in open_):
        return None
    return Say("no hour of the day is open in both")


def _open_at(check: Check, moment: time) -> bool | None:
    part = check.clock_window
    window = None if part is None else part.open or part.closed
    if part is None or window is None or window.start.clock is None or window.end.clock is None:
        return None
    start, end = window.start.clock, window.end.clock
    inside = start <= moment <= end if start <= end else moment >= start or moment <= end
    return inside is (part.open is not None)


def _never_binds(a: Rule, b: Rule) -> bool:
    """Whether rule `b`, wherever `a` binds, asks as much or more than `a` of the same figure."""
    if b.unless or a.kind == "forbid" or b.kind == "forbid" or not _wider(b, a) or a.check is None or b.check is None:
        return False
    if a.check.model_dump() == b.check.model_dump():
        return True
    one, two = a.check.limit, b.check.limit
    if one is None or two is None or not _same_measure(one, two) or one.op[0] != two.op[0]:
        return False
    if one.limit is None or two.limit is None:
        return False
    return two.limit <= one.limit if one.op[0] == "<" else two.limit >= one.limit


def _names(pack: Pack) -> Iterator[Remark]:
    """Names that lead nowhere: zones that are not drawn, species without a season, ways of measuring left open."""
    for rule in pack.rules:
        for zone in rule.applies.zone or ():
            if zone not in pack.zones:
                yield Remark(
                    "note", rule.id, Say("the zone {zone:word} is not drawn in the pack", zone=zone),
                    Say("draw it under `zones`; until then each site must say in which zone it lies"),
                )  # fmt: skip
        for check in checks_within(rule.check):
            lost = pack.definitions.exposed_bait is None
            if lost and check.bait is not None and check.bait.visible_from == "defined":
                yield Remark(
                        "fault", rule.id, Say("it goes by a definition of exposed bait that the pack lacks"),
                        Say("write `definitions: exposed_bait`"),
                    )  # fmt: skip
            if check.limit is not None:
                yield from _limit(rule.id, check.limit, pack)
            if check.interval is not None and check.interval.every == "unknown":
                yield Remark(
                    "doubt", rule.id, Say("the check interval is unknown"), Say("ask the authority for the interval")
                )
    for kind in sorted({key for row in pack.seasons if row.device for key in row.device} - {"foothold"}):
        yield Remark(
            "note", "seasons", Say("rows for {kind:word} never touch a foothold", kind=kind), Say("no need to")
        )


def _limit(place: str, part: Limit, pack: Pack) -> Iterator[Remark]:
    label = "trap number" if part.feature == "nominal_size" else feature(part.feature).label
    if part.value == "unknown":
        yield Remark(
            "doubt", place, Say("the limit on the {label:word} is unknown", label=label),
            Say("ask the authority which limit binds"),
        )  # fmt: skip
    if part.feature == "jaw_spread" and part.method is None and pack.definitions.jaw_spread_method is None:
        yield Remark(
            "doubt", place, Say("it is not said how the jaw spread is measured"),
            Say("ask how it is measured, and write `method` or `definitions: jaw_spread_method`"),
        )  # fmt: skip
    if part.feature == "nominal_size" and not pack.definitions.nominal_size_map:
        yield Remark(
            "doubt", place, Say("it goes by trap numbers, and the pack has no list of them"),
            Say("ask for the authority's list and write `definitions: nominal_size_map`"),
        )  # fmt: skip


def _gaps(pack: Pack) -> Iterator[Remark]:
    for covered in coverage(pack):
        if covered.needed and covered.state == "unknown":
            yield Remark(
                "doubt", f"topics.{covered.topic}", Say("what the rules say on this is unknown"),
                Say("read on, or ask; then write `stated` with rules, or `none` with the citation"),
            )  # fmt: skip
    for rule in pack.rules:
        outranked = any(
            other.topic == rule.topic and other.priority < rule.priority and _same_species(other, rule)
            for other in pack.rules
        )
        if rule.kind == "permit" and not outranked:
            yield Remark(
                "note", rule.id, Say("it permits what no rule of its topic with a lower priority forbids"),
                Say("write the rule that it is an exception from, or a higher priority"),
            )  # fmt: skip
        if rule.confidence in ("memory", "assumed", "secondary") and not pack.invented:
            yield Remark(
                "doubt", rule.id, Say("its text was not read ({how:word})", how=rule.confidence),
                Say("read the text itself, and write `confidence: seen` with the day"),
            )  # fmt: skip


def _same_species(a: Rule, b: Rule) -> bool:
    return _same_field(a.applies.species, b.applies.species)


def _dates(pack: Pack) -> Iterator[Remark]:
    start, end = pack.effective.start, pack.effective.end
    spans = [(rule.id, rule.effective.start, rule.effective.end) for rule in pack.rules]
    spans += [(f"lists.{name}", found.effective.start, found.effective.end) for name, found in pack.lists.items()]
    spans += [(f"season of {row.species}", row.opens, row.close) for row in pack.seasons]
    for place, begins, ends in spans:
        if (end is not None and begins is not None and begins > end) or (
            start is not None and ends is not None and ends < start
        ):
            yield Remark(
                "fault", place, Say("its days lie outside those of the pack"), Say("one of the years is wrong")
            )
    for a, b in combinations(pack.seasons, 2):
        if a.species == b.species and a.closed is not b.closed and a.zone == b.zone and a.when is None is b.when:
            yield Remark(
                "fault", f"season of {a.species}", Say("it is open in one row and closed in another"),
                Say("say with `zone`, `device` or `when` which row is for whom"),
            )  # fmt: skip
