"""The network of ways: landings, times there and back, straight lines that say so, and what cannot be reached."""

from __future__ import annotations

import json

import numpy as np
import pytest

from setwright.basis.errors import BadInput
from setwright.desk.plan import read_job
from setwright.line.background import background
from setwright.line.run import WINDING, Place, distance
from setwright.line.ways import CHANGE, network
from setwright.line.ways_book import Ways

SPEEDS = {"truck": 11.2, "boat": 2.2, "foot": 1.1}


def place(key, access="truck"):
    return Place(key, 0.0, 0.0, access, 60.0, None, True)


def ways(*legs, landings=(), **more):
    named = [dict(zip(("from", "to", "mode", "time", "back"), leg, strict=False)) for leg in legs]
    return Ways.model_validate({"legs": named, "landings": list(landings), **more})


RAMP = {"id": "ramp", "offers": ["boat"], "change": "10 min"}


def table(net):
    return {(a, b): net.seconds[i, j] / 60 for i, a in enumerate(net.keys) for j, b in enumerate(net.keys)}


def test_by_truck_to_a_landing_and_on_by_boat_against_the_current():
    net = network(
        ways(
            ("base", "ramp", "truck", "8 min"), ("base", "barn", "truck", "3 min"),
            ("barn", "ramp", "truck", "4 min"),
            ("ramp", "dam", "boat", "6 min", "9 min"), ("dam", "bay", "boat", "5 min", "7 min"), landings=[RAMP],
        ),
        [place("barn"), place("dam", "boat"), place("bay", "boat")], {}, {"base": None}, SPEEDS,
    )  # fmt: skip
    found = table(net)
    assert found["base", "dam"] == 7 + 10 + 6, "by the barn it is shorter; then the boat is launched"
    assert found["dam", "base"] == 9 + 10 + 7, "back against the current"
    assert found["dam", "bay"] == 5 and found["bay", "dam"] == 7, "from set to set the boat stays in the water"
    assert found["bay", "barn"] == 7 + 9 + 10 + 4
    assert [(s.start, s.end, s.mode) for s in net.steps["base", "bay"]] == [
        ("base", "ramp", "truck"), ("ramp", "bay", "boat"),
    ]  # fmt: skip
    assert not net.assumed.any()


def test_a_landing_that_is_reached_by_boat():
    island = {"id": "island", "access": "boat", "landing": "ramp", "offers": ["foot"]}
    net = network(
        ways(
            ("base", "ramp", "truck", "8 min"), ("ramp", "dam", "boat", "6 min"), ("ramp", "island", "boat", "4 min"),
            ("dam", "island", "boat", "3 min"), ("island", "knoll", "foot", "5 min"), landings=[RAMP, island],
        ),
        [place("dam", "boat"), place("knoll", "foot")], {}, {"base": None}, SPEEDS,
    )  # fmt: skip
    found = table(net)
    assert found["dam", "knoll"] == 3 + CHANGE / 60 + 5, "over the water straight to the island"
    assert found["base", "knoll"] == 8 + 10 + 4 + CHANGE / 60 + 5


def test_crossings_that_are_no_stops_and_one_way_roads():
    legs = [
        {"from": "base", "to": "bridge", "mode": "truck", "time": "2 min"},
        {"from": "bridge", "to": "a", "mode": "truck", "time": "3 min"},
        {"from": "bridge", "to": "b", "mode": "truck", "time": "4 min", "one_way": True},
        {"from": "b", "to": "base", "mode": "truck", "time": "9 min"},
    ]
    net = network(Ways.model_validate({"legs": legs}), [place("a"), place("b")], {}, {"base": None}, SPEEDS)
    found = table(net)
    assert found["a", "b"] == 7 and found["b", "a"] == 14, "back only over the start"


def test_straight_lines_stand_in_and_say_so():
    spots = {"base": (36.0, -80.0), "a": (36.0, -79.99), "b": (36.01, -79.99)}
    net = network(ways(("base", "a", "truck", "4 min")), [place("a"), place("b")], {}, spots, SPEEDS)
    i, j = net.keys.index("a"), net.keys.index("b")
    assert net.seconds[i, j] == pytest.approx(distance(spots["a"], spots["b"]) * WINDING / SPEEDS["truck"])
    assert net.assumed[i, j] and not net.assumed[0, i]
    bare = network(Ways(), [place("a"), place("b", "foot")], {}, spots, SPEEDS)
    assert bare.assumed.sum() == 6 and np.all(np.diag(bare.seconds) == 0)
    assert bare.steps["a", "b"][0].mode == "foot", "the slower means counts"


