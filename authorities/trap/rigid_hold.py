"""The force of a closed trap on a limb, by the same rigid bodies: jaws led slowly on, and slowly open.

python authorities/trap/rigid_hold.py            # writes holding.csv beside it
"""

from __future__ import annotations

import csv
import math
import sys
from pathlib import Path

import mujoco
import numpy as np
from rigid_body import cases, touching
from rigid_model import SIDES, Case, model

HERE = Path(__file__).parent
STEP = 1e-6
# Jaws as heavy as this [kg m²] keep their slow rate [rad/s], whatever presses them.
_HEAVY, _RATE = 10.0, 0.5
# Time [s] to settle, and time over which the force is averaged.
_SETTLES, _AVERAGED = 1e-3, 3e-3
# Friction of what hardly slips: its time constant in steps.
_SLIPS = 6
# Jaws forced open from rest by so many times the closing force, for how long [s], and what counts as opened [rad].
FORCED, _PUSHED, _OPENED = 150.0, 5e-3, 0.01

FRICTIONS = (0.0, 0.1, 0.15, 0.2, 0.25)
# Case of `cases.csv`, and limbs [m].
GRIPS = {
    "coil-plain": (0.012, 0.020, 0.035),
    "coil-small": (0.010, 0.018),
    "coil-large": (0.020, 0.040),
    "coil-flat": (0.030,),
    "slot-plain": (0.020, 0.035),
    "long-plain": (0.010, 0.020, 0.030),
    "long-double": (0.015, 0.030),
}


def _angle(case: Case, limb: float) -> float:
    """Jaw angle at which the two face points of the model stand as far apart as the limb is thick."""
    parts = model(case, STEP)
    now = mujoco.MjData(parts)
    places = [parts.joint(f"jaw{side}").qposadr[0] for side in SIDES]
    faces = [parts.site(f"face{side}").id for side in SIDES]
    low, high = case["set_angle"], 0.6 * math.pi
    for _ in range(60):
        middle = 0.5 * (low + high)
        now.qpos[places] = middle
        mujoco.mj_kinematics(parts, now)
        wide = now.site_xpos[faces[0]][0] - now.site_xpos[faces[1]][0] > limb - case["offset_gap"]
        low, high = (middle, high) if wide else (low, middle)
    return low


def grip(case: Case, friction: float, limb: float, way: float) -> float:
    """Force at each bar [N] while the jaws are led on (way 1) or open (way -1) past the limb."""
    led = {**case, "friction": friction, "added_inertia": _HEAVY, "gravity": 0.0}
    parts = model(led, STEP, _SLIPS)
    now = mujoco.MjData(parts)
    jaws = [parts.joint(f"jaw{side}").dofadr[0] for side in SIDES]
    loops = [parts.joint(f"loop{number}").dofadr[0] for number in range(round(case["loops"]))]
    start = _angle(case, limb) - way * _RATE * (_SETTLES + 0.5 * _AVERAGED)
    ends = []
    for angle in (start + way * 1e-4, start):
        now.qpos[jaws] = angle
        for number in range(len(loops)):
            touching(parts, now, number, led)
        ends.append(now.qpos[loops].copy())
    now.qvel[jaws] = way * _RATE
    now.qvel[loops] = (ends[0] - ends[1]) / 1e-4 * _RATE
    forces = []
    while now.time < _SETTLES + _AVERAGED:
        mujoco.mj_step(parts, now)
        if now.time > _SETTLES:
            forces.append(float(np.mean(now.qfrc_constraint[jaws])))
    return float(np.mean(forces)) / case["height"]


def holds(case: Case, friction: float, limb: float, force: float) -> bool:
    """True when jaws at rest on the limb do not open under a force at each bar."""
    led = {**case, "friction": friction, "gravity": 0.0}
    parts = model(led, STEP, _SLIPS)
    now = mujoco.MjData(parts)
    jaws = [parts.joint(f"jaw{side}").dofadr[0] for side in SIDES]
    start = _angle(case, limb)
    now.qpos[jaws] = start
    for number in range(round(case["loops"])):
        touching(parts, now, number, led)
    while now.time < _PUSHED:
        now.qfrc_applied[jaws] = -force * case["height"]
        mujoco.mj_step(parts, now)
        if np.min(now.qpos[jaws]) < start - _OPENED:
            return False
    return True


def write() -> None:
    """Lead every grip both ways and write the record."""
    every = cases()
    with (HERE / "holding.csv").open("w", encoding="utf-8", newline="") as handle:
        out = csv.writer(handle, lineterminator="\n")
        out.writerow(["id", "friction", "limb", "closing_force", "opening_force", "step", "program"])
        for name, limbs in GRIPS.items():
            for limb in limbs:
                for friction in FRICTIONS:
                    on, back = (grip(every[name], friction, limb, way) for way in (1.0, -1.0))
                    locked = holds(every[name], friction, limb, FORCED * on)
                    opening = "inf" if locked else f"{back:.6g}"
                    out.writerow([name, friction, limb, f"{on:.6g}", opening, STEP, f"MuJoCo {mujoco.__version__}"])


if __name__ == "__main__":
    sys.exit(write())
