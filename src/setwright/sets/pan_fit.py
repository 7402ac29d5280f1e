"""The pan as it lies: level with the jaws or not, and its size against the foot."""

from __future__ import annotations

import numpy as np

from setwright.animal.placing import LEVEL_WORDS, Level, PanSize, pan_against_foot, pan_level
from setwright.basis.say import Say
from setwright.basis.source import Kind, Source, assumed
from setwright.basis.verdict import Standing
from setwright.sets.context import Context
from setwright.sets.feet import foot_size
from setwright.sets.model import Rig, TrapRig
from setwright.sets.naming import plain_name
from setwright.sets.result import CheckResult, Origin

PAD = assumed("radius of the pad that bears the load over the foot's: 0.4")
PRACTICE = Source(Kind.PRACTICE, "pans level with the jaws; no trial was found", "")


def level_of_pan(context: Context, rig: Rig) -> CheckResult | None:
    """Does the set pan lie level with the jaws; None where nobody looked."""
    rise = rig.bedding.pan_rise
    if rise is None:
        return None
    found = Level(str(pan_level(rise)))
    level = found is Level.LEVEL
    return CheckResult(
        "pan level",
        Standing.SOUND if level else Standing.THIN,
        np.full(context.n, rise),
        None,
        None,
        "length",
        Say("the pan {stands:word}: {words:word}", stands=f"is {found.value}" if level else found.value,
            words=LEVEL_WORDS[found]),
        None if level else Say("bend the pan or its post until it lies in the plane of the jaws"),
        (Origin("pan against the jaws", PRACTICE),),
    )  # fmt: skip


def size_check(context: Context, trap: TrapRig) -> CheckResult | None:
    """Does the pan take the pad of the foot that is to press it; None where it does."""
    target, foot = context.target, context.site.foot
    found = pan_against_foot(trap.pan_radius.number, *foot_size(target, foot))
    if str(found.state) != PanSize.SMALL:
        return None
    return CheckResult(
        "pan size",
        Standing.THIN,
        np.full(context.n, float(found.ratio)),
        1.0,
        np.full(context.n, float(found.ratio) - 1.0),
        "number",
        Say(
            "the pan is smaller than the pad of a {animal:word}: of 100 feet that touch it {edge:number} hardly load "
            "it",
            animal=plain_name(target), edge=100.0 * float(found.edge_only),
        ),
        Say("a wider pan, or guides that bring the middle of the foot over it"),
        (Origin("pan radius", trap.pan_radius.source), Origin("pad over foot", PAD)),
    )  # fmt: skip
