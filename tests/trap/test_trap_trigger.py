"""The pan: springs in and out of the trip force, bolt, creep."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from setwright.trap import tables
from setwright.trap.build import build
from setwright.trap.holding import dog_force
from setwright.trap.trigger import bolt_moment, notch_force, trip_force

PAN = {"notch_arm": 0.012, "notch_friction": 0.2, "pan_radius": 0.025}


def _of(springs: int) -> object:
    return build(tables.dimensions("coil-1.5", springs=springs))


def test_the_bolt_does_the_work_with_a_dog() -> None:
    two, four = (float(trip_force(notch_force(_of(n)), bolt=0.3, **PAN).force) for n in (2, 4))
    assert four / two < 1.15, "two more coils hardly change a pan that its bolt holds"


def test_dogless_goes_with_the_springs() -> None:
    two, four = (float(trip_force(notch_force(_of(n), dogless=True), **PAN).force) for n in (2, 4))
    assert four == pytest.approx(2.0 * two, rel=1e-12)
    dogged = float(trip_force(notch_force(_of(2)), **PAN).force)
    assert two > 3.0 * dogged, "the pan holds the jaw itself"
    half_way = notch_force(_of(2), dogless=True, latch_radius=0.03)
    assert float(half_way) == pytest.approx(float(dog_force(_of(2)) * _of(2).height / 0.03))


@settings(max_examples=50, deadline=None)
@given(outer=st.floats(0.002, 0.02), share=st.floats(0.0, 0.99), preload=st.floats(0.0, 5000.0))
def test_bolt_moment_is_the_rubbing_of_two_rings(outer: float, share: float, preload: float) -> None:
    inner = share * outer
    found = float(bolt_moment(preload, friction=0.15, outer_radius=outer, inner_radius=inner))
    pressure = preload / (np.pi * (outer**2 - inner**2))
    ring, _ = quad(lambda r: 0.15 * pressure * 2.0 * np.pi * r * r, inner, outer)
    assert found == pytest.approx(2.0 * ring, rel=1e-6, abs=1e-12), "even pressure on two faces"
    assert 2 * 0.15 * preload * inner <= found * (1 + 1e-9) <= 2 * 0.15 * preload * outer * (1 + 2e-9)


def test_creep_is_flagged_whatever_the_force() -> None:
    rake = np.radians([10.0, 0.0, -3.0, -15.0])
    found = trip_force(16.0, rake=rake, **PAN)
    assert found.creeps.tolist() == [False, False, True, True], "a notch raked the wrong way"
    assert found.holds.tolist() == [True, True, True, False], "beyond the friction angle the pan lets go"
    assert (np.diff(found.force) < 0).all()


def test_a_heavy_pan_out_of_balance_trips_sooner() -> None:
    light, heavy = (float(trip_force(16.0, pan_mass=m, pan_centre=0.01, **PAN).force) for m in (0.0, 0.05))
    assert light - heavy == pytest.approx(0.05 * 9.80665 * 0.01 / 0.025)
