"""Guard arm by stepping in time, swivel by its place."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from setwright.basis.errors import OutOfRange
from setwright.trap.guard import CANNOT_TELL, PRESSES, RESTS, STOPS_SHORT, Guard, swing
from setwright.trap.swivel import swivel_arm, turning_moment
from setwright.trap.tables import dimensions, working

ARM = Guard(length=0.075, mass=0.03, torque=0.6, rate=0.25, swing_angle=1.7453)


def _in_time(guard: Guard) -> float:
    inertia = guard.mass * guard.length**2 / 3.0

    def meets(_: float, state: np.ndarray) -> float:
        return float(state[0] - guard.swing_angle)

    meets.terminal = True
    found = solve_ivp(
        lambda _, y: [y[1], (guard.torque - guard.rate * y[0]) / inertia], (0.0, 1.0), [0.0, 0.0],
        events=meets, rtol=1e-10, atol=1e-12, max_step=1e-3,
    )  # fmt: skip
    return float(found.t_events[0][0])


@settings(max_examples=25, deadline=None)
@given(
    length=st.floats(0.04, 0.12), mass=st.floats(0.01, 0.1), torque=st.floats(0.2, 2.0), spent=st.floats(0.0, 1.9),
    angle=st.floats(0.8, 2.5),
)  # fmt: skip
def test_time_to_the_stop_by_stepping(length: float, mass: float, torque: float, spent: float, angle: float) -> None:
    guard = Guard(length, mass, torque, spent * torque / angle, angle)
    found = swing(guard, released_at=0.02)
    assert float(found.time) == pytest.approx(0.02 + _in_time(guard), rel=1e-6)
    assert float(found.force) == pytest.approx(max(torque * (1.0 - spent), 0.0) / length, abs=1e-12)
    assert int(found.state) == (PRESSES if spent < 1.0 else RESTS)


def test_states_of_the_guard() -> None:
    rate = np.array([0.0, 0.25, 0.5, 0.8, -0.1, np.nan])
    found = swing(replace(ARM, rate=rate))
    assert found.state.tolist() == [PRESSES, PRESSES, RESTS, STOPS_SHORT, CANNOT_TELL, CANNOT_TELL]
    assert np.isposinf(found.time[3]) and np.isnan(found.time[4:]).all()
    assert (np.diff(found.time[:3]) > 0).all(), "a spring that fades is slower"
    heavier = swing(replace(ARM, mass=4 * 0.03))
    assert float(heavier.time / swing(ARM).time) == pytest.approx(2.0, rel=1e-12)


def test_the_usual_guard_comes_up_with_the_jaws() -> None:
    table = working()
    guard = Guard(*(table.number("guard", f"guard_{part}") for part in ("length", "mass", "torque", "rate", "swing")))
    found = swing(guard, released_at=0.017)
    assert int(found.state) == PRESSES and 0.02 < float(found.time) < 0.06
    for part in ("length", "mass", "torque", "rate", "swing"):
        assert table.get("guard", f"guard_{part}").source.confidence == "assumed"


def test_a_base_swivel_keeps_the_arm_short() -> None:
    for key in ("coil-1.5", "long-2"):
        arms = [float(swivel_arm(dimensions(key, swivel_place=place))) for place in ("base", "side", "end")]
        spread = dimensions(key).spread
        assert arms[0] == pytest.approx(0.005) and arms[0] < 0.2 * min(arms[1:])
        assert arms[1] == pytest.approx(0.5 * spread)
        behind = 0.125 + 0.010 if key == "long-2" else 0.0
        assert arms[2] == pytest.approx(0.5 * 0.85 * spread + behind)
    assert np.isnan(swivel_arm(dimensions("coil-1.5"))), "place not known"
    assert float(swivel_arm(dimensions("coil-1.5"), distance=0.03)) == 0.03, "measured"
    assert swivel_arm(replace(dimensions("coil-2", swivel_place="side"), spread=np.array([0.1, 0.2]))).tolist() == [
        0.05, 0.1,
    ]  # fmt: skip
    with pytest.raises(OutOfRange):
        swivel_arm(replace(dimensions("coil-1.5"), swivel_place="top"))


@settings(max_examples=30, deadline=None)
@given(pull=st.floats(1.0, 500.0), arm=st.floats(0.001, 0.2), direction=st.floats(-1.5, 1.5))
def test_turning_moment_is_the_cross_product(pull: float, arm: float, direction: float) -> None:
    swivel, chain = np.array([arm, 0.0]), pull * np.array([np.cos(direction), np.sin(direction)])
    crossed = swivel[0] * chain[1] - swivel[1] * chain[0]
    found = float(turning_moment(pull, arm, direction))
    assert found == pytest.approx(crossed, abs=1e-9)
    assert float(turning_moment(pull, arm, -direction)) == pytest.approx(-found)
    assert float(turning_moment(pull, arm, 0.0)) == 0.0, "chain drawn straight away turns nothing"
