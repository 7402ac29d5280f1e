"""Sky-corrected air, sun, wind chill, tables: limits and monotony."""

from __future__ import annotations

import datetime as clock

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.errors import BadInput, OutOfRange
from setwright.basis.tables import shipped
from setwright.weather import chill
from setwright.weather.sky import sky_corrected, sky_emissivity, surface_conductance
from setwright.weather.sun import sun_times
from setwright.weather.tables import freezing_curve, freezing_points, read_hourly_csv, thermal

UNHURRIED = settings(deadline=None)

AIR, SHARE, WIND = st.floats(-35.0, 25.0), st.floats(0.0, 1.0), st.floats(0.0, 15.0)
DRYNESS = st.floats(0.0, 20.0)


@given(AIR, DRYNESS, SHARE, WIND)
@UNHURRIED
def test_a_dark_sky_never_warms_and_cloud_and_wind_bring_ground_and_air_together(
    air: float, dryness: float, cloud: float, wind: float
) -> None:
    here = sky_corrected(air, air - dryness, cloud, wind)
    assert -25.0 < float(here.equivalent) - air <= 1e-9, "radiation to a night sky can only cool"
    cloudier = sky_corrected(air, air - dryness, min(1.0, cloud + 0.2), wind)
    windier = sky_corrected(air, air - dryness, cloud, wind + 2.0)
    assert float(cloudier.equivalent) >= float(here.equivalent) - 1e-9
    assert float(windier.equivalent) >= float(here.equivalent) - 1e-9
    assert float(windier.conductance) > float(here.conductance) > 5.7
    assert not here.assumed.any()


@given(AIR, DRYNESS, SHARE, WIND, st.floats(1.0, 1000.0))
@UNHURRIED
def test_sun_warms_and_trees_halve_what_the_sky_does(
    air: float, dryness: float, cloud: float, wind: float, sun: float
) -> None:
    dark, bright, shaded = (
        float(sky_corrected(air, air - dryness, cloud, wind, g, sky_view=v).equivalent)
        for g, v in ((0.0, 1.0), (sun, 1.0), (sun, 0.5))
    )
    assert bright > dark
    assert shaded - air == pytest.approx((bright - air) / 2.0, abs=1e-9)


def test_ground_can_freeze_in_air_above_freezing() -> None:
    assert float(sky_corrected(4.0, 0.0, 0.0, 1.0).equivalent) < -1.0


def test_energy_balance_is_met() -> None:
    air, dew, cloud, wind, sun = 2.0, -3.0, 0.4, 3.0, 150.0
    found = sky_corrected(air, dew, cloud, wind, sun, wind_share=0.3)
    sigma, kelvin = 5.670374419e-8, air + 273.15
    vapour = 6.112 * np.exp(17.62 * dew / (243.12 + dew))
    down = min(1.0, 1.24 * (vapour / kelvin) ** (1 / 7) * (1 + 0.22 * cloud**2.75)) * sigma * kelvin**4
    h = 4 * 0.95 * sigma * kelvin**3 + 5.7 + 3.8 * 0.3 * wind
    assert float(found.conductance) == pytest.approx(h)
    assert h * (float(found.equivalent) - air) == pytest.approx(0.7 * sun + 0.95 * (down - sigma * kelvin**4))


@pytest.mark.parametrize(
    ("dew", "cloud", "offset"),
    [(np.nan, 0.0, -6.0), (np.nan, 1.0, -1.0), (np.nan, np.nan, -6.0), (-2.0, np.nan, -6.0)],
)
def test_where_the_sky_is_not_known_an_offset_stands_in_and_says_so(dew: float, cloud: float, offset: float) -> None:
    found = sky_corrected(1.0, dew, cloud, 2.0)
    assert float(found.equivalent) == pytest.approx(1.0 + offset) and bool(found.assumed)
    under = sky_corrected(1.0, dew, cloud, 2.0, sky_view=0.5)
    assert float(under.equivalent) == pytest.approx(1.0 + offset / 2)


def test_gaps_are_marked_hour_by_hour() -> None:
    air = np.array([0.0, np.nan, 0.0, 0.0])
    found = sky_corrected(air, air - 1.0, 0.0, [1.0, 1.0, np.nan, 1.0], [0.0, 0.0, 0.0, np.nan])
    assert np.isnan(found.equivalent[1]) and np.isfinite(found.equivalent[[0, 2, 3]]).all()
    assert found.assumed.tolist() == [False, True, True, True]


@given(AIR, st.floats(0.0, 30.0), SHARE)
@UNHURRIED
def test_emissivity_is_a_share(air: float, dryness: float, cloud: float) -> None:
    assert 0.2 < float(sky_emissivity(air, air - dryness, cloud)) <= 1.0


def test_calm_surface_conductance_is_about_ten() -> None:
    assert float(surface_conductance(0.0, 0.0)) == pytest.approx(10.1, abs=0.1)


@given(st.dates(clock.date(2000, 1, 1), clock.date(2040, 12, 31)), st.floats(-60.0, 60.0), st.floats(-179.0, 179.0))
@UNHURRIED
def test_the_sun_keeps_its_order(date: clock.date, latitude: float, longitude: float) -> None:
    found = sun_times(date, latitude, longitude, "UTC")
    assert found.sunrise is not None and found.sunset is not None
    assert found.sunrise < found.noon < found.sunset
    assert clock.timedelta(hours=5) < found.sunset - found.sunrise < clock.timedelta(hours=19.5)
    if found.dawn is not None:
        assert clock.timedelta(0) < found.sunrise - found.dawn < clock.timedelta(hours=3.5)
    if found.dusk is not None:
        assert clock.timedelta(0) < found.dusk - found.sunset < clock.timedelta(hours=3.5)


