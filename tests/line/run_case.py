"""Small lines for the tests of the check run, with everything stated."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from setwright.law.clock import parse_interval
from setwright.line.dayorder import DayTask
from setwright.line.lawbook import Every
from setwright.line.roll import RollTask, RunSite
from setwright.line.rundays import RunDay

ZONE = ZoneInfo("America/New_York")
INF = float("inf")


def day_task(seconds, service, *, early=None, late=None, start=0.0, end=INF, prize=None):
    """One day's problem from plain numbers."""
    size = len(service)
    return DayTask(
        np.asarray(seconds, dtype=float), np.asarray(service, dtype=float),
        np.full(size, -INF) if early is None else np.asarray(early, dtype=float),
        np.full(size, INF) if late is None else np.asarray(late, dtype=float),
        start, end, np.full(size, INF) if prize is None else np.asarray(prize, dtype=float),
    )  # fmt: skip


def scattered(count, seed, reach=3000.0):
    """Times between random places, made a little different there and back, as against a current."""
    rng = np.random.default_rng(seed)
    points = rng.random((count + 1, 2)) * reach
    times = np.linalg.norm(points[:, None] - points[None], axis=2)
    return np.ceil(times * rng.uniform(1.0, 1.3, times.shape)) * (1 - np.eye(count + 1))


def local(day, hour, minute=0):
    """Moment by the clock on the wall [s]."""
    return datetime(day.year, day.month, day.day, hour, minute, tzinfo=ZONE).astimezone(UTC).timestamp()


def days_of(first, count, *, leave=(7, 0), back=(17, 0), earliest=(5, 0), nobody=()):
    """Days that are alike by the clock on the wall."""
    found = []
    for number in range(count):
        day = first + timedelta(days=number)
        who = None if day in nobody else ""
        found.append(RunDay(day, who, local(day, *earliest), local(day, *leave), local(day, *back), None, ""))
    return found


def site(name, *every, seen, service=600.0, spread=0.0):
    """A set with its intervals."""
    intervals = tuple(Every(parse_interval(one), "a test") for one in every)
    return RunSite(name, intervals, (), seen, service, spread)


def roll_task(sites, days, seconds, **more):
    """A rolling plan without rules on hours."""
    return RollTask(
        sites, days, np.asarray(seconds, dtype=float), ZONE, lambda day, _: (day.earliest, day.end), **more
    )


def as_text(task, rolled):
    """The plan as the checker reads it, made here from the plain numbers."""

    def iso(seconds):
        return datetime.fromtimestamp(seconds, ZONE).isoformat()

    keys = ["base", *(one.key for one in task.sites)]
    ways = {a: {b: float(task.seconds[i, j]) for j, b in enumerate(keys)} for i, a in enumerate(keys)}
    days = [
        {
            "date": one.day.day.isoformat(), "who": one.day.who, "earliest": iso(one.day.earliest),
            "start": iso(one.start), "back": iso(one.back), "end": iso(one.day.end),
            "stops": [
                {"site": task.sites[s.site].key, "begin": iso(s.begin), "leave": iso(s.leave)} for s in one.stops
            ],
        }
        for one in rolled.days
    ]  # fmt: skip
    sets = [
        {
            "site": one.key, "seen": iso(one.seen), "service": one.service, "hours": [],
            "intervals": [{"every": str(e.every), "citation": e.citation, "day_start": None} for e in one.intervals],
        }
        for one in task.sites
    ]  # fmt: skip
    until = max(max(one.back, one.start) for one in rolled.days)
    return {"zone": "America/New_York", "place": None, "sets": sets, "ways": ways, "days": days, "until": iso(until)}


FIRST = date(2026, 12, 8)
