"""What the trade says of foothold traps; every fact here is common practice, none is a measurement."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from setwright.trap.build import build
from setwright.trap.closing import CLOSES, STALLS, close, water_terms
from setwright.trap.holding import clamp, face_pressure, set_torque
from setwright.trap.model import Trap
from setwright.trap.tables import dimensions, patterns

INCH = 0.0254
KEYS = tuple(patterns().keys())
COILS = [key for key in patterns() if key.startswith("coil")]
LONGS = [key for key in patterns() if key.startswith("long")]
LIMBS = np.linspace(0.0, 0.04, 81)


def _of(key: str, count: int | None = None, jaws: str = "regular") -> Trap:
    return build(dimensions(key, springs=count, jaws=jaws))


def test_common_practice_sizes_run_from_about_four_to_eight_and_a_half_inches() -> None:
    spreads = {key: patterns().number(key, "spread") / INCH for key in patterns()}
    for key in ("long-0", "long-1", "long-11", "coil-1"):
        assert 3.4 <= spreads[key] <= 4.2, f"{key}: the smallest are about 4 in"
    assert max(spreads.values()) == pytest.approx(8.5, abs=0.05), "the largest is about 8½ in"
    assert max(spreads, key=lambda key: spreads[key]) == "coil-beaver"


def test_common_practice_an_eleven_is_a_one_with_two_springs() -> None:
    one, two = dimensions("long-1"), dimensions("long-11")
    assert (one.springs, two.springs) == (1, 2)
    assert (one.spread, one.face_width, one.leg_thickness) == (two.spread, two.face_width, two.leg_thickness)
    assert float(close(build(two), friction=0.15).time) < float(close(build(one), friction=0.15).time), "it is faster"
    limb = 0.4 * float(build(one).height)
    forces = [float(clamp(build(each), friction=0.15, limb=limb).closing_force) for each in (one, two)]
    assert forces[1] > 1.3 * forces[0], "and grips harder"


@pytest.mark.parametrize("key", COILS)
def test_common_practice_two_more_coils_are_faster_and_harder(key: str) -> None:
    two, four = _of(key, 2), _of(key, 4)
    slow, fast = close(two, friction=0.15), close(four, friction=0.15)
    assert 0.65 < float(fast.time / slow.time) < 0.75, "about 0.7 of the time"
    assert float(fast.tip_speed) > 1.3 * float(slow.tip_speed)
    assert float(fast.momentum) > 1.3 * float(slow.momentum)
    limb = 0.4 * float(two.height)
    weak, strong = (clamp(trap, friction=0.15, limb=limb) for trap in (two, four))
    assert float(strong.closing_force) == pytest.approx(2.0 * float(weak.closing_force), rel=1e-12)
    assert float(set_torque(four, friction=0.15)) == pytest.approx(2.0 * float(set_torque(two, friction=0.15)))


def test_common_practice_four_coils_lift_cover_that_stalls_two() -> None:
    torque = float(set_torque(_of("coil-1.5", 2), friction=0.15))
    mass = 1.3 * torque / (9.80665 * 0.03)
    states = [
        int(close(_of("coil-1.5", count), friction=0.15, cover_mass=mass, cover_radius=0.03).state)
        for count in (2, 4)
    ]
    assert states == [STALLS, CLOSES], "more push through heavy cover"


@pytest.mark.parametrize("key", ["coil-1", "coil-1.5", "coil-2", "long-2"])
def test_common_practice_lamination_doubles_the_face_and_halves_the_pressure(key: str) -> None:
    plain, strip = _of(key), _of(key, jaws="laminated")
    wider = float(strip.face_width / plain.face_width)
    assert 1.6 < wider < 2.1, "about twice the face"
    pressures = [float(face_pressure(trap, 100.0, 0.025)) for trap in (plain, strip)]
    assert pressures[1] / pressures[0] == pytest.approx(1.0 / wider, rel=1e-12), "at equal force"
    assert float(close(strip, friction=0.15).time) > float(close(plain, friction=0.15).time), "heavier and slower"


@pytest.mark.parametrize("key", COILS + LONGS)
def test_common_practice_offset_never_lowers_the_jaws(key: str) -> None:
    plain, offset = _of(key), _of(key, jaws="offset")
    low, high = (clamp(trap, friction=0.15, limb=LIMBS) for trap in (plain, offset))
    both = np.isfinite(low.angle) & np.isfinite(high.angle)
    assert both.any() and (high.angle[both] >= low.angle[both]).all(), "jaws and loop stand as high or higher"
    in_gap = float(np.asarray(offset.offset_gap)) >= LIMBS
    assert in_gap.sum() > 5
    assert (high.closing_force[in_gap] == 0.0).all() and (high.opening_force[in_gap] == 0.0).all()
    assert not high.locked[in_gap].any(), "a limb thinner than the gap is not held"


@pytest.mark.parametrize("key", ["long-1", "long-2", "long-3", "long-4"])
def test_common_practice_tired_springs_still_hold_once_the_rings_have_risen(key: str) -> None:
    health = np.array([0.25, 0.5, 1.0])
    trap = build(replace(dimensions(key), spring_health=health))
    limb = 0.25 * float(np.asarray(trap.height))
    found = clamp(trap, friction=0.2, limb=limb)
    assert found.locked.all(), "locked by shape and friction, whatever the springs"
    assert np.isposinf(found.opening_force).all(), "no finite force at the bars opens it"
    np.testing.assert_allclose(found.closing_force, found.closing_force[-1] * health, rtol=1e-9)
    assert (np.diff(close(trap, friction=0.2).time) < 0).all(), "but the tired ones come up late"


def test_common_practice_wax_can_undo_a_lock() -> None:
    dry, waxed = (clamp(_of("long-2"), friction=mu, limb=0.016) for mu in (0.2, 0.1))
    assert bool(dry.locked) and not bool(waxed.locked)
    assert float(dry.lock_margin) > 0.0 > float(waxed.lock_margin)


@pytest.mark.parametrize("key", COILS + LONGS)
def test_common_practice_a_trap_is_slower_under_water_and_under_cover(key: str) -> None:
    trap = _of(key)
    inertia, drag = water_terms(trap)
    air = close(trap, friction=0.15)
    wet = close(trap, friction=0.15, added_inertia=inertia, drag=drag)
    covered = close(trap, friction=0.15, cover_mass=0.05, cover_radius=0.6 * np.asarray(trap.height))
    assert int(wet.state) == CLOSES and int(covered.state) == CLOSES
    assert 1.1 < float(wet.time / air.time) < 2.5, "water slows it"
    assert float(wet.tip_speed) < 0.75 * float(air.tip_speed), "and takes the blow"
    assert float(covered.time) > float(air.time)
