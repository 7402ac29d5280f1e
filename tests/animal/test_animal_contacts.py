"""Feet on the pan: the log's record over the model's guess."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from setwright.animal.contacts import ContactBelief, StepBelief, contact_update, step_update
from setwright.basis.errors import OutOfRange

U = (np.arange(500) + 0.5) / 500
models = st.floats(0.03, 0.97)


def test_no_log_leaves_the_model() -> None:
    assert step_update(0, 0, 0.124).mean == pytest.approx(0.124)
    found = contact_update(0, 0, 0.124)
    assert found.mean == pytest.approx(-np.log1p(-0.124))
    assert contact_update(0, 0, 0.124, 1e6).step_mean == pytest.approx(0.124, abs=1e-5)


@given(st.integers(0, 60), st.integers(0, 60), models, st.floats(1, 40))
def test_update_lies_between_model_and_record(steps: int, more: int, model: float, weight: float) -> None:
    visits = steps + more
    found = step_update(steps, visits, model, weight)
    assert found.hits + found.misses == pytest.approx(weight + visits)
    if visits:
        low, high = sorted((model, steps / visits))
        assert low - 1e-12 <= found.mean <= high + 1e-12


@given(st.integers(0, 20), st.integers(1, 20), models)
def test_two_weeks_one_after_the_other_are_both_together(steps: int, more: int, model: float) -> None:
    first = step_update(steps, steps + more, model)
    then = step_update(3, 7, first.mean, first.hits + first.misses)
    together = step_update(steps + 3, steps + more + 7, model)
    assert (then.hits, then.misses) == pytest.approx((together.hits, together.misses))


def test_long_record_wins() -> None:
    assert step_update(300, 1000, 0.9).mean == pytest.approx(0.3, abs=0.01)
    assert contact_update(2000, 1000, 0.05).mean == pytest.approx(2.0, abs=0.05)


@pytest.mark.parametrize(("hits", "misses"), [(0.4, 7.6), (1.0, 7.0), (5.0, 13.0), (80.0, 20.0), (300.0, 700.0)])
def test_step_draws_are_the_beta_law(hits: float, misses: float) -> None:
    found = StepBelief(hits, misses)
    assert np.abs(found.draws(U) - stats.beta(hits, misses).ppf(U)).max() < 2e-4
    assert found.mean == pytest.approx(float(stats.beta(hits, misses).mean()))
    assert found.sd == pytest.approx(float(stats.beta(hits, misses).std()))


@pytest.mark.parametrize(("contacts", "visits"), [(0.5, 8.0), (1.0, 8.0), (6.0, 11.0), (150.0, 90.0)])
def test_contact_draws_are_the_gamma_law(contacts: float, visits: float) -> None:
    found = ContactBelief(contacts, visits)
    expected = -np.expm1(-stats.gamma(contacts, scale=1 / visits).ppf(U))
    assert np.abs(found.draws(U) - expected).max() < 3e-4
    assert found.draws(U).mean() == pytest.approx(found.step_mean, abs=1e-3)


def test_outside_zero_and_one_is_not_a_number() -> None:
    assert np.isnan(StepBelief(2.0, 3.0).draws([-0.1, 1.1, np.nan])).all()


@given(st.integers(0, 30), st.integers(30, 60), models)
@settings(max_examples=30)
def test_counting_feet_or_visits_tells_nearly_the_same_where_feet_are_rare(
    steps: int, visits: int, model: float
) -> None:
    if steps / visits < 0.1 and model < 0.15:
        one = step_update(steps, visits, model).mean
        assert contact_update(steps, visits, model).step_mean == pytest.approx(one, rel=0.12)


@pytest.mark.parametrize(
    ("arguments", "word"),
    [((5, 4, 0.1), "steps"), ((-1, 4, 0.1), "below zero"), ((1, 4, 0.0), "chance"), ((1, 4, 0.1, 0.0), "weight")],
)
def test_misuse_is_named(arguments: tuple[float, ...], word: str) -> None:
    with pytest.raises(OutOfRange, match=word):
        step_update(*arguments)
    if word != "steps":
        with pytest.raises(OutOfRange, match=word):
            contact_update(*arguments)
