"""Bands of simulated traps hold the truth as often as they say."""

from __future__ import annotations

import numpy as np
import pytest
from calibrate_cases import bench_plan, one_trap, read_off, unknowns

from setwright.trap.forward import predict
from setwright.trap.model import Floats
from setwright.trap.posterior import posterior_of
from setwright.trap.readings import Reading
from setwright.trap.unknowns import design_of

KEYS = ("coil-3", "long-1")


def _inside(key: str, count: int, seed: int, draws: int) -> tuple[Floats, float]:
    """Share of 90 % bands that hold the truth, over all unknowns and outputs, and by column."""
    rng = np.random.default_rng(seed)
    z = np.random.default_rng(seed).standard_normal((draws, unknowns(key).size))
    held = []
    for number in range(count):
        scores, truth = one_trap(key, rng)
        plan = bench_plan(key) if number % 2 else tuple(
            one for one in bench_plan(key) if one.kind in ("spread", "leg_thickness", "eye_opening", "lever_force")
        )  # fmt: skip
        found = posterior_of(unknowns(key), read_off(truth, plan, rng))
        drawn = found.scores(z)
        design = design_of(found.unknowns, drawn)
        timed = [Reading("closing_time", 1.0, 1.0, frame_rate=1.0)]
        values = np.concatenate((drawn, predict(design, timed)), axis=1)
        true = np.concatenate((scores, predict(truth, timed)), axis=1)
        place = np.mean(values < true, axis=0)
        held.append((place > 0.05) & (place < 0.95))
    columns = np.mean(held, axis=0)
    return columns, float(np.mean(columns))


@pytest.mark.parametrize("key", KEYS)
def test_bands_hold_the_truth_as_often_as_they_say(key: str) -> None:
    """24 traps: closing time within the binomial 99.9 % range of 90 %, all columns together near it."""
    columns, overall = _inside(key, 24, 31, 600)
    assert overall == pytest.approx(0.9, abs=0.035)
    assert columns[-1] > 0.66


@pytest.mark.slow
@pytest.mark.parametrize("key", ["coil-3", "coil-1.5", "long-1", "long-2"])
def test_bands_hold_the_truth_over_many_traps(key: str) -> None:
    """250 traps: each column within four binomial deviations, all together within two points of 90 %."""
    columns, overall = _inside(key, 250, 77, 3000)
    assert overall == pytest.approx(0.9, abs=0.02)
    assert np.abs(columns - 0.9).max() < 4.0 * np.sqrt(0.9 * 0.1 / 250)
