"""The wait by the hour: its grid, when each animal is about, and how long one is held."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from setwright.animal.gaits import hourly_rates
from setwright.animal.model import Species
from setwright.sets.context import Context, Floats

# Half the length of dawn and of dusk, about sunrise and sunset (modelling choice).
TWILIGHT = 1.0
DAY = 24.0
DARK, DUSK, LIGHT = 0, 1, 2


@dataclass(frozen=True, eq=False)
class Wait:
    """Hours from the setting to the visit, cut at full clock hours: aware `starts`, `widths` [h], shape (h,)."""

    starts: tuple[datetime, ...]
    widths: Floats

    @property
    def edges(self) -> Floats:
        """Edges of the hours since the setting [h], shape (h + 1,)."""
        return np.concatenate([[0.0], np.cumsum(self.widths)])

    @property
    def middles(self) -> Floats:
        """Middles of the hours as shares of the wait, shape (h,)."""
        edges = self.edges
        return np.asarray(0.5 * (edges[:-1] + edges[1:]) / edges[-1])


def wait_of(context: Context) -> Wait:
    """Grid of the hours from the setting to the visit; the first and the last may be parts of one."""

    def make() -> Wait:
        made, visit = context.check.made.astimezone(UTC), context.check.visit.astimezone(UTC)
        marks = [made]
        full = made.replace(minute=0, second=0, microsecond=0) + timedelta(hours=1)
        while full < visit:
            marks.append(full)
            full += timedelta(hours=1)
        ends = [*marks[1:], max(visit, made + timedelta(minutes=1))]
        return Wait(
            tuple(marks), np.array([(b - a).total_seconds() / 3600.0 for a, b in zip(marks, ends, strict=True)])
        )

    return context.kept.get(("wait", context.check.made, context.check.visit), make)


def over_wait(by_hour: Floats, hours: int) -> Floats:
    """An array by hour of the record, shape (n, r), over the wait, shape (n, h).

    A wait that is longer than its record takes the same clock hours of the recorded day again.
    """
    size = by_hour.shape[1]
    index = np.arange(hours)
    while size > DAY and bool((index >= size).any()):
        index = np.where(index >= size, index - int(DAY), index)
    return np.asarray(by_hour[:, index % size])


def parts_of_day(context: Context) -> NDArray[np.intp] | None:
    """Night, twilight or day in each hour of the wait, shape (h,); None where sunrise or sunset is not known."""
    sunrise, sunset = context.conditions.sunrise, context.conditions.sunset
    if sunrise is None or sunset is None:
        return None
    rise, fall = (_clock(moment) for moment in (sunrise, sunset))
    wait = wait_of(context)
    clock = np.array([_clock(start) for start in wait.starts]) + 0.5 * wait.widths
    after_rise, after_fall = (clock - rise) % DAY, (clock - fall) % DAY
    near = np.minimum.reduce([after_rise, DAY - after_rise, after_fall, DAY - after_fall]) <= TWILIGHT
    light = after_rise < (fall - rise) % DAY
    return np.where(near, DUSK, np.where(light, LIGHT, DARK))


def even_shares(context: Context) -> Floats:
    """Visits even over the dark hours of the wait, all of a night's in each night, shape (h,) [1/h]."""
    night = context.conditions.night
    wait = wait_of(context)
    weights = np.ones(wait.widths.size)
    if night is not None and bool(night.dark.any()):
        dark = over_wait(night.dark[None, :].astype(float), wait.widths.size)[0]
        weights = dark if float(dark.sum()) > 0 else weights
    return np.asarray(context.check.nights * weights / float(weights @ wait.widths))


def misfire_shares(context: Context) -> Floats:
    """Misfires even over the whole wait, all of a night's in each night, shape (h,) [1/h]."""
    wait = wait_of(context)
    return np.full(wait.widths.size, context.check.nights / float(wait.edges[-1]))


def hourly_shares(context: Context, species: Species) -> Floats:
    """Share of a night's visits of one animal in each hour of the wait, shape (h,) [1/h].

    By its parts of the day where sunrise and sunset are known and the animal's hours are; else even over the dark.
    """
    habit = (species.night, species.twilight, species.day)
    parts = parts_of_day(context)
    if parts is None or any(part.value is None for part in habit):
        return even_shares(context)
    sunrise, sunset = context.conditions.sunrise, context.conditions.sunset
    assert sunrise is not None and sunset is not None
    light = (_clock(sunset) - _clock(sunrise)) % DAY
    twilight = min(4.0 * TWILIGHT, 2.0 * light, 2.0 * (DAY - light))
    lengths = (DAY - light - 0.5 * twilight, twilight, light - 0.5 * twilight)
    rates = hourly_rates([part.number for part in habit], lengths) / DAY
    return even_shares(context) if bool(np.isnan(rates).any()) else np.asarray(rates[parts])


def held_for(by_hour: Floats, wait: Wait, share: float) -> float:
    """Time from firing to visit that is not exceeded with a chance of `share` [h]; NaN where it never fires.

    `by_hour` is the chance to be the first to fire in each hour, the mean of all draws, shape (h,).
    """
    gone = np.concatenate([[0.0], np.cumsum(by_hour)])
    if not gone[-1] > 0:
        return float("nan")
    return float(wait.edges[-1] - np.interp((1.0 - share) * gone[-1], gone, wait.edges))


def _clock(moment: datetime) -> float:
    """Hours since midnight UTC."""
    aware = moment.astimezone(UTC)
    return aware.hour + aware.minute / 60.0 + aware.second / 3600.0
