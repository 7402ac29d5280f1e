"""Step and wading: limits and order."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.animal import tables
from setwright.animal.step import contact_area, foot_radius, lane_probability, patch_probability
from setwright.animal.wade import CHEST, LEG_FACTOR, carried_share, leg_length
from setwright.basis.errors import OutOfRange

lengths = st.floats(0.005, 0.3)


def test_contact_area_of_points_and_discs() -> None:
    assert contact_area(0.03, 0.0) == pytest.approx(np.pi * 0.03**2), "a point foot meets the pan itself"
    assert foot_radius(0.06, 0.06) == pytest.approx(0.03), "a round foot"


@given(lengths, lengths)
def test_pan_and_foot_may_be_swapped(pan: float, foot: float) -> None:
    assert contact_area(pan, foot) == pytest.approx(contact_area(foot, pan))


@given(st.floats(1e-5, 0.05), st.floats(0.1, 3.0), st.floats(0.1, 2.0), st.floats(1, 4))
def test_lane_is_a_chance_and_narrower_is_better(area: float, width: float, stride: float, places: float) -> None:
    found = float(lane_probability(area, width, stride, places))
    assert 0 <= found <= 1
    assert lane_probability(area, width / 2, stride, places) >= found
    assert 1 - lane_probability(area, width, stride, 2 * places) == pytest.approx((1 - found) ** 2), (
        "independent places"
    )
    assert found == pytest.approx(float(patch_probability(area, places, width * stride))), "a lane is a patch"


def test_small_counts_are_counts() -> None:
    assert lane_probability(1e-7, 0.2, 0.8, 2) == pytest.approx(2e-7 / 0.16, rel=1e-5)


def test_no_lane_is_not_a_number() -> None:
    assert np.isnan(lane_probability(0.01, [0.0, -1.0], 0.8, 2)).all()
    assert np.isnan(patch_probability(0.01, 8, 0.0))


def test_arrays_in_any_order() -> None:
    width = np.array([0.1, 0.2, 0.4])
    assert np.array_equal(lane_probability(0.01, width[::-1], 0.8, 2), lane_probability(0.01, width, 0.8, 2)[::-1])


def test_wading_marks() -> None:
    assert carried_share([-0.1, 0.0], 0.2) == pytest.approx([1.0, 1.0])
    assert carried_share(0.2, 0.2) == pytest.approx(1 - 0.15 / 0.975, abs=0.01), "0.15 of the volume under"
    assert carried_share(0.2 * CHEST, 0.2) == pytest.approx(1 - 0.5 / 0.975, abs=0.02), "half of the volume under"
    assert np.isnan(carried_share(0.2 * CHEST + 1e-6, 0.2)), "afloat"
    assert np.isnan(carried_share([0.1, np.nan], [0.0, 0.2])).all()


@given(st.floats(0, 1.4), st.floats(0, 1.4), st.floats(0.02, 0.6))
def test_deeper_water_never_carries_less_of_the_animal(one: float, other: float, leg: float) -> None:
    low, high = sorted((one, other))
    assert carried_share(high * leg, leg) <= carried_share(low * leg, leg)


def test_beaver_wades_at_a_fore_foot_set_and_floats_at_a_hind_foot_set() -> None:
    beaver = tables.record("beaver")
    leg = leg_length(beaver.mass.number, beaver.class_)
    assert (carried_share([0.025, 0.075], leg) > 0.85).all()
    assert np.isnan(carried_share([0.2, 0.35], leg)).all()


@pytest.mark.parametrize("build", LEG_FACTOR)
def test_leg_is_similar_in_shape(build: str) -> None:
    assert leg_length(8.0, build) == pytest.approx(2 * leg_length(1.0, build))


def test_every_animal_has_a_leg_and_an_unknown_build_is_named() -> None:
    table = tables.species()
    keys = table.keys()
    assert set(LEG_FACTOR) == {table.text(key, "class") for key in keys}
    with pytest.raises(OutOfRange, match="no such build"):
        leg_length(3.0, "reptile")
