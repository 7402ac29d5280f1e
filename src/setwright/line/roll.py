"""The check run over many days: every set in time, the same order where clocks bind, an eye on the day after."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from setwright.line.dayorder import SEED, DayOrder, DayTask, best_order, timed
from setwright.line.lawbook import Every, HoursOfDay
from setwright.line.rundays import RunDay

# The 95 % point of the sum of many small times.
Z = 1.645
# A visit that must come before midnight is planned this much before it.
BEFORE = 60.0
# When a limit asks for it he leaves earlier, in steps.
STEP = 900.0
# What leaving out a set that is not yet due may cost in detour [s].
WORTH = 1800.0
# Parts into which a line may be split when its sets need not be seen each day.
PARTS = 7
Hours = Callable[[RunDay, Sequence[HoursOfDay]], tuple[float, float] | None]


@dataclass(frozen=True)
class RunSite:
    """A set as the run needs it.

    Parameters
    ----------
    key : str
        Site.
    intervals : tuple of Every
        Check intervals that bind it.
    hours : tuple of HoursOfDay
        Hours of the day in which it may be seen.
    seen : float
        When it was made or last seen [s since 1970, UTC].
    service, spread : float
        Mean of the time at the set and its standard deviation [s].

    """

    key: str
    intervals: tuple[Every, ...]
    hours: tuple[HoursOfDay, ...]
    seen: float
    service: float
    spread: float

    def limit(self, seen: float, zone: tzinfo) -> float:
        """Last moment of the next visit after one at `seen` [s]; infinite when no interval binds."""
        moment = datetime.fromtimestamp(seen, zone)
        limits = [
            one.last_moment(moment).timestamp() - (0.0 if one.every.days is None else BEFORE)
            for one in self.intervals
        ]
        return min(limits, default=float("inf"))

    @property
    def by_hours(self) -> bool:
        """True when an interval of clock hours binds it."""
        return any(one.every.hours is not None for one in self.intervals)


@dataclass(frozen=True)
class RunStop:
    """One stop of a planned day: site, begin, leaving, last lawful moment, wait before it [s]."""

    site: int
    begin: float
    leave: float
    limit: float
    wait: float


@dataclass(frozen=True)
class PlannedDay:
    """One day of the plan; `missed` are sites that had to be seen and could not be."""

    day: RunDay
    start: float
    back: float
    stops: tuple[RunStop, ...]
    proved: bool
    missed: tuple[int, ...] = ()


@dataclass(frozen=True)
class Rolled:
    """The plan with the parts into which the line was split.

    `together` is "exact" when all days were planned together and the plan is the best, "found" when they were and a
    better one is not ruled out, "none" when every order of every day was tried and none keeps all sets, and empty
    when the days were planned one after the other.
    """

    days: tuple[PlannedDay, ...]
    parts: tuple[tuple[int, ...], ...]
    offsets: tuple[float, ...] = field(default=())
    together: Literal["", "exact", "found", "none"] = ""


@dataclass(frozen=True, eq=False)
class RollTask:
    """Sets, days and times of a rolling plan; `hours` gives the open hours of a set on a day."""

    sites: Sequence[RunSite]
    days: Sequence[RunDay]
    seconds: NDArray[np.float64]
    zone: tzinfo
    hours: Hours
    seed: int = SEED
    iterations: int | None = None

    def allowance(self, stops: Sequence[int]) -> dict[int, float]:
        """Time at each stop with its share of a reserve, so that 95 of 100 days end in time [s]."""
        total = float(np.sqrt(sum(self.sites[stop].spread ** 2 for stop in stops)))
        found = {}
        for stop in stops:
            site = self.sites[stop]
            share = 0.0 if total == 0.0 else site.spread**2 / total**2
            found[stop] = site.service + Z * total * share
        return found

    def task(
        self, day: RunDay, stops: Sequence[int], start: float, late: Sequence[float], floor: Sequence[float],
        prize: Sequence[float],
    ) -> DayTask | None:  # fmt: skip
        """One day's problem over some of the sites; None when a set that must be seen has no open hour."""
        if day.who is None:
            return None
        service = self.allowance(stops)
        early, last = [], []
        for place, stop in enumerate(stops):
            open_ = self.hours(day, self.sites[stop].hours)
            if open_ is None:
                if np.isinf(prize[place]):
                    return None
                open_ = (day.end, day.end - 1.0)
            early.append(max(open_[0], floor[place]))
            last.append(min(open_[1], late[place]))
        rows = [0, *(stop + 1 for stop in stops)]
        return DayTask(
            self.seconds[np.ix_(rows, rows)], np.array([service[stop] for stop in stops]), np.array(early),
            np.array(last), start, day.end, np.array(prize, dtype=float),
        )  # fmt: skip