def test_an_event_at_midnight_of_utc_is_not_lost() -> None:
    found = sun_times(clock.date(2000, 7, 30), -9.25, -90.65625, "UTC")
    assert found.sunrise is not None and found.sunset is not None
    assert abs((found.sunset - clock.datetime(2000, 7, 31, tzinfo=clock.UTC)).total_seconds()) < 120.0


def test_a_local_day_has_its_own_sun() -> None:
    zone = "America/Anchorage"
    for day in range(0, 365, 5):
        date = clock.date(2026, 1, 1) + clock.timedelta(days=day)
        found = sun_times(date, 58.0, -150.0, zone)
        assert found.sunrise is not None and found.sunset is not None
        assert found.sunrise.date() == found.noon.date() == found.sunset.date() == date
        assert found.sunrise < found.noon < found.sunset


def test_polar_days_have_no_sunrise() -> None:
    winter = sun_times(clock.date(2026, 12, 21), 70.0, 20.0, "Europe/Oslo")
    summer = sun_times(clock.date(2026, 6, 21), 70.0, 20.0, "Europe/Oslo")
    assert winter.sunrise is winter.sunset is None and winter.dawn is not None
    assert summer.sunrise is summer.sunset is summer.dawn is summer.dusk is None


def test_sun_refuses_what_is_no_place_and_no_zone() -> None:
    with pytest.raises(OutOfRange):
        sun_times(clock.date(2026, 1, 1), 91.0, 0.0, "UTC")
    with pytest.raises(BadInput):
        sun_times(clock.date(2026, 1, 1), 45.0, 0.0, "../etc")


@given(st.floats(-50.0, 10.0), st.floats(1.35, 30.0))
@UNHURRIED
def test_wind_chill_falls_with_wind_and_both_equations_agree(air: float, wind: float) -> None:
    here = float(chill.wind_chill(air, wind))
    assert float(chill.wind_chill(air - 1.0, wind)) < here
    if air < 0.0:
        assert float(chill.wind_chill(air, wind * 1.2)) < here < air + 1.0
    imperial = float(chill.wind_chill_fahrenheit(air * 1.8 + 32.0, wind * 2.2369363))
    assert abs((imperial - 32.0) / 1.8 - here) < 0.25, "the two official equations differ by their rounding only"


@pytest.mark.parametrize(("air", "wind"), [(10.1, 5.0), (-5.0, 1.3), (np.nan, 5.0), (-5.0, np.nan)])
def test_wind_chill_says_nothing_outside_its_range(air: float, wind: float) -> None:
    assert np.isnan(chill.wind_chill(air, wind))
    assert np.isnan(chill.wind_chill_fahrenheit(air * 1.8 + 32.0, wind * 2.2369363))


def test_warnings_of_the_trapper() -> None:
    values = [-26.9, -27.0, -35.0, -59.9, -60.0, np.nan]
    assert chill.warning_code(values).tolist() == [0, 1, 2, 2, 3, 0]
    said = chill.trapper_warning(-30.0, 8.0)
    assert dict(said.values)["chill"] == pytest.approx(float(chill.wind_chill(-30.0, 8.0)))
    assert "10 to 15 minutes" in said.template
    assert chill.trapper_warning(5.0, 8.0) is chill.WARNINGS[0]


@pytest.mark.parametrize(
    ("solute", "basis"),
    [
        ("sodium chloride", "mass"), ("magnesium chloride", "mass"), ("calcium chloride", "mass"),
        ("propylene glycol", "mass"), ("propylene glycol", "volume"), ("glycerol", "mass"), ("sea water", "mass"),
    ],
)  # fmt: skip
def test_more_solute_freezes_lower(solute: str, basis: str) -> None:
    share, point = freezing_curve(solute, basis)
    assert share[0] == point[0] == 0.0
    assert (np.diff(share) > 0).all() and (np.diff(point) < 0).all(), "up to the eutectic each point must lie lower"


def test_poison_is_not_in_the_table_and_an_unknown_solute_is_refused() -> None:
    table = freezing_points()
    assert not any("ethylene" in table.text(key, "solute") for key in map(str, table.keys()))
    with pytest.raises(BadInput, match="solute"):
        freezing_curve("ethylene glycol")


def test_every_cover_has_what_the_frost_model_needs() -> None:
    table = thermal()
    bare = ("snow-fresh", "snow-settled", "snow-packed", "ice", "water", "pan-cover")
    for key in map(str, table.keys()):
        if key not in bare:
            for name in ("water_volume", "k_frozen", "k_unfrozen", "c_frozen", "c_unfrozen", "latent"):
                assert table.number(key, name) > 0.0
            assert table.number(key, "c_frozen") < table.number(key, "c_unfrozen"), (
                f"{key}: ice holds less than water"
            )
    assert {"loam-moist", "dry-dirt", "peat-dry", "waxed-dirt"} <= set(table.keys())


def test_offset_over_the_dark_hours_of_the_shipped_record_is_of_the_known_size() -> None:
    record = read_hourly_csv(shipped("demo", "weather.csv"), file="weather.csv", timezone="America/New_York")
    found = sky_corrected(record.temperature, record.dew_point, record.cloud, record.wind, record.radiation)
    dark = record.radiation == 0.0
    assert -8.0 < np.median((found.equivalent - record.temperature)[dark]) < -3.0
