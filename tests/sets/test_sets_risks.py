"""Competing risks by the hour: properties, an equation solver, a survival program's record, and play."""

from __future__ import annotations

import csv
import importlib
import sys
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from setwright.basis.errors import OutOfRange
from setwright.sets.outcome import first_to_fire
from setwright.sets.risks import (
    firing_rates,
    first_firing,
    held_longer,
    held_mean,
    held_quantile,
    hourly_share,
    incidence,
    mean_left,
    met_armed,
    time_of_firing,
)

PLACE = Path(__file__).resolve().parents[2] / "authorities" / "sets"
RECORD = list(csv.DictReader((PLACE / "incidence.csv").open(encoding="utf-8")))
seeds = st.integers(0, 10**6)

# The invented cases of the record, written out again: the record must not depend on what made it.
NIGHT = np.array([1.0 if 4 <= hour < 14 or hour >= 28 else 0.2 for hour in range(36)])
FROST = np.array([0.0 if 8 <= hour < 15 else 1.0 for hour in range(36)])
LATE = np.concatenate([np.linspace(0.1, 2.0, 18), np.linspace(2.0, 0.1, 18)])
ONES = np.ones(36)
CASES = {
    "steady": np.array([0.02 * ONES, 0.008 * ONES, 0.003 * ONES]),
    "frost": np.array([0.05 * NIGHT * FROST, 0.02 * LATE * FROST, 0.004 * FROST]),
    "crowded": np.array([0.15 * NIGHT, 0.12 * LATE, 0.02 * ONES]),
}


def invented(seed, *, kinds=4, draws=3, hours=10):
    """Rates by the hour, some hours out of order, and hours of several lengths."""
    rng = np.random.default_rng(seed)
    order = rng.random((draws, hours)) > 0.3
    rates = rng.gamma(0.5, 0.3, size=(kinds, draws, hours)) * order
    return rates, rng.choice([0.25, 0.5, 1.0, 2.0], size=hours)


@given(seeds)
def test_everything_that_may_happen_sums_to_one(seed):
    found = first_firing(*invented(seed))
    np.testing.assert_allclose(found.by_cause.sum(axis=0) + found.nothing, 1.0, atol=1e-13)
    assert (found.first >= 0).all()


@given(seeds, st.integers(1, 4))
def test_a_further_cause_never_raises_another_ones_chance(seed, kinds):
    rates, widths = invented(seed, kinds=kinds + 1)
    with_it, without = first_firing(rates, widths), first_firing(rates[:-1], widths)
    assert (with_it.first[:-1] <= without.first + 1e-14).all()
    assert (with_it.nothing <= without.nothing + 1e-14).all()
    assert (with_it.armed_time <= without.armed_time + 1e-12).all()


@given(seeds, st.integers(0, 9))
def test_one_more_hour_in_order_lowers_no_firing_of_all_causes(seed, hour):
    """What fires within the wait in all only grows; one cause alone may lose to another that has the new hour."""
    rates, widths = invented(seed)
    shut = rates.copy()
    shut[..., hour] = 0.0
    assert (first_firing(rates, widths).nothing <= first_firing(shut, widths).nothing + 1e-14).all()


@given(seeds, st.integers(0, 9))
def test_one_more_hour_lowers_no_firing_when_all_causes_have_one_pattern(seed, hour):
    rng = np.random.default_rng(seed)
    night, pattern = rng.random((4, 3)), rng.random(10)
    order = (rng.random((3, 10)) > 0.3).astype(float)
    more = order.copy()
    more[:, hour] = 1.0
    few, many = (
        first_firing(firing_rates(night, np.ones_like(night), np.tile(pattern, (4, 1)), hours))
        for hours in (order, more)
    )
    assert (many.by_cause >= few.by_cause - 1e-14).all()


