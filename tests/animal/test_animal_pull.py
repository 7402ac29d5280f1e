"""Pull: energy, limits, the shock spring."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.animal.pull import body_stiffness, peak_pull, pull_over_steady, run_up_speed, series, with_shock_spring

masses = st.floats(0.5, 120)
accelerations = st.floats(0, 10)
speeds = st.floats(0.01, 15)
rates = st.floats(200, 50_000)


@given(accelerations, st.floats(0, 5), st.floats(0.5, 20))
def test_speed_is_capped_and_spends_the_run(acceleration: float, run: float, top: float) -> None:
    speed = float(run_up_speed(acceleration, run, top))
    assert speed <= top and speed**2 <= 2 * acceleration * run * (1 + 1e-12)
    assert speed == pytest.approx(min(top, (2 * acceleration * run) ** 0.5))


@given(masses, accelerations, speeds, rates)
def test_peak_pull_balances_the_energy(mass: float, acceleration: float, speed: float, stiffness: float) -> None:
    force = float(peak_pull(mass, acceleration, speed, stiffness))
    stretch = force / stiffness
    given_in = 0.5 * mass * speed**2 + mass * acceleration * stretch
    assert 0.5 * force * stretch == pytest.approx(given_in, rel=1e-9)


@given(masses, accelerations, rates)
def test_a_push_at_rest_doubles_the_steady_force(mass: float, acceleration: float, stiffness: float) -> None:
    assert peak_pull(mass, acceleration, 0.0, stiffness) == pytest.approx(2 * mass * acceleration)


@given(masses, accelerations, speeds, rates)
def test_without_work_over_the_stretch_both_forms_bound_each_other(
    mass: float, acceleration: float, speed: float, stiffness: float
) -> None:
    full = float(peak_pull(mass, acceleration, speed, stiffness))
    blow = float(pull_over_steady(mass * acceleration, mass, speed, stiffness))
    assert blow <= full * (1 + 1e-12)
    assert full <= blow + mass * acceleration + 1e-9


def test_peak_grows_as_the_root_of_the_chain() -> None:
    speed = run_up_speed(4.0, np.array([0.3, 1.2]), 20.0)
    short, long = pull_over_steady(0.0, 12.0, speed, 4000.0)
    assert long / short == pytest.approx(2.0), "four times the run, twice the pull"


@given(st.lists(rates, min_size=2, max_size=4), st.randoms(use_true_random=False))
def test_series_is_softer_than_the_softest_in_any_order(found: list[float], random: Random) -> None:
    turned = list(found)
    random.shuffle(turned)
    assert series(*found) == pytest.approx(series(*turned))
    assert series(*found) < min(found)


def test_series_ends() -> None:
    assert series(4000.0, np.inf) == pytest.approx(4000.0), "a rigid link changes nothing"
    assert series(4000.0, 0.0) == 0.0 and np.isinf(series())


@given(masses, accelerations, speeds, rates, rates, st.floats(0.005, 0.2))
def test_shock_spring_balances_the_energy(
    mass: float, acceleration: float, speed: float, stiffness: float, rate: float, stroke: float
) -> None:
    found = with_shock_spring(mass, acceleration, speed, stiffness, rate, stroke)
    force = float(found.force)
    spring = stroke if bool(found.bottomed) else force / rate
    given_in = 0.5 * mass * speed**2 + mass * acceleration * (spring + force / stiffness)
    held = 0.5 * force**2 / stiffness + float(found.stored)
    assert held == pytest.approx(given_in, rel=1e-6)
    assert spring <= stroke * (1 + 1e-9)
    assert force >= (rate * stroke if bool(found.bottomed) else 0.0) * (1 - 1e-9)


@given(masses, speeds, rates, rates)
def test_a_spring_never_adds_to_a_pure_blow(mass: float, speed: float, stiffness: float, rate: float) -> None:
    plain = float(peak_pull(mass, 0.0, speed, stiffness))
    for stroke in (0.001, 0.02, 0.1, 10.0):
        assert float(with_shock_spring(mass, 0.0, speed, stiffness, rate, stroke).force) <= plain * (1 + 1e-9)
    endless = with_shock_spring(mass, 0.0, speed, stiffness, rate, 1e6)
    assert not bool(endless.bottomed)
    assert endless.force == pytest.approx(peak_pull(mass, 0.0, speed, series(stiffness, rate)))


def test_force_is_continuous_where_the_spring_bottoms() -> None:
    speed = np.linspace(0.5, 3.0, 20_001)
    found = with_shock_spring(14.0, 8.0, speed, 4200.0, 5333.0, 0.075)
    assert found.bottomed.any() and not found.bottomed.all()
    assert np.abs(np.diff(found.force)).max() < 0.1 and (np.diff(found.force) > 0).all()


def test_stiffness_grows_with_the_body() -> None:
    mass = np.array([1.0, 6.4, 14.0, 38.0])
    assert (np.diff(body_stiffness(mass)) > 0).all() and body_stiffness(1.0) == pytest.approx(715.0)
