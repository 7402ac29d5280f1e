"""The night that is planned for: what the sky does to the ground from the setting to the visit, and the sun."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

import numpy as np

from setwright.basis.errors import BadInput
from setwright.basis.say import Say
from setwright.basis.source import Kind, Source
from setwright.line.book import LineBook
from setwright.line.records import BOOK_ONLY, Fresh, RecordNote, Weather, level_of, origin_word, weather_of
from setwright.sets.model import Conditions, Night
from setwright.weather.series import Floats, Gap, bridged
from setwright.weather.sky import sky_corrected, vapour_pressure
from setwright.weather.sun import SunTimes, sun_times

__all__ = ["BOOK_ONLY", "Day", "Fresh", "RecordNote", "day_of", "run_start"]

# Hours of the record before the setting that warm or cool the ground: where a reading in the ground was taken, those
# of a few days tell what rain lies in the cover; else a month of them has to stand in for the reading.
SPIN_UP, SPIN_UP_UNREAD = 72, 720
# Share of the open sky that a set under trees sees (modelling choice).
UNDER_TREES = 0.5
# Hours of missing air temperature that are bridged by a straight line.
BRIDGED = 3
# How far ahead the coming nights are looked at.
COMING = timedelta(days=7)


@dataclass(frozen=True)
class Day:
    """Conditions of the planned day with the sun, the notes on the records, and wind by hour [m/s] if it is known.

    `shaded` is the same night under trees; `coming` goes on for as long as the record does, a week at most.
    """

    conditions: Conditions
    sun: SunTimes | None
    next_sun: SunTimes | None
    records: tuple[RecordNote, ...]
    wind: Floats | None = None
    shaded: Night | None = None
    coming: Night | None = None

    def under(self, canopy: str) -> Conditions:
        """Conditions of a site in the open or under trees."""
        return self.conditions if canopy == "open" else replace(self.conditions, night=self.shaded)


def day_of(
    book: LineBook,
    folder: Path,
    centre: tuple[float, float] | None,
    visit: datetime,
    made: datetime,
    fresh: Fresh = BOOK_ONLY,
) -> Day:
    """Conditions from the setting to the visit, with the records cut to that span.

    Raises
    ------
    BadInput
        When a record cannot be read, does not cover the night, or is a stale forecast that nobody accepts.
    """
    notes: list[RecordNote] = []
    night = shaded = wind = coming = None
    sun = next_sun = None
    if centre is not None:
        sun = sun_times(made.date(), *centre, book.line.timezone)
        next_sun = sun_times(visit.date(), *centre, book.line.timezone)
    given = book.conditions
    weather = weather_of(book, folder, made, fresh)
    if weather is not None:
        read = given.soil_temperature is not None
        spin_up = SPIN_UP if read else SPIN_UP_UNREAD
        night, shaded, wind, remarks = _night(weather, made, visit, sun, next_sun, spin_up)
        first = made.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
        left = weather.hourly.end - first
        if night is not None and left > timedelta(hours=night.hours):
            until = first + min(left, COMING)
            coming = _night(weather, made, until, sun, next_sun, spin_up)[0]
        notes.append(replace(weather.note, remarks=(*weather.note.remarks, *remarks)))
    level, note = level_of(book, folder, made, fresh)
    if note is not None:
        notes.append(note)
    conditions = Conditions(
        on=book.line.date,
        night=night,
        level=level,
        soil_temperature=given.soil_temperature,
        water_temperature=given.water_temperature,
        snow=given.snow,
        sunrise=None if next_sun is None else next_sun.sunrise,
        sunset=None if sun is None else sun.sunset,
    )
    return Day(conditions, sun, next_sun, tuple(notes), wind, shaded, coming)


def _night(
    weather: Weather,
    made: datetime,
    visit: datetime,
    sun: SunTimes | None,
    next_sun: SunTimes | None,
    spin_up: int,
) -> tuple[Night | None, Night | None, Floats | None, list[Say]]:
    """The night in the open and under trees, the wind where it is known, and what is to be said of the record."""
    hourly = weather.hourly
    first = made.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    hours = max(1, int(np.ceil((visit.astimezone(UTC) - first).total_seconds() / 3600.0)))
    here = hourly.index_of(first)
    if here is None or here + hours > hourly.temperature.size:
        last = hourly.start + timedelta(hours=hourly.temperature.size - 1)
        raise BadInput(
            "the weather record does not cover the night planned for",
            file=weather.file,
            field="time",
            found=f"{hourly.start:%Y-%m-%d %H:%M} to {last:%Y-%m-%d %H:%M} UTC",
            allowed=f"hours from {first:%Y-%m-%d %H:%M} UTC on, {hours} of them",
        )
    begin = max(0, here - spin_up)
    air, filled = bridged(hourly.temperature[begin : here + hours], BRIDGED)
    gone = here - begin
    remarks = _remarks(hourly.slice(first, hours).gaps(), int(filled[gone:].sum()), hours)
    if bool(np.isnan(air[gone:]).any()):
        lost = int(np.isnan(air[gone:]).sum())
        words = Say("no air temperature in {lost:count} hours of the night: frost cannot be told", lost=lost)
        return None, None, None, [*remarks, words]
    # What lies before a gap that is too long to bridge does not count.
    missing = np.flatnonzero(np.isnan(air[:gone]))
    skip = int(missing[-1]) + 1 if missing.size else 0
    cut = slice(begin + skip, here + hours)
    air, gone = air[skip:], gone - skip
    wind = hourly.wind[here : here + hours]
    rain = np.nan_to_num(hourly.rain[cut])
    damp = vapour_pressure(hourly.dew_point[here : here + hours]) / vapour_pressure(air[gone:])
    humidity = np.minimum(damp, 1.0)
    times = [first + timedelta(hours=hour) for hour in range(hours)]
    dark = np.array([_dark(moment, sun, next_sun) for moment in times])

    def seen(sky_view: float) -> Night:
        equivalent, surface, assumed = sky_corrected(
            air, hourly.dew_point[cut], hourly.cloud[cut], hourly.wind[cut], hourly.radiation[cut], sky_view=sky_view
        )
        return Night(
            start=first,
            hours=hours,
            air=air[gone:],
            equivalent=equivalent[gone:],
            surface=surface[gone:],
            rain=rain[gone:],
            before=equivalent[:gone],
            before_surface=surface[:gone],
            before_rain=rain[:gone],
            dark=dark,
            label=hourly.label,
            source=Source(
                Kind.MEASURED if weather.note.issued is None else Kind.COMPUTED,
                f"{'record' if weather.note.issued is None else 'forecast'} {hourly.label}",
                origin_word(hourly.stand_in),
            ),
            assumed_sky=bool(np.any(assumed)),
            zone=made.tzinfo or UTC,
            humidity=humidity,
        )

    return seen(1.0), seen(UNDER_TREES), None if bool(np.isnan(wind).any()) else np.asarray(wind), remarks


def _remarks(gaps: tuple[Gap, ...], filled: int, hours: int) -> list[Say]:
    """What the record does not tell of the night, and what is taken in its place."""
    lost: dict[str, int] = {}
    for gap in gaps:
        lost[gap.quantity] = lost.get(gap.quantity, 0) + gap.hours
    found = []
    if filled:
        found.append(Say("air temperature of {filled:count} hours bridged by a straight line", filled=filled))
    if "dew_point" in lost or "cloud" in lost:
        most = max(lost.get("dew_point", 0), lost.get("cloud", 0))
        words = "dew point or cloud not told for {most:count} of {hours:count} hours: a clear sky is taken"
        found.append(Say(words, most=most, hours=hours))
    if "wind" in lost:
        found.append(Say("wind not told for {lost:count} hours: light air is taken", lost=lost["wind"]))
    if "rain" in lost:
        found.append(Say("rain not told for {lost:count} hours: none is taken", lost=lost["rain"]))
    if lost.get("radiation", 0) == hours:
        found.append(Say("sunshine not told: none is taken, which is the cold side"))
    return found


def _dark(moment: datetime, sun: SunTimes | None, next_sun: SunTimes | None) -> bool:
    if sun is None or next_sun is None or sun.sunset is None or next_sun.sunrise is None:
        return moment.hour < 12 or moment.hour >= 22
    return sun.sunset.astimezone(UTC) <= moment < next_sun.sunrise.astimezone(UTC)


def run_start(book: LineBook, sunrise: datetime | None) -> datetime:
    """When the check run leaves on the morning after: as the book says, else at sunrise, else at seven."""
    day = book.line.date + timedelta(days=1)
    zone = book.line.zone
    if book.line.start is not None:
        return datetime.combine(day, book.line.start, zone)
    if sunrise is not None:
        return sunrise.astimezone(zone).replace(second=0, microsecond=0)
    return datetime.combine(day, time(7, 0), zone)