def test_a_cause_may_lose_by_an_hour_that_only_a_rival_uses():
    """Why the property above speaks of one pattern: an early hour that opens for the rival alone takes the trap."""
    late = np.array([[[0.0, 1.0]], [[0.0, 0.0]]])
    opened = np.array([[[0.0, 1.0]], [[1.0, 0.0]]])
    assert first_firing(opened).by_cause[0, 0] < first_firing(late).by_cause[0, 0]


@given(seeds, st.floats(0.1, 50.0))
def test_constant_rates_are_the_closed_form_of_the_whole_wait(seed, wait):
    rng = np.random.default_rng(seed)
    rates = rng.gamma(0.5, 0.3, size=(4, 3))
    widths = rng.dirichlet(np.ones(7)) * wait + 1e-9
    found = first_firing(np.repeat(rates[..., None], 7, axis=-1), widths)
    closed, nothing = first_to_fire({str(k): rates[k] for k in range(4)}, np.full(3, widths.sum()))
    np.testing.assert_allclose(found.by_cause, np.stack(list(closed.values())), atol=1e-12, rtol=1e-12)
    np.testing.assert_allclose(found.nothing, nothing, atol=1e-12)


@given(seeds, st.floats(0.01, 100.0))
def test_only_rate_times_time_counts(seed, scale):
    rates, widths = invented(seed)
    one, other = first_firing(rates, widths), first_firing(rates * scale, widths / scale)
    np.testing.assert_allclose(other.first, one.first, rtol=1e-11, atol=1e-15)
    np.testing.assert_allclose(other.armed_time * scale, one.armed_time, rtol=1e-11)
    np.testing.assert_allclose(time_of_firing(other, 0.3) * scale, time_of_firing(one, 0.3), rtol=1e-9)


@given(seeds, st.permutations(range(4)))
def test_the_order_of_causes_changes_nothing(seed, order):
    rates, widths = invented(seed)
    one, other = first_firing(rates, widths), first_firing(rates[order], widths)
    np.testing.assert_allclose(other.first, one.first[order], rtol=1e-12, atol=1e-16)
    np.testing.assert_allclose(held_mean(other), held_mean(one)[order], rtol=1e-9)


@given(seeds, st.integers(1, 9))
def test_cutting_an_hour_in_two_changes_nothing(seed, hour):
    rates, widths = invented(seed)
    cut = np.insert(widths, hour, 0.3 * widths[hour])
    cut[hour + 1] *= 0.7
    one, other = first_firing(rates, widths), first_firing(np.insert(rates, hour, rates[..., hour], axis=-1), cut)
    np.testing.assert_allclose(other.by_cause, one.by_cause, atol=1e-13)
    np.testing.assert_allclose(other.armed_time, one.armed_time, rtol=1e-12)


@settings(max_examples=15, deadline=None)
@given(seeds)
def test_against_an_equation_solver(seed):
    """States armed, fired by 1 … k, and the armed time beside them, stepped by SciPy through every hour."""
    rates, widths = invented(seed, draws=1, hours=6)
    found = first_firing(rates, widths)
    state = np.zeros(6)
    state[0] = 1.0
    for hour, width in enumerate(widths):
        rate = rates[:, 0, hour]

        def slope(_, y, rate=rate):
            return np.concatenate([[-rate.sum() * y[0]], rate * y[0], [y[0]]])

        state = solve_ivp(slope, (0.0, width), state, rtol=1e-11, atol=1e-13).y[:, -1]
    np.testing.assert_allclose(found.by_cause[:, 0], state[1:5], atol=1e-9)
    assert found.nothing[0] == pytest.approx(state[0], abs=1e-9)
    assert found.armed_time[0] == pytest.approx(state[5], abs=1e-8)


