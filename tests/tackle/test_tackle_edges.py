"""Rings, rivets and chains at their limits, against statics worked out another way."""

from __future__ import annotations

import numpy as np
import pytest

from setwright.basis.errors import BadInput
from setwright.tackle.bent import hook_yield, ring_open
from setwright.tackle.chain_length import pull_angle
from setwright.tackle.cures import Cure, rank_cures


def test_a_ring_yields_where_the_moment_of_an_elastic_ring_is_greatest() -> None:
    wire, radius, strength = 0.005, 0.02, 300e6
    pull = float(ring_open(wire, radius, strength)[0])
    # A quarter of the ring, cut at its side: half the pull along it and the moment that keeps the cut from turning.
    angles = np.linspace(0.0, np.pi / 2.0, 20_001)
    lever = 0.5 * pull * radius * (1.0 - np.cos(angles))
    held = np.mean(0.5 * (lever[1:] + lever[:-1]))
    moments = held - lever
    stress = np.abs(moments).max() / (np.pi * wire**3 / 32.0)
    assert stress == pytest.approx(strength, rel=1e-4)
    assert np.abs(moments).argmax() == angles.size - 1, "under the pull, not at the side"


def test_a_chain_rises_as_steeply_as_height_over_length_until_it_stands() -> None:
    lengths = np.linspace(0.14, 2.0, 200)
    angles = pull_angle(lengths, 0.14)
    np.testing.assert_allclose(lengths * np.sin(angles), 0.14, rtol=1e-12)
    assert (np.diff(angles) < 0.0).all(), "longer is flatter, without a step"


@pytest.mark.parametrize("ratio", [0.8, 1.5, 4.0, 20.0])
def test_a_hook_yields_inside_its_bend_as_a_curved_bar_does(ratio: float) -> None:
    wire, strength = 0.005, 300e6
    radius, half = ratio * wire, 0.5 * wire
    pull = float(hook_yield(wire, radius, strength))
    # Winkler's curved bar, its neutral radius A / ∫ dA/ρ summed over strips of the section (Gauss on the circle).
    nodes, weights = np.polynomial.chebyshev.chebgauss(400)
    area = np.pi * half**2
    strips = 2.0 * half**2 * weights * (1.0 - nodes**2)
    neutral = area / np.sum(strips / (radius + half * nodes))
    inner, off = radius - half, radius - area / np.sum(strips / (radius + half * nodes))
    stress = pull / area + pull * radius * (neutral - inner) / (area * off * inner)
    assert stress == pytest.approx(strength, rel=2e-3)


def test_work_below_nothing_is_refused_however_small() -> None:
    assert rank_cures(0.6, [Cure("turn it", 0.5, 0.0, 0.0)])
    with pytest.raises(BadInput) as caught:
        rank_cures(0.6, [Cure("wish", 0.5, -0.01, 0.0)])
    assert caught.value.field == "work"
