"""Stakes, crossed pairs and plates: limits, monotony, layers, frost, proof pulls, trade figures."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.ground import stake
from setwright.ground.anchor import Anchor, capacity, drag_travel
from setwright.ground.plate import keyed_depth, uplift_drained, uplift_undrained
from setwright.ground.soil import Layer, at, spans, stress, thawed

NAN, INF = math.nan, math.inf
GRAVITY = 9.80665
LOAM = Layer("loam", "undrained", INF, NAN, 36e3, 18e3, NAN)
MUCK = Layer("muck", "undrained", INF, NAN, 4e3, 1.2e3, NAN)
SAND = Layer("firm sand", "drained", INF, np.radians(33.5), NAN, 18e3, np.radians(17.0))
FROZEN = Layer("frozen", "adfreeze", 0.2, NAN, NAN, 19e3, NAN)
THAW = Layer("thawed soil", "undrained", INF, NAN, 12e3, 17e3, NAN)
TBAR = Anchor("stake", width=0.025, perimeter=0.085, length=0.56, yield_moment=400.0)
CABLE = Anchor("plate", plate_width=0.025, plate_length=0.064, depth=0.6)

strengths = st.floats(1e3, 200e3)
lengths = st.floats(0.25, 1.2)
angles = st.floats(0.0, np.pi / 2)


@given(strengths, lengths, st.floats(1.02, 2.0), angles)
def test_a_longer_stake_and_a_stronger_ground_hold_more(cu: float, length: float, more: float, angle: float) -> None:
    base = replace(TBAR, length=length, yield_moment=INF)
    ground = replace(LOAM, cu=cu)
    start = float(capacity(base, [ground], angle=angle).force)
    longer = float(capacity(replace(base, length=length * more), [ground], angle=angle).force)
    stronger = float(capacity(base, [replace(ground, cu=cu * more)], angle=angle).force)
    assert longer > start, "a longer stake holds more"
    assert stronger > start, "a stronger ground holds more"


@given(strengths, lengths, st.floats(0.01, 0.06), st.floats(0.0, 0.3))
def test_side_pull_balances_the_soil_that_resists(cu: float, length: float, width: float, height: float) -> None:
    force, moment = (float(x) for x in stake.lateral_undrained(cu, width, length, height))
    f = force / (9.0 * cu * width)
    turn = 0.5 * (1.5 * width + f + length)
    z = np.linspace(0.0, length, 20001)
    middle = 0.5 * (z[1:] + z[:-1])
    pushes = np.where(middle < 1.5 * width, 0.0, np.where(middle < turn, 1.0, -1.0)) * 9.0 * cu * width
    step = z[1] - z[0]
    scale = 9.0 * cu * width * length
    assert abs(float(np.sum(pushes) * step) - force) < 2e-3 * scale, "sideways the pushes of the soil carry the pull"
    turning = float(np.sum(pushes * (height + middle)) * step)
    assert abs(turning) < 2e-3 * scale * (length + height), "about the pull the pushes of the soil turn nothing"
    assert moment >= force * height, "the stake bends at least by the height of the pull"


@given(st.floats(0.45, 0.8), lengths, st.floats(0.01, 0.06), st.floats(0.0, 0.3))
def test_side_pull_in_sand_balances_about_the_toe(phi: float, length: float, width: float, height: float) -> None:
    force, _ = stake.lateral_drained(phi, 18e3, width, length, height)
    passive = (1.0 + np.sin(phi)) / (1.0 - np.sin(phi))
    z = np.linspace(0.0, length, 4001)
    toe = np.trapezoid(3.0 * passive * 18e3 * width * z * (length - z), z)
    assert float(force) * (height + length) == pytest.approx(float(toe), rel=1e-4)


def test_a_stake_that_is_hardly_longer_than_wide_holds_nothing() -> None:
    force, _ = stake.lateral_undrained(36e3, 0.1, 0.12, 0.0)
    assert float(force) == pytest.approx(0.0, abs=1e-6), "nothing is counted in the top one and a half widths"


@given(st.floats(50.0, 5000.0), st.floats(50.0, 5000.0), angles)
def test_an_oblique_pull_lies_between_side_and_straight(side: float, straight: float, angle: float) -> None:
    held = float(stake.oblique(side, straight, angle))
    low, high = sorted((side, straight))
    assert low * (1 - 1e-9) <= held <= high * (1 + 1e-9)
    assert float(stake.oblique(side, straight, 0.0)) == pytest.approx(side)
    assert float(stake.oblique(side, straight, np.pi / 2)) == pytest.approx(straight)


@given(st.floats(0.2, 1.2), angles)
def test_crossed_stakes_hold_more_than_one_and_at_most_twice_both(beta: float, angle: float) -> None:
    one = capacity(TBAR, [LOAM], angle=angle).force
    pair = capacity(replace(TBAR, kind="crossed", beta=beta), [LOAM], angle=angle).force
    side, _ = stake.lateral_undrained(36e3, 0.025, 0.56, 0.02)
    assert float(pair) > 1.2 * float(one), "two stakes beat one at any angle of pull"
    assert float(pair) <= 2.0 * np.hypot(float(side), 475.0), "never more than all that both can resist"


def test_crossed_stakes_pulled_straight_up_hold_about_four_times_one() -> None:
    one = float(stake.axial([LOAM], perimeter=0.085, length=0.56))
    side, _ = stake.lateral_undrained(36e3, 0.025, 0.56, 0.02)
    assert float(stake.crossed(side, one, np.radians(40.0))) / one == pytest.approx(4.2, abs=0.1)


def test_a_weak_stake_bends_before_the_ground_gives() -> None:
    rod = Anchor("stake", width=0.0127, perimeter=0.0399, length=0.76, yield_moment=143.0)
    stiff = replace(LOAM, cu=150e3)
    found = capacity(rod, [stiff])
    assert found.governs == "bends"
    assert float(found.force) < float(capacity(replace(rod, yield_moment=INF), [stiff]).force)


def test_layers_add_up_along_the_stake() -> None:
    split = [replace(LOAM, thickness=0.21), replace(LOAM, thickness=0.13), LOAM]
    assert float(stake.axial(split, perimeter=0.085, length=0.56)) == pytest.approx(
        float(stake.axial([LOAM], perimeter=0.085, length=0.56)), rel=2e-3
    )
    assert float(capacity(TBAR, split, angle=0.3).force) == pytest.approx(
        float(capacity(TBAR, [LOAM], angle=0.3).force), rel=2e-3
    )
    soft_on_firm = float(capacity(TBAR, [replace(MUCK, thickness=0.3), LOAM]).force)
    weak, strong = (float(capacity(TBAR, [layer]).force) for layer in (MUCK, LOAM))
    assert weak < soft_on_firm < strong, "muck over loam lies between muck and loam"


def test_stress_and_layers_by_depth() -> None:
    ground = [replace(MUCK, thickness=0.5), LOAM]
    assert float(stress(ground, 0.5)) == pytest.approx(600.0)
    assert float(stress(ground, 0.7)) == pytest.approx(600.0 + 3600.0)
    assert [at(ground, depth).name for depth in (0.0, 0.49, 0.5, 9.0)] == ["muck", "muck", "loam", "loam"]
    assert [(layer.name, low, high) for layer, low, high in spans(ground, 0.1, 0.8)] == [
        ("muck", 0.1, 0.5),
        ("loam", 0.5, 0.8),
    ]


def test_a_frozen_layer_counts_only_while_frozen() -> None:
    ground = [FROZEN, LOAM]
    soft = thawed(ground, THAW)
    assert [(one.name, one.thickness) for one in soft] == [("thawed soil", 0.2), ("loam", INF)]
    while_frozen = float(stake.axial(ground, perimeter=0.085, length=0.56))
    after = float(stake.axial(soft, perimeter=0.085, length=0.56))
    bond = 250e3 * 0.085 * 0.15
    assert while_frozen > bond > 5.0 * after, "the bond of frozen ground is many times what is left after a thaw"
    assert after < float(stake.axial([LOAM], perimeter=0.085, length=0.56))


@pytest.mark.parametrize("kind", ["stake", "crossed"])
def test_frozen_ground_gives_no_figure_and_says_why(kind: str) -> None:
    found = capacity(replace(TBAR, kind=kind), [FROZEN, LOAM], angle=0.2)
    assert np.isnan(found.force)
    assert found.governs == "frozen ground"
    thaw = capacity(replace(TBAR, kind=kind), thawed([FROZEN, LOAM], THAW), angle=0.2)
    assert float(thaw.force) > 0.0
    assert thaw.governs == "pulls"


def test_a_plate_counts_the_layer_in_which_it_lies() -> None:
    below = capacity(CABLE, [FROZEN, LOAM])
    assert below.governs == "breaks out"
    assert float(below.force) == pytest.approx(float(capacity(CABLE, [LOAM]).force), rel=0.01)
    inside = capacity(CABLE, [replace(FROZEN, thickness=1.0), LOAM])
    assert np.isnan(inside.force)
    assert inside.governs == "frozen ground"


def test_a_plate_in_muck_does_not_hold_a_beaver() -> None:
    lift = 1.5 * 25.0 * GRAVITY
    assert float(capacity(CABLE, [MUCK], rate=1.3).force) < 0.25 * lift, "not a quarter of a steady upward pull"
    reaching = capacity(replace(CABLE, depth=1.2), [replace(MUCK, thickness=0.9), LOAM], rate=1.3)
    assert float(reaching.force) > lift, "driven through to firm bottom it carries the steady pull"


@given(st.floats(0.25, 1.5), st.floats(1.05, 2.0), st.floats(0.4, 0.8))
def test_a_deeper_plate_holds_at_least_as_much(depth: float, more: float, phi: float) -> None:
    sand = (float(uplift_drained(phi, 18e3, d, 0.025, 0.064)) for d in (depth, depth * more))
    clay = (float(uplift_undrained(20e3, 17e3, d, 0.025, 0.064)) for d in (depth, depth * more))
    for shallow, deep in (sand, clay):
        assert deep > shallow > 0.0


@given(st.floats(0.36, 0.78), st.floats(1.01, 1.08))
def test_denser_sand_holds_a_plate_better(phi: float, more: float) -> None:
    loose, dense = (float(uplift_drained(angle, 18e3, 0.5, 0.025, 0.064)) for angle in (phi, phi * more))
    assert dense > loose


def test_a_plate_that_never_turned_holds_nothing() -> None:
    assert float(keyed_depth(0.05, 0.064)) == 0.0
    assert float(capacity(replace(CABLE, depth=0.05), [LOAM]).force) == 0.0
    assert float(keyed_depth(0.6, 0.064)) == pytest.approx(0.504)


def test_a_proof_pull_is_a_lower_bound_and_narrows_the_draws() -> None:
    draws = replace(LOAM, cu=np.geomspace(10e3, 100e3, 50))
    free = capacity(TBAR, [draws], angle=0.26)
    proved = capacity(replace(TBAR, proof=700.0), [draws], angle=0.26)
    assert proved.force.min() == 700.0
    assert np.std(proved.force) < np.std(free.force)
    assert np.array_equal(proved.force[free.force > 700.0], free.force[free.force > 700.0])


def test_other_anchors() -> None:
    assert capacity(Anchor("tree"), []).governs == "tackle"
    thin, thick = (float(capacity(Anchor("sapling", diameter=d, pull_height=0.2), []).force) for d in (0.05, 0.06))
    assert thin == pytest.approx(3068.0, rel=1e-3), "green wood of 50 MPa, 50 mm, pulled at 0.2 m"
    assert thick / thin == pytest.approx(1.2**3)
    drag = capacity(Anchor("drag"), [LOAM])
    assert np.isnan(drag.force)
    assert drag.governs == "travels"
    assert float(drag_travel(100.0, 300.0, 25.0)) == 25.0
    assert float(drag_travel(400.0, 300.0, 25.0)) == 0.0
    assert np.isnan(capacity(TBAR, []).force)
    assert capacity(TBAR, []).governs == "unknown ground"


@given(st.floats(5.0, 60.0), st.floats(0.2, 0.6), st.floats(0.0, 1.5))
def test_a_sliding_weight_is_in_balance(mass: float, friction: float, angle: float) -> None:
    block = Anchor("weight", mass=mass, material_density=2300.0, friction=friction)
    pull = float(capacity(block, [], angle=angle).force)
    carried = mass * GRAVITY * (1.0 - 1000.0 / 2300.0) - pull * np.sin(angle)
    assert pull * np.cos(angle) == pytest.approx(friction * carried, rel=1e-9, abs=1e-9)


@given(st.lists(strengths, min_size=2, max_size=6), st.randoms(use_true_random=False))
def test_draws_are_independent_of_their_order_and_of_the_call(values: list[float], chance: random.Random) -> None:
    order = sorted(range(len(values)), key=lambda _: chance.random())
    cu = np.array(values)
    for one in (TBAR, replace(TBAR, kind="crossed"), CABLE):
        first, again = (capacity(one, [replace(LOAM, cu=cu)], angle=0.3).force for _ in range(2))
        mixed = capacity(one, [replace(LOAM, cu=cu[order])], angle=0.3).force
        assert np.array_equal(first, again), "the same question has the same answer"
        assert np.allclose(first[order], mixed, rtol=1e-12), "a draw does not see its neighbours"


def test_field_figures_lie_in_the_same_range() -> None:
    """Order of magnitude only: the sites of these figures are not described."""
    lawn, _ = stake.lateral_undrained(np.array([25e3, 50e3]), 0.0254, 0.86, 0.05)
    assert 0.5 * 4448 < float(lawn[1]) < 4448, "a lawn stake of 36 in held about 1000 lbf on the average"
    assert float(lawn[0] / lawn[1]) == pytest.approx(0.5, abs=0.01), "and half of it in a soaked lawn"
    picket, _ = stake.lateral_undrained(36e3, 0.0762, 1.0668, 0.0)
    assert 2.0 < float(picket) / (700 * 4.448) < 4.0, "a rigging manual allows 700 lbf: a usual margin under ours"
    driven, _ = stake.lateral_undrained(50e3, 0.025, 1.0, 0.0)
    assert 1.0 < float(driven) / (350 * GRAVITY) < 2.0, "an emergency manual allows 350 kg"


def test_a_rod_is_pumped_out_of_sand() -> None:
    angle = np.radians(15.0)
    sand, loam = (float(capacity(TBAR, [one], angle=angle, cyclic=0.6).force) for one in (SAND, LOAM))
    assert sand < 0.2 * loam
    assert sand < 0.3 * 434.0, "less than a third of a typical lunge of a coyote on a foot of chain"
    crossed = float(capacity(replace(TBAR, kind="crossed"), [SAND], angle=angle, cyclic=0.6).force)
    assert crossed > 1.9 * sand, "crossing helps most where a stake is drawn straight out"
