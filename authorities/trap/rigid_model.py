"""The parts of a trap as a general rigid-body program is told of them; `rigid_body.py` steps them.

Lengths, masses and springs alone: no contact point, leverage or jaw angle is fed in.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import mujoco
import numpy as np

GRAVITY = 9.80665
Case = Mapping[str, float]
SIDES = (1, -1)
_WAYS = ((0, 1), (1, -1))
# Time constants of the contact in steps: stiff across it, and slow enough along it not to lift what slides.
_STIFF, SLIPS = 5, 40
# Share of the jaw's inertia that sits at its centre of mass.
_CENTRED = 0.8
_EDGE_WIDTH = 1e-4
# Mass [kg] and inertia [kg m²] of an eye that rolls: too small to count.
_ROLLING = 'mass="1e-7" diaginertia="2e-9 2e-9 2e-9"'


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
    if case["rolls"]:
        edges = f"""<body gravcomp="1"><inertial pos="0 {out} 0" {_ROLLING}/>
          <joint name="roll{number}" type="hinge" axis="0 1 0"/>{edges}</body>"""
    return f"""
      <body name="loop{number}" pos="{place}" gravcomp="1">
        <inertial pos="0 0 0" {inertial}/>
        <joint name="loop{number}" {joint} stiffness="{case["spring_rate"]}" springref="{case["free_coordinate"]}"/>
        {edges}
      </body>"""


def _pair(case: Case, number: int, side: int, step: float, slips: float) -> str:
    """Contact of one edge with its leg: stiff, unable to pull, with dry friction in both directions of the face."""
    friction = case["friction"]
    return (
        f'<pair geom1="leg{number if case["slot"] else 0}{side}" geom2="edge{number}{side}"'
        f' condim="{3 if friction else 1}" friction="{friction} {friction} 0 0 0" solref="{_STIFF * step} 1"'
        f' solreffriction="{slips * step} 1" solimp="0.9999 0.9999 0.001 0.5 2"/>'
    )


def model(case: Case, step: float, slips: float = SLIPS) -> mujoco.MjModel:
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
      <equality><joint name="dog" joint1="jaw1" polycoef="{case["set_angle"]} 0 0 0 0" solref="{5 * step} 1"
                       solimp="0.9999 0.9999 0.001 0.5 2" active="{"true" if case["delay"] else "false"}"/></equality>
      <contact>{"".join(_pair(case, number, side, step, slips) for number in loops for side in SIDES)}</contact>
    </mujoco>""")
