"""What a line can bear: the largest lawful part of it, staged set-out, the latest start, the order turned round."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.line.dayorder import DayTask, best_order
from setwright.line.roll import PlannedDay, RollTask
from setwright.line.rundays import RunDay

# Leaving a set out costs more than any detour.
HEAVY = 1e6


def out_and_back(window: float, leg: float, service: float) -> int:
    """Most sets on a line that runs out and back, all seen each day: n ≤ W / (2 t + s).

    Parameters
    ----------
    window, leg, service : float
        Time of the day, from one set to the next, at a set; one unit for all three [s].

    """
    return math.floor(window / (2.0 * leg + service) + 1e-9)


def around(window: float, leg: float, service: float) -> int:
    """Most sets on a loop that ends where it began: (n + 1) t + n s ≤ W, arguments as in `out_and_back`."""
    return max(0, math.floor((window - leg) / (leg + service) + 1e-9))


def staged(window: float, leg: float, service: float, setting: float, days: int) -> list[int]:
    """Sets that stand after each day of a greedy set-out on a line out and back, older ones seen each day.

    Parameters
    ----------
    window, leg, service : float
        As in `out_and_back` [s].
    setting : float
        Time to make a set [s].
    days : int
        Days of setting out.

    """
    standing, found = 0, []
    for _ in range(days):
        left = window - standing * (2.0 * leg + service)
        standing += max(0, math.floor(left / (2.0 * leg + setting) + 1e-9))
        found.append(standing)
    return found


def largest(task: RollTask, day: RunDay) -> tuple[int, ...]:
    """The most sets that one day can hold when each of them is seen on it; exact for few, searched for many.

    Parameters
    ----------
    task : RollTask
        Sets and ways.
    day : RunDay
        A day like the others.

    """
    size = len(task.sites)
    stops = list(range(size))
    endless, free = [float("inf")] * size, [-float("inf")] * size
    whole = task.task(day, stops, day.earliest, endless, free, [HEAVY] * size)
    found = None if whole is None else best_order(whole, iterations=task.iterations, seed=task.seed)
    return () if found is None else tuple(sorted(found.order))


@dataclass(frozen=True)
class SetOutDay:
    """One day of setting out: sets made, in their order, and how many stand at its end."""

    day: RunDay
    made: tuple[int, ...]
    standing: int


def set_out(task: RollTask, order: Sequence[int], setting: Sequence[float]) -> list[SetOutDay]:
    """Stage the setting out: each day the older sets are seen and as many new ones made as still fit.

    Parameters
    ----------
    task : RollTask
        Sets, days and ways.
    order : sequence of int
        In which the sets are made.
    setting : sequence of float
        Time to make each set [s].

    Notes
    -----
    A set is made only when all that stand then can be seen within the next day as well.

    """
    standing: list[int] = []
    waiting = list(order)
    found = []
    for number, day in enumerate(task.days):
        later = next((other for other in task.days[number + 1 :] if other.who is not None), day)
        most = 0 if day.who is None else _how_many(task, (day, later), standing, waiting, setting)
        made, waiting = waiting[:most], waiting[most:]
        standing += made
        found.append(SetOutDay(day, tuple(made), len(standing)))
    return found


def _how_many(
    task: RollTask, days: tuple[RunDay, RunDay], standing: list[int], waiting: list[int], setting: Sequence[float]
) -> int:
    """Most new sets, in their order, that fit into a day and can be seen with the others on the next; by halving."""

    def fits(count: int) -> bool:
        made = waiting[:count]
        today = _fits(task, days[0], standing, made, setting)
        return today and _fits(task, days[1], [*standing, *made], [], setting)

    if not waiting or fits(len(waiting)):
        return len(waiting)
    low, high = 0, len(waiting)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low


def _fits(task: RollTask, day: RunDay, seen: Sequence[int], made: Sequence[int], setting: Sequence[float]) -> bool:
    stops = sorted([*seen, *made])
    size = len(stops)
    endless, free = [float("inf")] * size, [-float("inf")] * size
    whole = task.task(day, stops, day.earliest, endless, free, endless)
    if whole is None:
        return False
    service = whole.service.copy()
    for place, stop in enumerate(stops):
        if stop in made:
            service[place] = setting[stop]
    changed = DayTask(whole.seconds, service, whole.early, whole.late, whole.start, whole.end, whole.prize)
    return best_order(changed, iterations=task.iterations, seed=task.seed) is not None


@dataclass(frozen=True)
class Latest:
    """Latest lawful start of tomorrow's run for one stop, and for all stops from it on [s since 1970, UTC]."""

    site: int
    limit: float
    alone: float
    start: float


