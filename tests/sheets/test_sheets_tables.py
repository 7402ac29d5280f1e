"""Tables for other programs: columns, order, open standards, and the words of the user kept as words."""

from __future__ import annotations

import csv
import io
import json

import gpxpy
import pytest

from setwright.sheets.tables import KIT_COLUMNS, RUN_COLUMNS, kit_csv, line_geojson, line_gpx, run_csv
from setwright.sheets.words import band, clock, gain, share
from sheets.example_plan import example

HOSTILE = ('=1+1,"x"\n', "<b>&'\"\x07", "plain")


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_kit_columns_and_rows() -> None:
    plan = example()
    found = rows(kit_csv(plan))
    assert tuple(found[0]) == KIT_COLUMNS
    assert [row["item"] for row in found] == [item.item for item in plan.kit]
    assert found[0]["mass_kg"] == "1.3"
    assert found[2]["mass_kg"] == "", "an unknown mass is empty, not nought"


def test_run_columns_and_order() -> None:
    plan = example()
    found = rows(run_csv(plan))
    assert tuple(found[0]) == RUN_COLUMNS
    assert [row["order"] for row in found] == ["1", "2", "3"]
    assert [row["holds_alive"] for row in found] == ["yes", "no", "no"]
    assert found[2]["limit"] == ""
    assert float(found[1]["leg_m"]) == plan.run.stops[1].distance


def test_a_cell_is_never_a_formula() -> None:
    found = rows(run_csv(example(HOSTILE)))
    assert found[1]["name"].startswith("'=1+1"), "text for a spreadsheet, not a sum"


def test_geojson_is_longitude_first_and_closed_at_the_base() -> None:
    plan = example(HOSTILE)
    made = json.loads(line_geojson(plan))
    assert made["type"] == "FeatureCollection"
    kinds = [feature["properties"]["kind"] for feature in made["features"]]
    assert kinds == ["base", "set", "set", "set", "run"]
    for part, feature in zip(plan.sets, made["features"][1:4], strict=True):
        assert feature["geometry"]["coordinates"] == [part.site.longitude, part.site.latitude]
        assert feature["properties"]["name"] == part.site.name
        assert feature["properties"]["standing"] == part.standing
        assert feature["id"] == part.site.id
    run = made["features"][4]["geometry"]
    assert run["type"] == "LineString"
    assert run["coordinates"][0] == run["coordinates"][-1] == [plan.line.base[1], plan.line.base[0]]
    assert len(run["coordinates"]) == 5


def test_gpx_has_a_waypoint_per_set_and_a_route_in_check_order() -> None:
    plan = example(HOSTILE)
    read = gpxpy.parse(line_gpx(plan))
    assert len(read.waypoints) == 4
    for part, point in zip(plan.sets, read.waypoints[1:], strict=True):
        assert (point.latitude, point.longitude) == (part.site.latitude, part.site.longitude)
    route = read.routes[0]
    by_site = {part.site.id: part.site for part in plan.sets}
    expected = [by_site[stop.site].latitude for stop in plan.run.stops]
    assert [point.latitude for point in route.points] == [plan.line.base[0], *expected, plan.line.base[0]]
    assert read.waypoints[2].name == "2 <b>&'\"", "control characters dropped, the rest as written"


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (None, "–"),
        (float("nan"), "–"),
        (0.0, "0.00"),
        (0.16, "0.16"),
        (0.006, "0.006"),
        (0.0001, "< 0.001"),
        (1.0, "1.00"),
    ],
)
def test_shares_are_printed_with_the_figures_they_need(value: float | None, expected: str) -> None:
    assert share(value) == expected


def test_words_for_bands_gains_and_times() -> None:
    assert band(0.05, 0.31) == "0.05–0.31"
    assert band(None, 0.3) == "no figure"
    assert gain(0.02) == "+0.02"
    assert gain(-0.2) == "−0.20"
    assert clock("2026-11-18T06:40:00-06:00") == "Wed 18 Nov, 06:40"
    assert clock(None) == "not known"
