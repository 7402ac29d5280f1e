"""Closing of the jaws by quadrature: attached to the loop, then in free flight."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.trap.loop import (
    EDGE,
    arm_of_contact,
    limb_angle,
    loop_at,
    resistance,
    reversal_angle,
    upright_angle,
)
from setwright.trap.model import GRAVITY, LONG, Floats, Number, Trap
from setwright.trap.quadrature import running

CLOSES, STALLS, LEVER_PAST_VERTICAL, SPRING_SPENT, NO_CLEARANCE, NO_ROOM = range(6)
STATES = (
    "closes",
    "stalls under this load",
    "lever past its vertical",
    "spring spent when set",
    "no clearance of the loop",
    "limb does not fit",
)


@dataclass(frozen=True, eq=False)
class Closing:
    """What happens between the fall of the dog and the first contact of the faces; all shape (n,).

    Parameters
    ----------
    time : [s]
        To the contact with the limb, or of the faces; NaN where it does not close.
    angle, rate, tip_speed : [rad], [rad/s], [m/s]
        Of a jaw at that moment.
    jaw_energy, loop_energy : [J]
        Of both jaws at contact; of all loops when they arrive afterwards, friction left out.
    momentum : [N s]
        Of one jaw at its bar, Jω/H.
    separation_angle : [rad]
        Where the jaws fly ahead of the loop; NaN where they do not.
    recontact : bool
        The loop would catch up before the jaws meet: the free flight then is only nearly right.
    angles, times : [rad], [s], shape (n, nodes)
        The course of one jaw.
    height : [m]
        Hinge to bar, for `time_to_height`.
    state : int
        Index into `STATES`.

    """

    time: Floats
    angle: Floats
    rate: Floats
    tip_speed: Floats
    jaw_energy: Floats
    loop_energy: Floats
    momentum: Floats
    separation_angle: Floats
    recontact: NDArray[np.bool_]
    angles: Floats
    times: Floats
    height: Floats
    state: NDArray[np.int64]

    def time_to_height(self, height: ArrayLike) -> Floats:
        """Time until the bars stand `height` [m] above the hinge line [s], shape (n,); NaN where they never do."""
        wanted = np.broadcast_to(np.asarray(height, dtype=float), self.time.shape)
        found = np.full(self.time.shape, np.nan)
        for row in np.flatnonzero(self.state == CLOSES):
            risen = self.height[row] * np.sin(self.angles[row])
            top = int(np.argmax(risen))
            if wanted[row] <= risen[top]:
                found[row] = np.interp(wanted[row], risen[: top + 1], self.times[row, : top + 1])
        return found


def water_terms(
    trap: Trap, *, density: float = 1000.0, added_coefficient: float = 1.0, drag_coefficient: float = 1.5
) -> tuple[Floats, Floats]:
    """Added inertia of one jaw [kg m²] and its drag factor D in torque = D ω² [N m s²] in water.

    J_a = ρ C_a (π d²/4)(W H² + 2H³/3), D = ½ ρ C_d d (W H³ + H⁴/2). Levers and springs are left out.

    References
    ----------
    Added mass of a cylinder (textbook, memory); coefficients assumed.

    """
    d, w, h = (np.asarray(x, dtype=float) for x in (trap.bar_width, trap.face_length, trap.height))
    inertia = density * added_coefficient * np.pi * d**2 / 4.0 * (w * h**2 + 2.0 * h**3 / 3.0)
    drag = 0.5 * density * drag_coefficient * d * (w * h**3 + 0.5 * h**4)
    return np.asarray(inertia), np.asarray(drag)


def spring_force(trap: Trap, coordinate: ArrayLike) -> Floats:
    """Force [N] or torque [N m] of the springs on one loop at its coordinate; zero once they are spent."""
    return np.asarray(trap.spring_rate * np.maximum(np.subtract(trap.free_coordinate, coordinate), 0.0))


@dataclass(frozen=True, eq=False)
class _Load:
    inertia: Floats
    weight: Floats
    drag: Floats
    friction: Floats


@dataclass(frozen=True, eq=False)
class _Stretch:
    """Squared rate y and time along one stretch of jaw angle, (n, k)."""

    angles: Floats
    square: Floats
    times: Floats
    push: Floats


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
    """Close the jaws of n designs on a limb or on nothing.

    Parameters
    ----------
    trap : Trap
        Parameters; numbers or arrays that broadcast to (n,).
    friction : array_like
        Coulomb friction of loop on jaw [-].
    limb : array_like
        Thickness of the limb [m]; 0 for nothing.
    cover_mass, cover_radius : array_like
        Soil that one jaw lifts [kg] and its distance from the hinge [m]; no shear strength.
    added_inertia, drag : array_like
        Of water on one jaw [kg m²], [N m s²]; see `water_terms`.
    tilt : array_like
        Slope of the bed along the hinge line [rad].
    nodes : int
        Nodes of the course.

    Returns
    -------
    Closing
        A design that cannot close says why in `state` and is NaN elsewhere.

    Notes
    -----
    With y = ω² the motion of both jaws and the loops is A ½y' + B y = C, A = n M q' + ρJ, B = n M q'' + ρD,
    C = n P + ρ τ, ρ = 2G/s*: linear in y even with friction, because the contact pushes and the way of sliding
    is known on each side of its reversal (sin α = c/b). It is integrated with its integrating factor. The loop
    cannot pull: where n N s* = J ½y' + D y − τ falls to zero the jaws fly on alone, J ½y' = τ − D y. Times are
    ∫ dθ/√y, with θ = θ₀ + Δ x² at the start, where y vanishes.

    Rigid parts, both loops in step, instant release, no bounce, base at rest. Absolute times ± 30 % at best:
    friction, inertias and the definition of *closed* are seldom known. Comparative until calibrated.

    References
    ----------
    Own derivation (derived); that the jaws should run ahead of the spring is described in US patent 4,117,621
    (seen).

    """
    weight = np.asarray(trap.weight_moment, dtype=float) + np.multiply(cover_mass, cover_radius) * GRAVITY
    load = [
        np.asarray(trap.jaw_inertia, dtype=float) + np.multiply(cover_mass, np.square(cover_radius)) + added_inertia,
        weight * np.cos(tilt),
        np.asarray(drag, dtype=float),
        np.asarray(friction, dtype=float),
    ]
    start = np.asarray(trap.set_angle, dtype=float)
    contact, upright, turn = limb_angle(trap, limb), upright_angle(trap), reversal_angle(trap)
    shape = np.broadcast_shapes(
        *(
            np.shape(x)
            for x in (*load, start, contact, upright, turn, trap.loops, trap.loop_inertia, trap.spring_rate)
        )
    )
    shape = shape or (1,)
    column = [np.broadcast_to(x, shape)[..., None] for x in load]
    loaded = _Load(*column)
    start, contact, upright, turn = (np.broadcast_to(x, shape)[..., None] for x in (start, contact, upright, turn))
    wide = _columns(trap)
    state = _state(wide, start, contact, shape)
    good = (state == CLOSES)[..., None]
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        top = np.where(good, np.minimum(contact, upright - EDGE), start + 1.0)
        turn = np.where(good & (turn > start + EDGE) & (turn < top), turn, start + 0.3 * (top - start))
        half = max(9, nodes // 2)
        first = _attached(wide, loaded, start, turn, half, -1.0, None)
        second = _attached(wide, loaded, turn, top, half, 1.0, first)
        leaves = _separation(first, second)
        end = np.where(np.isnan(leaves), top, leaves)
        early = end <= turn
        first = _attached(wide, loaded, start, np.where(early, end, turn), half, -1.0, None)
        second = _attached(wide, loaded, np.where(early, end, turn), end, half, 1.0, first)
        flight = _free(loaded, end, np.where(good, contact, end), max(9, nodes // 5), second)
        angles = np.concatenate([first.angles, second.angles[..., 1:], flight.angles[..., 1:]], axis=-1)
        times = np.concatenate([first.times, second.times[..., 1:], flight.times[..., 1:]], axis=-1)
        squares = np.concatenate([first.square[..., 1:], second.square, flight.square], axis=-1)
        stuck = ~np.isfinite(times[..., -1]) | np.any(squares <= 0.0, axis=-1)
        past = np.isnan(leaves[..., 0]) & (top[..., 0] < contact[..., 0])
        state = np.where((state == CLOSES) & past, LEVER_PAST_VERTICAL, state)
        state = np.where((state == CLOSES) & stuck, STALLS, state)
        energy, again = _loops(wide, end, second, flight, contact, upright)
        rate = np.sqrt(flight.square[..., -1])
    fine = state == CLOSES

    def keep(values: Floats) -> Floats:
        return np.asarray(np.where(fine, np.broadcast_to(values, shape), np.nan))

    height = np.broadcast_to(np.asarray(trap.height, dtype=float), shape)
    inertia = np.broadcast_to(load[0], shape)
    rate = keep(rate)
    return Closing(
        time=keep(times[..., -1]),
        angle=keep(contact[..., 0]),
        rate=rate,
        tip_speed=rate * height,
        jaw_energy=inertia * rate**2,
        loop_energy=keep(energy[..., 0]),
        momentum=inertia * rate / height,
        separation_angle=keep(leaves[..., 0]),
        recontact=np.asarray(fine & again[..., 0]),
        angles=angles,
        times=times,
        height=height,
        state=np.asarray(state, dtype=np.int64),
    )


def _columns(trap: Trap) -> Trap:
    """The trap with every array a column, so that it broadcasts along a course."""

    def column(value: Number) -> Number:
        return value[..., None] if isinstance(value, np.ndarray) and value.ndim else value

    numbers = {field.name: column(getattr(trap, field.name)) for field in fields(trap) if field.name != "family"}
    return Trap(family=trap.family, **numbers)


def _state(trap: Trap, start: Floats, contact: Floats, shape: tuple[int, ...]) -> NDArray[np.int64]:
    with np.errstate(invalid="ignore", divide="ignore"):
        none = trap.clearance <= np.asarray(trap.loop_clearance)
        spent = spring_force(trap, loop_at(trap, start).coordinate) <= 0.0
        state = np.where(np.isnan(contact) | (contact <= start), NO_ROOM, CLOSES)
        state = np.where(spent, SPRING_SPENT, state)
        state = np.where(none, NO_CLEARANCE, state)
    return np.asarray(np.broadcast_to(state[..., 0] if state.ndim else state, shape), dtype=np.int64)


def _attached(
    trap: Trap, load: _Load, start: Floats, end: Floats, count: int, sign: float, before: _Stretch | None
) -> _Stretch:
    """The jaws on the loop from `start` to `end`; from rest when nothing was before."""
    x = np.linspace(0.0, 1.0, count)
    width = end - start
    angle, stretch = (
        (start + width * x**2, 2.0 * width * x) if before is None else (start + width * x, width + 0.0 * x)
    )
    loop = loop_at(trap, angle, slide_sign=sign if trap.family == LONG else None)
    ratio = 2.0 * resistance(trap, loop, load.friction) / arm_of_contact(trap, loop, load.friction)
    gravity = -load.weight * np.cos(angle)
    mass = trap.loops * trap.loop_inertia * loop.slope + ratio * load.inertia
    turn = trap.loops * trap.loop_inertia * loop.bend + ratio * load.drag
    drive = trap.loops * spring_force(trap, loop.coordinate) + ratio * gravity
    step = 1.0 / (count - 1)
    factor = running(2.0 * turn / mass * stretch, step)
    initial = 0.0 if before is None else before.square[..., -1:]
    square = np.exp(-factor) * (initial + running(np.exp(factor) * 2.0 * drive / mass * stretch, step))
    root = np.sqrt(square)
    slowness = stretch / root
    if before is None:
        slowness[..., 0] = (2.0 * np.sqrt(width / (2.0 * drive / mass)[..., :1]))[..., 0]
        times = running(slowness, step)
    else:
        times = before.times[..., -1:] + running(slowness, step)
    acceleration = (drive - turn * square) / mass
    push = load.inertia * acceleration + load.drag * square - gravity
    return _Stretch(angle, square, times, push)


def _separation(first: _Stretch, second: _Stretch) -> Floats:
    """First angle at which the push of the loop falls to zero, as a column; NaN where it never does."""
    angles = np.concatenate([first.angles, second.angles[..., 1:]], axis=-1)
    push = np.concatenate([first.push, second.push[..., 1:]], axis=-1)
    below = push <= 0.0
    index = np.argmax(below, axis=-1)[..., None]
    ever = np.any(below, axis=-1, keepdims=True) & (index > 0)
    before = np.maximum(index - 1, 0)
    p0, p1 = np.take_along_axis(push, before, -1), np.take_along_axis(push, index, -1)
    a0, a1 = np.take_along_axis(angles, before, -1), np.take_along_axis(angles, index, -1)
    return np.asarray(np.where(ever, a0 + (a1 - a0) * p0 / np.where(p0 == p1, 1.0, p0 - p1), np.nan))


def _free(load: _Load, start: Floats, end: Floats, count: int, before: _Stretch) -> _Stretch:
    """The jaws alone, slowed by weight and drag."""
    x = np.linspace(0.0, 1.0, count)
    width = end - start
    angle = start + width * x
    step = 1.0 / (count - 1)
    decay = 2.0 * load.drag / load.inertia * (angle - start)
    pull = running(np.exp(decay) * 2.0 * load.weight * np.cos(angle) / load.inertia * width, step)
    square = np.exp(-decay) * (before.square[..., -1:] - pull)
    times = before.times[..., -1:] + running(width / np.sqrt(square), step)
    return _Stretch(angle, square, times, np.zeros_like(square))


def _loops(
    trap: Trap, end: Floats, attached: _Stretch, flight: _Stretch, contact: Floats, upright: Floats
) -> tuple[Floats, NDArray[np.bool_]]:
    """Energy of all loops when they arrive, and whether they catch up with the jaws in flight, as columns."""
    leaving = loop_at(trap, end)
    speed = leaving.slope * np.sqrt(attached.square[..., -1:])
    seat = loop_at(trap, np.minimum(contact, upright - EDGE)).coordinate
    rate = np.asarray(trap.spring_rate, dtype=float)
    free = np.asarray(trap.free_coordinate, dtype=float)
    upper = np.minimum(seat, free)
    work = 0.5 * rate * ((free - leaving.coordinate) ** 2 - (free - upper) ** 2)
    energy = trap.loops * (0.5 * trap.loop_inertia * speed**2 + work)
    beat = np.sqrt(rate / trap.loop_inertia)
    since = flight.times - flight.times[..., :1]
    swing = free - (free - leaving.coordinate) * np.cos(beat * since) + speed / beat * np.sin(beat * since)
    lowest = np.minimum(flight.angles, upright - EDGE)
    jaw = loop_at(trap, lowest).coordinate
    reach = np.abs(seat - leaving.coordinate) * 1e-6 + 1e-12
    again = np.any((swing > jaw + reach) & (flight.angles < upright - EDGE), axis=-1, keepdims=True)
    return np.asarray(energy), np.asarray(again)
