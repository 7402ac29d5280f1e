"""The pan and its pulls: travel, creep by angle, size, no tension, scatter, rust."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from setwright.basis.errors import OutOfRange
from setwright.trap.build import build, clear_spread
from setwright.trap.pan import (
    CANNOT_TELL,
    CREEPS,
    KEEPS,
    LETS_GO,
    NOTCH_STATES,
    notch_state,
    pan_fit,
    pan_travel,
    without_tension,
)
from setwright.trap.pulls import CANNOT_TELL as NOT_KNOWN
from setwright.trap.pulls import DUE, NOT_BY_RUST, OUT_OF_BAND, next_pull, retest, rust_factor, student_quantile
from setwright.trap.tables import dimensions, patterns, working
from setwright.trap.trigger import notch_force, trip_force

PAN = {"notch_arm": 0.012, "notch_friction": 0.2, "pan_radius": 0.025}


def test_creep_and_letting_go_by_the_angle_of_friction() -> None:
    limit = float(np.arctan(0.2))
    rake = np.array([0.1, 0.0, -0.01, -limit * 0.99, -limit * 1.01, np.nan])
    found = notch_state(rake, friction=0.2)
    assert found.tolist() == [KEEPS, KEEPS, CREEPS, CREEPS, LETS_GO, CANNOT_TELL]
    assert int(notch_state(-0.1, friction=-0.2)) == CANNOT_TELL
    trip = trip_force(16.0, rake=rake[:5], **PAN)
    assert (trip.creeps == np.isin(found[:5], (CREEPS, LETS_GO))).all(), "the two flags agree"
    assert (trip.holds == (found[:5] != LETS_GO)).all(), "beyond the friction angle the force is below zero"
    assert NOTCH_STATES[LETS_GO] == "lets go by itself"


@settings(max_examples=40, deadline=None)
@given(over=st.floats(0.0002, 0.004), arm=st.floats(0.005, 0.03), radius=st.floats(0.01, 0.06))
def test_travel_by_turning_the_pan(over: float, arm: float, radius: float) -> None:
    angle = over / arm
    assert float(pan_travel(over, notch_arm=arm, pan_radius=radius)) == pytest.approx(radius * angle)
    night = float(pan_travel(0.5 * over, notch_arm=arm, pan_radius=radius))
    assert night == pytest.approx(0.5 * radius * angle), "half the overlap, half the travel"
    assert np.isnan(pan_travel([0.0, -over, over], notch_arm=[arm, arm, 0.0], pan_radius=radius)).all()


def test_a_large_pan_trips_lighter_at_its_edge() -> None:
    readings = dimensions("coil-3")
    usual = float(readings.pan_radius)
    radius = usual * np.array([1.0, 1.5, 2.0])
    fit = pan_fit(
        np.pi * (0.5 * radius) ** 2, radius, usual_radius=usual, opening=clear_spread(readings),
        bar_length=build(readings).face_length,
    )  # fmt: skip
    forces = [float(trip_force(20.0, **{**PAN, "pan_radius": r}, bolt=0.2).force) for r in radius]
    np.testing.assert_allclose(np.array(forces) / forces[0], fit.force_ratio, rtol=1e-12)
    assert (np.diff(fit.share) > 0).all() and 0.0 < fit.share[0] < 0.15
    assert fit.within.all()
    assert not bool(pan_fit(0.001, 0.2, usual_radius=usual, opening=0.12, bar_length=0.11).within)


def test_without_tension_notch_and_weight_are_left() -> None:
    notch = float(notch_force(build(dimensions("coil-1.5"))))
    light = without_tension(notch, **PAN)
    assert float(light.force) == pytest.approx(notch * 0.012 * 0.2 / 0.025)
    assert float(light.force) < 2.0 and bool(light.holds) and not bool(light.creeps)
    heavy = without_tension(notch, pan_mass=[0.02, 2.0], pan_centre=0.02, **PAN)
    assert heavy.creeps.tolist() == [False, True] and heavy.holds.tolist() == [True, False]
    # The weight takes away in proportion to it: as much pan as leaves a twentieth of a newton, and as takes it below.
    per_kilogram = float(light.force) - float(without_tension(notch, pan_mass=1.0, pan_centre=0.02, **PAN).force)
    masses = (float(light.force) - np.array([0.05, 0.0, -0.05])) / per_kilogram
    edge = without_tension(notch, pan_mass=masses, pan_centre=0.02, **PAN)
    np.testing.assert_allclose(edge.force, [0.05, 0.0, -0.05], atol=1e-9)
    assert edge.creeps.tolist()[::2] == [False, True]
    assert float(trip_force(notch, bolt=0.3, **PAN).force) > 5 * float(light.force), "the bolt is what gives tension"
    assert bool(without_tension(notch, rake=-0.05, **PAN).creeps), "and a wrong rake creeps as ever"


@pytest.mark.parametrize("degrees", [1, 2, 3, 4, 5, 6, 9, 10, 29, 30, 200])
def test_student_against_another_program(degrees: int) -> None:
    assert student_quantile(degrees) == pytest.approx(float(stats.t.ppf(0.95, degrees)), rel=1e-9)


def test_student_needs_a_degree() -> None:
    with pytest.raises(OutOfRange):
        student_quantile(0)


@pytest.mark.parametrize("count", [2, 3, 6])
def test_nine_of_ten_next_pulls_lie_in_the_band(count: int) -> None:
    draws = np.random.default_rng(11).normal(12.0, 1.5, (4000, count + 1))
    found = next_pull(draws[:, :count])
    inside = np.mean((found.low <= draws[:, count]) & (draws[:, count] <= found.high))
    assert 0.885 < inside < 0.915
    assert (found.count == count).all() and not found.assumed.any()


def test_one_pull_shows_no_spread() -> None:
    found = next_pull([[10.0, np.nan], [np.nan, np.nan], [9.0, 11.0]], assumed_share=0.2)
    assert found.assumed.tolist() == [True, False, False] and found.count.tolist() == [1, 0, 2]
    assert float(found.sd[0]) == pytest.approx(2.0)
    assert float(found.high[0]) == pytest.approx(10.0 + 1.644854 * 2.0 * np.sqrt(2.0), rel=1e-6)
    assert np.isnan([found.mean[1], found.sd[1], found.low[1], found.high[1]]).all()
    assert float(found.sd[2]) == pytest.approx(np.sqrt(2.0))
    alone = next_pull([9.0, 11.0])
    assert float(alone.high) == pytest.approx(float(found.high[2]))
    assert working().number("pan", "trip_scatter") == 0.2


@settings(max_examples=30, deadline=None)
@given(shift=st.floats(-5.0, 5.0), factor=st.floats(0.1, 10.0))
def test_band_moves_and_grows_with_the_readings(shift: float, factor: float) -> None:
    pulls = np.array([10.0, 12.0, 11.0, 14.0])
    base, other = next_pull(pulls), next_pull(factor * pulls + shift)
    assert float(other.mean) == pytest.approx(factor * float(base.mean) + shift)
    assert float(other.high - other.low) == pytest.approx(factor * float(base.high - base.low))


def test_rust_by_the_week() -> None:
    table = working().get("pan", "wet_week_growth")
    assert float(rust_factor(7.0, growth=1.25)) == pytest.approx(1.25)
    assert float(rust_factor(24.5, growth=table.number)) > 2.0, "far more after three or four wet weeks"
    assert float(rust_factor(0.0)) == 1.0


@settings(max_examples=40, deadline=None)
@given(force=st.floats(9.0, 17.9), wet=st.floats(0.05, 1.0))
def test_on_the_day_of_the_test_the_force_reaches_its_band(force: float, wet: float) -> None:
    found = retest(force, band_low=9.0, band_high=18.0, wetness=wet, growth=1.2, growth_high=1.5)
    assert int(found.state) == DUE
    assert force * float(rust_factor(wet * found.days_likely, growth=1.2)) == pytest.approx(18.0)
    assert force * float(rust_factor(wet * found.days_first, growth=1.5)) == pytest.approx(18.0)
    assert float(found.days_first) <= float(found.days_likely)
    drier = retest(force, band_low=9.0, band_high=18.0, wetness=0.5 * wet, growth=1.2, growth_high=1.5)
    assert float(drier.days_first) == pytest.approx(2.0 * float(found.days_first))


def test_states_of_the_next_test() -> None:
    found = retest([20.0, 5.0, 12.0, np.nan, 12.0], band_low=9.0, band_high=18.0, wetness=[1, 1, 0, 1, 1.5])
    assert found.state.tolist() == [OUT_OF_BAND, OUT_OF_BAND, NOT_BY_RUST, NOT_KNOWN, NOT_KNOWN]
    assert found.days_first.tolist()[:3] == [0.0, 0.0, np.inf] and np.isnan(found.days_first[3:]).all()
    assert int(retest(12.0, band_low=9.0, band_high=18.0, wetness=1.0, growth=1.0).state) == NOT_KNOWN


def test_the_pan_of_every_pattern_goes_between_its_jaws() -> None:
    for key in patterns():
        readings = dimensions(key)
        radius = float(readings.pan_radius)
        fit = pan_fit(
            0.0009, radius, usual_radius=radius, opening=readings.spread, bar_length=build(readings).face_length
        )
        assert bool(fit.within) and float(fit.force_ratio) == 1.0
