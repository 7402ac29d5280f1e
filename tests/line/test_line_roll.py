"""Many days: clock hours and calendar days, the long night, nobody there, lines too long, and the hand-made cases."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import permutations, product

import numpy as np
import pytest

from line.run_case import FIRST, ZONE, as_text, day_task, days_of, local, roll_task, scattered, site
from setwright.line.checker import check_plan
from setwright.line.dayorder import timed
from setwright.line.lawful_run import (
    largest,
    late_chances,
    latest_starts,
    set_out,
    smallest_conflict,
    staged,
    turned_round,
)
from setwright.line.roll import roll

MADE = local(FIRST - timedelta(days=1), 15, 30)


def faults(task, rolled):
    return check_plan(as_text(task, rolled)).faults


@pytest.mark.parametrize("seed", range(12))
def test_clock_hours_on_up_to_seven_sites_are_kept_at_the_least_time(seed):
    """All orders are tried: no plan of n days is shorter than n times the best single day, and ours reaches it."""
    count = 2 + seed % 6
    times = scattered(count, seed)
    sites = [site(f"s{i}", "PT24H", seen=MADE) for i in range(count)]
    task = roll_task(sites, days_of(FIRST, 5), times)
    rolled = roll(task)
    assert not faults(task, rolled)
    one = day_task(times, [600.0] * count)
    best = min(timed(one, order)[1] for order in permutations(range(count)))
    assert sum(day.back - day.start for day in rolled.days) == pytest.approx(5 * best)


@pytest.mark.parametrize("seed", range(6))
def test_two_days_coupled_by_clock_hours_against_every_pair_of_orders(seed):
    """Three sites seen late the day before: trying every pair of orders finds a lawful one only when ours is one."""
    rng = np.random.default_rng(seed)
    times = scattered(3, seed + 20, 9000.0)
    days = days_of(FIRST, 2, leave=(6, 0), earliest=(6, 0), back=(20, 0))
    made = [local(FIRST - timedelta(days=1), 6) + rng.uniform(1500, 16000) for _ in range(3)]
    sites = [site(f"s{i}", "PT24H", seen=made[i]) for i in range(3)]
    task = roll_task(sites, days, times)
    rolled = roll(task)

    def lawful(first, second):
        seen = dict(enumerate(made))
        for day, order in zip(days, (first, second), strict=True):
            late = [sites[i].limit(seen[i], ZONE) for i in range(3)]
            found = timed(day_task(times, [600.0] * 3, late=late, start=day.usual, end=day.end), order)
            if found is None:
                return None
            seen.update(zip(order, found[0], strict=True))
        return True

    possible = any(lawful(*pair) for pair in product(permutations(range(3)), repeat=2))
    kept = not any(day.missed for day in rolled.days)
    assert kept or not possible, "what some pair of orders keeps is kept"
    if kept:
        assert not faults(task, rolled)


def test_mixed_intervals_and_a_checker_that_agrees():
    for seed in range(4):
        rng = np.random.default_rng(seed)
        every = ["P1D", "PT24H", "PT48H", "P3D", "PT36H"]
        sites = [site(f"s{i}", every[rng.integers(5)], seen=MADE) for i in range(14)]
        task = roll_task(sites, days_of(FIRST, 7), scattered(14, seed), iterations=60)
        rolled = roll(task)
        assert not any(day.missed for day in rolled.days)
        assert not faults(task, rolled), f"seed {seed}"


def test_a_line_that_is_split_into_parts_seen_in_turn():
    sites = [site(f"s{i}", "PT48H" if i else "P1D", seen=MADE) for i in range(16)]
    days = days_of(FIRST, 6, back=(10, 30))
    task = roll_task(sites, days, scattered(16, 5), iterations=60)
    rolled = roll(task)
    assert len(rolled.parts) == 2, "half of it each day, the daily set on both"
    assert all(0 in part for part in rolled.parts)
    assert not any(day.missed for day in rolled.days) and not faults(task, rolled)


def test_the_night_of_25_hours_costs_an_hour_of_the_clock():
    """Clocks go back on 1 November 2026: 24 hours end an hour earlier on the wall, and stay so."""
    first = date(2026, 10, 30)
    sites = [site(f"s{i}", "PT24H", seen=local(first - timedelta(days=1), 9)) for i in range(5)]
    times = np.full((6, 6), 300.0) * (1 - np.eye(6))
    task = roll_task(sites, days_of(first, 5), times)
    rolled = roll(task)
    starts = [(day.start - local(day.day.day, 0)) / 3600.0 for day in rolled.days]
    assert starts[:2] == [7.0, 7.0], "before that night he leaves as ever"
    assert starts[2] == pytest.approx(7.0), "counted from midnight of a day of 25 hours it is six by the clock"
    assert rolled.days[2].start == local(date(2026, 11, 1), 6), "six by the clock on the wall"
    assert all(day.start == local(day.day.day, 6) for day in rolled.days[3:])
    assert not faults(task, rolled)
    daily = roll_task([replace(one, intervals=site("x", "P1D", seen=0).intervals) for one in sites], task.days, times)
    assert [day.start for day in roll(daily).days] == [day.usual for day in task.days], "calendar days do not mind"
    assert not faults(daily, roll(daily))


def test_the_night_of_23_hours_costs_nothing():
    first = date(2027, 3, 12)
    sites = [site("a", "PT24H", seen=local(first - timedelta(days=1), 7, 5))]
    task = roll_task(sites, days_of(first, 4), [[0, 300], [300, 0]])
    rolled = roll(task)
    assert not faults(task, rolled) and not any(day.missed for day in rolled.days)


def test_a_day_on_which_nobody_goes():
    missing = FIRST + timedelta(days=2)
    loose = [site("a", "PT48H", seen=MADE), site("b", "P2D", seen=MADE)]
    times = np.full((3, 3), 300.0) * (1 - np.eye(3))
    task = roll_task(loose, days_of(FIRST, 5, nobody={missing}), times)
    rolled = roll(task)
    assert not rolled.days[2].stops and not faults(task, rolled)
    assert {stop.site for stop in rolled.days[1].stops} == {0, 1}, "the day before, both are seen"
    tight = roll_task([site("a", "P1D", seen=MADE)], days_of(FIRST, 5, nobody={missing}), times[:2, :2])
    late = roll(tight)
    assert late.days[2].missed == (0,)
    assert [fault.kind for fault in faults(tight, late)] == ["interval"]


def test_a_line_too_long_says_how_many_can_stay():
    """Out and back, 10 h, 6 min from set to set, 12 min at each: 25 sets, by hand."""
    count = 30
    place = np.abs(np.subtract.outer(np.arange(count + 1), np.arange(count + 1))) * 360.0
    days = days_of(FIRST, 2, leave=(7, 0), earliest=(7, 0), back=(17, 0))
    sites = [site(f"s{i}", "P1D", seen=MADE, service=720.0) for i in range(count)]
    task = roll_task(sites, days, place, iterations=400)
    kept = largest(task, days[0])
    assert len(kept) == 25 and max(kept) == 24, "the farthest five are pulled"
    rolled = roll(task)
    assert len(rolled.days[0].missed) == 5 and len(rolled.days[0].stops) == 25
    whole = roll_task(sites[:25], days, place[:26, :26], iterations=200)
    assert not any(day.missed for day in roll(whole).days)


def test_staged_set_out_by_the_planner_as_by_hand():
    """The same line, 35 min to make a set: 12, 18, 21, 23, 24 stand after days 1 to 5, and never 25."""
    count = 26
    place = np.abs(np.subtract.outer(np.arange(count + 1), np.arange(count + 1))) * 360.0
    days = days_of(FIRST, 7, leave=(7, 0), earliest=(7, 0), back=(17, 0))
    sites = [site(f"s{i}", "P1D", seen=MADE, service=720.0) for i in range(count)]
    task = roll_task(sites, days, place, iterations=60)
    found = set_out(task, list(range(count)), [2100.0] * count)
    assert [day.standing for day in found] == [12, 18, 21, 23, 24, 24, 24]
    assert staged(600, 6, 12, 35, 7) == [12, 18, 21, 23, 24, 24, 24]


def test_the_order_turned_round_breaks_clock_hours_and_not_calendar_days():
    """A route of ten hours: the first set waits 34 h under PT24H, and P1D does not mind."""
    times = [[0, 60, 60], [60, 0, 34000], [60, 34000, 0]]
    for every, broken in (("PT24H", [0]), ("P1D", [])):
        days = days_of(FIRST, 2, leave=(6, 0), earliest=(5, 0), back=(23, 0))
        sites = [site(name, every, seen=local(FIRST - timedelta(days=1), 17)) for name in ("near", "far")]
        task = roll_task(sites, days, times)
        today = roll(task).days[0]
        first = today.stops[0].site
        found = turned_round(task, today, today.start + 86400.0)
        assert [one.site for one in found] == [first for _ in broken]
        for one in found:
            assert one.gap == pytest.approx(86400.0 + today.stops[1].begin - today.stops[0].begin, abs=1.0)
            assert 33 < one.gap / 3600.0 <= 34


def test_the_latest_start_is_the_last_that_keeps_every_stop():
    sites = [site(f"s{i}", "PT24H", seen=local(FIRST - timedelta(days=1), 9 + i)) for i in range(3)]
    task = roll_task(sites, days_of(FIRST, 1, leave=(6, 0)), np.full((4, 4), 600.0) * (1 - np.eye(4)))
    today = roll(task).days[0]
    bound = min(one.start for one in latest_starts(task, today))

    def kept(start):
        clock, here = start, 0
        for stop in today.stops:
            clock += task.seconds[here, stop.site + 1]
            if clock > stop.limit:
                return False
            clock += sites[stop.site].service
            here = stop.site + 1
        return True

    assert kept(bound) and not kept(bound + 1.0)


def test_the_smallest_conflict_is_one():
    near = [site(f"s{i}", "PT24H", seen=local(FIRST - timedelta(days=1), 9)) for i in range(4)]
    times = np.full((5, 5), 3600.0) * (1 - np.eye(5))
    days = days_of(FIRST, 1, leave=(7, 0), earliest=(6, 0))
    task = roll_task(near, days, times)
    limits = [local(FIRST, 9)] * 4
    found = smallest_conflict(task, days[0], range(4), limits)
    assert len(found) == 3, "two of them can be seen by nine, three cannot"
    assert smallest_conflict(task, days[0], found[:2], limits[:2]) == ()
    assert smallest_conflict(task, days[0], [0], [local(FIRST, 6, 30)]) == (0,), "one that nobody can reach in time"


def test_the_reserve_keeps_ninety_five_days_of_a_hundred():
    sites = [site(f"s{i}", "P1D", seen=MADE, service=900.0, spread=400.0) for i in range(12)]
    days = days_of(FIRST, 1)
    task = roll_task(sites, days, scattered(12, 2), iterations=60)
    planned = roll(task).days[0]
    tight = replace(planned, day=replace(planned.day, end=planned.back))
    rng = np.random.default_rng(5)
    draws = [rng.normal(900.0, 400.0, 20000) for _ in sites]
    late, stops = late_chances(task, tight, draws)
    assert late == pytest.approx(0.05, abs=0.01)
    assert all(chance == 0.0 for chance in stops.values()), "midnight is far off"


def test_the_planned_order_does_not_hang_on_the_day():
    sites = [site(f"s{i}", "PT24H", seen=MADE) for i in range(11)]
    rolled = roll(roll_task(sites, days_of(FIRST, 4), scattered(11, 8), iterations=60))
    orders = {tuple(stop.site for stop in day.stops) for day in rolled.days[1:]}
    assert len(orders) == 1
