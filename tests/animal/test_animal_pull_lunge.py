"""Whole lunges, pulls without a run, and lunges in water: energy, limits, laws of scale."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.animal.lunge import feet_push, free_run, lunge, peak_over_steady, peak_through
from setwright.animal.lunge_steady import leaning, lifting
from setwright.animal.lunge_water import moved_mass, slide_speed, swim_limit, swim_speed, weight_in_water
from setwright.animal.pull import body_stiffness, peak_pull, pull_over_steady, with_shock_spring

GRAVITY = 9.80665
masses = st.floats(0.5, 120.0)
accelerations = st.floats(0.1, 10.0)
runs = st.floats(0.0, 4.0)
rates = st.floats(300.0, 40e3)
strokes = st.floats(0.005, 0.2)
preloads = st.floats(0.0, 600.0)


def in_spring(stretch: float, rate: float, preload: float) -> float:
    return preload * stretch + 0.5 * rate * stretch**2


@given(masses, accelerations, runs, rates, rates, strokes, preloads)
def test_a_lunge_balances_its_energy(
    mass: float, push: float, run: float, stiffness: float, rate: float, stroke: float, preload: float
) -> None:
    energy, force_of_feet = mass * push * run, mass * push
    force, solid, stored = (float(x) for x in peak_through(energy, force_of_feet, stiffness, rate, stroke, preload))
    stretch = 0.0 if force <= preload else stroke if solid else (force - preload) / rate
    given_in = energy + force_of_feet * (stretch + force / stiffness)
    assert 0.5 * force**2 / stiffness + stored == pytest.approx(given_in, rel=1e-8)
    assert stored == pytest.approx(in_spring(stretch, rate, preload), rel=1e-9, abs=1e-12)
    assert 0.0 <= stretch <= stroke * (1 + 1e-9)


@given(masses, accelerations, st.floats(0.01, 4.0), rates, rates, strokes, preloads)
def test_a_lunge_on_a_tight_chain_balances_its_energy(
    mass: float, push: float, run: float, stiffness: float, rate: float, stroke: float, preload: float
) -> None:
    energy, feet = mass * push * run, mass * push
    force = float(peak_over_steady(energy, feet, stiffness, rate, stroke, preload))

    def stretched(pull: float) -> float:
        return min(max(pull - preload, 0.0) / rate, stroke)

    def held(pull: float) -> float:
        return 0.5 * pull**2 / stiffness + in_spring(stretched(pull), rate, preload)

    work = feet * ((force - feet) / stiffness + stretched(force) - stretched(feet))
    assert held(force) - held(feet) == pytest.approx(energy + work, rel=1e-6, abs=1e-6)


@given(masses, accelerations, runs, rates)
def test_both_readings_are_those_of_the_plain_forms(
    mass: float, acceleration: float, run: float, stiffness: float
) -> None:
    stiffness = min(stiffness, 5e4 * mass)
    found = lunge(mass, acceleration, run, 15.0, stiffness)
    assert found.slack == pytest.approx(float(peak_pull(mass, acceleration, found.speed, stiffness)))
    blow = float(pull_over_steady(found.steady, mass, found.speed, stiffness))
    assert found.taut == pytest.approx(blow)
    assert found.taut <= found.slack * (1 + 1e-12) and found.slack <= found.taut + found.steady * (1 + 1e-9)


@given(masses, accelerations, rates)
def test_without_a_run_a_tight_chain_carries_the_steady_pull_only(mass: float, push: float, stiffness: float) -> None:
    found = lunge(mass, push, 0.0, 15.0, min(stiffness, 5e4 * mass))
    assert found.taut == pytest.approx(mass * push), "run 0: the steady pull"
    assert found.slack == pytest.approx(2.0 * mass * push), "pushed all at once: twice"


@given(masses, accelerations, st.floats(0.1, 4.0))
def test_a_rigid_chain_is_refused_and_not_called_infinite(mass: float, push: float, run: float) -> None:
    for stiffness in (np.inf, 2e5 * mass, np.nan):
        found = lunge(mass, push, run, 15.0, stiffness)
        assert bool(found.rigid) and np.isnan(found.slack) and np.isnan(found.taut) and np.isnan(found.stored)
        assert found.speed > 0.0


@given(masses, accelerations, st.floats(0.05, 3.0), rates, st.floats(1.2, 6.0))
def test_laws_of_scale(mass: float, push: float, run: float, stiffness: float, more: float) -> None:
    stiffness = min(stiffness, 1e4 * mass)
    one = lunge(mass, push, run, 1e9, stiffness)
    longer = lunge(mass, push, more * run, 1e9, stiffness)
    assert longer.taut - longer.steady == pytest.approx(np.sqrt(more) * float(one.taut - one.steady))
    both = lunge(more * mass, push, run, 1e9, more * stiffness)
    assert both.slack == pytest.approx(more * float(one.slack)), "mass and stiffness together: force in proportion"
    stiffer = lunge(mass, push, run, 1e9, more * stiffness)
    assert stiffer.taut - stiffer.steady == pytest.approx(np.sqrt(more) * float(one.taut - one.steady))
    assert float(longer.slack) <= np.sqrt(more) * float(one.slack) * (1 + 1e-9)


@given(masses, accelerations, st.floats(0.1, 4.0), st.floats(0.5, 3.0))
def test_a_cap_of_speed_ends_the_growth(mass: float, push: float, run: float, cap: float) -> None:
    stiffness = float(body_stiffness(mass))
    short, long = (lunge(mass, push, s, cap, stiffness) for s in (50.0, 50.0 + run))
    assert float(short.slack) == float(long.slack)


@given(masses, accelerations, st.floats(0.02, 3.0), rates, rates, strokes)
def test_the_spring_is_that_of_the_older_form_without_preload(
    mass: float, push: float, run: float, stiffness: float, rate: float, stroke: float
) -> None:
    stiffness = min(stiffness, 5e4 * mass)
    found = lunge(mass, push, run, 15.0, stiffness, spring_rate=rate, stroke=stroke)
    plain = with_shock_spring(mass, push, found.speed, stiffness, rate, stroke)
    assert found.slack == pytest.approx(float(plain.force))
    assert found.stored == pytest.approx(float(plain.stored))
    none = lunge(mass, push, run, 15.0, stiffness)
    if run > stroke:
        assert float(found.taut) <= float(none.taut) * (1 + 1e-9)


def test_a_preload_above_the_peak_is_no_spring_and_all_is_continuous() -> None:
    shut = lunge(14.0, 4.0, 0.3, 15.0, 4200.0, spring_rate=3000.0, stroke=0.07, preload=5000.0)
    assert float(shut.slack) == float(lunge(14.0, 4.0, 0.3, 15.0, 4200.0).slack) and float(shut.stored) == 0.0
    run = np.linspace(0.0, 2.0, 20_001)
    found = lunge(14.0, 8.0, run, 15.0, 4200.0, spring_rate=5000.0, stroke=0.05, preload=250.0)
    assert found.bottomed.any() and not found.bottomed.all()
    assert np.abs(np.diff(found.slack[10:])).max() < 1.0 and (np.diff(found.slack) >= -1e-9).all()
    assert np.abs(np.diff(found.taut[10:])).max() < 2.0 and (np.diff(found.taut) >= -1e-9).all()


def test_snow_takes_run_and_push() -> None:
    turf, snow = (lunge(14.0, 8.0, 0.6, 15.0, 4200.0, traction=mu) for mu in (0.9, 0.3))
    assert float(snow.steady) == pytest.approx(14.0 * 0.3 * GRAVITY)
    assert float(snow.slack) < 0.65 * float(turf.slack)
    assert float(feet_push(14.0, 8.0)) == 112.0


def test_free_run_of_a_wound_chain() -> None:
    assert free_run(0.6, 2.0, 0.1) == pytest.approx(1.0)
    assert free_run(0.6, 1.0, 0.9) == 0.0


@given(masses, st.floats(0.2, 1.2), st.floats(0.0, 1.2))
def test_leaning_balances_and_braces(mass: float, traction: float, angle: float) -> None:
    found = leaning(mass, traction, angle)
    force, weight = float(found.force), mass * GRAVITY
    level, down = force * np.cos(angle), force * np.sin(angle)
    if bool(found.braced):
        assert force == pytest.approx(2.0 * weight) and level <= traction * (weight + down) * (1 + 1e-9)
    else:
        assert level == pytest.approx(traction * (weight + down), rel=1e-9)
        assert force >= float(leaning(mass, traction).force) * np.cos(0.0) * (1 - 1e-9)
    assert float(leaning(mass, traction, 0.0).force) == pytest.approx(traction * weight)
    assert float(lifting(mass)) == pytest.approx(1.75 * weight)


def test_a_steep_chain_braces_the_feet() -> None:
    steep = leaning(14.0, 0.9, np.radians([0.0, 30.0, 60.0]))
    assert list(steep.braced) == [False, True, True]


@pytest.mark.parametrize(("push", "top"), [(2.5, 2.0), (1.5, 1.0), (3.0, 4.0)])
def test_the_swim_is_that_of_small_steps(push: float, top: float) -> None:
    step, v, s = 1e-5, 0.0, 0.0
    reached = {}
    for mark in (0.1, 0.3, 0.9):
        while s < mark:
            v += step * push * (1.0 - (v + 0.5 * step * push) ** 2 / top**2)
            s += step * v
        reached[mark] = v
    for mark, speed in reached.items():
        assert float(swim_speed(push, mark, top)) == pytest.approx(speed, rel=1e-3)


@given(accelerations, st.floats(0.01, 3.0), st.floats(0.3, 6.0))
def test_the_swim_lies_below_both_its_limits(push: float, run: float, top: float) -> None:
    speed = float(swim_speed(push, run, top))
    assert speed <= min(top, np.sqrt(2.0 * push * run)) * (1 + 1e-9)
    assert float(swim_speed(push, run, np.inf)) == pytest.approx(np.sqrt(2.0 * push * run))
    assert float(swim_speed(push, 1e4, top)) == pytest.approx(top)
    assert float(swim_speed(push, run, 0.0)) == 0.0


def test_drag_takes_the_push_at_its_limit() -> None:
    top = float(swim_limit(40.0, 0.03, 0.3))
    assert 0.5 * 1000.0 * 0.3 * 0.03 * top**2 == pytest.approx(40.0)
    assert float(swim_limit(-5.0, 0.03, 0.3)) == 0.0


def test_weight_in_water() -> None:
    assert float(weight_in_water(20.0, 1000.0)) == 0.0 and float(weight_in_water(20.0, 950.0)) < 0.0
    assert float(weight_in_water(1.0, 7850.0)) == pytest.approx(GRAVITY * (1 - 1000 / 7850))
    assert float(moved_mass(20.0)) == pytest.approx(24.0)


@given(st.floats(5.0, 60.0), st.floats(0.2, 4.0), st.floats(0.0, 1.4), st.floats(0.0, 30.0))
def test_the_slide_to_the_stop(push: float, run: float, slope: float, friction: float) -> None:
    level = float(slide_speed(24.0, push, run, 0.0, 10.0, 2.0))
    assert level == pytest.approx(float(swim_speed(push / 24.0, run, 2.0)))
    heavy, light = (float(slide_speed(24.0, push, run, slope, sink, 2.0, friction)) for sink in (15.0, -15.0))
    assert heavy >= light
    stuck = float(slide_speed(24.0, push, run, slope, 0.0, 2.0, push + 1.0))
    assert stuck == 0.0, "a lock that drags more than the dive pushes never reaches its stop"
