"""Forecasts: recorded ones are read to the figure, spans are spread, and what is odd is named."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.errors import BadInput, OutOfRange
from setwright.weather.forecast import Forecast
from setwright.weather.tables import read_forecast_grid, read_forecast_hours, read_hourly_csv

RECORDS = Path(__file__).parent / "records"
GRID = (RECORDS / "gridpoint.json").read_text(encoding="utf-8")
HOURS = (RECORDS / "hours_us.json").read_text(encoding="utf-8")


def grid(text: str) -> Forecast:
    return read_forecast_grid(text, file="f.json")


def test_a_recorded_grid_cell_is_read() -> None:
    found = grid(GRID)
    record = found.record
    assert record.start == datetime(2022, 2, 3, 21, tzinfo=UTC) and record.hours == 7 * 24 + 14
    assert found.issued == datetime(2022, 2, 4, 3, 15, 41, tzinfo=UTC)
    np.testing.assert_allclose(record.temperature[:2], [22.777778, 22.222222], atol=1e-6)
    np.testing.assert_allclose(record.dew_point[:6], [17.777778] * 5 + [18.333333], atol=1e-6)
    np.testing.assert_allclose(record.wind[:3], np.array([20.372, 20.372, 16.668]) / 3.6)
    np.testing.assert_allclose(record.cloud[:2], [0.71, 0.73])
    assert record.temperature.min() == pytest.approx(3.3333333)


def test_amounts_are_kept_and_values_repeated() -> None:
    layers = json.loads(GRID)["properties"]
    told = sum(entry["value"] for entry in layers["quantitativePrecipitation"]["values"])
    found = grid(GRID)
    assert told > 0 and np.nansum(found.record.rain) == pytest.approx(told), "rain must add up to what is told"
    assert {gap.quantity for gap in found.record.gaps()} >= {"rain", "radiation"}


@pytest.mark.parametrize(("file", "wind"), [("hours_us.json", 0.0), ("hours_si.json", 0.0)])
def test_recorded_hours_are_read(file: str, wind: float) -> None:
    found = read_forecast_hours((RECORDS / file).read_text(encoding="utf-8"), file=file)
    assert found.record.start == datetime(2019, 10, 15, 0, tzinfo=UTC) and found.record.hours == 2
    assert abs(found.record.temperature[0] - 25.5) < 0.06 and found.record.wind[0] == wind
    assert np.isnan(found.record.cloud).all() and np.isnan(found.record.rain).all()


def test_a_stale_forecast_is_refused() -> None:
    found = grid(GRID)
    assert found.fresh(found.issued + timedelta(hours=12)) is found.record
    for now in (found.issued + timedelta(hours=12, seconds=1), found.issued - timedelta(seconds=1)):
        assert found.stale(now)
        with pytest.raises(BadInput, match="stale"):
            found.fresh(now)
    assert not found.stale(found.issued + timedelta(hours=20), timedelta(hours=24))
    with pytest.raises(OutOfRange):
        found.age(datetime(2022, 2, 4))


Change = Callable[[dict[str, Any]], object]


def _entry(layer: str, place: int, **new: object) -> Change:
    return lambda found: found["properties"][layer]["values"][place].update(new)


BROKEN: list[tuple[Change, str]] = [
    (lambda found: found.pop("properties"), "properties"),
    (lambda found: found["properties"].pop("updateTime"), "updateTime"),
    (lambda found: found["properties"].update(updateTime="2022-02-04T03:15:41"), "updateTime"),
    (lambda found: found["properties"].pop("temperature"), "temperature"),
    (lambda found: found["properties"]["temperature"].update(values=[]), "temperature"),
    (lambda found: found["properties"]["temperature"].update(uom="wmoUnit:furlong"), "temperature.uom"),
    (lambda found: found["properties"]["temperature"]["values"].reverse(), "temperature"),
    (lambda found: found["properties"]["skyCover"]["values"].insert(1, found["properties"]["skyCover"]["values"][0]),
     "skyCover"),
    (_entry("temperature", 3, validTime="2022-02-04T00:30:00+00:00/PT1H"), "temperature.values[3]"),
    (_entry("temperature", 3, validTime="2022-02-04T00:00:00+00:00/PT90M"), "temperature.values[3]"),
    (_entry("temperature", 3, validTime="2022-02-04T00:00:00+00:00/P"), "temperature.values[3]"),
    (_entry("temperature", 3, validTime="2022-02-04T00:00:00+00:00/P9999D"), "temperature.values[3]"),
    (_entry("temperature", 3, validTime="2022-02-04T00:00:00+00:00"), "temperature.values[3]"),
    (_entry("temperature", 153, validTime="2022-06-04T00:00:00+00:00/PT1H"), ""),
    (_entry("temperature", 3, value="cold"), "temperature.values[3]"),
    (_entry("temperature", 3, value=True), "temperature.values[3]"),
    (_entry("temperature", 3, value=300), "temperature.values[3]"),
    (_entry("temperature", 3, unitCode="wmoUnit:degF"), "temperature.values[3]"),
    (_entry("windSpeed", 0, value=-1), "windSpeed.values[0]"),
    (_entry("quantitativePrecipitation", 0, value=-1), "quantitativePrecipitation.values[0]"),
    (_entry("dewpoint", 0, value=30), "dewpoint"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "field"), BROKEN, ids=range(len(BROKEN)))
def test_a_broken_forecast_is_refused_with_its_place(change: Change, field: str) -> None:
    found = json.loads(GRID)
    change(found)
    with pytest.raises(BadInput) as caught:
        grid(json.dumps(found))
    assert caught.value.file == "f.json" and field in (caught.value.field or "")


def test_null_is_a_gap_of_its_hours() -> None:
    found = json.loads(GRID)
    _entry("windSpeed", 0, value=None)(found)
    assert np.isnan(grid(json.dumps(found)).record.wind).tolist()[:3] == [True, True, False]


@settings(max_examples=40, deadline=None)
@given(st.integers(0, len(HOURS) - 2))
def test_a_truncated_text_is_refused(length: int) -> None:
    with pytest.raises(BadInput) as caught:
        read_forecast_hours(HOURS[:length].rstrip(), file="f.json")
    assert caught.value.file == "f.json"


@pytest.mark.parametrize("text", ["[]", "7", '{"properties": NaN}', "[" * 100_000])
def test_what_is_no_forecast_is_refused(text: str) -> None:
    for read in (read_forecast_grid, read_forecast_hours):
        with pytest.raises(BadInput):
            read(text, file="f.json")


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("temperatureUnit", "C"), ("temperatureUnit", "K"), ("windSpeed", "brisk"), ("windSpeed", "5 to mph"),
        ("endTime", "2019-10-14T21:00:00-04:00"), ("startTime", None), ("temperature", "78"), ("dewpoint", 5),
    ],
)  # fmt: skip
def test_broken_hours_are_refused(name: str, value: object) -> None:
    found = json.loads(HOURS)
    found["properties"]["periods"][1][name] = value
    with pytest.raises(BadInput) as caught:
        read_forecast_hours(json.dumps(found), file="f.json")
    assert caught.value.file == "f.json" and "periods" in (caught.value.field or "")


def test_wind_in_words_is_its_middle() -> None:
    found = json.loads(HOURS)
    found["properties"]["periods"][0]["windSpeed"] = "5 to 10 mph"
    record = read_forecast_hours(json.dumps(found), file="f.json").record
    assert record.wind[0] == pytest.approx(7.5 * 0.44704)


@pytest.mark.parametrize(("day", "hours"), [("2026-11-01", 25), ("2026-03-08", 23), ("2026-03-09", 24)])
def test_days_of_the_clock_change_have_their_hours(day: str, hours: int) -> None:
    clock = [f"{hour:02d}" for hour in range(24)]
    if hours == 25:
        clock.insert(1, "01")
    if hours == 23:
        clock.remove("02")
    rows = "".join(f"{day}T{hour}:00,{place}\n" for place, hour in enumerate(clock))
    found = read_hourly_csv("time,temperature_C\n" + rows, file="w.csv", timezone="America/New_York")
    assert found.hours == hours and not np.isnan(found.temperature).any()
    assert found.temperature.tolist() == list(range(hours))
