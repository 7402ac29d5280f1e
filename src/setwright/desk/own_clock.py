"""How large a line somebody's own hours bear: the most sets, the days of setting out, the latest lawful starts."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from setwright.basis.errors import BadInput
from setwright.basis.source import Kind, Quantity, Source
from setwright.desk import own_clock_document as doc
from setwright.desk.plan import job_of
from setwright.desk.run import JOB_DRAWS, bears, clock_at
from setwright.desk.wording import show
from setwright.line.book import LineBook, read_book
from setwright.line.dayorder import SEED
from setwright.line.lawful_run import around, latest_starts, set_out
from setwright.line.roll import PlannedDay
from setwright.line.runplan import RunPlan, run_plan
from setwright.line.ways_book import WEEKDAYS, Hours
from setwright.sets.model import SiteFacts

DAYS = 7
MOST_SETS = 60
FIELDS = ("start", "back", "earliest", "work_from", "work_to", "work_days", "look", "making", "light")
LEAST_MINUTES, MOST_MINUTES = 0.5, 240.0
SAID = Source(Kind.MEASURED, "as typed", "stated")
NOTES = (
    "A set that must be seen each day counts on every day of the week: a line that only the week-end bears is too "
    "long.",
    "Minutes at a set grow with a catch and a remake by their chances; a reserve keeps 95 of 100 days in time.",
    "What nobody typed is as the book has it. Nothing here is written into the book.",
    "The law comes first: what the packs say is what somebody read.",
)


@dataclass(frozen=True)
class Clock:
    """Hours of one's own; None is as the book has it.

    Parameters
    ----------
    start, back, earliest : time or None
        Leaves as a rule, is back, can leave when a limit asks for it.
    work : Hours or None
        Hours that are not free.
    look, making : float or None
        At a set: the plain look, and setting it [s].
    light : bool or None
        Sets are seen by daylight only.

    """

    start: dt.time | None = None
    back: dt.time | None = None
    earliest: dt.time | None = None
    work: Hours | None = None
    look: float | None = None
    making: float | None = None
    light: bool | None = None


def clock_of(words: Mapping[str, str]) -> Clock:
    """Hours from words, such as `start: 05:30`, `work_days: mon, tue`, `look: 6`.

    Raises
    ------
    BadInput
        For a field that is not known, an hour that is none, or minutes that no set takes.
    """
    for name in words:
        if name not in FIELDS:
            raise BadInput("no such hour", field="address", found=name[:60], allowed=", ".join(FIELDS))
    typed = {name: text.strip() for name, text in words.items() if text.strip()}
    work = None
    if {"work_from", "work_to", "work_days"} & typed.keys():
        begin, end = _hour(typed, "work_from", needed=True), _hour(typed, "work_to", needed=True)
        assert begin is not None and end is not None
        if end <= begin:
            raise BadInput(
                "work ends after it begins, on the same day", field="work_to", found=typed["work_to"],
                allowed=f"after {begin:%H:%M}",
            )  # fmt: skip
        work = Hours.model_validate({"days": _days(typed.get("work_days", "")), "from": begin, "to": end})
    if typed.get("light", "no") not in ("yes", "no"):
        raise BadInput("not understood", field="light", found=typed["light"][:40], allowed="yes, no")
    return Clock(
        _hour(typed, "start"), _hour(typed, "back"), _hour(typed, "earliest"), work, _minutes(typed, "look"),
        _minutes(typed, "making"), None if "light" not in typed else typed["light"] == "yes",
    )  # fmt: skip


def _hour(typed: Mapping[str, str], name: str, *, needed: bool = False) -> dt.time | None:
    text = typed.get(name)
    if text is None:
        if needed:
            raise BadInput("work needs both its hours", field=name, allowed="an hour such as 08:00")
        return None
    try:
        found = dt.time.fromisoformat(text)
    except ValueError:
        found = None
    if found is None or found.tzinfo is not None:
        raise BadInput("not an hour", field=name, found=text[:40], allowed="an hour such as 05:30")
    return found


def _days(text: str) -> list[str]:
    if not text:
        return list(WEEKDAYS[:5])
    found = [part.strip().lower()[:3] for part in text.split(",") if part.strip()]
    if not found or any(one not in WEEKDAYS for one in found):
        raise BadInput("not days of the week", field="work_days", found=text[:60], allowed=", ".join(WEEKDAYS))
    return [day for day in WEEKDAYS if day in found]


def _minutes(typed: Mapping[str, str], name: str) -> float | None:
    text = typed.get(name)
    if text is None:
        return None
    try:
        found = float(text)
    except ValueError:
        found = float("nan")
    if not LEAST_MINUTES <= found <= MOST_MINUTES:
        raise BadInput(
            "no number of minutes at a set", field=name, found=text[:40],
            allowed=f"{LEAST_MINUTES:g} to {MOST_MINUTES:g}",
        )  # fmt: skip
    return 60.0 * found


def with_clock(book: LineBook, clock: Clock) -> LineBook:
    """The same book with somebody's own hours in it."""
    line = {name: value for name, value in (("start", clock.start), ("be_back", clock.back)) if value is not None}
    ways: dict[str, object] = {}
    if clock.earliest is not None:
        ways["earliest"] = clock.earliest
    if clock.work is not None:
        ways["work"] = [clock.work]
    if clock.light is not None:
        ways["by_daylight"] = clock.light
    if clock.making is not None:
        ways["minutes"] = book.ways.minutes.model_copy(update={"set": Quantity(clock.making, "s", SAID)})
    sites = book.sites
    if clock.look is not None:
        minutes = Quantity(clock.look / 60.0, "one", SAID)
        sites = [site.model_copy(update={"check_minutes": minutes}) for site in sites]
    return book.model_copy(
        update={"line": book.line.model_copy(update=line), "ways": book.ways.model_copy(update=ways), "sites": sites}
    )


