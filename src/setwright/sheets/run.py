"""Files of a check run: JSON, CSV, GPX in order, the map, and the printed run sheet with its hand-over sheet."""

from __future__ import annotations

import csv
import io
from datetime import datetime
from pathlib import Path
from typing import Any

from setwright.desk.run import hand_over_steps
from setwright.desk.run_document import RunDayDoc, RunDocument, RunSet, RunStopDoc
from setwright.draw import svg
from setwright.draw.limits import limit_strip
from setwright.draw.map import line_map
from setwright.sheets import words
from setwright.sheets.cards import cut
from setwright.sheets.tables import cell, plain
from setwright.sheets.typeset import typeset
from setwright.sheets.write import write_files

COLUMNS = (
    "date", "order", "set", "site", "name", "start", "begin", "leave", "limit", "left_h", "wait_min", "latest_start",
    "late_chance", "way_min", "way_assumed", "why",
)  # fmt: skip
LETTER = (215.9, 279.4)
STRIP, MAP = 150.0, 700.0


def write_run(found: RunDocument, folder: Path) -> list[Path]:
    """Write `run.json`, `run.csv`, `run.gpx`, `run.svg`, `run.pdf` into a folder, all or none.

    Raises
    ------
    BadInput
        When the folder cannot be made or written.

    """
    made = {
        "run.json": (found.model_dump_json(indent=2, by_alias=True) + "\n").encode("utf-8"),
        "run.csv": run_table(found).encode("utf-8"),
        "run.gpx": run_gpx(found).encode("utf-8"),
        "run.svg": svg.standalone(line_map(found, MAP)).encode("utf-8"),
        "run.pdf": run_sheet(found),
    }
    return write_files(made, folder)


def run_table(found: RunDocument) -> str:
    """One row a visit, in order; times in ISO 8601."""
    held = io.StringIO()
    writer = csv.writer(held)
    writer.writerow(COLUMNS)
    for day in found.days:
        for stop in day.stops:
            row: tuple[object, ...] = (
                day.date, stop.order, stop.number, stop.site, stop.name, day.start, stop.begin, stop.leave,
                stop.limit,
                None if stop.left is None else round(stop.left / 3600.0, 2), round(stop.wait / 60.0, 1),
                stop.latest_start, round(stop.late_chance, 4), round(sum(s.seconds for s in stop.way) / 60.0, 1),
                any(s.assumed for s in stop.way), stop.why,
            )  # fmt: skip
            writer.writerow([cell(value) for value in row])
    return held.getvalue()


def run_gpx(found: RunDocument) -> str:
    """One route a day, over landings, in the order of the run; GPX 1.1."""
    import gpxpy.gpx

    gpx = gpxpy.gpx.GPX()
    gpx.creator = f"setwright {found.program}"
    gpx.name = plain(f"{found.line}: check run")
    gpx.description = plain(found.say)
    names = {one.site: f"{one.number} {one.name}" for one in found.sets}
    for key, spot in found.spots.items():
        if spot is not None:
            gpx.waypoints.append(gpxpy.gpx.GPXWaypoint(*spot, name=plain(names.get(key, key))))
    for day in found.days:
        route = gpxpy.gpx.GPXRoute(name=plain(f"check run {day.date}"), description=plain(day.say))
        passed = ["base", *(step.end for stop in day.stops for step in stop.way), *(step.end for step in day.home)]
        for key in passed:
            spot = found.spots.get(key)
            if spot is not None:
                route.points.append(gpxpy.gpx.GPXRoutePoint(*spot, name=plain(names.get(key, key))))
        gpx.routes.append(route)
    text: str = gpx.to_xml(version="1.1")
    return text


def run_sheet(found: RunDocument, paper: tuple[float, float] = LETTER) -> bytes:
    """The run sheet: a page a day with time to limit, the map, and the hand-over sheet.

    Parameters
    ----------
    found : RunDocument
        The plan.
    paper : tuple of float
        Width and height [mm].

    """
    by_site = {one.site: one for one in found.sets}
    first = next((day for day in found.days if day.stops), None)
    data = {
        "wide": paper[0],
        "high": paper[1],
        "line": found.line + (" (invented)" if found.invented else ""),
        "foot": f"{found.law}. No legal advice: the law of the place comes first.",
        "days": [_day(day) for day in found.days],
        "map": svg.standalone(line_map(found, MAP)) if any(found.spots.values()) else "",
        "hand": [] if first is None else [_hand(stop, by_site[stop.site]) for stop in first.stops],
        "release": hand_over_steps(),
        "cautions": [f"{one.head}. {one.text}" for one in found.cautions],
    }
    return typeset("run.typ", data)


def _seconds(text: str) -> float:
    return datetime.fromisoformat(text).timestamp()


def _day(day: RunDayDoc) -> dict[str, Any]:
    sun = (day.light["sunrise"], day.light["sunset"])
    light = None if sun[0] is None or sun[1] is None else (_seconds(sun[0]), _seconds(sun[1]))
    limits = [_seconds(stop.limit) for stop in day.stops if stop.limit is not None]
    start = _seconds(day.start)
    last = min(max([*limits, _seconds(day.back)]), start + 18 * 3600.0)
    stops = []
    for stop in day.stops:
        limit = None if stop.limit is None else _seconds(stop.limit)
        strip = svg.standalone(limit_strip(STRIP, (start, last), _seconds(stop.begin), limit, light))
        stops.append(
            [
                str(stop.order), cut(f"{stop.number} {stop.name}", 40), words.hour(stop.begin),
                words.hour(stop.leave),
                "none" if stop.limit is None else words.clock(stop.limit)[4:],
                "" if stop.left is None else words.hours(stop.left / 3600.0), strip,
            ]
        )  # fmt: skip
    after = [f"Not in time: {', '.join(day.missed)}."] if day.missed else []
    if day.latest_start is not None:
        after.append(f"Whoever leaves after {words.clock(day.latest_start)} breaks the law at one set or more.")
    who = f", {day.who}" if day.who else ""
    return {"title": f"{words.day(day.date)}{who}", "say": f"{day.say}.", "stops": stops, "after": after}


def _hand(stop: RunStopDoc, about: RunSet) -> list[str]:
    way = "; ".join(f"{step.mode} to {step.end}, {step.seconds / 60:.0f} min" for step in stop.way)
    limit = "none" if stop.limit is None else words.clock(stop.limit)
    return [
        str(stop.order), cut(f"{stop.number} {stop.name}: {way}", 90), words.hour(stop.begin), limit,
        cut(about.trap or "see the set", 34), cut(about.anchor or "see the set", 40),
    ]  # fmt: skip