@settings(max_examples=25, deadline=None)
@given(seeds)
def test_mean_time_held_is_the_area_under_the_incidence(seed):
    rates, widths = invented(seed, draws=1, hours=6)
    assume((rates.sum(axis=-1) > 1e-3).all())
    found = first_firing(rates, widths)
    edges = found.edges
    for kind in range(4):
        area = sum(
            quad(lambda t, k=kind: float(incidence(found, t)[k, 0]), a, b, epsabs=1e-12)[0]
            for a, b in pairwise(edges)
        )
        assert held_mean(found)[kind, 0] * found.by_cause[kind, 0] == pytest.approx(area, rel=1e-8, abs=1e-10)


@given(seeds, st.floats(0.01, 0.99))
def test_quantiles_of_time_held_and_of_firing_are_inverses(seed, share):
    rates, widths = invented(seed)
    found = first_firing(rates, widths)
    held = held_quantile(found, share)
    for kind in range(4):
        for draw in range(3):
            whole = found.by_cause[kind, draw]
            if whole > 1e-6:
                beyond = held_longer(found, held[kind, draw])[kind, draw]
                assert beyond / whole == pytest.approx(1.0 - share, abs=1e-8)
    time = time_of_firing(found, share)
    for draw in range(3):
        if np.isfinite(time[draw]):
            assert incidence(found, time[draw])[:, draw].sum() == pytest.approx(share, abs=1e-12)
        else:
            assert 1.0 - found.nothing[draw] < share


@given(st.floats(1e-12, 1e-3), st.floats(1.0, 40.0))
def test_few_firings_leave_the_mean_held_time_at_half_the_wait(rate, wait):
    found = first_firing(np.full((1, 1, 4), rate / wait), wait / 4)
    assert held_mean(found)[0, 0] == pytest.approx(wait / 2, rel=1e-3)
    assert met_armed(found)[0, 0] == pytest.approx(1 - rate / 2, abs=1e-6)


@given(st.floats(1e-12, 50.0))
def test_the_mean_left_and_the_late_share_run_smoothly_into_their_limits(hazard):
    assert float(mean_left(hazard)) == pytest.approx(quad(lambda v: np.exp(-hazard * v), 0, 1)[0], rel=1e-10)
    found = first_firing(np.full((1, 1, 1), hazard))
    late = quad(lambda v: (1 - v) * hazard * np.exp(-hazard * v), 0, 1, epsabs=0)[0]
    assert held_mean(found)[0, 0] * found.by_cause[0, 0] == pytest.approx(late, rel=1e-9)


@pytest.mark.parametrize("row", RECORD, ids=[f"{r['case']} {r['cause']} {r['time']} h" for r in RECORD])
def test_against_the_survival_program(row):
    found = first_firing(CASES[row["case"]][:, None, :])
    ours = float(incidence(found, float(row["time"]))[int(row["cause"]), 0])
    assert abs(ours - float(row["incidence"])) < 4.0 * float(row["error"])


def test_the_record_would_show_a_slip_of_five_percent():
    """Causes of some weight, seen late: 5 % in the rates stands off by more than 4 standard errors."""
    off = [
        abs(
            float(incidence(first_firing(1.05 * CASES[r["case"]][:, None, :]), float(r["time"]))[int(r["cause"]), 0])
            - float(r["incidence"])
        )
        / float(r["error"])
        for r in RECORD
    ]
    for case in CASES:
        assert max(z for z, r in zip(off, RECORD, strict=True) if r["case"] == case) > 4.0


@pytest.mark.slow
def test_the_survival_program_answers_the_same_again():
    pytest.importorskip("lifelines")
    if str(PLACE) not in sys.path:
        sys.path.insert(0, str(PLACE))
    program = importlib.import_module("aalen_johansen")
    for name, rates in CASES.items():
        np.testing.assert_allclose(program.CASES[name], rates)
        for again, row in zip(program.estimates(name), [r for r in RECORD if r["case"] == name], strict=True):
            assert float(again["incidence"]) == pytest.approx(float(row["incidence"]), abs=0.2 * float(row["error"]))


