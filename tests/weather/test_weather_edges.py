"""Where a range ends, a unit begins or a correction sets in: at the edge itself, and just beyond it."""

from __future__ import annotations

import json
from datetime import date, timedelta

import numpy as np
import pytest

from setwright.basis.errors import BadInput, OutOfRange
from setwright.weather.forecast import Forecast
from setwright.weather.heat import heat_index_fahrenheit
from setwright.weather.series import bridged
from setwright.weather.sky import sky_corrected, sky_emissivity
from setwright.weather.sun import sun_times
from setwright.weather.tables import read_forecast_grid, read_hourly_csv

HOUR = "2022-02-04T00:00:00+00:00/PT1H"


def cell(layer: str, unit: str, value: float, air: float = 10.0) -> Forecast:
    """A forecast of one hour with the air and one more layer."""
    layers = {"temperature": ("wmoUnit:degC", air), layer: (unit, value)}
    said = {
        name: {"uom": unit, "values": [{"validTime": HOUR, "value": one}]} for name, (unit, one) in layers.items()
    }
    text = json.dumps({"properties": {"updateTime": "2022-02-04T00:00:00+00:00", **said}})
    return read_forecast_grid(text, file="f.json")


@pytest.mark.parametrize(
    ("layer", "unit", "value", "name", "expected"),
    [
        # Mile 1609.344 m, nautical mile 1852 m, zero of the other scales: NIST Special Publication 811 (memory).
        ("windSpeed", "wmoUnit:kt", 10.0, "wind", 18520.0 / 3600.0),
        ("windSpeed", "wmoUnit:km_h-1", 36.0, "wind", 10.0),
        ("windSpeed", "wmoUnit:mi_h-1", 10.0, "wind", 16093.44 / 3600.0),
        ("windSpeed", "wmoUnit:m_s-1", 7.0, "wind", 7.0),
        ("temperature", "wmoUnit:degF", 14.0, "temperature", -10.0),
        ("temperature", "wmoUnit:K", 273.15, "temperature", 0.0),
        ("skyCover", "wmoUnit:percent", 25.0, "cloud", 0.25),
        ("quantitativePrecipitation", "wmoUnit:m", 0.004, "rain", 4.0),
        ("quantitativePrecipitation", "wmoUnit:kg_m-2", 4.0, "rain", 4.0),
    ],
)
def test_every_unit_of_a_forecast_is_its_size(
    layer: str, unit: str, value: float, name: str, expected: float
) -> None:
    assert getattr(cell(layer, unit, value).record, name)[0] == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("layer", "unit", "low", "high"),
    [
        ("temperature", "wmoUnit:degC", -90.0, 60.0),
        ("dewpoint", "wmoUnit:degC", -95.0, 40.0),
        ("windSpeed", "wmoUnit:m_s-1", 0.0, 100.0),
        ("skyCover", "wmoUnit:percent", 0.0, 100.0),
        ("quantitativePrecipitation", "wmoUnit:mm", 0.0, 2000.0),
        ("snowfallAmount", "wmoUnit:mm", 0.0, 5000.0),
    ],
)
def test_what_no_weather_has_is_refused_from_the_edge_on(layer: str, unit: str, low: float, high: float) -> None:
    for value in (low, high):
        cell(layer, unit, value, air=45.0)
    for value in (low - 0.01, high + 0.01):
        with pytest.raises(BadInput) as caught:
            cell(layer, unit, value, air=45.0)
        assert layer in (caught.value.field or "")


def test_heat_index_ends_where_it_says() -> None:
    inside = heat_index_fahrenheit([40.0, 130.0, 70.0, 70.0], [0.5, 0.5, 0.0, 1.0])
    assert np.isfinite(inside).all()
    assert np.isnan(heat_index_fahrenheit([39.9, 130.1, 70.0, 70.0], [0.5, 0.5, -0.001, 1.001])).all()


def test_cool_air_feels_as_the_mean_with_the_simple_formula() -> None:
    # Mean of 70 degF with 70 + 61 + 1.2 (70 - 68) + 0.094 x 50, halved, worked out by hand.
    assert float(heat_index_fahrenheit(70.0, 0.5)) == pytest.approx(69.525)
    # At 68 degF and no moisture: (68 + (68 + 61) / 2) / 2.
    assert float(heat_index_fahrenheit(68.0, 0.0)) == pytest.approx(66.25)


