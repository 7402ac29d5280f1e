"""What the drawings of a trap are made from: slow motion, grip, curves and dimensions of the most likely trap."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from setwright.desk import bench_document as doc
from setwright.desk.bench_figures import Bed, Numbers, load_of
from setwright.desk.bench_rows import curve_of_grips
from setwright.sets.context import Floats
from setwright.sets.model import TrapRig
from setwright.trap.frames import frames, seated
from setwright.trap.loop import loop_at, upright_angle
from setwright.trap.model import Trap
from setwright.trap.springs import spring_effort
from setwright.trap.unknowns import Design

_LIMBS = np.linspace(0.002, 0.05, 25)
_CURVE_NODES = 60
# Pictures on a straight line between two steps are true to a few hundredths of a degree, and soon made.
_STEPS = 120


def _point(design: Design) -> tuple[Trap, float]:
    """Trap and friction of the first design, as plain numbers."""
    one = {name: float(np.ravel(v)[0]) for name, v in vars(design.trap).items() if name not in ("family", "eye")}
    figures: dict[str, Any] = one
    return replace(design.trap, **figures), float(design.friction[0])


def slow_motion(middle: Design, bed: Bed, step: float) -> doc.SlowMotion | None:
    """Still pictures of the closing of the most likely trap, `step` [s] apart; None when it does not close."""
    trap, friction = _point(middle)
    load = {name: float(np.ravel(value)[0]) for name, value in load_of(middle, bed).items()}
    found = frames(trap, friction=friction, step=step, delay=bed.delay, steps=_STEPS, **load)
    if found.times.size == 0:
        return None
    return doc.SlowMotion(
        # What the motion leaves out lengthens or shortens all of it alike.
        times=(found.times * float(middle.time_factor[0])).tolist(),
        dogged_jaw=found.angles[0].tolist(),
        loose_jaw=found.angles[1].tolist(),
        loop_height=found.height.tolist(),
        loop_coordinate=found.coordinate.tolist(),
        force_dogged=found.force[0].tolist(),
        force_loose=found.force[1].tolist(),
        apart=found.apart.tolist(),
    )


def on_limb(middle: Design, limb: float) -> tuple[float, float] | None:
    """Jaw angle and loop height of the most likely trap on a limb."""
    angle, height = seated(_point(middle)[0], limb=limb)
    return None if np.isnan(height) else (angle, height)


def grips(found: Numbers) -> doc.Grips:
    """Grip against limb thickness."""
    closing, opening, locked = curve_of_grips(found, _LIMBS)
    return doc.Grips(limb=_LIMBS.tolist(), closing=closing, opening=opening, locked=locked)


def curves(middle: Design, found: Numbers) -> doc.Curves | None:
    """Push of the springs and leverage of one loop; jaw angle over time of the run nearest the median."""
    times = found.closing.time
    if np.isnan(times).all():
        return None
    trap, _ = _point(middle)
    last = float(np.minimum(np.nanmedian(found.closing.angle), upright_angle(trap) - 0.05))
    angle = np.linspace(float(trap.set_angle), last, _CURVE_NODES)
    loop = loop_at(trap, angle)
    push = (
        spring_effort(trap.spring_rate, trap.free_coordinate, loop.coordinate) * loop.slope * trap.loops / trap.height
    )
    row = int(np.nanargmin(np.abs(times - np.nanmedian(times))))
    separation = float(found.closing.separation_angle[row])
    return doc.Curves(
        angle=angle.tolist(),
        push=np.asarray(push).tolist(),
        leverage=np.asarray(loop.reach / loop.cosine).tolist(),
        time=_plain(found.closing.times[row] * float(middle.time_factor[0])),
        time_angle=_plain(found.closing.angles[row]),
        separation_angle=None if np.isnan(separation) else separation,
    )


def _plain(values: Floats) -> list[float]:
    return [float(x) for x in values]


def shape(middle: Design, rig: TrapRig) -> doc.Shape:
    """Dimensions for drawing, of the most likely trap."""
    d, trap = middle.dimensions, middle.trap

    def one(value: Any) -> Any:
        return None if value is None else float(np.ravel(value)[0])

    coil = d.family == "coil"
    return doc.Shape(
        family=d.family, spread=float(middle.spread[0]), height=one(trap.height),
        hinge_half_distance=one(trap.hinge_half_distance), face_width=one(d.face_width),
        leg_thickness=one(d.leg_thickness), eye_half_opening=one(d.eye_half_opening),
        loop_clearance=one(trap.loop_clearance), bevel=one(d.bevel), set_angle=one(d.set_angle), springs=d.springs,
        offset_gap=one(d.offset_gap), lamination_width=one(d.lamination_width),
        lamination_thickness=one(d.lamination_thickness), lamination_side=d.lamination_side,
        pad_width=one(d.pad_width), pad_thickness=one(d.pad_thickness), double=d.jaw_kind == "double",
        pan_radius=one(d.pan_radius), dogless=d.dogless, eye=d.eye,
        lever_length=one(d.lever_length) if coil else None,
        pivot_height=one(trap.pivot_height) if coil else None, wire_diameter=one(d.wire_diameter) if coil else None,
        coil_diameter=one(d.coil_diameter) if coil else None, coil_turns=one(d.coil_turns),
        leaf_arm=one(d.leaf_arm), leaf_bend=one(d.leaf_bend), leaf_width=one(d.leaf_width),
        leaf_thickness=one(d.leaf_thickness), swivel_place=d.swivel_place,
        guard_length=None if rig.guard is None else one(rig.guard.length),
    )  # fmt: skip