def test_visits_by_the_hour_of_the_day():
    pattern = np.array([3.0] * 6 + [0.0] * 12 + [1.0] * 6)
    hours = (17 + np.arange(48)) % 24
    share = hourly_share(pattern, hours)
    assert share[:24].sum() == pytest.approx(1.0) and share.sum() == pytest.approx(2.0)
    assert share[0] == 0.0 and share[1] == pytest.approx(1 / 24) and share[7] == pytest.approx(3 / 24)
    assert np.isnan(hourly_share(np.zeros(24), hours)).all(), "a pattern without any weight says nothing"
    assert np.isnan(hourly_share(np.r_[-1.0, np.ones(23)], hours)).all()
    with pytest.raises(OutOfRange) as caught:
        hourly_share(np.ones(12), hours)
    assert caught.value.field == "pattern"


def test_the_shape_of_the_night_counts_when_frost_has_a_part_of_it():
    """The same visits a night, the same hours out of order: an early animal is met, a late one finds ice."""
    order = np.array([[1.0] * 6 + [0.0] * 6])
    early, late = np.r_[np.full(6, 1 / 6), np.zeros(6)], np.r_[np.zeros(6), np.full(6, 1 / 6)]
    rates = firing_rates(np.full((2, 1), 0.5), np.ones((2, 1)), np.stack([early, late]), order)
    found = first_firing(rates)
    assert found.by_cause[0, 0] == pytest.approx(1 - np.exp(-0.5)) and found.by_cause[1, 0] == 0.0
    assert np.isnan(held_mean(found)[1, 0]) and np.isnan(met_armed(found)[1, 0])


def test_an_unknown_or_negative_rate_leaves_that_draw_unknown_and_no_other():
    rates, widths = invented(3)
    plain = first_firing(rates, widths)
    for bad in (np.nan, -0.1, np.inf):
        spoilt = rates.copy()
        spoilt[1, 2, 4] = bad
        found = first_firing(spoilt, widths)
        assert np.isnan(found.by_cause[:, 2]).all() and np.isnan(found.nothing[2])
        assert np.isnan(time_of_firing(found)[2])
        np.testing.assert_array_equal(found.by_cause[:, :2], plain.by_cause[:, :2])


def test_times_outside_the_wait_have_no_answer():
    found = first_firing(*invented(4))
    end = found.edges[-1]
    got = incidence(found, np.array([-0.1, 0.0, end, end + 0.1]))
    assert np.isnan(got[..., [0, 3]]).all() and (got[..., 1] == 0.0).all()
    np.testing.assert_allclose(got[..., 2], found.by_cause, atol=1e-14)


@pytest.mark.parametrize(("rates", "widths", "field"), [(np.ones(3), 1.0, "rates"), (np.ones((1, 3)), 0.0, "widths")])
def test_misuse_is_named(rates, widths, field):
    with pytest.raises(OutOfRange) as caught:
        first_firing(rates, widths)
    assert caught.value.field == field


def test_patterns_of_several_animals_are_shared_out_each_by_itself() -> None:
    night, even = np.r_[np.ones(6), np.zeros(12), np.ones(6)], np.ones(24)
    both = hourly_share([night, even], [22, 23, 0, 12])
    np.testing.assert_allclose(both, [[1 / 12, 1 / 12, 1 / 12, 0.0], [1 / 24] * 4])
    below = even.copy()
    below[3] = -1.0
    np.testing.assert_allclose(hourly_share([below, even], [3, 4]), [[np.nan] * 2, [1 / 24] * 2])


def test_what_comes_in_the_last_hour_alone_is_held_less_than_that_hour() -> None:
    found = first_firing(np.array([[0.0, 0.0, 0.4], [0.1, 0.1, 0.1]]), np.ones(3))
    late, always = held_quantile(found, 0.5)
    assert 0.0 < float(late) < 1.0 < float(always) < 3.0
    never = first_firing(np.array([[0.0, 0.0, 0.0], [0.1, 0.1, 0.1]]), np.ones(3))
    assert np.isnan(held_quantile(never, 0.5)[0])
