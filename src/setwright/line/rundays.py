"""The days of a season of checks: who goes, when he leaves and is back, in which hours a set may be seen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from setwright.law.condition import SunTime
from setwright.line.book import LineBook
from setwright.line.lawbook import HoursOfDay
from setwright.line.ways_book import WEEKDAYS
from setwright.weather.sun import SunTimes, sun_times

# How much earlier than usual he can leave when a limit asks for it, where the book says nothing (assumed).
SOONER = timedelta(hours=2)
DUSK = time(18, 0)


@dataclass(frozen=True)
class RunDay:
    """One day of checks.

    Parameters
    ----------
    day : date
        Local day.
    who : str
        Who goes: empty for the trapper himself, else the agent's name; None when nobody does.
    earliest, usual, end : float
        When he can leave at the earliest, when he leaves as a rule, by when he is back [s since 1970, UTC].
    sun : SunTimes or None
        Sunrise and sunset, when the place is known.
    why : str
        What bounds the day.

    """

    day: date
    who: str | None
    earliest: float
    usual: float
    end: float
    sun: SunTimes | None
    why: str


def run_days(book: LineBook, first: date, count: int, centre: tuple[float, float] | None) -> list[RunDay]:
    """Days of checks from `first` on.

    Parameters
    ----------
    book : LineBook
        Hours, work, agents and days off.
    first : date
        First day.
    count : int
        Number of days.
    centre : tuple of float or None
        Latitude and longitude for the sun [degrees].

    Notes
    -----
    The day is the longest piece that work leaves between the earliest start and the end. Without `start` he leaves at
    sunrise, else at seven; without `be_back` he is back by dusk, else by six in the evening.

    """
    return [_day(book, first + timedelta(days=number), centre) for number in range(count)]


def _day(book: LineBook, day: date, centre: tuple[float, float] | None) -> RunDay:
    zone = book.line.zone
    sun = None if centre is None else sun_times(day, *centre, book.line.timezone)

    def at(clock: time) -> datetime:
        return datetime.combine(day, clock, zone).astimezone(UTC)

    usual = at(time(7, 0))
    why = "leaves at seven, as nothing else is said"
    if book.line.start is not None:
        usual, why = at(book.line.start), "leaves as the book says"
    elif sun is not None and sun.sunrise is not None:
        usual, why = sun.sunrise.astimezone(UTC), "leaves at sunrise"
    earliest = usual - SOONER if book.ways.earliest is None else min(usual, at(book.ways.earliest))
    end = at(DUSK) if sun is None or sun.dusk is None else sun.dusk.astimezone(UTC)
    if book.line.be_back is not None:
        end = at(book.line.be_back)
    if book.ways.home_by_dark and sun is not None and sun.sunset is not None:
        end = min(end, sun.sunset.astimezone(UTC))
    pieces = [(earliest, end)]
    for hours in book.ways.work:
        if WEEKDAYS[day.weekday()] in hours.days:
            pieces = [part for piece in pieces for part in _without(piece, (at(hours.start), at(hours.end)))]
    if not pieces:
        return RunDay(day, None, usual.timestamp(), usual.timestamp(), usual.timestamp(), sun, "work leaves no time")
    start, stop = max(pieces, key=lambda piece: piece[1] - piece[0])
    if (start, stop) != (earliest, end):
        why += "; the longest piece beside work"
    leaves = min(max(usual, start), stop)
    agent = next((one.name for one in book.ways.agents if day in one.days), "")
    who = None if day in book.ways.nobody else agent
    return RunDay(day, who, start.timestamp(), leaves.timestamp(), stop.timestamp(), sun, why)


def _without(piece: tuple[datetime, datetime], taken: tuple[datetime, datetime]) -> list[tuple[datetime, datetime]]:
    parts = [(piece[0], min(piece[1], taken[0])), (max(piece[0], taken[1]), piece[1])]
    return [part for part in parts if part[1] > part[0]]


def hours_open(day: RunDay, hours: Sequence[HoursOfDay], book: LineBook) -> tuple[float, float] | None:
    """First and last moment of a day in which a set may be seen by all rules [s]; None when there is none.

    Where the rules leave several pieces, the longest one within the day counts. A rule that goes by the sun, of which
    the hours are not known, leaves none: the plan cannot tell.
    """
    pieces = [(day.earliest, day.end)]
    if book.ways.by_daylight and day.sun is not None and day.sun.sunrise is not None and day.sun.sunset is not None:
        pieces = _cut(pieces, (day.sun.sunrise.timestamp(), day.sun.sunset.timestamp()), keep=True)
    for rule in hours:
        span = tuple(_moment(part, day, book) for part in (rule.window.start, rule.window.end))
        if span[0] is None or span[1] is None:
            return None
        start, end = float(span[0]), float(span[1])
        if start <= end:
            pieces = _cut(pieces, (start, end), keep=rule.open_)
        else:
            # Over midnight: what is open is before the end or after the start.
            pieces = _cut(pieces, (end, start), keep=not rule.open_)
    return max(pieces, key=lambda piece: piece[1] - piece[0], default=None)


def _cut(pieces: list[tuple[float, float]], span: tuple[float, float], *, keep: bool) -> list[tuple[float, float]]:
    if keep:
        found = [(max(a, span[0]), min(b, span[1])) for a, b in pieces]
    else:
        found = [part for a, b in pieces for part in ((a, min(b, span[0])), (max(a, span[1]), b))]
    return [(a, b) for a, b in found if b > a]


def _moment(part: SunTime, day: RunDay, book: LineBook) -> float | None:
    if part.clock is not None:
        return datetime.combine(day.day, part.clock, book.line.zone).timestamp()
    moment = None if day.sun is None else (day.sun.sunrise if part.sun == "sunrise" else day.sun.sunset)
    return None if moment is None else moment.timestamp() + 3600.0 * part.offset_hours
