"""An hourly weather record: what was measured in each hour, its gaps, and where it came from."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from setwright.basis.errors import BadInput, OutOfRange

Floats = NDArray[np.float64]

QUANTITIES = ("temperature", "dew_point", "wind", "cloud", "radiation", "rain")


@dataclass(frozen=True, slots=True)
class Gap:
    """Hours in which one quantity of a record is missing: its name, the first hour, how many."""

    quantity: str
    first: int
    hours: int


@dataclass(frozen=True, eq=False)
class Hourly:
    """Hourly weather; each figure stands for the hour that begins at `start` + its index, NaN is a gap.

    Parameters
    ----------
    start : datetime
        First hour, aware, on the full hour; kept in UTC.
    temperature, dew_point : array (h,) [degC]
        Air temperature and dew point at screen height.
    wind : array (h,) [m/s]
        Wind speed at the height of the record (10 m as a rule).
    cloud : array (h,) [-]
        Share of the sky that is covered, 0 to 1.
    radiation : array (h,) [W/m2]
        Sun and sky on a level surface.
    rain : array (h,) [mm/h]
        Rain or melted snow in the hour.
    label, origin, licence : str
        Name of the record, where it came from, under what terms it may be copied.
    stand_in : bool
        True when the record stands in for a place or a time that it was not measured at.

    Raises
    ------
    OutOfRange
        When the start is not aware or not on the full hour, or the arrays differ in length.

    """

    start: datetime
    temperature: Floats
    dew_point: Floats
    wind: Floats
    cloud: Floats
    radiation: Floats
    rain: Floats
    label: str = ""
    origin: str = ""
    licence: str = ""
    stand_in: bool = False

    def __post_init__(self) -> None:
        if self.start.tzinfo is None or self.start.utcoffset() is None:
            raise OutOfRange("the start of a record must have its time zone", field="start", found=self.start)
        start = self.start.astimezone(UTC)
        if start.minute or start.second or start.microsecond:
            raise OutOfRange("the start of a record must be a full hour of UTC", field="start", found=self.start)
        object.__setattr__(self, "start", start)
        for name in QUANTITIES:
            values = np.asarray(getattr(self, name), dtype=np.float64)
            if values.shape != np.shape(self.temperature) or values.ndim != 1:
                raise OutOfRange("all quantities of a record must have the same hours", field=name)
            object.__setattr__(self, name, values)

    @property
    def hours(self) -> int:
        """Number of hours in the record."""
        return int(self.temperature.size)

    @property
    def end(self) -> datetime:
        """First moment after the record (UTC)."""
        return self.start + timedelta(hours=self.hours)

    def index_of(self, time: datetime) -> int | None:
        """Index of the hour that holds the aware `time`; None when the record does not cover it."""
        if time.tzinfo is None or time.utcoffset() is None:
            raise OutOfRange("a moment without time zone cannot be found in a record", field="time", found=time)
        index = (time.astimezone(UTC) - self.start) // timedelta(hours=1)
        return index if 0 <= index < self.hours else None

    def slice(self, start: datetime, hours: int) -> Hourly:
        """Part of the record of `hours` hours, from the hour that holds `start` on.

        Raises
        ------
        BadInput
            When the record does not cover that span.

        """
        first = self.index_of(start)
        if first is None or hours < 1 or first + hours > self.hours:
            raise BadInput(
                "the weather record does not cover these hours",
                field="time",
                found=f"{hours} hours from {start.isoformat()}",
                allowed=f"{self.start:%Y-%m-%d %H:%M} to {self.end:%Y-%m-%d %H:%M} UTC",
            )
        cut = slice(first, first + hours)
        parts = {name: getattr(self, name)[cut] for name in QUANTITIES}
        return replace(self, start=self.start + timedelta(hours=first), **parts)

    def gaps(self) -> tuple[Gap, ...]:
        """Every run of missing hours, by quantity and then by time."""
        found = []
        for name in QUANTITIES:
            missing = np.isnan(getattr(self, name)).astype(np.int8)
            edges = np.flatnonzero(np.diff(missing, prepend=0, append=0))
            found += [
                Gap(name, int(first), int(past - first))
                for first, past in zip(edges[::2], edges[1::2], strict=True)
            ]  # fmt: skip
        return tuple(found)


def joined(before: Hourly, after: Hourly) -> Hourly:
    """A later record with the hours before it taken from an earlier one, under the later one's name.

    Parameters
    ----------
    before : Hourly
        Such as what was measured; its hours from the start of `after` on are left out.
    after : Hourly
        Such as a forecast.

    Returns
    -------
    Hourly
        From the start of the earlier one on; hours between the two are gaps. `after` as it is when `before` does not
        begin earlier.

    """
    if before.start >= after.start:
        return after
    lead = round((after.start - before.start) / timedelta(hours=1))
    parts: dict[str, Any] = {}
    for name in QUANTITIES:
        whole = np.full(lead + after.hours, np.nan)
        known = getattr(before, name)[:lead]
        whole[: known.size] = known
        whole[lead:] = getattr(after, name)
        parts[name] = whole
    return replace(after, start=before.start, **parts)


def bridged(values: Floats, most: int) -> tuple[Floats, NDArray[np.bool_]]:
    """Short gaps filled by a straight line between their neighbours.

    Parameters
    ----------
    values : array (h,)
        Hourly figures, NaN in gaps.
    most : int
        Longest gap that is filled [h].

    Returns
    -------
    filled : array (h,)
        Longer gaps, and those at either end, stay NaN.
    which : bool array (h,)
        True in the hours that were filled.

    """
    known = np.flatnonzero(~np.isnan(values))
    which = np.zeros(values.size, dtype=np.bool_)
    for left, right in pairwise(known.tolist()):
        if 1 < right - left <= most + 1:
            which[left + 1 : right] = True
    filled = values.copy()
    filled[which] = np.interp(np.flatnonzero(which), known, values[known]) if known.size else np.nan
    return filled, which
