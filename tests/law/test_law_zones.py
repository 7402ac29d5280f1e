"""Zones on the map: inside, outside, too near the border to tell, and files that hold no area."""

from __future__ import annotations

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from law.law_case import BREAKS, DOUBT, HEAD, MEETS, ON, facts
from setwright.basis.errors import BadInput
from setwright.law.answer import judge
from setwright.law.compose import compose
from setwright.law.tables import read_pack_file, shipped_pack
from setwright.law.zones import EARTH, Zone, border_distance, zone_facts

SQUARE = {"type": "Polygon", "coordinates": [[[10.0, 60.0], [10.2, 60.0], [10.2, 60.1], [10.0, 60.1], [10.0, 60.0]]]}
HOLE = [[10.05, 60.02], [10.15, 60.02], [10.15, 60.08], [10.05, 60.08], [10.05, 60.02]]


def zone(geometry, **more):
    return Zone.model_validate({"geometry": geometry, "text": "t", "citation": "c", **more})


def test_distance_to_a_border_is_that_on_the_globe():
    """North of the border by so many degrees: distance along the meridian, 111.195 km a degree on the mean sphere."""
    for degrees in (0.001, 0.01, -0.02):
        found = border_distance(zone(SQUARE).shape, 60.0 + degrees, 10.1)
        assert found == pytest.approx(math.radians(degrees) * EARTH, rel=1e-6)
    east = border_distance(zone(SQUARE).shape, 60.05, 10.199)
    assert east == pytest.approx(math.radians(0.001) * EARTH * math.cos(math.radians(60.05)), rel=1e-4)


def test_a_hole_is_outside_and_features_add_up():
    ring = {"type": "Polygon", "coordinates": [*SQUARE["coordinates"], HOLE]}
    assert border_distance(zone(ring).shape, 60.05, 10.1) < 0 < border_distance(zone(ring).shape, 60.01, 10.1)
    both = {
        "type": "FeatureCollection",
        "features": [
            {"type": "Feature", "properties": {}, "geometry": ring},
            {"type": "Feature", "properties": {}, "geometry": {"type": "Polygon", "coordinates": [HOLE]}},
        ],
    }
    assert border_distance(zone(both).shape, 60.05, 10.1) > 0


@given(st.floats(59.9, 60.2), st.floats(9.8, 10.4))
def test_a_place_near_the_border_cannot_be_told(latitude, longitude):
    found = zone_facts({"a": zone(SQUARE)}, latitude, longitude)["zone:a"].truth
    inside = 60.0 < latitude < 60.1 and 10.0 < longitude < 10.2
    assert found is None or found is inside
    wide = zone_facts({"a": zone(SQUARE, border="5 km")}, latitude, longitude)["zone:a"].truth
    assert wide is None or wide is found, "a vaguer border never settles more"


def test_a_zone_in_words_only_tells_nothing():
    assert zone_facts({"a": zone(None)}, 60.0, 10.0) == {}


@pytest.mark.parametrize(
    "geometry",
    [
        [], {}, {"type": "Point", "coordinates": [1, 2]}, {"type": "Polygon"}, {"type": "Polygon", "coordinates": 3},
        {"type": "Polygon", "coordinates": [[[0, 0], [1, 0], [1, 1]]]},
        {"type": "Polygon", "coordinates": [[[0, 0], [1, 0], [1, 1], [0, 1]]]},
        {"type": "Polygon", "coordinates": [[[0, 95], [1, 0], [1, 1], [0, 95]]]},
        {"type": "Polygon", "coordinates": [[["a", "b"], [1, 0], [1, 1], ["a", "b"]]]},
        {"type": "Feature", "geometry": None}, {"type": "FeatureCollection", "features": [3]},
    ],
)  # fmt: skip
def test_what_is_no_area_is_refused(geometry):
    with pytest.raises(ValidationError):
        zone(geometry)


def test_an_area_from_a_file_beside_the_pack(tmp_path):
    pack = tmp_path / "p.yaml"
    rule = "rules:\n  - {id: R, kind: forbid, topic: other, applies: {zone: [z]}, text: t, citation: c, "
    rule += "confidence: seen}\n"
    pack.write_text(HEAD + "zones: {z: {file: z.geojson, text: t, citation: c}}\n" + rule, encoding="utf-8")
    with pytest.raises(BadInput, match="no such file"):
        read_pack_file(pack)
    for content, word in (("{", "JSON"), ('{"type": "Point"}', "polygons")):
        (tmp_path / "z.geojson").write_text(content, encoding="utf-8")
        with pytest.raises(BadInput, match="holds no area") as caught:
            read_pack_file(pack)
        assert word in str(caught.value)
    (tmp_path / "z.geojson").write_text(json.dumps(SQUARE), encoding="utf-8")
    read = read_pack_file(pack)
    for place, expected in (((60.05, 10.1), BREAKS), ((61.0, 10.1), None), ((60.0, 10.1), DOUBT)):
        found = compose([("p", read)], facts(), on=ON, species="fox", place=place)
        answers = [one.finding.answer for one in found if one.finding.rule == "R"]
        assert answers == ([] if expected is None else [expected])


def test_a_pack_of_another_place_neither_allows_nor_forbids():
    pack = shipped_pack("sable")
    here, there = facts(**{"zone:territory": True}), facts(**{"zone:territory": False})
    known = judge(
        pack, here.with_facts(**facts(drag=True, licence_class="second-class").values), on=ON, species="mink"
    )
    assert {f.answer for f in known} >= {MEETS, BREAKS}
    far = judge(
        pack, there.with_facts(**facts(drag=True, licence_class="second-class").values), on=ON, species="mink"
    )
    assert {f.answer for f in far} == {DOUBT}
    assert all("outside the area" in f.reason.template or f.answer is DOUBT for f in far)
    unknown = judge(pack, facts(drag=False), on=ON, species="mink")
    assert MEETS not in {f.answer for f in unknown}, "where the set lies is not known"


RING = SQUARE["coordinates"][0]


def of_ring(ring):
    return zone({"type": "Polygon", "coordinates": [ring]})


@given(st.lists(st.lists(st.floats(-500.0, 9000.0), max_size=2), min_size=4, max_size=4))
def test_heights_change_no_area(heights):
    high = [[*position, *more] for position, more in zip(RING, [*heights, heights[0]], strict=True)]
    assert of_ring(high).shape.equals(zone(SQUARE).shape)


@pytest.mark.parametrize("position", [[10.0], [], "10", ["east", 60.0], [None, 60.0], [[10.0], [60.0]]])
def test_what_is_no_position_is_refused_in_words(position):
    with pytest.raises(ValidationError, match=r"a position is \[longitude, latitude\] in degrees"):
        of_ring([position, *RING[1:4], position])
