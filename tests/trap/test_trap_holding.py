"""The hold: a loop on the edge of sliding, lock, gap, slack, trade facts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from trap_cases import CASES, COIL_CASE, LONG_CASE

from setwright.trap import tables
from setwright.trap.build import build
from setwright.trap.closing import (
    CLOSES,
    LEVER_PAST_VERTICAL,
    LIMB_TOO_THICK,
    NO_CLEARANCE,
    NOT_KNOWN,
    SPRING_SPENT,
    close,
)
from setwright.trap.holding import (
    bevel_from_empty_lever,
    clamp,
    dog_force,
    face_pressure,
    lock_angle,
    set_torque,
    slack_opening,
)
from setwright.trap.loop import limb_angle, loop_at, resistance
from setwright.trap.model import Trap

KEYS = tables.patterns().keys()
CASE = st.sampled_from(sorted(CASES))
FRICTION = st.floats(0.0, 0.3)


def _of(key: str, **changes: object) -> Trap:
    return build(replace(tables.dimensions(key), **changes))


@settings(max_examples=40, deadline=None)
@given(case=CASE, limb=st.floats(0.016, 0.06))
def test_without_friction_the_clamp_does_the_work_of_the_springs(case: str, limb: float) -> None:
    """Virtual work: two bars that yield by dx take as much as the springs give."""
    trap, step = CASES[case], 1e-6
    found = clamp(trap, friction=0.0, limb=limb)
    angle = float(limb_angle(trap, limb))
    low, high = (float(loop_at(trap, angle + side * step).coordinate) for side in (-1.0, 1.0))
    effort = trap.spring_rate * (trap.free_coordinate - 0.5 * (low + high))
    work = trap.loops * effort * (high - low) / (2.0 * step)
    assert float(found.closing_force) == pytest.approx(work / (2.0 * trap.height), rel=1e-6)
    assert float(found.opening_force) == pytest.approx(float(found.closing_force), rel=1e-12)


@settings(max_examples=40, deadline=None)
@given(case=CASE, limb=st.floats(0.022, 0.06), friction=st.floats(0.02, 0.15), side=st.sampled_from([-1.0, 1.0]))
def test_a_loop_on_the_edge_of_sliding(case: str, limb: float, friction: float, side: float) -> None:
    """Virtual work with friction: jaws give, springs take, both contacts of each loop rub along their path."""
    trap, step = CASES[case], 1e-6
    found = clamp(trap, friction=friction, limb=limb)
    force = float(found.closing_force if side > 0 else found.opening_force)
    assert np.isfinite(force)
    angle = float(limb_angle(trap, limb))

    def eye(theta: float) -> tuple[float, float, float]:
        """Loop coordinate, and where the centre of the eye's edge stands along the leg and along the hinge."""
        loop = loop_at(trap, theta)
        swing = trap.lever_length * float(loop.lever_cosine) if trap.family == "coil" else 0.0
        return float(loop.coordinate), float(loop.reach), swing

    q, along, across = (np.subtract(eye(angle + step), eye(angle - step)) / (2.0 * step)).tolist()
    # The edge does not turn with the leg: its surface runs on by its radius while the leg turns.
    along += trap.loop_clearance - trap.bearing_offset
    loop = loop_at(trap, angle)
    effort = float(trap.spring_rate * (trap.free_coordinate - loop.coordinate))
    normal = effort / (2.0 * float(resistance(trap, loop, side * friction)))
    rubbed = friction * normal * 2.0 * trap.loops * (float(loop.along) * along + float(loop.across) * abs(across))
    from_springs = trap.loops * effort * q
    to_bars = 2.0 * force * trap.height
    assert normal > 0 and rubbed > 0
    assert from_springs == pytest.approx(to_bars + side * rubbed, rel=1e-6), "springs pay for bars and rubbing"


