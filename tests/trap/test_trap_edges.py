"""Ends of the motion and of the reading of a jaw."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from setwright.trap.build import clear_spread
from setwright.trap.loop import upright_angle
from setwright.trap.tables import dimensions
from trap.trap_cases import LONG_CASE


@pytest.mark.parametrize("bevel", [0.0, 2.0, 14.0])
def test_the_bearing_edge_of_a_long_spring_stands_upright_at_a_right_angle_and_its_bevel(bevel: float) -> None:
    trap = replace(LONG_CASE, bevel=np.radians(bevel))
    assert float(np.degrees(upright_angle(trap))) == pytest.approx(90.0 + bevel)


def test_a_strip_inside_takes_its_width_off_both_jaws() -> None:
    plain = dimensions("coil-2")
    strip = 0.005
    inside, outside, unsaid = (
        replace(plain, lamination_width=strip, lamination_side=side) for side in ("inside", "outside", None)
    )
    assert float(clear_spread(inside)) == pytest.approx(float(plain.spread) - 2.0 * strip)
    assert float(clear_spread(outside)) == pytest.approx(float(plain.spread))
    assert np.isnan(clear_spread(unsaid)), "nobody knows on which side it lies"
