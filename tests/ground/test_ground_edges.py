"""Where a formula of the ground begins or ends, and draws of an anchor after its proof pull."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from setwright.basis.errors import BadInput
from setwright.ground import breakout, heat, proof, stake


@pytest.mark.parametrize("kind", ["held", "moved"])
@settings(max_examples=15, deadline=None)
@given(st.floats(50.0, 5e3), st.floats(0.15, 0.8), st.floats(0.05, 0.3), st.floats(-1.5, 1.5))
def test_redrawn_strengths_are_spread_as_what_is_thought_after_the_pull(
    kind: str, median: float, scatter: float, error: float, score: float
) -> None:
    pull = median * math.exp(scatter * score)
    after = proof.updated(median, scatter, pull, kind=kind, error=error)
    places = norm.ppf([0.05, 0.5, 0.95])
    drawn = proof.redrawn(median, scatter, pull, places, kind=kind, error=error)
    np.testing.assert_allclose(drawn, [after.low, after.median, after.high], rtol=2e-3)
    many = proof.redrawn(median, scatter, pull, np.linspace(-3.0, 3.0, 41), kind=kind, error=error)
    assert (np.diff(many) > 0.0).all(), "the weak stay the weak"


def test_draws_after_a_pull_know_its_two_outcomes_only() -> None:
    with pytest.raises(BadInput) as caught:
        proof.redrawn(900.0, 0.4, 800.0, 0.0, kind="broke")
    assert caught.value.field == "kind"


def test_snow_changes_its_formula_at_156_kilograms() -> None:
    # Sturm and others 1997: 0.023 + 0.234 r below 0.156 g/cm3, 0.138 - 1.01 r + 3.233 r2 from there on.
    at = 0.138 - 1.01 * 0.156 + 3.233 * 0.156**2
    assert float(heat.snow_conductivity(156.0)) == pytest.approx(at, rel=1e-12)
    below = float(heat.snow_conductivity(155.999))
    assert below == pytest.approx(0.023 + 0.234 * 0.155999, rel=1e-9) and abs(below - at) < 5e-4
    assert np.isnan(heat.snow_conductivity([0.0, -1.0, 600.1])).all()
    assert np.isfinite(heat.snow_conductivity([0.1, 600.0])).all()


def test_a_pad_is_no_point_and_fits_the_hollow() -> None:
    force, hollow, strength = 50.0, 0.03, 300e3
    assert np.isnan(breakout.pan_plate_break(force, hollow, [0.0, -0.01, 0.031], strength)).all()
    whole = float(breakout.pan_plate_break(force, hollow, hollow, strength))
    # A pad as wide as the hollow presses evenly on all of it: q a2 = P / pi, and the moment of Roark's plate under
    # an even load, q a2 (3 + nu) / 16, is less than what the formula of a patch takes, (P / 4 pi).
    assert whole == pytest.approx(math.sqrt(3.0 * force / (2.0 * math.pi * strength)))
    assert whole > math.sqrt(6.0 * force / math.pi * 3.3 / 16.0 / strength)


def test_clay_holds_a_shaft_by_no_more_than_its_own_strength() -> None:
    # API RP 2GEO: 0.5 psi^-0.5 up to psi of 1, 0.5 psi^-0.25 above, at most 1; psi of 0.25 gives just 1.
    np.testing.assert_allclose(
        stake.adhesion([1.0, 5.0, 20.0, 25.0, 80.0, 320.0], 20.0),
        [1, 1, 0.5 / 1**0.5, 0.5 * 1.25**-0.25, 0.5 * 4**-0.25, 0.25],
    )
