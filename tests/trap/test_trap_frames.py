"""Still pictures of the closing, and the closed trap at rest."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from trap_cases import COIL_CASE, LONG_CASE

from setwright.basis.errors import OutOfRange
from setwright.trap.closing import close
from setwright.trap.frames import frames, seated
from setwright.trap.loop import limb_angle, loop_at
from setwright.trap.model import SLOT
from setwright.trap.motion import CLOSES, STALLS

KINDS = {"round": COIL_CASE, "long": LONG_CASE, "slot": replace(COIL_CASE, eye=SLOT, lever_length=0.045)}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("limb", [0.0, 0.02])
def test_pictures_are_those_of_the_motion(kind: str, limb: float) -> None:
    trap = KINDS[kind]
    found, run = frames(trap, friction=0.15, step=0.001, limb=limb), close(trap, friction=0.15, limb=limb, nodes=201)
    assert found.state == CLOSES
    ends = 2 if np.isfinite(run.separation_time) else 1
    assert found.times[:-ends] == pytest.approx(np.arange(found.times.size - ends) * 0.001), (
        "even steps, then the ends"
    )
    meeting, seats = found.times[-ends], found.times[-1]
    assert meeting == pytest.approx(float(run.time), rel=1e-4)
    assert seats == pytest.approx(float(run.loop_time), rel=5e-3)
    inside = found.times < meeting
    ours = np.interp(found.times[inside], run.times, run.angles)
    assert found.angles[0, inside] == pytest.approx(ours, abs=2e-3)
    together = ~found.apart
    heights = loop_at(trap, found.angles[0, together]).coordinate
    assert found.coordinate[together] == pytest.approx(heights, abs=1e-9), "pressed by the loop where it stands"
    assert (found.force[:, together] > 0).all()
    assert (found.force[:, found.apart] == 0).all()
    flies = found.apart & (found.angles[0] < 1.5) & inside
    assert (loop_at(trap, found.angles[0, flies]).coordinate > found.coordinate[flies]).all(), "the loop is behind"


@pytest.mark.parametrize("kind", KINDS)
def test_closed_trap_at_rest(kind: str) -> None:
    trap = KINDS[kind]
    angle, height = seated(trap, limb=0.03)
    assert angle == pytest.approx(float(limb_angle(trap, 0.03)))
    thick = seated(trap, limb=0.05)
    assert thick[0] < angle and thick[1] < height, "a thicker limb holds jaws and loop lower"
    assert np.isnan(seated(trap, limb=1.0)).all(), "what does not fit in is not known"
    spent = replace(trap, free_coordinate=float(loop_at(trap, 1.2).coordinate))
    assert seated(spent, limb=0.0)[1] < seated(trap, limb=0.0)[1], "spent springs leave the loop below"


def test_no_motion_no_pictures() -> None:
    found = frames(COIL_CASE, friction=0.15, cover_mass=80.0, cover_radius=0.05)
    assert found.state == STALLS
    assert found.times.size == 0 and found.angles.shape == (2, 0)
    with pytest.raises(OutOfRange):
        frames(COIL_CASE, friction=0.15, step=0.0)
