"""Frozen-in traps of both families: which part holds, and cures that are none."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.ground import frozen_trap as frozen
from setwright.ground.breakout import breakout_torque, jaw_stuck

FEW = settings(max_examples=60, deadline=None)
SOAKED = {"radius": 0.065, "shear": 200e3, "tension": 400e3, "adfreeze": 200e3, "jaw_width": 0.006}
LEAF = {"width": 0.02, "length": 0.17, "bending_stiffness": 9.2, "toughness": 1.0}
COILS, DRY = "four coils in place of two", "bedded anew in dry dirt, over and under"


def found(torque=2.5, push=60.0, held=0.0, thickness=0.005, bonded=True) -> frozen.FrozenTrap:
    return frozen.frozen_trap(torque, push, held, thickness=thickness, jaw_bonded=bonded, **SOAKED)


@given(st.floats(0.1, 40.0), st.floats(1.0, 200.0), st.floats(0.0, 300.0), st.floats(0.0, 0.02), st.booleans())
@FEW
def test_it_fires_where_jaw_and_spring_have_enough(
    torque: float, push: float, held: float, thick: float, bonded: bool
) -> None:
    one = found(torque, push, held, thick, bonded)
    spare = float(jaw_stuck(torque, breakout_torque(thick, 0.065, 200e3, 400e3, 200e3, 0.006, bonded)))
    assert bool(one.fires) == (spare > 0.0 and held < push)
    assert (int(one.governs) == frozen.FREE) == bool(one.fires)


def test_each_term_governs_in_its_turn() -> None:
    codes = [
        int(one.governs)
        for one in (
            found(thickness=0.0, bonded=False),
            found(thickness=0.01, bonded=False),
            found(thickness=0.001),
            found(torque=60.0, held=108.0),
        )
    ]
    assert codes == [frozen.FREE, frozen.CRUST, frozen.JAW_BOND, frozen.SPRING_BOND]
    assert len(frozen.TERMS) == len(frozen.MENDS) == 4 and all("dry" in mend for mend in frozen.MENDS[1:])
    unknown = found(torque=math.nan)
    assert int(unknown.governs) == -1 and not bool(unknown.fires)


def test_a_lever_asks_more_than_a_leaf_until_ice_fills_the_gap() -> None:
    lever = float(frozen.coil_held(200e3, 0.09, 0.012))
    assert lever == pytest.approx(108.0), "9.7 N m about the pivot"
    touching = frozen.leaf_held(200e3, contact=np.array([0.01, 0.02, 0.04]), **LEAF)
    assert touching == pytest.approx([39.0, 30.3, 15.2], rel=0.01), "torn at once when short, peeled when longer"
    assert float(frozen.leaf_held(200e3, contact=0.17, **LEAF)) > lever, "a gap full of ice: no edge to peel from"


def test_the_jaw_terms_are_the_same_for_both_families() -> None:
    coil = found(held=float(frozen.coil_held(200e3, 0.09, 0.012)))
    long_spring = found(held=float(frozen.leaf_held(200e3, contact=0.02, **LEAF)))
    assert coil.crust == long_spring.crust and coil.jaw_bond == long_spring.jaw_bond
    assert float(coil.spring_bond) > float(long_spring.spring_bond)


@given(st.floats(0.5, 6.0), st.floats(0.0003, 0.02), st.booleans())
@FEW
def test_force_alone_is_never_offered_against_ice(torque: float, thick: float, bonded: bool) -> None:
    stuck = found(torque=torque, thickness=thick, bonded=bonded)
    if bool(stuck.fires):
        return
    by_name = {one.cure.name: one for one in frozen.weigh_cures(stuck)}
    coils = by_name[COILS]
    assert not coils.offered, "four coils are no cure of a soaked crust"
    assert "no cure" in coils.why or "not offered" in coils.why
    assert coils.given == pytest.approx(2.0)
    assert by_name[DRY].offered or float(stuck.crust + stuck.jaw_bond) >= 100.0


def test_a_soaked_crust_asks_for_many_times_what_two_more_coils_give() -> None:
    by_name = {one.cure.name: one for one in frozen.weigh_cures(found(held=108.0))}
    coils = by_name[COILS]
    assert coils.needed == pytest.approx(11.3, abs=0.1) and not coils.enough
    assert frozen.TERMS[frozen.JAW_BOND] in coils.why
    assert not by_name["dry dirt over the jaws only"].enough, "a jaw frozen to a wet bed is not freed from above"
    assert by_name[DRY].offered
    unknown = frozen.weigh_cures(found(torque=math.nan))
    assert not any(one.enough or one.offered for one in unknown) and "cannot tell" in unknown[0].why


def test_arrays_go_through() -> None:
    many = found(thickness=np.array([0.0, 0.002, 0.01]), torque=np.full((2, 1), 3.0), bonded=False)
    assert many.governs.shape == (2, 3)
    assert np.all(np.diff(many.crust, axis=1) > 0.0)
