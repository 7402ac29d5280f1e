from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from outside import hold, rows
from setwright.line.lawful_run import around, out_and_back, staged
from setwright.line.run import Place, bearing, check_run, distance, order

START = datetime(2026, 12, 21, 11, 40, tzinfo=UTC)


@pytest.mark.parametrize("row", rows("line", "published"))
def test_published(row):
    hold(
        row,
        {
            "distance_km": lambda a, b: distance(tuple(a), tuple(b)) / 1000.0,
            "bearing": lambda a, b: bearing(tuple(a), tuple(b)),
            "out_and_back": lambda window, leg, service: out_and_back(window, leg, service),
            "around": lambda window, leg, service: around(window, leg, service),
            "staged": lambda day: staged(600, 6, 12, 35, day)[-1],
        },
    )


def cost(route, times, service, due):
    clock = late = 0.0
    here = 0
    for stop in route:
        clock += times[here, stop]
        late += max(0.0, clock - due[stop - 1])
        clock += service[stop - 1]
        here = stop
    return late, clock + times[here, 0]


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 6), st.integers(0, 10_000))
def test_order_is_as_good_as_trying_all(count, seed):
    rng = np.random.default_rng(seed)
    points = rng.random((count + 1, 2)) * 3000
    times = np.linalg.norm(points[:, None] - points[None], axis=2)
    service = rng.uniform(100, 600, count)
    due = np.where(rng.random(count) < 0.3, rng.uniform(1000, 6000, count), np.inf)
    found = order(times, service, due)
    assert sorted(found) == list(range(1, count + 1)), "every stop once"
    best = min(cost(route, times, service, due) for route in permutations(range(1, count + 1)))
    late, total = cost(found, times, service, due)
    assert late <= best[0] + 1e-6 or late <= 1.15 * best[0] + 60, "lateness near the least possible"
    if best[0] == 0 and late == 0:
        assert total <= 1.05 * best[1], "within 5 % of the shortest"


def test_a_near_limit_is_seen_first():
    def place(key, east, limit_hours, restraining=True):
        limit = None if limit_hours is None else START + timedelta(hours=limit_hours)
        return Place(key, 36.0, -80.0 + east, "truck", 600.0, limit, restraining)

    places = [place("near", 0.01, None), place("far", 0.05, 0.3), place("middle", 0.03, None)]
    legs, back, total = check_run((36.0, -80.0), places, START, {"truck": 11.2, "boat": 2.2, "foot": 1.1})
    assert legs[0].place.key == "far", "the set whose limit is twenty minutes off comes first"
    assert not any(leg.late for leg in legs)
    assert back > legs[-1].leave
    assert total == pytest.approx(2 * 1.3 * distance((36.0, -80.0), (36.0, -79.95)), rel=0.2)


def test_lateness_is_told():
    place = Place("late", 36.0, -79.0, "foot", 60.0, START + timedelta(minutes=5), True)
    legs, _, _ = check_run((36.0, -80.0), [place], START, {"truck": 11.2, "boat": 2.2, "foot": 1.1})
    assert legs[0].late and legs[0].left < 0
