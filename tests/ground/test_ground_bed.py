"""Outline and volume of beds, digging through frost, muck over clay, boards, the four-point test."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.errors import OutOfRange
from setwright.ground import bearing, bedding, tables
from setwright.ground.steady import four_points

GRAVITY = 9.80665
FEW = settings(max_examples=40, deadline=None)
LONG = {"base": 0.137, "across": 0.15, "spring": 0.1365, "spring_width": 0.025}
CORNERS = np.array([(0.06, 0.06), (0.06, -0.06), (-0.06, 0.06), (-0.06, -0.06)])


def test_a_long_spring_asks_for_twice_the_bed_and_bent_for_still_more() -> None:
    coil = bedding.trap_outline(0.18, 0.15, 0.0, springs=0)
    straight = bedding.trap_outline(**LONG)
    bent = bedding.trap_outline(**LONG, bend=np.radians(45.0))
    one_side = bedding.trap_outline(**LONG, bend=np.radians(45.0), same_side=True)
    assert float(straight.box / coil.box) == pytest.approx(2.0, abs=0.05)
    assert float(straight.box) < float(bent.box)
    assert float(one_side.width) < float(bent.width), "swung to one side the springs share the width"
    assert float(bent.length) < float(straight.length)
    assert float(straight.close) < 0.65 * float(straight.box), "a trowel follows the springs"


@given(
    st.floats(0.05, 0.2),
    st.floats(0.05, 0.25),
    st.floats(0.0, 0.25),
    st.floats(0.0, 1.57),
    st.sampled_from((0, 1, 2)),
)
@FEW
def test_an_outline_is_no_smaller_than_its_parts(
    base: float, across: float, spring: float, bend: float, springs: int
) -> None:
    found = bedding.trap_outline(base, across, spring, 0.025, bend, springs=springs)
    assert found.length >= base and found.width >= across
    assert (base + 0.05) * (across + 0.05) - 1e-12 <= found.close <= found.box + 1e-12
    if springs:
        fewer = bedding.trap_outline(base, across, spring, 0.025, bend, springs=springs - 1)
        assert found.box >= fewer.box - 1e-12


@pytest.mark.parametrize(("springs", "bend", "field"), [(3, 0.0, "springs"), (2, 2.0, "bend"), (2, -0.1, "bend")])
def test_an_outline_that_cannot_be_is_refused(springs: int, bend: float, field: str) -> None:
    with pytest.raises(OutOfRange) as caught:
        bedding.trap_outline(0.1, 0.1, 0.1, bend=bend, springs=springs)
    assert caught.value.field == field


@given(st.floats(0.0, 0.1), st.floats(1.0, 20.0))
def test_digging_through_frost(frozen: float, pick: float) -> None:
    rate = tables.digging().number("firm", "rate")
    free = float(bedding.digging_time(2.5e-3, rate, 4.0))
    found = float(bedding.digging_time_frozen(2.5e-3, 0.055, frozen, rate, 4.0, pick))
    assert free * (1 - 1e-12) <= found <= pick * free * (1 + 1e-12)
    through = float(bedding.digging_time_frozen(2.5e-3, 0.055, 0.055, rate, 4.0, pick))
    half = float(bedding.digging_time_frozen(2.5e-3, 0.055, 0.0275, rate, 4.0, pick))
    assert through == pytest.approx(pick * free) and half == pytest.approx(0.5 * (free + through))


def test_a_gallon_of_cover_serves_two_or_three_sets() -> None:
    """Two to three sets a gallon of dry dirt (common practice) lie between a cover and a whole bed filled with it."""
    coil = bedding.trap_outline(0.18, 0.15, 0.0, springs=0)
    over = float(bedding.cover_layer(coil.box, 0.009))
    filled = float(bedding.cover_volume(coil.box * 0.055, 0.7))
    gallon = 3.785e-3
    assert gallon / filled < 2.0 and gallon / over > 3.0
    assert over == pytest.approx(0.41e-3, rel=0.02)


@given(st.floats(0.02, 0.5), st.floats(500.0, 5e3), st.floats(20.0, 400.0))
@FEW
def test_muck_over_clay_carries_at_the_clay(thick: float, muck: float, load: float) -> None:
    args = (load, 70e-4, 0.02, 0.3)
    alone = float(bearing.sinkage_undrained(*args, muck, 0.0, 1.2e3))
    firm = float(bearing.sinkage_layered(*args, muck, thick, 200e3, 1.2e3))
    assert firm == pytest.approx(min(alone, thick), abs=1e-9), "it stands on the clay at the latest"
    soft = float(bearing.sinkage_layered(*args, muck, thick, 1.0, 1.2e3))
    assert soft == alone if alone <= thick else math.isinf(soft)


def test_a_board_carries_a_beaver_where_a_mesh_helps_less() -> None:
    load = (0.7 + 12.5) * GRAVITY
    board, mesh = (float(bearing.board_area(0.25, 0.25, share, 70e-4)) for share in (1.0, 0.2))
    assert board == pytest.approx(0.0625) and mesh == pytest.approx(0.0125)
    assert float(bearing.board_area(0.05, 0.05, 1.0, 70e-4)) == pytest.approx(70e-4), "never less than the frame"
    sunk = [
        float(bearing.sinkage_undrained(load, area, width, 0.25, 1.5e3, 0.0, 1.2e3))
        for area, width in ((70e-4, 0.02), (mesh, 0.02), (board, 0.25))
    ]
    assert sunk[0] > sunk[1] > sunk[2] == 0.0


def test_flat_on_four_points_nothing_moves() -> None:
    four = [(0.07, 0.07, 0.0), (0.07, -0.07, 0.0), (-0.07, 0.07, 0.0), (-0.07, -0.07, 0.0)]
    found = four_points(four, CORNERS)
    assert found.steady and found.tilt == pytest.approx(0.0) and np.all(found.drop == 0.0)


@given(st.floats(0.001, 0.02))
@FEW
def test_one_high_stone_makes_it_rock(high: float) -> None:
    four = [(0.07, 0.07, high), (0.07, -0.07, 0.0), (-0.07, 0.07, 0.0), (-0.07, -0.07, 0.0)]
    found = four_points(four, CORNERS, allowed=0.0005)
    # It lies on the high stone, the one across and one of the two beside; pressed at the other it turns about the
    # diagonal, and that corner goes down by as much as the stone stands proud, in the ratio of the two squares.
    assert float(np.max(found.drop)) == pytest.approx(high * 0.06 / 0.07, rel=1e-6)
    assert np.sum(found.drop > 1e-9) == 1
    assert not found.steady and found.tilt > 0.0


@given(st.floats(0.0, 0.05), st.floats(-0.3, 0.3), st.floats(-0.3, 0.3), st.floats(0.0, 6.28))
@FEW
def test_height_slope_and_turn_do_not_make_it_rock(height: float, along: float, across: float, turn: float) -> None:
    base = np.array([(0.07, 0.07), (0.07, -0.07), (-0.07, 0.07), (-0.07, -0.07)])
    rotate = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    place, pressed = base @ rotate, CORNERS @ rotate
    supports = np.column_stack([place, height + place @ (along, across)])
    found = four_points(supports, pressed)
    assert found.steady
    assert found.tilt == pytest.approx(math.atan(math.hypot(along, across)), abs=1e-6)


def test_a_corner_over_nothing_falls_and_a_middle_over_nothing_is_no_bed() -> None:
    three = [(0.07, 0.0, 0.0), (-0.07, 0.07, 0.0), (-0.07, -0.07, 0.0)]
    found = four_points(three, CORNERS)
    assert list(np.isinf(found.drop)) == [True, True, False, False] and not found.steady
    aside = four_points([(0.05, 0.0, 0.0), (0.07, 0.03, 0.0), (0.07, -0.03, 0.0)], CORNERS)
    assert math.isnan(aside.tilt) and aside.rests == () and not aside.steady
    with pytest.raises(OutOfRange) as caught:
        four_points(three[:2], CORNERS)
    assert caught.value.field == "supports"
