"""Bands, levels and cut-offs of the animal's figures: at the edge itself, and just beyond it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from setwright.animal import tables
from setwright.animal.ages import mix_classes
from setwright.animal.calibrate import predicted
from setwright.animal.lattice import normal_score
from setwright.animal.load import GRAVITY
from setwright.animal.probit import update
from setwright.animal.sample import at_least, lower_bound, upper_bound
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


@pytest.mark.parametrize(
    ("good", "total", "share"),
    [(3, 10, 1.05), (10, 10, 1.05), (3, 10, -0.05), (0, 10, -0.05), (11, 10, 0.5), (-1, 10, 0.5)],
)
def test_a_share_is_between_none_and_all(good: int, total: int, share: float) -> None:
    assert np.isnan(at_least(good, total, share))
    assert at_least(10, 10, 1.0) == 1.0 and at_least(0, 10, 0.0) == 1.0


def test_draws_reach_both_ends_of_what_is_believed() -> None:
    found = update()
    low, least = found.draws(0.0, 0.0)
    high, most = found.draws(1.0, 1.0)
    step, wide = found.locations[1] - found.locations[0], found.spreads[1] - found.spreads[0]
    assert (float(low), float(high)) == pytest.approx(
        (found.locations[0] - 0.5 * step, found.locations[-1] + 0.5 * step)
    )
    assert (float(least), float(most)) == pytest.approx(
        (found.spreads[0] - 0.5 * wide, found.spreads[-1] + 0.5 * wide), abs=1e-4
    )


def test_a_band_of_trip_forces_is_the_mean_of_its_halves() -> None:
    low, middle, high = 1.0 * GRAVITY, 5.0 * GRAVITY, 9.0 * GRAVITY
    whole, lower, upper = (
        predicted(0.55, 0.20, trip_low=one, trip_high=other)
        for one, other in ((low, high), (low, middle), (middle, high))
    )
    assert whole.coyote_fires == pytest.approx(0.5 * (lower.coyote_fires + upper.coyote_fires), abs=2e-3)
    assert whole.pool_excluded == pytest.approx(0.5 * (lower.pool_excluded + upper.pool_excluded), abs=2e-3)


def test_a_class_of_unknown_spread_is_asked_for_too() -> None:
    classes = tables.age_classes("raccoon")
    unsure = tuple(replace(one, mass_cv=replace(one.mass_cv, value=None)) for one in classes)
    assert mix_classes(classes, {"young": 1}, 6.4, 0.25).known
    assert not mix_classes(unsure, {"young": 1}, 6.4, 0.25).known