def latest_starts(task: RollTask, planned: PlannedDay) -> list[Latest]:
    """Latest start of a day that keeps each stop lawful, in the planned order.

    Parameters
    ----------
    task : RollTask
        Sets and ways.
    planned : PlannedDay
        The day; its limits come from the visits before it.

    Returns
    -------
    list of Latest
        In the order of the day: by this stop alone, and by it and all before it.

    """
    found: list[Latest] = []
    here, gone, bound = 0, 0.0, float("inf")
    service = task.allowance([stop.site for stop in planned.stops])
    for stop in planned.stops:
        gone += float(task.seconds[here, stop.site + 1])
        open_ = task.hours(planned.day, task.sites[stop.site].hours) if task.sites[stop.site].hours else None
        # Hours that end with the day are his own end, not the law's.
        limit = stop.limit if open_ is None or open_[1] >= planned.day.end else min(stop.limit, open_[1])
        bound = min(bound, limit - gone)
        found.append(Latest(stop.site, limit, limit - gone, bound))
        gone += service[stop.site]
        here = stop.site + 1
    return found


@dataclass(frozen=True)
class Turned:
    """A set whose visit would come too late if the next day went the other way round: gap and excess [s]."""

    site: int
    gap: float
    over: float


def turned_round(task: RollTask, today: PlannedDay, start: float) -> list[Turned]:
    """Sets that break an interval when the next day's run leaves at `start` and goes in the reverse order.

    Parameters
    ----------
    task : RollTask
        Sets and ways.
    today : PlannedDay
        The day before.
    start : float
        When the turned run leaves [s since 1970, UTC].

    """
    order = [stop.site for stop in reversed(today.stops)]
    seen = {stop.site: stop.begin for stop in today.stops}
    service = task.allowance(order)
    here, clock, found = 0, start, []
    for site in order:
        clock += float(task.seconds[here, site + 1])
        over = clock - task.sites[site].limit(seen[site], task.zone)
        if over > 0:
            found.append(Turned(site, clock - seen[site], over))
        clock += service[site]
        here = site + 1
    return found


def smallest_conflict(task: RollTask, day: RunDay, stops: Sequence[int], limits: Sequence[float]) -> tuple[int, ...]:
    """A smallest set of sites that cannot all be seen in time on a day, found by leaving one out after another.

    Parameters
    ----------
    task : RollTask
        Sets and ways.
    day : RunDay
        The day.
    stops : sequence of int
        Sites that must be seen.
    limits : sequence of float
        Their last moments [s since 1970, UTC].

    Returns
    -------
    tuple of int
        Each of them is needed for the conflict; empty when all can be seen.

    """
    late = dict(zip(stops, limits, strict=True))

    def possible(some: Sequence[int]) -> bool:
        size = len(some)
        whole = task.task(
            day, list(some), day.earliest, [late[s] for s in some], [-np.inf] * size, [float("inf")] * size
        )
        return whole is not None and best_order(whole, iterations=task.iterations, seed=task.seed) is not None

    if possible(stops):
        return ()
    for stop in stops:
        if not possible([stop]):
            return (stop,)
    needed = list(stops)
    for stop in list(needed):
        fewer = [other for other in needed if other != stop]
        if not possible(fewer):
            needed = fewer
    return tuple(needed)


def late_chances(
    task: RollTask, planned: PlannedDay, draw: Sequence[NDArray[np.float64]]
) -> tuple[float, dict[int, float]]:
    """Chance of being back late, and of reaching each stop after its limit, when the time at sets is uncertain.

    Parameters
    ----------
    task : RollTask
        Sets and ways.
    planned : PlannedDay
        One day.
    draw : sequence of array
        Draws of the time at each site, shape (k,) [s].

    Notes
    -----
    A set that clock hours bind is begun no sooner than planned, so that the day after can keep its limit.

    """
    if not planned.stops:
        return 0.0, {}
    clock = np.full(draw[planned.stops[0].site].shape, planned.start)
    here, found = 0, {}
    for stop in planned.stops:
        clock = clock + task.seconds[here, stop.site + 1]
        if task.sites[stop.site].by_hours or stop.wait > 0:
            clock = np.maximum(clock, stop.begin)
        found[stop.site] = float(np.mean(clock > stop.limit)) if np.isfinite(stop.limit) else 0.0
        clock = clock + draw[stop.site]
        here = stop.site + 1
    clock = clock + task.seconds[here, 0]
    return float(np.mean(clock > planned.day.end)), found