@pytest.mark.parametrize(
    ("made", "places", "spots", "words"),
    [
        (ways(("base", "a", "truck", "4 min")), [place("a"), place("b")], {}, "b cannot be reached"),
        (ways(("base", "a", "truck", "4 min")), [place("a"), place("b", "boat")], {}, "no landing offers"),
        (ways(landings=[{"id": "ramp", "offers": ["foot"]}]), [place("b", "boat")], {}, "no landing offers"),
        (ways(("base", "a", "truck", "4 min"), ("a", "moon", "truck", "4 min")), [place("a")], {}, "nothing else"),
        (
            Ways.model_validate(
                {"legs": [{"from": "base", "to": "a", "mode": "truck", "time": "3 min", "one_way": True}]}
            ),
            [place("a")], {}, "cannot be left again",
        ),
        (
            ways(landings=[{"id": "x", "access": "boat", "landing": "y", "offers": ["boat"]},
                           {"id": "y", "access": "boat", "landing": "x", "offers": ["boat"]}]),
            [place("a", "boat")], {}, "in a ring",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_reached_is_named(made, places, spots, words):
    with pytest.raises(BadInput, match=words) as caught:
        network(made, places, {}, {"base": None, **spots}, SPEEDS)
    assert caught.value.field


@pytest.mark.parametrize(
    "bad", [{"time": "0 min"}, {"to": "base"}, {"one_way": True, "back": "3 min"}, {"time": "3"}]
)
def test_a_leg_that_cannot_be(bad):
    with pytest.raises(ValueError, match=r".+"):
        Ways.model_validate({"legs": [{"from": "base", "to": "a", "mode": "truck", "time": "3 min", **bad}]})


BOOK = """\
schema: setwright/line-book/1
line: {name: X, date: 2026-12-20, base: {latitude: 36, longitude: -80}}
outfit: {traps: [{id: T-1, pattern: coil-1}]%s}
sites:
  - {id: a, name: A, medium: land, target: red_fox, access: boat, position: {latitude: 36.01, longitude: -80}}
ways:
%s
"""


@pytest.mark.parametrize(
    ("boat", "part", "words"),
    [
        ("", "  landings: [{id: ramp, offers: [boat], position: {latitude: 36, longitude: -80}}]", "has none"),
        (", boat: {plate: 400 lb}", "  landings: [{id: base, offers: [boat]}]", "bears the name of the start"),
        (", boat: {plate: 400 lb}", "  legs: [{from: base, to: a, mode: truck, time: 3 min}]", "no landing offers"),
        (", boat: {plate: 400 lb}", "  work: [{days: [mon], from: '12:00', to: '08:00'}]", "comes after"),
        (", boat: {plate: 0.5}", "  nobody: []", "unit is missing"),
    ],
)  # fmt: skip
def test_a_book_whose_ways_cannot_be(tmp_path, boat, part, words):
    path = tmp_path / "book.yaml"
    path.write_text(BOOK % (boat, part), encoding="utf-8")
    with pytest.raises(BadInput, match=words) as caught:
        read_job(path, draws=4)
    assert caught.value.line is not None and caught.value.file == str(path)


def test_water_and_tracks_behind_the_map(tmp_path):
    def written(content, name="w.geojson"):
        (tmp_path / name).write_text(content, encoding="utf-8")
        return background(Ways(water=name), tmp_path)

    ring = {"type": "Polygon", "coordinates": [[[0, 0], [1, 0], [1, 1], [0, 0]]]}
    line = {"type": "MultiLineString", "coordinates": [[[0, 0], [1, 1]], [[2, 2], [3, 3]]]}
    shapes = written(
        json.dumps(
            {"type": "FeatureCollection", "features": [{"type": "Feature", "geometry": g} for g in (ring, line)]}
        )
    )
    assert [(one.kind, one.closed, len(one.positions)) for one in shapes] == [
        ("water", True, 4), ("water", False, 2), ("water", False, 2),
    ]  # fmt: skip
    for content in ("{", "[]", '{"type": "Wish"}', '{"type": "LineString", "coordinates": [[0, 99], [0, 0]]}',
                    '{"type": "Point", "coordinates": [0, 0]}', '{"type": "FeatureCollection"}'):  # fmt: skip
        with pytest.raises(BadInput):
            written(content)
    with pytest.raises(BadInput, match="no such map"):
        background(Ways(tracks="../../etc/passwd"), tmp_path)
