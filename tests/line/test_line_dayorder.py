"""The order of one day: against trying every order, and against tours whose length is known by a theorem."""

from __future__ import annotations

from itertools import pairwise, permutations

import numpy as np
import pytest

from line.run_case import INF, day_task, scattered
from setwright.line.dayorder import EXACT, best_order, cost, exact, searched, timed


def tried(task):
    """Least cost over every order of every choice of stops."""
    best = None
    must = {stop for stop in range(task.size) if np.isinf(task.prize[stop])}
    for size in range(task.size + 1):
        for order in permutations(range(task.size), size):
            if must <= set(order):
                found = timed(task, order)
                if found is not None:
                    value = cost(task, order, found[1])
                    best = value if best is None else min(best, value)
    return best


def windows(task_times, service, seed):
    """Windows of some stops around a random moment; others free."""
    rng = np.random.default_rng(seed + 1000)
    size = len(service)
    middle = rng.uniform(500, 9000, size)
    bound = rng.random(size) < 0.6
    early = np.where(bound, middle - rng.uniform(200, 2500, size), -INF)
    late = np.where(bound, middle + rng.uniform(500, 4000, size), INF)
    del task_times
    return early, late


@pytest.mark.parametrize("seed", range(24))
def test_few_stops_are_ordered_as_well_as_trying_all(seed):
    count = 1 + seed % 6
    times = scattered(count, seed)
    service = np.random.default_rng(seed).uniform(100, 600, count)
    early, late = windows(times, service, seed)
    prize = np.where(np.random.default_rng(seed + 5).random(count) < 0.4, 900.0, INF)
    task = day_task(times, service, early=early, late=late, end=12000.0, prize=prize)
    found, best = exact(task), tried(task)
    assert (found is None) == (best is None)
    if found is not None:
        assert cost(task, found.order, found.back) == pytest.approx(best)
        assert timed(task, found.order) is not None


@pytest.mark.parametrize("seed", range(4))
def test_seven_stops_with_windows_against_all_orders(seed):
    times = scattered(7, seed + 50)
    task = day_task(times, [300.0] * 7, late=np.random.default_rng(seed).uniform(4000, 16000, 7), end=20000.0)
    backs = [found[1] for order in permutations(range(7)) if (found := timed(task, order)) is not None]
    found = exact(task)
    assert (found is None) == (not backs)
    if found is not None:
        assert found.back == pytest.approx(min(backs))


@pytest.mark.parametrize("seed", range(6))
def test_the_search_finds_what_is_proved_up_to_twelve_stops(seed):
    count = 10 + seed % 3
    times = scattered(count, seed + 90)
    service = np.ceil(np.random.default_rng(seed).uniform(100, 600, count))
    late = np.where(np.arange(count) % 3 == 0, 9000.0, INF)
    task = day_task(times, service, late=late, end=30000.0)
    proved, found = exact(task), searched(task, iterations=400, seed=1)
    assert (proved is None) == (found is None)
    if proved is not None:
        assert proved.proved and not found.proved
        assert found.back <= proved.back * 1.01, "within 1 % of the best"
        assert found.back >= proved.back - 1e-6


def test_twelve_stops_with_prizes():
    times = scattered(12, 7)
    task = day_task(times, [400.0] * 12, end=9000.0, prize=[1e6] * 12)
    proved, found = exact(task), searched(task, iterations=600, seed=1)
    assert len(found.order) == len(proved.order), "as many stops as can be"
    assert cost(task, found.order, found.back) <= 1.01 * cost(task, proved.order, proved.back)


def circle(count):
    """Places on a circle, in a random order: no tour is shorter than the one around it."""
    rng = np.random.default_rng(count)
    turn = 2 * np.pi * rng.permutation(count) / count
    points = 20000.0 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    return points, 2 * count * 20000.0 * np.sin(np.pi / count)


def grid(rows, columns, step=500.0):
    """A grid with an even number of places: no tour is shorter than one step a place."""
    places = np.array([(i * step, j * step) for i in range(rows) for j in range(columns)])
    return places[np.random.default_rng(3).permutation(len(places))], rows * columns * step


