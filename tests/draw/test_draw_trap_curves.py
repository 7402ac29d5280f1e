"""Curves of a trap: on their axes, before hatched and after in line, locked where nothing opens, unknown said."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from draw.test_draw_trap import boxes, paths, view
from setwright.draw.trap_axes import Axis, Curve, Kind, Plot, ticks
from setwright.draw.trap_before_after import before_after
from setwright.draw.trap_curves import Grip, angle_curve, clamp_curve, push_curves

WIDTHS = (358.0, 620.0)
LIMBS = tuple(0.002 + 0.001 * k for k in range(30))


def rising(end: float, kind: Kind = "now", name: str = "as it lies", spread: float = 0.15) -> Curve:
    """An invented closing with a band in time."""
    line = tuple((end * k / 40.0, 0.05 + 1.52 * (k / 40.0) ** 2) for k in range(41))
    early, late = (tuple((t * (1.0 + sign * spread), a) for t, a in line) for sign in (-1.0, 1.0))
    return Curve(name, line, early, late, kind)


def grip(kind: Kind = "now", name: str = "as it lies", lock: float = 0.008, force: float = 60.0) -> Grip:
    """An invented clamp interval that locks below a thickness."""
    closing = tuple(force * (1.0 - 10.0 * limb) for limb in LIMBS)
    opening = tuple(math.inf if limb < lock else force * (1.0 + 0.02 / (limb - lock + 0.004)) for limb in LIMBS)
    return Grip(name, LIMBS, closing, opening, kind)


def pushes(scale: float = 1.0, name: str = "two coils", kind: Kind = "now") -> tuple[Curve, Curve]:
    angles = [0.05 + 0.03 * k for k in range(46)]
    push = tuple((a, scale * (140.0 - 20.0 * a)) for a in angles)
    leverage = tuple((a, 0.01 / math.cos(0.95 * a) ** 2) for a in angles)
    return Curve(name, push, kind=kind), Curve(name, leverage, kind=kind)


def charts(width: float) -> dict[str, str]:
    one, two = pushes(), pushes(2.0, "four coils", "twin")
    return {
        "angle": angle_curve(
            [rising(0.019, "before", "before the readings", 0.3), rising(0.018, name="after the readings")],
            width,
            (0.0162, 1.28),
            (0.018, 0.0153, 0.0207),
        ),
        "twin": angle_curve([rising(0.018), rising(0.0127, "twin", "two more coils")], width, (0.0162, 1.28)),
        "push": push_curves([one[0], two[0]], [one[1]], width),
        "grip": clamp_curve([grip("before", "before the readings", 0.006, 50.0), grip()], width, 0.0035),
        "grip twin": clamp_curve([grip(), grip("twin", "four coils", force=120.0)], width),
    }


@pytest.mark.parametrize("width", WIDTHS)
def test_charts_are_well_formed_and_their_words_stand_clear(width: float) -> None:
    for name, text in charts(width).items():
        root = ET.fromstring(text)
        assert [node.tag.split("}")[1] for node in root][:2] == ["title", "desc"]
        wide, high = view(text)
        for words, (left, top, right, bottom) in boxes(text):
            assert left > -1 and top > -1 and right < wide + 1 and bottom < high + 1, f"{name}: {words} is cut"
        for (one, a), (two, b) in combinations(boxes(text), 2):
            apart = a[2] <= b[0] + 1 or b[2] <= a[0] + 1 or a[3] <= b[1] + 1 or b[3] <= a[1] + 1
            assert apart, f"{name}: {one} lies on {two}"


@pytest.mark.parametrize("width", WIDTHS)
def test_every_curve_is_named(width: float) -> None:
    words = {words for words, _ in boxes(charts(width)["twin"])}
    assert {"as it lies", "two more coils"} <= words
    if width < 400.0:
        assert {"A", "B"} <= words, "letters at the lines, names beneath"


def test_before_is_hatched_and_after_is_in_line() -> None:
    text = charts(620.0)["angle"]
    assert len(re.findall(r'class="band"', text)) == 1, "only the band before the readings is hatched"
    assert len(paths(text, "edge")) == 2, "the band after them is two lines"
    alone = angle_curve([rising(0.018)], 620.0)
    assert len(re.findall(r'class="band"', alone)) == 1 and not paths(alone, "edge"), "alone, its band is hatched"


@pytest.mark.parametrize("width", WIDTHS)
def test_separation_lies_on_its_axes(width: float) -> None:
    text = charts(width)["angle"]
    mark = re.search(r'apart" cx="([\d.]+)" cy="([\d.]+)"', text)
    assert mark is not None
    level = {words: 0.5 * (top + bottom) for words, (_, top, _, bottom) in boxes(text) if words.endswith("°")}
    per_degree = (level["0°"] - level["90°"]) / 90.0
    assert (level["0°"] - float(mark[2])) / per_degree == pytest.approx(math.degrees(1.28), abs=2.5)
    along = {words: 0.5 * (left + right) for words, (left, _, right, _) in boxes(text) if words in ("0", "10")}
    assert (float(mark[1]) - along["0"]) / (along["10"] - along["0"]) == pytest.approx(1.62, abs=0.02)


def test_it_locks_only_where_nothing_opens_it() -> None:
    text = clamp_curve([grip()], 620.0)
    strokes = re.search(r'class="g hair lock" d="([^"]+)"', text)
    assert strokes is not None
    along = {words: 0.5 * (left + right) for words, (left, _, right, _) in boxes(text) if words in ("0", "0.4")}
    per_inch = (along["0.4"] - along["0"]) / 0.4
    xs = [float(x) for x in re.findall(r"M([\d.]+)", strokes[1])]
    assert (max(xs) - along["0"]) / per_inch * 0.0254 == pytest.approx(0.007, abs=0.0004), "the last locked thickness"
    free = Grip("free", LIMBS, grip().closing, tuple(2.0 * force for force in grip().closing))
    assert "locks" not in {words for words, _ in boxes(clamp_curve([free], 620.0))}


def test_gap_is_marked_as_the_thickness_that_slides() -> None:
    words = {words for words, _ in boxes(charts(620.0)["grip"])}
    assert any("slides" in word for word in words)
    assert not any("slides" in word for word, _ in boxes(clamp_curve([grip()], 620.0)))


def test_what_is_not_known_is_said() -> None:
    nothing = Curve("none", ((math.nan, 0.0),))
    assert "does not close" in angle_curve([nothing], 620.0)
    assert "nothing is held" in clamp_curve([Grip("none", LIMBS, (math.nan,) * 30, (math.nan,) * 30)], 620.0)
    assert "not known" in push_curves([], [], 620.0)
    holed = Curve("holed", ((0.0, 0.1), (0.005, math.nan), (0.01, 0.8), (0.012, 1.2)))
    assert "nan" not in angle_curve([holed], 620.0)


@given(st.floats(0.1, 1e4), st.integers(2, 9))
def test_ticks_are_round_and_inside(end: float, most: int) -> None:
    axis = Axis("x", 1.0, 0.0, end)
    found = ticks(axis, most)
    assert 1 <= len(found) <= most + 1
    assert all(0.0 <= value <= end * (1 + 1e-9) for value in found)


@given(st.floats(-3.0, 3.0), st.floats(-3.0, 3.0))
def test_a_point_lands_in_proportion(x: float, y: float) -> None:
    plot = Plot(Axis("x", 1.0, -3.0, 3.0), Axis("y", 1.0, -3.0, 3.0), 10.0, 20.0, 110.0, 220.0)
    px, py = plot.at((x, y))
    assert px == pytest.approx(10.0 + 100.0 * (x + 3.0) / 6.0)
    assert py == pytest.approx(220.0 - 200.0 * (y + 3.0) / 6.0)


def test_a_line_is_cut_at_the_top_of_its_field() -> None:
    plot = Plot(Axis("x", 1.0, 0.0, 2.0), Axis("y", 1.0, 0.0, 1.0), 0.0, 0.0, 200.0, 100.0)
    runs = plot.path([(0.0, 0.0), (1.0, 2.0), (2.0, 0.0)])
    assert [[(round(x), round(y)) for x, y in run] for run in runs] == [[(0, 100), (50, 0)], [(150, 0), (200, 100)]]


@given(st.lists(st.floats(-50.0, 50.0), min_size=6, max_size=6))
def test_bands_before_and_after_lie_in_proportion(values: list[float]) -> None:
    low, median, high = sorted(values[:3])
    other_low, other_median, other_high = sorted(values[3:])
    text = before_after("a figure", (median, low, high), (other_median, other_low, other_high), 208.0, (-50.0, 50.0))
    found = re.search(r'median" d="M([\d.]+) 5L', text)
    band = re.search(r'class="before"[^>]* d="M([\d.]+) 12L([\d.]+) 12', text)
    line = re.search(r'after" d="M([\d.]+) 20H([\d.]+)', text)
    assert found is not None and band is not None and line is not None
    for place, value in ((found[1], other_median), (band[1], low), (band[2], high), (line[1], other_low)):
        assert float(place) == pytest.approx(4.0 + 2.0 * (value + 50.0), abs=0.06)


def test_a_figure_that_is_not_known_has_no_band() -> None:
    assert "Not known" in before_after("a figure", (math.nan,) * 3, (1.0, 0.5, 1.5), 208.0)
    assert "50 % as wide" in before_after("a figure", (1.0, 0.0, 2.0), (1.0, 0.5, 1.5), 208.0)
