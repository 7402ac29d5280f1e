"""The coming nights in every cover of the line."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from setwright.desk import tonight_document as doc
from setwright.desk.tonight_set import SetFound
from setwright.desk.wording import show
from setwright.line.assemble import Job
from setwright.sets.coming import CoverNights, coming_nights
from setwright.sets.frozen import DEFAULT_COVER
from setwright.sets.naming import cover_name
from setwright.weather.sun import sun_times


def coming_of(job: Job, found: Sequence[SetFound], nights: int) -> doc.Coming | None:
    """Frost of so many nights in each cover that lies on the line or is carried; None where the weather ends."""
    night = job.day.coming
    on_land = [one for one in found if one.context.site.medium == "land"]
    covers = list(dict.fromkeys([*(one.rig.cover for one in on_land if one.rig.cover), *job.options.covers]))
    covers = [cover for cover in covers if cover != "none"]
    if night is None or not covers:
        return None
    depths = [one.rig.cover_depth.number for one in on_land if one.rig.cover_depth and one.rig.cover_depth.known]
    depth = float(np.median(depths)) if depths else DEFAULT_COVER
    given = job.day.conditions
    rows = coming_nights(night, covers, depth, given.soil_temperature, given.snow)
    starts = [night.start + timedelta(hours=hour) for hour in range(night.hours)]
    spans = _spans(job, starts, nights)
    last = max((int(np.flatnonzero(marks)[-1]) + 1 for _, marks in spans), default=0)
    zone = job.book.line.zone
    dark = np.any([marks for _, marks in spans], axis=0) if spans else np.zeros(night.hours, dtype=bool)
    return doc.Coming(
        depth=depth,
        times=[start.astimezone(zone).isoformat(timespec="minutes") for start in starts[:last]],
        air=[round(float(value), 2) for value in night.air[:last]],
        ground=[round(float(value), 2) for value in night.equivalent[:last]],
        dark=[bool(mark) for mark in dark[:last]],
        covers=[_strip(row, spans, last) for row in rows],
        say=(
            f"Cover of {show(depth, 'length')} over moist loam in the open, no snow melting by itself. Out of order: "
            "a crust of 5 mm with 8 % ice by volume (common practice); tonight's answers ask the trap itself."
            + (" Salt and glycol in covers are not counted here." if any(one.rig.treated for one in on_land) else "")
        ),
    )


def _spans(job: Job, starts: list[datetime], nights: int) -> list[tuple[datetime, NDArray[np.bool_]]]:
    """Each whole night with its hours of dark marked; without a place dark is six in the evening to six."""
    zone = job.book.line.zone
    first = starts[0].astimezone(zone).date()
    found = []
    for night in range(nights):
        begin, end = (_edge(job, first + timedelta(days=night + step), evening=step == 0) for step in (0, 1))
        marks = np.array([begin <= start < end for start in starts])
        if end <= starts[-1] + timedelta(hours=1) and bool(marks.any()):
            found.append((begin, marks))
    return found


def _edge(job: Job, day: object, *, evening: bool) -> datetime:
    from datetime import date, time

    assert isinstance(day, date)
    if job.base is not None:
        sun = sun_times(day, *job.base, job.book.line.timezone)
        moment = sun.sunset if evening else sun.sunrise
        if moment is not None:
            return moment.astimezone(UTC)
    return datetime.combine(day, time(18 if evening else 6), job.book.line.zone).astimezone(UTC)


def _strip(row: CoverNights, spans: list[tuple[datetime, NDArray[np.bool_]]], last: int) -> doc.CoverStrip:
    nights = []
    for begin, marks in spans:
        mild, told, hard = row.lost(marks)
        nights.append(
            doc.NightLost(date=begin.date().isoformat(), hours=int(marks.sum()), mild=mild, told=told, hard=hard)
        )
    crusts = [[None if np.isnan(value) else round(float(value), 5) for value in crust[:last]] for crust in row.crust]
    return doc.CoverStrip(
        kind=row.cover, name=cover_name(row.cover), nights=nights, crust_mild=crusts[0], crust=crusts[1],
        crust_hard=crusts[2],
    )  # fmt: skip
