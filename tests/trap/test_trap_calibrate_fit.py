"""Least squares, weights and walks on laws that are known in closed form."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.trap.fit import fit, jacobian
from setwright.trap.model import Floats
from setwright.trap.weigh import Bend, in_place, matched, walk, weigh


def _linear(seed: int, size: int, count: int) -> tuple[Floats, Floats, Floats]:
    rng = np.random.default_rng(seed)
    return rng.standard_normal((count, size)), rng.standard_normal(count), 0.2 + rng.random(count)


@given(seed=st.integers(0, 10_000), size=st.integers(1, 6), count=st.integers(1, 9))
def test_linear_model_against_its_closed_form(seed: int, size: int, count: int) -> None:
    """Conjugate regression: Gelman et al., *Bayesian Data Analysis*, regression chapter (memory)."""
    design, seen, sd = _linear(seed, size, count)
    found = fit(lambda u: (u @ design.T - seen) / sd, size)
    # By the gain of a filter, reading after reading: another way than the one of the fit.
    mean, spread = np.zeros(size), np.eye(size)
    for row, value, error in zip(design, seen, sd, strict=True):
        gain = spread @ row / (row @ spread @ row + error**2)
        mean, spread = mean + gain * (value - row @ mean), spread - np.outer(gain, row @ spread)
    assert found.settled
    assert found.mode == pytest.approx(mean, abs=1e-6)
    assert found.covariance == pytest.approx(spread, abs=1e-6)


def test_weights_of_a_linear_model_are_even() -> None:
    design, seen, sd = _linear(3, 4, 6)

    def misfits(u: Floats) -> Floats:
        return np.asarray((u @ design.T - seen) / sd)

    law = fit(misfits, 4)
    normals = np.random.default_rng(1).standard_normal((500, 4))
    for bend in (None, Bend(np.array([0, 2]), lambda u: misfits(u)[:, [0, 2]])):
        found = weigh(misfits, law, normals, bend)
        assert found.effective == pytest.approx(1.0, abs=1e-6) and found.tail < 1e-4
        assert np.array_equal(in_place(found.weights), np.arange(500))


def _curved(u: Floats) -> Floats:
    """One reading of a curved sum, sharp: a bow-shaped ridge."""
    return np.asarray((u[:, :1] + 0.2 * u[:, 1:2] ** 2 - 0.5) / 0.3)


def _exact_moments() -> tuple[Floats, Floats]:
    x, y = np.meshgrid(np.linspace(-6.0, 3.0, 1201), np.linspace(-5.0, 5.0, 1201), indexing="ij")
    points = np.stack((x.ravel(), y.ravel()), axis=-1)
    logs = -0.5 * (np.sum(points**2, axis=-1) + _curved(points)[:, 0] ** 2)
    weights = np.exp(logs - logs.max())
    weights /= weights.sum()
    mean = weights @ points
    return mean, np.sqrt(weights @ (points - mean) ** 2)


def test_bent_draws_follow_a_ridge() -> None:
    law = fit(_curved, 2)
    normals = np.random.default_rng(2).standard_normal((20_000, 2))
    plain = weigh(_curved, law, normals)
    bent = weigh(_curved, law, normals, Bend(np.array([0]), _curved))
    assert bent.effective > 2.0 * plain.effective
    mean, sd = _exact_moments()
    found = bent.weights @ bent.scores
    assert found == pytest.approx(mean, abs=0.03)
    assert np.sqrt(bent.weights @ (bent.scores - found) ** 2) == pytest.approx(sd, abs=0.03)


def test_weights_make_up_for_the_stretch_of_bent_draws() -> None:
    def misfits(u: Floats) -> Floats:
        return np.asarray((u + 0.25 * u**2 - 0.3) / 0.5)

    law = fit(misfits, 1)
    normals = np.random.default_rng(8).standard_normal((100_000, 1))
    found = weigh(misfits, law, normals, Bend(np.array([0]), misfits))
    x = np.linspace(-9.0, 6.0, 30_001)[:, None]
    exact = np.exp(-0.5 * (x[:, 0] ** 2 + misfits(x)[:, 0] ** 2))
    assert found.weights @ found.scores[:, 0] == pytest.approx(float(exact @ x[:, 0] / exact.sum()), abs=0.01)


def test_walks_find_the_same_law() -> None:
    law = fit(_curved, 2)
    found = walk(_curved, law, walkers=4000, moves=10, seed=6)
    mean, sd = _exact_moments()
    assert np.mean(found, axis=0) == pytest.approx(mean, abs=0.08)
    assert np.std(found, axis=0) == pytest.approx(sd, abs=0.08)
    assert np.array_equal(found, walk(_curved, law, walkers=4000, moves=10, seed=6))
    near = matched(law, found)
    assert near.covariance == pytest.approx(1.05**2 * np.cov(found.T), rel=1e-3)


def test_what_cannot_be_has_no_weight() -> None:
    def misfits(u: Floats) -> Floats:
        return np.where(u[:, :1] < 0.0, u[:, :1] * 2.0 + 1.0, np.inf)

    law = fit(misfits, 2)
    found = weigh(misfits, law, np.random.default_rng(5).standard_normal((2000, 2)))
    assert found.weights[found.scores[:, 0] > 0.0].sum() == 0.0
    assert found.weights.sum() == pytest.approx(1.0)
    hopeless = fit(lambda u: np.full((u.shape[0], 1), np.inf), 2)
    assert not hopeless.settled
    assert weigh(lambda u: np.full((u.shape[0], 1), np.inf), hopeless, np.zeros((9, 2))).effective == 0.0


def test_a_second_start_finds_the_better_of_two_hollows() -> None:
    def misfits(u: Floats) -> Floats:
        x = u[:, :1]
        return np.concatenate(
            (6.0 * np.minimum(np.abs(x + 0.4), np.abs(x - 1.6) + 0.0) + 4.0 * (x < 0.6), x * 0), axis=1
        )

    assert fit(misfits, 1, starts=12).cost <= fit(misfits, 1, starts=1).cost


def test_slopes_by_differences() -> None:
    found = jacobian(lambda u: np.stack((u[:, 0] ** 2, np.where(u[:, 1] > 0.31, np.nan, 3.0 * u[:, 1])), axis=-1),
                     np.array([0.5, 0.3]))  # fmt: skip
    assert found == pytest.approx(np.array([[1.0, 0.0], [0.0, 3.0]]))


@given(weights=st.lists(st.floats(0.0, 5.0), min_size=2, max_size=40).filter(lambda some: sum(some) > 0.1))
def test_resampling_in_place(weights: list[float]) -> None:
    shares = np.array(weights) / sum(weights)
    rows = in_place(shares)
    counts = np.bincount(rows, minlength=shares.size)
    assert np.abs(counts - shares.size * shares).max() < 1.0 + 1e-9, "each as often as its weight says, to one"
    stays = np.flatnonzero(counts > 0)
    assert np.array_equal(rows[stays], stays), "what stays keeps its place"