@pytest.mark.parametrize("made", [circle(41), grid(5, 8)], ids=["circle", "grid"])
def test_tours_of_forty_stops_whose_length_is_known(made):
    """Flood 1956: the best tour has no crossing, so points in convex position are taken in their order (memory)."""
    points, best = made
    times = np.linalg.norm(points[:, None] - points[None], axis=2)
    task = day_task(times, np.zeros(len(points) - 1))
    found = searched(task, iterations=500, seed=1)
    assert best - 1e-6 <= found.back <= 1.01 * best


def shortest_tour(times):
    """Proved best tour by integer programming, with cuts of the tours that fall apart; no code of the program."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import lil_matrix

    size = len(times)
    pairs = [(i, j) for i in range(size) for j in range(i + 1, size)]
    near = {i: set(np.argsort(times[i])[1:12]) for i in range(size)}
    pairs = [(i, j) for i, j in pairs if j in near[i] or i in near[j]]
    length = np.array([times[i, j] for i, j in pairs])
    degree = lil_matrix((size, len(pairs)))
    for k, (i, j) in enumerate(pairs):
        degree[i, k] = degree[j, k] = 1
    rules = [LinearConstraint(degree.tocsr(), 2, 2)]
    while True:
        found = milp(length, constraints=rules, integrality=np.ones(len(pairs)), bounds=Bounds(0, 1))
        chosen = [pairs[k] for k in range(len(pairs)) if found.x[k] > 0.5]
        links = {i: [] for i in range(size)}
        for i, j in chosen:
            links[i].append(j)
            links[j].append(i)
        left, parts = set(range(size)), []
        while left:
            part, grow = set(), [next(iter(left))]
            while grow:
                at = grow.pop()
                if at not in part:
                    part.add(at)
                    grow += links[at]
            parts.append(part)
            left -= part
        if len(parts) == 1:
            order, before = [0], -1
            while len(order) < size:
                at = next(other for other in links[order[-1]] if other != before)
                before = order[-1]
                order.append(at)
            return order, float(length @ np.round(found.x))
        cut = lil_matrix((len(parts), len(pairs)))
        for row, part in enumerate(parts):
            for k, (i, j) in enumerate(pairs):
                if (i in part) != (j in part):
                    cut[row, k] = 1
        rules.append(LinearConstraint(cut.tocsr(), 2, np.inf))


@pytest.mark.slow
@pytest.mark.parametrize(("seed", "wide"), [(1, INF), (2, 12000.0), (3, 4000.0)])
def test_a_hundred_customers_within_one_in_a_hundred_of_the_best(seed, wide):
    """Windows around the arrivals of a tour (rule of Dumas et al. 1995, memory); the best tour stays the best."""
    rng = np.random.default_rng(seed)
    points = rng.random((101, 2)) * 10000.0
    times = np.ceil(np.linalg.norm(points[:, None] - points[None], axis=2))
    order, best = shortest_tour(times)
    arrive = np.cumsum([times[a, b] for a, b in pairwise(order)])
    early, late = np.full(100, -INF), np.full(100, INF)
    half = 0.0 if np.isinf(wide) else wide / 2
    for stop, moment in zip(order[1:], arrive, strict=True):
        early[stop - 1], late[stop - 1] = moment - rng.uniform(0, half), moment + rng.uniform(0, half)
    if np.isinf(wide):
        early, late = None, None
    found = searched(day_task(times, np.zeros(100), early=early, late=late), iterations=4000, seed=1)
    assert found is not None
    assert best - 1e-6 <= found.back <= 1.01 * best


def test_the_same_seed_gives_the_same_order():
    task = day_task(scattered(14, 3), [200.0] * 14)
    assert best_order(task, iterations=80, seed=4) == best_order(task, iterations=80, seed=4)
    assert best_order(day_task(scattered(EXACT, 3), [200.0] * EXACT)).proved


def test_nothing_to_see_and_nothing_possible():
    assert best_order(day_task(np.zeros((1, 1)), [])).order == ()
    late = day_task(scattered(3, 1), [100.0] * 3, late=[1.0, 1.0, 1.0])
    assert best_order(late) is None
    many = day_task(scattered(12, 1), [100.0] * 12, late=[1.0] * 12)
    assert best_order(many, iterations=20) is None
