"""How much to file from a notch, and what is the bolt's work: by hand, and by what must not happen."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.trap.filing import bolt_share, filing, friction_for
from setwright.trap.trigger import trip_force

HOW = {"notch": 20.0, "notch_arm": 0.012, "notch_friction": 0.2, "pan_radius": 0.025, "least_overlap": 0.001}


def test_the_wedge_that_squares_a_notch_and_the_overlap_for_a_travel() -> None:
    found = filing(0.003, rake=-np.radians(10.0), wanted_travel=0.004, **HOW)
    # 3 mm over ten degrees off: 3 mm × 0.1763; 4 mm at the pan are 4 × 12/25 at the notch.
    assert found.wedge == pytest.approx(0.000529, abs=1e-6)
    assert found.left == pytest.approx(0.00192) and found.shorten == pytest.approx(0.00108)
    assert found.travel == pytest.approx(0.00625) and found.travel_after == pytest.approx(0.004)
    assert found.short == 0.0
    # 20 N × 12 mm × 0.2 over 25 mm, once the face is square.
    assert found.notch_after == pytest.approx(1.92)
    assert found.notch_now < found.notch_after


def test_a_file_stops_at_the_least_overlap_and_says_what_is_still_too_long() -> None:
    found = filing(0.003, rake=0.05, wanted_travel=0.0005, **HOW)
    assert found.left == pytest.approx(0.001) and found.wedge == 0.0
    assert found.short == pytest.approx(0.001 * 25 / 12 - 0.0005)
    # Worn below it already: nothing more comes off.
    assert filing(0.0008, rake=0.0, wanted_travel=0.0005, **HOW).shorten == 0.0


@given(
    st.floats(0.0002, 0.01), st.floats(-0.4, 0.4), st.one_of(st.floats(0.0002, 0.03), st.just(np.inf)),
    st.floats(0.0002, 0.003),
)  # fmt: skip
def test_filing_never_lengthens_and_never_goes_below_the_least(
    over: float, rake: float, want: float, least: float
) -> None:
    found = filing(over, rake=rake, wanted_travel=want, **{**HOW, "least_overlap": least})
    assert 0.0 <= found.shorten <= over and found.left == pytest.approx(over - found.shorten)
    assert found.left >= min(over, least) - 1e-12
    assert found.travel_after <= found.travel + 1e-12
    assert (found.wedge > 0.0) == (rake < 0.0)
    assert found.short <= 1e-9 or found.left <= least + 1e-12


def test_what_is_not_the_notch_is_the_bolt() -> None:
    assert bolt_share(10.0, 2.0) == pytest.approx(0.8)
    assert bolt_share(1.0, 2.0) == 0.0
    assert np.isnan(bolt_share(0.0, 1.0))


def test_friction_for_a_force_gives_that_force_back() -> None:
    friction = friction_for(1.2, notch=20.0, notch_arm=0.012, pan_radius=0.025)
    again = trip_force(20.0, notch_arm=0.012, notch_friction=friction, pan_radius=0.025).force
    assert friction == pytest.approx(0.125) and again == pytest.approx(1.2)
