"""Proof pulls: closed forms, draws, direction, the pull to aim for."""

from __future__ import annotations

import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.errors import BadInput, OutOfRange
from setwright.ground import proof, reliability, stake
from setwright.ground.anchor import Anchor, capacity
from setwright.ground.soil import Layer

NORMAL = NormalDist()
NAN, INF = math.nan, math.inf
LOAM = Layer("loam", "undrained", INF, NAN, 36e3, 18e3, NAN)
TBAR = Anchor("stake", width=0.025, perimeter=0.085, length=0.56, yield_moment=400.0)
FEW = settings(max_examples=40, deadline=None)
medians, spreads, errors = st.floats(50.0, 5e3), st.floats(0.15, 0.8), st.floats(0.05, 0.3)


@given(medians, spreads, st.floats(-2.0, 2.0))
@FEW
def test_a_sharp_proof_cuts_the_log_normal_below_it(median: float, scatter: float, score: float) -> None:
    pull = median * math.exp(scatter * score)
    found = proof.updated(median, scatter, pull, error=0.03 * scatter)
    below = NORMAL.cdf(score)
    for got, share in ((found.median, 0.5), (found.low, 0.05), (found.high, 0.95)):
        cut = median * math.exp(scatter * NORMAL.inv_cdf(below + share * (1.0 - below)))
        assert float(got) == pytest.approx(cut, rel=0.02 * scatter + 0.001)
    assert float(found.expected) == pytest.approx(1.0 - below, abs=0.005)


@given(medians, spreads, errors, st.floats(-2.0, 2.0))
@FEW
def test_a_pull_that_moved_it_is_the_mean_weighed_by_precision(
    median: float, scatter: float, error: float, score: float
) -> None:
    pull = median * math.exp(scatter * score)
    found = proof.updated(median, scatter, pull, kind="moved", error=error)
    weights = np.array([scatter, error]) ** -2
    middle = np.average(np.log([median, pull]), weights=weights)
    assert math.log(float(found.median)) == pytest.approx(middle, abs=1e-9)
    assert float(found.scatter) == pytest.approx(weights.sum() ** -0.5)


def test_a_blunt_proof_agrees_with_draws() -> None:
    rng = np.random.default_rng(7)
    strength = 930.0 * np.exp(0.47 * rng.standard_normal(1_000_000))
    read = 800.0 * np.exp(0.15 * rng.standard_normal(strength.size))
    kept = strength[strength > read]
    found = proof.updated(930.0, 0.47, 800.0, error=0.15)
    middle, low, high = np.quantile(kept, (0.5, 0.05, 0.95))
    got = [float(part) for part in (found.median, found.low, found.high)]
    assert got == pytest.approx([middle, low, high], rel=0.005)
    assert float(found.scatter) == pytest.approx(np.std(np.log(kept)), abs=0.002)
    assert float(found.expected) == pytest.approx(kept.size / strength.size, abs=0.002)
    lunges = 434.0 * np.exp(0.42 * rng.standard_normal((40_000, 20)).max(axis=1))
    lost = float(np.mean(lunges > kept[:40_000]))
    assert float(proof.failure_proved(930.0, 0.47, 800.0, 434.0, 0.42, 20, error=0.15)) == pytest.approx(
        lost, abs=0.01
    )


@given(medians, spreads, errors, st.floats(-2.0, 3.0), st.floats(1.02, 2.0))
@FEW
def test_a_harder_proof_is_worth_more(median: float, scatter: float, error: float, score: float, more: float) -> None:
    pull = median * math.exp(scatter * score)
    first, second = (proof.updated(median, scatter, pull * by, error=error) for by in (1.0, more))
    assert second.low > first.low and second.median > first.median
    assert first.median >= median * (1 - 1e-6), "to hold never speaks against an anchor"
    assert first.scatter <= scatter * (1 + 1e-6), "and it narrows what is thought of it"
    lost = [
        float(proof.failure_proved(median, scatter, pull * by, median, 0.4, 20, error=error)) for by in (1.0, more)
    ]
    assert lost[1] <= lost[0] + 1e-9


