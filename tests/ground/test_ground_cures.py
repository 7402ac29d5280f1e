"""Reliability in bulk, loosening, ranked cures, drags and roots, slow and quick pulls."""

from __future__ import annotations

import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.ground import drag, loading, plate, stake
from setwright.ground.anchor import Anchor, capacity
from setwright.ground.cures import Option, rank_cures
from setwright.ground.reliability import failure_band, failure_in, failure_worn, mean_ratio, ratio_needed
from setwright.ground.soil import Layer

NAN, INF = math.nan, math.inf
LOAM = Layer("loam", "undrained", INF, NAN, 36e3, 18e3, NAN)
MUCK = Layer("muck", "undrained", 0.6, NAN, 4e3, 1.2e3, NAN)
SAND = Layer("firm sand", "drained", INF, np.radians(33.5), NAN, 18e3, np.radians(17.0))
FEW = settings(max_examples=40, deadline=None)


@pytest.mark.parametrize(
    ("ratio", "strong", "pull", "lunges"),
    [(2.0, 0.4, 0.3, 50), (1.96, 0.5, 0.44, 20), (1.5, 0.8, 0.05, 20), (3.0, 0.05, 0.8, 100), (4.0, 0.3, 0.3, 1000)],
)
def test_the_integral_agrees_with_brute_force(ratio: float, strong: float, pull: float, lunges: int) -> None:
    s_r, s_s = (math.sqrt(math.log1p(cov**2)) for cov in (strong, pull))
    rng = np.random.default_rng(11)
    draws = 200_000
    strength = math.log(ratio) - 0.5 * s_r**2 + s_r * rng.standard_normal(draws)
    # The greatest of N draws is one even draw to the power 1/N, put through the inverse of the normal.
    grid = np.linspace(-8.0, 8.0, 4001)
    curve = np.array([NormalDist().cdf(float(x)) for x in grid])
    greatest = np.interp(rng.random(draws) ** (1.0 / lunges), curve, grid)
    lost = float(np.mean(-0.5 * s_s**2 + s_s * greatest > strength))
    assert float(failure_in(ratio, strong, pull, lunges)) == pytest.approx(lost, abs=0.004)


def test_ten_thousand_anchors_at_once_are_each_what_they_are_alone() -> None:
    rng = np.random.default_rng(3)
    ratio, strong, pull = rng.uniform(0.5, 5.0, 10_000), rng.uniform(0.1, 0.8, 10_000), rng.uniform(0.1, 0.8, 10_000)
    alone = [float(failure_in(ratio[k], strong[k], pull[k], 20)) for k in range(0, 10_000, 997)]
    assert failure_in(ratio, strong, pull, 20)[::997] == pytest.approx(alone, abs=1e-12)


def test_limits_without_scatter_and_without_pulls() -> None:
    assert failure_in([2.0, 0.5], 0.0, 0.0, 20) == pytest.approx([0.0, 1.0], abs=1e-9), "a step"
    assert float(failure_in(2.0, 0.4, 0.3, 0)) == 0.0
    assert np.isnan(failure_in(NAN, 0.4, 0.3, 20))
    assert failure_in([0.0, INF], 0.4, 0.3, 20) == pytest.approx([1.0, 0.0], abs=1e-9)
    near = failure_in(2.0, [0.3 - 1e-7, 0.3 + 1e-7], 0.3, 20)
    assert near[0] == pytest.approx(near[1], abs=1e-6), "the two ways to integrate meet"


@given(st.floats(0.5, 6.0), st.floats(0.1, 0.7), st.floats(0.1, 0.7), st.integers(1, 100))
@FEW
def test_a_band_holds_the_middle_and_the_ratio_needed_gives_back_its_chance(
    ratio: float, strong: float, pull: float, lunges: int
) -> None:
    found = failure_band(ratio, strong, pull, lunges)
    assert found.low <= found.middle <= found.high
    sharp = failure_band(ratio, strong, pull, lunges, doubt=1.0)
    assert sharp.low == sharp.middle == sharp.high
    needed = ratio_needed(0.1, strong, pull, lunges)
    assert float(failure_in(needed, strong, pull, lunges)) == pytest.approx(0.1, abs=1e-4)


def test_working_loose_costs_and_ends() -> None:
    share = loading.worked_loose(np.arange(20))
    assert share[0] == 1.0 and np.all(np.diff(share) < 0.0) and share[-1] > 0.6
    assert float(loading.worked_loose(INF)) == pytest.approx(0.6)
    fresh, end = (float(failure_in(ratio, 0.5, 0.44, 20)) for ratio in (2.0, 1.2))
    assert fresh < float(failure_worn(2.0, 0.5, 0.44, share)) < end
    assert float(failure_worn(2.0, 0.5, 0.44, np.ones(20))) == pytest.approx(fresh, abs=1e-6)
    even = float(failure_in(1.6, 0.5, 0.44, 20))
    assert float(failure_worn(2.0, 0.5, 0.44, np.full(20, 0.8))) == pytest.approx(even, abs=1e-6)


