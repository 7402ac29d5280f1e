"""Two months each of two real cold winters, hour by hour, under covers that a trapper has."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from setwright.ground import frost
from setwright.ground.frost_season import FrostSeason, frost_season
from setwright.ground.hours import lost_hours
from setwright.weather.series import Hourly
from setwright.weather.sky import sky_corrected
from setwright.weather.tables import read_hourly_csv, thermal

RECORDS = Path(__file__).parents[1] / "weather" / "records"
YEARS = (2017, 2023)
# Lowest air of each record [degC], and least share of hours in which damp soil is out of order.
COLDEST, DAMP = {2017: -28.0, 2023: -25.0}, {2017: 0.7, 2023: 0.8}
COVERS = ("dry-dirt", "waxed-dirt", "peat-dry", "loam-moist")
WINTER = slice(14 * 24, None)


@cache
def record(year: int = 2023) -> Hourly:
    path = RECORDS / f"high_valley_{year}.csv"
    return read_hourly_csv(path.read_text(encoding="utf-8"), file=path.name, timezone="America/Denver")


def layer(key: str, thickness: float) -> frost.ThermalLayer:
    names = ("k_frozen", "k_unfrozen", "c_frozen", "c_unfrozen", "latent")
    return frost.ThermalLayer(thickness, *(thermal().number(key, name) for name in names))


@cache
def winter(
    cover: str, snow: float = 0.0, shift: float = 0.0, rain: float = 0.0, taken: float = 0.7, year: int = 2023
) -> FrostSeason:
    weather = record(year)
    ground = sky_corrected(weather.temperature, weather.dew_point, weather.cloud, weather.wind, weather.radiation)
    wet = np.where(np.arange(weather.hours) == 20 * 24 + 14, rain, 0.0)
    return frost_season(
        ground.equivalent + shift, ground.conductance, [layer(cover, 0.02), layer("loam-moist", math.inf)], 0.02,
        snow_resistance=snow, rain=wet, taken=taken, initial_temperature=1.0, bottom_temperature=6.0, depth=2.0,
    )  # fmt: skip


def lost(season: FrostSeason) -> int:
    return int(lost_hours(season.code[:, WINTER]).lost[0])


@pytest.mark.parametrize("year", YEARS)
def test_the_record_is_a_cold_winter_without_gaps_but_rain(year: int) -> None:
    found = record(year)
    assert found.hours == 59 * 24 and {gap.quantity for gap in found.gaps()} == {"rain"}
    assert COLDEST[year] < found.temperature.min() < -15.0 and found.temperature.mean() < -3.0


@pytest.mark.parametrize("year", YEARS)
@pytest.mark.parametrize("cover", COVERS)
def test_every_hour_is_solved_and_none_is_colder_than_what_acts(cover: str, year: int) -> None:
    season, weather = winter(cover, year=year), record(year)
    coldest = sky_corrected(weather.temperature, weather.dew_point, weather.cloud, weather.wind).equivalent.min()
    assert season.valid.all() and season.temperature.min() > coldest


@pytest.mark.parametrize("year", YEARS)
def test_dry_covers_work_where_damp_soil_is_frozen_down(year: int) -> None:
    hours = record(year).hours - WINTER.start
    assert lost(winter("loam-moist", year=year)) > DAMP[year] * hours, "damp soil is out of order in such a winter"
    assert lost(winter("dry-dirt", year=year)) == lost(winter("waxed-dirt", year=year)) == 0


def test_one_rain_ends_dry_dirt_and_not_waxed() -> None:
    assert lost(winter("dry-dirt", rain=4.0)) > 500
    assert lost(winter("waxed-dirt", rain=4.0, taken=0.1)) == 0


def test_snow_puts_frost_off_and_colder_air_takes_more_hours() -> None:
    bare = winter("loam-moist")
    assert lost_hours(winter("loam-moist", snow=0.6).code).first[0] > lost_hours(bare.code).first[0]
    assert lost(winter("loam-moist", shift=2.0)) < lost(bare) < lost(winter("loam-moist", shift=-2.0))
