"""The order of one day: every stop once between its first and last moment, exact for few stops, PyVRP for many."""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

# Up to here the order is proved best; beyond, searched with a fixed number of iterations.
EXACT = 9
ITERATIONS, PER_STOP, MOST = 400, 20, 1600
SEED = 20
# A day without an end, in whole seconds.
ENDLESS = 1e8


@dataclass(frozen=True, eq=False)
class DayTask:
    """What one day asks.

    Parameters
    ----------
    seconds : (n+1, n+1) array
        Travel [s], start and end at 0.
    service : (n,) array
        Time at each stop [s].
    early, late : (n,) array
        First and last moment at which a stop may begin [s].
    start, end : float
        When the run leaves, and by when it is back [s].
    prize : (n,) array
        What leaving a stop out costs [s]; infinite where it must be visited.

    """

    seconds: NDArray[np.float64]
    service: NDArray[np.float64]
    early: NDArray[np.float64]
    late: NDArray[np.float64]
    start: float
    end: float
    prize: NDArray[np.float64]

    @property
    def size(self) -> int:
        """Number of stops."""
        return int(self.service.size)


@dataclass(frozen=True)
class DayOrder:
    """Order of stops 0…n−1 with their begins, the return, and whether it is proved to be the best."""

    order: tuple[int, ...]
    begins: tuple[float, ...]
    back: float
    proved: bool


def timed(task: DayTask, order: Sequence[int]) -> tuple[list[float], float] | None:
    """Begin at each stop of an order and the return [s]; None when a last moment or the end is missed."""
    clock, here = task.start, 0
    begins = []
    for stop in order:
        clock = max(clock + task.seconds[here, stop + 1], task.early[stop])
        if clock > task.late[stop] + 1e-6:
            return None
        begins.append(float(clock))
        clock += task.service[stop]
        here = stop + 1
    back = float(clock + task.seconds[here, 0])
    return None if back > task.end + 1e-6 else (begins, back)


def cost(task: DayTask, order: Sequence[int], back: float) -> float:
    """What an order costs: its return and the prizes of what it leaves out [s]."""
    out = set(range(task.size)) - set(order)
    return back + float(sum(task.prize[stop] for stop in out))


def best_order(task: DayTask, *, iterations: int | None = None, seed: int = SEED) -> DayOrder | None:
    """Best order of the stops of a day, or None when not all that must be visited can be.

    Parameters
    ----------
    task : DayTask
        The day.
    iterations : int, optional
        Iterations of the search; grows with the number of stops when not given.
    seed : int
        Seed of the search.

    """
    if task.size <= EXACT:
        return exact(task)
    return searched(task, iterations=iterations, seed=seed)


def exact(task: DayTask) -> DayOrder | None:
    """Proved best order by dynamic programming over subsets; for about a dozen stops at most.

    With a given start the earliest arrival at a last stop after a subset is never worse than a later one, so one
    number for each (subset, last stop) is enough. Held & Karp (1962), with time windows.
    """
    count = task.size
    full = 1 << count
    reach = np.full((full, count), np.inf)
    came = np.full((full, count), -1, dtype=np.int8)
    for stop in range(count):
        begin = max(task.start + task.seconds[0, stop + 1], task.early[stop])
        if begin <= task.late[stop] + 1e-6:
            reach[1 << stop, stop] = begin
    inner = task.seconds[1:, 1:]
    for chosen in range(1, full):
        row = reach[chosen]
        live = np.flatnonzero(np.isfinite(row))
        if live.size == 0:
            continue
        leaves = row[live] + task.service[live]
        for stop in range(count):
            if chosen >> stop & 1:
                continue
            arrivals = leaves + inner[live, stop]
            first = int(np.argmin(arrivals))
            begin = max(float(arrivals[first]), float(task.early[stop]))
            more = chosen | 1 << stop
            if begin <= task.late[stop] + 1e-6 and begin < reach[more, stop] - 1e-9:
                reach[more, stop] = begin
                came[more, stop] = live[first]
    return _best_of(task, reach, came)


def _best_of(task: DayTask, reach: NDArray[np.float64], came: NDArray[np.int8]) -> DayOrder | None:
    must = sum(1 << stop for stop in range(task.size) if np.isinf(task.prize[stop]))
    optional = [stop for stop in range(task.size) if not np.isinf(task.prize[stop])]
    best: tuple[float, int, int] | None = None
    for chosen in range(1 << task.size):
        if chosen & must != must:
            continue
        lost = float(sum(task.prize[stop] for stop in optional if not chosen >> stop & 1))
        if chosen == 0:
            if task.start <= task.end:
                best = (task.start + lost, 0, -1)
            continue
        backs = reach[chosen] + task.service + task.seconds[1:, 0]
        last = int(np.argmin(backs))
        if not np.isfinite(backs[last]) or backs[last] > task.end + 1e-6:
            continue
        if best is None or backs[last] + lost < best[0] - 1e-9:
            best = (float(backs[last]) + lost, chosen, last)
    if best is None:
        return None
    order: list[int] = []
    _, chosen, last = best
    while chosen:
        order.append(last)
        chosen, last = chosen & ~(1 << last), int(came[chosen, last])
    order.reverse()
    found = timed(task, order)
    assert found is not None
    return DayOrder(tuple(order), tuple(found[0]), found[1], True)


def searched(task: DayTask, *, iterations: int | None = None, seed: int = SEED) -> DayOrder | None:
    """Order found by PyVRP: one vehicle, time windows, stops that may be left out for their prize.

    PyVRP works in whole numbers: seconds are rounded up for ways and service, so that what it finds can be kept.
    """
    from pyvrp import Model
    from pyvrp.stop import MaxIterations

    model = Model()
    spots = [model.add_location(x=i, y=0) for i in range(task.size + 1)]
    depot = model.add_depot(spots[0])
    origin = int(np.floor(task.start))
    length = max(1, int(np.floor(min(task.end, task.start + ENDLESS))) - origin)
    model.add_vehicle_type(
        1, start_depot=depot, end_depot=depot, tw_early=0, tw_late=length, start_late=0, unit_distance_cost=0,
        unit_duration_cost=1,
    )  # fmt: skip
    for stop in range(task.size):
        early = max(0, int(np.ceil(task.early[stop])) - origin) if np.isfinite(task.early[stop]) else 0
        late = min(length, int(np.floor(task.late[stop])) - origin) if np.isfinite(task.late[stop]) else length
        must = bool(np.isinf(task.prize[stop]))
        if late < early:
            if must:
                return None
            late = early
        model.add_client(
            spots[stop + 1], service_duration=int(np.ceil(task.service[stop])), tw_early=early, tw_late=late,
            prize=0 if must else int(task.prize[stop]), required=must,
        )  # fmt: skip
    whole = np.ceil(task.seconds).astype(int)
    for i, a in enumerate(spots):
        for j, b in enumerate(spots):
            if i != j:
                model.add_edge(a, b, distance=0, duration=int(whole[i, j]))
    turns = iterations if iterations is not None else min(MOST, ITERATIONS + PER_STOP * task.size)
    with warnings.catch_warnings():
        # PyVRP warns where a day cannot hold all its stops; that is an answer here, and is told as one.
        warnings.simplefilter("ignore")
        result = model.solve(MaxIterations(turns), seed=seed, display=False, collect_stats=False)
    if not result.is_feasible():
        return None
    routes = result.best.routes()
    order = tuple(one.idx for one in routes[0] if one.is_client()) if routes else ()
    found = timed(task, order)
    return None if found is None else DayOrder(order, tuple(found[0]), found[1], False)
