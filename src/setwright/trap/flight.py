"""The jaws after they have left the loop, and where they leave it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from setwright.trap.model import Floats, Number
from setwright.trap.quadrature import CROSSING_STEPS, POINTS, WEIGHTS


@dataclass(frozen=True)
class Flight:
    """Jaws that fly by themselves.

    Parameters
    ----------
    angle, square : [rad], [rad²/s²]
        Where they left the loop, and the square of their rate there.
    weight, drag : [1/s²], [-]
        Weight moment and drag torque per rate squared, each over the inertia of the jaw.

    """

    angle: Floats
    square: Floats
    weight: Floats
    drag: Floats

    def __call__(self, angle: Floats) -> Floats:
        """Square of the jaw rate [rad²/s²] at an angle."""
        return speed_squared(self, angle)


def speed_squared(flight: Flight, angle: Floats) -> Floats:
    """Square of the jaw rate in free flight [rad²/s²]: exact solution of ½y' = −w cos θ − d y."""
    decay = 2.0 * flight.drag

    def pull(theta: Floats) -> Floats:
        return np.asarray((decay * np.cos(theta) + np.sin(theta)) / (1.0 + decay**2))

    fade = np.exp(-decay * (angle - flight.angle))
    return np.asarray(fade * flight.square - 2.0 * flight.weight * (pull(angle) - fade * pull(flight.angle)))


def flight_time(start: Floats, end: Floats, origin: Floats | None, square: Callable[[Floats], Floats]) -> Floats:
    """Time [s] from one angle to another, shape (n, 1); in the root of the angle over `origin` when given."""
    if origin is None:
        angle = start + (end - start) * POINTS
        speed = square(angle)
        values = 1.0 / np.sqrt(np.where(speed > 0, speed, np.nan))
        return np.asarray(np.sum(WEIGHTS * values, axis=-1, keepdims=True) * (end - start))
    low, high = np.sqrt(np.maximum(start - origin, 0.0)), np.sqrt(np.maximum(end - origin, 0.0))
    root = low + (high - low) * POINTS
    speed = square(origin + root**2)
    values = 2.0 * root / np.sqrt(np.where(speed > 0, speed, np.nan))
    return np.asarray(np.sum(WEIGHTS * values, axis=-1, keepdims=True) * (high - low))


def hermite(bracket: tuple[Floats, ...], angle: Floats) -> Floats:
    """Cubic through values and slopes at both ends of an interval: `(x0, x1, y0, y1, y0', y1')`."""
    x0, x1, y0, y1, s0, s1 = bracket
    width = x1 - x0
    t = np.where(width > 0, (angle - x0) / np.where(width > 0, width, 1.0), 1.0)
    rest = 1.0 - t
    return np.asarray(
        y0 * (1.0 + 2.0 * t) * rest**2
        + y1 * t**2 * (3.0 - 2.0 * t)
        + width * t * rest * (s0 * rest - s1 * t)
    )  # fmt: skip


def crossing(
    force: Callable[[Floats, Floats], Floats], bracket: tuple[Floats, ...], f_low: Floats, f_high: Floats
) -> Floats:
    """Angle [rad] within the interval at which the contact force, known at its ends, falls to nothing."""
    low, high = np.broadcast_arrays(bracket[0], bracket[1])

    def between() -> Floats:
        # The Illinois rule; where nothing is to be found the quotient is of no account.
        return np.asarray(low + np.clip(f_low / (f_low - f_high), 0.0, 1.0) * (high - low))

    for _ in range(CROSSING_STEPS):
        middle = between()
        found = force(middle, hermite(bracket, middle))
        pushes = found > 0
        low, f_low, f_high = (
            np.where(pushes, middle, low),
            np.where(pushes, found, 0.5 * f_low),
            np.where(pushes, 0.5 * f_high, found),
        )
        high = np.where(pushes, high, middle)
    return between()


def loop_runs_ahead(start: Floats, pace: Floats, free: Number, frequency: Floats, time: Floats) -> Floats:
    """Coordinate of a loop left to its springs, `time` [s] after the jaws have gone."""
    gap = np.maximum(free - start, 0.0)
    spent = (0.5 * np.pi - np.arctan2(pace, frequency * gap) + 0.0) / frequency
    swing = np.minimum(time, np.maximum(spent, 0.0))
    top = np.hypot(gap * frequency, pace)
    at = free - gap * np.cos(frequency * swing) + pace / frequency * np.sin(frequency * swing)
    return np.asarray(np.where(time > spent, free + top * (time - spent), at))
