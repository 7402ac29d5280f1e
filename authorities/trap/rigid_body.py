"""Two free jaws and the loops that climb them, stepped by a general rigid-body program with its own collisions.

Run from the root of the project, in an environment that has `requirements-oracles.lock`:

    python authorities/trap/rigid_body.py            # writes closing.csv and steps.csv beside it

Nothing of `setwright` is imported: the parts are built from lengths, masses and springs alone, and the place where
loop and leg touch, the slip, the parting of loop and jaws and their meeting come out of the program.
"""

from __future__ import annotations

import csv
import math
import sys
from dataclasses import dataclass
from pathlib import Path

import mujoco
import numpy as np
from rigid_model import SIDES, Case, model

HERE = Path(__file__).parent
# Step of the record [s], and the steps by which its convergence is shown.
STEP = 1e-6
STEPS = (8e-6, 4e-6, 2e-6, 1e-6, 5e-7)
STUDIED = ("coil-plain", "coil-large-limb", "slot-plain", "long-sticky", "long-tilt-across", "roll-coil-dog")
_LONGEST, _AFTER = 2.0, 0.05
# A loop comes back when it presses after a pause of this time [s], or of this share of the time since release.
_PAUSE, _PAUSE_SHARE = 4e-4, 0.03

OUTPUTS = ("time", "rate", "other_rate", "separation_angle", "returns", "loop_time", "loop_rate")


@dataclass(frozen=True)
class Outcome:
    """What one run told.

    Parameters
    ----------
    time : [s]
        Release to the meeting of the faces, or of faces and limb.
    rate, other_rate : [rad/s]
        Of the jaw on the positive side, and of the other one, at the meeting.
    separation_angle : [rad]
        Mean jaw angle when the loops were last pressed on a jaw; NaN when they still were at the meeting.
    returns : int
        How often a loop came back to the jaws after it had left them, before the meeting.
    loop_time, loop_rate : [s], [rad/s] or [m/s]
        When the first loop arrives at the jaws that stay where they met, and its rate then; NaN when it does not
        arrive, or never left them.

    """

    time: float
    rate: float
    other_rate: float
    separation_angle: float
    returns: int
    loop_time: float
    loop_rate: float


def cases() -> dict[str, dict[str, float]]:
    """Cases by name, in SI, as `cases.csv` has them; `lever`, `slot` and `rolls` are 1 or 0."""
    with (HERE / "cases.csv").open(encoding="utf-8", newline="") as handle:
        rows = list(csv.DictReader(line for line in handle if not line.startswith("#")))
    return {
        row["id"]: {name: float(value) for name, value in row.items() if name not in ("id", "what")} for row in rows
    }


def touching(parts: mujoco.MjModel, now: mujoco.MjData, number: int, case: Case) -> None:
    """Raise a loop from below until its edge touches the leg, by the program's own distance of the two."""
    joint = parts.joint(f"loop{number}").qposadr[0]
    leg = parts.geom(f"leg{number if case['slot'] else 0}1").id
    edge = parts.geom(f"edge{number}1").id

    def free(place: float) -> bool:
        now.qpos[joint] = place
        mujoco.mj_kinematics(parts, now)
        return bool(mujoco.mj_geomDistance(parts, now, leg, edge, 1.0, None) > 0)

    places = np.linspace(-1.4, 1.4, 2001) if case["lever"] else np.linspace(-0.05, 0.05, 401)
    high = next(place for place in places if not free(place))
    low = high - (places[1] - places[0])
    for _ in range(50):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if free(middle) else (low, middle)
    now.qpos[joint] = low


def _spend(now: mujoco.MjData, loops: list[int], case: Case) -> None:
    """A spent spring does not pull back."""
    beyond = now.qpos[loops] - case["free_coordinate"]
    now.qfrc_applied[loops] = case["spring_rate"] * np.maximum(beyond, 0.0)


