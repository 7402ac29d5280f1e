"""Forces at rest by vectors in space, drawn up apart from the model's own sums."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from trap_cases import CASES, COIL_CASE, LONG_CASE

from setwright.trap.holding import clamp, dog_force, lock_angle, set_torque
from setwright.trap.loop import limb_angle
from setwright.trap.model import Trap

Vector = NDArray[np.float64]
STEP = 1e-6


def _meeting(trap: Trap, limb: float) -> float:
    """Jaw angle at which the gripping face, turned about its hinge, stands at half the limb."""
    half = 0.5 * max(limb - float(trap.offset_gap), 0.0)

    def beyond(angle: float) -> float:
        turned = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
        return float(trap.hinge_half_distance + (turned @ np.array([trap.height, trap.face_offset]))[0] - half)

    low, high = 0.0, 0.75 * np.pi
    for _ in range(80):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if beyond(middle) > 0 else (low, middle)
    return 0.5 * (low + high)


def _edge(trap: Trap, angle: float) -> Vector:
    """Middle of the rounded edge of the loop from the hinge: across, along the bar, up."""
    alpha = angle - trap.bevel
    across = trap.eye_half_opening - trap.hinge_half_distance
    low, high = -0.2, 1.0
    for _ in range(80):
        middle = 0.5 * (low + high)
        # Distance of the leg's line over the middle of the edge; it falls as the loop rises.
        over = across * np.sin(alpha) - middle * np.cos(alpha) - trap.loop_clearance
        low, high = (middle, high) if over > 0 else (low, middle)
    up = 0.5 * (low + high)
    if trap.family == "long":
        return np.array([across, 0.0, up])
    rise = up - trap.pivot_height
    return np.array([across, np.sqrt(trap.lever_length**2 - rise**2), up])


def _forces(trap: Trap, angle: float, friction: float, side: float) -> tuple[float, float]:
    """Torque on one jaw and effort against the loop, each of one contact that is pressed with 1 N."""
    alpha = angle - trap.bevel
    leg = np.array([np.cos(alpha), 0.0, np.sin(alpha)])
    normal = np.array([-np.sin(alpha), 0.0, np.cos(alpha)])
    edge = _edge(trap, angle)
    # Path of the edge over the leg, as seen by one who turns with the leg.
    path = np.array([(_edge(trap, angle + way * STEP)) for way in (1.0, -1.0)])
    turned = [
        np.array([np.linalg.norm([p[0], p[2]]) ** 2 - trap.loop_clearance**2, p[1]]) for p in path
    ]  # fmt: skip
    along = (np.sqrt(turned[0][0]) - np.sqrt(turned[1][0])) / (2.0 * STEP)
    sideways = (path[0][1] - path[1][1]) / (2.0 * STEP)
    slip = side * (along * leg + np.array([0.0, sideways, 0.0]))
    on_jaw = normal + friction * slip / np.linalg.norm(slip)
    reach = np.sqrt(edge[0] ** 2 + edge[2] ** 2 - trap.loop_clearance**2)
    place = reach * leg - trap.bearing_offset * normal
    # Turning inward is against the second axis.
    torque = -float(np.cross(place, on_jaw)[1])
    rise = (path[0][2] - path[1][2]) / (2.0 * STEP)
    if trap.family == "long":
        return torque, float(on_jaw[2])
    swing = np.array([0.0, sideways, rise])
    per_angle = rise / np.sqrt(trap.lever_length**2 - (edge[2] - trap.pivot_height) ** 2)
    return torque, float(on_jaw @ swing) / per_angle


def _effort(trap: Trap, angle: float) -> float:
    up = float(_edge(trap, angle)[2])
    at = up if trap.family == "long" else np.arcsin((up - trap.pivot_height) / trap.lever_length)
    return float(trap.spring_rate * (trap.free_coordinate - at))


CASE = st.sampled_from(sorted(CASES))


@settings(max_examples=60, deadline=None)
@given(case=CASE, limb=st.floats(0.02, 0.06), friction=st.floats(0.0, 0.14), gap=st.sampled_from([0.0, 0.004]))
def test_clamp_is_the_balance_of_forces(case: str, limb: float, friction: float, gap: float) -> None:
    trap = replace(CASES[case], offset_gap=gap)
    angle = _meeting(trap, limb)
    assert float(limb_angle(trap, limb)) == pytest.approx(angle, abs=1e-9), "faces meet the limb"
    found = clamp(trap, friction=friction, limb=limb)
    for side, force in ((1.0, found.closing_force), (-1.0, found.opening_force)):
        torque, against = _forces(trap, angle, friction, side)
        if against <= 0:
            assert side < 0 and bool(found.locked), "no force of the bars turns the loop back"
            continue
        expected = trap.loops * _effort(trap, angle) * torque / (2.0 * against * trap.height)
        assert float(force) == pytest.approx(expected, rel=1e-5), f"force of the bars, side {side}"


@pytest.mark.parametrize("case", sorted(CASES))
def test_lock_begins_where_the_loop_cannot_be_pushed_down(case: str) -> None:
    trap = CASES[case]
    for friction in (0.1, 0.15, 0.2, 0.3):
        angle = float(lock_angle(trap, friction=friction) + trap.bevel)
        below, above = (_forces(trap, angle + way, friction, -1.0)[1] for way in (-0.002, 0.002))
        assert below > 0.0 > above, f"friction {friction}: what holds the loop up changes sign at the lock"


@settings(max_examples=30, deadline=None)
@given(case=CASE, friction=st.floats(0.0, 0.3))
def test_set_torque_and_dog_are_the_balance_of_forces(case: str, friction: float) -> None:
    trap = CASES[case]
    angle = float(trap.set_angle)
    torque, against = _forces(trap, angle, friction, 1.0)
    expected = trap.loops * _effort(trap, angle) * torque / (2.0 * against)
    assert float(set_torque(trap, friction=friction)) == pytest.approx(expected, rel=1e-5)
    plain, smooth = _forces(trap, angle, 0.0, 1.0)
    dog = trap.loops * _effort(trap, angle) * plain / smooth / trap.height
    assert float(dog_force(trap)) == pytest.approx(dog, rel=1e-5), "one jaw carries the whole loop"


def test_the_two_families_differ_by_the_sideways_slip_alone() -> None:
    for trap in (COIL_CASE, LONG_CASE):
        edge = _edge(trap, 1.2)
        assert (edge[1] > 0.0) == (trap.family == "coil")
