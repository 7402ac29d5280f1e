"""Row of parts under one load: against draws, limits, order, parts that nobody rates, speed; pulls on the bench."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.errors import BadInput
from setwright.basis.spread import normal_cdf
from setwright.tackle.bench import PartStrength, after_proof, after_samples
from setwright.tackle.chain_length import common_loss
from setwright.tackle.reliability import report, series_loss

DRAWS = 400_000


@pytest.mark.parametrize(
    ("medians", "spreads", "counts", "pull", "lunges"),
    [
        ((2900.0, 700.0, 1600.0, 1000.0), (0.1, 0.25, 0.15, 0.3), (1, 1, 1, 1), 434.0, 1),
        ((2900.0, 900.0, 1600.0, 1300.0), (0.1, 0.25, 0.15, 0.3), (1, 1, 1, 1), 300.0, 20),
        ((1200.0, 900.0), (0.08, 0.2), (18, 1), 434.0, 5),
        ((500.0, 500.0, 500.0), (0.2, 0.2, 0.2), (1, 2, 1), 434.0, 1),
    ],
)
def test_the_integral_is_what_draws_give(
    medians: tuple[float, ...], spreads: tuple[float, ...], counts: tuple[int, ...], pull: float, lunges: int
) -> None:
    draw = np.random.default_rng(11)
    strength = np.stack([
        (m * np.exp(s * draw.standard_normal((DRAWS, n)))).min(axis=1)
        for m, s, n in zip(medians, spreads, counts, strict=True)
    ], axis=1)  # fmt: skip
    hardest = pull * np.exp(0.42 * draw.standard_normal((DRAWS, lunges)).max(axis=1))
    lost = strength.min(axis=1) < hardest
    found = series_loss(medians, spreads, pull, 0.42, lunges=lunges, count=counts)
    assert float(found.loss) == pytest.approx(lost.mean(), abs=4 * math.sqrt(0.25 / DRAWS))
    shares = np.bincount(strength.argmin(axis=1)[lost], minlength=len(medians)) / lost.sum()
    assert found.share == pytest.approx(shares, abs=4 * math.sqrt(0.25 / lost.sum()))
    assert int(found.weakest) == int(np.argmax(shares))


@given(st.floats(200.0, 4000.0), st.floats(0.05, 0.5), st.floats(100.0, 2000.0), st.floats(0.1, 0.6))
def test_one_part_and_one_lunge_have_a_closed_form(median: float, spread: float, pull: float, scatter: float) -> None:
    exact = float(normal_cdf(-math.log(median / pull) / math.hypot(spread, scatter)))
    assert float(series_loss([median], [spread], pull, scatter).loss) == pytest.approx(exact, abs=2e-6)
    assert float(common_loss(median, spread, pull, scatter)) == pytest.approx(exact, abs=2e-6)


@settings(max_examples=40)
@given(
    st.lists(st.tuples(st.floats(200.0, 4000.0), st.floats(0.05, 0.4)), min_size=2, max_size=6),
    st.floats(100.0, 1500.0),
    st.integers(1, 30),
    st.randoms(use_true_random=False),
)
def test_order_bounds_and_sums(
    parts: list[tuple[float, float]], pull: float, lunges: int, chance: random.Random
) -> None:
    medians, spreads = (np.array(x) for x in zip(*parts, strict=True))
    found = series_loss(medians, spreads, pull, 0.42, lunges=lunges)
    alone = common_loss(medians, spreads, pull, 0.42, lunges)
    whole = float(found.loss)
    assert alone.max() - 1e-5 <= whole <= min(1.0, alone.sum()) + 1e-5
    assert whole <= 1.0 - np.prod(1.0 - alone) + 1e-5, "parts that meet one lunge: no worse than each for itself"
    if whole > 1e-6:
        assert float(np.sum(found.share)) == pytest.approx(1.0)
    turned = chance.sample(range(len(parts)), len(parts))
    again = series_loss(medians[turned], spreads[turned], pull, 0.42, lunges=lunges)
    assert float(again.loss) == pytest.approx(whole, abs=1e-9)
    assert float(series_loss(medians * 1.1, spreads, pull * 1.1, 0.42, lunges=lunges).loss) == pytest.approx(whole)
    assert float(series_loss(medians, spreads, pull * 1.2, 0.42, lunges=lunges).loss) >= whole - 1e-7


def test_two_like_parts_share_and_links_count() -> None:
    two = series_loss([800.0, 800.0], [0.2, 0.2], 434.0, 0.42)
    assert two.share == pytest.approx([0.5, 0.5])
    assert float(series_loss([800.0], [0.2], 434.0, 0.42, count=[2.0]).loss) == pytest.approx(float(two.loss))


def test_a_part_that_nobody_rates_cannot_be_told() -> None:
    medians = [math.nan, 790.0, 2900.0]
    found = series_loss(medians, [0.2, 0.2, 0.1], 434.0, 0.42, lunges=20)
    assert math.isnan(found.loss)
    assert float(found.least) == pytest.approx(
        float(series_loss(medians[1:], [0.2, 0.1], 434.0, 0.42, lunges=20).loss)
    )
    told = report(["swivel", "S-hook", "chain"], ["connector", "connector", "chain"], medians, found)
    assert [part.name for part in told] == ["S-hook", "chain", "swivel"]
    assert told[0].rated and told[0].share > 0.99 and told[0].reading == ""
    assert not told[2].rated and "three samples" in told[2].reading and "eyes covered" in told[2].reading
    none = series_loss([math.nan, math.nan], 0.2, 434.0, 0.42)
    assert math.isnan(none.least) and int(none.weakest) == -1 and np.isnan(none.share).all()


@pytest.mark.parametrize(("spread", "scatter", "field"), [(0.0, 0.4, "spread"), (math.nan, 0.4, "spread"),
                                                          (0.2, 0.0, "pull_spread")])  # fmt: skip
def test_a_part_without_scatter_is_refused(spread: float, scatter: float, field: str) -> None:
    with pytest.raises(BadInput) as caught:
        series_loss([800.0], [spread], 434.0, scatter)
    assert caught.value.field == field


def test_a_kind_that_is_none_is_refused() -> None:
    found = series_loss([800.0], [0.2], 434.0, 0.42)
    with pytest.raises(BadInput, match="connector"):
        report(["hook"], ["hook"], [800.0], found)
    with pytest.raises(BadInput, match="one rig"):
        report(["hook", "ring"], ["connector", "connector"], [800.0], found)


def test_shape_of_many_rigs_is_kept_and_each_is_its_own() -> None:
    draw = np.random.default_rng(3)
    medians = np.exp(draw.uniform(6, 8, (2, 3, 4)))
    spreads = np.array([0.1, 0.2, 0.15, 0.3])
    found = series_loss(medians, spreads, [300.0, 400.0, 500.0], 0.42, lunges=5)
    assert found.loss.shape == (2, 3) and found.share.shape == (2, 3, 4) and found.weakest.shape == (2, 3)
    one = series_loss(medians[1, 2], spreads, 500.0, 0.42, lunges=5)
    assert float(found.loss[1, 2]) == pytest.approx(float(one.loss), abs=1e-9)


def test_ten_thousand_rigs_at_once_are_each_what_they_are_alone() -> None:
    draw = np.random.default_rng(5)
    medians, spreads = np.exp(draw.uniform(6, 9, (10_000, 12))), draw.uniform(0.08, 0.35, (10_000, 12))
    pull, links = draw.uniform(200.0, 1500.0, 10_000), np.where(np.arange(12) == 0, 20.0, 1.0)
    whole = series_loss(medians, spreads, pull, 0.42, lunges=20, count=links)
    for rig in range(0, 10_000, 997):
        alone = series_loss(medians[rig], spreads[rig], pull[rig], 0.42, lunges=20, count=links)
        assert float(alone.loss) == pytest.approx(float(whole.loss[rig]), abs=1e-12)
        assert int(alone.weakest) == int(whole.weakest[rig])


@given(st.lists(st.floats(300.0, 5000.0), min_size=1, max_size=6), st.floats(0.05, 0.3))
def test_samples_speak_louder_than_the_table(samples: list[float], scatter: float) -> None:
    middle = math.exp(float(np.mean(np.log(samples))))
    blind = after_samples(PartStrength(math.nan, math.nan), samples, scatter)
    assert blind.median == pytest.approx(middle)
    assert blind.spread == pytest.approx(scatter * math.sqrt(1 + 1 / len(samples)))
    prior = PartStrength(1000.0, 0.4)
    after = after_samples(prior, samples, scatter)
    low, high = sorted((1000.0, middle))
    assert low * (1 - 1e-9) <= after.median <= high * (1 + 1e-9)
    assert after.spread <= blind.spread + 1e-12
    one_by_one = after_samples(prior, [], scatter)
    assert one_by_one == prior


@given(st.floats(0.05, 0.5), st.floats(-4.0, 3.0))
def test_a_proof_only_strengthens_and_narrows(spread: float, far: float) -> None:
    prior = PartStrength(1000.0, spread)
    proof = 1000.0 * math.exp(far * spread)
    after = after_proof(prior, proof)
    assert after.median >= 1000.0 and after.spread <= spread + 1e-9
    assert after.median > proof


def test_a_proof_against_draws_and_at_its_ends() -> None:
    draw = np.random.default_rng(7)
    logs = math.log(1000.0) + 0.3 * draw.standard_normal(DRAWS)
    held = logs[logs > math.log(900.0)]
    after = after_proof(PartStrength(1000.0, 0.3), 900.0)
    assert after.median == pytest.approx(math.exp(held.mean()), rel=2e-3)
    assert after.spread == pytest.approx(held.std(), rel=5e-3)
    small = after_proof(PartStrength(1000.0, 0.3), 100.0)
    assert small.median == pytest.approx(1000.0, rel=1e-6)
    assert math.isnan(after_proof(PartStrength(1000.0, 0.1), 3000.0).median), "one of the figures is wrong"
    assert math.isnan(after_proof(PartStrength(math.nan, math.nan), 500.0).median), "a floor is no median"


@pytest.mark.parametrize("call", [
    lambda: after_samples(PartStrength(1000.0, 0.2), [800.0, -5.0]),
    lambda: after_samples(PartStrength(1000.0, 0.2), [800.0], 0.0),
    lambda: after_proof(PartStrength(1000.0, 0.2), math.nan),
])  # fmt: skip
def test_bad_readings_of_the_bench_are_refused(call: object) -> None:
    assert callable(call)
    with pytest.raises(BadInput, match="positive"):
        call()
