"""What a set spring is asked for: limits of stress, index, post, relaxation; how it weakens."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.errors import OutOfRange
from setwright.trap import springs
from setwright.trap.build import build
from setwright.trap.loop import loop_at
from setwright.trap.spring_check import (
    CANNOT_TELL,
    OVERSTRESSED,
    SOUND,
    STATES,
    TAKES_A_SET,
    agreed,
    check_coil,
    check_leaf,
    check_springs,
)
from setwright.trap.tables import dimensions, patterns, stock
from setwright.trap.wear import health, loss_per_season

WIRE, COIL = 0.0034, 0.015
STRENGTH = float(springs.wire_strength(WIRE))


def _moment(share: float | np.ndarray) -> np.ndarray:
    return springs.coil_moment(share * STRENGTH, WIRE, COIL)


@pytest.mark.parametrize(("removed", "between"), [(True, SOUND), (False, TAKES_A_SET), (None, CANNOT_TELL)])
def test_limits_of_a_set_coil(removed: bool | None, between: int) -> None:
    share = np.array([0.3, 0.77, 0.79, 0.99, 1.01, np.nan])
    found = check_coil(WIRE, COIL, 7.0, _moment(share), set_removed=removed)
    assert found.share[:-1] == pytest.approx(share[:-1], rel=1e-12)
    assert found.state.tolist() == [SOUND, SOUND, between, between, OVERSTRESSED, CANNOT_TELL]
    assert [STATES[code] for code in found.state[3:5]][1] == "overstressed"


def test_index_and_post() -> None:
    found = check_coil(WIRE, WIRE * np.array([0.9, 3.9, 4.1, 11.9, 12.1]), 7.0, 0.5, post_diameter=0.0)
    assert found.usual_index.tolist() == [False, False, True, True, False]
    assert int(found.state[0]) == CANNOT_TELL and np.isnan(found.stress[0]), "a coil without a hole"
    loose, tight = (check_coil(WIRE, COIL, 7.0, _moment(0.8), post_diameter=d) for d in (0.009, 0.0115))
    assert float(loose.post_clearance) > 0.0 > float(tight.post_clearance), "it binds on a thick post"
    assert float(loose.post_clearance) < COIL - WIRE - 0.009, "winding up narrows it"
    assert np.isnan(check_coil(WIRE, COIL, 7.0, 1.0).post_clearance), "not measured"


@pytest.mark.parametrize("key", patterns().keys())
def test_the_built_trap_is_checked_at_its_own_set_position(key: str) -> None:
    readings = dimensions(key)
    trap = build(readings)
    strength = 1500e6 if trap.family == "long" else None
    found = check_springs(readings, trap, set_removed=True, strength=strength)
    assert float(found.stress) == pytest.approx(float(trap.set_stress), rel=1e-9)
    effort = float(trap.spring_rate * (trap.free_coordinate - loop_at(trap, trap.set_angle).coordinate))
    assert int(found.state) == SOUND
    if trap.family == "coil":
        assert float(found.share) == pytest.approx(0.85, rel=1e-9)
        assert 3.9 < float(found.spring_index) < 12.0, "short and stiff, at the low end of the usual index"
        assert float(found.rate) * readings.springs / 2 == pytest.approx(float(trap.spring_rate), rel=1e-9)
        assert float(found.stress) == pytest.approx(
            float(
                springs.coil_stress(effort / (readings.springs / 2), readings.wire_diameter, readings.coil_diameter)
            )
        )
    else:
        assert float(found.rate) == pytest.approx(float(trap.spring_rate), rel=1e-9)
        assert float(found.rate) * readings.leaf_lift == pytest.approx(effort)
        assert int(check_springs(readings, trap).state) == CANNOT_TELL, "hardness of the leaf is not known"


def test_designs_together_and_readings_that_are_missing() -> None:
    readings = replace(dimensions("coil-2"), set_stress_share=np.array([0.7, 0.9, 1.1]))
    found = check_springs(readings, build(readings), set_removed=False)
    assert found.state.tolist() == [SOUND, TAKES_A_SET, OVERSTRESSED], "each design by itself"
    with pytest.raises(OutOfRange):
        check_springs(replace(readings, wire_diameter=None), build(readings))


def test_a_leaf_of_unknown_hardness_cannot_be_told() -> None:
    readings = dimensions("long-2")
    section = (readings.leaf_width, readings.leaf_thickness, readings.leaf_arm, readings.leaf_bend)
    plain = check_leaf(*section, 300.0)
    assert int(plain.state) == CANNOT_TELL and np.isnan(plain.share) and np.isnan(plain.spring_index)
    low, high = float(plain.stress) / 0.84, float(plain.stress) / 0.86
    assert check_leaf(*section, 300.0, strength=[low, high], set_removed=False).state.tolist() == [SOUND, TAKES_A_SET]
    assert stock().number("leaf", "yield_share") == 0.85
    assert float(plain.rate) == pytest.approx(float(springs.leaf_rate(*section)))


def test_a_band_that_does_not_agree_cannot_be_told() -> None:
    table = [[SOUND, SOUND, SOUND], [SOUND, TAKES_A_SET, SOUND], [OVERSTRESSED, OVERSTRESSED, OVERSTRESSED]]
    assert agreed(table).tolist() == [SOUND, CANNOT_TELL, OVERSTRESSED]
    figure = stock().get("leaf", "leaf_strength")
    readings = dimensions("long-2")
    section = (readings.leaf_width, readings.leaf_thickness, readings.leaf_arm, readings.leaf_bend)
    band = [figure.low, figure.number, figure.high]
    force = [[figure.number * 0.8 / float(check_leaf(*section, 1.0).stress)], [1.0]]
    found = check_leaf(*section, force, strength=band, set_removed=False).state
    assert agreed(found).tolist() == [CANNOT_TELL, SOUND], "the hardness of the leaf decides"


@settings(max_examples=30, deadline=None)
@given(share=st.floats(0.05, 1.5), factor=st.floats(1.01, 3.0))
def test_more_stress_relaxes_more(share: float, factor: float) -> None:
    one, two = (check_coil(WIRE, COIL, 7.0, _moment(x)) for x in (share, share * factor))
    assert 0.0 < float(one.loss_low) < float(one.loss_high)
    assert float(two.loss_high) == pytest.approx(factor * float(one.loss_high))
    at_yield = check_coil(WIRE, COIL, 7.0, _moment(0.78), relaxation=(0.02, 0.07))
    assert (float(at_yield.loss_low), float(at_yield.loss_high)) == pytest.approx((0.02, 0.07))


def test_health_has_the_doubt_of_both_readings() -> None:
    found = health(90.0, 100.0, sd_now=3.0, sd_new=4.0)
    assert float(found.middle) == pytest.approx(0.9)
    draws = np.random.default_rng(4).normal([90.0, 100.0], [3.0, 4.0], (200_000, 2))
    low, high = np.quantile(draws[:, 0] / draws[:, 1], [0.05, 0.95])
    assert (float(found.low), float(found.high)) == pytest.approx((low, high), rel=0.004)
    sure = health(90.0, 100.0, sd_now=0.0, sd_new=0.0)
    assert float(sure.low) == float(sure.high) == pytest.approx(0.9)
    assert np.isnan(health([90.0, -1.0], 0.0, sd_now=1.0, sd_new=1.0).middle).all()


def test_loss_per_season_by_dated_readings() -> None:
    days = np.array([0.0, 365.0, 730.0, 1095.0])
    rates = 3000.0 * 0.95 ** (days / 365.0)
    found = loss_per_season(days, rates, 0.02 * rates)
    assert float(found.middle) == pytest.approx(0.05, rel=1e-9)
    assert float(found.low) < 0.05 < float(found.high)
    half = (float(found.high) - float(found.low)) / 2
    assert half == pytest.approx(0.95 * 1.645 * 0.02 / np.sqrt(5.0), rel=1e-3), "spread of the slope of four years"
    seeds = np.random.default_rng(7).normal(1.0, 0.02, (2000, 4))
    inside = [
        float(one.low) <= 0.05 <= float(one.high)
        for one in (loss_per_season(days, rates * row, 0.02 * rates) for row in seeds)
    ]
    assert 0.88 < np.mean(inside) < 0.92, "nine of ten bands hold the true loss"
    order = [2, 0, 3, 1]
    again = loss_per_season(days[order], rates[order], 0.02 * rates[order])
    assert float(again.middle) == pytest.approx(float(found.middle), rel=1e-9)
    shorter = loss_per_season(days, rates, 0.02 * rates, season_days=730.0)
    assert float(shorter.middle) == pytest.approx(1 - 0.95**2, rel=1e-9)
    assert np.isnan(loss_per_season([1.0], [3000.0], [10.0]).middle), "one reading tells no loss"
    assert np.isnan(loss_per_season([1.0, 1.0], [3000.0, 2900.0], [10.0, 10.0]).middle)
    assert np.isnan(loss_per_season([0.0, 9.0], [3000.0, np.nan], [10.0, 10.0]).middle)
