"""The plan as tables for other programs: CSV (RFC 4180), GeoJSON (RFC 7946) and GPX 1.1."""

from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING, Any

from setwright.sheets.page import held_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from setwright.desk.document import Plan

KIT_COLUMNS = ("compartment", "item", "count", "unit", "mass_kg", "sets", "note")
RUN_COLUMNS = (
    "order", "set", "site", "name", "arrive", "leave", "limit", "left_h", "leg_m", "bearing_deg", "mode",
    "holds_alive", "late", "why",
)  # fmt: skip


def _csv(columns: Iterable[str], rows: Iterable[Iterable[object]]) -> str:
    held = io.StringIO()
    writer = csv.writer(held)
    writer.writerow(columns)
    writer.writerows([cell(value) for value in row] for row in rows)
    return held.getvalue()


def cell(value: object) -> str:
    """A value as a cell that no spreadsheet runs."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.10g}"
    text = str(value)
    # A cell that begins like a formula would be run by a spreadsheet: a leading apostrophe keeps it text.
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text


def kit_csv(plan: Plan) -> str:
    """The pick list, one item a row; mass in kg."""
    return _csv(
        KIT_COLUMNS,
        ((i.compartment, i.item, i.count, i.unit, i.mass, i.sites, i.note) for i in plan.kit),
    )


def run_csv(plan: Plan) -> str:
    """The check run, one stop a row in order; times in ISO 8601, distance in m."""
    return _csv(
        RUN_COLUMNS,
        (
            (
                s.order, s.number, s.site, s.name, s.arrive, s.leave, s.limit, s.left_hours, s.distance,
                s.bearing_deg, s.mode, s.restraining, s.late, s.why,
            )
            for s in plan.run.stops
        ),
    )  # fmt: skip


def _spots(plan: Plan) -> dict[str, tuple[float, float]]:
    """Latitude and longitude of every site whose position is told."""
    return {
        part.site.id: (part.site.latitude, part.site.longitude)
        for part in plan.sets
        if part.site.latitude is not None and part.site.longitude is not None
    }


def _way(plan: Plan) -> list[tuple[str, tuple[float, float]]]:
    """Base, stops in order, base again: name, latitude and longitude; empty without exact positions."""
    base, spots = plan.line.base, _spots(plan)
    if base is None or plan.line.positions != "exact":
        return []
    stops = [(f"{s.number} {s.name}", spots[s.site]) for s in plan.run.stops if s.site in spots]
    return [("base", base), *stops, ("base", base)]


def line_geojson(plan: Plan) -> str:
    """A feature for the base, for each set and for the run line."""

    def feature(shape: str, coordinates: Any, name: str, **more: object) -> dict[str, object]:
        return {
            "type": "Feature",
            "geometry": {"type": shape, "coordinates": coordinates},
            "properties": {"name": name, **more},
        }

    spots, features = _spots(plan), []
    if plan.line.base is not None:
        features.append(feature("Point", [plan.line.base[1], plan.line.base[0]], "base", kind="base"))
    for part in plan.sets:
        site, held = part.site, held_of(part)
        if site.id not in spots:
            continue
        blurred = {} if plan.line.positions == "exact" else {"somewhere_in": plan.line.positions}
        features.append(
            {
                **feature(
                    "Point",
                    [spots[site.id][1], spots[site.id][0]],
                    site.name,
                    kind="set",
                    number=site.number,
                    target=site.target,
                    set_type=site.set_type,
                    trap=part.rig.trap,
                    rig=part.rig.label,
                    standing=part.standing,
                    law=part.law_answer,
                    welfare=part.welfare_answer,
                    holds_alive=part.restraining,
                    held=held[0],
                    held_low=held[1],
                    held_high=held[2],
                    must=part.must,
                    **blurred,
                ),
                "id": site.id,
            }
        )
    way = _way(plan)
    if len(way) > 2:
        features.append(feature("LineString", [[lon, lat] for _, (lat, lon) in way], "check run", kind="run"))
    return json.dumps(
        {"type": "FeatureCollection", "features": features}, ensure_ascii=False, indent=1, allow_nan=False
    )


def line_gpx(plan: Plan) -> str:
    """Waypoints for the base and each set, and a route in check order."""
    import gpxpy.gpx

    gpx = gpxpy.gpx.GPX()
    gpx.creator = f"setwright {plan.program}"
    gpx.name = plain(plan.line.name)
    gpx.description = plain(plan.say)
    spots = _spots(plan)
    if plan.line.base is not None:
        gpx.waypoints.append(gpxpy.gpx.GPXWaypoint(*plan.line.base, name="base"))
    for part in plan.sets:
        site = part.site
        if site.id not in spots:
            continue
        gpx.waypoints.append(
            gpxpy.gpx.GPXWaypoint(
                *spots[site.id],
                name=plain(f"{site.number} {site.name}"),
                comment=plain(part.must),
                description=plain(f"{site.target_name}, {site.set_type}; {part.rig.trap}, {part.rig.label}"),
            )
        )
    way = _way(plan)
    if way:
        route = gpxpy.gpx.GPXRoute(name="check run")
        for name, (lat, lon) in way:
            route.points.append(gpxpy.gpx.GPXRoutePoint(lat, lon, name=plain(name)))
        gpx.routes.append(route)
    text: str = gpx.to_xml(version="1.1")
    return text


def plain(words: str) -> str:
    """Words without the control characters that XML cannot carry."""
    return "".join(letter for letter in words if letter >= " " or letter in "\t\n")
