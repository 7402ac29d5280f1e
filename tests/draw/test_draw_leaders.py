"""Every leader of a drawing ends on the part that it names, in plain sight."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations

import pytest

from draw.leaders import astray, moved, read
from draw.test_draw_trap import boxes, view
from draw.trap_examples import SHAPES, postures
from setwright.draw.pictures import PICTURES
from setwright.draw.plate import Given
from setwright.draw.trap_end import end_view
from setwright.draw.trap_frame import part_names
from setwright.draw.trap_plan import plan_view
from setwright.draw.trap_shape import TrapShape
from setwright.sheets.pictures import given


@pytest.mark.parametrize("width", [358.0, 440.0, 900.0])
@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_leaders_of_a_trap_end_on_its_parts(shape: TrapShape, width: float) -> None:
    for text in (plan_view(shape, width), end_view(shape, postures(shape), width, 560.0)):
        assert astray(text) == []
    _, leaders = read(plan_view(shape, width))
    keys = {key for key, _, _ in part_names(shape)} - {"pan"}
    assert keys <= {leader.names for leader in leaders}, "every part has a leader"


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_a_leader_that_is_moved_is_found_out(shape: TrapShape) -> None:
    """Off the whole drawing every leader is wrong; a hand's breadth aside most are."""
    text = plan_view(shape, 700.0)
    assert moved(text, 900.0)
    assert all(astray(changed) for changed in moved(text, 900.0))


@pytest.fixture(scope="module")
def filled() -> Given:
    return given()


@pytest.mark.parametrize("width", [350.0, 440.0, 640.0, 900.0])
@pytest.mark.parametrize("name", PICTURES)
def test_every_name_on_a_picture_points_to_its_part(name: str, width: float, filled: Given) -> None:
    text = PICTURES[name].draw(replace(filled, width=width))
    assert astray(text) == []


@pytest.mark.parametrize("tallest", [250.0, 140.0])
@pytest.mark.parametrize("name", PICTURES)
def test_names_point_to_their_parts_where_there_is_little_height(name: str, tallest: float, filled: Given) -> None:
    for width in (358.0, 440.0, 531.0):
        assert astray(PICTURES[name].draw(replace(filled, width=width, tallest=tallest))) == []


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_without_its_measures_has_blanks_and_no_figures(name: str) -> None:
    """What is not known is a blank to write on; the drawing stays whole and its leaders stay on their parts."""
    bare = given()
    text = PICTURES[name].draw(replace(bare, width=440.0, measures={}))
    assert astray(text) == []
    shown = " ".join(words for words, _ in boxes(text))
    assert "nan" not in shown
    if name.startswith("set-") or name in ("anchors", "slide-sum"):
        assert "____" in shown


WITH_NAMES = (
    "anchors", "bed", "coil-parts", "hand-place", "jaws", "long-parts", "notch", "opening", "set-blind",
    "set-castor-mound",
    "set-crossover", "set-dirt-hole", "set-feed-bed", "set-flat", "set-pocket", "set-slide", "slide-sum", "swivels",
    "trigger",
)  # fmt: skip


@pytest.mark.parametrize("name", WITH_NAMES)
def test_pictures_have_names_and_a_moved_leader_is_found_out(name: str, filled: Given) -> None:
    text = PICTURES[name].draw(replace(filled, width=640.0))
    changed = moved(text, 700.0)
    assert len(changed) >= 1
    for one in changed:
        assert astray(one), "a leader off the drawing must be found"
    # A shift by a tenth of the drawing takes most leaders off their part, too.
    near = [bool(astray(one)) for one in moved(text, 64.0)]
    assert len(near) < 3 or sum(near) >= 0.5 * len(near)


@pytest.mark.parametrize("width", [350.0, 440.0, 700.0])
@pytest.mark.parametrize("name", PICTURES)
def test_words_of_a_picture_stand_inside_it_and_clear_of_each_other(name: str, width: float, filled: Given) -> None:
    text = PICTURES[name].draw(replace(filled, width=width))
    wide, high = view(text)
    for words, (left, top, right, bottom) in boxes(text):
        assert left > -1.0 and top > -1.5 and right < wide + 1.0 and bottom < high + 1.0, f"{words} is cut"
    for (one, a), (two, b) in combinations(boxes(text), 2):
        apart = a[2] <= b[0] + 1 or b[2] <= a[0] + 1 or a[3] <= b[1] + 1 or b[3] <= a[1] + 1
        assert apart, f"{one} lies on {two}"


def test_set_types_are_to_the_scale_of_their_bars(filled: Given) -> None:
    """The lip of the dirt-hole lies as far from the middle of the pan as the table has it."""
    text = PICTURES["set-dirt-hole"].draw(replace(filled, width=640.0))
    drawn, _ = read(text)
    hole = next(one.area for one in drawn if one.parts == ("hole",))
    pan = next(one.area for one in drawn if one.parts == ("pan",))
    bar = [float(wide) for wide in re.findall(r'<rect [^>]*width="([\d.]+)" height="6"', text)]
    inches = [words for words, _ in boxes(text) if re.fullmatch(r"[\d.]+ in", words)][-1]
    per_metre = sum(bar) / (float(inches.split()[0]) * 0.0254)
    away = (pan.centroid.x - hole.bounds[2]) / per_metre
    assert away == pytest.approx(filled.measure("hole_distance"), rel=0.02)
