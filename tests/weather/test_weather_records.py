"""Hourly records: what is read, what is refused and how, slices, gaps, the shipped record, the typical year."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.errors import BadInput, OutOfRange, SetwrightError
from setwright.basis.tables import shipped
from setwright.weather.records import MOST_CHARACTERS
from setwright.weather.series import Gap, Hourly
from setwright.weather.sky import sky_corrected
from setwright.weather.tables import read_hourly_csv, read_typical_year_tmy3

UNHURRIED = settings(deadline=None)

HEAD = "# label: a hill\n# origin: made up\n# licence: free\n# stand-in: yes\n"
NAMES = "time,temperature_C,dew_point_C,wind_m_s,cloud_share,radiation_W_m2,rain_mm\n"
ROWS = ["2026-12-10T06:00-05:00,1.5,0.5,2.0,0.5,0,0.2", "2026-12-10T07:00-05:00,1.0,,2.0,0.5,10,0.0"]
ZONE = "America/New_York"


def read(text: str, zone: str = ZONE) -> Hourly:
    return read_hourly_csv(text, file="w.csv", timezone=zone)


def test_a_sound_record_is_read() -> None:
    found = read(HEAD + NAMES + "\n".join(ROWS) + "\n")
    assert found.start == datetime(2026, 12, 10, 11, tzinfo=UTC) and found.hours == 2
    assert (found.label, found.origin, found.licence, found.stand_in) == ("a hill", "made up", "free", True)
    np.testing.assert_array_equal(found.temperature, [1.5, 1.0])
    np.testing.assert_array_equal(found.rain, [0.2, 0.0])
    assert found.gaps() == (Gap("dew_point", 1, 1),)


def test_only_time_and_temperature_are_needed_and_left_out_hours_are_gaps() -> None:
    found = read("temperature_C,time\n1,2026-12-10T06:00\n3,2026-12-10T09:00\n")
    assert found.start == datetime(2026, 12, 10, 11, tzinfo=UTC), "a time without offset is local"
    assert found.label == "w.csv" and found.origin == "not stated" and not found.stand_in
    np.testing.assert_array_equal(found.temperature, [1, np.nan, np.nan, 3])
    assert Gap("temperature", 1, 2) in found.gaps() and Gap("wind", 0, 4) in found.gaps()


def test_the_doubled_hour_in_autumn_is_two_hours() -> None:
    found = read(
        "time,temperature_C\n2026-11-01T00:00,5\n2026-11-01T01:00,4\n2026-11-01T01:00,3\n2026-11-01T02:00,2\n"
    )
    assert found.hours == 4 and found.temperature.tolist() == [5, 4, 3, 2]


BROKEN = [
    ("", None, None),
    ("# label: x\n", None, None),
    (NAMES, None, None),
    ("hour,temperature_C\n1,2\n", 1, None),
    ("time,temperature_C,temperature_C\n2026-12-10T06:00,2,2\n", 1, None),
    ("time,wind_m_s\n2026-12-10T06:00,2\n", 1, "temperature_C"),
    (NAMES + ROWS[0][:30], 2, None),
    (NAMES + ROWS[0] + ",9\n", 2, None),
    (NAMES + '"' + ROWS[0] + "\n", 2, None),
    (NAMES + "\n".join([ROWS[1], ROWS[0]]), 3, "time"),
    (NAMES + "\n".join([ROWS[0], ROWS[0]]), 3, "time"),
    (NAMES + "yesterday,1,0,1,0,0,0\n", 2, "time"),
    (NAMES + "2026-13-10T06:00,1,0,1,0,0,0\n", 2, "time"),
    (NAMES + "2026-12-10T06:30,1,0,1,0,0,0\n", 2, "time"),
    (NAMES + "2026-03-08T02:00,1,0,1,0,0,0\n", 2, "time"),
    (NAMES + "2026-12-10T06:00,-120,,1,0,0,0\n", 2, "temperature_C"),
    (NAMES + "2026-12-10T06:00,nan,,1,0,0,0\n", 2, "temperature_C"),
    (NAMES + "2026-12-10T06:00,1e3,,1,0,0,0\n", 2, "temperature_C"),
    (NAMES + "2026-12-10T06:00,1_0,,1,0,0,0\n", 2, "temperature_C"),
    (NAMES + "2026-12-10T06:00,1,9,1,0,0,0\n", 2, "dew_point_C"),
    (NAMES + "2026-12-10T06:00,1,0,-1,0,0,0\n", 2, "wind_m_s"),
    (NAMES + "2026-12-10T06:00,1,0,1,7,0,0\n", 2, "cloud_share"),
    (NAMES + "2026-12-10T06:00,1,0,1,0,9000,0\n", 2, "radiation_W_m2"),
    (NAMES + "2026-12-10T06:00,1,0,1,0,0,-0.1\n", 2, "rain_mm"),
    ("# hours: 3\n" + NAMES + ROWS[0] + "\n", None, "# hours"),
    ("# stand-in: maybe\n" + NAMES + ROWS[0] + "\n", None, "# stand-in"),
    (NAMES + ROWS[0] + "\n2096-12-10T06:00-05:00,1,0,1,0,0,0\n", None, "time"),
    ("#" * (MOST_CHARACTERS + 1), None, None),
]


@pytest.mark.parametrize(("text", "line", "field"), BROKEN, ids=range(len(BROKEN)))
def test_a_broken_record_is_refused_with_its_place(text: str, line: int | None, field: str | None) -> None:
    with pytest.raises(BadInput) as caught:
        read(text)
    error = caught.value
    assert error.file == "w.csv" and (line is None or error.line == line) and (field is None or error.field == field)


def test_an_unknown_zone_is_refused() -> None:
    with pytest.raises(BadInput, match="time zone"):
        read(NAMES + ROWS[0], "Mars/Olympus")


@given(st.text(max_size=200))
@UNHURRIED
def test_any_text_is_read_or_refused(text: str) -> None:
    for body in (text, NAMES + text, NAMES + ROWS[0] + "\n" + text):
        refused = []
        try:
            read(body)
        except BadInput as error:
            refused.append(error.file)
        assert refused in ([], ["w.csv"]), "a refusal must name the file"


def test_the_shipped_record_says_what_it_is_and_holds_a_wet_and_a_hard_night() -> None:
    found = read(shipped("demo", "weather.csv"))
    assert found.stand_in and "stand-in record" in found.label and "BSD-3-Clause" in found.licence
    assert found.hours == 47 * 24 and not found.gaps()
    wet = found.slice(datetime(2026, 12, 10, 0, tzinfo=UTC), 36)
    hard = found.slice(datetime(2026, 12, 11, 22, tzinfo=UTC), 15)
    assert wet.rain.sum() > 5.0, "rain must fall before the frost"
    assert hard.temperature.min() < -3.0 and hard.rain.sum() == 0.0
    ground = sky_corrected(hard.temperature, hard.dew_point, hard.cloud, hard.wind, hard.radiation)
    assert ground.equivalent.min() < -10.0, "clear and calm: the ground must feel it harder than the air"
    assert not ground.assumed.any()


def test_slices_and_places() -> None:
    found = read(shipped("demo", "weather.csv"))
    begin = datetime(2026, 12, 20, 16, 40, tzinfo=UTC)
    index = found.index_of(begin)
    assert index is not None and found.start + timedelta(hours=index) == begin.replace(minute=0)
    part = found.slice(begin, 24)
    assert part.start == begin.replace(minute=0) and part.hours == 24 and part.label == found.label
    np.testing.assert_array_equal(part.wind, found.wind[index : index + 24])
    assert found.index_of(found.end) is None and found.index_of(found.start - timedelta(seconds=1)) is None
    for start, hours in ((found.end, 1), (found.start, found.hours + 1), (found.start, 0)):
        with pytest.raises(BadInput):
            found.slice(start, hours)
    with pytest.raises(OutOfRange):
        found.index_of(datetime(2026, 12, 20))


@pytest.mark.parametrize(
    "change",
    [
        {"start": datetime(2026, 12, 1)},
        {"start": datetime(2026, 12, 1, 0, 30, tzinfo=UTC)},
        {"wind": np.zeros(3)},
        {"temperature": np.zeros((2, 2))},
    ],
)
def test_a_record_made_wrongly_is_refused(change: dict[str, Any]) -> None:
    fields: dict[str, Any] = dict.fromkeys(
        ("temperature", "dew_point", "wind", "cloud", "radiation", "rain"), np.zeros(2)
    )
    with pytest.raises(OutOfRange):
        Hourly(**({"start": datetime(2026, 12, 1, tzinfo=UTC)} | fields | change))


@settings(max_examples=30, deadline=None)
@given(st.lists(st.booleans(), min_size=1, max_size=40))
def test_gaps_cover_just_the_missing_hours(missing: list[bool]) -> None:
    values = np.where(missing, np.nan, 1.0)
    full = np.ones(len(missing))
    found = Hourly(datetime(2026, 12, 1, tzinfo=UTC), full, full, values, full, full, full)
    again = np.zeros(len(missing), dtype=bool)
    for gap in found.gaps():
        assert gap.quantity == "wind" and not again[gap.first : gap.first + gap.hours].any()
        again[gap.first : gap.first + gap.hours] = True
    assert again.tolist() == missing


TMY_NAMES = ",".join(
    (
        "Date (MM/DD/YYYY)", "Time (HH:MM)", "GHI (W/m^2)", "TotCld (tenths)", "Dry-bulb (C)", "Dew-point (C)",
        "Wspd (m/s)", "Lprecip depth (mm)",
    )
)  # fmt: skip


def typical() -> list[str]:
    lines = ['999999,"INVENTED",ZZ,-5.0,36.1,-79.9,273', TMY_NAMES]
    for hour in range(8760):
        day = date(1990, 1, 1) + timedelta(days=hour // 24)
        lines.append(f"{day:%m/%d}/{1980 + day.month},{hour % 24 + 1:02d}:00,{hour % 7},10,{hour % 30 - 10},-15,2,3")
    return lines


def test_a_typical_year_is_read() -> None:
    found = read_typical_year_tmy3("\n".join(typical()), file="t.csv", year=2025)
    assert found.start == datetime(2025, 1, 1, 5, tzinfo=UTC) and found.hours == 8760 and found.stand_in
    assert found.temperature[:3].tolist() == [-10, -9, -8] and found.cloud[0] == 1.0
    assert found.rain[0] == pytest.approx(0.3), "the column holds tenths of a millimetre"


def test_missing_marks_of_a_typical_year_are_gaps() -> None:
    lines = typical()
    lines[2] = "01/01/1981,01:00,-9900,99,-9900,-9900,-9900,-9900"
    found = read_typical_year_tmy3("\n".join(lines), file="t.csv")
    assert [gap.quantity for gap in found.gaps()] == [
        "temperature", "dew_point", "wind", "cloud", "radiation", "rain",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("line", "text"),
    [
        (0, "999999"),
        (0, '999999,"X",ZZ,east,36.1,-79.9,273'),
        (0, '999999,"X",ZZ,-14.5,36.1,-79.9,273'),
        (0, '999999,"X",ZZ,14.5,36.1,-79.9,273'),
        (1, "Date,Time"),
        (5, "01/01/1981,05:00,0,10,0,-15,2,3"),
        (5, "01/01/1981,04:00,0,10,0"),
        (5, "01/01/1981,04:00,0,10,999,-15,2,3"),
        (5, "01/01/1981,04:00,0,10,cold,-15,2,3"),
    ],
)
def test_a_broken_typical_year_is_refused(line: int, text: str) -> None:
    lines = typical()
    lines[line] = text
    with pytest.raises(SetwrightError) as caught:
        read_typical_year_tmy3("\n".join(lines), file="t.csv")
    assert caught.value.file == "t.csv"
    with pytest.raises(BadInput):
        read_typical_year_tmy3("\n".join(lines[:-5]), file="t.csv")