def own_clock(
    path: Path,
    words: Mapping[str, str],
    *,
    days: int = DAYS,
    seed: int = SEED,
    iterations: int | None = None,
    progress: Callable[[str], None] | None = None,
) -> doc.OwnClock:
    """What a line book's line is by somebody's own hours.

    Parameters
    ----------
    path : Path
        Line book.
    words : mapping of str to str
        Hours, by the names of `FIELDS`.
    days : int
        How many days from the day after setting.
    seed, iterations : int
        Of the search for the order.
    progress : callable, optional
        Called with each day.

    Raises
    ------
    BadInput
        When the book cannot be used, or the hours are none.
    """
    book, raw = read_book(path)
    job = job_of(with_clock(book, clock_of(words)), raw, path, draws=JOB_DRAWS)
    plan = run_plan(
        job, job.book.line.date + dt.timedelta(days=1), days, seed=seed, iterations=iterations, progress=progress
    )
    found = bears(plan)
    staged, left_over = _set_out(plan)
    told = [_day(plan, one) for one in plan.rolled.days]
    names = {site.key: _name(site) for site in plan.sites}
    look, leg, alike = _alike(plan)
    return doc.OwnClock(
        schema=doc.SCHEMA, asked={name: text.strip() for name, text in words.items() if text.strip()},
        say=_say(plan, found.most, found.sets, told), sets=len(plan.sites), daily=found.sets, most=found.most,
        pull=[names[key] for key in found.pull], alike=alike, days=told, set_out=staged, left_over=left_over,
        look=look / 60.0, leg=leg / 60.0, notes=list(NOTES),
    )  # fmt: skip


def _name(site: SiteFacts) -> str:
    return f"{site.number} {site.name}"


def _day(plan: RunPlan, one: PlannedDay) -> doc.ClockDay:
    day = one.day
    bound = min((late.start for late in latest_starts(plan.task, one)), default=float("inf"))
    free = day.end - day.earliest
    return doc.ClockDay(
        date=day.day.isoformat(), out=f"{clock_at(plan, day.earliest)[-5:]} to {clock_at(plan, day.end)[-5:]}",
        window=free / 3600.0, leave=clock_at(plan, one.start) if one.stops else None,
        latest=None if np.isinf(bound) else clock_at(plan, bound),
        back=clock_at(plan, one.back) if one.stops else None, sets=len(one.stops),
        missed=[_name(plan.sites[stop]) for stop in one.missed],
        why="" if day.who is not None else day.why or "nobody goes",
    )  # fmt: skip


def _set_out(plan: RunPlan) -> tuple[list[doc.SetOut], list[str]]:
    """Day by day: which sets to make, in the order of the run; and those for which no day is left."""
    order = [stop.site for one in plan.rolled.days[:1] for stop in one.stops]
    order = [*order, *(stop for stop in range(len(plan.sites)) if stop not in order)][:MOST_SETS]
    found = set_out(plan.task, order, plan.setting)
    made = {stop for one in found for stop in one.made}
    staged = [
        doc.SetOut(
            date=one.day.day.isoformat(), made=[_name(plan.sites[stop]) for stop in one.made], standing=one.standing
        )
        for one in found
    ]
    return staged, [_name(plan.sites[stop]) for stop in order if stop not in made]


def _alike(plan: RunPlan) -> tuple[float, float, int | None]:
    """Mean time at a set and from one to the next [s], and the sets of a loop of such that the shortest day bears."""
    looks = [plan.times[site.key].mean for site in plan.sites]
    legs = []
    for one in plan.rolled.days:
        here = 0
        for stop in one.stops:
            legs.append(float(plan.task.seconds[here, stop.site + 1]))
            here = stop.site + 1
        if one.stops:
            legs.append(float(plan.task.seconds[here, 0]))
    out = [one.day.end - one.day.usual for one in plan.rolled.days if one.day.who is not None]
    if not looks or not legs or not out:
        return float(np.mean(looks or [0.0])), 0.0, None
    look, leg = float(np.mean(looks)), float(np.mean(legs))
    return look, leg, around(min(out), leg, look)


def _say(plan: RunPlan, most: int, daily: int, days: list[doc.ClockDay]) -> str:
    idle = [day for day in days if day.why]
    missed = [day for day in days if day.missed]
    if idle and daily:
        words = (
            f"On {len(idle)} of {len(days)} days these hours leave no time, and {daily} sets must be seen each day."
        )
        return f"{words} Somebody has to stand in, or the line rests."
    if most < daily:
        return f"These hours bear {most} of the {daily} sets that must be seen each day: pull {daily - most}."
    if missed:
        return f"On {len(missed)} of {len(days)} days a set comes too late: see which, day by day."
    shortest = min(days, key=lambda day: day.window)
    return (
        f"These hours bear the line: all {len(plan.sites)} sets in time on each of {len(days)} days; "
        f"the shortest has {show(3600.0 * shortest.window, 'time')}."
    )