@settings(max_examples=60, deadline=None)
@given(case=CASE, limb=st.floats(0.016, 0.06), friction=st.floats(0.0, 0.3), more=st.floats(0.01, 0.1))
def test_interval_opens_with_friction(case: str, limb: float, friction: float, more: float) -> None:
    dry, rough = (clamp(CASES[case], friction=mu, limb=limb) for mu in (friction, friction + more))
    assert float(dry.closing_force) <= float(dry.opening_force) * (1 + 1e-12), "an interval has its ends in order"
    assert float(rough.closing_force) < float(dry.closing_force)
    assert float(rough.opening_force) > float(dry.opening_force) or bool(dry.locked)
    assert float(rough.lock_margin) > float(dry.lock_margin)
    assert bool(dry.locked) == (float(dry.lock_margin) >= 0.0), "locked where the margin is not negative"
    assert np.isinf(dry.opening_force) == bool(dry.locked)


@settings(max_examples=40, deadline=None)
@given(case=CASE, limb=st.floats(0.016, 0.06), factor=st.floats(0.25, 2.0), friction=FRICTION)
def test_clamp_goes_with_the_springs_and_the_lock_does_not(
    case: str, limb: float, factor: float, friction: float
) -> None:
    trap = CASES[case]
    found = clamp(trap, friction=friction, limb=limb)
    other = clamp(replace(trap, spring_rate=factor * trap.spring_rate), friction=friction, limb=limb)
    assert float(other.closing_force) == pytest.approx(factor * float(found.closing_force), rel=1e-12)
    assert bool(other.locked) == bool(found.locked)
    if not bool(found.locked):
        assert float(other.opening_force) == pytest.approx(factor * float(found.opening_force), rel=1e-12)


def test_lock_angle_of_a_thin_leg_is_the_friction_angle() -> None:
    friction = np.array([0.0, 0.1, 0.2, 0.5])
    np.testing.assert_allclose(np.tan(0.5 * np.pi - lock_angle(LONG_CASE, friction=friction)), friction, atol=1e-12)
    lever = lock_angle(COIL_CASE, friction=friction)
    assert (lever[1:] < lock_angle(LONG_CASE, friction=friction)[1:]).all(), "the eye of a lever slides sideways too"
    assert (np.diff(lever) < 0).all()


def test_tired_long_spring_stays_locked() -> None:
    rates = np.array([0.25, 0.5, 1.0, 2.0])
    trap = _of("long-2")
    found = clamp(replace(trap, spring_rate=rates * trap.spring_rate), friction=0.2, limb=0.016)
    assert found.locked.all(), "the lock is in the angle"
    np.testing.assert_allclose(found.closing_force / found.closing_force[2], rates, rtol=1e-12)


def test_a_thicker_limb_undoes_the_lock_and_an_offset_makes_one() -> None:
    plain = clamp(_of("long-2"), friction=0.15, limb=0.020)
    half = clamp(_of("long-2", spring_health=0.5), friction=0.15, limb=0.020)
    assert not bool(plain.locked)
    assert float(half.opening_force) == pytest.approx(0.5 * float(plain.opening_force)), "not locked: half the spring"
    assert bool(clamp(_of("long-2", offset_gap=0.006), friction=0.15, limb=0.020).locked), "6 mm of offset lock it"


@settings(max_examples=60, deadline=None)
@given(case=CASE, limb=st.floats(0.0, 0.08), gap=st.floats(0.0, 0.02))
def test_offset_never_lowers_the_jaws_on_a_limb(case: str, limb: float, gap: float) -> None:
    offset = replace(CASES[case], offset_gap=gap)
    assert float(limb_angle(offset, limb)) >= float(limb_angle(CASES[case], limb))
    found = clamp(offset, friction=0.15, limb=limb)
    if limb <= gap:
        assert float(found.closing_force) == 0.0, "a limb thinner than the gap is not held"
        assert float(found.opening_force) == 0.0
        assert not bool(found.locked)


@pytest.mark.parametrize("key", KEYS)
def test_four_coils_or_a_second_spring(key: str) -> None:
    few, many = (2, 4) if key.startswith("coil") else (1, 2)
    one, two = _of(key, springs=few), _of(key, springs=many)
    limb = 0.4 * float(one.height)
    first, second = clamp(one, friction=0.15, limb=limb), clamp(two, friction=0.15, limb=limb)
    assert float(second.closing_force) == pytest.approx(2.0 * float(first.closing_force), rel=1e-12)
    assert float(second.opening_force) == pytest.approx(2.0 * float(first.opening_force), rel=1e-12)
    ratio = float(close(two, friction=0.15).time / close(one, friction=0.15).time)
    if few == 2:
        assert 0.700 < ratio < 0.706, "a little under one over root two"
    else:
        assert 0.69 < ratio < 0.73, "the second spring brings its own mass"
    assert float(dog_force(two)) == pytest.approx(2.0 * float(dog_force(one)), rel=1e-12)


