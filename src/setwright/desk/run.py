"""The check run of a line over some days, as a document that its own independent checker has read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

import setwright
from setwright.basis.errors import BadInput
from setwright.desk import document as plan_doc
from setwright.desk import run_document as doc
from setwright.desk.cautions import release_steps
from setwright.desk.plan import read_job
from setwright.desk.wording import clock, hours
from setwright.line.background import Shape as GroundShape
from setwright.line.background import background
from setwright.line.checker import check_plan
from setwright.line.dayorder import SEED
from setwright.line.lawbook import Every, HoursOfDay
from setwright.line.lawful_run import largest, late_chances, latest_starts, set_out, smallest_conflict, turned_round
from setwright.line.roll import PlannedDay, RunStop
from setwright.line.runplan import DRAWS, RunPlan, run_plan
from setwright.sets.model import SiteFacts

JOB_DRAWS = 60
# Chances above this are said aloud.
OFTEN = 0.05
TOGETHER = {
    "": "",
    "exact": " All days planned together, exactly: no order of any day makes the plan shorter.",
    "found": " All days planned together; a shorter plan is not ruled out.",
    "none": " All days tried together: no plan keeps every set, so the days are planned one by one.",
}
LETTING_GO = "catch pole first; then press both levers down, with boards or setters"
NOTES = (
    "Minutes at a set: the plain look as the book has it, a catch and a remake by their chances; a reserve keeps 95 "
    "of 100 days in time.",
    "Where no leg is known, a straight line 1.3 times as long stands in, marked as assumed.",
    "The law comes first: what the packs say is what somebody read. Nothing here is legal advice.",
)
CAUTIONS = (
    (
        "Cold water",
        "Wear the vest over waders, wade with a rod, and never alone. Cold water takes the use of the hands.",
    ),
    ("Ice", "No ice is called safe here, whatever its thickness; a run that leads over it is not planned."),
    ("You", "Somebody at home has the hand-over sheet, knows the order, and when to call for help."),
    ("Haste", "A limit that runs out is no reason to run: call whoever may stand in, or the warden, in time."),
)


def run(
    book: Path,
    day: str,
    *,
    days: int = 1,
    seed: int = SEED,
    iterations: int | None = None,
    progress: Callable[[str], None] | None = None,
) -> doc.RunDocument:
    """Plan the check run of a book.

    Parameters
    ----------
    book : Path
        Line book.
    day : str
        First day shown: a date, or its number counted from the day after the sets are made.
    days : int
        Number of days shown.
    seed, iterations : int
        Of the search for the order.
    progress : callable, optional
        Called with each day.

    Raises
    ------
    BadInput
        When the book cannot be used, or the day cannot be planned.

    """
    job = read_job(book, draws=JOB_DRAWS)
    first = _day(day, job.book.line.date)
    plan = run_plan(job, first, days, seed=seed, iterations=iterations, progress=progress)
    return document(plan, background(job.book.ways, book.resolve().parent))


def _day(text: str, made: date) -> date:
    if text.isdigit() and len(text) < 4:
        return made + timedelta(days=int(text))
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise BadInput(
            "not a day", field="--day", found=text, allowed="a day such as 2026-12-21, or 1 for the first"
        ) from None


def document(plan: RunPlan, ground: Sequence[GroundShape] = ()) -> doc.RunDocument:
    """The plan as a document, with the checker's report."""
    shown = plan.rolled.days[plan.shown :]
    draws = [plan.times[site.key].draw(site.key, DRAWS, plan.task.seed) for site in plan.sites]
    days = [_day_of(plan, planned, draws) for planned in shown]
    last = plan.rolled.days[-1]
    turned, turned_say = _turned(plan, shown[0])
    borne = bears(plan)
    line = plan.job.book.line
    found = doc.RunDocument(
        schema=doc.SCHEMA,
        program=setwright.__version__,
        line=line.name,
        invented=line.invented,
        zone=line.timezone,
        place=plan.job.base,
        law="; ".join(pack.title for pack in plan.job.packs if not pack.profile) or "no law pack is named",
        base=plan.job.base,
        sets=[_set(plan, site, place) for place, site in enumerate(plan.sites)],
        ground=[doc.RunGround(kind=one.kind, closed=one.closed, positions=list(one.positions)) for one in ground],
        spots=dict(plan.ways.spots),
        ways={
            a: {b: float(plan.ways.seconds[i, j]) for j, b in enumerate(plan.ways.keys) if i != j}
            for i, a in enumerate(plan.ways.keys)
        },
        assumed_ways=int(plan.ways.assumed.sum()),
        days=days,
        until=_midnight(plan, last),
        parts=[[plan.sites[stop].number for stop in part] for part in plan.rolled.parts],
        bears=borne,
        turned=turned,
        turned_say=turned_say,
        conflict=_conflict(plan),
        checked=None,
        say="",
        warnings=_warnings(plan, shown),
        notes=list(NOTES),
        cautions=[plan_doc.Caution(head=head, text=text) for head, text in CAUTIONS],
    )
    checked = _checked(found, plan)
    return found.model_copy(update={"checked": checked, "say": _say(plan, shown, borne, checked)})


