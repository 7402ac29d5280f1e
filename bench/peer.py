"""One closing by an adaptive solver, the way it is done without the kernel."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from scipy.integrate import solve_ivp

from setwright.trap.loop import limb_angle
from setwright.trap.model import Trap

FRICTION = 0.2
Method = Literal["RK45", "DOP853", "LSODA"]


def solved(trap: Trap, method: Method, rtol: float) -> float:
    """Closing time [s] of one coil-spring design by an adaptive solver on the equations of motion."""
    loops, rate, free = (float(value) for value in (trap.loops, trap.spring_rate, trap.free_coordinate))
    inertia, jaw, weight = (float(value) for value in (trap.loop_inertia, trap.jaw_inertia, trap.weight_moment))
    b, c, length = float(trap.clearance), float(trap.loop_clearance), float(trap.lever_length)
    offset, pivot, bevel = float(trap.bearing_offset), float(trap.pivot_height), float(trap.bevel)

    def motion(_: float, state: np.ndarray) -> tuple[float, float]:
        theta, rate_of_turn = float(state[0]), float(state[1])
        sine, cosine = math.sin(theta - bevel), math.cos(theta - bevel)
        reach, slide = (b - c * sine) / cosine, (b * sine - c) / cosine**2
        lever_sine = ((b * sine - c) / cosine - pivot) / length
        if not -1.0 < lever_sine < 1.0:  # a trial step beyond the closed jaws
            return rate_of_turn, -weight * math.cos(theta) / jaw
        lever_cosine = math.sqrt(1.0 - lever_sine**2)
        slope = reach / cosine / (length * lever_cosine)
        curve = (2.0 * reach * sine - c * cosine) / cosine**2
        bend = curve / (length * lever_cosine) + slope**2 * lever_sine / lever_cosine
        sideways = length * abs(lever_sine) * slope
        total = math.hypot(slide, sideways) or 1.0
        along, across = slide / total, sideways / total
        arm = reach + FRICTION * along * offset
        effort = (cosine + FRICTION * along * sine) * length * lever_cosine + FRICTION * across * length * abs(
            lever_sine
        )
        share = loops * arm / (2.0 * effort)
        drive = rate * (free - math.asin(lever_sine)) - inertia * bend * rate_of_turn**2
        turn = (share * drive - weight * math.cos(theta)) / (jaw + share * inertia * slope)
        if drive - inertia * slope * turn < 0.0:
            turn = -weight * math.cos(theta) / jaw
        return rate_of_turn, turn

    end = float(limb_angle(trap, 0.0))

    found = solve_ivp(
        motion, (0.0, 1.0), (float(trap.set_angle), 0.0), method, events=_Closed(end), rtol=rtol, atol=1e-2 * rtol
    )
    return float(found.t[-1])


class _Closed:
    """Event that ends the motion where the faces meet."""

    terminal = True
    direction = 1.0

    def __init__(self, end: float) -> None:
        self.end = end

    def __call__(self, _: float, state: np.ndarray) -> float:
        return float(state[0]) - self.end
