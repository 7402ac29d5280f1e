"""Bonded crust, breakout, heat properties: limits, monotony, the tables against the relations."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.errors import OutOfRange
from setwright.ground import crust, frost, heat
from setwright.weather.tables import thermal

UNHURRIED = settings(deadline=None)

FEW = settings(max_examples=20, deadline=None)
POSITIVE = st.floats(1e-4, 0.05)


def _layer(key: str, thickness: float) -> tuple[frost.ThermalLayer, float]:
    table = thermal()
    names = ("k_frozen", "k_unfrozen", "c_frozen", "c_unfrozen", "latent")
    return frost.ThermalLayer(thickness, *(table.number(key, name) for name in names)), table.number(
        key, "water_volume"
    )


def _crust(air: np.ndarray, cover: str, **more: Any) -> crust.BondedCrust:
    top, wet = _layer(cover, 0.02)
    base, soil = _layer("loam-moist", math.inf)
    run = frost.frost_profile(air, 12.0, [top, base], 0.0, 3.0, 6.0)
    return crust.bonded_crust(run, np.array([wet, soil])[run.layer], 0.02, **more)


@given(st.lists(st.floats(-20.0, 6.0), min_size=4, max_size=12).map(np.array))
@FEW
def test_drier_cover_is_less_bonded(air: np.ndarray) -> None:
    dry, moist = _crust(air, "dry-dirt"), _crust(air, "loam-moist")
    assert (dry.thickness <= moist.thickness + 1e-9).all(), "cold dry dirt is loose"
    assert (dry.code == crust.WORKS).all(), "2.7 % water cannot glue"


def test_wet_cover_goes_out_of_order_in_a_hard_night() -> None:
    found = _crust(np.full(12, -8.0), "loam-wet")
    assert found.code[0, 0] == crust.WORKS and found.code[0, -1] == crust.OUT_OF_ORDER
    assert (np.diff(found.code[0]) >= 0).all(), "a night that stays cold cannot mend a crust"
    assert 0.0 < found.thickness[0, -1] <= 0.02 + 1e-12, "only down to the depth asked for"
    assert found.ice[0, -1] == pytest.approx(0.392), "the ice is that of the cover"


def test_water_frozen_under_the_pan_stops_it_whatever_the_cover() -> None:
    assert (_crust(np.full(4, -8.0), "dry-dirt", refrozen=True).code == crust.OUT_OF_ORDER).all()


def test_salt_lowers_the_ice_that_counts() -> None:
    full = _crust(np.full(12, -8.0), "loam-moist")
    part = _crust(np.full(12, -8.0), "loam-moist", ice_share=0.3)
    assert part.ice[0, -1] == pytest.approx(0.3 * full.ice[0, -1]) and part.strong[0, -1] == 0.0
    assert part.code[0, -1] == crust.DOUBTFUL


def test_a_gap_is_no_answer_and_a_wrong_water_content_is_refused() -> None:
    air = np.full(4, np.nan)
    found = _crust(air, "loam-moist")
    assert (found.code == -1).all() and np.isnan(found.thickness).all() and np.isnan(found.ice).all()
    base, _ = _layer("loam-moist", math.inf)
    run = frost.frost_profile(np.full(2, -1.0), 12.0, [base])
    with pytest.raises(OutOfRange):
        crust.bonded_crust(run, 1.2, 0.02)


@pytest.mark.parametrize(
    ("strong", "thickness", "code"),
    [(0.0, 0.0, 0), (0.0, 0.0019, 0), (0.0, 0.002, 1), (0.0049, 0.0049, 1), (0.005, 0.005, 2), (0.0, 0.02, 1)],
)
def test_rule_of_thumb(strong: float, thickness: float, code: int) -> None:
    assert int(crust.crust_code(strong, thickness)) == code


@given(POSITIVE, POSITIVE, st.floats(1e3, 1e6))
@UNHURRIED
def test_breakout_grows_with_thickness_and_with_a_bonded_jaw(t: float, more: float, shear: float) -> None:
    args = (0.065, shear, 2 * shear, shear, 0.006)
    thin, thick = (float(crust.breakout_torque(x, *args, False)) for x in (t, t + more))
    stuck = float(crust.breakout_torque(t, *args, True))
    assert thin < thick and stuck > thin
    assert stuck - thin == pytest.approx(2 * shear * 0.006 * 0.065**2), "the bond of the jaw knows no thickness"
    assert crust.breakout_torque(0.0, *args, False) == 0.0


@given(st.floats(0.0, 40.0), st.floats(0.0, 40.0))
@UNHURRIED
def test_margin_of_a_jaw(available: float, needed: float) -> None:
    assert (float(crust.jaw_stuck(available, needed)) > 0) == (available > 1.5 * needed)


@given(st.floats(5e4, 6e5), st.floats(0.001, 0.04))
@UNHURRIED
def test_a_long_spring_leaf_asks_less_than_a_coil_lever(adfreeze: float, contact: float) -> None:
    lever = float(crust.lever_bonded(adfreeze, 0.09, 0.012)) / 0.09
    torn = crust.leaf_bonded(adfreeze, 0.02, 0.17, contact)
    peeled = crust.leaf_peel(0.02, 9.2, 1.0, contact)
    assert min(float(torn), float(peeled)) < lever, "while ice has not filled the gap between the leaves"
    filled = float(crust.leaf_bonded(adfreeze, 0.02, 0.17, 0.17))
    assert filled > lever, "the edge is lost once ice fills the gap"


def test_leaf_longer_than_itself_is_no_answer() -> None:
    assert np.isnan(crust.leaf_bonded(2e5, 0.02, 0.1, 0.2)) and np.isinf(crust.leaf_peel(0.02, 9.2, 1.0, 0.0))


@given(st.floats(1.0, 200.0), st.floats(0.011, 0.04), st.floats(1e4, 1e6))
@UNHURRIED
def test_pan_plate(force: float, cavity: float, strength: float) -> None:
    here = float(crust.pan_plate_break(force, cavity, 0.01, strength))
    assert float(crust.pan_plate_break(4 * force, cavity, 0.01, strength)) == pytest.approx(2 * here)
    assert float(crust.pan_plate_break(force, cavity, 0.01, 4 * strength)) == pytest.approx(here / 2)
    assert float(crust.pan_plate_break(-1.0, cavity, 0.01, strength)) == 0.0
    assert np.isnan(crust.pan_plate_break(force, 0.01, cavity, strength)), "a pad larger than the hollow"


@given(st.floats(-20.0, 3.0), st.floats(0.0, 1.0), st.floats(-10.0, 0.0))
@UNHURRIED
def test_strength_is_nothing_at_the_freezing_point_and_never_falls_with_cold(
    t: float, s: float, point: float
) -> None:
    for colder, here in (
        (crust.strength_frozen(t - 1, s, 2e5, point), crust.strength_frozen(t, s, 2e5, point)),
        (crust.tensile_strength(t - 1, s, point), crust.tensile_strength(t, s, point)),
    ):
        assert float(colder) >= float(here) >= 0.0
        assert t < point or float(here) == 0.0
    assert float(crust.strength_frozen(-2.0, 1.0, 2e5)) == 2e5


def test_tensile_strength_has_its_stated_ends() -> None:
    assert float(crust.tensile_strength(-1.0, 0.4)) == pytest.approx(0.3e6)
    assert float(crust.tensile_strength(-10.0, 0.4)) == pytest.approx(1e6)
    assert float(crust.tensile_strength(-30.0, 0.4)) == pytest.approx(1e6)
    assert np.isnan(crust.tensile_strength(np.nan, 0.4))


MINERAL = [key for key in map(str, thermal().keys()) if thermal().has(key, "k_frozen_kersten")]


@pytest.mark.parametrize("key", MINERAL)
def test_table_rows_agree_with_their_relations(key: str) -> None:
    table = thermal()
    density, water, quartz = (table.number(key, name) for name in ("dry_density", "water_content", "quartz"))
    sand = key.startswith("sand-")
    for frozen, word in ((True, "frozen"), (False, "unfrozen")):
        found = float(heat.johansen(density, water, quartz, frozen, sand))
        assert table.number(key, f"k_{word}") == pytest.approx(found, abs=0.006), f"{key}: conductivity, {word}"
        other = float(heat.kersten(density, water, frozen, sand))
        assert table.number(key, f"k_{word}_kersten") == pytest.approx(other, abs=0.006), f"{key}: Kersten, {word}"
        held = float(heat.heat_capacity(density, water, frozen))
        assert table.number(key, f"c_{word}") == pytest.approx(held, rel=0.005), f"{key}: heat capacity, {word}"
    assert table.number(key, "latent") == pytest.approx(float(heat.latent_heat(density, water)), rel=0.005)
    assert table.number(key, "water_volume") == pytest.approx(density * water / 1000.0, abs=0.0006)


@given(st.floats(1000.0, 1900.0), st.floats(0.0, 0.5), st.floats(0.0, 1.0), st.booleans())
@UNHURRIED
def test_conductivity_rises_with_water(density: float, water: float, quartz: float, frozen: bool) -> None:
    here, wetter = (float(heat.johansen(density, w, quartz, frozen)) for w in (water, water + 0.05))
    assert wetter >= here - 1e-12 and 0.05 < here < 7.7, "no ground conducts better than its quartz"


def test_relations_say_where_they_do_not_hold() -> None:
    assert np.isnan(heat.kersten(1400.0, 0.05, False)) and np.isnan(heat.snow_conductivity(700.0))