def roll(task: RollTask, progress: Callable[[str], None] | None = None) -> Rolled:
    """Plan the days one after the other.

    Parameters
    ----------
    task : RollTask
        Sets, days and ways.
    progress : callable, optional
        Called with each day.

    Returns
    -------
    Rolled
        With what could not be kept under `missed` of its day.

    Notes
    -----
    The line is one tour, or is split into the fewest parts of which each fits into a day, seen in turn, where the
    intervals allow it. A set that clock hours bind is begun no sooner after leaving than on the tour, so that the
    next day's visit at the same place of the tour is in time again; where a limit asks for it he leaves earlier, in
    quarters of an hour. A set whose limit comes before the next day on which somebody can be there is seen today.

    """
    parts, offsets, orders = _parts(task)
    seen = [site.seen for site in task.sites]
    planned: list[PlannedDay] = []
    for number, day in enumerate(task.days):
        if progress is not None:
            progress(f"{day.day:%d %b}")
        part = parts[number % len(parts)]
        due = _due(task, number, seen)
        stops = sorted(set(part) | set(due))
        found = _day(task, day, stops, set(due), seen, offsets, orders[number % len(parts)])
        for stop in found.stops:
            seen[stop.site] = stop.begin
        planned.append(found)
    return Rolled(tuple(planned), parts, offsets)


