"""What designs would have shown to each reading: the forward model of the bench."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from setwright.basis.errors import OutOfRange
from setwright.trap.closing import close
from setwright.trap.loop import EDGE, Loop, arm_of_contact, limb_angle, loop_at, resistance, upright_angle
from setwright.trap.model import LONG, SLOT, Floats, Trap
from setwright.trap.readings import AT_LEAST, Reading
from setwright.trap.springs import spring_effort
from setwright.trap.unknowns import Design

# A logistic curve of this steepness lies within 0.01 of the normal distribution function everywhere.
LOGISTIC = 1.702
# Times to 3 parts in 10,000 with these, far below the error of any video.
NODES = 25
# Compared as one over the force, which goes smoothly through zero where the trap begins to lock.
_RECIPROCAL = ("opening_force",)
# Compared as a sine, which goes smoothly up to the vertical.
_SINE = ("empty_lever_angle",)
_ROUNDED_SINE = 0.005
_ROUNDED_HEIGHT = 0.0005


@dataclass(frozen=True)
class _Bench:
    """A design on the bench; the motion is solved once, and only when a reading asks for it."""

    design: Design
    nodes: int

    @cached_property
    def closing_time(self) -> Floats:
        found = close(self.design.trap, friction=self.design.friction, nodes=self.nodes)
        return np.asarray(found.time * self.design.time_factor)


def predict(design: Design, readings: Sequence[Reading], *, nodes: int = NODES) -> Floats:
    """Value that every reading would have on every design, free of error.

    Parameters
    ----------
    design : Design
        n designs of one trap.
    readings : sequence of Reading
        With their settings; their values are not used.
    nodes : int
        Nodes of the motion.

    Returns
    -------
    array, shape (n, readings)
        In the unit of each kind; NaN where the design cannot be brought into that position, inf for the
        opening force of a trap that locks.

    Notes
    -----
    Spread: S inside at the pan and at the widest; S + 2 × face width outside, because the flat jaw lies with
    its face up. Lever force: P(φ)/(x cos φ) at the distance x, the lever off the jaws; of a long-spring P(h).
    Loop creeping down under an extra force on the lever and a force F on each bar: with the contact force
    N = F H/(n s*), P + 2 N |G| or P − 2 N G as the sign of G has it. One over the opening force is
    2 G H/(n P s*), zero or less where it locks.

    """
    bench = _Bench(design, nodes)
    columns = []
    for reading in readings:
        column = _feature(bench, reading)
        if reading.kind in _SINE:
            column = np.arcsin(np.minimum(column, 1.0))
        if reading.kind in _RECIPROCAL:
            with np.errstate(divide="ignore"):
                column = np.where(column > 0.0, 1.0 / column, np.where(np.isnan(column), np.nan, np.inf))
        columns.append(column)
    return _columns(columns, design)


def misfits(design: Design, readings: Sequence[Reading], *, nodes: int = NODES) -> Floats:
    """Predicted less read, in standard deviations; for a bound, what stands for it in a sum of squares.

    Parameters
    ----------
    design : Design
        n designs of one trap.
    readings : sequence of Reading
        As read.
    nodes : int
        Nodes of the motion.

    Returns
    -------
    array, shape (n, readings) [-]
        Infinite where the design cannot show such a reading.

    Notes
    -----
    Opening forces are compared as one over the force, the empty lever by its sine. A bound adds −2 ln Φ(z) to
    the sum of squares, Φ by a logistic curve within 0.01 of the normal one.

    """
    bench = _Bench(design, nodes)
    columns = []
    for reading in readings:
        found = _feature(bench, reading)
        if reading.kind in _RECIPROCAL:
            score = (1.0 / reading.value - found) * reading.value**2 / reading.sd
        elif reading.kind in _SINE:
            score = (found - np.sin(reading.value)) / _sine_sd(reading)
        else:
            score = (found - reading.value) / reading.sd
        if reading.bound == AT_LEAST:
            known = np.where(np.isfinite(score), np.clip(score, -1e6, 1e6), -1e6)
            score = np.sqrt(2.0 * np.logaddexp(0.0, -LOGISTIC * known))
        columns.append(np.where(np.isfinite(score), score, np.inf))
    return _columns(columns, design)


def _sine_sd(reading: Reading) -> float:
    """Deviation of the sine of an angle that was read, the curve near the vertical counted in."""
    return float(np.hypot(reading.sd * np.cos(reading.value), reading.sd**2 / np.sqrt(2.0)) + _ROUNDED_SINE * 0.2)


def _columns(columns: list[Floats], design: Design) -> Floats:
    shape = design.friction.shape
    return np.stack([np.broadcast_to(one, shape) for one in columns], axis=-1) if columns else np.empty((*shape, 0))


def _feature(bench: _Bench, reading: Reading) -> Floats:
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        return np.asarray(_FEATURES[reading.kind](bench, reading), dtype=float)


def _field(name: str) -> Callable[[_Bench, Reading], Floats]:
    def read(bench: _Bench, reading: Reading) -> Floats:
        value = getattr(bench.design.dimensions, name)
        if value is None:
            raise OutOfRange("the trap has no such part", field=reading.kind)
        return np.asarray(value, dtype=float)

    return read


def _spread_outside(bench: _Bench, _: Reading) -> Floats:
    return np.asarray(bench.design.spread + 2.0 * np.asarray(bench.design.dimensions.face_width, dtype=float))


def _coil_outside(bench: _Bench, _: Reading) -> Floats:
    wire, coil = bench.design.dimensions.wire_diameter, bench.design.dimensions.coil_diameter
    return np.asarray(np.asarray(wire, dtype=float) + np.asarray(coil, dtype=float))


def _lever(bench: _Bench, reading: Reading) -> tuple[Floats, Floats]:
    """Lever angle [rad] (or height of the eye [m]) at which it was held, and lever arm of the press [m]."""
    trap = bench.design.trap
    length = np.asarray(trap.lever_length, dtype=float)
    rise = (reading.eye_height or 0.0) - (reading.base_height or 0.0)
    if trap.family == LONG:
        return np.full(length.shape, rise), np.ones_like(length)
    if reading.lever_angle is not None:
        angle = np.full(np.broadcast_shapes(length.shape, bench.design.friction.shape), reading.lever_angle)
    else:
        angle = np.arctan2(rise, length) if trap.eye == SLOT else np.arcsin(rise / length)
    return angle, (length if reading.distance is None else reading.distance) * np.cos(angle)


def _lever_force(bench: _Bench, reading: Reading) -> Floats:
    trap = bench.design.trap
    coordinate, arm = _lever(bench, reading)
    return np.asarray(spring_effort(trap.spring_rate, trap.free_coordinate, coordinate) / arm)


def _softly(limits: list[Floats], width: float) -> Floats:
    """The least of some limits, rounded over `width`: parts that end a way do not end it sharply."""
    every = np.stack(np.broadcast_arrays(*limits))
    least = np.min(every, axis=0)
    return np.asarray(least - width * np.log(np.sum(np.exp((least - every) / width), axis=0)))


def _empty_lever_sine(bench: _Bench, _: Reading) -> Floats:
    """Sine of the lever of the closed empty trap: where jaws, spring or the vertical end its way."""
    trap = bench.design.trap
    length = np.asarray(trap.lever_length, dtype=float)
    rise = _height_at(trap, limb_angle(trap, 0.0)) - trap.pivot_height
    jaws = rise / np.hypot(rise, length) if trap.eye == SLOT else rise / length
    spent = np.sin(np.minimum(trap.free_coordinate, 0.5 * np.pi))
    return _softly([jaws, spent, np.ones_like(jaws)], _ROUNDED_SINE)


def _empty_eye_height(bench: _Bench, reading: Reading) -> Floats:
    trap = bench.design.trap
    jaws = _height_at(trap, limb_angle(trap, 0.0))
    return _softly([jaws, np.asarray(trap.free_coordinate)], _ROUNDED_HEIGHT) + (reading.base_height or 0.0)


def _height_at(trap: Trap, angle: Floats) -> Floats:
    """Height [m] of the loop over the hinge line, without end where its edge would stand upright."""
    alpha = np.minimum(angle - trap.bevel, 0.5 * np.pi - EDGE)
    return np.asarray((trap.clearance * np.sin(alpha) - trap.loop_clearance) / np.cos(alpha))


def _on_dowel(bench: _Bench, reading: Reading) -> tuple[Loop, Floats, Floats, Floats]:
    """Loop on the dowel, its spring, G and s* with the loop about to slide down; NaN where it cannot get there."""
    trap, mu = bench.design.trap, bench.design.friction
    angle = limb_angle(trap, reading.dowel or 0.0)
    loop = loop_at(trap, np.where(angle < upright_angle(trap) - EDGE, angle, np.nan))
    effort = spring_effort(trap.spring_rate, trap.free_coordinate, loop.coordinate)
    return loop, effort, resistance(trap, loop, -mu), arm_of_contact(trap, loop, -mu)


def _opening_compliance(bench: _Bench, reading: Reading) -> Floats:
    trap = bench.design.trap
    _, effort, hard, arm = _on_dowel(bench, reading)
    # Without a spring there the jaws hang loose, whatever the angle.
    return np.where(effort > 0.0, 2.0 * hard * trap.height / (trap.loops * effort * arm), effort + np.inf)


def _creep_force(bench: _Bench, reading: Reading) -> Floats:
    trap = bench.design.trap
    loop, effort, hard, arm = _on_dowel(bench, reading)
    contact = (reading.bar_force or 0.0) * trap.height / (trap.loops * arm)
    if trap.family == LONG:
        return np.asarray(effort - 2.0 * contact * hard)
    length = trap.lever_length / loop.lever_cosine if trap.eye == SLOT else trap.lever_length
    reach = (length if reading.distance is None else reading.distance) * loop.lever_cosine
    return np.asarray((effort - 2.0 * contact * hard) / reach)


_FEATURES: Mapping[str, Callable[[_Bench, Reading], Floats]] = {
    "spread": lambda bench, _: bench.design.spread,
    "spread at the widest": lambda bench, _: bench.design.spread,
    "spread outside": _spread_outside,
    "jaw_height": lambda bench, _: np.asarray(bench.design.trap.height),
    "face_width": _field("face_width"),
    "leg_thickness": _field("leg_thickness"),
    "eye_opening": lambda bench, _: 2.0 * np.asarray(bench.design.trap.eye_half_opening),
    "bevel": _field("bevel"),
    "set_angle": _field("set_angle"),
    "wire_diameter": _field("wire_diameter"),
    "coil_outside": _coil_outside,
    "coil_turns": _field("coil_turns"),
    "lever_length": _field("lever_length"),
    "pivot_drop": _field("pivot_drop"),
    "lever_mass": _field("lever_mass"),
    "leaf_width": _field("leaf_width"),
    "leaf_thickness": _field("leaf_thickness"),
    "leaf_arm": _field("leaf_arm"),
    "leaf_bend": _field("leaf_bend"),
    "leaf_lift": _field("leaf_lift"),
    "ring_mass": _field("ring_mass"),
    "spring_rate": lambda bench, _: bench.design.rate_at_eye,
    "lever_force": _lever_force,
    "empty_lever_angle": _empty_lever_sine,
    "empty_eye_height": _empty_eye_height,
    "opening_force": _opening_compliance,
    "creep_force": _creep_force,
    "jaw_mass": lambda bench, _: bench.design.jaw_mass,
    "mass": _field("mass"),
    "pan_pull": lambda bench, _: bench.design.trip_force,
    "closing_time": lambda bench, _: bench.closing_time,
}
