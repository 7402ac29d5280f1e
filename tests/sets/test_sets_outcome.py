from __future__ import annotations

from collections import defaultdict
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from outside import hold, rows
from setwright.basis.errors import OutOfRange
from setwright.basis.spread import Draws
from setwright.sets.outcome import (
    armed_effort,
    first_to_fire,
    half_interval_effort,
    outcome,
    outcome_by_hour,
    season_counts,
    season_spread,
)
from setwright.sets.risks import first_firing, hourly_share
from setwright.sets.sensitivity import first_order

rate = st.floats(0.0, 5.0)


def one(value):
    return np.array([float(value)])


def first(rates, nights):
    found, nothing = first_to_fire({str(i): one(r) for i, r in enumerate(rates)}, one(nights))
    return [float(found[str(i)][0]) for i in range(len(rates))], float(nothing[0])


def per_hundred(effort, n, nights, sprung, catches):
    return 100.0 * catches / float(effort(n, nights, sprung))


def mean_shares(drawn, result, seeds=8, n=20000):
    """First-order share of every input, the mean over so many seeds."""
    found = defaultdict(list)
    for seed in range(seeds):
        x = drawn(Draws(n, seed, "shares"))
        for share in first_order(x, result(x), bins=80):
            found[share.name].append(share.share)
    return {name: np.mean(shares) for name, shares in found.items()}


@cache
def ishigami_shares():
    """First-order shares of the inputs, uniform from -pi to pi."""
    return mean_shares(
        lambda draws: {name: draws.between(name, -np.pi, np.pi) for name in ("x1", "x2", "x3")},
        lambda x: np.sin(x["x1"]) + 7.0 * np.sin(x["x2"]) ** 2 + 0.1 * x["x3"] ** 4 * np.sin(x["x1"]),
    )


@cache
def g_shares(*a):
    """First-order shares of the inputs, uniform from 0 to 1."""
    weights = {f"x{place}": weight for place, weight in enumerate(a)}
    return mean_shares(
        lambda draws: {name: draws.uniform(name) for name in weights},
        lambda x: np.prod([(np.abs(4.0 * x[k] - 2.0) + w) / (1.0 + w) for k, w in weights.items()], axis=0),
    )


def ishigami(which):
    return ishigami_shares()[which]


def g_function(which, a):
    return g_shares(*a)[which]


