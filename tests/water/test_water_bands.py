"""Bands of the level, shares of hours in them, and what to do as the level changes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.tables import shipped
from setwright.water import stage, tables
from setwright.water.bands import Band, PanState, level_shares, pan_state, submerging_band, working_band
from setwright.water.depth import dry_share, hours_share
from setwright.water.odds import change_draws
from setwright.water.profile import Profile
from setwright.water.reset import Act, advise_level, best_pan_depth
from setwright.water.submersion import Slide, breathing_ground, depth_sum

EVEN = Profile.from_depths([8.0], [3.2])
SLIDE = Slide(-0.5, 0.5, 4.0, 0.3, 0.3)
U = (np.arange(64) + 0.5) / 64
changes = st.lists(st.floats(-0.6, 0.6), min_size=3, max_size=30).map(np.array)


def test_working_band_is_the_window_seen_from_the_level() -> None:
    band = working_band([0.03, 0.06], 0.025, 0.075)
    assert np.allclose(band.low, [-0.005, -0.035])
    assert np.allclose(band.high, [0.045, 0.015])


@pytest.mark.parametrize("animal", ["beaver", "muskrat", "mink", "otter", "raccoon"])
@pytest.mark.parametrize("foot", ["fore", "hind"])
def test_band_of_every_animal_and_foot_ends_where_the_conditions_do(animal: str, foot: str) -> None:
    table = tables.reaches()
    key = f"{animal}-{foot}"
    reach, nose = table.number(key, "reach"), table.number(key, "nose_height")
    band = submerging_band(EVEN, SLIDE, reach=reach, nose_height=nose, wave=0.1)
    assert band.high[0] == SLIDE.stake_z
    for level, holds in ((band.low[0] + 1e-6, True), (band.low[0] - 1e-6, False)):
        spare = float(depth_sum(EVEN, SLIDE, reach=reach, fall=-level, wave=0.1).spare)
        ground = breathing_ground(EVEN, SLIDE, reach + SLIDE.chain, nose, level - 0.05).shortfall[0]
        assert bool(spare >= 0 and ground <= 0) is holds


def test_a_hind_foot_asks_for_more_water_and_draws_go_through() -> None:
    band = submerging_band(EVEN, SLIDE, reach=[0.3, 0.9, np.nan], nose_height=0.4)
    assert band.low[0] < band.low[1]
    assert np.isnan(band.low[2])


def test_no_band_with_the_bank_in_reach_and_none_known_past_the_soundings() -> None:
    steep = Profile.from_depths([0.0, 3.0], [1.5, 1.5])
    near = Slide(-0.3, 0.3, 0.9, 0.1, 0.3)
    assert submerging_band(steep, near, reach=1.0, nose_height=0.3).low[0] == np.inf
    far = Slide(-0.3, 0.3, 2.6, 0.1, 0.3)
    assert np.isnan(submerging_band(steep, far, reach=0.9, nose_height=0.3).low[0])
    outside = Slide(-0.3, 0.3, 9.0, 0.1, 0.3)
    assert np.isnan(submerging_band(steep, outside, reach=0.3, nose_height=0.3).low[0])


def test_words_of_the_pan_hour_by_hour() -> None:
    words = pan_state(0.05, [0.0, 0.04, -0.04, -0.06, np.nan], 0.025, 0.075)
    assert words.tolist() == [
        PanState.WORKS,
        PanState.DEEP,
        PanState.SHALLOW,
        PanState.DRY,
        PanState.UNKNOWN,
    ]


@given(changes, st.floats(-0.1, 0.4), st.floats(-0.5, 0.2), st.floats(0.1, 0.6))
def test_shares_add_up(change: np.ndarray, depth: float, floor: float, roof: float) -> None:
    found = level_shares(depth, change, 0.05, 0.15, Band(np.array(floor), np.array(roof)))
    total = found.works + found.too_deep + found.too_shallow + found.dry
    assert float(total) == pytest.approx(1.0)
    assert found.both <= min(float(found.works), float(found.submerges)) + 1e-12
    under = (change >= floor) & (change < roof)
    open_to_take = found.works + np.mean((depth + change < 0) & ~under)
    assert float(found.both + found.held_alive) == pytest.approx(float(open_to_take))
    assert float(found.works) == float(hours_share(depth, change, 0.05, 0.15))
    assert float(found.dry) == float(dry_share(depth, change))


def test_without_a_cable_all_that_it_takes_is_held_alive() -> None:
    change = np.array([0.0, -0.2, 0.3])
    found = level_shares(0.1, change, 0.05, 0.15)
    assert (float(found.submerges), float(found.held_alive)) == (0.0, pytest.approx(2 / 3))


def test_unknown_hours_stay_unknown() -> None:
    change = np.array([[0.0, np.nan], [0.0, 0.0]])
    found = level_shares([0.1, 0.1], change, 0.05, 0.15, Band(np.array([-1.0, np.nan]), np.array([1.0, 1.0])))
    assert np.isnan(found.works).tolist() == [True, False]
    assert np.isnan(found.submerges).tolist() == [True, True]


@given(changes)
def test_best_depth_beats_a_dense_search(change: np.ndarray) -> None:
    depth, share = best_pan_depth(change, 0.05, 0.15)
    tries = np.linspace(0.0, 1.0, 2001)
    dense = hours_share(tries, np.broadcast_to(change, (tries.size, change.size)), 0.05, 0.15)
    assert depth >= 0
    assert share >= float(dense.max()) - 1e-12
    assert float(hours_share(depth, change, 0.05 - 1e-9, 0.15 + 1e-9)) == pytest.approx(share)


def test_best_depth_of_nothing_is_unknown() -> None:
    assert np.isnan(best_pan_depth([], 0.05, 0.15)).all()
    assert np.isnan(best_pan_depth([0.0, np.nan], 0.05, 0.15)).all()
    assert best_pan_depth([-9.0, 9.0], 0.05, 0.15)[1] == 0.5


def test_shares_on_the_shipped_record() -> None:
    level = stage.hourly(tables.read_stage_csv(shipped("demo", "stage.csv")))
    change = change_draws(level, 24, U)
    low, high = (tables.windows().number("beaver-fore", end) for end in ("depth_low", "depth_high"))
    found = level_shares(0.05, change, low, high, submerging_band(EVEN, SLIDE, reach=0.3, nose_height=0.45))
    assert found.works.shape == (64,)
    assert 0.7 < float(found.works.mean()) < 1.0
    assert float(found.submerges.mean()) == pytest.approx(1.0, abs=0.03)
    deeper = level_shares(0.15, change, low, high)
    assert float(deeper.works.mean()) < float(found.works.mean())


@pytest.mark.parametrize(
    ("works", "under", "works_reset", "under_reset", "act"),
    [
        (0.9, None, 0.9, None, Act.LEAVE),
        (0.9, 0.95, 0.9, 0.95, Act.LEAVE),
        (0.3, None, 0.9, None, Act.RESET),
        (0.3, 0.95, 0.9, 0.95, Act.RESET),
        (0.9, 0.3, 0.9, 0.95, Act.RESET),
        (0.3, None, 0.5, None, Act.MOVE),
        (0.3, 0.95, 0.5, 0.95, Act.MOVE),
        (0.3, 0.2, 0.5, 0.95, Act.MOVE),
        (0.9, 0.3, 0.9, 0.4, Act.PULL),
        (0.9, 0.3, 0.9, None, Act.PULL),
        (0.9, 0.3, 0.9, float("nan"), Act.PULL),
        (0.3, 0.3, 0.5, 0.4, Act.PULL),
        (float("nan"), None, 0.9, None, Act.UNKNOWN),
        (0.9, float("nan"), 0.9, 0.9, Act.UNKNOWN),
        (0.3, None, float("nan"), None, Act.MOVE),
    ],
)
def test_what_to_do(
    works: float, under: float | None, works_reset: float, under_reset: float | None, act: Act
) -> None:
    found = advise_level(works, under, works_reset=works_reset, submerges_reset=under_reset, reset_depth=0.05)
    assert found.act is act
    assert found.say.template
