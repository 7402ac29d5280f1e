"""Designs given by their closing parameters, and a second solution of the motion in time."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from scipy.integrate import quad, solve_ivp

from setwright.trap.model import GRAVITY, Trap

COIL_CASE = Trap(
    family="coil", loops=2.0, hinge_half_distance=0.003, eye_half_opening=0.016, loop_clearance=0.0043,
    bearing_offset=0.0025, face_offset=0.0025, height=0.0732, face_length=0.12954, bevel=np.radians(14.0),
    set_angle=np.radians(3.0), jaw_inertia=3.5632e-4, weight_moment=0.054267, spring_rate=9.04333,
    free_coordinate=1.34343, loop_inertia=5.893e-5, lever_length=0.048, pivot_height=-0.013, face_width=0.0095,
    bar_width=0.0095,
)  # fmt: skip
LONG_CASE = Trap(
    family="long", loops=1.0, hinge_half_distance=0.00225, eye_half_opening=0.0095, loop_clearance=0.003,
    bearing_offset=0.00175, face_offset=0.00175, height=0.04855, face_length=0.08636, bevel=np.radians(2.0),
    set_angle=np.radians(3.0), jaw_inertia=5.382e-5, weight_moment=0.0123535, spring_rate=2891.047,
    free_coordinate=0.05712609, loop_inertia=0.02040735, face_width=0.007, bar_width=0.007,
)  # fmt: skip
CASES = {"coil": COIL_CASE, "long": LONG_CASE}


def weightless(trap: Trap) -> Trap:
    """The same trap on a bench without gravity."""
    return replace(trap, weight_moment=0.0)


def _contact(trap: Trap, theta: complex) -> tuple[complex, complex, complex]:
    """Loop coordinate, distance along the leg and sideways place of the eye, from the tangent circle."""
    alpha = theta - trap.bevel
    b, c = trap.eye_half_opening - trap.hinge_half_distance, trap.loop_clearance
    # Circle of radius c around (b, h) touches the line through the hinge at the angle alpha from below.
    h = (b * np.sin(alpha) - c) / np.cos(alpha)
    along = b * np.cos(alpha) + h * np.sin(alpha)
    if trap.family == "long":
        return h, along, 0.0
    phi = np.arcsin((h - trap.pivot_height) / trap.lever_length)
    return phi, along, trap.lever_length * np.cos(phi)


def in_time(
    trap: Trap, *, friction: float, limb: float = 0.0, cover_mass: float = 0.0, cover_radius: float = 0.0,
    added_inertia: float = 0.0, drag: float = 0.0,
) -> tuple[float, float, float]:  # fmt: skip
    """Closing time, rate and separation angle by stepping in time with event detection.

    Newton's law of jaw and loop with the contact force as unknown; derivatives by complex steps.
    """
    inertia = trap.jaw_inertia + added_inertia + cover_mass * cover_radius**2
    weight = trap.weight_moment + GRAVITY * cover_mass * cover_radius
    gap = max(0.0, limb - trap.offset_gap) / 2.0
    grid = np.linspace(trap.set_angle, np.pi * 0.6, 20001)
    half = trap.hinge_half_distance + trap.height * np.cos(grid) - trap.face_offset * np.sin(grid) - gap
    closed = float(np.interp(0.0, -half, grid))

    def rates(theta: float) -> np.ndarray:
        tiny = 1e-30
        return np.array([part.imag / tiny for part in map(complex, _contact(trap, theta + 1j * tiny))])

    def solve(theta: float, omega: float) -> tuple[float, float]:
        q, along, _ = (float(np.real(part)) for part in _contact(trap, theta))
        slope, slide, sideways = rates(theta)
        step = 1e-5
        bend = (rates(theta + step)[0] - rates(theta - step)[0]) / (2.0 * step)
        slip = np.hypot(slide, sideways)
        if slip == 0.0:  # exactly where sliding turns: what follows is on its far side
            slide, sideways = rates(theta + 1e-9)[1:]
            slip = np.hypot(slide, sideways)
        up, cross = slide / slip, abs(sideways) / slip
        alpha = theta - trap.bevel
        arm = along + friction * up * trap.bearing_offset
        if trap.family == "long":
            load = np.cos(alpha) + friction * up * np.sin(alpha)
        else:
            load = (np.cos(alpha) + friction * up * np.sin(alpha)) * trap.lever_length * np.cos(q)
            load += friction * cross * trap.lever_length * abs(np.sin(q))
        effort = max(trap.spring_rate * (trap.free_coordinate - q), 0.0)
        torque = -weight * np.cos(theta) - drag * omega**2
        left = np.array([[inertia, -trap.loops * arm], [trap.loop_inertia * slope, 2.0 * load]])
        right = np.array([torque, effort - trap.loop_inertia * bend * omega**2])
        acceleration, force = np.linalg.solve(left, right)
        if not np.isfinite(acceleration):
            raise ArithmeticError(f"no acceleration at {theta} rad, {omega} rad/s")
        return float(acceleration), float(force)

    def attached(_: float, state: np.ndarray) -> list[float]:
        return [state[1], solve(state[0], state[1])[0]]

    def leaves(_: float, state: np.ndarray) -> float:
        return solve(state[0], state[1])[1]

    def meets(_: float, state: np.ndarray) -> float:
        return state[0] - closed

    turn = float(np.arcsin(trap.loop_clearance / (trap.eye_half_opening - trap.hinge_half_distance)) + trap.bevel)

    def turns(_: float, state: np.ndarray) -> float:
        return state[0] - turn

    leaves.terminal = meets.terminal = turns.terminal = True
    turns.direction = 1.0
    options = {"method": "DOP853", "rtol": 1e-9, "atol": 1e-11, "max_step": 2e-3}
    clock, state = 0.0, np.array([trap.set_angle, 0.0])
    for events in ((leaves, meets, turns), (leaves, meets)):
        found = solve_ivp(attached, (clock, clock + 1.0), state, events=list(events), **options)
        clock, state = float(found.t[-1]), found.y[:, -1]
        if found.t_events[0].size or found.t_events[1].size:
            break
    if found.t_events[1].size:
        return clock, float(state[1]), float("nan")
    apart, square = float(state[0]), float(state[1] ** 2)
    decay = 2.0 * drag / inertia

    def flown(angle: float) -> float:
        pull, _ = quad(lambda t: np.exp(-decay * (angle - t)) * np.cos(t), apart, angle, epsabs=1e-13)
        return float(np.exp(-decay * (angle - apart)) * square - 2.0 * weight / inertia * pull)

    flight, _ = quad(lambda t: 1.0 / np.sqrt(flown(t)), apart, closed, epsabs=1e-12)
    return clock + flight, float(np.sqrt(flown(closed))), apart
