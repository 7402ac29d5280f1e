"""Does the ground carry the trap, and how big is its bed: limits, monotony, trade facts."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.ground import tables
from setwright.ground.bearing import (
    bearing_factors,
    drained_capacity,
    sinkage_bekker,
    sinkage_undrained,
    undrained_capacity,
)
from setwright.ground.bedding import bed_volume, cover_volume, digging_time

GRAVITY = 9.80665
STRIP, STRIP_LENGTH = 0.02, 0.3
BEAVER_STEP = 0.5 * 25.0
COIL, LONG = (0.7, 70e-4), (1.3, 150e-4)


def sinks(trap: tuple[float, float], step: float, cu: float) -> float:
    """Sinkage of a trap (mass, steel in contact) in muck of one strength under a step [kg]."""
    mass, area = trap
    return float(sinkage_undrained((mass + step) * GRAVITY, area, STRIP, STRIP_LENGTH, cu, 0.0, 1.2e3))


@given(st.floats(500.0, 50e3), st.floats(0.0, 1.0), st.floats(0.01, 0.1), st.floats(0.1, 0.5))
def test_bearing_grows_with_depth_up_to_nine_times_the_strength(
    cu: float, depth: float, width: float, length: float
) -> None:
    surface, below = (float(undrained_capacity(cu, 0.0, z, width, length)) for z in (0.0, depth))
    assert 5.0 * cu <= surface <= below <= 9.0 * cu * (1 + 1e-12)
    assert float(undrained_capacity(cu, 0.0, 100.0 * width, width, length)) == pytest.approx(9.0 * cu)


@given(st.floats(20.0, 400.0), st.floats(1e3, 20e3), st.floats(1e3, 40e3), st.floats(0.0, 9e3))
def test_the_depth_found_just_carries_the_load(load: float, cu: float, growth: float, weight: float) -> None:
    area = 80e-4
    depth = float(sinkage_undrained(load, area, STRIP, STRIP_LENGTH, cu, growth, weight))
    at_top = float(undrained_capacity(cu, weight, 0.0, STRIP, STRIP_LENGTH))
    if depth == 0.0:
        assert at_top >= load / area
    elif math.isinf(depth):
        assert float(undrained_capacity(cu + 0.6 * growth, weight, 0.6, STRIP, STRIP_LENGTH)) < load / area
    else:
        carried = float(undrained_capacity(cu + growth * depth, weight, depth, STRIP, STRIP_LENGTH))
        assert carried == pytest.approx(load / area, rel=1e-6)


@given(st.floats(20.0, 400.0), st.floats(1.0, 2.0), st.floats(1e3, 20e3))
def test_a_heavier_step_never_sinks_less(load: float, more: float, cu: float) -> None:
    light, heavy = (
        float(sinkage_undrained(w, 80e-4, STRIP, STRIP_LENGTH, cu, 10e3, 3e3)) for w in (load, load * more)
    )
    assert heavy >= light


@pytest.mark.parametrize("trap", [COIL, LONG])
def test_no_trap_sinks_by_its_own_weight(trap: tuple[float, float]) -> None:
    assert sinks(trap, 0.0, 1e3) == 0.0


def test_a_compact_trap_punches_in_where_a_double_long_spring_stays() -> None:
    assert sinks(COIL, BEAVER_STEP, 4.0e3) == 0.0, "at 4 kPa it is carried by a tenth only"
    assert sinks(COIL, BEAVER_STEP, 3.5e3) > 0.003, "a little below 4 kPa it begins to sink"
    assert sinks(COIL, BEAVER_STEP, 3.0e3) > 0.020, "at 3 kPa it punches in by its own strip width"
    assert sinks(COIL, BEAVER_STEP, 2.0e3) > 0.1, "at 2 kPa it is gone"
    assert sinks(LONG, BEAVER_STEP, 2.0e3) == 0.0, "a double long-spring stays until about 2 kPa"
    assert sinks(LONG, BEAVER_STEP, 1.5e3) > 0.005


def test_trade_muck_favours_the_long_spring_by_area_and_not_by_weight() -> None:
    light_long = (COIL[0], LONG[1])
    assert sinks(light_long, BEAVER_STEP, 2.0e3) == 0.0, "the area carries it"
    heavy_coil = (LONG[0], COIL[1])
    assert sinks(heavy_coil, BEAVER_STEP, 3.5e3) > sinks(COIL, BEAVER_STEP, 3.5e3), "weight alone sinks it"


def test_trade_rock_and_frozen_ground_favour_the_small_bed_of_the_coil_spring() -> None:
    digging = tables.digging()
    coil = bed_volume(0.18, 0.15, 0.045, 0.01)
    straight = bed_volume(0.41, 0.15, 0.05, 0.01)
    bent = bed_volume(0.33, 0.23, 0.05, 0.01)
    assert float(straight / coil) == pytest.approx(2.2, abs=0.1)
    assert float(bent / coil) == pytest.approx(2.5, abs=0.1)
    small = digging.number("small-pit", "factor")
    pick = small * digging.number("frozen", "factor")
    minutes = {
        (ground, trap): float(digging_time(bed, digging.number(key, "rate"), factor)) / 60.0
        for ground, key, factor in (("firm", "firm", small), ("stony", "boulders", small), ("frozen", "firm", pick))
        for trap, bed in (("coil", coil), ("long", straight))
    }
    assert 1.0 <= minutes["firm", "coil"] <= 2.0
    assert 2.0 <= minutes["firm", "long"] <= 5.0
    saved = {ground: minutes[ground, "long"] - minutes[ground, "coil"] for ground in ("firm", "stony", "frozen")}
    assert saved["stony"] > 1.4 * saved["firm"], "in stones the small bed saves more time"
    assert saved["frozen"] > 10.0, "in frozen ground it saves more than ten minutes a set"


@given(st.floats(0.05, 0.5), st.floats(0.05, 0.5), st.floats(0.02, 0.08), st.floats(0.0, 0.03), st.floats(0.1, 3.0))
def test_bed_and_cover(length: float, width: float, height: float, cover: float, mass: float) -> None:
    bed = float(bed_volume(length, width, height, cover))
    assert bed == pytest.approx(float(bed_volume(width, length, height, cover)))
    assert bed > length * width * (height + cover)
    assert 0.0 <= float(cover_volume(bed, mass)) < bed
    assert float(cover_volume(bed, 0.0)) == bed


def test_wet_sandy_loam_and_snow_show_the_same_order_of_traps() -> None:
    for terrain in ("sandy-loam-32-hanamoto", "snow-us"):
        kc, kphi, n = (tables.terrains().number(terrain, name) for name in ("kc", "kphi", "n"))
        coil, long_spring = (
            float(sinkage_bekker((mass + 14.0) * GRAVITY / area, STRIP, kc, kphi, n)) for mass, area in (COIL, LONG)
        )
        assert long_spring < coil


@given(st.floats(1e3, 50e3), st.floats(0.21, 1.6), st.floats(1e3, 50e3), st.floats(1e5, 5e6))
def test_bekker_gives_back_its_pressure(pressure: float, n: float, kc: float, kphi: float) -> None:
    depth = float(sinkage_bekker(pressure, STRIP, kc, kphi, n))
    assert (kc / STRIP + kphi) * depth**n == pytest.approx(pressure, rel=1e-9)


def test_bekker_is_refused_where_it_cannot_be_inverted() -> None:
    found = sinkage_bekker(20e3, STRIP, 1840.0, 103270.0, np.array([0.11, 0.2, 0.21]))
    assert list(np.isnan(found)) == [True, True, False]


@given(st.floats(0.3, 0.75), st.floats(1.01, 1.1), st.floats(0.0, 0.3))
def test_bearing_on_sand_grows_with_friction_and_depth(phi: float, more: float, depth: float) -> None:
    base = float(drained_capacity(phi, 18e3, depth, STRIP, STRIP_LENGTH))
    assert float(drained_capacity(phi * more, 18e3, depth, STRIP, STRIP_LENGTH)) > base
    assert float(drained_capacity(phi, 18e3, depth + 0.05, STRIP, STRIP_LENGTH)) > base
    n_q, n_gamma = bearing_factors(phi)
    strip = float(drained_capacity(phi, 18e3, 0.1, STRIP, math.inf))
    assert strip == pytest.approx(18e3 * (0.1 * float(n_q) + 0.5 * STRIP * float(n_gamma)))


def test_bearing_on_ground_without_friction_is_its_overburden() -> None:
    assert float(drained_capacity(0.0, 18e3, 0.1, STRIP, STRIP_LENGTH)) == pytest.approx(1800.0)
