"""Trade fact: about five feet of good chain hold; a chain shortened to its first ring lowers the pull."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.animal import pull
from setwright.ground.anchor import Anchor, capacity
from setwright.ground.soil import Layer
from setwright.tackle import tables
from setwright.tackle.strength import Part, series

FOOT = 0.3048
TOP_SPEED = 17.0
COYOTE = 14.0
JERK = 0.5
LOAM = Layer("loam", "undrained", math.inf, math.nan, 36e3, 18e3, math.nan)
TBAR = Anchor("stake", width=0.025, perimeter=0.085, length=0.56, yield_moment=400.0)
CROSSED = Anchor("crossed", width=0.025, perimeter=0.085, length=0.56, yield_moment=400.0)


def held(anchor: Anchor) -> float:
    """What the anchor holds of a circling animal that jerks at 15 degrees [N]."""
    return float(capacity(anchor, [LOAM], angle=np.radians(15.0), cyclic=0.6, rate=1.3).force)


def lunge(chain: float, acceleration: float, runs: float, mass: float = COYOTE) -> float:
    """Pull at the end of a chain [N] after a run of some chain lengths."""
    stiffness = pull.series(pull.body_stiffness(mass), capacity(TBAR, [LOAM]).stiffness)
    return float(
        pull.peak_pull(mass, acceleration, pull.run_up_speed(acceleration, runs * chain, TOP_SPEED), stiffness)
    )


def tackle(*keys: str) -> float:
    """What the parts hold of a jerk [N]."""
    table = tables.tackle()
    return float(series([Part(key, table.number(key, "breaking"), factor=JERK) for key in keys]).force)


@pytest.mark.parametrize(
    ("inches", "acceleration", "runs", "expected"),
    [(6, 4, 1, 324), (12, 4, 1, 434), (60, 4, 1, 893), (12, 8, 2, 868), (60, 8, 2, 1788)],
)
def test_trade_pull_of_a_coyote_by_chain_length(
    inches: float, acceleration: float, runs: float, expected: float
) -> None:
    """Energy balance worked by hand (derived); acceleration and body stiffness assumed."""
    assert lunge(inches * 0.0254, acceleration, runs) == pytest.approx(expected, rel=0.02)


def test_trade_five_feet_of_good_chain_hold() -> None:
    hard = lunge(5 * FOOT, 8.0, 2.0)
    assert tackle("machine-2", "quick-link-3/16") > 1.5 * hard, "welded chain and a closed link hold a hard lunge"
    assert tackle("double-loop-2") < hard, "loop chain of the same number does not"
    assert tackle("machine-2", "s-hook-4.8") < hard, "one open hook spoils the whole chain"


def test_trade_a_chain_shortened_to_its_first_ring_lowers_the_pull() -> None:
    short, long = lunge(FOOT, 4.0, 1.0), lunge(5 * FOOT, 4.0, 1.0)
    assert long / short == pytest.approx(2.06, abs=0.05), "five feet pull about twice as hard as one"
    assert held(TBAR) > 2.0 * short, "on a foot of chain one stake has twice the typical lunge"
    assert held(TBAR) < 1.1 * long, "on five feet nothing is to spare"
    assert held(CROSSED) > 1.9 * long, "crossed stakes carry the long chain"


@given(st.floats(0.1, 3.0), st.floats(1.05, 3.0), st.floats(2.0, 10.0), st.floats(3.0, 30.0))
def test_a_longer_chain_never_pulls_less(chain: float, more: float, acceleration: float, mass: float) -> None:
    short, long = (lunge(length, acceleration, 1.0, mass) for length in (chain, chain * more))
    assert long >= short
    assert long <= short * np.sqrt(more) * (1 + 1e-9), "not more than by the root of the length"


def test_trade_a_plate_in_muck_is_useless_against_a_beaver() -> None:
    muck = Layer("muck", "undrained", math.inf, math.nan, 4e3, 1.2e3, math.nan)
    plate = Anchor("plate", plate_width=0.025, plate_length=0.064, depth=0.6)
    body = pull.body_stiffness(25.0)
    typical = float(pull.peak_pull(25.0, 1.5, pull.run_up_speed(1.5, FOOT, 2.0), body))
    assert typical == pytest.approx(409.0, rel=0.02)
    in_muck, in_clay = (
        float(capacity(plate, [layer], rate=1.3).force)
        for layer in (muck, Layer("stiff clay", "undrained", math.inf, math.nan, 72e3, 19e3, math.nan))
    )
    assert in_muck / typical == pytest.approx(0.17, abs=0.01)
    assert in_clay / typical == pytest.approx(3.0, abs=0.1)
