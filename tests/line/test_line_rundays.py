"""The days: light, work, agents, days off, and the hours that the rules leave."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from setwright.law.condition import ClockWindow
from setwright.line.book import LineBook
from setwright.line.lawbook import HoursOfDay
from setwright.line.rundays import hours_open, run_days

ZONE = ZoneInfo("America/New_York")
HERE = (36.1, -79.95)


def book(ways=None, **line):
    return LineBook.model_validate(
        {
            "schema": "setwright/line-book/1",
            "line": {"name": "X", "date": "2026-12-20", "timezone": "America/New_York", **line},
            "outfit": {"traps": []}, "ways": ways or {},
            "sites": [{"id": "a", "name": "A", "medium": "land", "target": "red_fox"}],
        }
    )  # fmt: skip


def at(seconds):
    return datetime.fromtimestamp(seconds, ZONE).strftime("%H:%M")


def first(made, centre=HERE, day=date(2026, 12, 21)):
    return run_days(made, day, 1, centre)[0]


def test_the_sun_the_book_and_nothing_said():
    """Sunrise of 21 December 2026 at 36.1 N 79.95 W is near 07:26 by the clock (derived, almanac's algorithm)."""
    sun = first(book())
    assert at(sun.usual) in ("07:25", "07:26", "07:27") and at(sun.end)[:2] == "17"
    told = first(book(start="06:40", be_back="13:00"))
    assert (at(told.usual), at(told.end), at(told.earliest)) == ("06:40", "13:00", "04:40")
    nothing = first(book(), centre=None)
    assert (at(nothing.usual), at(nothing.end)) == ("07:00", "18:00")
    assert at(first(book({"earliest": "06:00"}, start="06:40")).earliest) == "06:00"


def test_work_takes_its_hours_and_the_longest_piece_is_left():
    work = {"work": [{"days": ["mon", "tue"], "from": "09:00", "to": "17:00"}]}
    monday = first(book(work, start="06:00", be_back="21:00"))
    assert (at(monday.earliest), at(monday.end)) == ("04:00", "09:00")
    evening = first(book(work, start="08:30", be_back="21:00"))
    assert (at(evening.earliest), at(evening.usual), at(evening.end)) == ("17:00", "17:00", "21:00")
    assert at(first(book(work, start="06:00", be_back="21:00"), day=date(2026, 12, 23)).end) == "21:00"
    always = {"work": [{"days": ["mon"], "from": "00:00", "to": "23:59"}]}
    assert first(book(always, start="06:00", be_back="21:00")).who is None, "work leaves no time"


def test_agents_and_days_off():
    made = book({"agents": [{"name": "Kit", "days": ["2026-12-22"]}], "nobody": ["2026-12-23"]})
    assert [day.who for day in run_days(made, date(2026, 12, 21), 4, HERE)] == ["", "Kit", None, ""]


def test_days_of_23_and_25_hours_keep_the_clock_on_the_wall():
    made = book(start="06:40", be_back="13:00")
    days = run_days(made, date(2026, 10, 31), 3, HERE)
    assert {at(day.usual) for day in days} == {"06:40"}
    assert days[1].usual - days[0].usual == 25 * 3600 and days[2].usual - days[1].usual == 24 * 3600


@pytest.mark.parametrize(
    ("rules", "expected"),
    [
        ([], ("04:40", "13:00")),
        ([{"open": {"from": "05:00", "to": "11:00"}}], ("05:00", "11:00")),
        ([{"closed": {"from": "22:00", "to": "06:00"}}], ("06:00", "13:00")),
        ([{"closed": {"from": "07:00", "to": "09:00"}}], ("09:00", "13:00")),
        ([{"open": {"from": "12:00", "to": "05:30"}}], ("12:00", "13:00")),
        ([{"open": {"from": "05:00", "to": "08:00"}}, {"open": {"from": "09:00", "to": "12:00"}}], None),
    ],
)
def test_hours_that_the_rules_leave(rules, expected):
    made = book(start="06:40", be_back="13:00")
    parts = [ClockWindow.model_validate({"activity": "visit", **rule}) for rule in rules]
    hours = [HoursOfDay(p.open is not None, p.open or p.closed, "c") for p in parts]
    found = hours_open(first(made), hours, made)
    assert (None if found is None else tuple(map(at, found))) == expected


def test_hours_by_the_sun_and_by_daylight():
    made = book({"by_daylight": True}, start="06:40", be_back="19:00")
    found = hours_open(first(made), [], made)
    sun = first(made).sun
    assert found == (sun.sunrise.timestamp(), sun.sunset.timestamp())
    window = ClockWindow.model_validate({"activity": "visit", "open": {"from": "sunrise + 1 h", "to": "sunset"}})
    later = hours_open(first(made), [HoursOfDay(True, window.open, "c")], made)
    assert later[0] == (sun.sunrise + timedelta(hours=1)).timestamp()
    assert hours_open(first(made, centre=None), [HoursOfDay(True, window.open, "c")], made) is None
