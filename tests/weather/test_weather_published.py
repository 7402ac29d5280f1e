"""Wind chill, sun, vapour and freezing points against printed tables."""

from __future__ import annotations

import datetime as clock
from collections.abc import Mapping

import numpy as np
import pytest

from outside import hold, rows
from setwright.weather.chill import wind_chill, wind_chill_fahrenheit
from setwright.weather.heat import heat_index_fahrenheit
from setwright.weather.sky import vapour_pressure
from setwright.weather.sun import sun_times
from setwright.weather.tables import freezing_curve


def chill_celsius(temperature: float, wind: float) -> float:
    return float(wind_chill(temperature, wind / 3.6))


def chill_fahrenheit(temperature: float, wind: float) -> float:
    return float(wind_chill_fahrenheit(temperature, wind))


def heat_fahrenheit(temperature: float, percent: float) -> float:
    return float(heat_index_fahrenheit(temperature, percent / 100.0))


def sun_seconds(name: str, date: str, latitude: float, longitude: float, timezone: str) -> float:
    times = sun_times(clock.date.fromisoformat(date), latitude, longitude, timezone)
    moment: clock.datetime = getattr(times, name)
    return (moment - moment.replace(hour=0, minute=0, second=0, microsecond=0)).total_seconds()


def vapour(dew_point: float) -> float:
    return float(vapour_pressure(dew_point))


def liquidus(solute: str, share: float) -> float:
    return float(np.interp(share, *freezing_curve(solute)))


def salt_per_water(temperature: float) -> float:
    shares, points = freezing_curve("sodium chloride")
    share = float(np.interp(-temperature, -points, shares))
    return share / (1.0 - share)


def coldest(solute: str) -> float:
    return float(freezing_curve(solute)[1][-1])


CHECKS = {
    function.__name__: function
    for function in (
        chill_celsius,
        chill_fahrenheit,
        heat_fahrenheit,
        sun_seconds,
        vapour,
        liquidus,
        salt_per_water,
        coldest,
    )
}


@pytest.mark.parametrize("row", rows("weather", "published"))
def test_weather_published(row: Mapping[str, str]) -> None:
    hold(row, CHECKS)


def test_all_cells_of_both_charts_are_there() -> None:
    names = [str(getattr(row, "id", "")) for row in rows("weather", "published")]
    assert sum(name.startswith("chill-") for name in names) == 117