def _arrival(parts: mujoco.MjModel, now: mujoco.MjData, case: Case) -> tuple[float, float]:
    """Time and rate at which the first loop touches jaws that stay where they met."""
    jaws = [parts.joint(f"jaw{side}").dofadr[0] for side in SIDES]
    loops = [parts.joint(f"loop{number}").dofadr[0] for number in range(round(case["loops"]))]
    held, until = now.qpos[jaws].copy(), now.time + _AFTER
    while now.time < until:
        rate = float(now.qvel[loops[0]])
        now.qpos[jaws], now.qvel[jaws] = held, 0.0
        _spend(now, loops, case)
        mujoco.mj_step(parts, now)
        if now.ncon:
            return float(now.time), rate
    return math.nan, math.nan


def run(case: Case, step: float = STEP) -> Outcome:
    """Release the set trap and step it until the faces meet."""
    parts = model(case, step)
    now = mujoco.MjData(parts)
    jaws = [parts.joint(f"jaw{side}").dofadr[0] for side in SIDES]
    places = [parts.joint(f"jaw{side}").qposadr[0] for side in SIDES]
    loops = [parts.joint(f"loop{number}").dofadr[0] for number in range(round(case["loops"]))]
    faces = [parts.site(f"face{side}").id for side in SIDES]
    now.qpos[places] = case["set_angle"]
    for number in range(len(loops)):
        touching(parts, now, number, case)
    mujoco.mj_forward(parts, now)
    thick = max(case["limb"] - case["offset_gap"], 0.0)
    before, rates_before = math.inf, np.zeros(2)
    last_pressed, since, returns = math.nan, 0.0, 0
    force = np.zeros(6)
    while now.time < _LONGEST:
        rates = now.qvel[jaws]
        now.qfrc_applied[jaws] = -case["drag"] * rates * np.abs(rates)
        _spend(now, loops, case)
        now.eq_active[0] = now.time < case["delay"] - 0.5 * step
        mujoco.mj_step(parts, now)
        for index in range(now.ncon):
            mujoco.mj_contactForce(parts, now, index, force)
            if force[0] > 0:
                returns += now.time - since > max(_PAUSE, _PAUSE_SHARE * now.time)
                last_pressed, since = float(np.mean(now.qpos[places])), now.time
        mujoco.mj_kinematics(parts, now)
        opening = float(now.site_xpos[faces[0]][0] - now.site_xpos[faces[1]][0]) - thick
        if opening <= 0:
            share = before / (before - opening)
            rates = rates_before + share * (now.qvel[jaws] - rates_before)
            apart = now.time - since > _PAUSE
            met = float(now.time - step * (1.0 - share))
            arrives = _arrival(parts, now, case) if apart else (math.nan, math.nan)
            return Outcome(
                met, float(rates[0]), float(rates[1]), last_pressed if apart else math.nan, int(returns), *arrives
            )
        before, rates_before = opening, now.qvel[jaws].copy()
    return Outcome(math.nan, math.nan, math.nan, math.nan, returns, math.nan, math.nan)


def write() -> None:
    """Run every case and write the record and its convergence."""
    version = f"MuJoCo {mujoco.__version__}"
    every = cases()
    with (HERE / "closing.csv").open("w", encoding="utf-8", newline="") as handle:
        table = csv.writer(handle, lineterminator="\n")
        table.writerow(["id", *OUTPUTS, "step", "program"])
        for name, case in every.items():
            found = run(case)
            table.writerow([name, *(f"{getattr(found, output):.7g}" for output in OUTPUTS), STEP, version])
    with (HERE / "steps.csv").open("w", encoding="utf-8", newline="") as handle:
        table = csv.writer(handle, lineterminator="\n")
        table.writerow(["id", "step", "time", "rate", "program"])
        for name in STUDIED:
            for step in STEPS:
                found = run(every[name], step)
                table.writerow([name, step, f"{found.time:.7g}", f"{found.rate:.7g}", version])


if __name__ == "__main__":
    sys.exit(write())
