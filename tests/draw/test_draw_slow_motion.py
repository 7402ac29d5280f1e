"""The moving drawing of a trap: its parts stand where the trap stands, at every step of its course."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import pairwise

import pytest

from draw.trap_examples import SHAPES
from draw.trap_examples import frames as closing
from setwright.draw.slow_motion import WIDTH, longest, room_of, slow_motion, steps_of
from setwright.draw.trap_shape import Frames, TrapShape, to_world


def frames(shape: TrapShape) -> Frames:
    return closing(shape, 0.01834)


def group_of(text: str) -> ET.Element:
    return next(node for node in ET.fromstring(text).iter() if node.get("class") == "moving")


def parts_of(text: str, name: str) -> list[ET.Element]:
    return [node for node in group_of(text).iter() if node.get("data-part") == name]


def placed(hinge: ET.Element, point: tuple[float, float], turned: float) -> tuple[float, float]:
    """Where the browser puts a point of a jaw: the jaw is turned, then mirrored, then moved to its hinge."""
    turn = math.radians(turned)
    x, y = (
        point[0] * math.cos(turn) - point[1] * math.sin(turn),
        point[0] * math.sin(turn) + point[1] * math.cos(turn),
    )
    place = hinge.get("transform")
    moved = re.match(r"translate\(([-\d.]+) ([-\d.]+)\)", place)
    side = -1.0 if "scale(-1 1)" in place else 1.0
    return float(moved[1]) + side * x, float(moved[2]) + y


@pytest.mark.parametrize("name", SHAPES)
def test_jaws_stand_where_the_trap_has_them_at_every_step(name: str) -> None:
    shape: TrapShape = SHAPES[name]
    told = frames(shape)
    drawn = slow_motion(shape, told, name)
    group = group_of(drawn)
    _, course = steps_of(told)
    room = room_of(shape, told)
    per_metre = 0.5 * (WIDTH - 8.0) / room.half
    middle = float(group.get("data-middle"))
    for part, side, place in (("loose", -1.0, 0), ("dogged", 1.0, 1)):
        hinge = next(node for node in group.iter() if any(one.get("data-part") == part for one in node))
        turns = [float(word) for word in group.get(f"data-{part}").split()]
        assert len(turns) == len(course)
        for step in (0, len(course) // 2, len(course) - 1):
            along = shape.height
            wanted = to_world(shape, course[step][place], side, [(along, 0.0)])[0]
            found = placed(hinge, (along * per_metre, 0.0), -turns[step])
            assert found[0] == pytest.approx(0.5 * WIDTH + wanted[0] * per_metre, abs=0.15)
            assert found[1] == pytest.approx(middle - wanted[1] * per_metre, abs=0.15)
    lifts = [float(word) for word in group.get("data-loop").split()]
    assert lifts == pytest.approx([-one[2] * per_metre for one in course], abs=0.006)


@pytest.mark.parametrize("name", SHAPES)
def test_the_course_lies_on_the_instants_that_were_worked_out(name: str) -> None:
    told = frames(SHAPES[name])
    times, course = steps_of(told)
    assert times[0] == 0.0 and times[-1] == told.times[-1]
    assert all(abs(b - a - 0.0001) < 1e-12 for a, b in pairwise(times[:-1]))
    assert 0.0 < times[-1] - times[-2] <= 0.0001 + 1e-9
    assert course[0] == pytest.approx((*told.angles[0], told.loop_height[0]))
    assert course[-1] == pytest.approx((*told.angles[-1], told.loop_height[-1]))
    for time, angles in zip(told.times, told.angles, strict=True):
        near = min(range(len(times)), key=lambda at: abs(times[at] - time))
        assert course[near][0] == pytest.approx(angles[0], abs=0.03)


def test_two_traps_share_a_scale() -> None:
    small, large = SHAPES["coil"], replace(SHAPES["coil"], spread=0.2, height=0.098)
    told = [frames(small), frames(large)]
    room = room_of(small, told[0]).with_(room_of(large, told[1]))
    heights = {
        ET.fromstring(slow_motion(s, f, "one", room)).get("height") for s, f in zip((small, large), told, strict=True)
    }
    assert len(heights) == 1
    own = slow_motion(small, told[0], "one")
    shared = slow_motion(small, told[0], "one", room)
    last = [float(group_of(text).get("data-loop").split()[-1]) for text in (own, shared)]
    assert abs(last[1]) < abs(last[0]), "the smaller trap is drawn smaller beside a larger one"
    assert longest(told) == max(one.times[-1] for one in told)


def test_a_trap_that_does_not_close_is_said() -> None:
    shape = SHAPES["coil"]
    drawn = slow_motion(shape, None, "bent")
    assert "does not close" in drawn and "data-loose" not in drawn
    still = replace(frames(shape), times=(0.0,), angles=((0.1, 0.1),), loop_height=(0.0,))
    assert "does not close" in slow_motion(shape, still, "bent")


def test_words_of_the_caption_are_escaped_and_the_pan_is_there_before_the_release() -> None:
    drawn = slow_motion(SHAPES["coil"], frames(SHAPES["coil"]), '<b>"')
    assert "<b>" not in drawn
    assert len(list(parts_of(drawn, "trigger")[0])) >= 3 and parts_of(drawn, "said")[0].text == "set"
    assert len(parts_of(drawn, "levers")) == 1 and len(parts_of(drawn, "loop")) == 2
    assert not parts_of(slow_motion(SHAPES["long"], frames(SHAPES["long"]), "long"), "levers")
