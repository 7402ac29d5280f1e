"""Positions are left out, or blurred by squares that tell no more however often and however large they are given."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.errors import BadInput
from setwright.desk.document import Plan
from setwright.desk.plan import plan as make
from setwright.desk.positions import DEGREE, blurred, size_of, square, without_places
from setwright.sheets.tables import line_geojson, line_gpx, run_csv
from setwright.sheets.write import contents

EXAMPLE = Path(__file__).resolve().parents[2] / "docs" / "examples" / "dogs-run.yaml"
LATITUDES, LONGITUDES = st.floats(-85, 85), st.floats(-179.9, 179.9)


@pytest.fixture(scope="module")
def plan() -> Plan:
    return make(EXAMPLE, draws=50)


def apart(one: tuple[float, float], other: tuple[float, float]) -> tuple[float, float]:
    """North and east between two places near one another, m."""
    middle = math.radians((one[0] + other[0]) / 2)
    return (one[0] - other[0]) * DEGREE, (one[1] - other[1]) * DEGREE * math.cos(middle)


@given(LATITUDES, LONGITUDES, st.sampled_from([1000.0, 5000.0, 10000.0]))
def test_the_middle_is_within_half_a_square(latitude: float, longitude: float, size: float) -> None:
    north, east = apart((latitude, longitude), square(latitude, longitude, size))
    assert abs(north) <= size / 2 + 2
    assert abs(east) <= 1.03 * size / 2 + 2, "a row of squares is a little wider at its end towards the equator"


@given(LATITUDES, LONGITUDES)
def test_squares_lie_within_one_another(latitude: float, longitude: float) -> None:
    small = square(latitude, longitude, 1000.0)
    for size in (5000.0, 10000.0):
        assert square(*small, size) == square(latitude, longitude, size), (
            "the larger tells nothing that the smaller does not"
        )
    assert square(*small, 1000.0) == small


@given(LATITUDES, LONGITUDES, st.floats(-400, 400), st.floats(-400, 400))
def test_all_of_a_square_looks_the_same(latitude: float, longitude: float, north: float, east: float) -> None:
    middle = square(latitude, longitude, 1000.0)
    moved = middle[0] + north / DEGREE, middle[1] + east / DEGREE / math.cos(math.radians(middle[0]))
    assert square(*moved, 1000.0) == middle


def test_a_size_of_ones_own_is_refused() -> None:
    assert [size_of(text) for text in ("1km", "5 km", "10KM")] == ["1 km", "5 km", "10 km"]
    for text in ("", "2km", "1", "0.1km", "999km"):
        with pytest.raises(BadInput, match="fixed squares"):
            size_of(text)


def test_a_blurred_plan_has_neither_base_nor_way(plan: Plan) -> None:
    found = blurred(plan, "1km")
    assert found.line.base is None and found.run.total_distance is None
    assert all(stop.distance is None and stop.bearing_deg is None for stop in found.run.stops)
    assert found == blurred(plan, "1km") and blurred(found, "5km").sets == blurred(plan, "5km").sets
    Plan.model_validate_json(found.model_dump_json(by_alias=True))
    text = line_geojson(found)
    assert '"somewhere_in": "1 km"' in text and "LineString" not in text and "base" not in text
    assert "somewhere_in" not in line_geojson(plan)
    assert "<rte" in line_gpx(plan) and "<rte" not in line_gpx(found)


def test_no_file_of_a_plan_without_places_has_a_number_of_them(plan: Plan) -> None:
    exact = {"36.10", "79.95", "79.94"}
    assert any(
        number in contents(plan)["plan.html"].decode() + contents(plan)["line.gpx"].decode() for number in exact
    )
    for name, content in contents(without_places(plan)).items():
        text = content.decode("utf-8", "replace")
        assert not [number for number in exact if number in text], name
        if name in ("line.gpx", "line.geojson"):
            assert "wpt" not in text and "Point" not in text
    assert run_csv(plan).count("\n") == run_csv(without_places(plan)).count("\n")
    assert "Positions are left out here" in contents(without_places(plan))["plan.html"].decode()


def test_what_was_blurred_is_the_old_plan_still(plan: Plan) -> None:
    before = plan.model_dump_json()
    blurred(plan, "10km")
    without_places(plan)
    assert plan.model_dump_json() == before
