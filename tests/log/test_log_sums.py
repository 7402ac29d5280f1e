"""Money, jobs, colonies, spans: closed forms, limits, draws one by one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.errors import BadInput
from setwright.log import clearing, cluster, money, rates
from setwright.log.colony import colony_range
from setwright.log.money import Price
from setwright.log.spans import spans

DAY = 86_400_000_000


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 30), st.floats(20, 2000), st.integers(1, 12), st.integers(1, 30))
def test_more_animals_never_clear_sooner_and_more_nights_never_later(
    caught: int, effort: float, animals: int, sets: int
) -> None:
    nights = np.arange(1, 40)
    odds = clearing.odds_of_clearing(caught, effort, animals, [animals, animals + 1], sets, nights)
    assert np.all((odds >= 0) & (odds <= 1)) and np.all(np.diff(odds, axis=1) >= -1e-12)
    assert np.all(odds[1] <= odds[0] + 1e-12)


def test_odds_agree_with_seasons_drawn_one_by_one() -> None:
    dice = np.random.default_rng(2)
    hazard = dice.gamma(12.5, 1 / (300.0 * 5), 200_000)
    last = (dice.exponential(1.0, (200_000, 4)) / (hazard[:, None] * 6)).max(axis=1)
    odds = clearing.odds_of_clearing(12, 300.0, 5, [4], 6, [10, 20, 40])
    assert odds[0] == pytest.approx([(last <= n).mean() for n in (10, 20, 40)], abs=5e-3)


def test_no_catch_is_the_gamma_mean_of_a_poisson_zero() -> None:
    draws = np.random.default_rng(3).gamma(7.5, 1 / 150.0, 400_000)
    assert float(clearing.no_catch(7, 150.0, 30.0)) == pytest.approx(float(np.exp(-30 * draws).mean()), abs=2e-3)
    assert float(clearing.no_catch(7, 150.0, 0.0)) == 1.0


def test_a_quote_counts_every_visit_and_refuses_nonsense() -> None:
    found = clearing.quote(10, 1.0, 65.0, 40.0, 60.0, 0.15, (0.5, 0.2))
    assert found.visits == 12 and found.price == pytest.approx((12 * 65 + 100) * 1.15)
    assert clearing.quote(10, 2.0, 65.0, 0.0, 0.0, 0.0, (0.5, 0.2)).visits == 7
    for nights, days in ((0, 1.0), (5, 0.0)):
        with pytest.raises(BadInput):
            clearing.quote(nights, days, 65.0, 0.0, 0.0, 0.0, (0.5, 0.2))
    with pytest.raises(BadInput):
        clearing.odds_of_clearing(1, 0.0, 1, [1], 1, [1])


def test_a_margin_with_a_sure_price_is_plain_arithmetic() -> None:
    sure = money.margin([10, 4], [Price(5, 5, 5), Price(20, 20, 20)], 100.0, 0.1)
    assert (sure.median, sure.low, sure.high, sure.loss) == (pytest.approx(17.0),) * 3 + (0.0,)
    assert sure.break_even == pytest.approx(100 / 0.9 / 14)
    assert money.margin([10], [Price(1, 1, 1)], 100.0).loss == 1.0


def test_prices_are_triangles_and_scatter_widens_another_season() -> None:
    price = Price(2.0, 5.0, 14.0)
    found = money.margin([1], [price], 0.0)
    assert found.median == pytest.approx(14 - np.sqrt(0.5 * 12 * 9), abs=0.05)
    assert found.low == pytest.approx(2 + np.sqrt(0.05 * 12 * 3), abs=0.05)
    calm, wild = (money.margin([40], [Price(10, 10, 10)], 300.0, scatter=s) for s in (1.0, 6.0))
    assert wild.high - wild.low > 1.8 * (calm.high - calm.low)
    assert calm.high - calm.low == pytest.approx(2 * 1.645 * np.sqrt(40) * 10, rel=0.08)
    with pytest.raises(BadInput):
        Price(3, 2, 5)
    with pytest.raises(BadInput):
        money.margin([1], [], 0.0)


def test_colonies_are_a_range() -> None:
    found = colony_range(10, 9)
    assert (found.low, found.high) == (35.0, 53.0) and found.share_low < found.share_high
    assert found.quoted_low < found.cut_high, "what is called bearable overlaps what cut colonies by half"
    with pytest.raises(BadInput):
        colony_range(0, 1)


def test_spans_leave_no_day_out_and_keep_every_catch() -> None:
    days = np.array([0, 1, 1, 9, 20, 20])
    found = spans(days * DAY + 5, [1, 0, 1, 0, 1, 1], np.ones(6), 7)
    assert found.begins.tolist() == [0, 7 * DAY, 14 * DAY]
    assert found.catches.tolist() == [2, 0, 2] and found.nights.sum() == 6
    assert found.low[0] <= found.rate[0] <= found.high[0]
    assert found.rate[0] == pytest.approx(100.0 * 2.0 / 3.0), "two catches in three nights, by the hundred"
    assert np.isnan(spans([0, 15 * DAY], [0, 0], [1.0, 1.0], 7).rate[1]), "no effort, no rate"
    assert spans([], [], []).begins.size == 0
    with pytest.raises(BadInput):
        spans([0], [1], [1.0], 0)


def test_whole_sets_say_less_than_single_nights_when_sets_scatter() -> None:
    dice = np.random.default_rng(8)
    truth = dice.gamma(0.5, 0.1, 30)
    caught = dice.poisson(truth * 40.0)
    by_sets = cluster.bootstrap(caught, np.full(30, 40.0))
    single = rates.garwood(caught.sum(), 1200.0)
    assert float(by_sets.high - by_sets.low) > 1.2 * float(single.high - single.low)
    same = cluster.difference((caught, np.full(30, 40.0)), (caught, np.full(30, 40.0)))
    assert float(same.low) < 0 < float(same.high)
    assert np.isnan(cluster.difference(([1], [2.0]), (caught, np.full(30, 40.0))).low)
