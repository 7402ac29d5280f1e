"""Rise and fall by interval, season and trend; draws of whole waits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.errors import OutOfRange
from setwright.basis.tables import shipped
from setwright.water import stage, tails
from setwright.water.odds import change_draws, in_months, level_odds
from setwright.water.tables import read_stage_csv

U = (np.arange(300) + 0.5) / 300


def shipped_record() -> tuple[np.ndarray, np.ndarray]:
    record = read_stage_csv(shipped("demo", "stage.csv"))
    return stage.hourly(record), stage.hour_starts(record)


def hours_of(first: str, count: int) -> np.ndarray:
    return np.datetime64(first).astype("datetime64[s]").astype(float) + 3600.0 * np.arange(count)


def test_months_of_any_year() -> None:
    starts = hours_of("2016-10-31T22:00", 4)
    assert in_months(starts, (11,)).tolist() == [False, False, True, True]
    assert in_months(starts, (10,)).tolist() == [True, True, False, False]
    assert in_months(hours_of("1969-12-31T23:00", 2), (12,)).tolist() == [True, False]
    for wrong in ((), (0,), (13,)):
        with pytest.raises(OutOfRange):
            in_months(starts, wrong)


def test_plain_odds_are_the_counted_ones() -> None:
    level, starts = shipped_record()
    odds = level_odds(level, starts, 24)
    rise, fall = stage.rise_fall(level, 24)
    assert odds.starts == 3542
    assert odds.events == 21
    for limit, up, down in zip(odds.limits, odds.rise_over, odds.fall_over, strict=True):
        for found, change in ((up, rise), (down, fall)):
            if found.reason is None:
                assert found.value == pytest.approx(
                    float(np.nanmean(np.where(np.isnan(change), np.nan, change > limit)))
                )
                assert found.low <= found.value <= found.high
    assert odds.rise_over[2].reason is not None and np.isnan(odds.rise_over[2].value)
    assert odds.rise_quantile[1].value == pytest.approx(np.nanquantile(rise, 0.95))
    assert odds.rise_floods[0] >= odds.rise_floods[1] >= odds.rise_floods[2] >= 1
    assert repr(odds) == repr(level_odds(level, starts, 24))


def test_season_takes_its_months_only() -> None:
    calm, wild = np.zeros(24 * 61), np.tile(np.r_[np.zeros(12), np.ones(12)], 62)
    level = np.concatenate([calm, wild])
    starts = hours_of("2016-11-01", level.size)
    months = [level_odds(level, starts, 24, months=(month,)) for month in (11, 1)]
    assert (months[0].rise_over[0].reason is not None, months[1].rise_over[0].value) == (True, 0.5)
    assert months[0].rise_quantile[0].value == 0.0
    assert months[0].starts == 24 * 30
    assert months[0].events == 4


def test_trend_now_changes_the_odds_and_leaves_fewer_events() -> None:
    level, starts = shipped_record()
    plain = level_odds(level, starts, 24)
    risen = level_odds(level, starts, 24, trend_now=0.15, width=0.08)
    assert risen.starts < plain.starts and risen.events < plain.events
    mask = stage.like_now(level, 0.15, 0.08)[: level.size - 24]
    _, fall = stage.rise_fall(level, 24)
    chosen = fall[mask & np.isfinite(fall)]
    assert risen.starts == chosen.size
    assert risen.fall_over[0].value == pytest.approx(float(np.mean(chosen > 0.05)))
    assert risen.fall_over[0].value > plain.fall_over[0].value
    nowhere = level_odds(level, starts, 24, trend_now=9.0)
    assert (nowhere.starts, nowhere.events) == (0, 0)
    assert all(tail.reason is not None for tail in (*nowhere.rise_over, *nowhere.fall_quantile))


def test_scale_from_gauge_to_site() -> None:
    level, starts = shipped_record()
    gauge = level_odds(level, starts, 24, limits=(0.10,))
    site = level_odds(level, starts, 24, limits=(0.05,), scale=0.5)
    assert site.rise_over[0].value == gauge.rise_over[0].value
    assert site.rise_quantile[1].value == pytest.approx(0.5 * gauge.rise_quantile[1].value)
    assert site.rise_quantile[1].high == pytest.approx(0.5 * gauge.rise_quantile[1].high)
    trend = [level_odds(level, starts, 24, trend_now=s * 0.1, width=s * 0.05, scale=s).starts for s in (1.0, 0.5)]
    assert trend[0] == trend[1]
    for wrong in (0.0, -1.0, float("nan")):
        with pytest.raises(OutOfRange):
            level_odds(level, starts, 24, scale=wrong)
    with pytest.raises(OutOfRange):
        level_odds(level, starts[:-1], 24)


def test_blocks_apart() -> None:
    assert tails.blocks_apart(np.ones(3542, dtype=bool)) == 21
    assert tails.blocks_apart(np.zeros(10, dtype=bool)) == 0
    spots = np.zeros(2000, dtype=bool)
    spots[[5, 9, 170, 180, 1000]] = True
    assert tails.blocks_apart(spots) == 3
    assert tails.blocks_apart(spots, 1) == 5


def test_band_covers_the_truth_about_as_often_as_it_says() -> None:
    # Weeks that are alike within and independent of each other: the share above 0.5 is one half.
    hits = 0
    for repeat in range(20):
        weeks = np.random.default_rng(repeat).random(60)
        found = tails.exceedance_with_band(np.repeat(weeks, 168), 0.5, seed=repeat)
        hits += found.low <= 0.5 <= found.high
    assert 15 <= hits <= 20


@pytest.mark.parametrize("masked", [False, True])
def test_bands_are_those_of_blocks_drawn_one_by_one(masked: bool) -> None:
    x = np.convolve(np.random.default_rng(1).random(1500), np.ones(30), "same")
    where = np.random.default_rng(2).random(x.size) < 0.3 if masked else None
    starts = np.random.default_rng(7).integers(0, x.size, size=(tails.REPEATS, 9))
    shares, middles = [], []
    for row in starts:
        hours = [(first + k) % x.size for first in row for k in range(168)][: x.size]
        drawn = [x[hour] for hour in hours if where is None or where[hour]]
        shares.append(np.mean([value > 15.2 for value in drawn]))
        middles.append(np.median(drawn))
    share = tails.exceedance_with_band(x, 15.2, seed=7, where=where)
    middle = tails.quantile_with_band(x, 0.5, seed=7, where=where)
    assert (share.low, share.high) == pytest.approx(tuple(np.quantile(shares, (0.05, 0.95))))
    assert (middle.low, middle.high) == pytest.approx(tuple(np.quantile(middles, (0.05, 0.95))))


def test_a_condition_that_always_holds_changes_no_figure() -> None:
    x = np.random.default_rng(8).random(3000)
    every = np.ones(x.size, dtype=bool)
    assert tails.exceedance_with_band(x, 0.6, where=every) == tails.exceedance_with_band(x, 0.6)
    assert tails.quantile_with_band(x, 0.7, where=every) == tails.quantile_with_band(x, 0.7)


@settings(max_examples=20)
@given(st.integers(1, 48), st.floats(0.1, 3.0))
def test_drawn_waits_are_waits_of_the_record(hours: int, scale: float) -> None:
    level, _ = shipped_record()
    found = change_draws(level, hours, U[::20], scale)
    assert found.shape == (15, hours + 1)
    assert np.all(found[:, 0] == 0.0)
    assert np.all(np.diff(-found.min(axis=1)) >= -1e-12), "ranked by their fall"
    windows = level[np.arange(level.size - hours)[:, None] + np.arange(hours + 1)] - level[: level.size - hours, None]
    for wait in found[::5] / scale:
        assert np.nanmin(np.abs(windows - wait).max(axis=1)) < 1e-9


def test_drawn_waits_hold_the_odds_and_the_mask() -> None:
    level, starts = shipped_record()
    found = change_draws(level, 24, U)
    assert np.mean(-found.min(axis=1) > 0.05) == pytest.approx(0.062, abs=0.005)
    assert np.mean(found.max(axis=1) > 0.10) == pytest.approx(0.138, abs=0.05)
    winter = change_draws(level, 24, U, where=in_months(starts, (1,)))
    assert not np.array_equal(winter, found)
    assert np.isnan(change_draws(level, 24, U, where=in_months(starts, (7,)))).all()
    assert np.isnan(change_draws(np.arange(5.0), 24, U)).all()
