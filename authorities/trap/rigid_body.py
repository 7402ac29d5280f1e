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
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import mujoco
import numpy as np

HERE = Path(__file__).parent
GRAVITY = 9.80665
# Step of the record [s], and the steps by which its convergence is shown.
STEP = 1e-6
STEPS = (8e-6, 4e-6, 2e-6, 1e-6, 5e-7)
STUDIED = ("coil-plain", "coil-large-limb", "slot-plain", "long-sticky", "long-tilt-across")
# Time constants of the contact in steps: stiff across it, and slow enough along it not to lift what slides.
_STIFF, _SLIPS = 5, 40
_LONGEST, _AFTER = 2.0, 0.05
# Share of the jaw's inertia that sits at its centre of mass.
_CENTRED = 0.8
# A loop comes back when it presses after a pause of this time [s], or of this share of the time since release.
_PAUSE, _PAUSE_SHARE = 4e-4, 0.03
_EDGE_WIDTH = 1e-4

Case = Mapping[str, float]
SIDES = (1, -1)
_WAYS = ((0, 1), (1, -1))
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
    """Cases by name, in SI, as `cases.csv` has them; `lever` and `slot` are 1 or 0."""
    with (HERE / "cases.csv").open(encoding="utf-8", newline="") as handle:
        rows = list(csv.DictReader(line for line in handle if not line.startswith("#")))
    return {
        row["id"]: {name: float(value) for name, value in row.items() if name not in ("id", "what")} for row in rows
    }


def _legs(case: Case, side: int) -> str:
    """Boxes of one leg that lag by the bevel: one broad face, or the narrow legs that two slots enclose."""
    lag, half = case["bevel"], 0.5 * case["height"]
    # Turned about the hinge's own axis by minus the bevel.
    turn = f"{math.cos(lag / 2)} 0 {side * math.sin(lag / 2)} 0"
    across, down = side * half * math.cos(lag), -half * math.sin(lag)
    if case["slot"]:
        # The edge away from the pivot is where a rising slot touches.
        places = [(number, way * (case["lever_length"] - _EDGE_WIDTH), _EDGE_WIDTH) for number, way in _WAYS]
    else:
        places = [(0, 0.0, case["lever_length"] + 0.005 if case["lever"] else 0.03)]
    return "".join(
        f'<geom name="leg{number}{side}" type="box" pos="{across} {level} {down}" quat="{turn}"'
        f' size="{half} {wide} {case["bearing_offset"]}"/>'
        for number, level, wide in places
    )


def _jaw(case: Case, side: int) -> str:
    """One jaw: its mass on its own plane, its legs, its face a point, and loose cover as a point mass."""
    moment = case["weight_moment"] / GRAVITY
    centre = _CENTRED * case["jaw_inertia"] / moment
    mass = moment / centre
    left = case["jaw_inertia"] - mass * centre**2
    cover = (
        f'<body pos="{side * case["cover_radius"]} 0 0"><inertial pos="0 0 0" mass="{case["cover_mass"]}"'
        ' diaginertia="1e-12 1e-12 1e-12"/></body>'
        if case["cover_mass"] > 0
        else ""
    )
    return f"""
      <body name="jaw{side}" pos="{side * case["hinge_half_distance"]} 0 0">
        <inertial pos="{side * centre} 0 0" mass="{mass}" diaginertia="{left} {left} {left}"/>
        <joint name="jaw{side}" type="hinge" axis="0 {-side} 0" armature="{case["added_inertia"]}"/>
        {_legs(case, side)}
        <site name="face{side}" pos="{side * case["height"]} 0 {case["face_offset"]}"/>
        {cover}
      </body>"""


