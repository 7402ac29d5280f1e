"""Springs: bending along the wire and the leaf, powers of dimensions, what a set spring reports."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from setwright.basis.errors import OutOfRange
from setwright.trap import springs
from setwright.trap.build import build
from setwright.trap.loop import loop_at
from setwright.trap.model import STEEL_MODULUS
from setwright.trap.tables import dimensions

WIRE, COIL, TURNS = 0.0034, 0.015, 8.0


def test_rate_without_rubbing_is_the_bending_of_the_wire() -> None:
    inertia = np.pi * WIRE**4 / 64.0
    per_turn = 2.0 * np.pi * STEEL_MODULUS * inertia / (np.pi * COIL * TURNS)
    found = springs.coil_rate(WIRE, COIL, TURNS, constant=10.2)
    assert float(found) == pytest.approx(per_turn, rel=2e-3), "10.2 is 32/π rounded"
    rubbing = float(springs.coil_rate(WIRE, COIL, TURNS))
    assert rubbing / float(found) == pytest.approx(10.2 / 10.8, rel=1e-12), "rubbing turns soften the count"


@settings(max_examples=30, deadline=None)
@given(factor=st.floats(0.5, 2.0))
def test_powers_of_the_coil(factor: float) -> None:
    base = float(springs.coil_rate(WIRE, COIL, TURNS))
    assert float(springs.coil_rate(factor * WIRE, COIL, TURNS)) == pytest.approx(factor**4 * base), (
        "wire to the fourth"
    )
    assert float(springs.coil_rate(WIRE, factor * COIL, TURNS)) == pytest.approx(base / factor), "diameter"
    assert float(springs.coil_rate(WIRE, COIL, factor * TURNS)) == pytest.approx(base / factor), "turns"


def test_stress_and_moment_undo_each_other() -> None:
    moment = springs.coil_moment(1.5e9, WIRE, COIL)
    assert float(springs.coil_stress(moment, WIRE, COIL)) == pytest.approx(1.5e9, rel=1e-12)
    plain = 32.0 * float(moment) / (np.pi * WIRE**3)
    assert 1.0 < 1.5e9 / plain < 1.3, "curvature raises the stress of the inner fibre somewhat"
    assert float(springs.stress_factor(1e4)) == pytest.approx(1.0, abs=1e-3), "a straight wire has no such factor"


def test_straight_ends_bend_as_a_third_of_their_length() -> None:
    added = float(springs.active_turns(7.0, COIL, 0.05)) - 7.0
    assert added * np.pi * COIL == pytest.approx(0.05 / 3.0, rel=1e-12)


def test_thin_wire_is_stronger() -> None:
    wires = np.array([0.001, 0.002, 0.004, 0.006])
    found = springs.wire_strength(wires)
    assert (np.diff(found) < 0).all()
    assert float(found[0]) == pytest.approx(2211e6, rel=1e-12), "the constant is the strength at 1 mm"


def test_winding_up_narrows_the_coil_and_keeps_the_wire() -> None:
    turned = np.array([0.0, 0.25, 0.5])
    inside = springs.wound_inside_diameter(COIL, WIRE, 7.0, turned)
    assert float(inside[0]) == pytest.approx(COIL - WIRE, rel=1e-12)
    lengths = np.pi * (inside + WIRE) * (7.0 + turned)
    assert lengths == pytest.approx(np.pi * COIL * 7.0, rel=1e-12), "length of the wire in the body"


def _leaf_compliance(width: float, thick: float, arm: float, bend: float, *, tapered: bool) -> float:
    """Eye to eye under 1 N by integrating the bending moment along the middle line."""
    stiff = STEEL_MODULUS * width * thick**3 / 12.0
    share = (lambda x: x / arm) if tapered else (lambda _: 1.0)
    arms, _ = quad(lambda x: x**2 / share(x) if x > 0 else 0.0, 0.0, arm)
    bow, _ = quad(lambda angle: (arm + bend * np.sin(angle)) ** 2 * bend, 0.0, np.pi)
    return (2.0 * arms + bow) / stiff


@pytest.mark.parametrize(("taper", "tapered"), [(1.0, False), (1.5, True)], ids=["even arms", "tapered arms"])
@pytest.mark.parametrize("size", [(0.014, 0.0022, 0.090, 0.008), (0.025, 0.0035, 0.165, 0.012)])
def test_leaf_is_the_integral_of_its_bending(
    size: tuple[float, float, float, float], taper: float, tapered: bool
) -> None:
    found = float(springs.leaf_rate(*size, taper=taper))
    assert 1.0 / found == pytest.approx(_leaf_compliance(*size, tapered=tapered), rel=1e-9)


def test_leaf_stress_is_that_of_the_bend() -> None:
    width, thick, arm, bend = 0.019, 0.0028, 0.125, 0.010
    modulus_of_section = width * thick**2 / 6.0
    found = float(springs.leaf_stress(100.0, width, thick, arm, bend))
    assert found == pytest.approx(100.0 * (arm + bend) / modulus_of_section, rel=1e-12)


@settings(max_examples=30, deadline=None)
@given(rate=st.floats(1.0, 1e4), free=st.floats(0.0, 2.0), at=st.floats(-1.0, 3.0))
def test_a_spring_never_pulls(rate: float, free: float, at: float) -> None:
    effort = float(springs.spring_effort(rate, free, at))
    assert effort == pytest.approx(max(rate * (free - at), 0.0)), "linear down to nothing and no further"


def test_the_built_coil_is_set_at_its_share_of_strength() -> None:
    readings = dimensions("coil-1.5")
    trap = build(readings)
    torque = trap.spring_rate * (trap.free_coordinate - loop_at(trap, trap.set_angle).coordinate)
    stress = springs.coil_stress(torque, readings.wire_diameter, readings.coil_diameter)
    assert float(stress) == pytest.approx(0.85 * float(trap.strength), rel=1e-9)
    assert float(trap.set_stress) == pytest.approx(float(stress), rel=1e-9)
    assert not bool(trap.over_stressed)


def test_a_strain_beyond_strength_is_told() -> None:
    share = np.array([0.85, 0.99, 1.01, 1.2])
    trap = build(replace(dimensions("coil-2"), set_stress_share=share))
    assert trap.over_stressed.tolist() == [False, False, True, True]
    assert not bool(build(dimensions("long-2")).over_stressed), "strength of a leaf is not known, so nothing is said"


@pytest.mark.parametrize("key", ["coil-1.5", "long-2"])
def test_a_worn_spring_pushes_by_its_share(key: str) -> None:
    new, worn = (build(replace(dimensions(key), spring_health=share)) for share in (1.0, 0.6))
    assert float(worn.spring_rate / new.spring_rate) == pytest.approx(0.6, rel=1e-12)
    assert float(worn.free_coordinate) == pytest.approx(float(new.free_coordinate), rel=1e-12), "rest position"
    assert float(worn.set_stress / new.set_stress) == pytest.approx(0.6, rel=1e-9)


def test_a_measured_rate_replaces_the_computed_one() -> None:
    leaf = build(replace(dimensions("long-2"), spring_rate=2500.0))
    assert float(leaf.spring_rate) == pytest.approx(2500.0), "felt at the ring"
    coil = build(replace(dimensions("coil-1.5", springs=4), spring_rate=5000.0))
    assert float(coil.spring_rate) == pytest.approx(2 * 5000.0 * 0.038**2, rel=1e-9), "two coils, at the lever's eye"


def test_missing_readings_and_odd_counts_are_refused() -> None:
    for broken in (
        replace(dimensions("coil-1"), wire_diameter=None),
        replace(dimensions("long-1"), leaf_arm=None),
        replace(dimensions("coil-1"), springs=3),
        replace(dimensions("long-1"), springs=4),
    ):
        with pytest.raises(OutOfRange):
            build(broken)
