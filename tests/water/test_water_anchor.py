"""Weights, lift and drag in water."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.water import anchor, tables

densities = st.floats(1100, 9000)


@given(st.floats(0.1, 100), densities)
def test_weight_in_water_is_less_than_in_air(mass: float, density: float) -> None:
    weight = float(anchor.submerged_weight(mass, density))
    assert 0 < weight < mass * anchor.GRAVITY


def test_what_floats_and_what_cannot_be() -> None:
    assert float(anchor.submerged_weight(1.0, 500.0)) == pytest.approx(-anchor.GRAVITY)
    assert np.isnan(anchor.submerged_weight(1.0, 0.0))
    assert np.isnan(anchor.mass_needed(900.0, 1.0, 1.0, 0.5))
    assert np.isnan(anchor.mass_needed(2300.0, 1.0, 1.0, 0.0))
    assert np.isnan(anchor.carcass_drag(-1.0))


@given(densities, st.floats(0, 200), st.floats(0, 300), st.floats(0.2, 0.9))
def test_needed_mass_just_holds(density: float, vertical: float, horizontal: float, mu: float) -> None:
    mass = anchor.mass_needed(density, vertical, horizontal, mu)
    held = anchor.holds_slide(mass, density, vertical, horizontal, mu)
    assert float(held.horizontal) == pytest.approx(0.0, abs=1e-6)
    assert float(held.vertical) >= -1e-6


def test_thirty_pounds_do_not_hold_a_beaver_sideways() -> None:
    held = anchor.holds_slide(30 * 0.45359237, 2300.0, 0.0, 20 * anchor.GRAVITY, 0.5)
    assert held.vertical > 0 > held.horizontal
    lifted = anchor.holds_slide(30 * 0.45359237, 2300.0, 200.0, 10.0, 0.5)
    assert lifted.vertical < 0 and float(lifted.horizontal) == -10.0, "a lifted weight has no friction"


@given(st.floats(0.0, 3.0))
def test_drag_turns_with_the_current(speed: float) -> None:
    force = anchor.drag_force(0.1, 1.0, speed)
    assert float(anchor.drag_force(0.1, 1.0, -speed)) == -float(force)
    assert float(anchor.drag_force(0.1, 1.0, 2 * speed)) == pytest.approx(4 * float(force))


def test_lift_of_a_beaver_is_within_the_range_told() -> None:
    light, dense = anchor.lift(20.0, np.array([950.0, 1000.0]))
    assert 0 == dense < light < 11
    assert float(anchor.lift(20.0, 1000.0, 1.0)) == pytest.approx(20 * anchor.GRAVITY)


def test_a_trap_on_edge_needs_bedding_in_a_fast_current() -> None:
    drag = anchor.drag_force(0.012, 1.2, np.array([0.25, 1.0]))
    spare = anchor.bedding_spare(drag, 1.0, 7850.0, 0.45)
    assert spare[0] > 0 > spare[1]


def test_table_factors_match_their_densities() -> None:
    table = tables.anchors()
    names = table.keys()
    for key in names:
        factor = float(anchor.weight_factor(table.number(key, "density")))
        assert table.number(key, "factor") == pytest.approx(factor, abs=0.005), key