def _parts(task: RollTask) -> tuple[tuple[tuple[int, ...], ...], tuple[float, ...], list[tuple[int, ...]]]:
    """Parts that fit into a day, the begin of each site after leaving, and the order of each part."""
    everyone = range(len(task.sites))
    first = next((day for day in task.days if day.who is not None), None)
    if first is None or not task.sites:
        return (tuple(everyone),), (0.0,) * len(task.sites), [tuple(everyone)]
    tour = _free(task, first, list(everyone))
    if tour is not None:
        return (tuple(everyone),), _offsets(task, [tour]), [tour.order]
    loose = [i for i in everyone if _days_apart(task, i, first) >= 2]
    around = _around(task, loose)
    for count in range(2, PARTS + 1):
        able = [i for i in around if _days_apart(task, i, first) >= count]
        always = [i for i in everyone if i not in able]
        cuts = [len(able) * k // count for k in range(count + 1)]
        split = [sorted([*always, *able[a:b]]) for a, b in pairwise(cuts)]
        tours = [found for one in split if (found := _free(task, first, one)) is not None]
        if len(tours) == count:
            return tuple(tuple(one) for one in split), _offsets(task, tours), [one.order for one in tours]
    return (tuple(everyone),), (-float("inf"),) * len(task.sites), [()]


def _days_apart(task: RollTask, stop: int, day: RunDay) -> int:
    """How many days after a visit in the middle of a day the next one may come, at the same hour."""
    site = task.sites[stop]
    limit = site.limit(day.usual, task.zone)
    return PARTS if np.isinf(limit) else int((limit - day.usual + 1.0) // 86400.0)


def _free(task: RollTask, day: RunDay, stops: list[int]) -> _Tour | None:
    """Best tour of some sets by their hours alone, from the usual start or else from the earliest."""
    endless = [float("inf")] * len(stops)
    for start in dict.fromkeys((day.usual, day.earliest)):
        whole = task.task(day, stops, start, endless, [-np.inf] * len(stops), endless)
        found = None if whole is None else best_order(whole, iterations=task.iterations, seed=task.seed)
        if found is not None:
            begins = tuple(begin - start for begin in found.begins)
            return _Tour(tuple(stops[place] for place in found.order), begins)
    return None


def _around(task: RollTask, stops: list[int]) -> list[int]:
    """Some sets in the order of a tour that no hour bounds, so that neighbours on it lie together."""
    rows, size = [0, *(stop + 1 for stop in stops)], len(stops)
    far, free = np.full(size, np.inf), np.full(size, -np.inf)
    whole = DayTask(task.seconds[np.ix_(rows, rows)], np.zeros(size), free, far, 0.0, float("inf"), far)
    found = best_order(whole, iterations=task.iterations, seed=task.seed)
    return stops if found is None else [stops[place] for place in found.order]


@dataclass(frozen=True)
class _Tour:
    """Sites in order, and when each is begun after leaving [s]."""

    order: tuple[int, ...]
    begins: tuple[float, ...]


def _offsets(task: RollTask, tours: Sequence[_Tour]) -> tuple[float, ...]:
    found = [0.0] * len(task.sites)
    for tour in tours:
        for stop, begin in zip(tour.order, tour.begins, strict=True):
            found[stop] = begin if task.sites[stop].by_hours else -float("inf")
    return tuple(found)


def _due(task: RollTask, number: int, seen: Sequence[float]) -> list[int]:
    """Sets that cannot wait for the next day on which somebody goes."""
    later = next((day for day in task.days[number + 1 :] if day.who is not None), None)
    found = []
    for stop, site in enumerate(task.sites):
        limit = site.limit(seen[stop], task.zone)
        if later is None:
            # Beyond the plan days go on like the last one.
            soonest = task.days[number].usual + 86400.0
        else:
            open_ = task.hours(later, site.hours)
            soonest = float("inf") if open_ is None else max(later.earliest + task.seconds[0, stop + 1], open_[0])
        if limit < soonest:
            found.append(stop)
    return found


def _day(
    task: RollTask, day: RunDay, stops: list[int], due: set[int], seen: Sequence[float], offsets: Sequence[float],
    usual: Sequence[int],
) -> PlannedDay:  # fmt: skip
    if day.who is None:
        return PlannedDay(day, day.usual, day.usual, (), True, tuple(sorted(due)))
    limits = [task.sites[stop].limit(seen[stop], task.zone) for stop in stops]
    must = [float("inf") if stop in due else WORTH for stop in stops]

    def at(start: float) -> PlannedDay | None:
        floor = [start + offsets[stop] for stop in stops]
        whole = task.task(day, stops, start, limits, floor, must)
        found = None if whole is None else _ordered(task, whole, stops, usual)
        return None if whole is None or found is None else _planned(day, whole, stops, found, limits, ())

    kept = at(day.usual)
    if kept is not None:
        return kept
    kept = at(day.earliest) if day.earliest < day.usual else None
    if kept is None:
        return _best_that_can_be(task, day, stops, due, limits)
    # Quarters of an hour sooner than usual: the fewest that will do, by halving.
    low, high = 0, int(np.ceil((day.usual - day.earliest) / STEP - 1e-9))
    while high - low > 1:
        middle = (low + high) // 2
        found = at(day.usual - STEP * middle)
        if found is None:
            low = middle
        else:
            high, kept = middle, found
    return kept


def _ordered(task: RollTask, whole: DayTask, stops: list[int], usual: Sequence[int]) -> DayOrder | None:
    """The tour's own order where it serves, so that no day turns it round; else the best one."""
    if sorted(usual) == stops:
        order = [stops.index(stop) for stop in usual]
        found = timed(whole, order)
        if found is not None:
            return DayOrder(tuple(order), tuple(found[0]), found[1], False)
    return best_order(whole, iterations=task.iterations, seed=task.seed)


def _best_that_can_be(
    task: RollTask, day: RunDay, stops: list[int], due: set[int], limits: Sequence[float]
) -> PlannedDay:
    """As many of the sets that are due as one day can hold, from the earliest start."""
    heavy = [1e6 if stop in due else WORTH for stop in stops]
    whole = task.task(day, stops, day.earliest, limits, [-np.inf] * len(stops), heavy)
    found = None if whole is None else best_order(whole, iterations=task.iterations, seed=task.seed)
    if whole is None or found is None:
        return PlannedDay(day, day.earliest, day.earliest, (), False, tuple(sorted(due)))
    kept = {stops[place] for place in found.order}
    return _planned(day, whole, stops, found, limits, tuple(sorted(due - kept)))


def _planned(
    day: RunDay, whole: DayTask, stops: list[int], found: DayOrder, limits: Sequence[float],
    missed: tuple[int, ...],
) -> PlannedDay:  # fmt: skip
    made, here, clock = [], 0, whole.start
    for place, begin in zip(found.order, found.begins, strict=True):
        wait = begin - (clock + float(whole.seconds[here, place + 1]))
        clock, here = begin + float(whole.service[place]), place + 1
        made.append(RunStop(stops[place], begin, clock, limits[place], max(0.0, wait)))
    return PlannedDay(day, whole.start, found.back, tuple(made), found.proved, missed)