def test_corrections_of_the_heat_index_set_in_without_a_step() -> None:
    air = np.linspace(84.0, 111.0, 10)
    dry = heat_index_fahrenheit(air, 0.13 - 1e-7) - heat_index_fahrenheit(air, 0.13 + 1e-7)
    np.testing.assert_allclose(dry, 0.0, atol=1e-3)
    warm = np.linspace(81.0, 86.9, 10)
    damp = heat_index_fahrenheit(warm, 0.85 - 1e-7) - heat_index_fahrenheit(warm, 0.85 + 1e-7)
    np.testing.assert_allclose(damp, 0.0, atol=1e-3)
    wet = heat_index_fahrenheit([87.0 - 1e-7, 87.0 + 1e-7], 0.95)
    assert wet[0] == pytest.approx(wet[1], abs=1e-3)
    ends = heat_index_fahrenheit([112.0 - 1e-9, 112.0 + 1e-9], 0.05)
    assert ends[0] == pytest.approx(ends[1], abs=1e-3)
    # Largest in the middle: 13/4 at no moisture and 95 degF, worked out by hand from the regression's first terms.
    regression = -42.379 + 2.04901523 * 95.0 - 6.83783e-3 * 95.0**2
    assert float(heat_index_fahrenheit(95.0, 0.0)) == pytest.approx(regression - 13.0 / 4.0, abs=1e-9)


def test_a_covered_sky_of_warm_damp_air_shines_as_the_air_does() -> None:
    assert float(sky_emissivity(20.0, 20.0, 1.0)) == 1.0
    assert float(sky_corrected(20.0, 20.0, 1.0, 2.0).equivalent) == pytest.approx(20.0, abs=1e-12)


def test_just_below_the_polar_circle_the_sun_sets_late_and_rises_early() -> None:
    found = sun_times(date(2026, 6, 21), 65.6, -150.0, "America/Anchorage")
    assert found.sunrise is not None and found.sunset is not None
    assert timedelta(hours=11) < found.sunset - found.noon < timedelta(hours=12)
    assert timedelta(hours=11) < found.noon - found.sunrise < timedelta(hours=12)


def test_short_gaps_are_bridged_by_a_straight_line_and_long_ones_stay() -> None:
    gap = np.nan
    filled, which = bridged(np.array([gap, 1.0, gap, gap, 4.0, 5.0, gap, gap, gap, 9.0, gap]), 2)
    np.testing.assert_array_equal(filled, [gap, 1.0, 2.0, 3.0, 4.0, 5.0, gap, gap, gap, 9.0, gap])
    assert np.flatnonzero(which).tolist() == [2, 3]
    assert np.isnan(bridged(np.full(3, gap), 2)[0]).all()


@pytest.mark.parametrize(
    ("column", "low", "high"),
    [
        ("dew_point_C", -95.0, 40.0),
        ("wind_m_s", 0.0, 100.0),
        ("cloud_share", 0.0, 1.0),
        ("radiation_W_m2", -20.0, 1500.0),
        ("rain_mm", 0.0, 300.0),
    ],
)
def test_a_record_takes_what_weather_can_be_and_no_more(column: str, low: float, high: float) -> None:
    def read(value: float) -> None:
        text = f"time,temperature_C,{column}\n2026-01-01T00:00Z,45,{value}\n"
        read_hourly_csv(text, file="w.csv", timezone="UTC")

    read(low)
    read(high)
    for value in (low - 0.01, high + 0.01):
        with pytest.raises(BadInput) as caught:
            read(value)
        assert caught.value.field == column


@pytest.mark.parametrize(("latitude", "longitude"), [(90.1, 0.0), (-90.1, 0.0), (0.0, 180.1), (0.0, -180.1)])
def test_there_is_no_place_beyond_the_poles_and_the_date_line(latitude: float, longitude: float) -> None:
    sun_times(date(2026, 3, 1), min(max(latitude, -90.0), 90.0), min(max(longitude, -180.0), 180.0), "UTC")
    with pytest.raises(OutOfRange):
        sun_times(date(2026, 3, 1), latitude, longitude, "UTC")