def test_quick_and_slow_pulls() -> None:
    assert float(loading.jerk_gain(0.1)) == pytest.approx(1.3), "three tenfold steps at a tenth each"
    assert float(loading.jerk_gain(100.0)) == 1.0 and float(loading.jerk_gain(1e4)) < 1.0
    jerk, night = 0.1, 10 * 3600.0
    drained = float(loading.drainage_time(0.025, 1e-7))
    assert drained == pytest.approx(6250.0), "25 mm squared over 1e-7 m²/s"
    assert jerk < 0.05 * drained < drained < night, "a jerk finds loam undrained, a night finds it drained"
    quick = float(stake.axial([LOAM], perimeter=0.085, length=0.56))
    slow = float(loading.axial_slow([LOAM], perimeter=0.085, length=0.56, beta_drained=0.25))
    assert slow == pytest.approx(0.25 * 0.085 * 18e3 * (0.56**2 - 0.05**2) / 2)
    assert slow < 0.25 * quick, "friction alone is a small part of what clay gives in a jerk"
    beta = 0.8 * math.tan(math.radians(17.0))
    sand = loading.axial_slow([SAND], perimeter=0.085, length=0.56, beta_drained=beta)
    assert float(sand) == pytest.approx(float(stake.axial([SAND], perimeter=0.085, length=0.56)), rel=1e-6)
    frozen = replace(LOAM, model="adfreeze")
    assert np.isnan(loading.axial_slow([frozen], perimeter=0.085, length=0.56, beta_drained=0.25))


@given(st.floats(0.0, 0.6), st.floats(0.0, 1.0))
def test_a_stake_that_leans_away_is_pulled_across(lean: float, angle: float) -> None:
    held = float(stake.leaning(1513.0, 474.0, angle, lean))
    assert held == pytest.approx(float(stake.oblique(1513.0, 474.0, abs(angle - lean))))
    if lean <= angle:
        assert held >= float(stake.leaning(1513.0, 474.0, angle, -lean)) - 1e-9, "towards the animal it is drawn out"
    tbar = Anchor("stake", width=0.025, perimeter=0.085, length=0.56)
    upright = capacity(tbar, [LOAM], angle=angle).force
    assert float(capacity(replace(tbar, lean=1e-9), [LOAM], angle=angle).force) == pytest.approx(float(upright))


@given(st.floats(0.02, 0.5), st.floats(1e3, 35e3))
def test_a_plate_just_under_a_boundary_breaks_into_the_soil_above(into: float, weak: float) -> None:
    def held(soil: Layer) -> float:
        deep = replace(Anchor("plate"), depth=0.6 + into + 1.5 * 0.064)
        return float(capacity(deep, [replace(soil, unit_weight=18e3), LOAM]).force)

    soft, same = held(replace(MUCK, cu=weak)), held(replace(LOAM, thickness=0.6))
    assert soft <= same * (1 + 1e-9)
    if into > 0.25:
        assert soft == pytest.approx(same), "deep in the firm ground the muck no longer counts"
    elif into < 0.2:
        assert soft < same
    weak_all = float(plate.uplift_undrained(weak, 18e3, 0.6 + into, 0.025, 0.064))
    assert soft >= weak_all * (1 - 1e-9)


def test_a_plate_in_sand_under_muck_counts_the_sand_alone() -> None:
    buried = [replace(MUCK, thickness=0.4), SAND]
    shallow, deep = (float(capacity(Anchor("plate", depth=0.4 + z + 0.096), buried).force) for z in (0.02, 0.3))
    ratio, m, friction = 0.02 / 0.025, 0.22, 0.95 * math.tan(math.radians(33.5))
    factor = 1.0 + ((1.0 + 2.0 * m * ratio) * 0.025 / 0.064 + 1.0) * ratio * friction
    over = 0.4 * 1.2e3 + 0.02 * 18e3
    assert shallow == pytest.approx(factor * over * 0.025 * 0.064), "all the weight above, the depth in sand alone"
    assert shallow < 0.5 * deep
    split = [replace(SAND, thickness=0.3), replace(SAND)]
    whole = float(capacity(Anchor("plate", depth=0.6), [SAND]).force)
    assert float(capacity(Anchor("plate", depth=0.6), split).force) == pytest.approx(whole), (
        "a cut in one sand is none"
    )