def _loop(case: Case, number: int) -> str:
    """One loop: round edges or the rods of a slot on a lever that swings, or edges on a ring that slides upright."""
    edge, way, wide = case["loop_clearance"] - case["bearing_offset"], _WAYS[number][1], case["eye_half_opening"]
    inertia = case["loop_inertia"]
    if case["lever"]:
        place, out = f"0 0 {case['pivot_height']}", way * case["lever_length"]
        joint, inertial = f'type="hinge" axis="{way} 0 0"', f'mass="1" diaginertia="{inertia} {inertia} {inertia}"'
    else:
        place, out = f"0 {way * 0.02} 0", 0.0
        joint, inertial = 'type="slide" axis="0 0 1"', f'mass="{inertia}" diaginertia="1e-6 1e-6 1e-6"'
    shape = {
        side: f'type="capsule" fromto="{side * wide} {0.2 * out} 0 {side * wide} {5.0 * out} 0"'
        if case["slot"]
        else f'type="sphere" pos="{side * wide} {out} 0"'
        for side in SIDES
    }
    edges = "".join(f'<geom name="edge{number}{side}" size="{edge}" {shape[side]}/>' for side in SIDES)
    return f"""
      <body name="loop{number}" pos="{place}" gravcomp="1">
        <inertial pos="0 0 0" {inertial}/>
        <joint name="loop{number}" {joint} stiffness="{case["spring_rate"]}" springref="{case["free_coordinate"]}"/>
        {edges}
      </body>"""


def _pair(case: Case, number: int, side: int, step: float) -> str:
    """Contact of one edge with its leg: stiff, unable to pull, with dry friction in both directions of the face."""
    friction = case["friction"]
    return (
        f'<pair geom1="leg{number if case["slot"] else 0}{side}" geom2="edge{number}{side}"'
        f' condim="{3 if friction else 1}" friction="{friction} {friction} 0 0 0" solref="{_STIFF * step} 1"'
        f' solreffriction="{_SLIPS * step} 1" solimp="0.9999 0.9999 0.001 0.5 2"/>'
    )


def model(case: Case, step: float) -> mujoco.MjModel:
    """Model of one case; a tilted bed turns gravity, across the hinges and along them."""
    across, along = case["tilt_across"], case["tilt_along"]
    down = np.array([math.sin(across), math.cos(across) * math.sin(along), -math.cos(across) * math.cos(along)])
    down = GRAVITY * case["gravity"] * down
    loops = range(round(case["loops"]))
    return mujoco.MjModel.from_xml_string(f"""
    <mujoco>
      <compiler angle="radian" autolimits="true"/>
      <option timestep="{step}" integrator="Euler" cone="elliptic" solver="Newton" tolerance="1e-14" iterations="200"
              gravity="{down[0]} {down[1]} {down[2]}"/>
      <default><geom contype="0" conaffinity="0" mass="0"/></default>
      <worldbody>{"".join(_jaw(case, side) for side in SIDES)}{"".join(_loop(case, number) for number in loops)}
      </worldbody>
      <contact>{"".join(_pair(case, number, side, step) for number in loops for side in SIDES)}</contact>
    </mujoco>""")


def _touching(parts: mujoco.MjModel, now: mujoco.MjData, number: int, case: Case) -> None:
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
    jaws = [parts.joint(f"jaw{side}").dofadr[0] for side in (1, -1)]
    places = [parts.joint(f"jaw{side}").qposadr[0] for side in (1, -1)]
    loops = [parts.joint(f"loop{number}").dofadr[0] for number in range(round(case["loops"]))]
    faces = [parts.site(f"face{side}").id for side in (1, -1)]
    now.qpos[places] = case["set_angle"]
    for number in range(len(loops)):
        _touching(parts, now, number, case)
    mujoco.mj_forward(parts, now)
    thick = max(case["limb"] - case["offset_gap"], 0.0)
    before, rates_before = math.inf, np.zeros(2)
    last_pressed, since, returns = math.nan, 0.0, 0
    force = np.zeros(6)
    while now.time < _LONGEST:
        rates = now.qvel[jaws]
        now.qfrc_applied[jaws] = -case["drag"] * rates * np.abs(rates)
        _spend(now, loops, case)
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
