"""Answers of the checks that go by the clock: intervals, hours of the day, deadlines."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta

from setwright.basis.say import Say
from setwright.basis.verdict import Answer, all_of
from setwright.law.clock import Interval, certain_hours, next_limit, parse_interval
from setwright.law.condition import AgentTerms, ClockWindow, Deadline, IntervalCheck, SunTime, Window
from setwright.law.facts import Fact, Facts, feature
from setwright.law.outcome import Case, Outcome, asked, told
from setwright.law.pack import same_species

# The one event that a pack knows by itself: the season of the target has ended.
SEASON_CLOSES = "season-closes"


def interval(part: IntervalCheck, case: Case) -> Outcome:
    """Planned visit against a check interval, its hours of the day and who may make it."""
    every, facts = part.interval, case.facts
    if part.every == "unknown":
        return told(
            Answer.CANNOT_TELL,
            Say("the pack does not know the check interval"),
            question=Say("which check interval binds, in calendar days or in clock hours?"),
            open_text=True,
        )
    day_start = case.pack.definitions.day_start
    found = [_kept(every, facts, day_start) if every is not None else told(Answer.MEETS, Say("no interval is set"))]
    if part.visit_window is not None:
        found.append(_inside("next_visit", part.visit_window, facts, wanted=True))
    if part.agent is not None:
        found.append(_agent(part.agent, facts))
    answer = all_of(item.answer for item in found)
    return next(item for item in found if item.answer is answer)


def _agent(part: AgentTerms, facts: Facts) -> Outcome:
    """Whether somebody else's visits keep to the terms; his own visits always do."""
    if facts["agent_checks"].truth is False:
        return told(Answer.MEETS, Say("the trapper himself makes every visit"))
    permission = facts["agent_permission"].truth
    low, high = facts["agent_checks_in_a_row"].span
    if part.written and permission is False:
        return told(
            Answer.BREAKS,
            Say("somebody else visits without the written permission that is needed"),
            Say("write the permission before somebody else visits"),
        )
    if low > part.in_a_row:
        return told(
            Answer.BREAKS,
            Say("somebody else makes {low:count} visits in a row; {most:count} may be", low=low, most=part.in_a_row),
            Say("visit yourself at least after {most:count} visits of somebody else", most=part.in_a_row),
        )
    for open_, name in (
        (facts["agent_checks"].truth is None, "agent_checks"),
        (part.written and permission is None, "agent_permission"),
        (high > part.in_a_row, "agent_checks_in_a_row"),
    ):
        if open_:
            return asked(feature(name))
    return told(Answer.MEETS, Say("somebody else makes at most {most:count} visits in a row", most=part.in_a_row))


def _kept(every: Interval, facts: Facts, day_start: time | None) -> Outcome:
    seen = facts["last_visit"].moment or facts["made"].moment
    planned = facts["next_visit"].moment
    cure = Say("plan the next visit sooner: {every:word}", every=every.words)
    if seen is not None and planned is not None:
        made = facts["made"].moment or seen
        last = next_limit(made, seen, every, day_start=day_start)
        late = planned.astimezone(UTC) - last.astimezone(UTC)
        broken = late > timedelta(0) or (every.days is not None and late == timedelta(0))
        return told(
            Answer.BREAKS if broken else Answer.MEETS,
            Say(
                "visit planned {visit:clock}, last lawful moment {last:clock} ({every:word})",
                visit=planned, last=last, every=every.words,
            ),
            Say("see this set before {last:clock}", last=last),
        )  # fmt: skip
    low, high = facts["check_interval"].span
    if high == float("inf"):
        return asked(feature("check_interval"))
    surely_kept, surely_broken = (3600.0 * hours for hours in certain_hours(every))
    if high <= surely_kept:
        answer = Answer.MEETS
    elif low > surely_broken:
        answer = Answer.BREAKS
    else:
        answer = Answer.CANNOT_TELL
    return told(
        answer,
        Say("visits {time:time} apart against {every:word}", time=high, every=every.words),
        cure,
        Say(
            "at which day and hour was the set last seen, and when is the next visit ({every:word})?",
            every=every.words,
        ),
    )


def _hour(part: SunTime, facts: Facts, near: datetime) -> tuple[time, datetime] | str:
    """Moment of an hour on the day of `near`, or the name of the fact that is missing."""
    if part.clock is not None:
        return part.clock, datetime.combine(near.date(), part.clock, near.tzinfo)
    name = part.sun or "sunrise"
    moment = facts[name].moment
    if moment is None:
        return name
    local = moment.astimezone(near.tzinfo) + timedelta(hours=part.offset_hours)
    return local.time(), datetime.combine(near.date(), local.time(), near.tzinfo)


