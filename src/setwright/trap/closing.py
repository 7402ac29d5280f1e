"""How fast the jaws close: one running quadrature for any number of designs."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.trap.flight import Flight, crossing, flight_time, hermite, loop_runs_ahead, speed_squared
from setwright.trap.loop import (
    EDGE,
    Loop,
    arm_of_contact,
    limb_angle,
    loop_at,
    resistance,
    reversal_angle,
    upright_angle,
)
from setwright.trap.model import COIL, GRAVITY, Floats, Trap
from setwright.trap.motion import (
    CLOSES,
    LEVER_PAST_VERTICAL,
    LIMB_TOO_THICK,
    NO_CLEARANCE,
    NOT_KNOWN,
    NOT_RESOLVED,
    SPRING_SPENT,
    STALLS,
    STATE_NAMES,
    Closing,
    pick,
)
from setwright.trap.quadrature import running
from setwright.trap.springs import spring_effort

__all__ = (
    "CLOSES", "LEVER_PAST_VERTICAL", "LIMB_TOO_THICK", "NOT_KNOWN", "NOT_RESOLVED", "NO_CLEARANCE", "SPRING_SPENT",
    "STALLS", "STATE_NAMES", "Closing", "close", "water_terms",
)  # fmt: skip

FEWEST_NODES = 16
# Largest product of damping per radian and step that the quadrature is trusted with.
_STIFFEST = 0.45
_FIRST_SHARE = 0.4
_MARGIN = 0.02


@dataclass(frozen=True)
class _Stage:
    """Terms of ½y' A + B y = C at the nodes, as y' = drive − brake y, and the geometry they came from."""

    drive: Floats
    brake: Floats
    loop: Loop


def close(
    trap: Trap,
    *,
    friction: ArrayLike,
    limb: ArrayLike = 0.0,
    cover_mass: ArrayLike = 0.0,
    cover_radius: ArrayLike = 0.0,
    added_inertia: ArrayLike = 0.0,
    drag: ArrayLike = 0.0,
    tilt: ArrayLike = 0.0,
    nodes: int = 101,
) -> Closing:
    """Close the trap: time, speed, energy and momentum of the jaws at their first meeting.

    Parameters
    ----------
    trap : Trap
        Parameters of one or n designs.
    friction : float or array [-]
        Coulomb friction of loop on jaw.
    limb : float or array [m]
        Thickness of what stands between the jaws; 0 for empty closure.
    cover_mass, cover_radius : float or array [kg], [m]
        Loose cover lifted by each jaw, and its distance from the hinge.
    added_inertia, drag : float or array [kg m²], [N m s²]
        Water that moves with one jaw; drag torque over the square of the jaw rate (`water_terms`).
    tilt : float or array [rad]
        Tilt of the bedded trap across its hinges; both jaws by their mean.
    nodes : int
        Nodes of the motion, at least 16.

    Returns
    -------
    Closing
        States instead of exceptions: `STALLS` (does not rise to the end under this load),
        `LEVER_PAST_VERTICAL` and `SPRING_SPENT` (in the set position already), `NO_CLEARANCE`
        (eye too narrow, b ≤ c), `LIMB_TOO_THICK`, `NOT_KNOWN` (an input is NaN), `NOT_RESOLVED` (drag so
        great that these nodes cannot follow the motion).

    Raises
    ------
    OutOfRange
        For negative friction, drag or masses, and for fewer than 16 nodes.

    Notes
    -----
    With y = θ̇² the motion under the loop is A ½y' + B y = C, A = n M q' + ρ J, B = n M q'' + ρ D,
    C = n P + ρ τ, ρ = 2 G/s*; linear in y even with friction, because the contact force comes from the
    motion itself. Where that force falls to nothing the jaws fly on by themselves:
    J ½y' = τ − D y. Time is ∫ dθ/√y.

    Range: rigid parts, both jaws alike, sudden release, a base that does not move, loose dry cover. Frozen
    or cohesive cover is not in it (`set_torque`). Doubts: ±30 % in time with assumed dimensions.

    References
    ----------
    Equations: derived. US patent 4,117,621 (1978), spring travel that lags jaw travel (seen).
    Meek, Shorter & Falzon 2019, *Int. J. Pest Management* 65:66-71, closing times (seen, abstract).

    """
    if nodes < FEWEST_NODES:
        raise OutOfRange("too few nodes for the motion", field="nodes", found=nodes, allowed=f"from {FEWEST_NODES}")
    given = {
        "friction": friction, "limb": limb, "cover_mass": cover_mass, "cover_radius": cover_radius,
        "added_inertia": added_inertia, "drag": drag, "tilt": tilt,
    }  # fmt: skip
    load = {name: np.asarray(value, dtype=float)[..., None] for name, value in given.items()}
    for name, value in load.items():
        if name != "tilt" and bool((value < 0).any()):
            raise OutOfRange("this must not be negative", field=name, found=float(np.nanmin(value)))
    wide = _columns(trap)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        return _motion(wide, load, nodes)


def _columns(trap: Trap) -> Trap:
    """The trap with a last axis of one on each number, for the nodes."""
    named: dict[str, Any] = {
        entry.name: np.asarray(getattr(trap, entry.name), dtype=float)[..., None]
        for entry in fields(trap)
        if entry.name not in ("family", "eye")
    }
    return replace(trap, **named)


def _motion(trap: Trap, load: dict[str, Floats], nodes: int) -> Closing:
    friction, drag = load["friction"], load["drag"]
    jaw = trap.jaw_inertia + load["cover_mass"] * load["cover_radius"] ** 2 + load["added_inertia"]
    weight = (trap.weight_moment + GRAVITY * load["cover_mass"] * load["cover_radius"]) * np.cos(load["tilt"])
    start = np.asarray(trap.set_angle, dtype=float)
    end = limb_angle(trap, load["limb"])
    last = np.minimum(end, upright_angle(trap) - EDGE)
    state = _state_when_set(trap, load, start, end)

    theta, speed, step, first = _grid(trap, start, last, nodes)
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
    apart = np.where(leaves[..., None] < count, crossing(force, bracket), last)
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
    stalls = stalls | ~(y_end > 0) | ~np.isfinite(time_end)
    damping = np.where(node < leaves[..., None], np.abs(2.0 * drag / jaw * speed), 0.0).max(axis=-1) / (first - 1)
    state = np.where((state == CLOSES) & (damping > _STIFFEST), NOT_RESOLVED, state)
    state = np.where((state == CLOSES) & stalls, STALLS, state)
    closes = state == CLOSES

    loop_energy, ahead = _loops(trap, friction, stage, theta, times, flown, flight, before, y, end, separates)
    rate = np.where(closes, np.sqrt(np.where(closes, y_end, 0.0)), np.nan)
    height = np.asarray(trap.height, dtype=float)[..., 0]
    own = np.asarray(trap.jaw_inertia, dtype=float)[..., 0]
    keep = closes[..., None]
    path = np.concatenate((theta[..., :first], theta[..., first + 1 :], end), axis=-1)
    clock = np.concatenate((times[..., :first], times[..., first + 1 :], time_end[..., None]), axis=-1)
    return Closing(
        time=np.where(closes, time_end, np.nan),
        angle=np.where(closes, end[..., 0], np.nan),
        rate=rate,
        tip_speed=height * rate,
        jaw_energy=own * rate**2,
        loop_energy=np.where(closes, loop_energy, np.nan),
        momentum=own * rate / height,
        separation_angle=np.where(closes & separates, apart[..., 0], np.nan),
        recontact=closes & ahead,
        angles=np.where(keep, path, np.nan),
        times=np.where(keep, clock, np.nan),
        state=state,
        height=np.broadcast_to(height, shape).copy(),
    )


def _state_when_set(trap: Trap, load: dict[str, Floats], start: Floats, end: Floats) -> NDArray[np.int_]:
    """State that the set position alone decides."""
    known = np.isfinite(sum(load.values(), start=np.zeros(1)) + _numbers(trap))
    loop = loop_at(trap, start)
    effort = spring_effort(trap.spring_rate, trap.free_coordinate, loop.coordinate)
    upright = (np.abs(loop.lever_sine) >= 1.0) if trap.family == COIL else start >= upright_angle(trap)
    code = np.select(
        np.broadcast_arrays(
            ~known, trap.clearance <= trap.loop_clearance, upright, effort <= 0, ~(end > start + EDGE)
        ),
        [NOT_KNOWN, NO_CLEARANCE, LEVER_PAST_VERTICAL, SPRING_SPENT, LIMB_TOO_THICK],
        CLOSES,
    )  # fmt: skip
    return np.asarray(code[..., 0], dtype=int)


def _numbers(trap: Trap) -> Floats:
    """Sum of every number the motion uses: NaN when one is missing."""
    unused = ("family", "eye", "set_stress", "strength")
    total = np.zeros(1)
    for entry in fields(trap):
        if entry.name not in unused:
            total = total + getattr(trap, entry.name)
    return total


def _grid(trap: Trap, start: Floats, last: Floats, nodes: int) -> tuple[Floats, Floats, tuple[float, float], int]:
    """Nodes in two pieces that meet where sliding reverses (that node twice), dθ/dx, steps, size of the first."""
    first = max(6, round(_FIRST_SHARE * nodes))
    second = nodes - first
    span = last - start
    turn = np.clip(reversal_angle(trap), start + _MARGIN * span, last - _MARGIN * span)
    x, z = np.linspace(0.0, 1.0, first), np.linspace(0.0, 1.0, second)
    theta = np.concatenate((start + (turn - start) * x**2, turn + (last - turn) * z), axis=-1)
    speed = np.concatenate((2.0 * (turn - start) * x, (last - turn) * np.ones_like(z)), axis=-1)
    return theta, speed, (1.0 / (first - 1), 1.0 / (second - 1)), first


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


def _loops(
    trap: Trap,
    friction: Floats,
    stage: _Stage,
    theta: Floats,
    times: Floats,
    flown: NDArray[np.bool_],
    flight: Flight,
    before: Floats,
    y: Floats,
    end: Floats,
    separates: NDArray[np.bool_],
) -> tuple[Floats, NDArray[np.bool_]]:
    """Energy of all loops when they seat [J], and whether they would catch up with the jaws."""
    part = loop_at(trap, flight.angle)
    pace = part.slope * np.sqrt(np.maximum(flight.square, 0.0))
    limit = np.minimum(end, upright_angle(trap) - EDGE)
    seat = np.minimum(loop_at(trap, limit).coordinate, trap.free_coordinate)
    free = trap.free_coordinate
    spring = 0.5 * trap.spring_rate * (
        np.maximum(free - part.coordinate, 0.0) ** 2 - np.maximum(free - seat, 0.0) ** 2
    )  # fmt: skip
    apart = trap.loops * (0.5 * trap.loop_inertia * pace**2 + np.maximum(spring, 0.0))
    together = trap.loops * 0.5 * trap.loop_inertia * (stage.loop.slope[..., -1:] ** 2) * y[..., -1:]
    energy = np.where(separates[..., None], apart, together)[..., 0]
    ahead = loop_runs_ahead(
        part.coordinate, pace, free, np.sqrt(trap.spring_rate / trap.loop_inertia), times - before
    ) - stage.loop.coordinate  # fmt: skip
    # A hundredth of the way of the loop: below that it is the error of the nodes.
    near = 1e-2 * (free - stage.loop.coordinate[..., :1])
    catches = (flown & (theta > flight.angle) & (ahead > near)).any(axis=-1) & separates
    return np.asarray(energy + 0.0 * friction[..., 0]), np.asarray(catches)


def water_terms(
    trap: Trap, *, density: ArrayLike = 1000.0, added_coefficient: ArrayLike = 1.0, drag_coefficient: ArrayLike = 1.5
) -> tuple[Floats, Floats]:
    """Inertia and drag of the water that the jaws move.

    Parameters
    ----------
    trap : Trap
        Parameters of one or n designs.
    density : float or array [kg/m³]
        Of the water.
    added_coefficient, drag_coefficient : float or array [-]
        Of a bar across the flow; drag 1.2 to 2.

    Returns
    -------
    tuple of array [kg m²], [N m s²]
        `added_inertia` and `drag` of one jaw for `close`.

    Notes
    -----
    J_w = ρ C_a (π d²/4)(W H² + 2 H³/3), D = ½ ρ C_d d (W H³ + H⁴/2), d the width of the bar. Drag of
    levers and springs is left out: a real trap is slower. Coefficients: assumed.

    """
    height, bar = np.asarray(trap.height, dtype=float), np.asarray(trap.face_length, dtype=float)
    wide = np.asarray(trap.bar_width, dtype=float)
    thick = np.asarray(density, dtype=float)
    inertia = thick * np.asarray(added_coefficient, dtype=float) * 0.25 * np.pi * wide**2
    inertia = inertia * (bar * height**2 + 2.0 * height**3 / 3.0)
    drag = 0.5 * thick * np.asarray(drag_coefficient, dtype=float) * wide
    return inertia, drag * (bar * height**3 + 0.5 * height**4)
