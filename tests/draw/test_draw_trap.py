"""Plan, end views and strip of a trap: to scale, named, inside their frame, no label on another."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from draw.trap_examples import COIL, LIMB, LONG, SHAPES, eye_height, frames, postures
from setwright.draw import svg
from setwright.draw.strip import strip, strip_note, strip_times
from setwright.draw.trap_end import end_view
from setwright.draw.trap_frame import part_names, trap_keys
from setwright.draw.trap_plan import plan_view
from setwright.draw.trap_shape import Posture, TrapShape

WIDTHS = (206.0, 358.0, 700.0, 917.0)
Box = tuple[float, float, float, float]


@cache
def _advances() -> dict[int, float]:
    """Advance of every letter of the condensed sans, as a share of its size."""
    from fontTools.ttLib import TTFont

    from setwright.sheets import fonts

    folder, name = fonts.FACES["Archivo Narrow"]
    from importlib.resources import files

    with (files(folder) / "files" / name).open("rb") as stream:
        font = TTFont(stream)
        metrics, size = font["hmtx"], font["head"].unitsPerEm
        return {code: metrics[glyph][0] / size for code, glyph in font.getBestCmap().items()}


def words_of(node: ET.Element) -> str:
    return node.text or ""


def boxes(text: str) -> list[tuple[str, Box]]:
    """Every text of a drawing with the box that it takes up, by the advances of its typeface."""
    found = []
    for node in ET.fromstring(text).iter():
        if not node.tag.endswith("}text"):
            continue
        kind = (node.get("class") or "").split()
        size = 13.5 if "t-s" in kind else 15.0
        long = (
            sum(_advances().get(ord(letter), 0.5) for letter in words_of(node))
            * size
            * (1.04 if "t-b" in kind else 1)
        )
        turned = re.match(r"translate\(([-\d.]+) ([-\d.]+)\) rotate\(90\)", node.get("transform") or "")
        x, y = (float(turned[1]), float(turned[2])) if turned else (float(node.get("x", 0)), float(node.get("y", 0)))
        start = -0.5 * long if "mid" in kind else -long if "end" in kind else 0.0
        if turned:
            found.append((words_of(node), (x - 0.2 * size, y + start, x + 0.75 * size, y + start + long)))
        else:
            found.append((words_of(node), (x + start, y - 0.72 * size, x + start + long, y + 0.2 * size)))
    return found


def view(text: str) -> tuple[float, float]:
    _, _, wide, high = (float(part) for part in ET.fromstring(text).attrib["viewBox"].split())
    return wide, high


def paths(text: str, name: str) -> list[list[svg.Point]]:
    """Points of every path whose class holds the word."""
    found = []
    for node in ET.fromstring(text).iter():
        if node.tag.endswith("}path") and name in (node.get("class") or "").split():
            for part in re.findall(r"M([^MZ]+)", node.get("d") or ""):
                pairs = [pair.split() for pair in part.split("L")]
                if all(len(pair) == 2 and re.fullmatch(r"-?[\d.]+", pair[1]) for pair in pairs):
                    found.append([(float(x), float(y)) for x, y in pairs])
    return found


def per_metre(text: str) -> float:
    """Pixels to a metre, by the scale bar alone."""
    bar = [node for node in ET.fromstring(text).iter() if node.tag.endswith("}rect") and node.get("height") == "6"]
    last = next(words for words, _ in boxes(text) if words.endswith(" in") and re.fullmatch(r"[\d.]+ in", words))
    return sum(float(node.get("width", 0)) for node in bar) / (float(last.split()[0]) * 0.0254)


def drawings(shape: TrapShape, width: float) -> dict[str, str]:
    return {
        "plan": plan_view(shape, width),
        "end": end_view(shape, postures(shape), width, 560.0),
        "strip": strip(shape, frames(shape, 0.0183), width),
    }


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_drawings_are_well_formed_and_speak(shape: TrapShape, width: float) -> None:
    for name, text in drawings(shape, width).items():
        root = ET.fromstring(text)
        assert root.attrib["role"] == "img"
        heads = [next(node.text or "" for node in root if node.tag.endswith(tag)) for tag in ("}title", "}desc")]
        assert all(len(words) > 15 for words in heads), f"{name} says what it is and what it shows"
        ET.fromstring(svg.standalone(text))


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_words_stand_inside_the_drawing_and_clear_of_each_other(shape: TrapShape, width: float) -> None:
    for name, text in drawings(shape, width).items():
        wide, high = view(text)
        assert wide == width
        for words, (left, top, right, bottom) in boxes(text):
            assert left > -1.0 and top > -1.0 and right < wide + 1.0 and bottom < high + 1.0, (
                f"{name}: {words} is cut"
            )
        for (one, a), (two, b) in combinations(boxes(text), 2):
            apart = a[2] <= b[0] + 1 or b[2] <= a[0] + 1 or a[3] <= b[1] + 1 or b[3] <= a[1] + 1
            assert apart, f"{name}: {one} lies on {two}"


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_lines_stay_inside_the_drawing(shape: TrapShape, width: float) -> None:
    for name, text in drawings(shape, width).items():
        wide, high = view(text)
        for part in ("inkw", "thin", "heavy", "hair", "coil"):
            for path in paths(text, part):
                for x, y in path:
                    assert -0.5 <= x <= wide + 0.5 and -0.5 <= y <= high + 0.5, f"{name}: a line leaves the drawing"


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_plan_is_to_the_scale_of_its_bar(shape: TrapShape, width: float) -> None:
    text = plan_view(shape, width)
    scale = per_metre(text)
    rough = 0.3 / scale
    jaws = paths(text, "jaw")
    heights = [y for path in jaws for _, y in path]
    flat = math.cos(shape.set_angle)
    across = 2.0 * (shape.hinge_half_distance + (shape.height + shape.face_width) * flat)
    assert (max(heights) - min(heights)) / scale == pytest.approx(across, abs=rough, rel=4e-3), (
        "jaws outside to outside"
    )
    along = max(x for path in jaws for x, _ in path) - min(x for path in jaws for x, _ in path)
    assert along / scale == pytest.approx(shape.bar + shape.face_width, abs=rough, rel=4e-3)
    spread = re.search(r'class="g thin spread" d="M[\d.]+ ([\d.]+)V([\d.]+)', text)
    assert spread is not None
    inside = 2.0 * (shape.hinge_half_distance + shape.height * flat)
    assert (float(spread[2]) - float(spread[1])) / scale == pytest.approx(inside, abs=rough, rel=4e-3)
    assert inside == pytest.approx(shape.spread, rel=3e-3), "the example's height and spread belong together"
    pan = re.search(r'class="[^"]*pan" cx="[\d.]+" cy="[\d.]+" r="([\d.]+)"', text)
    assert pan is not None
    assert float(pan[1]) / scale == pytest.approx(shape.pan, abs=rough, rel=4e-3)


@pytest.mark.parametrize("shape", [COIL, SHAPES["four"]], ids=["coil", "four"])
def test_lever_lies_at_its_length_from_the_pivot(shape: TrapShape) -> None:
    text = plan_view(shape, 917.0)
    scale = per_metre(text)
    middle = re.search(r'class="[^"]*pan" cx="([\d.]+)"', text)
    assert middle is not None
    tips = [min(x for x, _ in path) for path in paths(text, "lever")]
    reach = shape.lever_reach or (shape.lever_length or 0.0) + 2.0 * shape.edge_radius
    assert (float(middle[1]) - min(tips)) / scale == pytest.approx(shape.pivot + reach, rel=3e-3)


def test_long_spring_reaches_as_far_as_its_arm() -> None:
    text = plan_view(LONG, 917.0)
    ends = [x for path in paths(text, "leaf") for x, _ in path]
    whole = 2.0 * (LONG.end + (LONG.leaf_arm or 0.0) + (LONG.leaf_bend or 0.0))
    assert (max(ends) - min(ends)) / per_metre(text) == pytest.approx(whole, rel=3e-3)


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_every_part_is_named_wide_and_narrow(shape: TrapShape) -> None:
    wide = {words for words, _ in boxes(plan_view(shape, 917.0))}
    assert {name for _, name, _ in part_names(shape)} <= wide
    narrow = [words for words, _ in boxes(plan_view(shape, 358.0)) if re.fullmatch("[A-Z]", words)]
    assert sorted(narrow) == [letter for letter, _ in trap_keys(shape)], "each letter once, each listed"
    end = {words for words, _ in boxes(end_view(shape, postures(shape), 358.0)) if re.fullmatch("[A-Z]", words)}
    assert end and end <= set(narrow), "the same letters in both views"


def test_parts_that_are_not_there_are_not_named() -> None:
    named = {key for key, _, _ in part_names(COIL)}
    assert not named & {"lamination", "pad", "guard", "offset", "second", "leaf"}
    assert "swivel" not in {key for key, _, _ in part_names(replace(COIL, swivel_place=None))}
    assert "dog" not in {key for key, _, _ in part_names(SHAPES["turned"])}
    assert 'dash lamination"' in plan_view(replace(COIL, lamination_width=0.006), 700.0), "side not read: dashed"


def _distance(point: svg.Point, path: list[svg.Point]) -> float:
    """From a point to a closed outline."""
    best = math.inf
    for (x1, y1), (x2, y2) in zip(path, [*path[1:], path[0]], strict=True):
        long = math.hypot(x2 - x1, y2 - y1)
        share = 0.0 if long == 0 else ((point[0] - x1) * (x2 - x1) + (point[1] - y1) * (y2 - y1)) / long**2
        share = min(max(share, 0.0), 1.0)
        best = min(best, math.hypot(point[0] - x1 - share * (x2 - x1), point[1] - y1 - share * (y2 - y1)))
    return best


def _eyes(text: str) -> list[svg.Point]:
    found = re.findall(r'class="f-i eye" cx="([\d.]+)" cy="([\d.]+)"', text)
    return [(float(x), float(y)) for x, y in found]


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
@pytest.mark.parametrize("angle", [0.06, 0.4, 0.9, 1.25])
def test_eye_bears_on_both_legs(shape: TrapShape, angle: float) -> None:
    text = end_view(shape, [Posture("here", (angle, angle), eye_height(shape, angle))], 400.0)
    scale = per_metre(text)
    jaws = paths(text, "jaw")
    assert len(jaws) == 2
    for eye, jaw in zip(_eyes(text), jaws, strict=True):
        gap = _distance(eye, jaw) / scale - shape.edge_radius
        assert abs(gap) < 0.0003, "the edge touches the leg, to the rounding of the drawing"


def test_eye_that_lags_stands_off_the_legs() -> None:
    text = end_view(COIL, [Posture("late", (1.4, 1.4), eye_height(COIL, 1.1))], 400.0)
    for eye, jaw in zip(_eyes(text), paths(text, "jaw"), strict=True):
        assert _distance(eye, jaw) / per_metre(text) > COIL.edge_radius + 0.001


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_limb_and_gap_are_to_scale(shape: TrapShape) -> None:
    states = postures(shape)
    text = end_view(shape, [states[3]], 300.0)
    limb = re.search(r'limb" cx="([\d.]+)" cy="[\d.]+" rx="([\d.]+)"', text)
    assert limb is not None
    assert 2.0 * float(limb[2]) / per_metre(text) == pytest.approx(LIMB, abs=0.0003)
    for path in paths(text, "pad") or paths(text, "jaw"):
        top = min(y for _, y in path)
        nearest = min(abs(x - float(limb[1])) for x, y in path if y < top + 0.14 * (max(y for _, y in path) - top))
        assert nearest / per_metre(text) == pytest.approx(0.5 * LIMB, abs=0.0025), "the faces stand at the limb"
    if shape.offset_gap:
        closed = end_view(shape, [states[2]], 300.0)
        left, right = paths(closed, "jaw")
        middle = 0.5 * (max(x for x, _ in left) + min(x for x, _ in right))
        top = min(y for _, y in left)
        faces = [abs(x - middle) for path in (left, right) for x, y in path if y < top + 3.0]
        assert 2.0 * min(faces) / per_metre(closed) == pytest.approx(shape.offset_gap, abs=0.0006)


def test_states_that_are_not_known_are_left_out_and_said() -> None:
    states = [*postures(COIL)[:2], Posture("closed, empty", (math.nan, math.nan), math.nan)]
    text = end_view(COIL, states, 700.0)
    assert "Not known, so not drawn: closed, empty" in text
    assert len(paths(text, "jaw")) == 4
    assert "not known" in end_view(COIL, states[2:], 700.0)
    assert "nan" not in text


def test_no_plan_without_spread() -> None:
    assert "not known" in plan_view(replace(COIL, spread=math.nan), 700.0)


@given(st.floats(0.0005, 0.06))
def test_strip_has_a_frame_each_two_milliseconds_and_the_end(end: float) -> None:
    times = strip_times(frames(COIL, end))
    assert len(times) == math.ceil(end / 0.002 - 1e-9) + 1
    assert times[0] == 0.0 and times[-1] == pytest.approx(end)
    assert all(b - a <= 0.002 + 1e-12 for a, b in pairwise(times))


@settings(max_examples=15, deadline=None)
@given(st.floats(0.004, 0.04), st.sampled_from(WIDTHS))
def test_strip_draws_every_frame_once(end: float, width: float) -> None:
    text = strip(COIL, frames(COIL, end), width)
    assert len(paths(text, "jaw")) == 2 * len(strip_times(frames(COIL, end)))
    angles = [float(words[:-1]) for words, _ in boxes(text) if words.endswith("°")]
    assert angles == sorted(angles), "the jaws only rise"


def test_strip_wraps_and_keeps_one_scale() -> None:
    closing = frames(COIL, 0.0183)
    narrow = strip(COIL, closing, 358.0)
    rows = {round(top) for words, (_, top, _, _) in boxes(narrow) if words.endswith(" ms")}
    assert len(rows) == 3
    assert view(strip(COIL, closing, 917.0))[1] < view(narrow)[1]
    sizes = []
    for path in paths(narrow, "jaw"):
        sizes.append(max(math.dist(a, b) for a, b in combinations(path, 2)))
    assert max(sizes) - min(sizes) < 0.5, "every jaw is as long as every other"


@pytest.mark.parametrize(("end", "width", "least", "rows"), [(0.0282, 440.0, 27.0, 1), (0.05, 440.0, 27.0, 2)])
def test_a_tight_strip_keeps_its_words_apart(end: float, width: float, least: float, rows: int) -> None:
    text = strip(COIL, frames(COIL, end), width, narrowest=least)
    told = [box for words, box in boxes(text) if not words.endswith("°")]
    assert len({round(top) for _, top, _, _ in told}) == rows
    for a, b in combinations(told, 2):
        assert a[2] <= b[0] + 0.5 or b[2] <= a[0] + 0.5 or a[3] <= b[1] or b[3] <= a[1], "times do not touch"


def test_strip_marks_where_the_jaws_run_ahead() -> None:
    closing = frames(COIL, 0.0183)
    late = [words for words, _ in boxes(strip(COIL, closing, 917.0)) if words == "eye behind"]
    first = next(time for time, free in zip(closing.times, closing.separated, strict=True) if free)
    assert len(late) == sum(time > first for time in strip_times(closing))
    assert f"from {first * 1000:.1f}" in strip_note(closing)


def test_spent_contact_tells_that_the_jaws_run_ahead() -> None:
    closing = frames(COIL, 0.0183)
    force = tuple(0.0 if free else 5.0 for free in closing.separated)
    other = replace(closing, separated=(), contact_force=force, lever_angle=(1.3,) * len(closing.times))
    assert strip_note(other) == strip_note(closing)
    assert "levers then stand at 74°" in strip(COIL, other, 700.0)
    assert "ahead" not in strip_note(replace(closing, separated=()))


def test_jaws_that_rise_apart_are_both_told() -> None:
    closing = frames(COIL, 0.0183)
    late = replace(closing, angles=tuple((loose, 0.7 * dogged) for loose, dogged in closing.angles))
    told = [words for words, _ in boxes(strip(COIL, late, 917.0)) if words.endswith("°")]
    assert told[-1] == "90°, 63°"
    compact = [words for words, _ in boxes(strip(COIL, late, 440.0, narrowest=36.0)) if words.endswith("°")]
    assert compact[-1] == "63°"


def test_a_trap_that_does_not_close_has_no_strip() -> None:
    closing = replace(frames(COIL, 0.0183), times=(0.0, math.nan))
    assert "does not close" in strip(COIL, closing, 700.0)
