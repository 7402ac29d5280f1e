"""Drawings: well-formed, one scale both ways, labels apart, nothing of the user's words read as markup."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.desk.document import Figure, TripCurve
from setwright.draw import marks, svg
from setwright.draw.curve import curve, curve_keys, nights
from setwright.draw.ruler import ruler, top_of
from setwright.draw.section import section, section_keys

STEP = {
    "kind": "water",
    "bed": [(0.0, 0.5), (1.0, 0.5), (1.0, -0.5), (3.0, -0.5)],
    "levels": {"low": -0.1, "high": 0.1},
    "points": {"stake": (0.5, 0.6), "stake_tip": (0.5, 0.0), "stop": (2.0, -0.45), "anchor": (2.8, -0.5)},
    "lengths": {"reach": 0.2, "required_clear": 0.1, "spare": 0.05},
    "words": {"ground": "sandy loam"},
}
LAND = {
    "kind": "land",
    "lengths": {
        "bed_length": 0.25,
        "bed_depth": 0.06,
        "cover": 0.01,
        "stake_length": 0.6,
        "stake_angle": 0.3,
        "hole_distance": 0.2,
        "hole_depth": 0.15,
        "crust": 0.004,
    },
    "words": {"trap": "<b>&'\"", "anchor": "two stakes"},
}


def made(text: str) -> ET.Element:
    return ET.fromstring(text)


def bed_path(text: str) -> list[tuple[float, float]]:
    found = re.search(r'class="g heavy (?:s-e )?bed" d="M([^"]+)"', text)
    assert found is not None, "the drawing has its bed line"
    pairs = [pair.split() for pair in found.group(1).split("L")]
    return [(float(x), float(y)) for x, y in pairs]


@pytest.mark.parametrize("width", [358.0, 440.0, 917.0])
def test_a_step_of_one_metre_is_as_long_as_high(width: float) -> None:
    path = bed_path(section(Figure.model_validate(STEP), width))
    # Left end, then the given points: (0, .5), (1, .5), (1, -.5).
    along = path[2][0] - path[1][0]
    down = path[3][1] - path[2][1]
    assert along > 20.0, "a metre can be seen"
    assert along == pytest.approx(down, abs=0.21), "one scale both ways, to the rounding of the drawing"


@pytest.mark.parametrize("width", [358.0, 917.0])
def test_a_bed_on_land_is_to_the_scale_of_the_hole_distance(width: float) -> None:
    path = bed_path(section(Figure.model_validate(LAND), width))
    lip, edge, floor = path[4], path[5], path[6]
    per_metre = (edge[0] - lip[0]) / (0.2 - 0.125)
    assert (floor[1] - edge[1]) / per_metre == pytest.approx(0.06, rel=0.02), "bed depth at the scale of the distance"


def test_the_reach_circle_is_to_scale() -> None:
    text = section(Figure.model_validate(STEP), 917.0)
    path = bed_path(text)
    per_metre = path[2][0] - path[1][0]
    found = re.search(r"A([\d.]+) ([\d.]+) 0 0 1", text)
    assert found is not None
    assert found.group(1) == found.group(2), "a circle"
    assert float(found.group(1)) / per_metre == pytest.approx(0.2, rel=0.01), "reach at the scale of the bed"


@pytest.mark.parametrize("figure", [STEP, LAND, {"kind": "land"}, {"kind": "water"}])
@pytest.mark.parametrize("width", [358.0, 917.0])
def test_sections_are_well_formed_and_speak(figure: dict[str, object], width: float) -> None:
    root = made(section(Figure.model_validate(figure), width))
    assert root.attrib["role"] == "img"
    assert root.attrib["aria-label"], "a screen reader hears what is drawn"
    made(svg.standalone(section(Figure.model_validate(figure), width)))


def test_words_in_a_drawing_are_never_markup() -> None:
    root = made(section(Figure.model_validate(LAND), 917.0))
    assert any(node.text == "<b>&'\"" for node in root.iter()), "the name is drawn as written"
    assert not any(node.tag.endswith("}b") for node in root.iter())


@pytest.mark.parametrize("figure", [STEP, LAND])
def test_letters_of_the_narrow_cut_are_all_explained(figure: dict[str, object]) -> None:
    part = Figure.model_validate(figure)
    drawn = {node.text for node in made(section(part, 358.0)).iter() if node.text and len(node.text) == 1}
    keys = section_keys(part)
    assert {letter for letter, _ in keys} == drawn - set("0123456789"), "each letter is listed, each listed is drawn"


def test_a_short_depth_is_said_in_words() -> None:
    short = {**STEP, "lengths": {**dict(STEP["lengths"]), "spare": -0.3}}
    assert "short" in section(Figure.model_validate(short), 917.0)


def test_curve_has_every_name_and_the_users_force() -> None:
    series = [
        {
            "species": name,
            "name": name,
            "roles": roles,
            "median": [0.9, 0.1],
            "low": [0.8, 0.0],
            "high": [1.0, 0.2],
        }
        for name, roles in (("one", ["target"]), ("two & <three>", ["protected"]))
    ]
    part = TripCurve.model_validate({"force": [0.0, 20.0], "series": series, "yours": (10.0, 8.0, 12.0)})
    words = [node.text for node in made(curve(part, 430.0)).iter() if node.text]
    assert {"one", "two & <three>", "yours: 2.25"} <= set(words), "names at the ends, 10 N as 2.25 lbf"
    narrow = [node.text for node in made(curve(part, 358.0)).iter() if node.text]
    assert [letter for letter, _ in curve_keys(part)] == ["A", "B"]
    assert {"A", "B"} <= set(narrow)
    at = re.search(r'<circle class="f-i" cx="([\d.]+)" cy="([\d.]+)"', curve(part, 430.0))
    assert at is not None
    full, none = (float(y) for y in re.findall(r's-r" d="M40 ([\d.]+)L', curve(part, 430.0))[::-4])
    assert float(at.group(2)) == pytest.approx((full + none) / 2, abs=0.11), "half way in force is half way in chance"


def pan(**more: object) -> TripCurve:
    def line(name: str, roles: list[str], start: float, end: float) -> dict[str, object]:
        near = {"median": [start, end], "low": [0.8 * start, 0.8 * end], "high": [1.2 * start, 1.2 * end]}
        return {"species": name, "name": name, "roles": roles, **near}

    return TripCurve.model_validate(
        {
            "force": [0.0, 20.0],
            "series": [line("fox (red)", ["target"], 0.8, 0.2), line("cat & <dog>", ["pet", "target"], 0.8, 0.8)],
            "catch": line("fox (red)", ["target"], 8.0, 2.0),
            "others": [line("cat & <dog>", ["pet", "target"], 3.0, 3.0)],
            "yours": (10.0, 8.0, 12.0),
            "advised": (4.0, 8.0),
            **more,
        }
    )


@pytest.mark.parametrize("width", [350.0, 440.0])
@pytest.mark.parametrize("draw", [curve, nights])
def test_curves_of_the_pan_speak_and_keep_within(draw: Callable[..., str], width: float) -> None:
    root = made(draw(pan(), width))
    assert root.attrib["aria-label"].endswith("against pan trip force")
    told = next(node.text for node in root.iter() if node.tag.endswith("desc"))
    assert told is not None and "fox" in told and "cat & <dog>" in told, "what it shows, for whoever hears it"
    texts = [node for node in root.iter() if node.tag.endswith("text")]
    words = {node.text for node in texts}
    assert {"A", "B"} <= words if width < 400.0 else {"fox", "cat & <dog>"} <= words
    for node in texts:
        assert -0.1 <= float(node.attrib["x"]) <= width
    heavy = [node for node in root.iter() if node.attrib.get("class") == "g heavy"]
    assert len(heavy) == 1, "one target, whatever else may be a target elsewhere"
    assert len([node for node in root.iter() if node.attrib.get("fill", "").startswith("url")]) == (
        2 if draw is curve else 1
    ), "bands of all feet, of the target's nights alone"


def test_a_hundred_nights_are_to_scale() -> None:
    text = nights(pan(), 440.0)
    found = re.search(r'class="g heavy" d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"', text)
    assert found is not None
    left, start, right, end = (float(value) for value in found.groups())
    levels = [float(y) for y in re.findall(r's-r" d="M40 ([\d.]+)L', text)]
    per_one = (levels[0] - levels[-1]) / 12.0
    assert levels[0] - start == pytest.approx(8.0 * per_one, abs=0.11), "eight of twelve at the left"
    assert levels[0] - end == pytest.approx(2.0 * per_one, abs=0.11), "two at the right"
    assert left == 40.0 and right > 200.0
    bar = re.search(r'stroke-width="6" d="M([\d.]+) [\d.]+L([\d.]+)', text)
    assert bar is not None
    low, high = (float(value) for value in bar.groups())
    assert low + 1.5 == pytest.approx(40.0 + (right - 40.0) * 0.2, abs=0.11), "the advised span from 4 of 20 N"
    assert high - 1.5 == pytest.approx(40.0 + (right - 40.0) * 0.4, abs=0.11)


def test_the_pan_on_paper_is_black_on_white() -> None:
    text = svg.standalone(nights(pan(), 440.0, letters=True))
    made(text)
    colours = set(re.findall(r"#[0-9a-fA-F]{3,6}\b", text))
    assert colours <= {"#000", "#fff", "#777"}, "no ink but black, white and the grey of the hairs"


def test_no_line_no_fault() -> None:
    bare = pan(series=[], catch=None, others=[], advised=None, yours=(None, None, None))
    for draw in (curve, nights):
        root = made(draw(bare, 350.0))
        assert any(node.text == "No line is drawn." for node in root.iter())


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_ruler_puts_the_median_at_its_share(low: float, median: float, high: float) -> None:
    low, median, high = sorted((low, median, high))
    text = ruler(median, (low, high), 1.0, 128.0)
    made(text.replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1))
    found = re.search(r'heavy" d="M([\d.]+) 1V18', text)
    assert found is not None
    assert float(found.group(1)) == pytest.approx(4.0 + 120.0 * median, abs=0.051), "linear from 0 to 1"


def test_ruler_without_a_figure_is_only_a_hair() -> None:
    assert "heavy" not in ruler(None, (None, None))
    assert "rect" not in ruler(None, (None, None))


@given(st.floats(0.0, 1.0))
def test_scale_of_a_column_holds_its_highest(highest: float) -> None:
    assert top_of(highest) >= highest


@given(st.lists(st.floats(0.0, 200.0), max_size=8))
def test_spread_labels_stand_apart_and_keep_their_order(wanted: list[float]) -> None:
    placed = svg.spread(wanted, 18.0, 0.0, 400.0)
    ordered = sorted(placed)
    assert all(b - a >= 18.0 - 1e-9 for a, b in pairwise(ordered)), "no two labels touch"
    for first in range(len(wanted)):
        for second in range(len(wanted)):
            if wanted[first] < wanted[second]:
                assert placed[first] < placed[second], "the higher label stays the higher"


@given(st.lists(st.tuples(st.floats(0.0, 800.0), st.floats(20.0, 200.0)), min_size=1, max_size=8))
def test_no_leader_crosses_a_label(labels: list[tuple[float, float]]) -> None:
    labels.sort()
    starts, lengths = [x for x, _ in labels], [long for _, long in labels]
    rows = svg.stairs(starts, lengths)
    for j in range(len(rows)):
        for k in range(j):
            covers = starts[k] + lengths[k] > starts[j]
            assert not (covers and rows[k] >= rows[j]), "an earlier name that reaches over a leader stands above it"


@given(st.lists(st.floats(-2.0, 2.0), min_size=2, max_size=12))
def test_water_lies_below_its_level_and_above_its_bed(heights: list[float]) -> None:
    bed = [(float(x), z) for x, z in enumerate(heights)]
    for stretch in svg.below(bed, 0.0):
        assert all(z <= 1e-12 for _, z in stretch), "no water above its level"
        assert math.isclose(stretch[0][1], 0.0, abs_tol=1e-12)
        assert math.isclose(stretch[-1][1], 0.0, abs_tol=1e-12)


def test_every_word_has_its_own_mark() -> None:
    assert len(set(marks.SHAPES.values())) == 7
    made(marks.symbols().replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1))
    for word, name in {**marks.STANDING, "meets": "meets", "breaks": "breaks"}.items():
        assert f"#{name}" in (marks.standing(word) if word in marks.STANDING else marks.answer(word))
        made(marks.alone(name))
    assert marks.answer("cannot tell") != marks.standing("cannot tell")
    assert "&lt;b&gt;" in marks.standing("thin", "<b>")
