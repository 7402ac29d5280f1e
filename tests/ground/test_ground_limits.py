"""Every function takes arrays of any shape, and nothing jumps or runs away at its limits."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.animal import lunge
from setwright.ground import bearing, bedding, breakout, drag, frozen_trap, loading, plate, proof, reliability, stake
from setwright.tackle import chain_length, strength
from setwright.tackle.reliability import series_loss

# A function of one number and the stretch on which it must be smooth enough to have a finite slope, ends included.
SMOOTH: dict[str, tuple[Callable[[np.ndarray], np.ndarray], float, float]] = {
    "side pull in clay by its strength": (lambda x: stake.lateral_undrained(x, 0.025, 0.56, 0.02)[0], 1.0, 400e3),
    "moment in clay by its strength": (lambda x: stake.lateral_undrained(x, 0.025, 0.56, 0.02)[1], 1.0, 400e3),
    "side pull in sand by its friction": (lambda x: stake.lateral_drained(x, 18e3, 0.025, 0.56, 0.02)[0], 0.0, 0.9),
    "adhesion across its kink": (lambda x: stake.adhesion(x, 9e3), 100.0, 100e3),
    "oblique pull from level to straight up": (lambda x: stake.oblique(1500.0, 470.0, x), 0.0, 0.5 * np.pi),
    "leaning stake": (lambda x: stake.leaning(1500.0, 470.0, 0.3, x), -0.6, 0.6),
    "crossed pair": (lambda x: stake.crossed(1500.0, 470.0, x), 0.0, 1.4),
    "uplift in clay by depth": (lambda x: plate.uplift_undrained(36e3, 18e3, x, 0.025, 0.064), 0.0, 2.0),
    "uplift in sand by depth": (lambda x: plate.uplift_drained(0.58, 18e3, x, 0.025, 0.064), 0.0, 2.0),
    "uplift in sand by friction": (lambda x: plate.uplift_drained(x, 18e3, 0.5, 0.025, 0.064), 0.2, 0.9),
    "bearing in muck by depth": (lambda x: bearing.undrained_capacity(2e3, 1.2e3, x, 0.02, 0.3), 0.0, 1.0),
    "chance of many pulls by the ratio": (lambda x: reliability.failure_in(x, 0.5, 0.44, 20), 0.01, 50.0),
    "strength after a proof by the pull": (lambda x: proof.updated(930.0, 0.47, x).median, 1.0, 5e3),
    "strength after it moved by the pull": (lambda x: proof.updated(930.0, 0.47, x, kind="moved").median, 1.0, 5e3),
    "lunge by energy": (lambda x: lunge.peak_through(x, 56.0, 4.2e3, 5.3e3, 0.075)[0], 1.0, 2e3),
    "breakout by crust": (lambda x: breakout.breakout_torque(x, 0.065, 2e5, 4e5, 2e5, 6e-3, False), 0.0, 0.05),
    "angle of the pull by chain": (lambda x: chain_length.pull_angle(x, 0.1), 0.101, 3.0),
}  # fmt: skip


@pytest.mark.parametrize("name", SMOOTH)
@given(at=st.floats(0.0, 1.0))
def test_slopes_are_finite_up_to_the_limits(name: str, at: float) -> None:
    function, low, high = SMOOTH[name]
    step = 1e-6 * (high - low)
    here = np.clip(low + at * (high - low), low + step, high - step)
    below, middle, above = (np.asarray(function(np.asarray(here + side * step))) for side in (-1.0, 0.0, 1.0))
    slope = (above - below) / (2.0 * step)
    assert np.isfinite([below, middle, above, slope]).all()
    # No jump: half a step moves it no more than a whole one, and a bit for a kink.
    assert abs(middle - 0.5 * (above + below)) <= abs(above - below) + 1e-6 * max(abs(float(middle)), 1e-3)


COLUMN, ROW = np.linspace(0.5, 1.5, 3)[:, None], np.linspace(0.8, 1.2, 4)
BROADCAST: dict[str, Callable[[np.ndarray, np.ndarray], object]] = {
    "adhesion": lambda a, b: stake.adhesion(36e3 * a, 9e3 * b),
    "oblique": lambda a, b: stake.oblique(1500.0 * a, 470.0, 0.3 * b),
    "crossed": lambda a, b: stake.crossed(1500.0 * a, 470.0 * b, 0.7),
    "drained": lambda a, b: stake.lateral_drained(0.58 * a, 18e3 * b, 0.025, 0.56, 0.02)[0],
    "uplift clay": lambda a, b: plate.uplift_undrained(36e3 * a, 18e3, 0.5 * b, 0.025, 0.064),
    "uplift sand": lambda a, b: plate.uplift_drained(0.58 * a, 18e3, 0.5 * b, 0.025, 0.064),
    "bearing": lambda a, b: bearing.undrained_capacity(2e3 * a, 1.2e3, 0.01 * b, 0.02, 0.3),
    "bekker": lambda a, b: bearing.sinkage_bekker(18e3 * a, 0.02, 770.0, 51_910.0, 0.5 * b),
    "sinkage": lambda a, b: bearing.sinkage_undrained(120.0 * a, 70e-4, 0.02, 0.3, 3e3 * b, 0.0, 1.2e3),
    "bed": lambda a, b: bedding.bed_volume(0.18 * a, 0.15 * b, 0.046, 0.009),
    "outline": lambda a, b: bedding.trap_outline(0.137 * a, 0.15, 0.137 * b).box,
    "digging": lambda a, b: bedding.digging_time_frozen(2e-3 * a, 0.055, 0.02 * b, 1.2e-4, 4.0, 10.0),
    "failure": lambda a, b: reliability.failure_in(2.0 * a, 0.5, 0.44 * b, 20),
    "band": lambda a, b: reliability.failure_band(2.0 * a, 0.5, 0.44 * b, 20).low,
    "proof": lambda a, b: proof.updated(930.0 * a, 0.47, 800.0 * b).low,
    "lost": lambda a, b: proof.failure_proved(930.0 * a, 0.47, 800.0, 434.0 * b, 0.42, 20),
    "drag": lambda a, b: drag.travel(0.5 * a, 30.0 * b),
    "jerk": lambda a, b: loading.worked_loose(20.0 * a, 0.6 * b),
    "frozen": lambda a, b: frozen_trap.frozen_trap(
        2.5 * a, 40.0, 10.0, thickness=5e-3 * b, radius=0.065, shear=2e5, tension=4e5, adfreeze=2e5, jaw_width=6e-3,
        jaw_bonded=False,
    ).crust,
    "hook": lambda a, b: strength.hook_open(4.8e-3 * a, 7e-3 * b, 300e6)[1],
    "loss": lambda a, b: chain_length.common_loss(930.0 * a, 0.47, 434.0 * b, 0.42, 20),
    "series": lambda a, b: series_loss(
        np.stack(np.broadcast_arrays(5e3 * a, 800.0 * b), axis=-1), 0.15, 300.0, 0.42, lunges=20
    ).loss,
}  # fmt: skip


@pytest.mark.parametrize("name", BROADCAST)
def test_arrays_of_any_shape_give_what_numbers_give(name: str) -> None:
    function = BROADCAST[name]
    whole = np.asarray(function(COLUMN, ROW))
    assert whole.shape == (3, 4)
    for i in range(3):
        for j in range(4):
            alone = np.asarray(function(np.asarray(COLUMN[i, 0]), np.asarray(ROW[j])))
            np.testing.assert_allclose(alone, whole[i, j], rtol=1e-9, atol=1e-12)
