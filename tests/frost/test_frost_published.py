"""Frost and crust against closed solutions, charts and hand-worked figures."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from typing import Any

import numpy as np
import pytest

from outside import hold, rows
from setwright.ground import crust, frost, heat
from setwright.weather.tables import freezing_curve

DENSITY, WATER = 1500.0, 0.2
LATENT = 333_600.0 * DENSITY * WATER
C_FROZEN = DENSITY * (840 + WATER * 2100)
C_UNFROZEN = DENSITY * (840 + WATER * 4186)
SILT = frost.ThermalLayer(math.inf, 1.9, 1.3, C_FROZEN, C_UNFROZEN, LATENT)
LOAM = frost.ThermalLayer(math.inf, 1.31, 0.99, 1.62e6, 2.06e6, 70.1e6)
PEAT = frost.ThermalLayer(0.02, 0.06, 0.06, 0.23e6, 0.27e6, 6.7e6)


def root(above: float, surface: float) -> float:
    return float(frost.neumann_root(1.9, 1.3, C_FROZEN, C_UNFROZEN, LATENT, above, -surface))


def neumann_mm(above: float, surface: float, hours: float) -> float:
    return 1e3 * float(frost.neumann_depth(root(above, surface), 1.9, C_FROZEN, hours * 3600.0))


CASES = ((5.0, -5.0), (0.0, -10.0), (2.0, -2.0), (8.0, -15.0))


@cache
def _steps(long: bool) -> np.ndarray[Any, Any]:
    """Frost of the four cases side by side: one day in fine steps, a month in coarse ones."""
    hours, steps, cell, growth = (720, 2, 0.0025, 0.03) if long else (24, 12, 0.00125, 0.05)
    start = np.array([[above] for above, _ in CASES])
    forcing = np.array([[surface] * hours for _, surface in CASES])
    run = frost.frost_profile(
        forcing, 1e9, [SILT], initial_temperature=start, bottom_temperature=start[:, 0], steps_per_hour=steps,
        cell=cell, depth=2.7, growth=growth,
    )  # fmt: skip
    return run.frost_depth()


def enthalpy_mm(above: float, surface: float, hours: int) -> float:
    return 1e3 * float(_steps(hours > 24)[CASES.index((above, surface)), hours - 1])


def berggren(alpha: float, mu: float) -> float:
    return float(frost.berggren_lambda(alpha, mu))


def tm_feet() -> float:
    season, index = 160.0, 2500.0
    latent = 144.0 * 100.0 * 0.15
    capacity = 100.0 * (0.17 + 0.75 * 0.15)
    surface = index / season
    alpha, mu = (37.2 - 32.0) / surface, capacity * surface / latent
    btu = 1.7307  # W/(m K) of a BTU/(ft h degF)
    depth = frost.berggren_depth(
        0.72 * btu, latent * 37_258.95, index / 1.8 * 86_400.0, alpha, mu
    )  # one BTU/ft3 is 37,258.95 J/m3
    return float(depth) / 0.3048


def kersten_btu(pcf: float, percent: float, frozen: bool, coarse: bool) -> float:
    return float(heat.kersten(pcf * 16.018463, percent / 100.0, frozen, coarse)) / 1.7307


def kersten_si(density: float, water: float, coarse: bool) -> float:
    return float(heat.kersten(density, water, False, coarse))


def capacity_of_water(density: float, water: float) -> float:
    return float(heat.heat_capacity(density, water, False) - heat.heat_capacity(density, 0.0, False))


def snow(density: float) -> float:
    return float(heat.snow_conductivity(density))


def snow_r(depth: float, density: float) -> float:
    return float(heat.snow_resistance(depth, density))


def breakout(thickness: float, bonded: bool) -> float:
    return float(crust.breakout_torque(thickness, 0.065, 2e5, 4e5, 2e5, 0.006, bonded))


def lever() -> float:
    return float(crust.lever_bonded(2e5, 0.09, 0.012))


def lever_tip() -> float:
    return lever() / 0.09


def leaf(contact: float) -> float:
    return float(crust.leaf_bonded(2e5, 0.02, 0.17, contact))


def peel(contact: float) -> float:
    return float(crust.leaf_peel(0.02, 205e9 * 0.02 * 0.003**3 / 12.0, 1.0, contact))


def pan_mm(mass: float, cavity: float, paw: float, strength: float) -> float:
    return 1e3 * float(crust.pan_plate_break(0.6 * mass * 9.81, cavity / 1e3, paw / 1e3, strength))


def cover() -> float:
    return float(crust.cover_pull(1e5, 0.005, 0.15))


def brine(share: float, temperature: float) -> float:
    shares, points = freezing_curve("sodium chloride")
    liquidus = np.interp(-temperature, -points, shares)
    return float(frost.brine_ice_share(share, liquidus))


CHECKS = {
    function.__name__: function
    for function in (
        root, neumann_mm, enthalpy_mm, berggren, tm_feet, kersten_btu, kersten_si, capacity_of_water, snow, snow_r,
        breakout, lever, lever_tip, leaf, peel, pan_mm, cover, brine,
    )
}  # fmt: skip


@pytest.mark.parametrize("row", rows("frost", "published"))
def test_frost_published(row: Mapping[str, str]) -> None:
    hold(row, CHECKS)


def _night(start: float, cover: str = "loam", snow: float = 0.0) -> frost.FrostRun:
    layers = [PEAT, LOAM] if cover == "peat" else [LOAM]
    return frost.frost_profile(np.full(12, -5.0), 12.0, layers, snow, start, start)


def night_mm(start: float, cover: str = "loam", snow: float = 0.0) -> float:
    return 1e3 * float(_night(start, cover, snow).frost_depth()[0, -1])


def night_at(start: float, cover: str = "loam") -> float:
    return float(_night(start, cover).at(0.019)[0, -1])


def film_mm() -> float:
    return 1e3 * float(frost.stefan_film(1.31, 70.1e6, 5.0 * 12 * 3600, 1.0 / 12.0))


GUARDS = {function.__name__: function for function in (night_mm, night_at, film_mm)}


@pytest.mark.parametrize("row", rows("frost", "guard"))
def test_frost_guard(row: Mapping[str, str]) -> None:
    hold(row, GUARDS)
