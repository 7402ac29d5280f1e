"""Every order of a day of a small line, its schedule of latest begins, and the last moments that follow from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import combinations, permutations

import numpy as np
from numpy.typing import NDArray

from setwright.line.roll import BEFORE, WORTH, RollTask, RunSite

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
NEAR = 1e-6


def may_skip(task: RollTask, site: RunSite) -> bool:
    """True when some day on which somebody goes can pass without this set being seen.

    Parameters
    ----------
    task : RollTask
        Sets, days and ways.
    site : RunSite
        The set.

    """
    days = [day for day in task.days if day.who is not None]
    after = [*days[1:], replace(days[-1], earliest=days[-1].usual + 86400.0)]
    if site.limit(site.seen, task.zone) >= after[0].earliest - NEAR:
        return True
    return any(site.limit(a.end, task.zone) >= b.earliest - NEAR for a, b in zip(days, after[1:], strict=False))


@dataclass(frozen=True, eq=False)
class Orders:
    """Every order of a day, padded with the base: stops, place of each site or −1, times from leaving and to the end.

    Shapes: stops, gaps, service, tail (s, n); where (s, n); first, length, skipped (s,).
    """

    stops: Whole
    where: Whole
    first: Floats
    gaps: Floats
    service: Floats
    tail: Floats
    length: Floats
    skipped: Floats

    def some(self, rows: Whole) -> Orders:
        """Only some of the orders."""
        return Orders(
            self.stops[rows], self.where[rows], self.first[rows], self.gaps[rows], self.service[rows],
            self.tail[rows], self.length[rows], self.skipped[rows],
        )  # fmt: skip


def every_order(task: RollTask, loose: Sequence[int]) -> Orders:
    """Every order of every group of sets that holds all those that cannot skip a day.

    Parameters
    ----------
    task : RollTask
        Sets, days and ways.
    loose : sequence of int
        Sets that may be left out.

    """
    size = len(task.sites)
    always = [stop for stop in range(size) if stop not in loose]
    groups = [sorted([*always, *some]) for k in range(len(loose) + 1) for some in combinations(loose, k)]
    rows, times = [], []
    for group in groups:
        service = task.allowance(group)
        for order in permutations(group):
            rows.append([*order, *[size] * (size - len(order))])
            times.append([*(service[stop] for stop in order), *[0.0] * (size - len(order))])
    stops, service_ = np.array(rows, dtype=np.int64), np.array(times)
    # The base stands last here, so that a site has its own number.
    turn = [*range(1, size + 1), 0]
    ways = task.seconds[np.ix_(turn, turn)]
    gaps = service_ + ways[stops, np.c_[stops[:, 1:], np.full(len(rows), size)]]
    where = np.full(stops.shape, -1)
    for place in range(size):
        held = stops[:, place] < size
        where[held, stops[held, place]] = place
    first = ways[size, stops[:, 0]]
    tail = np.cumsum(gaps[:, ::-1], axis=1)[:, ::-1]
    return Orders(stops, where, first, gaps, service_, tail, first + tail[:, 0], WORTH * (where < 0).sum(axis=1))


def _hours(task: RollTask, number: int) -> tuple[Floats, Floats]:
    """First and last open moment of each site on a day, and none for the base, shape (n+1,) [s]."""
    day = task.days[number]
    spans = [task.hours(day, site.hours) or (float("inf"), -float("inf")) for site in task.sites]
    return np.array([*(a for a, _ in spans), -np.inf]), np.array([*(b for _, b in spans), np.inf])


@dataclass(frozen=True, eq=False)
class Timed:
    """Latest begins of every plan and order on a day, its latest start, and its least and greatest length."""

    latest: Floats
    start: Floats
    least: Floats
    most: Floats
    possible: NDArray[np.bool_]


def latest_schedules(task: RollTask, orders: Orders, number: int, limits: Floats) -> Timed:
    """Latest schedule of each order under each plan's last moments, shapes (f, s, n) and (f, s).

    Parameters
    ----------
    task : RollTask
        Sets, days and ways.
    orders : Orders
        The s orders.
    number : int
        Which day.
    limits : (f, n) array
        Last moments of the sets under f plans [s since 1970, UTC].

    """
    day = task.days[number]
    size = len(task.sites)
    early, late = _hours(task, number)
    bounds = np.minimum(np.c_[limits, np.full(len(limits), np.inf)], late)[:, orders.stops]
    latest = np.empty(bounds.shape)
    clock = np.full(bounds.shape[:2], day.end)
    for place in range(size - 1, -1, -1):
        clock = np.minimum(bounds[:, :, place], clock - orders.gaps[:, place])
        latest[:, :, place] = clock
    start = np.minimum(day.usual, clock - orders.first)
    floor = early[orders.stops]
    possible = (start >= day.earliest - NEAR) & (latest >= floor - NEAR).all(axis=2)
    with np.errstate(invalid="ignore"):
        forced = np.max(np.where(np.isfinite(floor), floor + orders.tail, -np.inf), axis=1)
        least = np.maximum(orders.length, forced - start)
        ends = np.where(orders.stops < size, latest + orders.tail, -np.inf).max(axis=2)
        most = np.maximum(least, ends - start)
    return Timed(latest, start, least, most, possible)


class Law:
    """Last lawful moment after a visit, for many visits at once."""

    def __init__(self, task: RollTask, site: RunSite) -> None:
        self.daily = not may_skip(task, site)
        self.hours = min((3600.0 * one.every.hours for one in site.intervals if one.every.hours), default=np.inf)
        first, final = task.days[0].day - timedelta(days=2), task.days[-1].day + timedelta(days=2)
        begins = {one.day_start or datetime.min.time() for one in site.intervals if one.every.days is not None}
        edges = sorted(
            datetime.combine(first + timedelta(days=k), hour, task.zone).timestamp()
            for k in range((final - first).days + 1)
            for hour in begins
        )
        by_day = [one for one in site.intervals if one.every.days is not None]
        self.edges = np.array(edges)
        # Between two such hours a visit's calendar day, and so its last moment, stays the same.
        self.values = np.array(
            [
                min(one.last_moment(datetime.fromtimestamp(edge, task.zone)).timestamp() - BEFORE for one in by_day)
                for edge in edges
            ]
        )

    def last(self, seen: Floats) -> Floats:
        """Last moments [s]."""
        found = seen + self.hours
        if self.edges.size:
            found = np.minimum(found, self.values[np.searchsorted(self.edges, seen, side="right") - 1])
        return found