@pytest.mark.parametrize("row", rows("sets", "published"))
def test_published(row):
    hold(
        row,
        {
            "first": lambda rates, nights, which: first(rates, nights)[0][which],
            "nothing": lambda rates, nights: first(rates, nights)[1],
            "half_interval": lambda n, nights, sprung, catches: per_hundred(
                half_interval_effort, n, nights, sprung, catches
            ),
            "ishigami": ishigami,
            "g_function": g_function,
            "armed": lambda n, nights, sprung, catches: per_hundred(armed_effort, n, nights, sprung, catches),
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


def hours_of(start, count):
    return (start + np.arange(count)) % 24


def test_even_hours_and_a_trap_in_order_are_the_outcome_of_whole_nights():
    firing = {"fox": np.array([0.5, 2.0]), "skunk": np.array([0.2, 0.0])}
    part = {"fox": np.array([0.9, 0.5]), "skunk": np.array([0.8, 0.1])}
    misfire, share = np.array([0.1, 0.3]), hourly_share(np.ones(24), hours_of(17, 36))
    timed = outcome_by_hour(
        firing, part, part, misfire, {"fox": share, "skunk": share, "misfire": share}, np.ones((2, 36))
    )
    whole = outcome(firing, part, part, misfire, np.full(2, 1.5))
    assert timed.causes == ("fox", "skunk", "misfire") and set(timed.by_cause) == set(whole)
    for key, row in whole.items():
        for field in ("first", "held", "lost"):
            np.testing.assert_allclose(getattr(timed.by_cause[key], field), getattr(row, field), atol=1e-12)


def test_a_pattern_of_the_night_alone_changes_nothing_as_long_as_all_have_it():
    """In order all the time and one pattern for all: only the visits of the whole wait count."""
    firing, part = {"fox": one(0.8), "skunk": one(0.4)}, {"fox": one(1.0), "skunk": one(1.0)}
    pattern = np.r_[np.full(6, 5.0), np.full(12, 0.5), np.full(6, 3.0)]
    shares = dict.fromkeys(("fox", "skunk", "misfire"), hourly_share(pattern, hours_of(17, 24)))
    timed = outcome_by_hour(firing, part, part, one(0.1), shares, np.ones((1, 24)))
    whole = outcome(firing, part, part, one(0.1), one(1.0))
    assert timed.by_cause["fox"].first[0] == pytest.approx(whole["fox"].first[0], abs=1e-12)


def test_water_may_close_the_trap_to_one_foot_and_not_to_another():
    firing, part = {"beaver": one(0.8), "otter": one(0.4)}, {"beaver": one(1.0), "otter": one(1.0)}
    shares = dict.fromkeys(("beaver", "otter", "misfire"), np.full(24, 1 / 24))
    order = {"beaver": np.zeros((1, 24)), "otter": np.ones((1, 24)), "misfire": np.ones((1, 24))}
    timed = outcome_by_hour(firing, part, part, one(0.0), shares, order)
    assert timed.by_cause["beaver"].first[0] == 0.0
    assert timed.by_cause["otter"].first[0] == pytest.approx(1 - np.exp(-0.4))


@given(st.floats(1e-6, 8.0), st.floats(0.25, 14.0))
def test_effort_by_the_share_found_sprung_is_the_armed_time_of_the_model(mean, nights):
    found = first_firing(np.full((1, 1, 5), mean / nights), nights / 5)
    sprung = 1.0 - found.nothing
    assert float(armed_effort(1.0, nights, sprung)[0]) == pytest.approx(found.armed_time[0], rel=1e-6)


@given(st.floats(1e-3, 0.2), st.floats(0.25, 14.0))
def test_half_an_interval_a_sprung_trap_is_the_limit_of_few_firings(mean, nights):
    """Both are the same to first order in the firings x of a wait; what the half interval leaves out is x²/12."""
    found = first_firing(np.full((2, 1, 5), 0.5 * mean / nights), nights / 5)
    half = float(half_interval_effort(1.0, nights, 1.0 - found.nothing)[0])
    assert (half - found.armed_time[0]) / nights / mean**2 == pytest.approx(1 / 12, rel=mean)
    by_half = found.by_cause[0, 0] / half
    assert by_half == pytest.approx(0.5 * mean / nights, rel=mean**2 / 10)


def test_the_half_interval_is_wrong_at_once_when_all_come_early():
    """It takes firings to lie in the middle of the wait on average; with uneven nights the model knows better."""
    early = first_firing(np.array([[[0.2, 0.0, 0.0, 0.0]]]), 6.0)
    sprung = 1.0 - early.nothing[0]
    assert float(half_interval_effort(1.0, 24.0, sprung)) > 1.15 * early.armed_time[0]


def test_effort_that_cannot_be_is_unknown():
    assert np.isnan(half_interval_effort(10, 1.0, 11)) and np.isnan(armed_effort(10, 1.0, -1))
    assert np.isnan(armed_effort(10, 1.0, 10)), "all sprung tells nothing of how fast"
    assert float(armed_effort(10, 2.0, 0)) == 20.0


@given(st.floats(1e-6, 1.0), st.integers(1, 60))
def test_a_season_of_one_trap_is_binomial(held, waits):
    counts = season_counts(np.array([[1.0 - held], [held]]), waits)[:, 0]
    np.testing.assert_allclose(counts, binom.pmf(np.arange(waits + 1), waits, held), atol=1e-13)


def test_a_rate_that_is_not_known_widens_the_season_beyond_chance():
    held = np.array([0.02, 0.05, 0.2])
    known = season_spread(season_counts(np.array([[1 - held.mean()], [held.mean()]]), 50))
    unknown = season_spread(season_counts(np.stack([1 - held, held]), 50))
    assert unknown.mean == pytest.approx(known.mean) == pytest.approx(50 * held.mean())
    assert known.dispersion == pytest.approx(1 - held.mean()) and unknown.dispersion > 3.0
    assert unknown.low <= known.low and unknown.high > known.high
    assert (known.low, known.high) == tuple(binom.ppf([0.05, 0.95], 50, held.mean()))


def test_a_season_with_an_unknown_draw_is_unknown_and_one_without_waits_is_refused():
    assert np.isnan(season_spread(season_counts(np.array([[np.nan, 0.5], [np.nan, 0.5]]), 5)).mean)
    with pytest.raises(OutOfRange) as caught:
        season_counts(np.ones((1, 1)), 0)
    assert caught.value.field == "intervals"
