"""The closing of many designs in plain NumPy: quadratures over all nodes of all designs at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.trap.flight import Flight, crossing, flight_time, hermite, loop_runs_ahead, speed_squared
from setwright.trap.loop import EDGE, Loop, arm_of_contact, loop_at, resistance, reversal_angle, upright_angle
from setwright.trap.model import Floats, Trap
from setwright.trap.motion import pick
from setwright.trap.quadrature import running
from setwright.trap.springs import spring_effort

_MARGIN = 0.02


@dataclass(frozen=True)
class Load:
    """What the jaws carry, each with a last axis of one: friction, inertia of a jaw with its load, weight, drag."""

    friction: Floats
    inertia: Floats
    weight: Floats
    drag: Floats


@dataclass(frozen=True)
class Motion:
    """What a kernel finds, each of shape (n,), before anything is said about it.

    Parameters
    ----------
    time, square : [s], [rad²/s²]
        At the meeting: time since release, square of the jaw rate.
    separation, parted : [rad], [s]
        Where and when the jaws leave the loop; NaN and the end where they never do.
    part, pace, seat : [rad] or [m], per s, [rad] or [m]
        Loop coordinate and its rate when they part, and the coordinate at which it seats.
    together : [J]
        Energy of motion of all loops at the meeting, if they never part.
    damping : [-]
        Greatest damping per step of the grid.
    separates, ahead, stalls : bool
        The jaws leave the loop; the loop would catch up; the jaws do not come to the end.
    angles, times : shape (n, nodes), [rad], [s]
        The motion at the nodes.

    """

    time: Floats
    square: Floats
    separation: Floats
    parted: Floats
    part: Floats
    pace: Floats
    seat: Floats
    together: Floats
    damping: Floats
    separates: NDArray[np.bool_]
    ahead: NDArray[np.bool_]
    stalls: NDArray[np.bool_]
    angles: Floats
    times: Floats


@dataclass(frozen=True)
class _Stage:
    """Terms of ½y' A + B y = C at the nodes, as y' = drive − brake y, and the geometry they came from."""

    drive: Floats
    brake: Floats
    loop: Loop


def move(trap: Trap, load: Load, end: Floats, nodes: int, first: int) -> Motion:
    """Motion of n designs; numbers of `trap` and `load` with a last axis of one, `end` [rad] the meeting angle."""
    friction, jaw, weight, drag = load.friction, load.inertia, load.weight, load.drag
    start = np.asarray(trap.set_angle, dtype=float)
    last = np.minimum(end, upright_angle(trap) - EDGE)
    theta, speed, step = _grid(trap, start, last, nodes, first)
    stage = _stage(trap, theta, first, friction, jaw, weight, drag)
    exponent = _join(stage.brake * speed, step, first)
    growth = np.exp(exponent)
    y = _join(growth * stage.drive * speed, step, first) / growth
    slope = stage.drive - stage.brake * y
    push = 0.5 * jaw * slope + drag * y + weight * np.cos(theta)

    count = theta.shape[-1]
    shape = y.shape[:-1]
    theta, speed = np.broadcast_to(theta, y.shape), np.broadcast_to(speed, y.shape)
    node = np.arange(count)
    leaves = np.where((push < 0) & (node > 0), node, count).min(axis=-1)
    separates = (leaves < count) | np.broadcast_to((last < end)[..., 0], shape)
    inside = np.minimum(leaves, count - 1)
    y_before = np.where(node < leaves[..., None], y, np.inf)
    stalls = ~(y_before[..., 1:].min(axis=-1) > 0) | ~(stage.drive[..., 0] > 0)

    def force(angle: Floats, square: Floats) -> Floats:
        at = _stage(trap, angle, None, friction, jaw, weight, drag)
        slope_here = at.drive - at.brake * square
        return np.asarray(0.5 * jaw * slope_here + drag * square + weight * np.cos(angle))

    bracket = tuple(
        pick(values, inside - back)[..., None] for values in (theta, y, slope) for back in (1, 0)
    )  # fmt: skip
    pushed = [pick(np.broadcast_to(push, y.shape), inside - back)[..., None] for back in (0, 1)]
    apart = np.where(leaves[..., None] < count, crossing(force, bracket, pushed[1], pushed[0]), last)
    root = np.where(node < leaves[..., None], np.maximum(y, 0.0), 0.0)
    pace = np.zeros(y.shape)
    np.divide(speed, np.sqrt(root), out=pace, where=root > 0)
    pace[..., 0] = (2.0 * np.sqrt((theta[..., first - 1] - theta[..., 0]) / stage.drive[..., 0])).reshape(shape)
    flight = Flight(apart, hermite(bracket, apart), weight / jaw, drag / jaw)
    flown = node >= leaves[..., None]
    y_flown = np.maximum(speed_squared(flight, theta), 0.0)
    np.divide(speed, np.sqrt(y_flown), out=pace, where=flown & (y_flown > 0))
    times = _join(pace, step, first)
    before = pick(times, inside - 1)[..., None] + flight_time(
        bracket[0], apart, theta[..., :1], lambda angle: hermite(bracket, angle)
    )
    before = np.where(leaves[..., None] < count, before, times[..., -1:])
    at_first = before + flight_time(apart, pick(theta, inside)[..., None], None, flight)
    times = np.where(flown, at_first + times - pick(times, inside)[..., None], times)
    end = np.broadcast_to(end, (*shape, 1))
    y_end = np.where(separates, speed_squared(flight, end)[..., 0], y[..., -1])
    time_end = np.where(separates, (before + flight_time(apart, end, None, flight))[..., 0], times[..., -1])
    damping = np.where(node < leaves[..., None], np.abs(2.0 * drag / jaw * speed), 0.0).max(axis=-1) / (first - 1)
    at_parting = loop_at(trap, apart)
    part = at_parting.coordinate
    pace_of_loop = at_parting.slope * np.sqrt(np.maximum(flight.square, 0.0))
    ahead = loop_runs_ahead(
        part, pace_of_loop, trap.free_coordinate, np.sqrt(trap.spring_rate / trap.loop_inertia), times - before
    ) - stage.loop.coordinate  # fmt: skip
    # A hundredth of the way of the loop: below that it is the error of the nodes.
    near = 1e-2 * (trap.free_coordinate - stage.loop.coordinate[..., :1])
    catches = (flown & (theta > apart) & (ahead > near)).any(axis=-1) & separates
    seat = loop_at(trap, np.minimum(end, upright_angle(trap) - EDGE)).coordinate
    together = trap.loops * 0.5 * trap.loop_inertia * stage.loop.slope[..., -1:] ** 2 * y[..., -1:]

    def one(values: Floats) -> Floats:
        return np.broadcast_to(values[..., 0], shape)

    return Motion(
        time=time_end, square=y_end, separation=np.where(separates, one(apart), np.nan), parted=one(before),
        part=one(part), pace=one(pace_of_loop), seat=one(seat), together=one(together), damping=damping,
        separates=separates, ahead=catches, stalls=stalls | ~(y_end > 0) | ~np.isfinite(time_end),
        angles=theta, times=times,
    )  # fmt: skip


def _grid(
    trap: Trap, start: Floats, last: Floats, nodes: int, first: int
) -> tuple[Floats, Floats, tuple[float, float]]:
    """Nodes in two pieces that meet where sliding reverses (that node twice), dθ/dx, steps."""
    second = nodes - first
    span = last - start
    turn = np.clip(reversal_angle(trap), start + _MARGIN * span, last - _MARGIN * span)
    x, z = np.linspace(0.0, 1.0, first), np.linspace(0.0, 1.0, second)
    theta = np.concatenate((start + (turn - start) * x**2, turn + (last - turn) * z), axis=-1)
    speed = np.concatenate((2.0 * (turn - start) * x, (last - turn) * np.ones_like(z)), axis=-1)
    return theta, speed, (1.0 / (first - 1), 1.0 / (second - 1))


def _join(values: Floats, step: tuple[float, float], first: int) -> Floats:
    """Running integral over both pieces of the grid."""
    low = running(values[..., :first], step[0])
    return np.concatenate((low, low[..., -1:] + running(values[..., first:], step[1])), axis=-1)


def _stage(
    trap: Trap, theta: Floats, first: int | None, friction: Floats, jaw: Floats, weight: Floats, drag: Floats
) -> _Stage:
    sign: Floats | None = None
    if first is not None:
        # The node of reversal stands twice: sliding down in the first piece, up in the second.
        sign = np.sign(theta - reversal_angle(trap))
        margin = np.abs(theta - reversal_angle(trap)) < 1e-9
        sign = np.where(margin, np.where(np.arange(theta.shape[-1]) < first, -1.0, 1.0), sign)
    loop = loop_at(trap, theta, slide_sign=sign)
    ratio = 2.0 * resistance(trap, loop, friction) / arm_of_contact(trap, loop, friction)
    mass = trap.loops * trap.loop_inertia
    inertia = mass * loop.slope + ratio * jaw
    effort = spring_effort(trap.spring_rate, trap.free_coordinate, loop.coordinate)
    return _Stage(
        drive=np.asarray(2.0 * (trap.loops * effort - ratio * weight * np.cos(theta)) / inertia),
        brake=np.asarray(2.0 * (mass * loop.bend + ratio * drag) / inertia),
        loop=loop,
    )
