from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from outside import hold, rows
from setwright.sets.outcome import first_to_fire, outcome

rate = st.floats(0.0, 5.0)


def one(value):
    return np.array([float(value)])


def first(rates, nights):
    found, nothing = first_to_fire({str(i): one(r) for i, r in enumerate(rates)}, one(nights))
    return [float(found[str(i)][0]) for i in range(len(rates))], float(nothing[0])


@pytest.mark.parametrize("row", rows("sets", "published"))
def test_published(row):
    hold(
        row,
        {
            "first": lambda rates, nights, which: first(rates, nights)[0][which],
            "nothing": lambda rates, nights: first(rates, nights)[1],
        },
    )


@given(st.lists(rate, min_size=1, max_size=5), st.floats(0.0, 20.0))
def test_everything_that_may_happen_sums_to_one(rates, nights):
    found, nothing = first(rates, nights)
    assert sum(found) + nothing == pytest.approx(1.0, abs=1e-12)
    assert all(0.0 <= p <= 1.0 for p in found)


@given(st.lists(st.floats(0.01, 5.0), min_size=2, max_size=5), st.floats(0.1, 20.0))
def test_shares_follow_the_rates_and_rivals_take(rates, nights):
    found, _ = first(rates, nights)
    assert found[0] * rates[1] == pytest.approx(found[1] * rates[0], rel=1e-9)
    alone, _ = first(rates[:1], nights)
    assert found[0] <= alone[0] + 1e-12, "a rival that fires the trap takes it from the target"


@given(rate, rate, st.floats(0.0, 10.0), st.floats(0.0, 10.0))
def test_longer_waits_never_lower_the_chance(a, b, short, more):
    assert first([a, b], short)[0][0] <= first([a, b], short + more)[0][0] + 1e-12


def test_against_simulated_exponential_times():
    rng = np.random.default_rng(5)
    rates, nights = np.array([0.4, 0.15, 0.02]), 1.7
    times = rng.exponential(1.0 / rates, size=(400_000, 3))
    winner = np.where(times.min(axis=1) <= nights, times.argmin(axis=1), -1)
    found, nothing = first(rates, nights)
    for index in range(3):
        assert found[index] == pytest.approx(float(np.mean(winner == index)), abs=0.003)
    assert nothing == pytest.approx(float(np.mean(winner == -1)), abs=0.003)


def test_held_is_a_part_of_first_and_the_rest_is_lost():
    found = outcome(
        {"fox": one(0.5), "skunk": one(0.2)},
        {"fox": one(0.9), "skunk": one(0.8)},
        {"fox": one(0.8), "skunk": one(0.5)},
        one(0.1),
        one(1.0),
    )
    assert found["fox"].held[0] == pytest.approx(found["fox"].first[0] * 0.72)
    for row in found.values():
        assert row.held[0] + row.lost[0] == pytest.approx(row.first[0]) or row.first[0] == found["nothing"].first[0]
    assert found["misfire"].held[0] == 0.0
    assert sum(row.first[0] for row in found.values()) == pytest.approx(1.0)


def test_hours_out_of_order_catch_nothing():
    found = outcome({"fox": one(3.0)}, {"fox": one(1.0)}, {"fox": one(1.0)}, one(0.1), one(0.0))
    assert found["fox"].first[0] == 0.0 and found["nothing"].first[0] == 1.0
