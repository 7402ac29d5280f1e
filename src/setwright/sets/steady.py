"""Does the trap rock in its bed: the four-point test, by hand or worked from what it rests on."""

from __future__ import annotations

import math

import numpy as np

from setwright.basis.say import Say
from setwright.basis.verdict import Standing
from setwright.ground.bedding import CLEARANCE
from setwright.ground.steady import Steadiness, four_points
from setwright.sets.model import Rig
from setwright.sets.result import CheckResult, Origin
from setwright.sets.soils import STATED

# Assumed [m]: a drop under the finger that a hand calls steady.
ALLOWED = 0.001
PACK = Say("lift the stone that stands proud, or pack dirt under the corner that drops; then press all four again")


def corners(rig: Rig) -> tuple[tuple[float, float], ...]:
    """Where the four fingers press: both jaws and both springs, along the hinge line and across it [m]."""
    across, half = 0.5 * rig.trap.spread.number, max(0.5 * rig.trap.bed_length - CLEARANCE, 0.03)
    turn = rig.bedding.springs_bent if rig.trap.family == "long" else 0.0
    root = half / 3.0
    reach = half - root
    aside = reach * math.sin(turn)
    ends = (root + reach * math.cos(turn), -(root + reach * math.cos(turn)))
    sides = (1.0, 1.0 if rig.bedding.same_side else -1.0)
    springs = tuple((end, side * aside) for end, side in zip(ends, sides, strict=True))
    return ((0.0, across), (0.0, -across), *springs)


def rests_on(rig: Rig) -> Steadiness | None:
    """How the frame lies on the stones that are written down; None without any."""
    if not rig.bedding.stones:
        return None
    return four_points(np.array(rig.bedding.stones), np.array(corners(rig)), allowed=ALLOWED)


def steady_check(rig: Rig) -> CheckResult | None:
    """The four-point test; None where nobody made it and nothing is written down."""
    origins = (Origin("four-point test", STATED),)
    found = rests_on(rig)
    if found is None:
        if rig.bedding.steady is None:
            return None
        good = rig.bedding.steady
        why = Say("pressed at both jaws and both springs, nothing moves" if good else "it rocks under the finger")
        standing = Standing.SOUND if good else Standing.FAILS
        return CheckResult("steady", standing, None, None, None, "length", why, None if good else PACK, origins)
    drop = float(np.max(found.drop))
    if found.steady:
        why = Say("it lies on three of its stones, tilted {tilt:angle}; nothing moves when pressed", tilt=found.tilt)
        return CheckResult("steady", Standing.SOUND, None, None, None, "length", why, None, origins)
    if not found.rests:
        why = Say("nothing under it carries its middle: it tips over")
    elif math.isinf(drop):
        why = Say("pressed at one of its four points it tips over: nothing bears there")
    else:
        why = Say("pressed at one of its four points it drops {drop:length}", drop=drop)
    return CheckResult("steady", Standing.FAILS, None, None, None, "length", why, PACK, origins)