def test_without_news_nothing_changes() -> None:
    found = proof.updated(930.0, 0.47, 1.0)
    assert float(found.median) == pytest.approx(930.0, rel=1e-4)
    assert float(found.scatter) == pytest.approx(0.47, rel=1e-4)
    strong, pull = (math.sqrt(math.expm1(s**2)) for s in (0.47, 0.42))
    ratio = reliability.mean_ratio(930.0 * math.sqrt(1.0 + strong**2), 434.0, pull)
    plain = reliability.failure_in(ratio, strong, pull, 20)
    assert float(proof.failure_proved(930.0, 0.47, 1.0, 434.0, 0.42, 20)) == pytest.approx(float(plain), abs=1e-3)


def test_a_proof_that_the_model_held_to_be_impossible_is_told() -> None:
    found = proof.updated(100.0, 0.3, 1000.0)
    assert float(found.expected) < 1e-6, "the ground is not what was thought"
    assert 600.0 < float(found.low) < float(found.high) < 1200.0


def test_unknown_stays_unknown_and_misuse_is_named() -> None:
    assert np.isnan(proof.updated(NAN, 0.4, 500.0).median) and np.isnan(proof.updated(500.0, 0.4, NAN).low)
    with pytest.raises(BadInput, match="held"):
        proof.updated(500.0, 0.4, 500.0, kind="slipped")
    for name, scatter, error in (("scatter", 0.0, 0.1), ("error", 0.4, 0.0)):
        with pytest.raises(OutOfRange) as caught:
            proof.updated(500.0, scatter, 500.0, error=error)
        assert caught.value.field == name


def test_arrays_and_numbers_agree() -> None:
    pulls = np.array([300.0, 800.0, NAN, 1500.0])
    many = proof.updated(930.0, 0.47, pulls)
    for place in (0, 1, 3):
        assert float(many.median[place]) == pytest.approx(float(proof.updated(930.0, 0.47, pulls[place]).median))
    assert np.isnan(many.median[2])
    grid = proof.failure_proved(np.full((3, 1), 930.0), 0.47, 800.0, np.array([300.0, 434.0]), 0.42, 20)
    assert grid.shape == (3, 2)


@given(st.floats(0.0, 1.5), st.floats(0.0, 1.5))
def test_a_turned_proof_lies_on_the_ellipse(first: float, second: float) -> None:
    side, straight = 1513.0, 474.0
    there = float(proof.carried_over(700.0, side, straight, first, second))
    assert float(proof.carried_over(there, side, straight, second, first)) == pytest.approx(700.0)
    if second < first:
        assert there >= 700.0 - 1e-9, "what was pulled more steeply is worth more lower down"
    assert float(proof.turning_error(first, second)) >= 0.1 - 1e-12


def test_capacity_takes_the_direction_of_the_proof_when_it_is_noted() -> None:
    up = replace(TBAR, proof=450.0, proof_angle=0.5 * math.pi)
    angle = math.radians(15.0)
    weak = [replace(LOAM, cu=5e3)]
    side, straight = (
        stake.lateral_undrained(5e3, 0.025, 0.56, 0.02)[0],
        stake.axial(weak, perimeter=0.085, length=0.56),
    )
    expected = float(proof.carried_over(450.0, side, straight, 0.5 * math.pi, angle))
    assert float(capacity(up, weak, angle=angle).force) == pytest.approx(expected)
    assert float(capacity(replace(up, proof_angle=NAN), weak, angle=angle).force) == 450.0
    assert expected > 450.0, "straight up is the weakest way to pull a stake"


def test_the_pull_to_aim_for_just_keeps_the_chance() -> None:
    aim = float(proof.proof_needed(930.0, 0.47, 434.0, 0.42, 20, 0.05))
    assert float(proof.failure_proved(930.0, 0.47, aim, 434.0, 0.42, 20)) == pytest.approx(0.05, abs=1e-4)
    assert float(proof.proof_needed(9300.0, 0.47, 434.0, 0.42, 20, 0.05)) == 0.0, "strong enough unproved"
    assert np.isnan(proof.proof_needed(930.0, 0.47, 434.0, 0.42, 20, 0.0))
