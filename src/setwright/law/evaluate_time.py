"""Answers of the checks that go by the clock: intervals, hours of the day, deadlines."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

from setwright.basis.say import Say
from setwright.basis.verdict import Answer, all_of
from setwright.law.clock import Interval, certain_hours, next_limit, parse_interval
from setwright.law.condition import ClockWindow, Deadline, IntervalCheck, SunTime, Window
from setwright.law.facts import Facts, feature
from setwright.law.outcome import Outcome, asked, told


def interval(part: IntervalCheck, facts: Facts) -> Outcome:
    """Planned visit against a check interval."""
    every = part.interval
    if part.every == "unknown":
        return told(
            Answer.CANNOT_TELL,
            Say("the pack does not know the check interval"),
            question=Say("which check interval binds, in calendar days or in clock hours?"),
        )
    found = _kept(every, facts) if every is not None else told(Answer.MEETS, Say("no check interval is set"))
    if part.visit_window is None or found.answer is Answer.BREAKS:
        return found
    window = _inside("next_visit", part.visit_window, facts, wanted=True)
    return found if all_of((found.answer, window.answer)) is found.answer else window


def _kept(every: Interval, facts: Facts) -> Outcome:
    seen = facts["last_visit"].moment or facts["made"].moment
    planned = facts["next_visit"].moment
    cure = Say("plan the next visit sooner: {every:word}", every=every.words)
    if seen is not None and planned is not None:
        made = facts["made"].moment or seen
        last = next_limit(made, seen, every)
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


def deadline(part: Deadline, facts: Facts, on: date) -> Outcome:
    """Duty after an event: nothing to do before it, then the act within its time.

    An event that the facts do not name has not happened: facts of this kind come from the user's own log.
    """
    name = f"event:{part.event}"
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