@given(st.floats(0.2, 0.8), st.floats(1.1, 2.0))
def test_scale_of_the_formulas(length: float, by: float) -> None:
    def clay(cu: float, size: float) -> float:
        return float(stake.lateral_undrained(cu, 0.025 * size, length * size, 0.02 * size)[0])

    assert clay(36e3 * by, 1.0) == pytest.approx(by * clay(36e3, 1.0)), "clay: in proportion to the strength"
    assert clay(36e3, by) == pytest.approx(by**2 * clay(36e3, 1.0)), "clay: with the square of the size"
    sand = [float(stake.lateral_drained(0.58, 18e3, 0.025 * s, length * s, 0.02 * s)[0]) for s in (1.0, by)]
    assert sand[1] == pytest.approx(by**3 * sand[0]), "sand: with the cube of the size"
    uplift = [float(plate.uplift_drained(0.58, 18e3, length * s, 0.025 * s, 0.064 * s)) for s in (1.0, by)]
    assert uplift[1] == pytest.approx(by**3 * uplift[0])


def test_picket_systems_of_a_rigging_manual_bear_out_the_overlap() -> None:
    """700, 1800 and 4000 lbf for one picket, 1-1-1 and 3-2-1 (navy rigging manual, seen)."""
    for count, allowed in ((3, 1800.0), (6, 4000.0)):
        assert stake.OVERLAP < allowed / (count * 700.0) < 1.0, "ours credits less of each than the manual"


def test_an_inflatable_is_held_by_what_a_long_stake_holds() -> None:
    """EN 14960 asks 163 kg (1.6 kN) of each anchor point (seen): a 36 in stake in firm lawn reaches it."""
    lawn = float(stake.lateral_undrained(50e3, 0.0254, 0.86, 0.05)[0])
    assert 1.5 < lawn / (163.0 * 9.80665) < 3.0


def test_options_in_the_order_of_loss_time_and_weight() -> None:
    now = Option("one stake", 930.0, 434.0, 0.0, 0.0)
    crossed = Option("crossed", 1563.0, 434.0, 120.0, 1.0)
    slower = Option("crossed, slowly", 1563.0, 434.0, 300.0, 1.0)
    drag_on = Option("drag", NAN, 434.0, 30.0, 3.0)
    proved = Option("proved", 930.0, 434.0, 60.0, 0.0, proof=700.0)
    found = rank_cures(now, [drag_on, slower, crossed, proved])
    names = [one.option.name for one in found]
    assert names.index("crossed") < names.index("crossed, slowly") and names[-1] == "drag"
    assert math.isnan(found[-1].chance), "a drag holds by travelling: no chance of holding"
    by_name = {one.option.name: one for one in found}
    assert by_name["crossed, slowly"].beaten and not by_name["crossed"].beaten and not by_name["one stake"].beaten
    assert by_name["one stake"].spared == 0.0 and by_name["crossed"].spared > 0.1
    assert by_name["proved"].spared > 0.0 and 0.5 < by_name["proved"].stands < 1.0
    assert by_name["proved"].high < by_name["one stake"].high, "a proof cuts the weak end off the doubt"
    again = rank_cures(now, [crossed, proved, drag_on, slower])
    assert again[:-1] == found[:-1] and again[-1].option is drag_on, "the order of asking does not matter"
    ratio = float(mean_ratio(930.0, 434.0, 0.44))
    assert by_name["one stake"].chance == pytest.approx(float(failure_in(ratio, 0.5, 0.44, 20)))
    hopeless = rank_cures(now, [replace(proved, proof=5000.0), crossed])
    assert hopeless[-1].stands < 0.01, "an anchor that would fail its own proof is no cure"


def test_drags_travel_and_roots_hold_while_they_live() -> None:
    assert float(drag.tow_force(4.0, 0.6)) == pytest.approx(23.5, abs=0.1)
    assert float(drag.tow_force(4.0, 0.6, 100.0)) == pytest.approx(123.5, abs=0.1)
    median, far = drag.travel([0.5, 0.95], 30.0)
    assert float(median) == pytest.approx(30.0 * math.log(2.0)) and float(far) == pytest.approx(30.0 * math.log(20.0))
    assert np.isinf(drag.travel(1.0, 30.0)) and np.isnan(drag.travel(1.2, 30.0))
    assert float(drag.travel(0.5, 60.0)) == pytest.approx(2 * float(median)), "no brush, no drag"
    assert float(drag.root(0.03)) == pytest.approx(10.6e3, rel=0.01)
    assert float(drag.root(0.03, 0.0)) == 0.0, "a rotten root holds nothing"
