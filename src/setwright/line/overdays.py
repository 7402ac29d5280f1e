"""The search over days for the plan of least cost: plans that no other beats are carried from day to day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from setwright.line.orders import NEAR, Floats, Law, Orders, Whole, latest_schedules
from setwright.line.roll import RollTask

# Plans, orders and lengths of the day that are looked at before the model gives up, and plans compared for one such.
WORK, COMPARED = 1_000_000, 10
# Pairs of plan and order looked at in one go.
BLOCK = 60_000
Chosen = tuple[Whole, float, Floats]


@dataclass(frozen=True, eq=False)
class _Step:
    """What was chosen on one day for each plan kept after it: the plan before, its order, start and begins."""

    before: Whole
    order: Whole
    start: Floats
    begins: Floats


@dataclass(frozen=True, eq=False)
class _Children:
    """Plans lengthened by one day: plan before, order, start, begins, cost and last moments."""

    before: Whole
    order: Whole
    start: Floats
    begins: Floats
    cost: Floats
    limits: Floats


class TooMany(Exception):
    """More plans than are looked at."""


class Work:
    """Counts what is looked at, so that the model gives up at the same place on every machine."""

    def __init__(self) -> None:
        self.left = WORK

    def spend(self, count: int) -> None:
        """Count more; TooMany when the bound is passed."""
        self.left -= count
        if self.left < 0:
            raise TooMany


def search(
    task: RollTask, every: Sequence[Orders], least: Sequence[float], bound: float, step: float | None,
    work: Work,
) -> tuple[float, list[Chosen]] | None:  # fmt: skip
    """Least cost below a bound with each day's order, start and begins; None when no plan stays below it.

    Parameters
    ----------
    task : RollTask
        Sets, days and ways.
    every : sequence of Orders
        Orders of each day.
    least : sequence of float
        Least cost of each day by itself [s].
    bound : float
        Plans that cost more are not looked at [s].
    step : float or None
        In which the day is lengthened for the sake of later ones; None for as late as can be, at any cost [s].
    work : Work
        Counts what is looked at.

    """
    cost = np.zeros(1)
    limits = np.array([[site.limit(site.seen, task.zone) for site in task.sites]])
    steps: list[_Step | None] = []
    laws = [Law(task, site) for site in task.sites]
    for number, day in enumerate(task.days):
        last = number == len(task.days) - 1
        room = bound - sum(least[number + 1 :])
        if day.who is None:
            steps.append(None)
            if last:
                fine = (limits >= day.usual + 86400.0).all(axis=1)
                if not fine.any():
                    return None
                cost = np.where(fine, cost, np.inf)
            continue
        work.spend(len(cost) * len(every[number].stops))
        block = max(1, BLOCK // len(every[number].stops))
        parts = [
            _lengthen(
                task, every[number], number, (cost[a : a + block], limits[a : a + block], a), room, step, laws, work
            )
            for a in range(0, len(cost), block)
        ]
        kept = _best(parts, by_cost=step is not None, last=last, work=work)
        if kept is None:
            return None
        steps.append(_Step(kept.before, kept.order, kept.start, kept.begins))
        cost, limits = kept.cost, kept.limits
    plan = int(np.argmin(cost))
    total = float(cost[plan])
    chosen: list[Chosen] = []
    for one in reversed(steps):
        if one is None:
            chosen.append((np.zeros(1, dtype=np.int64), 0.0, np.zeros(0)))
            continue
        chosen.append((one.order[plan : plan + 1], float(one.start[plan]), one.begins[plan]))
        plan = int(one.before[plan])
    chosen.reverse()
    return total, chosen


def _lengthen(
    task: RollTask, orders: Orders, number: int, plans: tuple[Floats, Floats, int], room: float,
    step: float | None, laws: Sequence[Law], work: Work,
) -> _Children:  # fmt: skip
    """Every plan lengthened by every order of a day, at every length of the day that may help a later one."""
    cost, limits, origin = plans
    timed = latest_schedules(task, orders, number, limits)
    base = cost[:, None] + orders.skipped
    plan, order = np.nonzero(timed.possible & (base + timed.least <= room))
    base, least, most = base[plan, order], timed.least[plan, order], timed.most[plan, order]
    start, latest = timed.start[plan, order], timed.latest[plan, order]

    def at(length: Floats, rows: Whole) -> tuple[Floats, Floats]:
        begins = np.minimum(latest[rows], (start[rows] + length)[:, None] - orders.tail[order[rows]])
        return begins, _after(task, orders, number, begins, order[rows], limits[plan[rows]], laws)

    all_rows = np.arange(len(plan))
    if step is None:
        rows, length = all_rows, most
    else:
        # Where the longest day gives no later last moment than the shortest, waiting helps nobody.
        helps = (at(most, all_rows)[1] > at(least, all_rows)[1] + NEAR).any(axis=1)
        top = np.minimum(most, room - base)
        turns = np.where(helps, np.ceil((top - least) / step + 1e-9), 0).astype(np.int64) + 1
        work.spend(int(turns.sum()))
        rows = np.repeat(all_rows, turns)
        count = np.arange(len(rows)) - np.repeat(np.cumsum(turns) - turns, turns)
        length = np.minimum(least[rows] + step * count, most[rows])
    begins, after = at(length, rows)
    whole = base[rows] + length
    fine = (whole <= room) & np.isfinite(after).all(axis=1)
    rows = rows[fine]
    return _Children(plan[rows] + origin, order[rows], start[rows], begins[fine], whole[fine], after[fine])


def _after(
    task: RollTask, orders: Orders, number: int, begins: Floats, order: Whole, limits: Floats, laws: Sequence[Law]
) -> Floats:
    """Last moments after a day, cut where more is of no use; −infinity where a set is left that cannot wait."""
    found = limits.copy()
    days = task.days
    later = next((day for day in days[number + 1 :] if day.who is not None), None)
    soonest = days[-1].usual + 86400.0
    for stop, law in enumerate(laws):
        place = orders.where[order, stop]
        seen = place >= 0
        found[seen, stop] = law.last(begins[seen, place[seen]])
        if later is not None:
            found[:, stop] = np.minimum(found[:, stop], later.end if law.daily else max(soonest, days[-1].end))
        elif number == len(days) - 1:
            # Beyond the plan days go on like the last one; what was seen on it may rest.
            found[:, stop] = np.where(seen | (found[:, stop] >= soonest), 0.0, -np.inf)
        else:
            found[:, stop] = np.minimum(found[:, stop], soonest)
    return found


def _best(parts: Sequence[_Children], *, by_cost: bool, last: bool, work: Work) -> _Children | None:
    """Plans that no other beats in cost and all last moments; after the last day the cheapest."""
    cost = np.concatenate([one.cost for one in parts])
    if cost.size == 0:
        return None
    limits = np.concatenate([one.limits for one in parts])
    wait = np.lexsort((-limits.sum(axis=1), cost)) if by_cost or last else np.argsort(-limits.sum(axis=1))
    kept: list[int] = []
    if last:
        kept = [int(wait[0])]
    else:
        while wait.size:
            kept.append(int(wait[0]))
            work.spend(len(wait) // COMPARED)
            # Sorted by cost, or by the sum of last moments, nothing that comes later can beat what is kept.
            wait = wait[(limits[wait] > limits[wait[0]] + NEAR).any(axis=1)]
    rows = np.array(kept)
    columns = [
        np.concatenate([getattr(one, name) for one in parts])[rows] for name in ("before", "order", "start", "begins")
    ]
    return _Children(columns[0], columns[1], columns[2], columns[3], cost[rows], limits[rows])
