"""Reads forecasts in the two JSON forms of the public weather service of the United States."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np

from setwright.basis.errors import BadInput, OutOfRange
from setwright.weather.jsontext import entries, interval, load, mapping, moment, number
from setwright.weather.records import DEW_SLACK
from setwright.weather.series import QUANTITIES, Floats, Hourly

# A forecast older than this is refused unless the caller asks otherwise.
MOST_AGE = timedelta(hours=12)
# Longer than any forecast of hours is.
MOST_HOURS = 24 * 31
PUBLIC = "public domain in the United States"

Scale = Callable[[float], float]


def _times(factor: float) -> Scale:
    return lambda value: value * factor


_TEMPERATURE: Mapping[str, Scale] = {
    "degC": float,
    "degF": lambda value: (value - 32.0) / 1.8,
    "K": lambda x: x - 273.15,
}
_SPEED: Mapping[str, Scale] = {
    "m_s-1": float, "km_h-1": _times(1.0 / 3.6), "kt": _times(1852.0 / 3600.0), "mi_h-1": _times(0.44704),
}  # fmt: skip
_SHARE: Mapping[str, Scale] = {"percent": _times(0.01)}
_RAIN: Mapping[str, Scale] = {"mm": float, "m": _times(1000.0), "kg_m-2": float}
# Layer of a grid cell: quantity, units, span, whether it is an amount over its time.
_LAYERS: Mapping[str, tuple[str, Mapping[str, Scale], float, float, bool]] = {
    "temperature": ("temperature", _TEMPERATURE, -90.0, 60.0, False),
    "dewpoint": ("dew_point", _TEMPERATURE, -95.0, 40.0, False),
    "windSpeed": ("wind", _SPEED, 0.0, 100.0, False),
    "skyCover": ("cloud", _SHARE, 0.0, 1.0, False),
    "quantitativePrecipitation": ("rain", _RAIN, 0.0, 2000.0, True),
    "snowfallAmount": ("snowfall", _RAIN, 0.0, 5000.0, True),
}
_WORDS = {"mph": "mi_h-1", "km/h": "km_h-1", "kt": "kt", "m/s": "m_s-1"}
_WIND = re.compile(r"(\d{1,3})(?: to (\d{1,3}))? (mph|km/h|kt|m/s)", re.ASCII)


@dataclass(frozen=True, eq=False)
class Forecast:
    """A forecast by the hour and when it was made.

    Parameters
    ----------
    record : Hourly
        Its hours; NaN where the forecast says nothing.
    issued : datetime
        Moment (UTC) at which the figures were made.
    snowfall : array (h,) [mm/h]
        Depth of new snow in the hour; NaN where it is not told.

    """

    record: Hourly
    issued: datetime
    snowfall: Floats

    def age(self, now: datetime) -> timedelta:
        """Time from the issue to `now` (aware); negative for a forecast of the future."""
        if now.tzinfo is None or now.utcoffset() is None:
            raise OutOfRange("a moment without time zone has no age", field="now", found=now)
        return now.astimezone(UTC) - self.issued

    def stale(self, now: datetime, most_age: timedelta = MOST_AGE) -> bool:
        """Whether at `now` the forecast is older than `most_age`, or made later than `now`."""
        return not timedelta(0) <= self.age(now) <= most_age

    def fresh(self, now: datetime, most_age: timedelta = MOST_AGE) -> Hourly:
        """The record, when at `now` it is no older than `most_age`.

        Raises
        ------
        BadInput
            When it is stale, or its issue lies in the future.

        """
        if self.stale(now, most_age):
            raise BadInput(
                "the forecast is stale, or was issued later than now", file=self.record.label, field="updateTime",
                found=self.issued.isoformat(), allowed=f"within {most_age} before {now.isoformat()}",
            )  # fmt: skip
        return self.record


def read_forecast_grid(text: str, *, file: str) -> Forecast:
    """Read the forecast of one grid cell: layers of values that each hold for a span of time.

    Parameters
    ----------
    text : str
        The whole JSON text.
    file : str
        Name for error messages.

    Returns
    -------
    Forecast
        From the first to the last hour of the air temperature. A value is repeated over the hours that it holds
        for; amounts of rain and snow are shared out evenly over them; null is a gap.

    Raises
    ------
    BadInput
        With file, field, what was found and what is allowed: cut-off text, spans that overlap, go backwards or do
        not begin on a full hour, unknown units, figures that no weather has.

    References
    ----------
    Public documentation of the gridpoint forecast of the US National Weather Service (memory); layout as in a
    recorded forecast of 2022 (seen).

    """
    properties = mapping(load(text, file), "properties", file)
    spans = {
        name: _spans(mapping(properties, layer, file), units, low, high, amount, file, f"properties.{layer}")
        for layer, (name, units, low, high, amount) in _LAYERS.items()
        if layer in properties
    }
    if not spans.get("temperature"):
        raise BadInput("the forecast has no air temperature", file=file, field="properties.temperature")
    return _laid_out(spans, moment(properties, "updateTime", file, "properties."), file, "grid cell")


def read_forecast_hours(text: str, *, file: str) -> Forecast:
    """Read the hourly form: a list of periods with temperature, wind in words, and dew point.

    Parameters
    ----------
    text : str
        The whole JSON text.
    file : str
        Name for error messages.

    Returns
    -------
    Forecast
        Wind such as `5 to 10 mph` is its middle. The form has no cloud and no amount of rain: these are gaps.

    Raises
    ------
    BadInput
        As `read_forecast_grid`; also when the unit changes from one period to another.

    References
    ----------
    Public documentation of the hourly forecast of the US National Weather Service (memory); layout as in recorded
    forecasts of 2019 (seen).

    """
    properties = mapping(load(text, file), "properties", file)
    issued = moment(properties, "updateTime", file, "properties.")
    found: dict[str, list[tuple[datetime, int, float]]] = {"temperature": [], "dew_point": [], "wind": []}
    unit = None
    for place, period in enumerate(entries(properties, "periods", file, "properties.")):
        where = f"properties.periods[{place}]."
        first, last = moment(period, "startTime", file, where), moment(period, "endTime", file, where)
        hours = _whole_hours(first, last - first, file, where + "endTime")
        here = period.get("temperatureUnit")
        if here not in ("F", "C") or (unit is not None and here != unit):
            raise BadInput(
                "the unit of temperature is unknown, or changes midway", file=file, field=where + "temperatureUnit",
                found=here, allowed="F or C, the same throughout",
            )  # fmt: skip
        unit = here
        air = number(period.get("temperature"), file, where + "temperature")
        dew = period.get("dewpoint")
        for name, layer, value in (
            ("temperature", "temperature", _TEMPERATURE[f"deg{unit}"](air)),
            ("dew_point", "dewpoint", np.nan if dew is None else _measured(dew, file, where + "dewpoint")),
            ("wind", "windSpeed", _wind_words(period.get("windSpeed"), file, where + "windSpeed")),
        ):
            low, high = _LAYERS[layer][2:4]
            found[name].append((first, hours, _within(value, low, high, file, where + layer)))
    if not found["temperature"]:
        raise BadInput("the forecast has no hours", file=file, field="properties.periods")
    for spans in found.values():
        _in_order(spans, file, "properties.periods")
    return _laid_out(found, issued, file, "hourly forecast")


def read_forecast(text: str, *, file: str) -> Forecast:
    """Read a forecast of either form, told apart by its list of periods.

    Parameters
    ----------
    text : str
        The whole JSON text.
    file : str
        Name for error messages.

    Returns
    -------
    Forecast

    Raises
    ------
    BadInput
        As `read_forecast_grid` and `read_forecast_hours`.

    """
    by_hours = "periods" in mapping(load(text, file), "properties", file)
    return (read_forecast_hours if by_hours else read_forecast_grid)(text, file=file)


def _spans(
    layer: Mapping[str, object],
    units: Mapping[str, Scale],
    low: float,
    high: float,
    amount: bool,
    file: str,
    where: str,
) -> list[tuple[datetime, int, float]]:
    values = entries(layer, "values", file, f"{where}.")
    if not values:
        return []
    scale = _scale(layer.get("uom"), units, file, f"{where}.uom")
    found = []
    for place, entry in enumerate(values):
        here = f"{where}.values[{place}]"
        if entry.get("unitCode", layer.get("uom")) != layer.get("uom"):
            raise BadInput("the unit changes midway", file=file, field=here, found=entry["unitCode"])
        first, span = interval(entry, "validTime", file, f"{here}.")
        hours = _whole_hours(first, span, file, f"{here}.validTime")
        value = _within(scale(number(entry.get("value"), file, f"{here}.value")), low, high, file, f"{here}.value")
        found.append((first, hours, value / hours if amount else value))
    _in_order(found, file, where)
    return found


def _in_order(spans: list[tuple[datetime, int, float]], file: str, where: str) -> None:
    for place, (before, after) in enumerate(pairwise(spans), start=1):
        if after[0] < before[0] + timedelta(hours=before[1]):
            what = "this hour stands twice" if after[0] >= before[0] else "the hours are not in order"
            raise BadInput(
                what, file=file, field=f"{where}[{place}]", found=after[0].isoformat(),
                allowed=f"from {(before[0] + timedelta(hours=before[1])).isoformat()} on",
            )  # fmt: skip


def _whole_hours(first: datetime, span: timedelta, file: str, where: str) -> int:
    hours, rest = divmod(span, timedelta(hours=1))
    if rest or first.minute or first.second or first.microsecond or not 1 <= hours <= MOST_HOURS:
        raise BadInput(
            "a span of full hours is needed", file=file, field=where, found=f"{first.isoformat()}, {span}",
            allowed=f"1 to {MOST_HOURS} hours from a full hour on",
        )  # fmt: skip
    return hours


def _scale(unit: object, units: Mapping[str, Scale], file: str, where: str) -> Scale:
    name = unit.rpartition(":")[2] if isinstance(unit, str) else ""
    if name not in units:
        raise BadInput("unknown unit", file=file, field=where, found=unit, allowed=", ".join(units))
    return units[name]


def _measured(value: object, file: str, where: str) -> float:
    if not isinstance(value, Mapping):
        raise BadInput("a value with its unit is needed", file=file, field=where, found=value)
    figure = number(value.get("value"), file, f"{where}.value")
    return _scale(value.get("unitCode"), _TEMPERATURE, file, f"{where}.unitCode")(figure)


def _wind_words(text: object, file: str, where: str) -> float:
    if text is None or text == "":
        return float("nan")
    match = _WIND.fullmatch(text) if isinstance(text, str) else None
    if match is None:
        raise BadInput(
            "not a wind speed", file=file, field=where, found=text, allowed="such as 5 mph, 5 to 10 mph, 8 km/h"
        )
    low, high, unit = match.groups()
    return _SPEED[_WORDS[unit]](0.5 * (float(low) + float(high or low)))


def _within(value: float, low: float, high: float, file: str, where: str) -> float:
    if not (np.isnan(value) or low <= value <= high):
        raise BadInput(
            "out of what weather can be", file=file, field=where, found=value, allowed=f"{low:g} to {high:g}"
        )
    return float(value)


def _laid_out(
    spans: Mapping[str, list[tuple[datetime, int, float]]], issued: datetime, file: str, form: str
) -> Forecast:
    start = spans["temperature"][0][0]
    last, hours, _ = spans["temperature"][-1]
    count = (last - start) // timedelta(hours=1) + hours
    if count > MOST_HOURS:
        raise BadInput(
            "the forecast spans too long a time", file=file, found=f"{count} hours", allowed=f"at most {MOST_HOURS}"
        )
    laid = {name: np.full(count, np.nan) for name in (*QUANTITIES, "snowfall")}
    for name, every in spans.items():
        for first, length, value in every:
            place = (first - start) // timedelta(hours=1)
            laid[name][max(0, place) : max(0, place + length)] = value
    above = np.flatnonzero(laid["dew_point"] > laid["temperature"] + DEW_SLACK)
    if above.size:
        raise BadInput(
            "the dew point is above the air temperature", file=file, field="dewpoint",
            found=(start + timedelta(hours=int(above[0]))).isoformat(),
        )  # fmt: skip
    quantities: dict[str, Floats] = {name: laid[name] for name in QUANTITIES}
    record = Hourly(
        start=start,
        **quantities,
        label=file,
        origin=f"{form} of the US National Weather Service",
        licence=PUBLIC,
        stand_in=False,
    )
    return Forecast(record, issued, laid["snowfall"])
