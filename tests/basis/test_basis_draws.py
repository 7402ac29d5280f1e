"""Named draws: even margins, order independence, pairing, seeds, the two-piece law."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from setwright.basis.errors import OutOfRange
from setwright.basis.source import Quantity
from setwright.basis.spread import Draws, band, normal_cdf


@given(st.integers(2, 300), st.integers(0, 2**31 - 1), st.text(max_size=12))
def test_every_stratum_has_one_draw(n: int, seed: int, name: str) -> None:
    values = np.sort(Draws(n, seed).uniform(name))
    assert np.allclose(values, (np.arange(n) + 0.5) / n), "one draw in every stratum"


def test_the_same_name_gives_the_same_draws_in_any_order() -> None:
    one, two = Draws(200, 5), Draws(200, 5)
    first = {name: one.uniform(name) for name in ("mass", "friction", "soil")}
    second = {name: two.uniform(name) for name in ("soil", "other", "mass", "friction")}
    for name, values in first.items():
        assert np.array_equal(values, second[name]), f"{name} does not depend on what else was asked"
        assert np.array_equal(values, one.uniform(name)), "asking twice"


def test_seed_name_and_scope_each_change_the_draws() -> None:
    base = Draws(100, 1).uniform("mass")
    assert not np.array_equal(base, Draws(100, 2).uniform("mass"))
    assert not np.array_equal(base, Draws(100, 1).uniform("soil"))
    assert not np.array_equal(base, Draws(100, 1).scoped("site 2").uniform("mass"))
    assert np.array_equal(Draws(100, 1).scoped("a").uniform("mass"), Draws(100, 1, "a").uniform("mass"))


def test_a_draw_handed_out_cannot_spoil_the_next() -> None:
    draws = Draws(50, 3)
    taken = draws.uniform("mass")
    taken[:] = 0.0
    assert draws.uniform("mass").min() > 0.0, "each answer is a copy"
    taken = draws.normal("mass")
    taken[:] = 0.0
    assert np.abs(draws.normal("mass")).max() > 1.0


def test_columns_are_not_tied_to_each_other() -> None:
    draws = Draws(2000, 7)
    columns = np.array([draws.normal(f"name {k}") for k in range(12)])
    ties = np.corrcoef(columns) - np.eye(12)
    assert np.abs(ties).max() < 5 / np.sqrt(2000), "no pair is correlated beyond chance"


def test_uniform_and_normal_of_one_name_are_paired() -> None:
    draws = Draws(400, 2)
    assert np.allclose(norm.cdf(draws.normal("x")), draws.uniform("x"), atol=1e-12)


def test_too_few_draws_are_refused() -> None:
    with pytest.raises(ValueError, match="two draws"):
        Draws(1)


@given(st.floats(-5, 5), st.floats(0, 5))
def test_between_stays_between(low: float, width: float) -> None:
    values = Draws(64).between("x", low, low + width)
    assert values.shape == (64,)
    assert values.min() >= low - 1e-12
    assert values.max() <= low + width + 1e-12
    assert np.mean(values) == pytest.approx(low + width / 2, abs=1e-9)


@settings(max_examples=60)
@given(st.floats(0.5, 100), st.floats(0.3, 0.99), st.floats(1.01, 3.0))
def test_a_quantity_keeps_its_median_and_its_points(value: float, down: float, up: float) -> None:
    quantity = Quantity(value, "m", low=value * down, high=value * up)
    values = Draws(20000).quantity("x", quantity)
    assert np.median(values) == pytest.approx(value, rel=2e-3)
    assert np.quantile(values, 0.05) == pytest.approx(value * down, rel=3e-3)
    assert np.quantile(values, 0.95) == pytest.approx(value * up, rel=3e-3)
    assert values.min() > 0.0, "a positive quantity stays positive"


def test_a_quantity_about_zero_keeps_its_points() -> None:
    values = Draws(20000).quantity("t", Quantity(-3.0, "degC", low=-7.0, high=-1.0))
    for share, point in ((0.05, -7.0), (0.5, -3.0), (0.95, -1.0)):
        assert np.quantile(values, share) == pytest.approx(point, abs=0.01)


def test_exact_and_unknown_quantities() -> None:
    assert np.array_equal(Draws(10).quantity("x", Quantity(2.0, "m")), np.full(10, 2.0))
    assert np.isnan(Draws(10).quantity("x", Quantity(None, "m"))).all()
    one_sided = Draws(1000).quantity("x", Quantity(2.0, "m", high=3.0))
    assert np.quantile(one_sided, 0.95) == pytest.approx(3.0, rel=0.01)


def test_a_better_rig_is_better_in_every_draw() -> None:
    quantity = Quantity(10.0, "N", low=6.0, high=15.0)
    first, second = Draws(500, 9), Draws(500, 9)
    difference = first.quantity("load", quantity) * 1.1 - second.quantity("load", quantity)
    assert difference.min() > 0.0, "paired: the same draw stands on both sides"


@given(st.lists(st.floats(-12, 12), min_size=1, max_size=20))
def test_normal_distribution_function(points: list[float]) -> None:
    assert np.allclose(normal_cdf(points), norm.cdf(points), atol=2e-7), "against an independent implementation"


def test_band() -> None:
    assert band(np.arange(101.0)) == (50.0, 5.0, 95.0)
    assert all(np.isnan(band([1.0, float("nan")])))
    assert band([1.0, np.inf, np.inf]) == (np.inf, 1.0, np.inf), "a bound that is absent stays absent"


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_a_share_never_leaves_zero_to_one(one: float, two: float, three: float) -> None:
    low, middle, high = sorted((one, two, three))
    values = Draws(400).share("s", Quantity(middle, "one", low=low, high=high))
    assert ((values >= 0.0) & (values <= 1.0)).all()
    if low >= 0.001 and high <= 0.999:
        found = np.quantile(values, (0.05, 0.5, 0.95))
        assert found == pytest.approx((low, middle, high), abs=0.02)


def test_shares_that_are_exact_unknown_or_none() -> None:
    assert np.array_equal(Draws(10).share("s", Quantity(1.0, "one")), np.ones(10))
    assert np.isnan(Draws(10).share("s", Quantity(None, "one"))).all()
    with pytest.raises(OutOfRange, match="between 0 and 1"):
        Draws(10).share("s", Quantity(0.9, "one", high=1.2))
