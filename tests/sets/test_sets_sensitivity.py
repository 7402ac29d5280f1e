"""Which unknown moves a result: against known shares, another program's indices, and what measuring then does."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import f as fisher_f
from scipy.stats import norm, sobol_indices, uniform

from setwright.basis.errors import OutOfRange
from setwright.basis.spread import Draws
from setwright.desk.plan import read_job
from setwright.desk.wording import render
from setwright.sets.designer import design
from setwright.sets.evaluate import evaluate
from setwright.sets.sensitivity import first_order, noise_level, sensitivity
from setwright.sets.sensitivity_words import measure_of

BOOK = Path(__file__).resolve().parents[2] / "docs" / "examples" / "dogs-run.yaml"
N = 6000


def columns(names, n=N, seed=3):
    draws = Draws(n, seed, "test")
    return {name: draws.normal(name) for name in names}


def told(shares):
    return {share.name: share.share for share in shares}


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(0.0, 5.0), min_size=2, max_size=5).filter(lambda a: max(a) > 0.5))
def test_a_sum_shares_out_its_variance(weights):
    x = columns([f"x{i}" for i in range(len(weights))])
    y = sum(w * x[f"x{i}"] for i, w in enumerate(weights))
    total = sum(w * w for w in weights)
    found = told(first_order(x, y))
    for i, w in enumerate(weights):
        assert found[f"x{i}"] == pytest.approx(w * w / total, abs=0.04)


def test_scipy_finds_the_same_shares():
    """`scipy.stats.sobol_indices` on a product of a dose, a chance and a wait, as in a firing rate."""

    def model(rate, share, wait):
        return 1.0 - np.exp(-rate * share * wait)

    spread = [norm(0.0, 1.0), uniform(0.1, 0.8), uniform(0.5, 1.5)]
    theirs = sobol_indices(
        func=lambda x: model(np.exp(x[0] - 1.0), x[1], x[2])[None, :], n=2**13, dists=spread, rng=1
    ).first_order
    draws = Draws(20000, 1, "test")
    x = {
        "rate": draws.normal("rate"),
        "share": draws.between("share", 0.1, 0.9),
        "wait": draws.between("wait", 0.5, 2),
    }
    ours = told(first_order(x, model(np.exp(x["rate"] - 1.0), x["share"], x["wait"])))
    for name, index in zip(x, theirs, strict=True):
        assert ours[name] == pytest.approx(index, abs=0.02), name


def test_chance_alone_is_seldom_told():
    hits = 0
    for seed in range(60):
        x = columns([f"x{i}" for i in range(10)], n=600, seed=seed)
        y = np.random.default_rng(seed).standard_normal(600)
        hits += any(share.told for share in first_order(x, y, seed=seed))
    assert hits <= 4, "one trial of a hundred, by design"


@pytest.mark.parametrize(("n", "bins", "chance"), [(600, 20, 0.001), (3000, 100, 0.01), (1200, 40, 0.0002)])
def test_noise_against_the_exact_law(n, bins, chance):
    ratio = fisher_f.isf(chance, bins - 1, n - bins)
    exact = (bins - 1) * (ratio - 1.0) / ((bins - 1) * ratio + n - bins)
    assert noise_level(n, bins, chance) == pytest.approx(exact, rel=0.01)


def test_sign_of_the_rank_and_a_result_that_does_not_vary():
    x = columns(["up", "down", "none"])
    found = {share.name: share for share in first_order(x, np.exp(x["up"]) - 2.0 * x["down"])}
    assert found["up"].rank > 0.3 and found["down"].rank < -0.3
    assert found["up"].low < found["up"].share < found["up"].high
    assert not found["none"].told and np.isnan(found["none"].low)
    assert all(np.isnan(share.share) for share in first_order(x, np.full(N, 0.3)))
    with pytest.raises(OutOfRange):
        first_order(x, np.zeros(N - 1))
    with pytest.raises(OutOfRange):
        first_order(x, x["up"], bins=N)


@pytest.fixture(scope="module")
def job():
    return read_job(BOOK, draws=1200)


@pytest.fixture(scope="module")
def member(job):
    found = design(job.contexts["track"], job.options, None, job.person)
    return (*found.members, *found.unsettled)[0]


def test_measuring_what_is_named_first_takes_its_share_away(job, member):
    """With the first unknown held at its middle, the variance falls by about the share that was told."""
    context, rig = member.context, member.result.rig
    found = {one.result: one for one in sensitivity(context, rig, job.person)}
    catch = found["catch"]
    first = catch.shares[0]
    assert first.share > 0.2

    class Held(Draws):
        def _rank(self, name):
            return super()._rank(name)

        def uniform(self, name):
            return np.full(self.n, 0.5) if name == first.name else super().uniform(name)

        def normal(self, name):
            return np.zeros(self.n) if name == first.name else super().normal(name)

    def held_by(source):
        def again(draws):
            return source(draws.n, draws.seed, draws.scope)

        anew = replace(
            context, draws=again(context.draws), shared=again(context.shared), kept=type(context.kept)(),
            line_kept=type(context.line_kept)(),
        )  # fmt: skip
        return evaluate(anew, rig, job.person).held

    whole, rest = np.var(held_by(Draws)), np.var(held_by(Held))
    # The law of total variance: what is left on the average is 1 − share; at the middle it is near that.
    assert rest < whole
    assert 1.0 - rest / whole > 0.5 * first.share


def test_shares_do_not_exceed_the_whole(job, member):
    for one in sensitivity(member.context, member.result.rig, job.person):
        assert 0.0 <= one.rest <= 1.0
        assert sum(share.share for share in one.shares) <= 1.15, one.result
        assert all(share.share > share.noise for share in one.shares)
        ordered = [share.share for share in one.shares]
        assert ordered == sorted(ordered, reverse=True)


def test_every_unknown_that_is_told_has_words(job, member):
    for one in sensitivity(member.context, member.result.rig, job.person):
        for share in one.shares:
            measure = measure_of(share.name, member.context, member.result.rig)
            assert render(measure.what) and render(measure.act), share.name
            if measure.settles:
                assert render(measure.what) != share.name, share.name


def test_what_is_not_to_be_taken_is_not_to_be_measured_in_a_trap(member):
    dog = measure_of("mass.dog_medium", member.context, member.result.rig)
    assert not dog.settles and "not to be measured in a trap" in render(dog.act)
    assert measure_of("mass.red_fox", member.context, member.result.rig).settles
