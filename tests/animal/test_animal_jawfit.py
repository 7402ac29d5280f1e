"""Jaw fit and withdrawal: geometry against a random sample, limits and order."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.animal import tables
from setwright.animal.jawfit import jaw_fit, pad_catch, time_available
from setwright.animal.step import foot_radius


def sampled(spread: float, pan: float, width: float, length: float, offset: float, n: int = 200_000) -> float:
    random = np.random.default_rng(3)
    pad = 0.4 * float(foot_radius(width, length))
    radius, angle = (pan + pad) * np.sqrt(random.random(n)), 2 * np.pi * random.random(n)
    x = radius * np.cos(angle) + offset * random.standard_normal(n)
    y = radius * np.sin(angle) + offset * random.standard_normal(n)
    return float((np.hypot(x, y) <= spread / 2 - pad).mean())


@pytest.mark.parametrize("offset", [0.0, 0.008, 0.02, 0.05])
@pytest.mark.parametrize("spread", [0.06, 0.09, 0.12])
def test_pad_catch_against_a_random_sample(spread: float, offset: float) -> None:
    found = float(pad_catch(spread, 0.028, 0.055, 0.065, offset))
    assert found == pytest.approx(sampled(spread, 0.028, 0.055, 0.065, offset), abs=0.012)


@given(st.floats(0.03, 0.25), st.floats(0.01, 0.05), st.floats(0.02, 0.13), st.floats(0.02, 0.17), st.floats(0, 0.05))
@settings(max_examples=80)
def test_pad_catch_is_a_chance_and_rises_with_the_spread(
    spread: float, pan: float, width: float, length: float, offset: float
) -> None:
    found = float(pad_catch(spread, pan, width, length, offset))
    assert 0 <= found <= 1
    assert pad_catch(spread * 1.1, pan, width, length, offset) >= found - 1e-9
    assert pad_catch(spread, pan, length, width, offset) == pytest.approx(found), "along or across"


def test_pad_catch_limits() -> None:
    assert pad_catch(1.0, 0.028, 0.055, 0.065) == 1.0
    assert pad_catch(0.02, 0.028, 0.055, 0.065) == 0.0, "the pad is wider than the jaws"
    pad = 0.4 * float(foot_radius(0.055, 0.065))
    half = 2 * (pad + (0.028 + pad) / np.sqrt(2))
    assert pad_catch(half, 0.028, 0.055, 0.065) == pytest.approx(0.5), "half of the landing disc"
    assert np.isnan(pad_catch([np.nan, 0.1], 0.028, [0.055, np.nan], 0.065)).all()


def test_well_matched_jaws_take_the_coyote() -> None:
    coyote = tables.record("coyote_west")
    for spread in (coyote.jaw_low.number, coyote.jaw_high.number):
        found = pad_catch(spread, 0.028, coyote.fore_width.number, coyote.fore_length.number)
        assert found >= 0.98, "98 % of coyotes that stepped on standard pans were captured"


def test_pad_catch_of_arrays() -> None:
    spread, offset = np.array([0.08, 0.1, 0.12]), np.array([0.0, 0.01, 0.02])
    together = pad_catch(spread, 0.028, 0.055, 0.065, offset)
    alone = [float(pad_catch(s, 0.028, 0.055, 0.065, o)) for s, o in zip(spread, offset, strict=True)]
    assert together == pytest.approx(alone)
    assert np.array_equal(pad_catch(spread[::-1], 0.028, 0.055, 0.065, offset[::-1]), together[::-1])


def test_jaw_fit_margin_and_sides() -> None:
    found = jaw_fit([0.10, 0.13, 0.16, 0.13], [0.12, 0.12, 0.12, np.nan], 0.15)
    assert found.margin[:3] == pytest.approx([-0.02, 0.01, -0.01]) and np.isnan(found.margin[3])
    assert found.small.tolist() == [True, False, False, False]
    assert found.large.tolist() == [False, False, True, False]


def test_time_available_by_hand() -> None:
    assert time_available(0.045, 25.0, 0.05) == pytest.approx(0.045 + (2 * 0.05 / 25) ** 0.5)
    assert time_available(0.045, 25.0, 0.0) == pytest.approx(0.045)
    assert np.isnan(time_available(0.045, [25.0, 0.0, -1.0], [-0.01, 0.05, 0.05])).all()


@given(st.floats(0.03, 0.08), st.floats(15, 40), st.floats(0, 0.1))
def test_time_available_order(reaction: float, lift: float, height: float) -> None:
    found = float(time_available(reaction, lift, height))
    assert found >= reaction
    assert time_available(reaction, lift * 2, height) <= found <= time_available(reaction, lift, height + 0.01)
    elapsed = found - reaction
    assert 0.5 * lift * elapsed**2 == pytest.approx(height, abs=1e-12), "the foot has risen by the height"
