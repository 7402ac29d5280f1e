"""Waves, shores and clocks: what stands at the edge of a sum, and what counts half."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from setwright.water.cable import Slide
from setwright.water.demand import Demand, goes_under
from setwright.water.ledges import dry_ground, lock_stands
from setwright.water.odds import in_months
from setwright.water.profile import Profile
from setwright.water.submersion import weight_alone

LEDGE = Profile.from_depths([0.3, 0.6, 3.0], [0.1, 1.2, 1.6])


def test_half_a_wave_counts_as_a_fall_for_a_trap_without_cable_too() -> None:
    about = {"chain": 0.2, "reach": 0.3, "nose_height": 0.2, "trap_mass": 0.9, "animal_mass": 1.0}
    waves = weight_alone(LEDGE, 1.0, **about, wave=0.3)
    lower = weight_alone(LEDGE, 1.0, **about, fall=0.15)
    assert float(waves.sum.spare) == pytest.approx(float(lower.sum.spare))
    np.testing.assert_allclose(waves.ground.shortfall, lower.ground.shortfall)
    calm = weight_alone(LEDGE, 1.0, **about)
    assert waves.ground.shortfall[0] == pytest.approx(calm.ground.shortfall[0] + 0.15)


def test_a_bar_beyond_a_flooded_edge_is_dry_ground_and_the_shore_is_not() -> None:
    bar = Profile(np.array([0.0, 1.0, 2.0, 3.0]), np.array([0.0, 0.3, -1.0, -1.2]))
    # Over the edge the water stands 0.1 m; the bed comes through at 1/3 m and goes under at 1 + 2/13 m.
    assert dry_ground(bar, level=0.1) == (pytest.approx((1.0 / 3.0, 1.0 + 2.0 / 13.0)),)
    assert dry_ground(bar, level=0.0) == (), "what is joined to the shore is shore"


def test_a_deep_end_that_comes_as_far_as_the_bank_takes_nothing_under() -> None:
    even, slide = Profile.from_depths([8.0], [3.2]), Slide(-0.5, 0.5, 5.0, 0.3, 0.45)
    lies = Demand(reach=0.3, nose_height=0.3, fall=0.05)
    assert goes_under(even, slide, lies).holds
    for drawn in (5.5, 6.0, np.inf):
        found = goes_under(even, slide, replace(lies, drawn=drawn))
        assert found.share == 0.0 and not found.holds, "an anchor at the stake, or beyond it, is no deep end"


def test_a_lock_stands_in_water_of_the_day_it_was_set_unless_told_otherwise() -> None:
    bed = Profile.from_depths([1.0, 1.3, 3.0], [0.1, 0.9, 1.4])
    slide = Slide(-0.3, 0.3, 2.6, 0.2, 0.25)
    plain = lock_stands(bed, slide, reach=0.3, nose_height=0.45)
    told = lock_stands(bed, slide, reach=0.3, nose_height=0.45, fall=0.0, wave=0.0)
    assert [float(one.sum.spare) for one in plain] == [float(one.sum.spare) for one in told]
    assert [one.ground.shortfall[0] for one in plain] == [one.ground.shortfall[0] for one in told]


def test_the_trapping_season_of_a_gauge_is_november_to_march() -> None:
    months = np.array([f"2025-{month:02d}-15T12" for month in range(1, 13)], dtype="datetime64[h]")
    starts = months.astype("datetime64[s]").astype(float)
    taken = [month for month, taken in zip(range(1, 13), in_months(starts), strict=True) if taken]
    assert taken == [1, 2, 3, 11, 12]
