"""A season of frost: compiled against plain, against the Neumann solution, rain, salt, gaps, misuse."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.errors import OutOfRange
from setwright.ground import enthalpy, frost
from setwright.ground.crust import bonded_crust
from setwright.ground.frost_season import WATER_LATENT, FrostSeason, frost_season
from setwright.weather.tables import freezing_curve

LOAM = frost.ThermalLayer(math.inf, 1.31, 0.99, 1.62e6, 2.06e6, 70.1e6)
FEW = settings(max_examples=60, deadline=None)


def cover(water: Any = 0.15, **more: Any) -> frost.ThermalLayer:
    return frost.ThermalLayer(0.02, 0.9, 0.7, 1.5e6, 1.8e6, WATER_LATENT * np.asarray(water), **more)


def season(air: Any, layer: frost.ThermalLayer | None = None, **more: Any) -> FrostSeason:
    known: Mapping[str, Any] = {"initial_temperature": 3.0, "depth": 0.6} | more
    return frost_season(air, 12.0, [layer or cover(), LOAM], 0.02, **known)


def days(count: int, mean: float = -2.0, swing: float = 6.0) -> np.ndarray:
    return mean - swing * np.cos(2.0 * np.pi * (np.arange(24 * count) - 6.0) / 24.0)


@given(
    st.lists(st.floats(-25.0, 12.0), min_size=6, max_size=30), st.floats(0.0, 4.0), st.floats(0.02, 0.4),
    st.floats(-8.0, 0.0), st.floats(0.0, 0.05),
)  # fmt: skip
@FEW
def test_compiled_and_plain_agree(air: list[float], rain: float, water: float, point: float, drying: float) -> None:
    layer = cover(np.array([water, 0.5 * water, 0.0]), freezing_point=point, dissolved=np.array([True, False, True]))
    shower = np.where(np.arange(len(air)) % 5 == 2, rain, 0.0)
    both = [season(np.array(air), layer, rain=shower, drying=drying, compiled=way) for way in (True, False)]
    for name in ("thickness", "strong", "ice", "temperature", "water"):
        np.testing.assert_allclose(getattr(both[0], name), getattr(both[1], name), rtol=1e-9, atol=1e-9, err_msg=name)
    assert both[0].valid.all() and both[1].valid.all()
    np.testing.assert_array_equal(both[0].code, both[1].code)


def test_it_is_the_crust_of_the_profile_when_nothing_falls() -> None:
    air = days(4)
    run = frost.frost_profile(air, 12.0, [cover(), LOAM], 0.0, 3.0, 8.0)
    water = np.array([0.15, 70.1e6 / WATER_LATENT])[run.layer]
    found = season(air)
    np.testing.assert_allclose(found.thickness, bonded_crust(run, water, 0.02).thickness, atol=2e-6)
    assert found.thickness.max() > 0.005, "the check must have seen a crust"


@pytest.mark.parametrize(("above", "surface"), [(2.0, -5.0), (0.0, -10.0), (2.0, -2.0), (8.0, -15.0)])
def test_the_front_is_that_of_neumann(above: float, surface: float) -> None:
    warm, cold, latent = 1500 * (840 + 0.2 * 4186), 1500 * (840 + 0.2 * 2100), 333_600.0 * 1500 * 0.2
    ground = frost.ThermalLayer(math.inf, 1.9, 1.3, cold, warm, latent)
    found = frost_season(
        np.full(720, surface), 1e9, [ground], 2.6, initial_temperature=above, bottom_temperature=above,
        steps_per_hour=12, depth=2.7,
    )  # fmt: skip
    root = frost.neumann_root(1.9, 1.3, cold, warm, latent, above, -surface)
    for hour, low in ((6, -0.025), (24, -0.02), (240, -0.022), (720, -0.02)):
        exact = float(frost.neumann_depth(root, 1.9, cold, hour * 3600.0))
        assert low < found.thickness[0, hour - 1] / exact - 1.0 < 0.0, (
            f"{hour} h: short of the exact front, by little"
        )


def test_rain_wets_the_cover_and_makes_crust_of_dry_dirt() -> None:
    air = np.concatenate((np.full(12, 4.0), np.full(36, -6.0)))
    shower = np.where(np.arange(48) < 10, 0.5, 0.0)
    dry, wet, waxed = (
        season(air, cover(0.03), rain=r, taken=t) for r, t in ((0.0, 0.7), (shower, 0.7), (shower, 0.1))
    )
    assert dry.thickness.max() == 0.0 and dry.code.max() == 0, "cold but dry dirt is loose"
    assert wet.water[0] == pytest.approx(0.03 + 0.7 * 5.0 / 1000.0 / 0.02) and wet.code[0, -1] == 2
    assert waxed.water[0] == pytest.approx(0.03 + 0.1 * 5.0 / 1000.0 / 0.02) and waxed.strong.max() == 0.0
    drowned = season(air, cover(0.03), rain=20.0)
    assert drowned.water[0] == pytest.approx(0.45), "pores hold no more"


def test_a_thawed_cover_dries_to_what_it_was() -> None:
    air = np.full(96, 8.0)
    shower = np.where(np.arange(96) < 5, 1.0, 0.0)
    assert season(air, cover(0.03), rain=shower, drying=0.04).water[0] > 0.04
    assert season(air, cover(0.03), rain=shower, drying=0.2).water[0] == pytest.approx(0.03)
    assert season(air - 20.0, cover(0.3), drying=0.2, initial_temperature=-1.0).water[0] == pytest.approx(0.3)


def test_salt_freezes_along_its_liquidus() -> None:
    share = 0.05
    shares, points = freezing_curve("sodium chloride")
    point = float(np.interp(share, shares, points))
    ones = np.ones((1, 1))
    column = enthalpy.Column(
        np.ones(1), ones, ones, 1.6e6 * ones, 2e6 * ones, 7e7 * ones, point * ones, np.zeros(1), np.ones((1, 1), bool)
    )
    for cold in (-4.0, -6.0, -10.0, -15.0, -20.0):
        table = float(frost.brine_ice_share(share, np.interp(-cold, -points, shares)))
        state = enthalpy.enthalpy_of(column, cold * ones, 0.0 * ones)
        assert enthalpy.temperature_of(column, state)[0, 0] == pytest.approx(cold)
        assert enthalpy.ice_of(column, state)[0, 0] == pytest.approx(table, abs=0.04), "table of freezing points"
    below = season(np.full(72, point - 6.0), cover(0.2, freezing_point=point, dissolved=True))
    whole = season(np.full(72, point - 6.0), cover(0.2, freezing_point=point))
    above = season(np.full(48, point + 0.2), cover(0.2, freezing_point=point, dissolved=True))
    assert above.thickness.max() == 0.0
    assert 0.0 < below.ice[0, -1] < 0.6 * whole.ice[0, -1], "only part of the brine is ice"


def test_rain_thins_the_salt() -> None:
    air = np.concatenate((np.full(6, 3.0), np.full(30, -8.0)))
    salted = cover(0.1, freezing_point=-8.0, dissolved=True)
    shower = np.where(np.arange(36) < 4, 2.0, 0.0)
    kept, thinned = season(air, salted), season(air, salted, rain=shower)
    assert kept.thickness.max() == 0.0 and thinned.code[0, -1] > 0


@given(st.floats(-6.0, 3.0), st.floats(0.5, 4.0))
@FEW
def test_colder_is_more_crust_and_sites_do_not_touch(mean: float, colder: float) -> None:
    air = days(3, mean)
    both = season(np.stack((air, air - colder)))
    assert (both.thickness[1] >= both.thickness[0] - 1e-9).all()
    np.testing.assert_array_equal(season(air - colder).thickness[0], both.thickness[1])


def test_a_gap_spoils_its_site_only() -> None:
    rain = np.zeros((3, 24))
    rain[1, 4] = np.nan
    found = season(days(1), rain=rain)
    assert found.valid.tolist() == [True, False, True] and (found.code[1] == -1).all()
    assert np.isnan(found.thickness[1]).all() and np.isfinite(found.thickness[[0, 2]]).all()


@pytest.mark.parametrize(
    "change",
    [
        {"rain": -1.0}, {"taken": 1.001}, {"drying": -0.1}, {"most_water": -0.1}, {"steps_per_hour": 0},
        {"initial_temperature": math.nan}, {"rain": np.zeros((2, 24)), "taken": np.ones(3)}, {"rain": np.zeros(7)},
        {"snow_resistance": -1.0}, {"depth": 0.01},
        {"rain": np.zeros((2, 24)), "initial_temperature": np.array([[3.0], [math.nan]])},
    ],
)  # fmt: skip
def test_misuse_is_refused(change: dict[str, Any]) -> None:
    with pytest.raises(OutOfRange):
        season(days(1), **change)
