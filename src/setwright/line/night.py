"""Records of weather and level, read from beside the book, and the night that is planned for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

import numpy as np

from setwright.basis.errors import BadInput
from setwright.basis.source import Kind, Source
from setwright.basis.tables import DATA
from setwright.basis.yamlfile import read_text
from setwright.line.book import LineBook, RecordFile
from setwright.sets.model import Conditions, Level, Night
from setwright.water import tables as water_tables
from setwright.water.stage import Stage
from setwright.water.stage import hourly as hourly_level
from setwright.weather import tables as weather_tables
from setwright.weather.series import Hourly
from setwright.weather.sky import sky_corrected
from setwright.weather.sun import SunTimes, sun_times

SHIPPED = "shipped:"
# Hours of the record before the setting that warm or cool the ground.
SPIN_UP = 72


@dataclass(frozen=True)
class RecordNote:
    """What to say of a record that the plan stands on."""

    what: str
    label: str
    origin: str
    licence: str
    stand_in: bool


@dataclass(frozen=True)
class Day:
    """Conditions of the planned day with the sun and the notes on the records."""

    conditions: Conditions
    sun: SunTimes | None
    next_sun: SunTimes | None
    records: tuple[RecordNote, ...]


def record_path(folder: Path, record: RecordFile, where: str) -> Path:
    """File of a record beside the book, or one shipped with the program; nothing outside those folders' reach.

    Raises
    ------
    BadInput
        When the name is absolute, climbs out of the folder or does not exist.
    """
    shipped = record.file.startswith(SHIPPED)
    root = DATA if shipped else folder
    name = record.file.removeprefix(SHIPPED)
    path = (root / name).resolve()
    if Path(name).is_absolute() or not path.is_relative_to(root.resolve()):
        raise BadInput(
            "a record must lie beside the book or below it",
            field=where,
            found=record.file,
            allowed="a relative file name, or shipped:demo/weather.csv",
        )
    if not path.is_file():
        raise BadInput("no such record", field=where, found=record.file)
    return path


def day_of(book: LineBook, folder: Path, centre: tuple[float, float] | None, visit: datetime, made: datetime) -> Day:
    """Conditions from the setting to the visit, with the records cut to that span."""
    notes: list[RecordNote] = []
    night = level = None
    sun = next_sun = None
    if centre is not None:
        sun = sun_times(made.date(), *centre, book.line.timezone)
        next_sun = sun_times(visit.date(), *centre, book.line.timezone)
    given = book.conditions
    if given.weather is not None:
        path = record_path(folder, given.weather, "conditions.weather.file")
        hourly = weather_tables.read_hourly_csv(read_text(path), file=path.name, timezone=book.line.timezone)
        night = _night(hourly, made, visit, sun, next_sun, path.name)
        notes.append(RecordNote("weather", hourly.label, hourly.origin, hourly.licence, hourly.stand_in))
    if given.level is not None:
        path = record_path(folder, given.level, "conditions.level.file")
        stage = _stage(path)
        scale = 1.0 if given.level.scale is None else given.level.scale.number
        level = Level(
            hourly_level(stage) * scale,
            stage.label,
            Source(Kind.MEASURED, f"record {stage.label}", _in(stage.stand_in)),
        )
        notes.append(RecordNote("water level", stage.label, stage.origin, stage.licence, stage.stand_in))
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
    return Day(conditions, sun, next_sun, tuple(notes))


def _in(stand_in: bool) -> str:
    return "stand-in record" if stand_in else "record"


def _stage(path: Path) -> Stage:
    text = read_text(path)
    if path.suffix == ".json":
        return water_tables.read_stage_json(text, file=path.name)
    if path.suffix in (".rdb", ".txt", ".tsv"):
        return water_tables.read_stage_rdb(text, file=path.name)
    return water_tables.read_stage_csv(text, file=path.name)


def _night(
    hourly: Hourly, made: datetime, visit: datetime, sun: SunTimes | None, next_sun: SunTimes | None, file: str
) -> Night:
    """The record from `SPIN_UP` hours before the setting to the visit, sky-corrected."""
    first = made.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    hours = max(1, int(np.ceil((visit.astimezone(UTC) - first).total_seconds() / 3600.0)))
    here = hourly.index_of(first)
    if here is None or here + hours > hourly.temperature.size:
        last = hourly.start + timedelta(hours=hourly.temperature.size - 1)
        raise BadInput(
            "the weather record does not cover the night planned for",
            file=file,
            field="time",
            found=f"{hourly.start:%Y-%m-%d %H:%M} to {last:%Y-%m-%d %H:%M} UTC",
            allowed=f"hours from {first:%Y-%m-%d %H:%M} UTC on, {hours} of them",
        )
    begin = max(0, here - SPIN_UP)
    cut = slice(begin, here + hours)
    equivalent, surface, assumed = sky_corrected(
        hourly.temperature[cut], hourly.dew_point[cut], hourly.cloud[cut], hourly.wind[cut], hourly.radiation[cut]
    )
    gone = here - begin
    times = [first + timedelta(hours=hour) for hour in range(hours)]
    dark = np.array([_dark(moment, sun, next_sun) for moment in times])
    rain = np.nan_to_num(hourly.rain[cut])
    return Night(
        start=first,
        hours=hours,
        air=hourly.temperature[cut][gone:],
        equivalent=equivalent[gone:],
        surface=surface[gone:],
        rain=rain[gone:],
        before=equivalent[:gone],
        before_surface=surface[:gone],
        before_rain=rain[:gone],
        dark=dark,
        label=hourly.label,
        source=Source(Kind.MEASURED, f"record {hourly.label}", _in(hourly.stand_in)),
        assumed_sky=bool(np.any(assumed)),
        zone=made.tzinfo or UTC,
    )


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
