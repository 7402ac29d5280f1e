"""Chance that an anchor gives way in one pull and in many on the same anchor."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.ground.reliability import failure, failure_in, index

ratios = st.floats(0.3, 6.0)
covs = st.floats(0.05, 0.8)


@given(ratios, covs, covs, st.floats(1.05, 2.0))
def test_a_stronger_anchor_fails_less(ratio: float, strong: float, pull: float, more: float) -> None:
    assert float(index(ratio * more, strong, pull)) > float(index(ratio, strong, pull))
    assert float(failure(ratio * more, strong, pull)) <= float(failure(ratio, strong, pull))
    assert failure_in(ratio * more, strong, pull, 10) <= failure_in(ratio, strong, pull, 10)


@given(ratios, covs, covs)
def test_one_pull_by_the_integral_is_the_closed_form(ratio: float, strong: float, pull: float) -> None:
    assert failure_in(ratio, strong, pull, 1) == pytest.approx(float(failure(ratio, strong, pull)), abs=2e-5)


@given(ratios, covs, covs, st.integers(2, 100))
def test_many_pulls_lie_between_one_pull_and_strength_drawn_anew(
    ratio: float, strong: float, pull: float, lunges: int
) -> None:
    one = float(failure(ratio, strong, pull))
    many = failure_in(ratio, strong, pull, lunges)
    assert one - 1e-4 <= many <= 1.0 - (1.0 - one) ** lunges + 1e-4


def test_drawing_the_strength_anew_for_each_pull_would_be_wrong() -> None:
    one = float(failure(2.0, 0.4, 0.3))
    true = failure_in(2.0, 0.4, 0.3, 50)
    assert true == pytest.approx(0.497, abs=0.001)
    assert 1.0 - (1.0 - one) ** 50 > 0.98, "twice the truth: the anchor is one and the same in all pulls"


def test_many_pulls_agree_with_draws() -> None:
    rng = np.random.default_rng(4)
    s_r, s_s = (np.sqrt(np.log1p(cov**2)) for cov in (0.4, 0.3))
    strength = np.exp(np.log(2.0) - 0.5 * s_r**2 + s_r * rng.standard_normal(40_000))
    pulls = np.exp(-0.5 * s_s**2 + s_s * rng.standard_normal((40_000, 50)).max(axis=1))
    assert float(np.mean(pulls > strength)) == pytest.approx(failure_in(2.0, 0.4, 0.3, 50), abs=0.01)


def test_even_strength_and_pull_fail_half_the_time() -> None:
    assert float(index(1.0, 0.3, 0.3)) == pytest.approx(0.0, abs=1e-12)
    assert float(failure(1.0, 0.3, 0.3)) == pytest.approx(0.5)