def _iso(plan: RunPlan, seconds: float) -> str:
    return datetime.fromtimestamp(round(seconds), plan.job.book.line.zone).isoformat(timespec="seconds")


def _midnight(plan: RunPlan, last: PlannedDay) -> str:
    """The end of the last day: by then every set must have been seen that is due on it."""
    after = last.day.day + timedelta(days=1)
    return datetime.combine(after, time(0), plan.job.book.line.zone).isoformat(timespec="seconds")


def clock_at(plan: RunPlan, seconds: float) -> str:
    """A moment on the clock of the line."""
    return clock(datetime.fromtimestamp(seconds, plan.job.book.line.zone))


def _set(plan: RunPlan, site: SiteFacts, place: int) -> doc.RunSet:
    duties, times, task = plan.duties[site.key], plan.times[site.key], plan.task.sites[place]
    rig = plan.job.stated.get(site.key)
    return doc.RunSet(
        site=site.key,
        number=site.number,
        name=site.name,
        latitude=site.latitude,
        longitude=site.longitude,
        access=site.access,
        holds_alive=plan.alive[site.key],
        seen=_iso(plan, task.seen),
        service=times.mean,
        spread=times.deviation,
        caught=times.caught,
        sprung=times.sprung,
        intervals=[_interval(one) for one in duties.intervals],
        hours=[_hours(one) for one in duties.hours],
        trap="" if rig is None else f"{rig.trap.trap_id}, {rig.trap.label}",
        anchor="" if rig is None or rig.anchor is None else rig.anchor.label,
        standing=plan.standing.get(site.key, ""),
        letting_go="press both levers down, boards or setters in hand; catch pole first"
        if plan.alive[site.key]
        else "",
    )


def _interval(one: Every) -> doc.RunInterval:
    start = None if one.day_start is None else one.day_start.isoformat(timespec="minutes")
    return doc.RunInterval(every=str(one.every), citation=one.citation, day_start=start)


def _hours(one: HoursOfDay) -> doc.RunHours:
    words = []
    for part in (one.window.start, one.window.end):
        if part.clock is not None:
            words.append(part.clock.isoformat(timespec="minutes"))
        else:
            words.append(f"{part.sun}{part.offset_hours:+g}h" if part.offset_hours else str(part.sun))
    return doc.RunHours.model_validate(
        {"open": one.open_, "from": words[0], "to": words[1], "citation": one.citation}
    )


def _day_of(plan: RunPlan, planned: PlannedDay, draws: list[np.ndarray]) -> doc.RunDayDoc:
    back_late, stop_late = late_chances(plan.task, planned, draws)
    latest = latest_starts(plan.task, planned)
    stops = []
    before = "base"
    for order, (stop, late) in enumerate(zip(planned.stops, latest, strict=True), start=1):
        stops.append(_stop(plan, order, before, stop, late.alone, stop_late[stop.site]))
        before = plan.sites[stop.site].key
    bound = min((one.start for one in latest), default=float("inf"))
    sun = planned.day.sun
    light = {
        name: None if sun is None or (moment := getattr(sun, name)) is None else moment.isoformat(timespec="minutes")
        for name in ("dawn", "sunrise", "sunset", "dusk")
    }
    missed = [plan.sites[stop].key for stop in planned.missed]
    return doc.RunDayDoc(
        date=planned.day.day.isoformat(),
        who=planned.day.who,
        earliest=_iso(plan, planned.day.earliest),
        start=_iso(plan, planned.start),
        back=_iso(plan, planned.back),
        end=_iso(plan, planned.day.end),
        light=light,
        stops=stops,
        home=_way(plan, before, "base") if stops else [],
        missed=missed,
        latest_start=None if np.isinf(bound) else _iso(plan, bound),
        late_chance=back_late,
        proved=planned.proved,
        say=_day_says(plan, planned, bound, back_late),
    )


