"""Check intervals over the change of clocks, and which of several ends first."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pydantic
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.errors import BadInput
from setwright.law.clock import certain_hours, next_limit, parse_interval, strictest

NEW_YORK = ZoneInfo("America/New_York")
ZONES = [NEW_YORK, ZoneInfo("America/Denver"), ZoneInfo("Europe/Oslo"), ZoneInfo("Pacific/Auckland"), UTC]
MOMENTS = st.builds(
    lambda zone, hours: (datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=hours)).astimezone(zone),
    st.sampled_from(ZONES), st.floats(0, 8000),
)  # fmt: skip


@pytest.mark.parametrize(
    ("text", "days", "hours"), [("P1D", 1, None), ("P3D", 3, None), ("PT24H", None, 24.0), ("PT36H", None, 36.0)]
)
def test_intervals_are_read(text, days, hours):
    found = parse_interval(text)
    assert (found.days, found.hours) == (days, hours)
    assert str(found) == text


@pytest.mark.parametrize(
    "text", ["", "P0D", "24h", "PT0H", "P1W", "PT", "P1DT3H", "p1d", "P-1D", "PT24", "P1D; drop"]
)
def test_other_durations_are_refused(text):
    with pytest.raises(BadInput, match="check interval"):
        parse_interval(text)


def test_night_of_25_hours():
    """Clocks go back on 1 November 2026 at 02:00 in New York."""
    made = datetime(2026, 10, 31, 9, tzinfo=NEW_YORK)
    hours = next_limit(made, made, "PT24H")
    assert (hours.hour, hours.day) == (8, 1), "24 elapsed hours end at 08:00 by the clock on the wall"
    days = next_limit(made, made, "P1D")
    assert days == datetime(2026, 11, 2, tzinfo=NEW_YORK)
    assert days.astimezone(UTC) - made.astimezone(UTC) == timedelta(hours=40)


def test_night_of_23_hours():
    """Clocks go forward on 14 March 2027 at 02:00 in New York."""
    made = datetime(2027, 3, 13, 9, tzinfo=NEW_YORK)
    assert next_limit(made, made, "PT24H").hour == 10
    days = next_limit(made, made, "P1D")
    assert days.astimezone(UTC) - made.astimezone(UTC) == timedelta(hours=38)


def test_a_midnight_that_does_not_exist():
    """In Beirut the clocks went forward at midnight of 27 March 2022: the day began at 01:00."""
    zone = ZoneInfo("Asia/Beirut")
    made = datetime(2022, 3, 25, 9, tzinfo=zone)
    assert next_limit(made, made, "P1D").astimezone(UTC) == datetime(2022, 3, 26, 22, tzinfo=UTC)


def test_the_later_of_setting_and_visit_counts():
    made, seen = (datetime(2026, 12, day, 9, tzinfo=NEW_YORK) for day in (1, 5))
    assert next_limit(made, seen, "P1D") == next_limit(seen, made, "P1D") == datetime(2026, 12, 7, tzinfo=NEW_YORK)


def test_a_moment_without_a_zone_is_refused():
    with pytest.raises(BadInput, match="time zone"):
        next_limit(datetime(2026, 12, 1), datetime(2026, 12, 1), "P1D")  # the fault under test


@given(MOMENTS, st.integers(1, 14))
def test_calendar_days_end_at_midnight_within_bounds(made, days):
    limit = next_limit(made, made, f"P{days}D")
    assert limit.date() == made.date() + timedelta(days=days + 1)
    elapsed = (limit.astimezone(UTC) - made.astimezone(UTC)).total_seconds() / 3600
    kept, broken = certain_hours(parse_interval(f"P{days}D"))
    assert kept <= elapsed <= broken


@given(MOMENTS, st.integers(1, 336))
def test_clock_hours_are_elapsed_hours(made, hours):
    limit = next_limit(made, made, f"PT{hours}H")
    assert limit.astimezone(UTC) - made.astimezone(UTC) == timedelta(hours=hours)


@given(MOMENTS)
def test_the_strictest_ends_first_in_any_order(made):
    names = ["P1D", "PT24H", "PT36H", "PT48H"]
    item, moment = strictest(names, made, made)
    assert strictest(reversed(names), made, made)[1] == moment
    assert all(moment.astimezone(UTC) <= next_limit(made, made, name).astimezone(UTC) for name in names)
    assert str(item) in names


def test_which_is_stricter_changes_with_the_hour():
    early, late = (datetime(2026, 12, 1, hour, tzinfo=NEW_YORK) for hour in (6, 22))
    assert str(strictest(["P1D", "PT36H"], early, early)[0]) == "PT36H"
    assert str(strictest(["P1D", "PT36H"], late, late)[0]) == "P1D"
    assert strictest([], early, early) is None


@given(st.one_of(st.integers(1, 999).map("P{}D".format), st.integers(1, 9999).map("PT{}H".format)))
def test_durations_are_read_as_another_reader_of_iso_8601_does(text):
    """The reader of ISO 8601 durations in pydantic's core, which was written for other ends."""
    found = parse_interval(text)
    length = pydantic.TypeAdapter(timedelta).validate_python(text)
    assert length == timedelta(days=found.days or 0, hours=found.hours or 0)


@pytest.mark.parametrize(
    ("seen", "limit"),
    [((8, 9), (9, 12)), ((8, 11), (9, 12)), ((8, 12), (10, 12)), ((8, 23), (10, 12))],
)
def test_a_day_that_begins_at_noon(seen, limit):
    moment = datetime(2026, 12, *seen, tzinfo=NEW_YORK)
    found = next_limit(moment, moment, "P1D", day_start=time(12))
    assert found == datetime(2026, 12, *limit, tzinfo=NEW_YORK)
