"""Weather and level of the evening: the book's own records, a forecast and a gauge file that go before them."""

from __future__ import annotations

from calendar import isleap
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from setwright.basis.errors import BadInput
from setwright.basis.say import Say
from setwright.basis.source import Kind, Source
from setwright.basis.tables import DATA
from setwright.basis.yamlfile import read_text
from setwright.line.book import LineBook, RecordFile
from setwright.sets.model import Level
from setwright.water import tables as water_tables
from setwright.water.odds import TRAPPING_MONTHS, in_months
from setwright.water.stage import WEEK, Floats, Stage, hour_starts, like_now, rise_fall
from setwright.water.stage import hourly as hourly_level
from setwright.water.tails import blocks_apart
from setwright.weather import tables as weather_tables
from setwright.weather.series import Hourly, joined

SHIPPED = "shipped:"
# A gauge that was last read longer ago than this tells nothing of the present trend.
CURRENT = timedelta(hours=6)
# Waits that began after a like trend count alone only when the record holds so many of them, a week apart.
ENOUGH_EVENTS = 5
TREND_WIDTH, TREND_HOURS = 0.03, 24


@dataclass(frozen=True)
class Fresh:
    """Files of this evening that go before the book's records; `stale` accepts a forecast past its time.

    The notes are said of a file that was fetched.
    """

    forecast: Path | None = None
    gauge: Path | None = None
    gauge_site: str | None = None
    stale: bool = False
    forecast_note: Say | None = None
    gauge_note: Say | None = None


BOOK_ONLY = Fresh()


@dataclass(frozen=True)
class RecordNote:
    """What to say of a record that the plan stands on; `issued` of a forecast, last reading of a gauge."""

    what: str
    label: str
    origin: str
    licence: str
    stand_in: bool
    issued: datetime | None = None
    remarks: tuple[Say, ...] = ()


@dataclass(frozen=True)
class Weather:
    """Hourly weather with its note; `issued` is None for a record of what was measured."""

    hourly: Hourly
    file: str
    note: RecordNote


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


def origin_word(stand_in: bool) -> str:
    """How sure a record is: of this place, or a stand-in for it."""
    return "stand-in record" if stand_in else "record"


def weather_of(book: LineBook, folder: Path, made: datetime, fresh: Fresh = BOOK_ONLY) -> Weather | None:
    """The book's weather record, or the evening's forecast with the hours before it taken from that record.

    Raises
    ------
    BadInput
        When a file cannot be read, and when a forecast is stale and `fresh.stale` does not accept that.
    """
    own: Weather | None = None
    if book.conditions.weather is not None:
        own = _read_weather(
            record_path(folder, book.conditions.weather, "conditions.weather.file"), book, made, fresh
        )
    if fresh.forecast is None:
        return own
    told = _read_weather(fresh.forecast, book, made, fresh)
    if fresh.forecast_note is not None:
        told = replace(told, note=replace(told.note, remarks=(fresh.forecast_note, *told.note.remarks)))
    if own is None or own.note.stand_in or own.note.issued is not None:
        return told
    return Weather(joined(own.hourly, told.hourly), told.file, told.note)


def _read_weather(path: Path, book: LineBook, made: datetime, fresh: Fresh) -> Weather:
    text = read_text(path)
    if path.suffix != ".json":
        hourly = _read_table(text, path.name, book, made)
        note = RecordNote("weather", hourly.label, hourly.origin, hourly.licence, hourly.stand_in)
        return Weather(hourly, path.name, note)
    forecast = weather_tables.read_forecast(text, file=path.name)
    remarks: list[Say] = []
    if forecast.stale(made):
        if not fresh.stale:
            forecast.fresh(made)
        remarks.append(
            Say("stale: made {age:time} before the evening asked for", age=forecast.age(made).total_seconds())
            if forecast.age(made) >= timedelta(0)
            else Say("made later than the evening asked for")
        )
    hourly = forecast.record
    note = RecordNote(
        "forecast", hourly.label, hourly.origin, hourly.licence, False, forecast.issued, tuple(remarks)
    )  # fmt: skip
    return Weather(hourly, path.name, note)


def _read_table(text: str, file: str, book: LineBook, made: datetime) -> Hourly:
    """An hourly record, or a typical year, which is given the year of the evening."""
    if "\nDate (MM/DD/YYYY)," not in text[:2000]:
        return weather_tables.read_hourly_csv(text, file=file, timezone=book.line.timezone)
    if isleap(made.year):
        raise BadInput(
            "a typical year has no 29 February", file=file, field="line.date", found=made.date(),
            allowed="a date in a common year, such as the one before",
        )  # fmt: skip
    return weather_tables.read_typical_year_tmy3(text, file=file, year=made.year)


