"""Files of a check run: a table, a route in order, a map, and the printed sheets."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from xml.etree import ElementTree

import gpxpy
import pytest

from setwright.desk.run import run
from setwright.draw.limits import limit_strip
from setwright.draw.map import line_map
from setwright.sheets.run import run_gpx, run_sheet, run_table, write_run

EXAMPLE = Path(__file__).parents[2] / "docs" / "examples" / "run-creek.yaml"


@pytest.fixture(scope="module")
def found():
    return run(EXAMPLE, "1", days=2, iterations=60)


def test_the_table_has_a_row_a_visit(found):
    rows = list(csv.DictReader(io.StringIO(run_table(found))))
    assert [(row["date"], row["site"]) for row in rows] == [(d.date, s.site) for d in found.days for s in d.stops]
    assert all(row["limit"] and row["left_h"] and row["latest_start"] for row in rows)


def test_the_route_goes_in_order_over_the_landings(found):
    gpx = gpxpy.parse(run_gpx(found))
    assert len(gpx.routes) == 2 and {point.name for point in gpx.waypoints} >= {
        "base",
        "ramp",
        "gate",
        "4 Willow bend",
    }
    names = [point.name for point in gpx.routes[0].points]
    assert names[0] == names[-1] == "base"
    order = [f"{stop.number} {stop.name}" for stop in found.days[0].stops]
    assert next(name for name in names if name in order) == order[0]
    assert names.index("ramp") < min(names.index(one) for one in names if one in ("4 Willow bend", "5 Old lodge"))


def test_the_map_has_marks_words_scale_and_north_and_no_tiles(found):
    drawn = line_map(found, 700)
    ElementTree.fromstring(drawn)
    for words in ("1 Hay lane", "ramp", "gate", "start", ">N<", " mi<", "truck", "boat", "foot", "no rig named"):
        assert words in drawn, words
    assert "<image" not in drawn and "http" not in drawn.replace("http://www.w3.org/2000/svg", "")
    assert "h-water" in drawn, "the pond is hatched"
    assert drawn.count("dash") >= 2
    empty = found.model_copy(update={"spots": {}})
    assert "nothing to draw" in line_map(empty, 300)


def test_the_strip_of_time_to_limit():
    inside = limit_strip(150, (0, 100), 20, 80, (10, 90))
    beyond = limit_strip(150, (0, 100), 20, 180, None)
    assert "heavy" in inside and "<circle" in inside
    assert "heavy" not in beyond, "a limit beyond the strip has an open head"
    for drawn in (inside, beyond, limit_strip(150, (0, 100), 20, None, None)):
        ElementTree.fromstring(drawn)


def test_the_printed_sheets(found):
    made = run_sheet(found)
    assert made.startswith(b"%PDF-")


def test_all_files_or_none(found, tmp_path):
    written = write_run(found, tmp_path / "out")
    assert [path.name for path in written] == ["run.json", "run.csv", "run.gpx", "run.svg", "run.pdf"]
    assert all(path.stat().st_size > 400 for path in written)