def _stop(plan: RunPlan, order: int, before: str, stop: RunStop, latest: float, late: float) -> doc.RunStopDoc:
    site = plan.sites[stop.site]
    bounded = np.isfinite(stop.limit)
    why = "holds alive" if plan.alive[site.key] else "submersion"
    if stop.wait >= 60.0:
        why += f"; wait {stop.wait / 60:.0f} min, so that tomorrow's visit is in time too"
    return doc.RunStopDoc(
        order=order,
        site=site.key,
        number=site.number,
        name=site.name,
        begin=_iso(plan, stop.begin),
        leave=_iso(plan, stop.leave),
        limit=_iso(plan, stop.limit) if bounded else None,
        left=float(stop.limit - stop.begin) if bounded else None,
        wait=stop.wait,
        latest_start=None if np.isinf(latest) else _iso(plan, latest),
        late_chance=late,
        why=why,
        way=_way(plan, before, site.key),
    )


def _way(plan: RunPlan, start: str, end: str) -> list[doc.RunStep]:
    return [
        doc.RunStep.model_validate(
            {"from": one.start, "to": one.end, "mode": one.mode, "seconds": one.seconds, "assumed": one.assumed}
        )
        for one in plan.ways.steps[start, end]
    ]


def _day_says(plan: RunPlan, planned: PlannedDay, bound: float, late: float) -> str:
    names = ", ".join(f"{plan.sites[stop].number} {plan.sites[stop].name}" for stop in planned.missed)
    if planned.day.who is None:
        words = f"nobody goes ({planned.day.why})" if planned.day.why.startswith("work") else "nobody goes"
        return words + (f"; seen too late: {names}" if names else "")
    if not planned.stops and not names:
        return "no set has to be seen"
    who = f"{planned.day.who} goes: " if planned.day.who else ""
    words = (
        f"{who}leave {clock_at(plan, planned.start)}, {len(planned.stops)} sets, back {clock_at(plan, planned.back)}"
    )
    if names:
        words += f"; no order keeps these in time: {names}"
    elif np.isfinite(bound):
        words += f"; latest lawful start {clock_at(plan, bound)}"
    if planned.start < planned.day.usual - 1.0:
        words += f"; {hours((planned.day.usual - planned.start) / 3600.0)} sooner than usual, for clock hours bind"
    length = _day_length(planned, plan.job.book.line.zone)
    if length != 24:
        words += f"; the night before has {length:.0f} hours"
    if late > OFTEN:
        words += f"; late home on {100 * late:.0f} of 100 such days"
    return words


def _day_length(planned: PlannedDay, zone: ZoneInfo) -> float:
    """Hours from noon to noon, where the clocks may change between."""
    noon = [datetime.combine(planned.day.day - timedelta(days=back), time(12), zone).timestamp() for back in (1, 0)]
    return (noon[1] - noon[0]) / 3600.0


def _turned(plan: RunPlan, planned: PlannedDay) -> tuple[list[doc.RunTurned], str]:
    if len(planned.stops) < 2:
        return [], ""
    found = [
        doc.RunTurned(site=plan.sites[one.site].key, number=plan.sites[one.site].number, gap=one.gap, over=one.over)
        for one in turned_round(plan.task, planned, planned.start + 86400.0)
    ]
    if not found:
        return found, "The order may be turned round the day after: every interval is still kept."
    worst = max(found, key=lambda one: one.over)
    return found, (
        f"Do not turn the order round the day after: {len(found)} set{'' if len(found) == 1 else 's'} would come too "
        f"late, set {worst.number} by {hours(worst.over / 3600.0)} after {hours(worst.gap / 3600.0)}."
    )


def bears(plan: RunPlan) -> doc.RunBears:
    """The most sets that one day holds, and how a set-out is staged."""
    day = next((one for one in plan.days if one.who is not None), None)
    daily = [
        stop
        for stop, site in enumerate(plan.task.sites)
        if day is not None and site.limit(day.usual, plan.task.zone) < day.usual + 2 * 86400.0 - 3600.0
    ]
    if day is None or not daily:
        words = "No set has to be seen each day." if day is not None else "Nobody goes on any of these days."
        return doc.RunBears(sets=len(daily), most=len(daily), pull=[], set_out=[], say=words)
    some = replace(
        plan.task,
        sites=[plan.task.sites[stop] for stop in daily],
        seconds=plan.task.seconds[np.ix_([0, *(s + 1 for s in daily)], [0, *(s + 1 for s in daily)])],
    )
    kept = {daily[stop] for stop in largest(some, day)}
    pull = [plan.sites[stop] for stop in daily if stop not in kept]
    order = [stop.site for one in plan.rolled.days[:1] for stop in one.stops]
    order += [stop for stop in range(len(plan.sites)) if stop not in order]
    staged = set_out(replace(plan.task, days=plan.task.days[:7]), order, plan.setting) if len(order) <= 60 else []
    if pull:
        names = ", ".join(f"{site.number} {site.name}" for site in pull)
        words = (
            f"Too long a line: of {len(daily)} sets that must be seen each day, {len(kept)} can be seen between "
            f"{clock_at(plan, day.earliest)[-5:]} and {clock_at(plan, day.end)[-5:]}. Pull {len(pull)}: {names}."
        )
    else:
        words = f"One person can see all {len(daily)} sets that must be seen each day."
    return doc.RunBears(
        sets=len(daily), most=len(kept), pull=[site.key for site in pull], set_out=[one.standing for one in staged],
        say=words,
    )  # fmt: skip


