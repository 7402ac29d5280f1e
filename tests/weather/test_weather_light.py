"""Legal light is never longer than a rule allows; heat index within its range; additives that are refused."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.errors import BadInput, OutOfRange
from setwright.weather.heat import heat_index, heat_index_fahrenheit
from setwright.weather.sun import SunTimes, legal_light, sun_times
from setwright.weather.tables import additives, checked_additive, freezing_curve

NOON = datetime(2026, 12, 10, 17, tzinfo=UTC)


@given(st.integers(0, 6 * 3600), st.integers(0, 6 * 3600), st.integers(-3600, 3600), st.integers(0, 900))
def test_rounding_is_inward(morning: int, evening: int, offset: int, margin: int) -> None:
    rise, sets = NOON - timedelta(seconds=morning), NOON + timedelta(seconds=evening)
    shift, less = timedelta(seconds=offset), timedelta(seconds=margin)
    found = legal_light(SunTimes(None, rise, NOON, sets, None), shift, shift, less)
    assert not found.polar
    if found.begin is None or found.end is None:
        assert found.begin is None and found.end is None
        assert sets + shift - less - (rise - shift + less) < timedelta(minutes=2), "only what is gone may be none"
        return
    for late in (found.begin - (rise - shift + less), sets + shift - less - found.end):
        assert timedelta(0) <= late < timedelta(minutes=1), "at most a minute is lost, nothing is won"
    assert (found.begin.second, found.begin.microsecond, found.end.second) == (0, 0, 0)


def test_a_rule_of_half_an_hour_at_a_place() -> None:
    times = sun_times(date(2002, 3, 20), 38.9, -77.0, "America/New_York")
    half = timedelta(minutes=30)
    found = legal_light(times, half, half)
    # Almanac: sunrise 6:12, sunset 18:21 EST.
    assert found.begin is not None and found.end is not None
    assert (
        found.begin.strftime("%H:%M") in ("05:43", "05:44", "05:45") and str(found.begin.tzinfo) == "America/New_York"
    )
    assert found.end.strftime("%H:%M") in ("18:47", "18:48", "18:49")


@pytest.mark.parametrize("day", [date(2026, 6, 21), date(2026, 12, 21)])
def test_polar_days_have_no_answer(day: date) -> None:
    found = legal_light(sun_times(day, 71.3, -156.8, "America/Anchorage"))
    assert found.polar and found.begin is None and found.end is None


def test_a_margin_cannot_lengthen() -> None:
    with pytest.raises(OutOfRange):
        legal_light(SunTimes(None, NOON, NOON, NOON, None), margin=timedelta(seconds=-1))


@given(st.floats(45.0, 125.0), st.floats(0.0, 0.98))
def test_damper_air_feels_no_cooler(temperature: float, humidity: float) -> None:
    here, damper = heat_index_fahrenheit(temperature, [humidity, humidity + 0.02])
    # The corrections join the regression with a step of up to 2 degF.
    assert damper >= here - 2.0
    celsius = float(heat_index((temperature - 32.0) / 1.8, humidity))
    assert celsius * 1.8 + 32.0 == pytest.approx(float(here), abs=1e-9)


def test_heat_index_outside_its_range_is_no_number() -> None:
    assert np.isnan(heat_index_fahrenheit([30.0, 140.0, 90.0, 90.0, np.nan], [0.5, 0.5, 1.2, -0.1, 0.5])).all()


def test_ethylene_glycol_is_refused_with_the_reason() -> None:
    with pytest.raises(BadInput, match="poisons pets") as caught:
        checked_additive("ethylene-glycol")
    assert "propylene-glycol" in (caught.value.allowed or "")
    with pytest.raises(BadInput, match="no such"):
        checked_additive("molasses")


def test_salt_is_named_with_rust_and_refusals() -> None:
    assert all(word in checked_additive("sodium-chloride") for word in ("rust", "refuse", "draws"))
    table = additives()
    keys = table.keys()
    for key in keys:
        if table.text(key, "use") != "refused":
            assert freezing_curve(table.text(key, "solute"))[1][-1] < -10.0, "what is allowed must have its curve"
