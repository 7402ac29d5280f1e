"""All days of a small line planned together: every order of every day, coupled by what each set may lawfully wait."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import comb, factorial
from typing import Literal

import numpy as np

from setwright.line.orders import NEAR, Orders, every_order, latest_schedules, may_skip
from setwright.line.overdays import Chosen, TooMany, Work, search
from setwright.line.roll import WORTH, PlannedDay, Rolled, RollTask, RunStop

# Lines of more sets, or with more orders in a day, are planned day by day.
SITES, ORDERS = 6, 2000
# Waiting for the sake of later days is chosen in these steps, the coarse ones first to bound the search [s].
STEPS = (900.0, 60.0)


def small_enough(task: RollTask) -> bool:
    """Tell whether all days of a line are planned together: few sets, and few enough orders in a day.

    Parameters
    ----------
    task : RollTask
        Sets, days and ways.

    Notes
    -----
    A set that may skip a day multiplies the orders: with and without it. Up to six sets the bound holds whatever may
    skip; plans that no other beats are counted besides, and where they grow too many the line is planned day by day.

    """
    size = len(task.sites)
    if not 0 < size <= SITES or not any(day.who is not None for day in task.days):
        return False
    loose = sum(may_skip(task, site) for site in task.sites)
    return sum(comb(loose, k) * factorial(size - loose + k) for k in range(loose + 1)) <= ORDERS


def together(task: RollTask, rolled: Rolled) -> Rolled:
    """Plan all days of a small line at once, or prove that no plan keeps every set.

    Parameters
    ----------
    task : RollTask
        Sets, days and ways; a line for which `small_enough` holds.
    rolled : Rolled
        The plan made day by day: the bound from which the search starts.

    Returns
    -------
    Rolled
        `together` is "exact" for a plan proved best, "none" when no plan exists (the days are then those of
        `rolled`), "found" for a plan better than `rolled` when the plans grew too many to prove it best, and empty
        when `rolled` stays without proof.

    Notes
    -----
    A day leaves between its earliest and its usual start, in any order, with any waits; it costs the time from
    leaving to the return, and as much for a set left out as in the plan day by day. Where that plan sees every set
    each day, so does this one. For an order, the last moments of its sets and a length of the day there is one
    schedule of which every begin is the latest: later begins never harm a later day, so that it alone is kept. Plans
    with no less cost and no later last moment than another are dropped. Waiting for the sake of later days is in
    whole minutes: the cost lies within a minute a day of the least.

    """
    loose = _loose(task, rolled)
    orders = every_order(task, loose)
    least = [least_cost(task, orders, number) for number in range(len(task.days))]
    if np.isinf(sum(least)):
        return replace(rolled, together="none")
    bound = float("inf") if any(day.missed for day in rolled.days) else sum(cost_of(task, day) for day in rolled.days)
    if bound <= sum(least) + NEAR * len(least):
        return replace(rolled, together="exact")
    every = [orders] * len(task.days)
    best: list[PlannedDay] | None = None
    work = Work()
    try:
        if np.isinf(bound):
            kept = search(task, every, least, bound, None, work)
            if kept is None:
                return replace(rolled, together="none")
            # The same orders again, with no more waiting than they need, bound what is searched below.
            narrow = [orders.some(step_order) for step_order, *_ in kept[1]]
            best = _planned(task, every, kept[1])
            again = search(task, narrow, least, bound, STEPS[0], work)
            assert again is not None
            bound, best = again[0], _planned(task, narrow, again[1])
        for step in STEPS:
            found = search(task, every, least, bound - NEAR, step, work)
            if found is not None:
                bound, best = found[0], _planned(task, every, found[1])
        proved = True
    except TooMany:
        proved = False
    if best is None:
        return replace(rolled, together="exact" if proved else "")
    answer: Literal["exact", "found"] = "exact" if proved else "found"
    days = tuple(replace(day, proved=proved) for day in best)
    return Rolled(days, (tuple(range(len(task.sites))),), together=answer)


def _loose(task: RollTask, rolled: Rolled) -> list[int]:
    """Sets that may be left out on a day: none where the plan day by day sees every set each day it can."""
    size = len(task.sites)
    if all(len(day.stops) == size or (day.day.who is None and not day.missed) for day in rolled.days):
        return []
    return [stop for stop, site in enumerate(task.sites) if may_skip(task, site)]


def cost_of(task: RollTask, planned: PlannedDay) -> float:
    """Time from leaving to the return, with what every set left out costs; nothing on a day on which nobody goes [s].

    Parameters
    ----------
    task : RollTask
        Sets and ways.
    planned : PlannedDay
        One day.

    """
    if planned.day.who is None:
        return 0.0
    away = planned.back - planned.start if planned.stops else 0.0
    return away + WORTH * (len(task.sites) - len(planned.stops))


def least_cost(task: RollTask, orders: Orders, number: int) -> float:
    """Least cost of a day whatever the days around it; infinite when no order fits [s]."""
    if task.days[number].who is None:
        return 0.0
    found = latest_schedules(task, orders, number, np.full((1, len(task.sites)), np.inf))
    return float(np.min(np.where(found.possible, found.least + orders.skipped, np.inf)))


def _planned(task: RollTask, every: Sequence[Orders], chosen: Sequence[Chosen]) -> list[PlannedDay]:
    """The chosen orders as days, with the last moments and waits of their stops."""
    seen = [site.seen for site in task.sites]
    found = []
    for day, orders, (row, start, begins) in zip(task.days, every, chosen, strict=True):
        stops: list[RunStop] = []
        clock = start
        if day.who is None:
            found.append(PlannedDay(day, day.usual, day.usual, (), True))
            continue
        order = int(row[0])
        clock += float(orders.first[order])
        for place, stop in enumerate(orders.stops[order]):
            if stop == len(task.sites):
                break
            begin = float(begins[place])
            limit = task.sites[stop].limit(seen[stop], task.zone)
            leave = begin + float(orders.service[order, place])
            stops.append(RunStop(int(stop), begin, leave, limit, max(0.0, begin - clock)))
            clock = begin + float(orders.gaps[order, place])
            seen[stop] = begin
        found.append(PlannedDay(day, start, clock if stops else start, tuple(stops), True))
    return found