def _conflict(plan: RunPlan) -> list[str]:
    """The smallest set of sites that cannot be kept together, on the first day that misses one."""
    bad = next((one for one in plan.rolled.days if one.missed and one.day.who is not None), None)
    if bad is None:
        return []
    seen = [site.seen for site in plan.task.sites]
    for one in plan.rolled.days:
        if one is bad:
            break
        for stop in one.stops:
            seen[stop.site] = stop.begin
    due = sorted({*bad.missed, *(stop.site for stop in bad.stops)})
    limits = [plan.task.sites[stop].limit(seen[stop], plan.task.zone) for stop in due]
    if len(due) > 40:
        return []
    return [plan.sites[stop].key for stop in smallest_conflict(plan.task, bad.day, due, limits)]


def _checked(found: doc.RunDocument, plan: RunPlan) -> doc.RunChecked:
    """Let the independent checker read the document, with all days from the first on."""
    whole = found.model_dump(by_alias=True)
    whole["days"] = [_bare(plan, planned) for planned in plan.rolled.days]
    report = check_plan(whole)
    faults = [doc.RunFault(kind=f.kind, site=f.site, day=f.day, text=f.text, by=f.by) for f in report.faults]
    words = f"The independent checker read {report.visits} visits, {report.gaps} gaps and {report.ways} ways: "
    words += "every one is kept." if not faults else f"{len(faults)} not kept."
    return doc.RunChecked(visits=report.visits, gaps=report.gaps, ways=report.ways, faults=faults, say=words)


def _bare(plan: RunPlan, planned: PlannedDay) -> dict[str, object]:
    return {
        "date": planned.day.day.isoformat(),
        "who": planned.day.who,
        "earliest": _iso(plan, planned.day.earliest),
        "start": _iso(plan, planned.start),
        "back": _iso(plan, planned.back),
        "end": _iso(plan, planned.day.end),
        "stops": [
            {"site": plan.sites[s.site].key, "begin": _iso(plan, s.begin), "leave": _iso(plan, s.leave)}
            for s in planned.stops
        ],
    }


def _warnings(plan: RunPlan, shown: tuple[PlannedDay, ...]) -> list[str]:
    found = []
    if plan.job.base is None:
        found.append("No positions are in the book: the ways are too short.")
    share = plan.ways.assumed.sum() / max(1, plan.ways.assumed.size - len(plan.ways.keys))
    if share > 0:
        found.append(f"{100 * share:.0f} of 100 ways are straight lines, assumed: write legs where the road winds.")
        modes = {step.mode for steps in plan.ways.steps.values() for step in steps if step.assumed}
        guessed = sorted(mode for mode in modes if getattr(plan.job.book.line.speeds, mode) is None)
        if guessed:
            found.append(f"The speed by {' and by '.join(guessed)} is not in the book: a usual one is assumed.")
    dark = [
        one.day.day
        for one in shown
        if one.stops and one.day.sun is not None and one.day.sun.sunset is not None
        and one.stops[-1].leave > one.day.sun.sunset.timestamp()
    ]  # fmt: skip
    if dark:
        found.append(f"The last set is seen after sunset on {len(dark)} day{'' if len(dark) == 1 else 's'}.")
    if not any(pack.pack.kind == "law" for pack in plan.job.packs):
        found.append("No law pack is named: sets that hold alive are planned daily, as is good practice.")
    return found


def _say(plan: RunPlan, shown: tuple[PlannedDay, ...], bears: doc.RunBears, checked: doc.RunChecked) -> str:
    missed = sum(len(one.missed) for one in shown)
    visits = sum(len(one.stops) for one in shown)
    words = f"{len(shown)} day{'' if len(shown) == 1 else 's'}, {len(plan.sites)} sets, {visits} visits"
    words += "; every set in time." if not missed else f"; {missed} visits come too late or not at all."
    if len(plan.rolled.parts) > 1:
        words += f" The line is split into {len(plan.rolled.parts)} parts that are seen in turn."
    words += TOGETHER[plan.rolled.together]
    if bears.pull:
        words += f" {bears.say}"
    return f"{words} {checked.say}"


def hand_over_steps() -> list[str]:
    """Letting a dog go, step by step, for whoever stands in."""
    return list(release_steps())
