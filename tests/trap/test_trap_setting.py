"""Force to set: work of the springs, where the force is greatest, who can press it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from trap_cases import CASES, COIL_CASE, LONG_CASE

from setwright.trap.build import build
from setwright.trap.loop import loop_at
from setwright.trap.setting import ANSWERS, CAN, CANNOT, CANNOT_TELL, SettingForce, can_set, setting_force
from setwright.trap.tables import dimensions, patterns, working


@pytest.mark.parametrize("eye", ["round", "slot"])
@pytest.mark.parametrize("case", sorted(CASES))
def test_without_rubbing_the_work_is_stored_in_the_spring(case: str, eye: str) -> None:
    trap = replace(CASES[case], free_coordinate=1.6 if case == "coil" else 0.2, eye=eye)
    found = setting_force(trap, rubbing=0.0)
    way = found.coordinate
    stored = 0.5 * trap.spring_rate * ((trap.free_coordinate - way[-1]) ** 2 - (trap.free_coordinate - way[0]) ** 2)
    assert float(found.work) == pytest.approx(stored, rel=1e-9)
    rubbed = setting_force(trap, rubbing=0.2)
    assert float(rubbed.work / found.work) == pytest.approx(1.2, rel=1e-12)
    assert float(rubbed.hand / found.hand) == pytest.approx(1.2, rel=1e-12)


def test_square_force_by_virtual_work() -> None:
    """A press point that moves by p·dφ gives what the spring takes up."""
    found = setting_force(COIL_CASE, press_share=0.8, rubbing=0.0)
    arc = 0.8 * COIL_CASE.lever_length * np.diff(found.coordinate)
    middle = 0.5 * (found.force[1:] + found.force[:-1])
    energy = 0.5 * COIL_CASE.spring_rate * np.maximum(COIL_CASE.free_coordinate - found.coordinate, 0.0) ** 2
    np.testing.assert_allclose(-middle * arc, np.diff(energy), rtol=1e-9)
    drop = COIL_CASE.lever_length * 0.8 * np.sin(found.coordinate)
    down = found.force / np.cos(found.coordinate)
    flat = found.coordinate < np.pi / 3
    moved = -np.diff(drop)[flat[1:]] * (0.5 * (down[1:] + down[:-1]))[flat[1:]]
    np.testing.assert_allclose(moved, np.diff(energy)[flat[1:]], rtol=4e-3)
    assert float(found.foot) == pytest.approx(down[flat].max(), rel=1e-12)


@pytest.mark.parametrize("key", patterns().keys())
def test_hardest_at_the_bottom(key: str) -> None:
    trap = build(dimensions(key))
    found = setting_force(trap)
    assert float(found.hand_at) == pytest.approx(float(loop_at(trap, trap.set_angle).coordinate)), "set position"
    assert 80.0 < float(found.hand) < 450.0
    assert float(found.foot) >= float(found.hand) * (1 - 1e-12), "straight down is never easier than square"
    both = 2.0 if trap.family == "coil" else 1.0
    assert float(found.together) == pytest.approx(both * float(found.foot))
    assert float(found.setters) == pytest.approx(float(found.hand) / 6.0)
    assert (np.diff(found.force) >= -1e-9).all(), "each step down is harder"


def test_a_steep_lever_under_the_foot() -> None:
    low, high = (setting_force(COIL_CASE, steepest=angle) for angle in (0.5, 1.33))
    assert float(high.foot) >= float(low.foot)
    stiff = replace(COIL_CASE, free_coordinate=3.0)
    near = setting_force(stiff, steepest=1.33)
    assert float(near.foot_at) > 1.0 and float(near.foot) > 2.0 * float(near.hand), "straight down on a steep lever"


@settings(max_examples=30, deadline=None)
@given(case=st.sampled_from(sorted(CASES)), share=st.floats(0.3, 1.0), factor=st.floats(0.3, 3.0))
def test_proportions(case: str, share: float, factor: float) -> None:
    trap = CASES[case]
    base, nearer = setting_force(trap), setting_force(trap, press_share=share)
    assert float(nearer.hand) == pytest.approx(float(base.hand) / share), "nearer to the pivot is harder"
    assert float(nearer.work) == pytest.approx(float(base.work)), "the work stays"
    stronger = setting_force(replace(trap, spring_rate=factor * trap.spring_rate))
    assert float(stronger.hand) == pytest.approx(factor * float(base.hand))
    assert float(stronger.work) == pytest.approx(factor * float(base.work))


def test_a_slotted_lever_is_pressed_where_the_set_jaws_stand_in_it() -> None:
    slot = replace(COIL_CASE, eye="slot")
    loop = loop_at(slot, slot.set_angle)
    torque = slot.spring_rate * (slot.free_coordinate - float(loop.coordinate))
    end = np.hypot(slot.lever_length, slot.lever_length * np.tan(float(loop.coordinate)))
    far = replace(slot, pivot_height=-0.03)
    assert float(setting_force(slot, rubbing=0.0).hand) == pytest.approx(torque / end, rel=1e-9)
    turned = loop_at(far, far.set_angle)
    there = far.spring_rate * (far.free_coordinate - float(turned.coordinate))
    steep = there * np.cos(float(turned.coordinate)) / far.lever_length
    assert np.cos(float(turned.coordinate)) < 0.95
    assert float(setting_force(far, rubbing=0.0).hand) == pytest.approx(steep, rel=1e-9)


def test_four_coils_need_twice_the_force() -> None:
    two, four = (setting_force(build(dimensions("coil-1.5", springs=n))) for n in (2, 4))
    assert float(four.together / two.together) == pytest.approx(2.0, rel=1e-12)


def test_many_designs_and_those_that_cannot_be_set() -> None:
    lengths = np.array([0.048, 0.006, 0.06])
    found = setting_force(replace(COIL_CASE, lever_length=lengths))
    assert np.isnan(found.hand[1]) and np.isfinite(found.hand[[0, 2]]).all(), "the short one does not reach"
    for at in (0, 2):
        alone = setting_force(replace(COIL_CASE, lever_length=float(lengths[at])))
        assert float(found.hand[at]) == pytest.approx(float(alone.hand), rel=1e-12)
        assert float(found.foot[at]) == pytest.approx(float(alone.foot), rel=1e-12)
    narrow = setting_force(replace(LONG_CASE, eye_half_opening=0.004))
    assert np.isnan(narrow.hand) and np.isnan(narrow.work) and np.isnan(narrow.together)


def _needs(hand: float, setters: float, together: float) -> SettingForce:
    number = {name: np.asarray(0.0) for name in SettingForce.__dataclass_fields__}
    number |= {"hand": np.asarray(hand), "setters": np.asarray(setters), "together": np.asarray(together)}
    return SettingForce(**number)


def test_who_can_set_it() -> None:
    found = can_set(_needs(150.0, 25.0, 400.0), strength=[100.0, 150.0, 200.0, np.nan], body_mass=70.0)
    assert found.hand.tolist() == [CANNOT, CANNOT_TELL, CAN, CANNOT_TELL]
    assert found.setters.tolist()[:3] == [CAN, CAN, CAN]
    assert int(found.foot) == CAN and float(found.body_share) == pytest.approx(400.0 / (70.0 * 9.80665))
    child = can_set(_needs(150.0, 25.0, 400.0), strength=60.0, body_mass=30.0)
    assert [ANSWERS[int(code)] for code in (child.hand, child.setters, child.foot)] == ["cannot", "can", "cannot"]
    sure = can_set(_needs(150.0, 25.0, 400.0), strength=[149.9, 150.1], body_mass=70.0, doubt=0.0)
    assert sure.hand.tolist() == [CANNOT, CAN]
    lost = can_set(_needs(np.nan, np.nan, np.nan), strength=500.0, body_mass=100.0)
    assert {int(lost.hand), int(lost.setters), int(lost.foot)} == {CANNOT_TELL}


def test_the_table_and_the_code_stand_for_the_same_figures() -> None:
    table = working()
    trap = build(dimensions("coil-2"))
    named = setting_force(
        trap, setter_ratio=table.number("setting", "setter_ratio"), rubbing=table.number("setting", "rubbing"),
        steepest=table.number("setting", "steepest"),
    )  # fmt: skip
    plain = setting_force(trap)
    assert float(named.setters) == pytest.approx(float(plain.setters))
    assert float(named.foot) == pytest.approx(float(plain.foot))
    assert table.number("setting", "setting_doubt") == 0.3 and table.number("setting", "foot_share") == 0.8
