"""The closing once more, with friction against the slip of the two surfaces where they touch.

`close` takes the direction of sliding from the path of the contact along the leg. Here it is the velocity of the
round edge over the face, both turning: vectors in space, the contact force as unknown, stepped in time with events.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

GRAVITY = 9.80665
Vector = NDArray[np.float64]
_HINGE_AXIS, _LEVER_AXIS, _UP = np.array([0.0, -1.0, 0.0]), np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])
_OPTIONS = {"method": "DOP853", "rtol": 1e-8, "atol": 1e-10, "max_step": 5e-4}


def _coordinate(case: Mapping[str, float], angle: float) -> tuple[float, float]:
    """Lever angle or height of the ring, and height of the middle of its edge."""
    alpha = angle - case["bevel"]
    across = case["eye_half_opening"] - case["hinge_half_distance"]
    height = (across * np.sin(alpha) - case["loop_clearance"]) / np.cos(alpha)
    if not case["lever"]:
        return height, height
    return float(np.arcsin((height - case["pivot_height"]) / case["lever_length"])), height


def _accelerations(case: Mapping[str, float], angle: float, rate: float, load: Vector) -> Vector:
    """Jaw acceleration [rad/s²] and contact force [N] from Newton's law of one jaw and one loop."""
    step = 1e-5
    (before, _), (now, height), (after, _) = (_coordinate(case, angle + way * step) for way in (-1.0, 0.0, 1.0))
    slope, curve = (after - before) / (2.0 * step), (after - 2.0 * now + before) / step**2
    alpha = angle - case["bevel"]
    normal = np.array([-np.sin(alpha), 0.0, np.cos(alpha)])
    pivot = np.array([case["eye_half_opening"], 0.0, case["pivot_height"]])
    out = case["lever_length"] * np.cos(now) if case["lever"] else 0.0
    touch = np.array([pivot[0], out, height]) + (case["loop_clearance"] - case["bearing_offset"]) * normal
    from_hinge = touch - np.array([case["hinge_half_distance"], 0.0, 0.0])
    of_loop = slope * (np.cross(_LEVER_AXIS, touch - pivot) if case["lever"] else _UP)
    slip = of_loop - np.cross(_HINGE_AXIS, from_hinge)
    slip = slip - normal * (slip @ normal)
    push = normal + case["friction"] * slip / np.linalg.norm(slip)
    arm = _HINGE_AXIS @ np.cross(from_hinge, push)
    against = _LEVER_AXIS @ np.cross(touch - pivot, push) if case["lever"] else push[2]
    effort = case["spring_rate"] * max(case["free_coordinate"] - now, 0.0)
    inertia, weight, drag = load
    left = np.array([[inertia, -case["loops"] * arm], [case["loop_inertia"] * slope, 2.0 * against]])
    right = [-weight * np.cos(angle) - drag * rate**2, effort - case["loop_inertia"] * curve * rate**2]
    return np.linalg.solve(left, right)


def closing(case: Mapping[str, float], closed: float) -> tuple[float, float]:
    """Time [s] and jaw rate [rad/s] at the jaw angle `closed` [rad] of one case of `authorities/trap/cases.csv`."""
    inertia = case["jaw_inertia"] + case["cover_mass"] * case["cover_radius"] ** 2 + case["added_inertia"]
    moment = case["weight_moment"] + GRAVITY * case["cover_mass"] * case["cover_radius"]
    weight = moment * case["gravity"] * np.cos(case["tilt_across"]) * np.cos(case["tilt_along"])
    load = np.array([inertia, weight, case["drag"]])

    def leaves(_: float, state: Vector) -> float:
        return float(_accelerations(case, *state, load)[1])

    def meets(_: float, state: Vector) -> float:
        return float(state[0] - closed)

    leaves.terminal = meets.terminal = True

    def attached(_: float, state: Vector) -> list[float]:
        return [state[1], _accelerations(case, *state, load)[0]]

    def free(_: float, state: Vector) -> list[float]:
        return [state[1], float(-weight * np.cos(state[0]) - case["drag"] * state[1] ** 2) / inertia]

    found = solve_ivp(attached, (0.0, 1.0), [case["set_angle"], 0.0], events=[leaves, meets], **_OPTIONS)
    if found.t_events[0].size:
        start = float(found.t[-1])
        found = solve_ivp(free, (start, start + 1.0), found.y[:, -1], events=[meets], **_OPTIONS)
    return float(found.t[-1]), float(found.y[1, -1])
