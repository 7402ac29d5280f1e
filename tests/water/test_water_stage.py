"""Hourly means, rise and fall, draws, tails."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.errors import OutOfRange
from setwright.basis.tables import shipped
from setwright.water import stage, tails
from setwright.water.tables import read_stage_csv

levels = st.lists(st.floats(-3, 3), min_size=8, max_size=60).map(np.array)
U = (np.arange(200) + 0.5) / 200


def record(times: list[float], level: list[float]) -> stage.Stage:
    return stage.Stage(np.array(times), np.array(level), "made up", "test", "own", False)


def shipped_hours() -> np.ndarray:
    return stage.hourly(read_stage_csv(shipped("demo", "stage.csv")))


def test_hours_are_means_and_gaps_stay() -> None:
    found = stage.hourly(record([7200.0, 9000.0, 10000.0, 18000.0], [1.0, 2.0, 6.0, 5.0]))
    assert np.allclose(found[[0, 3]], [3.0, 5.0])
    assert np.isnan(found[1:3]).all()
    assert stage.hour_starts(record([7300.0, 9000.0], [1.0, 2.0])).tolist() == [7200.0]


def test_shipped_record_keeps_its_gaps() -> None:
    hours = shipped_hours()
    assert hours.size == 3623
    assert int(np.isnan(hours).sum()) == 33


@pytest.mark.parametrize(
    ("times", "level"), [([], []), ([0.0, 0.0], [1.0, 1.0]), ([5.0, 1.0], [1.0, 1.0]), ([0.0], [1.0, 2.0])]
)
def test_a_record_must_rise_in_time(times: list[float], level: list[float]) -> None:
    with pytest.raises(OutOfRange):
        record(times, level)


@given(levels, st.integers(1, 12))
def test_rise_and_fall_match_the_plain_loop(level: np.ndarray, hours: int) -> None:
    rise, fall = stage.rise_fall(level, hours)
    assert rise.size == max(level.size - hours, 0)
    for start in range(rise.size):
        window = level[start : start + hours + 1]
        assert rise[start] == pytest.approx(window.max() - level[start])
        assert fall[start] == pytest.approx(level[start] - window.min())


@given(levels, st.integers(1, 6), st.floats(-5, 5))
def test_turned_over_or_shifted(level: np.ndarray, hours: int, shift: float) -> None:
    rise, fall = stage.rise_fall(level, hours)
    upside, down = stage.rise_fall(-level, hours)
    assert np.allclose(rise, down) and np.allclose(fall, upside)
    assert np.allclose(stage.rise_fall(level + shift, hours)[0], rise, atol=1e-9)


@given(levels, st.integers(1, 3))
def test_a_longer_wait_never_falls_less(level: np.ndarray, hours: int) -> None:
    _, short = stage.rise_fall(level, hours)
    _, long = stage.rise_fall(level, hours + 2)
    assert np.all(long >= short[: long.size])


def test_a_gap_makes_its_windows_unknown() -> None:
    level = np.arange(10.0)
    level[5] = np.nan
    rise, _ = stage.rise_fall(level, 2)
    assert np.isnan(rise).tolist() == [False, False, False, True, True, True, False, False]


def test_misuse_is_refused() -> None:
    with pytest.raises(OutOfRange):
        stage.rise_fall(np.arange(5.0), 0)
    with pytest.raises(OutOfRange):
        stage.trend(np.arange(5.0), 0)
    with pytest.raises(OutOfRange):
        tails.quantile_with_band(np.arange(5.0), 1.0)
    with pytest.raises(OutOfRange):
        tails.quantile_with_band(np.arange(5.0), 0.5, block=0)


@pytest.mark.parametrize("draw", [stage.fall_draws, stage.rise_draws])
def test_draws_follow_the_record(draw: Callable[..., np.ndarray]) -> None:
    hours = shipped_hours()
    found = draw(hours, 24, U)
    rise, fall = stage.rise_fall(hours, 24)
    whole = fall if draw is stage.fall_draws else rise
    whole = whole[np.isfinite(whole)]
    assert np.mean(found > 0.05) == pytest.approx(np.mean(whole > 0.05), abs=0.006)
    assert found.max() <= whole.max()
    assert np.all(np.diff(found) >= 0)
    assert np.allclose(draw(hours, 24, U, 0.5), 0.5 * found)
    assert np.array_equal(draw(hours, 24, U), found)
    mixed = np.random.default_rng(1).permutation(U.size)
    assert np.array_equal(draw(hours, 24, U[mixed]), found[mixed])


def test_no_whole_window_cannot_be_told() -> None:
    assert np.isnan(stage.fall_draws(np.arange(5.0), 24, U)).all()
    assert np.isnan(stage.fall_draws(np.full(50, np.nan), 24, U)).all()


def test_draws_can_be_held_to_hours_like_now() -> None:
    hours = shipped_hours()
    falling = stage.like_now(hours, -0.1, 0.05)
    rising = stage.like_now(hours, 0.2, 0.1)
    after_crest = stage.fall_draws(hours, 24, U, where=rising)
    assert falling.sum() > 20 and rising.sum() > 20
    assert np.median(after_crest) > 3 * np.median(stage.fall_draws(hours, 24, U))


def test_trend_is_the_change_so_far() -> None:
    found = stage.trend(np.array([1.0, 2.0, 4.0]), 1)
    assert np.isnan(found[0]) and found[1:].tolist() == [1.0, 2.0]


def test_exceedance_counts() -> None:
    x = np.array([0.0, 1.0, 2.0, 3.0, np.nan])
    assert tails.exceedance(x, [-1.0, 0.0, 1.5, 3.0]).tolist() == [1.0, 0.75, 0.5, 0.0]
    assert np.isnan(tails.exceedance(x, np.nan))
    assert np.isnan(tails.exceedance([np.nan], [1.0])).all()


def test_events_are_counted_apart() -> None:
    x = np.zeros(1000)
    x[[10, 12, 100, 400, 990]] = 1.0
    assert tails.independent_events(x, 0.5) == 3
    assert tails.independent_events(x, 0.5, separation=50) == 4
    assert tails.independent_events(x, 2.0) == 0


def test_tails_beyond_the_record_are_refused() -> None:
    _, fall = stage.rise_fall(shipped_hours(), 24)
    stands = tails.quantile_with_band(fall, 0.95)
    assert stands.events == 21
    assert stands.reason is None
    assert stands.low < stands.value < stands.high
    for refused in (
        tails.quantile_with_band(fall, 0.99),
        tails.exceedance_with_band(fall, 0.30),
        tails.quantile_with_band(fall[:200], 0.5),
    ):
        assert np.isnan([refused.value, refused.low, refused.high]).all()
        assert refused.reason is not None


def test_blocks_widen_the_band_of_overlapping_windows() -> None:
    _, fall = stage.rise_fall(shipped_hours(), 24)
    week = tails.exceedance_with_band(fall, 0.05)
    hour = tails.exceedance_with_band(fall, 0.05, block=1)
    assert week.value == hour.value
    assert week.high - week.low > 2 * (hour.high - hour.low)


def test_band_of_single_draws_is_the_binomial_one() -> None:
    x = np.random.default_rng(3).random(4000)
    found = tails.exceedance_with_band(x, 0.8, block=1, seed=5)
    half = 1.645 * np.sqrt(found.value * (1 - found.value) / x.size)
    assert found.high - found.low == pytest.approx(2 * half, rel=0.12)
    assert tails.exceedance_with_band(x, 0.8, block=1, seed=5) == found