def test_slack_where_the_loop_ends_early() -> None:
    for key in KEYS:
        trap = _of(key)
        opening = float(slack_opening(trap))
        if opening > 1e-6:
            below, above = (clamp(trap, friction=0.15, limb=opening * share) for share in (0.9, 1.1))
            assert int(below.state) in (SPRING_SPENT, LEVER_PAST_VERTICAL), f"{key}: thinner than the slack is loose"
            assert float(below.closing_force) == 0.0
            assert int(above.state) == CLOSES and float(above.closing_force) > 0.0, f"{key}: thicker is gripped"
    assert float(slack_opening(_of("coil-1.5", offset_gap=0.005))) == pytest.approx(0.005, abs=1e-9)


def test_states_of_the_hold() -> None:
    limb = np.array([0.02, 0.2, np.nan])
    found = clamp(COIL_CASE, friction=0.15, limb=limb)
    assert found.state.tolist() == [CLOSES, LIMB_TOO_THICK, NOT_KNOWN]
    assert np.isnan(found.closing_force[1:]).all() and np.isnan(found.opening_force[1:]).all()
    assert not found.locked[1:].any()
    tight = clamp(replace(COIL_CASE, eye_half_opening=0.007), friction=0.15, limb=0.02)
    assert int(tight.state) == NO_CLEARANCE and np.isnan(tight.closing_force)
    order = np.array([2, 0, 1])
    again = clamp(COIL_CASE, friction=0.15, limb=limb[order])
    np.testing.assert_array_equal(again.closing_force, found.closing_force[order])


@settings(max_examples=40, deadline=None)
@given(force=st.floats(1.0, 500.0), width=st.floats(0.002, 0.2), face=st.floats(0.0, 0.03))
def test_pressure_is_force_over_what_bears(force: float, width: float, face: float) -> None:
    trap = replace(COIL_CASE, face_width=face)
    expected = force / (max(face, 0.001) * min(width, trap.face_length))
    assert float(face_pressure(trap, force, width)) == pytest.approx(expected)
    if face >= 0.001:
        double = replace(trap, face_width=2.0 * face)
        assert float(face_pressure(double, force, width)) == pytest.approx(0.5 * expected), "twice the face"


def test_lamination_about_doubles_the_face() -> None:
    plain, strip = (build(tables.dimensions("coil-1.5", jaws=kind)) for kind in ("regular", "laminated"))
    assert 1.6 < float(strip.face_width / plain.face_width) < 2.2


@settings(max_examples=40, deadline=None)
@given(case=CASE, friction=FRICTION)
def test_torque_of_the_set_trap_is_least_of_all(case: str, friction: float) -> None:
    trap = CASES[case]
    torque = float(set_torque(trap, friction=friction))
    held = clamp(trap, friction=friction, limb=0.06)
    assert 0.0 < torque < float(held.closing_force) * trap.height, "leverage is worst when set"
    assert float(set_torque(trap, friction=0.0)) == pytest.approx(0.5 * float(dog_force(trap)) * trap.height)
    stronger = replace(trap, spring_rate=1.1 * trap.spring_rate)
    assert float(set_torque(stronger, friction=friction)) == pytest.approx(1.1 * torque)


def test_set_torque_is_unknown_where_the_trap_cannot_be_set() -> None:
    assert np.isnan(set_torque(replace(COIL_CASE, eye_half_opening=0.007), friction=0.1))
    assert np.isnan(dog_force(replace(COIL_CASE, pivot_height=0.05)))


@settings(max_examples=40, deadline=None)
@given(bevel=st.floats(0.2, 0.35))
def test_bevel_from_the_lever_of_the_closed_trap(bevel: float) -> None:
    trap = replace(COIL_CASE, bevel=bevel, lever_length=0.07)
    lever = loop_at(trap, limb_angle(trap, 0.0)).coordinate
    assert float(bevel_from_empty_lever(trap, lever)) == pytest.approx(bevel, rel=1e-9)
    assert np.isnan(bevel_from_empty_lever(LONG_CASE, 1.2))
