"""Both jaws by themselves: a dog that holds its jaw back, and a bed that tilts across the hinges."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.trap.loop import Loop, arm_of_contact, loop_at, resistance, upright_angle
from setwright.trap.model import GRAVITY, LONG, SLOT, Floats, Trap
from setwright.trap.motion import CLOSES, NOT_KNOWN, NOT_RESOLVED, STALLS
from setwright.trap.springs import spring_effort

# Steps over twice the time in which both jaws would close together.
STEPS = 600
_SLOWEST = 0.2


@dataclass(frozen=True)
class TwoJaws:
    """Answer of `release`, each of the broadcast shape (n,), NaN where the jaws do not meet.

    Parameters
    ----------
    time : [s]
        From the moment the pan lets the dog go until both faces meet, or meet the limb.
    angle, rate : shape (2, n), [rad], [rad/s]
        Of the dogged jaw and of the loose jaw at the meeting.
    lead : [rad]
        By how much the loose jaw is ahead of the dogged jaw when the dog lets go.
    separation_time : [s]
        When the loop stops pressing on the jaws; NaN when it presses to the end.
    angles, rates, times : shapes (2, n, steps), (2, n, steps), (n, steps), [rad], [rad/s], [s]
        The motion until the meeting; NaN after it.
    presses : shape (2, n, steps), [N]
        Contact force of one loop on each jaw at those times; zero once the jaws have left it.
    state : int
        Code; `motion.STATE_NAMES` has the words.

    """

    time: Floats
    angle: Floats
    rate: Floats
    lead: Floats
    separation_time: Floats
    angles: Floats
    rates: Floats
    times: Floats
    presses: Floats
    state: NDArray[np.int_]


def release(
    trap: Trap,
    *,
    friction: ArrayLike,
    delay: ArrayLike = 0.0,
    limb: ArrayLike = 0.0,
    cover_mass: ArrayLike = 0.0,
    cover_radius: ArrayLike = 0.0,
    added_inertia: ArrayLike = 0.0,
    drag: ArrayLike = 0.0,
    tilt: ArrayLike = 0.0,
    steps: int = STEPS,
) -> TwoJaws:
    """Close the trap with each jaw on its own.

    Parameters
    ----------
    trap : Trap
        Parameters of one or n designs.
    friction : float or array [-]
        Coulomb friction of loop on jaw.
    delay : float or array [s]
        For how long the dog keeps the dogged jaw down after the pan has let it go.
    limb : float or array [m]
        Thickness of what stands between the jaws and gives way sideways; 0 for empty closure.
    cover_mass, cover_radius : float or array [kg], [m]
        Loose cover lifted by each jaw, and its distance from the hinge.
    added_inertia, drag : float or array [kg m²], [N m s²]
        Water that moves with one jaw (`closing.water_terms`).
    tilt : float or array [rad]
        Tilt of the bed across the hinges; positive raises the side of the loose jaw.
    steps : int
        Steps of the motion, at least 100.

    Returns
    -------
    TwoJaws
        With states instead of exceptions: `STALLS`, `NOT_KNOWN`, and `NOT_RESOLVED` where one jaw stands
        upright while the loop still presses on it.

    Raises
    ------
    OutOfRange
        For a negative friction, delay, load, and fewer than 100 steps.

    Notes
    -----
    Assumed: the eye has no play sideways but rolls freely on its lever or ring, so that it presses both jaws
    with the same effort T and stands at the mean of the heights that both jaws ask for. Then
    J θ̈_i = n T s*_i/G_i + τ_i, M q̈ = P − 2 T and q̈ follows from both jaws; T < 0 never happens, because the
    loop lets go of both jaws there. While the dog holds one jaw, the other rises alone. Without delay and
    tilt this is the motion of `closing.close`. The delay itself is an input that only high-speed pictures
    can tell; a clean dog takes well under a millisecond (assumed).

    Fourth-order Runge-Kutta steps in time.

    References
    ----------
    Equations: derived.

    """
    if steps < 100:
        raise OutOfRange("too few steps for the motion", field="steps", found=steps, allowed="from 100")
    given = {
        "friction": friction, "delay": delay, "limb": limb, "cover_mass": cover_mass, "cover_radius": cover_radius,
        "added_inertia": added_inertia, "drag": drag,
    }  # fmt: skip
    for name, value in given.items():
        if bool((np.asarray(value, dtype=float) < 0).any()):
            raise OutOfRange("this must not be negative", field=name, found=float(np.nanmin(value)))
    lifted = np.asarray(cover_mass, dtype=float) * np.asarray(cover_radius, dtype=float)
    load = _Load(
        friction=np.asarray(friction, dtype=float),
        inertia=np.asarray(trap.jaw_inertia + lifted * np.asarray(cover_radius) + np.asarray(added_inertia)),
        weight=np.asarray(trap.weight_moment + GRAVITY * lifted),
        drag=np.asarray(drag, dtype=float),
        tilt=np.asarray(tilt, dtype=float),
        delay=np.asarray(delay, dtype=float),
    )
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        return _run(trap, load, np.asarray(limb, dtype=float), steps)


@dataclass(frozen=True)
class _Load:
    friction: Floats
    inertia: Floats
    weight: Floats
    drag: Floats
    tilt: Floats
    delay: Floats


def _run(trap: Trap, load: _Load, limb: Floats, steps: int) -> TwoJaws:
    start = np.asarray(trap.set_angle, dtype=float)
    shape = np.broadcast_shapes(
        np.shape(trap.jaw_inertia), np.shape(trap.height), np.shape(trap.spring_rate),
        np.shape(trap.eye_half_opening),
        start.shape, load.friction.shape, load.inertia.shape, load.drag.shape, load.tilt.shape, load.delay.shape,
        limb.shape, load.weight.shape,
    )  # fmt: skip
    scale = _scale_of_time(trap, load)
    step = (np.minimum(scale, _SLOWEST) * np.ones(shape) * 2.0 + load.delay) / steps
    state = np.zeros((4, *shape))
    state[:2] = start
    pressed = np.ones(shape, dtype=bool)
    left = np.full(shape, np.nan)
    met = np.zeros(shape, dtype=bool)
    resolved = np.ones(shape, dtype=bool)
    time, answer, lead = np.full(shape, np.nan), np.full((4, *shape), np.nan), np.full(shape, np.nan)
    path, presses = np.full((4, *shape, steps + 1), np.nan), np.full((2, *shape, steps + 1), np.nan)
    times = np.full((*shape, steps + 1), np.nan)
    path[..., 0], times[..., 0] = state, 0.0
    pushed, paced = np.zeros(shape), np.zeros(shape)
    reach = 0.5 * np.maximum(limb - trap.offset_gap, 0.0)
    upright = upright_angle(trap)
    clock = np.zeros(shape)
    before = _gap(trap, state, reach)
    for count in range(steps):
        # A step that ends where the dog lets go keeps the order of the method.
        waits = clock < load.delay
        pace = np.where(waits, np.minimum(step, load.delay - clock), step)
        moved, effort, press = _step(trap, load, state, pace, pressed, waits)
        parts = pressed & (effort < 0)
        presses[..., count] = np.where(met | parts, np.where(met, np.nan, 0.0), press)
        # The push falls to nothing between the head of the last step and the head of this one.
        ago = np.where(parts, -effort / np.where(pushed > effort, pushed - effort, 1.0), 0.0)
        left = np.where(parts & ~met, clock - ago * paced, left)
        pushed, paced = effort, pace
        pressed = pressed & ~parts
        now = _gap(trap, moved, reach)
        meets = ~met & (now <= 0)
        share = _root(before, now, _closing_rate(trap, state) * pace, _closing_rate(trap, moved) * pace)
        at = state + (moved - state) * share
        time = np.where(meets, clock + share * pace, time)
        answer = np.where(meets, at, answer)
        ends = waits & ~(clock + pace < load.delay)
        lead = np.where(ends, moved[1] - moved[0], lead)
        met = met | meets
        resolved = resolved & ~(pressed & ~met & (moved[:2] >= upright).any(axis=0))
        state, clock, before = moved, clock + pace, now
        path[..., count + 1] = np.where(met, np.nan, state)
        times[..., count + 1] = np.where(met, np.nan, clock)
        if bool(met.all()):
            break
    known = np.isfinite(step) & np.isfinite(before)
    rests = np.isinf(scale) & np.ones(shape, dtype=bool)
    code = np.select([rests, ~known, ~resolved, ~met], [STALLS, NOT_KNOWN, NOT_RESOLVED, STALLS], CLOSES)
    good = code == CLOSES
    return TwoJaws(
        time=np.where(good, time, np.nan),
        angle=np.where(good, answer[:2], np.nan),
        rate=np.where(good, answer[2:], np.nan),
        lead=np.where(good, np.where(load.delay > 0, lead, 0.0), np.nan),
        separation_time=np.where(good, left, np.nan),
        angles=np.where(good[..., None], path[:2], np.nan),
        rates=np.where(good[..., None], path[2:], np.nan),
        times=np.where(good[..., None], times, np.nan),
        presses=np.where(good[..., None], presses, np.nan),
        state=np.asarray(code, dtype=int),
    )


def _scale_of_time(trap: Trap, load: _Load) -> Floats:
    """Time [s] in which the jaws would close with the drive they have when set; infinite when they stay down."""
    loop = loop_at(trap, trap.set_angle)
    ratio = 2.0 * resistance(trap, loop, load.friction) / arm_of_contact(trap, loop, load.friction)
    effort = spring_effort(trap.spring_rate, trap.free_coordinate, loop.coordinate)
    inertia = trap.loops * trap.loop_inertia * loop.slope + ratio * load.inertia
    drive = (trap.loops * effort - ratio * load.weight) / inertia
    time = np.minimum(np.sqrt(np.pi / np.where(drive > 0, drive, 1.0)), _SLOWEST)
    return np.where(drive > 0, time, np.where(np.isnan(drive), np.nan, np.inf))


def _gap(trap: Trap, state: Floats, reach: Floats) -> Floats:
    """Way that both faces still have to each other, or to the limb between them [m]."""
    across = trap.height * np.cos(state[:2]) - trap.face_offset * np.sin(state[:2])
    return np.asarray(2.0 * (trap.hinge_half_distance - reach) + across[0] + across[1])


def _closing_rate(trap: Trap, state: Floats) -> Floats:
    """Rate of that way [m/s]."""
    turn = trap.height * np.sin(state[:2]) + trap.face_offset * np.cos(state[:2])
    return np.asarray(-(turn * state[2:]).sum(axis=0))


def _root(before: Floats, now: Floats, slope: Floats, slope_now: Floats) -> Floats:
    """Share of the step at which the way is gone: cubic through both ends, some Newton steps."""
    share = np.clip(before / np.where(before != now, before - now, 1.0), 0.0, 1.0)
    for _ in range(4):
        rest = 1.0 - share
        value = (
            before * (1 + 2 * share) * rest**2 + now * share**2 * (3 - 2 * share)
            + share * rest * (slope * rest - slope_now * share)
        )  # fmt: skip
        turn = (
            6.0 * share * rest * (now - before) + slope * rest * (1 - 3 * share) - slope_now * share * (2 - 3 * share)
        )
        share = np.clip(share - np.where(turn < 0, value / turn, 0.0), 0.0, 1.0)
    return np.asarray(share)


def _step(
    trap: Trap, load: _Load, state: Floats, pace: Floats, pressed: NDArray[np.bool_], waits: NDArray[np.bool_]
) -> tuple[Floats, Floats, Floats]:
    """One step of the method; effort of the loop and its contact forces at the head of the step."""
    one, effort, press = _motion(trap, load, state, pressed, waits)
    two, _, _ = _motion(trap, load, state + 0.5 * pace * one, pressed, waits)
    three, _, _ = _motion(trap, load, state + 0.5 * pace * two, pressed, waits)
    four, _, _ = _motion(trap, load, state + pace * three, pressed, waits)
    return state + pace / 6.0 * (one + 2.0 * two + 2.0 * three + four), effort, press


def _gain(trap: Trap, cosine: Floats) -> Floats:
    """Rise of the eye per turn of its lever [m]; 1 for a long-spring."""
    if trap.family == LONG:
        return np.ones_like(cosine)
    power = -2 if trap.eye == SLOT else 1
    return np.asarray(trap.lever_length * cosine**power)


def _eye(trap: Trap, height: Floats) -> tuple[Floats, Floats, Floats]:
    """Loop coordinate of an eye at a height [m], and its first and second derivative by that height."""
    if trap.family == LONG:
        return height, np.ones_like(height), np.zeros_like(height)
    slant = (height - trap.pivot_height) / trap.lever_length
    if trap.eye == SLOT:
        cosine = 1.0 / np.sqrt(1.0 + slant**2)
        first = 1.0 / _gain(trap, cosine)
        return np.arctan(slant), first, -2.0 * slant * first**2
    cosine = np.sqrt(np.maximum(1.0 - slant**2, 1e-18))
    first = 1.0 / _gain(trap, cosine)
    return np.arcsin(np.clip(slant, -1.0, 1.0)), first, slant / cosine * first**2


def _motion(
    trap: Trap, load: _Load, state: Floats, pressed: NDArray[np.bool_], waits: NDArray[np.bool_]
) -> tuple[Floats, Floats, Floats]:
    """Rates of both angles and both jaw rates; effort T with which the loop presses each jaw, and the force."""
    theta, omega = state[:2], state[2:]
    side = np.stack([-load.tilt * np.ones(theta.shape[1:]), load.tilt * np.ones(theta.shape[1:])])
    torque = -load.weight * np.cos(theta + side) - load.drag * omega * np.abs(omega)
    held = np.stack([waits, np.zeros_like(waits)])
    # A jaw that the dog holds does not move, whatever presses it.
    yields = np.where(held, 0.0, 1.0 / load.inertia)
    if not bool(pressed.any()):
        return (
            np.concatenate((np.where(held, 0.0, omega), torque * yields)),
            np.zeros(theta.shape[1:]),
            np.zeros(theta.shape),
        )
    jaws: Loop = loop_at(trap, theta)
    rise = jaws.reach / jaws.cosine
    curve = (2.0 * jaws.reach * jaws.sine - trap.loop_clearance * jaws.cosine) / jaws.cosine**2
    height = ((trap.clearance * jaws.sine - trap.loop_clearance) / jaws.cosine).mean(axis=0)
    coordinate, first, second = _eye(trap, height)
    force = _gain(trap, jaws.lever_cosine) * first / resistance(trap, jaws, load.friction)
    press = arm_of_contact(trap, jaws, load.friction) * force
    spring = spring_effort(trap.spring_rate, trap.free_coordinate, coordinate)
    share = 0.5 * rise * first
    bend = first * (curve * omega**2).mean(axis=0) + second * (rise * omega).mean(axis=0) ** 2
    inertia = trap.loop_inertia
    driven = spring - inertia * ((share * yields * torque).sum(axis=0) + bend)
    effort = driven / (2.0 + inertia * trap.loops * (share * press * yields).sum(axis=0))
    effort = np.where(pressed, effort, 0.0)
    turn = (trap.loops * np.maximum(effort, 0.0) * press + torque) * yields
    # Past the vertical the geometry of the loop means nothing; a jaw that flies does not need it.
    turn = np.where(pressed, turn, torque * yields)
    return np.concatenate((np.where(held, 0.0, omega), turn)), effort, effort * force