def _inside(name: str, window: Window, facts: Facts, *, wanted: bool) -> Outcome:
    """Whether a moment lies inside (`wanted`) or outside a span of the day."""
    moment = facts[name].moment
    if moment is None:
        return asked(feature(name))
    ends = []
    for part in (window.start, window.end):
        found = _hour(part, facts, moment)
        if isinstance(found, str):
            return asked(feature(found))
        ends.append(found[1])
    start, end = ends
    at = datetime.combine(moment.date(), moment.time(), moment.tzinfo)
    inside = start <= at <= end if start <= end else at >= start or at <= end
    words = "between" if wanted else "not between"
    return told(
        Answer.MEETS if inside is wanted else Answer.BREAKS,
        Say(
            f"{words} {{start:word}} and {{end:word}}; planned {{moment:clock}}",
            start=f"{start:%H:%M}", end=f"{end:%H:%M}", moment=moment,
        ),
        Say(f"plan it {words} {{start:word}} and {{end:word}}", start=f"{start:%H:%M}", end=f"{end:%H:%M}"),
    )  # fmt: skip


_ACTIVITIES = {"set": ("made",), "visit": ("next_visit",), "tend": ("made", "next_visit"), "pull": ("pull",)}


def clock_window(part: ClockWindow, facts: Facts) -> Outcome:
    """Planned hours against open or closed hours of the day."""
    found = [
        _inside(name, window, facts, wanted=wanted)
        for window, wanted in ((part.open, True), (part.closed, False))
        if window is not None
        for name in _ACTIVITIES[part.activity]
    ]
    answer = all_of(item.answer for item in found)
    return next(item for item in found if item.answer is answer)


def on_hour(name: str, hour: SunTime, facts: Facts, *, not_before: bool) -> Outcome:
    """Whether a moment comes not before (or not after) an hour of its day."""
    moment = facts[name].moment
    if moment is None:
        return asked(feature(name))
    found = _hour(hour, facts, moment)
    if isinstance(found, str):
        return asked(feature(found))
    at = datetime.combine(moment.date(), moment.time(), moment.tzinfo)
    good = at >= found[1] if not_before else at <= found[1]
    words = "not before" if not_before else "not after"
    return told(
        Answer.MEETS if good else Answer.BREAKS,
        Say(f"{words} {{hour:word}} on this day; planned {{moment:clock}}", hour=f"{found[0]:%H:%M}", moment=moment),
        Say(f"plan it {words} {{hour:word}}", hour=f"{found[0]:%H:%M}"),
    )


def _season_end(case: Case) -> datetime | None:
    """Midnight that ends the last open day of the target's season, the latest before the day that is asked about."""
    species = case.species or case.facts["target"].word or ""
    closes = [
        row.close
        for row in case.pack.seasons
        if row.close is not None and row.close < case.on and same_species(row.species, species, case.pack)
    ]
    if not closes:
        return None
    near = case.facts["next_visit"].moment or case.facts["made"].moment
    return datetime.combine(max(closes) + timedelta(days=1), time(0), UTC if near is None else near.tzinfo)


def deadline(part: Deadline, case: Case) -> Outcome:
    """Duty after an event: nothing to do before it, then the act within its time.

    An event that the facts do not name has not happened: facts of this kind come from the user's own log. The event
    `season-closes` is read from the seasons of the pack.
    """
    facts, on = case.facts, case.on
    name = f"event:{part.event}"
    if part.event == SEASON_CLOSES and name not in facts:
        ended = _season_end(case)
        facts = facts.with_facts(**{name: Fact(False if ended is None else ended)})
    event, done = facts[name], facts[f"act:{part.event}"].moment
    every = parse_interval(part.within)
    within = f"{every.hours:g} hours" if every.days is None else f"{every.days} days"
    duty = Say(
        "after {event:word}: {act:word} within {within:word}",
        event=part.event.replace("-", " "), act=part.act, within=within,
    )  # fmt: skip
    if name not in facts or event.value is False:
        return told(Answer.MEETS, Say("nothing is due yet; {duty:say}", duty=duty))
    if event.moment is None:
        return asked(feature(name))
    last = next_limit(event.moment, event.moment, every)
    cure = Say("{duty:say}, by {last:clock}", duty=duty, last=last)
    if done is not None:
        late = done.astimezone(UTC) > last.astimezone(UTC)
        return told(
            Answer.BREAKS if late else Answer.MEETS, Say("{duty:say}; done {done:clock}", duty=duty, done=done)
        )
    passed = datetime.combine(on, time(0), last.tzinfo) >= last
    if passed:
        return told(Answer.BREAKS, Say("{duty:say}; it was due {last:clock}", duty=duty, last=last), cure)
    return told(
        Answer.CANNOT_TELL,
        Say("{duty:say}; due {last:clock} and not noted as done", duty=duty, last=last),
        cure,
        Say("was this done: {act:word}?", act=part.act),
    )
