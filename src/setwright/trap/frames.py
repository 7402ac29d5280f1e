"""The closing as a row of still pictures: both jaws, the loop, the force between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.trap.loop import EDGE, limb_angle, loop_at, upright_angle
from setwright.trap.model import LONG, SLOT, Floats, Trap
from setwright.trap.motion import CLOSES
from setwright.trap.release import STEPS, release


@dataclass(frozen=True)
class Frames:
    """Answer of `frames`, for one design; empty where the jaws do not meet.

    Parameters
    ----------
    times : shape (k,), [s]
        Even steps from release, then the meeting of the jaws, then the arrival of the loop when it is later.
    angles : shape (2, k), [rad]
        Dogged jaw and loose jaw above the hinge line.
    height : shape (k,), [m]
        Of the loop over the hinge line.
    coordinate : shape (k,), [rad] or [m]
        Lever angle, or height of the eye.
    force : shape (2, k), [N]
        Contact force of one loop on each jaw; zero while the jaws fly ahead.
    apart : shape (k,), bool
        The jaws have left the loop.
    state : int
        Code; `motion.STATE_NAMES` has the words.

    """

    times: Floats
    angles: Floats
    height: Floats
    coordinate: Floats
    force: Floats
    apart: NDArray[np.bool_]
    state: int


def frames(
    trap: Trap,
    *,
    friction: float,
    step: float = 0.002,
    delay: float = 0.0,
    limb: float = 0.0,
    cover_mass: float = 0.0,
    cover_radius: float = 0.0,
    added_inertia: float = 0.0,
    drag: float = 0.0,
    tilt: float = 0.0,
    steps: int = STEPS,
) -> Frames:
    """Slow motion of one design.

    Parameters
    ----------
    trap : Trap
        Parameters of one design.
    friction : float [-]
        Coulomb friction of loop on jaw.
    step : float [s]
        Between pictures, at least 10 µs.
    delay : float [s]
        For how long the dog keeps its jaw down.
    limb : float [m]
        Thickness of what stands between the jaws.
    cover_mass, cover_radius : float [kg], [m]
        Loose cover lifted by each jaw, and its distance from the hinge.
    added_inertia, drag : float [kg m²], [N m s²]
        Water that moves with one jaw.
    tilt : float [rad]
        Tilt of the bed across the hinges.
    steps : int
        Of the motion, as in `release`.

    Raises
    ------
    OutOfRange
        For a step below 10 µs.

    Notes
    -----
    The motion is that of `release`. A loop that the jaws have left swings on its springs without friction until it
    seats; then it stands still, as do the jaws from their meeting on: nothing bounces here.

    """
    if not step >= 1e-5:
        raise OutOfRange("pictures stand too close", field="step", found=step, allowed="from 1e-5 s")
    found = release(
        trap, friction=friction, delay=delay, limb=limb, cover_mass=cover_mass, cover_radius=cover_radius,
        added_inertia=added_inertia, drag=drag, tilt=tilt, steps=steps,
    )  # fmt: skip
    if int(found.state) != CLOSES:
        none = np.empty(0)
        return Frames(none, np.empty((2, 0)), none, none, np.empty((2, 0)), none.astype(bool), int(found.state))
    known = np.isfinite(found.times)
    clock, angles, rates = found.times[known], found.angles[:, known], found.rates[:, known]
    meeting = float(found.time)
    swing = _swing(trap, clock, angles, rates, float(found.separation_time))
    stands = loop_at(trap, np.minimum(found.angle, upright_angle(trap) - EDGE)).coordinate.mean()
    # Springs that are spent on the way leave the loop at its rest position.
    seat = float(np.minimum(stands, trap.free_coordinate))
    arrival = max(meeting, swing.reaches(seat)) if swing is not None else meeting
    ends = [meeting] if arrival <= meeting * (1.0 + 1e-9) or not np.isfinite(arrival) else [meeting, arrival]
    times = np.concatenate((np.arange(0.0, meeting * (1.0 - 1e-9), step), ends))
    at_end = np.asarray(found.angle)
    both = np.stack([np.interp(times, [*clock, meeting], [*angles[i], at_end[i]]) for i in range(2)])
    pressed = np.nan_to_num(found.presses[:, known])
    force = np.stack([np.interp(times, clock, pressed[i]) for i in range(2)])
    coordinate = loop_at(trap, np.minimum(both, upright_angle(trap) - EDGE)).coordinate.mean(axis=0)
    apart = np.zeros(times.shape, dtype=bool)
    if swing is not None:
        apart = times > float(found.separation_time)
        coordinate = np.where(apart, np.minimum(swing.at(times), seat), coordinate)
        force = np.where(apart, 0.0, force)
    return Frames(times, both, _height(trap, coordinate), coordinate, force, apart, CLOSES)


def seated(trap: Trap, *, limb: float) -> tuple[float, float]:
    """Jaw angle [rad] and height of the loop [m] of the closed trap at rest; NaN when the limb does not fit in.

    Parameters
    ----------
    trap : Trap
        Parameters of one design.
    limb : float [m]
        Thickness of what stands between the jaws; 0 for none.

    Notes
    -----
    The loop stands where the legs stop it, or where its springs are spent.

    """
    angle = float(limb_angle(trap, limb))
    if not np.isfinite(angle):
        return float("nan"), float("nan")
    stands = loop_at(trap, min(angle, float(upright_angle(trap)) - EDGE)).coordinate
    return angle, float(_height(trap, np.minimum(stands, trap.free_coordinate)))


@dataclass(frozen=True)
class _Swing:
    """A loop left to its springs: since when, from where, how fast, and its frequency."""

    since: float
    start: float
    pace: float
    free: float
    frequency: float

    def at(self, times: ArrayLike) -> Floats:
        """Coordinate at times [s]."""
        gone = np.maximum(np.asarray(times, dtype=float) - self.since, 0.0)
        gap, quick = max(self.free - self.start, 0.0), self.pace / self.frequency
        top, begun = float(np.hypot(gap, quick)), float(np.arctan2(quick, gap))
        turn = self.frequency * gone + begun
        # Spent springs let the loop coast.
        return np.where(
            turn < 0.5 * np.pi, self.free - top * np.cos(turn), self.free + top * (turn - 0.5 * np.pi)
        )  # fmt: skip

    def reaches(self, seat: float) -> float:
        """Time [s] at which it comes to a coordinate."""
        gap, quick = max(self.free - self.start, 0.0), self.pace / self.frequency
        top, begun = float(np.hypot(gap, quick)), float(np.arctan2(quick, gap))
        return self.since + max(float(np.arccos(min((self.free - seat) / top, 1.0))) - begun, 0.0) / self.frequency


def _swing(trap: Trap, clock: Floats, angles: Floats, rates: Floats, parting: float) -> _Swing | None:
    """The swing of the loop from the moment when the jaws leave it; None when they never do."""
    if not np.isfinite(parting):
        return None
    both = np.array([np.interp(parting, clock, row) for row in angles])
    turn = np.array([np.interp(parting, clock, row) for row in rates])
    loop = loop_at(trap, both)
    free, rate, inertia = (float(value) for value in (trap.free_coordinate, trap.spring_rate, trap.loop_inertia))
    return _Swing(
        parting,
        float(loop.coordinate.mean()),
        float((loop.slope * turn).mean()),
        free,
        float(np.sqrt(rate / inertia)),
    )


def _height(trap: Trap, coordinate: Floats) -> Floats:
    if trap.family == LONG:
        return coordinate
    turn = np.tan(coordinate) if trap.eye == SLOT else np.sin(coordinate)
    return np.asarray(trap.lever_length * turn + trap.pivot_height)
