"""Frost model: limits, monotony, conservation, scenarios, misuse."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.errors import OutOfRange
from setwright.ground import enthalpy, frost

UNHURRIED = settings(deadline=None)

LOAM = frost.ThermalLayer(math.inf, 1.31, 0.99, 1.62e6, 2.06e6, 70.1e6)
DRY = frost.ThermalLayer(0.02, 0.3, 0.28, 1.19e6, 1.25e6, 9.0e6)
FEW = settings(max_examples=25, deadline=None)
HOURS = st.lists(st.floats(-25.0, 15.0), min_size=3, max_size=14).map(np.array)


def test_tridiagonal_solves_the_rows_it_was_given() -> None:
    random = np.random.default_rng(4)
    for size in (1, 2, 3, 7, 8, 9, 33):
        lower, upper = -random.random((2, 5, size))
        lower[:, 0] = upper[:, -1] = 0.0
        diagonal = 1.0 - lower - upper
        right = random.normal(size=(5, size))
        found = enthalpy.tridiagonal(lower, diagonal, upper, right)
        for row in range(5):
            matrix = np.diag(diagonal[row]) + np.diag(lower[row, 1:], -1) + np.diag(upper[row, :-1], 1)
            np.testing.assert_allclose(found[row], np.linalg.solve(matrix, right[row]), rtol=1e-10, atol=1e-12)


@given(st.lists(st.floats(0.001, 0.2), min_size=0, max_size=4), st.floats(0.001, 0.01), st.floats(0.1, 3.0))
@UNHURRIED
def test_grid_meets_every_layer_and_the_depth(thickness: list[float], cell: float, depth: float) -> None:
    edges, layer = enthalpy.depth_grid([*thickness, math.inf], cell, depth)
    assert edges[0] == 0.0 and abs(edges[-1] - depth) < 1e-9, "the column must reach from the surface to its depth"
    assert (np.diff(edges) > 0).all() and layer.size == edges.size - 1 and (np.diff(layer) >= 0).all()
    for bound in np.cumsum(thickness):
        if bound < depth - 1e-6:
            assert np.abs(edges - bound).min() < 1e-6, "an edge must lie on each layer's bottom"
    assert edges[1] <= cell + 1e-12, "the first cell must be no higher than asked for"


@given(HOURS, st.floats(-3.0, 12.0), st.floats(0.0, 0.6))
@FEW
def test_nothing_gets_colder_or_warmer_than_what_acts_on_it(air: np.ndarray, start: float, snow: float) -> None:
    run = frost.frost_profile(air, 12.0, [DRY, LOAM], snow, start, 6.0)
    low, high = min(air.min(), start, 6.0), max(air.max(), start, 6.0)
    assert run.valid.all(), "every step must find its solution"
    assert run.temperature.min() >= low - 1e-3 and run.temperature.max() <= high + 1e-3
    assert run.ice_fraction.min() >= 0.0 and run.ice_fraction.max() <= 1.0


@given(HOURS, st.floats(0.0, 10.0), st.floats(0.5, 6.0))
@FEW
def test_colder_air_freezes_deeper_and_snow_protects(air: np.ndarray, start: float, colder: float) -> None:
    both = frost.frost_profile(np.stack((air, air - colder)), 12.0, [LOAM], 0.0, start, 8.0).frost_depth()
    assert (both[1] >= both[0] - 1e-6).all(), "colder must be deeper at every hour"
    cold = np.minimum(air, -0.1)
    bare, covered = (frost.frost_profile(cold, 12.0, [LOAM], r, start, 8.0).frost_depth() for r in (0.0, 0.4))
    assert (covered <= bare + 1e-6).all(), "snow must protect while the air stays below freezing"


@given(HOURS, st.permutations(range(4)))
@FEW
def test_scenarios_do_not_touch_each_other(air: np.ndarray, order: list[int]) -> None:
    shifts = np.array([-4.0, 0.0, 2.0, 5.0])
    wet = np.array([0.7, 1.0, 1.2, 1.3])

    def run(index: np.ndarray) -> np.ndarray:
        layer = frost.ThermalLayer(math.inf, 1.31 * wet[index], 0.99, 1.62e6, 2.06e6, 70.1e6 * wet[index])
        return frost.frost_profile(air + shifts[index][:, None], 12.0, [layer], 0.0, 3.0, 8.0).temperature

    whole, index = run(np.arange(4)), np.array(order)
    np.testing.assert_allclose(run(index), whole[index], atol=1e-6, err_msg="order must not matter")
    np.testing.assert_array_equal(run(np.arange(4)), whole, err_msg="the same question must have the same answer")
    np.testing.assert_allclose(run(np.array([2])), whole[[2]], atol=1e-4, err_msg="one alone must be as in the crowd")


@pytest.mark.parametrize("latent", [0.0, 5e6, 70e6, 275e6])
def test_heat_is_conserved(latent: float) -> None:
    edges, _ = enthalpy.depth_grid([math.inf], 0.0025, 0.6)
    size, whole = np.diff(edges), np.ones((1, edges.size - 1))
    column = enthalpy.Column(
        size, 1.31 * whole, 0.99 * whole, 1.62e6 * whole, 2.06e6 * whole, latent * whole, 0.0 * whole, np.array([2.0])
    )
    state = enthalpy.enthalpy_of(column, 2.0 * whole, 0.0 * whole)
    step, outer = 300.0, np.array([1.0 / 12.0])
    for hour in range(120):
        air = np.array([-6.0 + 8.0 * math.sin(hour / 16.0)])
        conductivity = 0.99 + enthalpy.ice_of(column, state) * (1.31 - 0.99)
        new, solved = enthalpy.advance(column, state, air, outer, step)
        heat = enthalpy.temperature_of(column, new)
        top = (air - heat[:, 0]) / (outer + 0.5 * size[0] / conductivity[:, 0])
        base = (2.0 - heat[:, -1]) / (0.5 * size[-1] / conductivity[:, -1])
        stored, gained = float(np.sum((new - state) * size)), float((step * (top + base))[0])
        assert solved.all() and stored == pytest.approx(gained, abs=200.0, rel=1e-3), "stored must be what flowed in"
        state = new
    assert (enthalpy.ice_of(column, state) > 0.0).any(), "the check must have seen ice"


def test_without_water_it_is_plain_conduction() -> None:
    layer = frost.ThermalLayer(math.inf, 1.0, 1.0, 2e6, 2e6, 0.0)
    run = frost.frost_profile(np.full(24, -8.0), 1e9, [layer], 0.0, 6.0, 6.0, depth=2.5, steps_per_hour=12)
    depth = np.array([0.03, 0.1, 0.2])
    exact = [-8.0 + 14.0 * math.erf(z / (2 * math.sqrt(1.0 / 2e6 * 24 * 3600))) for z in depth]
    found = [run.at(z)[0, -1] for z in depth]
    np.testing.assert_allclose(found, exact, atol=0.1, err_msg="half-space solution with the error function")


def test_a_second_run_goes_on_where_the_first_ended() -> None:
    air = np.concatenate((np.full(10, -6.0), np.full(8, 3.0)))
    whole = frost.frost_profile(air, 12.0, [DRY, LOAM], 0.0, 3.0, 8.0)
    first = frost.frost_profile(air[:10], 12.0, [DRY, LOAM], 0.0, 3.0, 8.0)
    rest = frost.frost_profile(
        air[10:], 12.0, [DRY, LOAM], 0.0, first.temperature[:, -1], 8.0, initial_ice=first.ice_fraction[:, -1]
    )
    np.testing.assert_allclose(rest.temperature[:, -1], whole.temperature[:, -1], atol=1e-3)
    np.testing.assert_allclose(rest.ice_fraction[:, -1], whole.ice_fraction[:, -1], atol=1e-3)


def test_salt_keeps_ice_away_until_its_freezing_point() -> None:
    salted = frost.ThermalLayer(math.inf, 1.31, 0.99, 1.62e6, 2.06e6, 70.1e6, freezing_point=-6.0)
    run = frost.frost_profile(np.full(24, -5.0), 12.0, [salted], 0.0, 3.0, 3.0)
    assert (run.ice_fraction == 0.0).all() and run.temperature[0, -1, 0] < -2.0, "cold, yet no ice above -6 degC"


def test_a_gap_in_the_forcing_spoils_its_scenario_only() -> None:
    air = np.full((3, 6), -5.0)
    air[1, 3] = np.nan
    run = frost.frost_profile(air, 12.0, [LOAM])
    assert run.valid.tolist() == [True, False, True]
    assert np.isnan(run.temperature[1]).all() and np.isnan(run.frost_depth()[1]).all()
    assert np.isfinite(run.temperature[[0, 2]]).all()


@pytest.mark.parametrize(
    "change",
    [
        {"layers": []},
        {"layers": [frost.ThermalLayer(0.0, 1.0, 1.0, 2e6, 2e6, 0.0), LOAM]},
        {"layers": [frost.ThermalLayer(math.inf, -1.0, 1.0, 2e6, 2e6, 0.0)]},
        {"layers": [frost.ThermalLayer(math.inf, 1.0, 1.0, 2e6, 2e6, -1.0)]},
        {"h_surface": 0.0},
        {"snow_resistance": -0.1},
        {"steps_per_hour": 0},
        {"cell": 0.5},
        {"t_eq": np.zeros((2, 2, 2))},
        {"t_eq": np.zeros((2, 4)), "h_surface": np.full((3, 4), 12.0)},
        {"h_surface": np.full(5, 12.0)},
        {"initial_temperature": math.nan},
    ],
)
def test_misuse_is_refused(change: dict[str, Any]) -> None:
    given_: dict[str, Any] = {"t_eq": np.full(4, -5.0), "h_surface": 12.0, "layers": [LOAM]}
    with pytest.raises(OutOfRange):
        frost.frost_profile(**(given_ | change))


@given(st.floats(0.0, 20.0), st.floats(0.1, 30.0), st.floats(1e6, 3e8))
@UNHURRIED
def test_neumann_lies_below_stefan_and_meets_it_for_much_water(warm: float, cold: float, latent: float) -> None:
    root = frost.neumann_root(1.9, 1.3, 1.9e6, 2.5e6, latent, warm, cold)
    assert 0.0 < float(root) < float(np.sqrt(1.9e6 * cold / (2.0 * latent))) * (1 + 1e-9), "Stefan is the upper bound"
    far = frost.neumann_root(1.9, 1.3, 1.9e6, 2.5e6, 1e12, 0.0, cold)
    assert math.isclose(float(far), math.sqrt(1.9e6 * cold / 2e12), rel_tol=1e-3)


@given(st.floats(0.0, 5.0), st.floats(0.02, 3.0))
@UNHURRIED
def test_berggren_is_a_share_that_falls_with_warmth(alpha: float, mu: float) -> None:
    here, warmer = frost.berggren_lambda([alpha, alpha + 0.2], mu)
    assert 0.0 < warmer < here <= 1.0


@given(st.floats(0.0, 5e6), st.floats(0.0, 1.0))
@UNHURRIED
def test_film_only_takes_depth_away(index: float, resistance: float) -> None:
    bare = float(frost.stefan(1.3, 7e7, index))
    film = float(frost.stefan_film(1.3, 7e7, index, resistance))
    assert film <= bare * (1 + 1e-12), "a film cannot deepen the frost"
    direct = -1.3 * resistance + math.sqrt((1.3 * resistance) ** 2 + 2 * 1.3 * index / 7e7)
    assert math.isclose(film, direct, rel_tol=1e-6, abs_tol=1e-9)


def test_stefan_without_water_or_cold() -> None:
    assert np.isnan(frost.stefan(1.3, 0.0, 1e6)) and frost.stefan(1.3, 7e7, -5.0) == 0.0


def test_neumann_refuses_a_warm_surface() -> None:
    with pytest.raises(OutOfRange):
        frost.neumann_root(1.9, 1.3, 1.9e6, 2.5e6, 1e8, 3.0, 0.0)


@given(st.floats(0.001, 0.2), st.floats(0.001, 0.23))
@UNHURRIED
def test_brine_ice_share_is_a_share(share: float, liquidus: float) -> None:
    ice = float(frost.brine_ice_share(share, liquidus))
    assert 0.0 <= ice < 1.0 and (ice == 0.0) == (liquidus <= share), "ice only below the freezing point"
