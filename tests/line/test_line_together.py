"""All days together: against every order of every day with linear programming, against the plan day by day."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from line.run_case import FIRST, as_text, days_of, local, roll_task, scattered, site
from setwright.line.checker import check_plan
from setwright.line.lawful_run import smallest_conflict
from setwright.line.roll import roll
from setwright.line.together import cost_of, small_enough, together

EVE = FIRST - timedelta(days=1)


def invented(seed, count, days, every=("PT24H", "PT24H", "PT25H", "PT26H"), reach=6000.0):
    """A line of which the hours are narrow, so that orders matter."""
    rng = np.random.default_rng(seed)
    alike = days_of(FIRST, days)
    narrow = [
        replace(
            one, earliest=one.usual - float(rng.choice([0, 1800, 3600])), end=one.usual + 3600.0 * rng.integers(4, 9)
        )
        for one in alike
    ]
    sites = [site(f"s{k}", str(rng.choice(every)), seen=local(EVE, 7) + rng.uniform(0, 12000)) for k in range(count)]
    return roll_task(sites, narrow, scattered(count, seed, reach))


def cost(task, rolled):
    return sum(cost_of(task, one) for one in rolled.days)


def least_of(task, orders):
    """Least time away for one order on each day, by linear programming; infinite when the times cannot be kept."""
    size, days = len(task.sites), len(task.days)
    width = size + 2  # start, begins by site, return
    rows, right = [], []

    def at_least(day, later, earlier, gap):
        row = np.zeros(width * days)
        row[day * width + earlier], row[day * width + later] = 1.0, -1.0
        rows.append(row)
        right.append(-gap)

    bounds, zero = [], task.days[0].usual
    for number, (day, order) in enumerate(zip(task.days, orders, strict=True)):
        bounds += [(day.earliest - zero, day.usual - zero), *[(None, day.end - zero)] * (size + 1)]
        here = 0
        for stop in order:
            gap = task.seconds[here, stop + 1] + (task.sites[here - 1].service if here else 0.0)
            at_least(number, stop + 1, here, gap)
            here = stop + 1
        at_least(number, size + 1, here, task.seconds[here, 0] + task.sites[here - 1].service)
        for stop in range(size):
            row = np.zeros(width * days)
            row[number * width + stop + 1] = 1.0
            hours = 3600.0 * task.sites[stop].intervals[0].every.hours
            if number:
                row[(number - 1) * width + stop + 1] = -1.0
            rows.append(row)
            right.append(hours if number else task.sites[stop].seen + hours - zero)
    wish = np.tile([-1.0, *[0.0] * size, 1.0], days)
    found = linprog(wish, A_ub=np.array(rows), b_ub=np.array(right), bounds=bounds, method="highs")
    return found.fun if found.status == 0 else float("inf")


def least_of_all(task):
    orders = list(permutations(range(len(task.sites))))
    return min(least_of(task, some) for some in product(orders, repeat=len(task.days)))


@pytest.mark.parametrize(
    ("seed", "count", "days"),
    [(8, 3, 2), (10, 3, 2), (66, 3, 2), (12, 3, 2), (22, 2, 3), (23, 2, 3), (5, 2, 3), (6, 2, 3)],
)
def test_against_every_order_of_every_day(seed, count, days):
    task = invented(seed, count, days)
    found = together(task, roll(task))
    best = least_of_all(task)
    if found.together == "none":
        assert np.isinf(best)
    else:
        assert found.together == "exact"
        assert best - 1e-3 <= cost(task, found) <= best + 60.0 * days, "within a minute of waiting a day"


def test_the_cases_above_hold_both_answers():
    kinds = {together(task, roll(task)).together for seed in range(30) for task in [invented(seed, 3, 2)]}
    assert kinds == {"exact", "none"}


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 5), st.integers(2, 6))
def test_never_worse_than_day_by_day_and_the_checker_agrees(seed, count, days):
    task = invented(seed, count, days, ("P1D", "PT24H", "PT25H", "PT36H", "P2D"), 3000.0 + seed % 5 * 1000.0)
    rolled = roll(task)
    missed = any(day.missed for day in rolled.days)
    found = together(task, rolled)
    assert found == together(task, rolled), "the same question has the same answer"
    if not missed:
        assert found.together != "none"
        assert cost(task, found) <= cost(task, rolled) + 1e-3
    if found.together == "none":
        assert missed and found.days == rolled.days
    elif found.together:
        assert not any(day.missed for day in found.days)
        assert not check_plan(as_text(task, found)).faults


@pytest.mark.parametrize("seed", [33, 39, 52, 68])
def test_what_fails_day_by_day_holds_together(seed):
    """The shortest order of today leaves a set of tomorrow no time; another order does."""
    task = invented(seed, 3, 3)
    rolled = roll(task)
    assert any(day.missed for day in rolled.days)
    found = together(task, rolled)
    assert found.together == "exact" and not any(day.missed for day in found.days)
    assert not check_plan(as_text(task, found)).faults
    for day in found.days:
        assert day.day.earliest <= day.start + 1e-6 <= day.day.usual + 2e-6 and day.back <= day.day.end + 1e-6


def test_no_plan_at_all_and_its_smallest_cause():
    """An hour from set to set, three seen by nine the day before: two can be kept, not three."""
    sites = [site(f"s{k}", "PT24H", seen=local(EVE, 9)) for k in range(3)]
    days = days_of(FIRST, 3, leave=(7, 0), earliest=(6, 0))
    task = roll_task(sites, days, np.full((4, 4), 3600.0) * (1 - np.eye(4)))
    found = together(task, roll(task))
    assert found.together == "none"
    assert found.days[0].missed, "as many as can be are seen, as before"
    assert len(smallest_conflict(task, days[0], range(3), [local(FIRST, 9)] * 3)) == 3
    fewer = roll_task(sites[:2], days, task.seconds[:3, :3])
    assert together(fewer, roll(fewer)).together == "exact"


def test_a_day_on_which_nobody_goes():
    days = days_of(FIRST, 5, nobody={FIRST + timedelta(days=2)})
    times = np.full((3, 3), 300.0) * (1 - np.eye(3))
    for every, answer in (("PT48H", "exact"), ("P1D", "none")):
        task = roll_task([site(name, every, seen=local(EVE, 15)) for name in "ab"], days, times)
        found = together(task, roll(task))
        assert found.together == answer
        assert not found.days[2].stops


def test_where_sets_are_seen_each_day_they_stay_so():
    """Two sets three hours off, lawful every second day: what sees them daily is not thinned out."""
    task = roll_task(
        [site(name, "P2D", seen=local(EVE, 15)) for name in "ab"], days_of(FIRST, 6),
        [[0, 9000, 9000], [9000, 0, 60], [9000, 60, 0]],
    )  # fmt: skip
    found = together(task, roll(task))
    assert found.together == "exact"
    assert all(len(day.stops) == 2 for day in found.days)


def test_which_lines_are_planned_together():
    def line(count, every="PT24H", nobody=()):
        sites = [site(f"s{k}", every, seen=local(EVE, 9)) for k in range(count)]
        return roll_task(sites, days_of(FIRST, 3, nobody=nobody), scattered(count, 1))

    assert small_enough(line(6)) and small_enough(line(6, "P3D"))
    assert not small_enough(line(7)), "too many orders"
    assert not small_enough(line(0))
    assert not small_enough(line(2, nobody={FIRST + timedelta(days=k) for k in range(3)})), "nobody goes"
