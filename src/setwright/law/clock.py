"""Check intervals as rules write them: once in so many calendar days, or never more than so many clock hours."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from typing import Any

from setwright.basis.errors import BadInput

_INTERVAL = re.compile(r"P(?:(?P<days>[1-9]\d{0,2})D|T(?P<hours>\d{1,4}(?:\.\d{1,3})?)H)")


@dataclass(frozen=True, slots=True)
class Interval:
    """A check interval: either calendar days or clock hours.

    Parameters
    ----------
    days : int or None
        At least one visit in every so many calendar days.
    hours : float or None
        Never more than so many clock hours from one visit to the next [h].

    """

    days: int | None
    hours: float | None

    def __str__(self) -> str:
        return f"P{self.days}D" if self.days is not None else f"PT{self.hours:g}H"

    @property
    def words(self) -> str:
        """The interval in words."""
        if self.days is not None:
            return "every calendar day" if self.days == 1 else f"once in {self.days} calendar days"
        return f"never more than {self.hours:g} clock hours"


def parse_interval(text: str) -> Interval:
    """Read `P1D`, `P3D`, `PT36H`; `P1D` is a calendar day and is never taken as 24 hours.

    Parameters
    ----------
    text : str
        ISO 8601 duration in whole days, or in hours.

    Returns
    -------
    Interval
        Calendar days or clock hours, one of them None.

    Raises
    ------
    BadInput
        When the text is another duration or none.

    """
    match = _INTERVAL.fullmatch(text.strip())
    if match is None or (match["hours"] is not None and float(match["hours"]) <= 0.0):
        raise BadInput(
            "not a check interval",
            found=text,
            allowed="P1D (each calendar day), P3D (once in 3), PT24H (24 clock hours)",
        )
    if match["days"] is not None:
        return Interval(int(match["days"]), None)
    return Interval(None, float(match["hours"]))


def parse_day_start(found: Any) -> Any:
    """Read the hour at which a calendar day begins, such as `04:00`; ValueError when it is none."""
    if isinstance(found, int) and not isinstance(found, bool) and 0 <= found < 1440:
        return time(found // 60, found % 60)  # YAML 1.1 reads 4:00 as sixties
    if isinstance(found, str) and re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d", found) is None:
        raise ValueError(f"not an hour: {found!r}; write '04:00'")
    return found


def next_limit(
    made: datetime, last_visit: datetime, interval: str | Interval, *, day_start: time | None = None
) -> datetime:
    """Last lawful moment of the next visit.

    Calendar days: the local midnight that ends the n-th calendar day after the day of the last visit (a visit
    must come before it). Clock hours: exactly so many elapsed hours after the last visit, whatever the clocks do
    in between.

    Parameters
    ----------
    made, last_visit : datetime
        When the set was made and last seen, both with a time zone; the later one counts.
    interval : str or Interval
        As `parse_interval` reads it.
    day_start : time, optional
        Local hour at which a calendar day begins; midnight when not given.

    Returns
    -------
    datetime
        In the time zone of the later of the two moments.

    Raises
    ------
    BadInput
        When a moment has no time zone or the interval cannot be read.

    Notes
    -----
    Days follow local clocks, so a day of 23 or 25 hours counts as one. A rule that counts the day of setting itself
    needs its own text in the pack.

    References
    ----------
    ISO 8601 durations (memory). 12 MRSA 12255 (Maine): every calendar day (seen). 34 Pa.C.S. 2361: every 36 hours
    (seen).

    """
    for moment in (made, last_visit):
        if moment.tzinfo is None:
            raise BadInput("a moment needs its time zone", found=moment.isoformat())
    found = parse_interval(interval) if isinstance(interval, str) else interval
    start = made if made.astimezone(UTC) > last_visit.astimezone(UTC) else last_visit
    if found.days is not None:
        begins = time(0) if day_start is None else day_start
        day = start.date() + timedelta(days=found.days + (start.time() >= begins))
        # Through UTC and back: some places change their clocks at midnight, so that midnight may not exist.
        return datetime.combine(day, begins, start.tzinfo).astimezone(UTC).astimezone(start.tzinfo)
    return (start.astimezone(UTC) + timedelta(hours=found.hours or 0.0)).astimezone(start.tzinfo)


def strictest(
    intervals: Iterable[str | Interval], made: datetime, last_visit: datetime
) -> tuple[Interval, datetime] | None:
    """Of several intervals, the one whose last lawful moment comes first, with that moment.

    Which one is the stricter can change from visit to visit: after a visit at 22:00, `P1D` ends after 26 hours,
    after one at 06:00 only after 42.

    Parameters
    ----------
    intervals : iterable of str or Interval
        All that bind.
    made, last_visit : datetime
        As in `next_limit`.

    Returns
    -------
    tuple of Interval and datetime, or None
        None when there are no intervals.

    """
    found = [parse_interval(item) if isinstance(item, str) else item for item in intervals]
    limits = [(next_limit(made, last_visit, item), item) for item in found]
    if not limits:
        return None
    moment, item = min(limits, key=lambda pair: pair[0].astimezone(UTC))
    return item, moment


def certain_hours(interval: Interval) -> tuple[float, float]:
    """Elapsed hours that surely keep an interval, and beyond which it is surely broken, whatever the clock time.

    Returns
    -------
    tuple of float
        [h]. For clock hours both are the interval. For n calendar days, up to 24 n − 1 hours always end within
        the n-th following day and more than 24 (n + 1) + 1 never do, the hour being for the change of clocks.

    """
    if interval.days is None:
        hours = interval.hours or 0.0
        return hours, hours
    return 24.0 * interval.days - 1.0, 24.0 * (interval.days + 1) + 1.0
