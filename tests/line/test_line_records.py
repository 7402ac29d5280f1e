"""Weather and level of the evening: forecast and gauge before the book's own records, gaps and age said."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from setwright.basis.errors import BadInput
from setwright.basis.tables import DATA
from setwright.basis.yamlfile import load, validate
from setwright.line.book import LineBook
from setwright.line.night import day_of
from setwright.line.records import Fresh, level_of, weather_of

WEATHER = Path(__file__).parents[1] / "weather" / "records"
WATER = Path(__file__).parents[1] / "water" / "records"
PLACE = (36.1, -79.95)


@pytest.fixture(scope="module")
def book():
    text = (DATA / "demo" / "line-book.yaml").read_text(encoding="utf-8")
    return validate(LineBook, load(text, file="line-book.yaml"), file="line-book.yaml")


def made(book, text="2026-12-20T15:30"):
    return datetime.fromisoformat(text).replace(tzinfo=book.line.zone)


def forecast(folder, start, issued, temperatures, **layers):
    """A forecast of one grid cell in the public form, made up for the test."""

    def layer(unit, values):
        return {
            "uom": unit,
            "values": [
                {"validTime": f"{(start + timedelta(hours=hour)).isoformat()}/PT1H", "value": value}
                for hour, value in enumerate(values)
                if value != "left out"
            ],
        }

    properties = {"updateTime": issued.isoformat(), "temperature": layer("wmoUnit:degC", temperatures)}
    properties |= {name: layer(unit, values) for name, (unit, values) in layers.items()}
    path = folder / "forecast.json"
    path.write_text(json.dumps({"properties": properties}), encoding="utf-8")
    return path


def test_the_forecast_goes_before_the_books_record_and_says_when_it_was_made(book, tmp_path):
    evening = made(book)
    start = evening.astimezone(UTC).replace(minute=0)
    path = forecast(tmp_path, start, start - timedelta(hours=2), [1.0 - 0.3 * hour for hour in range(30)])
    day = day_of(book, tmp_path, PLACE, evening + timedelta(hours=24), evening, Fresh(forecast=path))
    night, note = day.conditions.night, day.records[0]
    assert np.allclose(night.air[:3], [1.0, 0.7, 0.4]) and note.what == "forecast"
    assert note.issued == start - timedelta(hours=2)
    said = " ".join(remark.template for remark in note.remarks)
    assert "clear sky" in said and "rain not told" in said and "light air" in said
    assert night.before.size == 0, "a stand-in record of another year is not put before a forecast"


def test_humidity_is_that_of_the_dew_point_where_one_is_told(book, tmp_path):
    evening = made(book)
    start = evening.astimezone(UTC).replace(minute=0)
    damp = ("wmoUnit:degC", [20.0] * 10 + ["left out"] * 20)
    path = forecast(tmp_path, start, start, [30.0] * 30, dewpoint=damp)
    night = day_of(
        book, tmp_path, PLACE, evening + timedelta(hours=24), evening, Fresh(forecast=path)
    ).conditions.night
    # Pressures of steam over water at 20 and 30 °C: 2.339 and 4.246 kPa (steam tables, memory).
    assert night.humidity[:10] == pytest.approx(2.339 / 4.246, rel=2e-3)
    assert np.isnan(night.humidity[10:]).all()


def test_measured_hours_stand_before_the_forecast(book, tmp_path):
    evening = made(book)
    start = evening.astimezone(UTC).replace(minute=0)
    rows = [f"{(start - timedelta(hours=back)).isoformat()},{-5.0}" for back in range(48, 0, -1)]
    (tmp_path / "mine.csv").write_text("# label: my shed\ntime,temperature_C\n" + "\n".join(rows), encoding="utf-8")
    weather = replace_weather(book, "mine.csv")
    path = forecast(tmp_path, start, start, [0.0] * 30)
    night = day_of(
        weather, tmp_path, PLACE, evening + timedelta(hours=24), evening, Fresh(forecast=path)
    ).conditions.night
    assert night.before.size == 48 and night.air[0] == 0.0


def replace_weather(book, name):
    given = book.conditions.weather.model_copy(update={"file": name})
    return book.model_copy(update={"conditions": book.conditions.model_copy(update={"weather": given})})


def test_a_stale_forecast_is_refused_unless_it_is_asked_for(book, tmp_path):
    evening = made(book)
    start = evening.astimezone(UTC).replace(minute=0)
    path = forecast(tmp_path, start, start - timedelta(hours=20), [0.0] * 30)
    with pytest.raises(BadInput, match="stale"):
        weather_of(book, tmp_path, evening, Fresh(forecast=path))
    found = weather_of(book, tmp_path, evening, Fresh(forecast=path, stale=True))
    assert "stale" in found.note.remarks[0].template


def test_a_short_gap_is_bridged_and_said_and_a_long_one_leaves_frost_untold(book, tmp_path):
    evening = made(book)
    start = evening.astimezone(UTC).replace(minute=0)
    for gap, told in ((3, True), (4, False)):
        hours = [-1.0] * 10 + [None] * gap + [-5.0] * 20
        path = forecast(tmp_path, start, start, hours)
        day = day_of(book, tmp_path, PLACE, evening + timedelta(hours=24), evening, Fresh(forecast=path))
        said = " ".join(remark.template for remark in day.records[0].remarks)
        assert (day.conditions.night is not None) is told
        assert ("bridged" in said) is told and ("frost cannot be told" in said) is not told
    assert day.under("trees").night is None


def test_a_forecast_that_ends_before_the_morning_is_named(book, tmp_path):
    evening = made(book)
    start = evening.astimezone(UTC).replace(minute=0)
    path = forecast(tmp_path, start, start, [0.0] * 6)
    with pytest.raises(BadInput, match="does not cover the night"):
        day_of(book, tmp_path, PLACE, evening + timedelta(hours=24), evening, Fresh(forecast=path))


def test_the_gauge_of_the_evening_counts_waits_that_began_like_this_one(book, tmp_path):
    evening = made(book)
    last = evening.astimezone(UTC).replace(minute=0)
    hours = 24 * 7 * 20
    level = 1.0 + 0.3 * np.sin(2.0 * np.pi * np.arange(hours) / (24 * 7))
    rows = [f"{(last - timedelta(hours=hours - 1 - k)).isoformat()},{value:.4f}" for k, value in enumerate(level)]
    head = "# label: creek\n# origin: own staff\n# licence: own\n# stand-in: no\ntime,stage_m\n"
    path = tmp_path / "gauge.csv"
    path.write_text(head + "\n".join(rows), encoding="utf-8")
    found, note = level_of(book, tmp_path, evening, Fresh(gauge=path))
    said = " ".join(remark.template for remark in note.remarks)
    assert "waits count that began like that" in said and 0 < found.counts.sum() < hours // 3
    trend = found.hourly[24:] - found.hourly[:-24]
    now = found.hourly[-1] - found.hourly[-25]
    assert (np.abs(trend[found.counts[24:]] - now) <= 0.03 + 1e-9).all()
    late, note = level_of(book, tmp_path, evening + timedelta(days=2), Fresh(gauge=path))
    assert "trend is not known" in " ".join(remark.template for remark in note.remarks)
    assert late.counts.sum() > found.counts.sum()


def test_a_gauge_file_of_a_few_readings_tells_nothing_of_a_wait(book, tmp_path):
    found, note = level_of(
        book, tmp_path, made(book), Fresh(gauge=WATER / "instantaneous_values.json", gauge_site="01491000")
    )
    assert found is None and "no whole day" in note.remarks[-1].template
    with pytest.raises(BadInput, match="say which"):
        level_of(book, tmp_path, made(book), Fresh(gauge=WATER / "instantaneous_values.json"))


def test_a_real_forecast_serves_the_evening_for_which_it_was_made(book, tmp_path):
    head = book.line.model_copy(update={"date": datetime(2022, 2, 4, tzinfo=UTC).date()})
    then = book.model_copy(update={"line": head})
    evening = made(book, "2022-02-04T07:00")
    found = weather_of(then, tmp_path, evening, Fresh(forecast=WEATHER / "gridpoint.json"))
    assert found.note.issued == datetime(2022, 2, 4, 3, 15, 41, tzinfo=UTC) and not found.note.remarks
    night = day_of(
        then, tmp_path, PLACE, evening + timedelta(hours=24), evening, Fresh(forecast=WEATHER / "gridpoint.json")
    ).conditions.night
    assert night.hours == 24 and replace(night).air.min() > -5.0


def test_a_typical_year_beside_the_book_is_given_the_year_of_the_evening(book, tmp_path):
    names = "Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),TotCld (tenths),Dry-bulb (C),Dew-point (C),Wspd (m/s),"
    lines = ['999999,"INVENTED",ZZ,-5.0,36.1,-79.9,273', names + "Lprecip depth (mm)"]
    for hour in range(8760):
        day = datetime(1990, 1, 1, tzinfo=UTC) + timedelta(days=hour // 24)
        lines.append(f"{day:%m/%d}/{1980 + day.month},{hour % 24 + 1:02d}:00,0,10,{-5 + hour % 24 / 4},-15,2,0")
    (tmp_path / "year.csv").write_text("\n".join(lines), encoding="utf-8")
    typical = replace_weather(book, "year.csv")
    found = weather_of(typical, tmp_path, made(book))
    assert found.note.stand_in and found.hourly.hours == 8760
    assert found.hourly.start == datetime(2026, 1, 1, 5, tzinfo=UTC)
    with pytest.raises(BadInput, match="no 29 February"):
        weather_of(typical, tmp_path, made(book, "2028-12-20T15:30"))