def level_of(
    book: LineBook, folder: Path, made: datetime, fresh: Fresh = BOOK_ONLY
) -> tuple[Level | None, RecordNote | None]:
    """Level record of the book, or the evening's gauge file, with the waits in it that are like this one."""
    given = book.conditions.level
    if fresh.gauge is not None:
        path: Path | None = fresh.gauge
    else:
        path = None if given is None else record_path(folder, given, "conditions.level.file")
    if path is None:
        return None, None
    stage = read_stage(path, fresh.gauge_site if fresh.gauge is not None else None)
    scale = 1.0 if given is None or given.scale is None else given.scale.number
    hourly = np.asarray(hourly_level(stage) * scale)
    counts, remarks = _like_now(stage, hourly, made)
    last = datetime.fromtimestamp(float(stage.times[-1]), UTC)
    said = () if fresh.gauge is None or fresh.gauge_note is None else (fresh.gauge_note,)
    note = RecordNote(
        "water level",
        stage.label,
        stage.origin,
        stage.licence,
        stage.stand_in,
        last,
        (*said, *_altered(stage), *remarks),
    )
    if counts is None:
        return None, note
    source = Source(Kind.MEASURED, f"record {stage.label}", origin_word(stage.stand_in))
    return Level(hourly, stage.label, source, counts), note


def read_stage(path: Path, site: str | None = None) -> Stage:
    """A gauge file in one of the forms that the water room reads, told by its ending."""
    text = read_text(path)
    if path.suffix == ".json":
        return water_tables.read_stage_json(text, file=path.name, site=site)
    if path.suffix in (".rdb", ".txt", ".tsv"):
        return water_tables.read_stage_rdb(text, file=path.name)
    return water_tables.read_stage_csv(text, file=path.name)


def _altered(stage: Stage) -> list[Say]:
    found = []
    if stage.iced:
        found.append(Say("{iced:count} readings under ice left out", iced=stage.iced))
    if stage.dropped - stage.iced > 0:
        found.append(Say("{lost:count} readings without a number left out", lost=stage.dropped - stage.iced))
    if stage.repeated:
        found.append(Say("{twice:count} readings stood twice", twice=stage.repeated))
    if stage.disorder:
        found.append(Say("{wrong:count} readings stood out of order and were put in order", wrong=stage.disorder))
    return found


def _like_now(stage: Stage, hourly: Floats, made: datetime) -> tuple[NDArray[np.bool_] | None, list[Say]]:
    """Hours at which a wait like this one begins: its season, and the present trend where the gauge tells it."""
    day = 24
    complete = np.zeros(hourly.size, dtype=bool)
    rise, _ = rise_fall(hourly, day)
    complete[: rise.size] = np.isfinite(rise)
    if not complete.any():
        return None, [Say("it holds no whole day: what the level does in a wait cannot be told")]
    remarks: list[Say] = []
    season = complete & in_months(
        hour_starts(stage), TRAPPING_MONTHS if made.month in TRAPPING_MONTHS else [made.month]
    )
    if season.any():
        counts = season
    else:
        counts = complete
        remarks.append(Say("it holds no hours of this season: all of its hours count"))
    last = datetime.fromtimestamp(float(stage.times[-1]), UTC)
    away = made.astimezone(UTC) - last
    if not stage.stand_in and timedelta(hours=-1) <= away <= CURRENT and hourly.size > TREND_HOURS:
        now = float(hourly[-1] - hourly[-1 - TREND_HOURS])
        alike = counts & like_now(hourly, now, TREND_WIDTH, TREND_HOURS)
        moved = Say("{size:length} {way:word} in the last day", size=abs(now), way="down" if now < 0 else "up")
        if np.isfinite(now) and blocks_apart(alike, WEEK) >= ENOUGH_EVENTS:
            remarks.append(Say("{moved:say}: waits count that began like that", moved=moved))
            counts = alike
        elif np.isfinite(now):
            remarks.append(Say("{moved:say}: too seldom in the record to count alone", moved=moved))
    elif not stage.stand_in:
        remarks.append(Say("last read {age:time} before: the present trend is not known", age=away.total_seconds()))
    events = blocks_apart(counts, WEEK)
    remarks.append(
        Say("{events:count} weeks apart in it: nothing rarer than one wait in {events:count} is told", events=events)
    )
    return counts, remarks
