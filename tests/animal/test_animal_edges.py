"""Bands, levels and cut-offs of the animal's figures: at the edge itself, and just beyond it."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from setwright.animal.lattice import normal_score
from setwright.animal.sample import lower_bound, upper_bound
from setwright.basis.errors import BadInput


def test_scores_are_those_of_the_normal_distribution() -> None:
    shares = np.array([1e-6, 0.001, 0.02, 0.1, 0.3, 0.5, 0.77, 0.95, 0.999, 1.0 - 1e-6])
    np.testing.assert_allclose(normal_score(shares), norm.ppf(shares), atol=2e-4)


@pytest.mark.parametrize("level", [0.0, 1.0, -0.1, 1.1, float("nan")])
def test_nothing_is_sure_and_nothing_is_out_of_the_question(level: float) -> None:
    for bound in (lower_bound, upper_bound):
        with pytest.raises(BadInput) as caught:
            bound(3, 10, level)
        assert caught.value.field == "level"
