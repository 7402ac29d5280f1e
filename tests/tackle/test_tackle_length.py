"""Short chain or long, by anchor; cables pulled across; cures in order."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import ArrayLike

from setwright.animal.lunge import lunge
from setwright.basis.errors import BadInput
from setwright.ground.reliability import failure_in
from setwright.ground.stake import oblique
from setwright.tackle.cable import cable_rigidity, cable_strength, crosswise_tension
from setwright.tackle.chain_length import common_loss, length_curve, pull_angle
from setwright.tackle.cures import Cure, rank_cures

LENGTHS = np.linspace(0.15, 1.8, 34)


def coyote(length: np.ndarray) -> np.ndarray:
    """Lunge of a coyote of 14 kg on its chain."""
    return np.asarray(lunge(14.0, 4.0, length, 15.0, 4190.0).slack)


def test_a_rod_wants_it_long_and_a_plate_and_the_foot_want_it_short() -> None:
    rod = oblique(1513.0, 150.0, pull_angle(LENGTHS, 0.14))
    of_rod = length_curve(LENGTHS, rod, coyote(LENGTHS), spread=0.5, pull_spread=0.42, lunges=5)
    of_plate = length_curve(LENGTHS, 900.0, coyote(LENGTHS), spread=0.5, pull_spread=0.42, lunges=5)
    assert of_plate.wants == "short" and of_plate.best == LENGTHS[0]
    assert of_rod.wants == "between" and of_rod.best > 0.3
    assert of_rod.loss[0] > of_rod.loss.min() + 0.05, "a short chain draws the rod upwards"
    assert (np.diff(coyote(LENGTHS)) > 0).all(), "the jerk on the foot grows with every link"


def test_a_rod_that_is_lifted_easily_wants_it_long_outright() -> None:
    steady = np.full_like(LENGTHS, 300.0)
    weak_up = length_curve(LENGTHS, oblique(1500.0, 100.0, pull_angle(LENGTHS, 0.14)), steady, spread=0.3,
                           pull_spread=0.3)  # fmt: skip
    assert weak_up.wants == "long"


def test_pull_angle_ends() -> None:
    assert pull_angle([0.28, 0.14, 0.1], 0.14) == pytest.approx([math.pi / 6, math.pi / 2, math.pi / 2])


def test_a_missing_strength_cannot_be_told() -> None:
    found = length_curve(LENGTHS, math.nan, coyote(LENGTHS), spread=0.3, pull_spread=0.42)
    assert found.wants == "cannot tell" and math.isnan(found.best) and np.isnan(found.loss).all()


@pytest.mark.parametrize("length", [[0.5], [0.5, 0.4], [0.0, 0.3], [[0.1, 0.2]]])
def test_lengths_out_of_order_are_refused(length: ArrayLike) -> None:
    with pytest.raises(BadInput) as caught:
        length_curve(length, 900.0, 400.0, spread=0.3, pull_spread=0.42)
    assert caught.value.field == "length"


@given(st.floats(0.5, 6.0), st.floats(0.1, 0.6), st.floats(0.2, 0.6), st.integers(1, 60))
def test_one_strength_is_that_of_the_ground_room(ratio: float, v_r: float, v_s: float, lunges: int) -> None:
    s_r, s_s = math.sqrt(math.log1p(v_r**2)), math.sqrt(math.log1p(v_s**2))
    medians = ratio * math.exp(-0.5 * s_r**2 + 0.5 * s_s**2)
    assert float(common_loss(medians, s_r, 1.0, s_s, lunges)) == pytest.approx(
        float(failure_in(ratio, v_r, v_s, lunges)), abs=2e-6
    )


@given(st.floats(5.0, 2000.0), st.floats(1.0, 20.0), st.floats(1.0, 1.4), st.floats(1e5, 5e6))
def test_tension_balances_the_pull_across(pull: float, span: float, slack: float, rigidity: float) -> None:
    length = span * slack
    tension = float(crosswise_tension(pull, span, length, rigidity))
    cosine = span / (length * (1 + tension / rigidity))
    assert 2 * tension * math.sqrt(1 - cosine**2) == pytest.approx(pull, rel=1e-5)
    assert tension >= 0.5 * pull * (1 - 1e-9)
    assert float(crosswise_tension(pull, span, length * 1.05, rigidity)) <= tension * (1 + 1e-9)


def test_a_tight_cable_multiplies_the_pull() -> None:
    rigidity = float(cable_rigidity(0.0024, 0.57, 90e9))
    tight = float(crosswise_tension(100.0, 4.0, 4.0, rigidity))
    assert tight == pytest.approx((rigidity * 100.0**2 / 8) ** (1 / 3), rel=2e-3)
    assert tight > 5 * 100.0
    slack = float(crosswise_tension(100.0, 4.0, 4.4))
    assert slack == pytest.approx(50.0 / math.sqrt(1 - (4.0 / 4.4) ** 2))
    assert np.isnan(crosswise_tension(100.0, [4.0, 4.0], [3.9, 4.0])).all(), "too short, or no finite tension"


def test_the_worst_place_of_a_cable_governs() -> None:
    assert float(cable_strength(4448.0, [0.95, 0.8])) == pytest.approx(0.8 * 4448.0)
    assert float(cable_strength(4448.0, [0.95, 0.8], [0.6, 1.0])) == pytest.approx(0.6 * 4448.0)
    assert cable_strength([4448.0, 2000.0], [[0.95, 0.9], [0.8, 0.95]]).shape == (2,)


CURES = [
    Cure("weld the hook", 0.10, 360.0, 0.0),
    Cure("new chain", 0.10, 480.0, 0.15),
    Cure("quick link", 0.12, 120.0, 0.03),
    Cure("longer chain", 0.70, 180.0, 0.1),
    Cure("shock spring", math.nan, 180.0, 0.15),
    Cure("turn the hook", 0.55, 0.0, 0.0),
]


def test_cures_stand_by_what_they_avert_for_their_cost() -> None:
    found = rank_cures(0.60, CURES)
    assert [one.cure.name for one in found] == [
        "turn the hook", "quick link", "weld the hook", "new chain", "longer chain", "shock spring",
    ]  # fmt: skip
    by_name = {one.cure.name: one for one in found}
    assert by_name["quick link"].worth == pytest.approx(0.48 / (120 + 9))
    assert by_name["new chain"].beaten == "weld the hook" and by_name["quick link"].beaten == ""
    assert by_name["longer chain"].averted < 0 and math.isnan(by_name["shock spring"].averted)
    assert [x.cure.name for x in rank_cures(0.60, CURES[::-1])] == [x.cure.name for x in found]


def test_a_cure_of_negative_work_is_refused() -> None:
    with pytest.raises(BadInput) as caught:
        rank_cures(0.6, [Cure("wish", 0.1, -1.0, 0.0)])
    assert caught.value.field == "work"
