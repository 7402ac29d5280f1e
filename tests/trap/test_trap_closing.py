"""Closing against a second solution in time, energy, limits and monotony."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from trap_cases import CASES, COIL_CASE, LONG_CASE, in_time, weightless

from setwright.basis.errors import OutOfRange
from setwright.trap import tables
from setwright.trap.build import build
from setwright.trap.closing import (
    CLOSES,
    LEVER_PAST_VERTICAL,
    LIMB_TOO_THICK,
    NO_CLEARANCE,
    NOT_KNOWN,
    NOT_RESOLVED,
    SPRING_SPENT,
    STALLS,
    STATE_NAMES,
    close,
    water_terms,
)
from setwright.trap.flight import loop_runs_ahead
from setwright.trap.loop import loop_at, upright_angle
from setwright.trap.model import Trap

SHARE = st.floats(0.85, 1.15)


def _of(key: str, springs: int | None = None, jaws: str = "regular") -> Trap:
    return build(tables.dimensions(key, springs=springs, jaws=jaws))


WATER = dict(zip(("added_inertia", "drag"), map(float, water_terms(COIL_CASE)), strict=True))
AGAINST_TIME = [
    ("coil case", COIL_CASE, {"friction": 0.15}),
    ("coil case, much friction", COIL_CASE, {"friction": 0.25}),
    ("coil case in water", COIL_CASE, {"friction": 0.15, **WATER}),
    ("coil case under soil", COIL_CASE, {"friction": 0.15, "cover_mass": 0.15, "cover_radius": 0.04392}),
    ("coil case on a limb", COIL_CASE, {"friction": 0.15, "limb": 0.02}),
    ("coil case on a thick limb", COIL_CASE, {"friction": 0.15, "limb": 0.10}),
    ("long case", LONG_CASE, {"friction": 0.15}),
    ("long case, much friction", LONG_CASE, {"friction": 0.3}),
    ("No. 1 coil-spring", _of("coil-1"), {"friction": 0.1}),
    ("No. 5 coil-spring, four coils", _of("coil-5", 4), {"friction": 0.15}),
    ("No. 1½ coil-spring, laminated", _of("coil-1.5", jaws="laminated"), {"friction": 0.2}),
    ("No. 4 double long-spring", _of("long-4"), {"friction": 0.2}),
    ("No. 0 single long-spring on a limb", _of("long-0"), {"friction": 0.15, "limb": 0.017}),
]


@pytest.mark.parametrize(
    ("trap", "load"), [case[1:] for case in AGAINST_TIME], ids=[case[0] for case in AGAINST_TIME]
)
def test_agrees_with_stepping_in_time(trap: Trap, load: dict[str, float]) -> None:
    time, rate, apart = in_time(trap, **load)
    found = close(trap, **load)
    assert STATE_NAMES[int(found.state)] == "closes"
    assert float(found.time) == pytest.approx(time, rel=1e-4), "closing time of both solutions"
    assert float(found.rate) == pytest.approx(rate, rel=1e-4), "jaw rate of both solutions"
    if np.isnan(apart):
        assert np.isnan(found.separation_angle), "both say that the jaws stay on the loop"
    else:
        assert float(found.separation_angle) == pytest.approx(apart, rel=1e-4), "angle of separation"


def test_strong_drag_is_right_or_said_to_be_unresolved() -> None:
    for share in (1.0, 5.0, 10.0, 20.0, 40.0, 200.0):
        drag = share * COIL_CASE.jaw_inertia
        found = close(COIL_CASE, friction=0.15, drag=drag)
        if int(found.state) == CLOSES:
            time, rate, _ = in_time(COIL_CASE, friction=0.15, drag=drag)
            assert float(found.time) == pytest.approx(time, rel=1e-4), "time under strong drag"
            assert float(found.rate) == pytest.approx(rate, rel=5e-4), "rate under strong drag"
        else:
            assert int(found.state) == NOT_RESOLVED, "a motion that nodes cannot follow is said to be so"
            assert share >= 5.0, "drag of water, about the inertia of the jaw, is resolved"


def _changed(case: str, height: float, inertia: float, rate: float, lever: float, eye: float) -> Trap:
    trap = CASES[case]
    return replace(
        trap, height=trap.height * height, jaw_inertia=trap.jaw_inertia * inertia,
        spring_rate=trap.spring_rate * rate, lever_length=trap.lever_length * lever,
        eye_half_opening=trap.eye_half_opening * eye,
    )  # fmt: skip


def _spring_work(trap: Trap, end: float) -> float:
    start = float(loop_at(trap, trap.set_angle).coordinate)
    last = min(float(loop_at(trap, min(end, float(upright_angle(trap)) - 1e-4)).coordinate), trap.free_coordinate)
    left = (trap.free_coordinate - start) ** 2 - (trap.free_coordinate - last) ** 2
    return float(trap.loops * 0.5 * trap.spring_rate * left)


@settings(max_examples=40, deadline=None)
@given(
    case=st.sampled_from(sorted(CASES)), h=SHARE, j=SHARE, k=SHARE, lever=SHARE, eye=SHARE, limb=st.floats(0, 0.03)
)
def test_energy_balance_without_friction(
    case: str, h: float, j: float, k: float, lever: float, eye: float, limb: float
) -> None:
    trap = weightless(_changed(case, h, j, k, lever, eye))
    found = close(trap, friction=0.0, limb=limb, nodes=201)
    assert int(found.state) == CLOSES
    work = _spring_work(trap, float(found.angle))
    assert float(found.jaw_energy + found.loop_energy) == pytest.approx(work, rel=2e-4), "work of springs is kept"


@settings(max_examples=40, deadline=None)
@given(case=st.sampled_from(sorted(CASES)), h=SHARE, j=SHARE, k=SHARE, lever=SHARE, eye=SHARE)
def test_what_slows_and_what_hastens(case: str, h: float, j: float, k: float, lever: float, eye: float) -> None:
    trap = _changed(case, h, j, k, lever, eye)
    time = float(close(trap, friction=0.15).time)
    assert float(close(trap, friction=0.2).time) > time, "friction slows"
    assert float(close(trap, friction=0.15, cover_mass=0.05, cover_radius=0.03).time) > time, "cover slows"
    assert float(close(trap, friction=0.15, drag=1e-4).time) > time, "drag slows"
    assert float(close(trap, friction=0.15, added_inertia=1e-5).time) > time, "water that is moved slows"
    assert float(close(trap, friction=0.15, limb=0.01).time) < time, "a limb is met sooner"
    assert float(close(trap, friction=0.15, tilt=0.5).time) < time, "on a slope the jaws weigh less on the hinge"
    stronger = replace(trap, spring_rate=1.1 * trap.spring_rate)
    assert float(close(stronger, friction=0.15).time) < time, "a stronger spring hastens"


@settings(max_examples=25, deadline=None)
@given(case=st.sampled_from(sorted(CASES)), factor=st.floats(0.3, 4.0))
def test_all_masses_and_springs_scale_out(case: str, factor: float) -> None:
    trap = CASES[case]
    other = replace(
        trap, spring_rate=trap.spring_rate * factor, jaw_inertia=trap.jaw_inertia * factor,
        loop_inertia=trap.loop_inertia * factor, weight_moment=trap.weight_moment * factor,
    )  # fmt: skip
    first, second = close(trap, friction=0.15), close(other, friction=0.15)
    assert float(second.time) == pytest.approx(float(first.time), rel=1e-12), "equal accelerations, equal time"
    assert float(second.momentum) == pytest.approx(factor * float(first.momentum), rel=1e-12)


@settings(max_examples=20, deadline=None)
@given(case=st.sampled_from(sorted(CASES)), factor=st.floats(0.3, 4.0))
def test_time_goes_with_the_root_of_mass_over_spring(case: str, factor: float) -> None:
    trap = weightless(CASES[case])
    light = replace(trap, jaw_inertia=trap.jaw_inertia / factor, loop_inertia=trap.loop_inertia / factor)
    expected = float(close(trap, friction=0.15).time) / np.sqrt(factor)
    assert float(close(light, friction=0.15).time) == pytest.approx(expected, rel=1e-12)


def test_the_same_lengths_in_another_scale() -> None:
    scale = 1.7
    trap = weightless(COIL_CASE)
    lengths = (
        "hinge_half_distance", "eye_half_opening", "loop_clearance", "bearing_offset", "face_offset", "height",
        "lever_length", "pivot_height",
    )  # fmt: skip
    bigger = replace(trap, **{name: scale * getattr(trap, name) for name in lengths})
    found, wide = close(trap, friction=0.15), close(bigger, friction=0.15)
    assert float(wide.time) == pytest.approx(float(found.time), rel=1e-12), "angles know no length"
    assert float(wide.tip_speed) == pytest.approx(scale * float(found.tip_speed), rel=1e-12)


def test_rows_do_not_know_each_other() -> None:
    rng = np.random.default_rng(5)
    trap = replace(COIL_CASE, spring_rate=9.0 * rng.uniform(0.6, 1.6, 40), bevel=rng.uniform(0.1, 0.35, 40))
    order = rng.permutation(40)
    friction = rng.uniform(0.0, 0.3, 40)
    all_at_once = close(trap, friction=friction)
    again = close(trap, friction=friction)
    mixed = replace(trap, spring_rate=trap.spring_rate[order], bevel=trap.bevel[order])
    moved = close(mixed, friction=friction[order])
    for name in ("time", "rate", "separation_angle", "loop_energy", "times"):
        kept = getattr(all_at_once, name)
        np.testing.assert_array_equal(kept, getattr(again, name), err_msg=f"{name}: same question, same answer")
        np.testing.assert_array_equal(kept[order], getattr(moved, name), err_msg=f"{name}: order of designs")
    one = close(replace(trap, spring_rate=trap.spring_rate[7], bevel=trap.bevel[7]), friction=friction[7])
    assert one.time.shape == (), "a scalar is a case of an array"
    assert float(one.time) == pytest.approx(all_at_once.time[7], rel=1e-12)
    assert all_at_once.angles.shape == (40, 101)


def test_more_nodes_change_little() -> None:
    for trap in CASES.values():
        fine = close(trap, friction=0.15, nodes=801)
        for nodes, allowed in ((32, 2e-3), (65, 1e-4), (101, 5e-5)):
            found = close(trap, friction=0.15, nodes=nodes)
            assert float(found.time) == pytest.approx(float(fine.time), rel=allowed), f"time at {nodes} nodes"
            assert float(found.rate) == pytest.approx(float(fine.rate), rel=allowed), f"rate at {nodes} nodes"


def test_states_say_why_a_trap_does_not_close() -> None:
    def state(trap: Trap, **load: float) -> int:
        found = close(trap, **{"friction": 0.15, **load})
        if int(found.state) != CLOSES:
            for name in ("time", "rate", "tip_speed", "jaw_energy", "loop_energy", "momentum", "separation_angle"):
                assert np.isnan(getattr(found, name)), f"{name} of a trap that does not close"
            assert np.isnan(found.time_to_height(0.02))
        return int(found.state)

    assert state(COIL_CASE) == CLOSES
    assert state(LONG_CASE, cover_mass=1.5, cover_radius=0.05) == STALLS
    assert state(replace(COIL_CASE, eye_half_opening=0.0072)) == NO_CLEARANCE
    assert state(replace(COIL_CASE, free_coordinate=0.1)) == SPRING_SPENT
    assert state(replace(COIL_CASE, pivot_height=-0.06)) == LEVER_PAST_VERTICAL
    assert state(COIL_CASE, limb=0.2) == LIMB_TOO_THICK
    assert state(COIL_CASE, limb=float("nan")) == NOT_KNOWN
    assert state(replace(COIL_CASE, spring_rate=float("nan"))) == NOT_KNOWN


def test_a_stall_does_not_touch_its_neighbours() -> None:
    mass = np.array([0.0, 1.5, 0.05])
    found = close(LONG_CASE, friction=0.15, cover_mass=mass, cover_radius=0.05)
    assert found.state.tolist() == [CLOSES, STALLS, CLOSES]
    assert float(found.time[0]) == pytest.approx(float(close(LONG_CASE, friction=0.15).time), rel=1e-12)


def test_the_load_that_stalls_is_the_torque_of_the_springs() -> None:
    """Within the first degrees the weight must be under the static torque of the set position."""
    from setwright.trap.holding import set_torque

    torque = float(set_torque(LONG_CASE, friction=0.15))
    mass = torque / (9.80665 * 0.05)
    light = close(LONG_CASE, friction=0.15, cover_mass=0.90 * mass, cover_radius=0.05)
    heavy = close(LONG_CASE, friction=0.15, cover_mass=1.05 * mass, cover_radius=0.05)
    assert int(light.state) == CLOSES, "under nine tenths of the torque the jaws rise"
    assert int(heavy.state) == STALLS, "over the torque they do not"


@settings(max_examples=30, deadline=None)
@given(case=st.sampled_from(sorted(CASES)), share=st.floats(0.1, 0.999))
def test_time_to_height_is_on_the_motion(case: str, share: float) -> None:
    trap = CASES[case]
    found = close(trap, friction=0.15)
    height = share * trap.height
    fine = close(trap, friction=0.15, nodes=1601)
    angle = np.arcsin(share)
    expected = np.interp(angle, fine.angles, fine.times)
    assert float(found.time_to_height(height)) == pytest.approx(float(expected), rel=1e-3)
    assert np.isnan(found.time_to_height(1.01 * trap.height)), "the bars never stand over their own length"
    assert float(found.time_to_height(0.0)) == 0.0, "the set bars stand higher than that already"


def test_times_and_angles_rise() -> None:
    found = close(COIL_CASE, friction=np.linspace(0.0, 0.3, 7), limb=0.01)
    assert (np.diff(found.times, axis=-1) >= 0).all() and (np.diff(found.angles, axis=-1) >= 0).all()
    assert (np.diff(found.time_to_height(np.full(7, 0.03))) > 0).all()
    assert found.times[:, -1].tolist() == found.time.tolist()
    assert not found.recontact.any(), "the loop does not catch up in this trap"


@pytest.mark.parametrize("time", [0.0, 2e-4, 1e-3, 3e-3])
def test_a_loop_left_to_its_spring(time: float) -> None:
    start, pace, free, rate, mass = 0.9, 150.0, 1.34, 9.0, 5.9e-5

    def motion(_: float, state: list[float]) -> list[float]:
        return [state[1], max(rate * (free - state[0]), 0.0) / mass]

    stepped = solve_ivp(motion, (0.0, 4e-3), [start, pace], t_eval=[time], rtol=1e-9, atol=1e-12, max_step=1e-5).y[
        0, 0
    ]
    found = loop_runs_ahead(np.array(start), np.array(pace), free, np.sqrt(np.array(rate / mass)), np.array(time))
    assert float(found) == pytest.approx(stepped, rel=1e-6), "swing of the loop, then its run when spent"


def test_the_loop_lags_the_jaws_in_every_design() -> None:
    """After the jaws have left, the way asked of the loop grows faster than its spring can follow."""
    rng = np.random.default_rng(3)
    count = 2000
    for trap in CASES.values():
        many = replace(
            trap, loop_inertia=trap.loop_inertia * 10 ** rng.uniform(-1, 1, count),
            bevel=rng.uniform(-0.1, 0.5, count), spring_rate=trap.spring_rate * rng.uniform(0.3, 3.0, count),
        )  # fmt: skip
        found = close(many, friction=rng.uniform(0.0, 0.3, count), drag=10 ** rng.uniform(-6, -4, count))
        assert np.isfinite(found.separation_angle).any()
        assert not found.recontact.any(), "no loop catches up with its jaws"


def test_misuse_is_refused() -> None:
    for load in ({"friction": -0.1}, {"friction": 0.1, "drag": -1.0}, {"friction": 0.1, "cover_mass": -1.0}):
        with pytest.raises(OutOfRange):
            close(COIL_CASE, **load)
    with pytest.raises(OutOfRange):
        close(COIL_CASE, friction=0.1, nodes=8)
