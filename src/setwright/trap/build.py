"""From caliper readings to the parameters of the closing."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from setwright.basis.errors import OutOfRange
from setwright.trap import springs
from setwright.trap.loop import loop_at
from setwright.trap.model import (
    COIL,
    GRAVITY,
    INSIDE,
    LONG,
    OUTSIDE,
    STEEL_DENSITY,
    Dimensions,
    Floats,
    Number,
    Trap,
)

BAR_SHARE = 0.85
LAMINATION_SHARE = 0.8
PAD_DENSITY = 1150.0
# A second bar of a double jaw, of the same section, at this share of the height.
DOUBLE_SHARE = 0.8
# Share of the mass of a bent arm that moves as if it sat at the eye (0.236 for a clamped beam).
ARM_SHARE = 0.24
HINGE_PLAY = 0.0005


def build(dimensions: Dimensions) -> Trap:
    """Parameters of the closing from caliper readings.

    Parameters
    ----------
    dimensions : Dimensions
        Readings in SI; floats or arrays of n designs.

    Returns
    -------
    Trap
        Jaw inertia J = ρA(2H³/3 + W H²) plus added strips, height H = S/2 − a, bar W = 0.85 S, and the
        springs with the loop they move.

    Raises
    ------
    OutOfRange
        When the family's own readings are missing, or `springs` does not fit the family.

    Notes
    -----
    Jaws are taken as two straight legs and a bar of even section. The rest position of a coil is
    taken from the stress at which springs are set; that of a long-spring from its lift.

    References
    ----------
    Geometry and spring choice: derived and assumed. Taper of a leaf: Harding, *Steel Traps* (seen).

    """
    if dimensions.family == COIL:
        return _coil(dimensions)
    if dimensions.family == LONG:
        return _long(dimensions)
    raise OutOfRange("no such family of traps", field="family", found=dimensions.family, allowed="coil, long")


def _read(dimensions: Dimensions, name: str) -> Number:
    value: Number | None = getattr(dimensions, name)
    if value is None:
        raise OutOfRange(f"a {dimensions.family}-spring trap needs this reading", field=name)
    return value


def _jaws(dimensions: Dimensions) -> dict[str, Number]:
    """Fields of Trap that both families take from the jaws."""
    face, thick = dimensions.face_width, dimensions.leg_thickness
    a = dimensions.hinge_half_distance
    a = 0.5 * thick + HINGE_PLAY if a is None else a
    height = 0.5 * dimensions.spread - a
    bar = BAR_SHARE * dimensions.spread
    per_length = STEEL_DENSITY * face * thick
    inertia = per_length * (2.0 * height**3 / 3.0 + bar * height**2)
    moment = per_length * (height**2 + bar * height)
    strip = STEEL_DENSITY * dimensions.lamination_width * dimensions.lamination_thickness * LAMINATION_SHARE * bar
    pad = PAD_DENSITY * dimensions.pad_width * dimensions.pad_thickness * bar
    strip_radius = height + _strip_shift(dimensions)
    inertia = inertia + strip * strip_radius**2 + pad * height**2
    moment = moment + strip * strip_radius + pad * height
    if dimensions.jaw_kind == "double":
        inertia = inertia + per_length * bar * (DOUBLE_SHARE * height) ** 2
        moment = moment + per_length * bar * DOUBLE_SHARE * height
    return {
        "hinge_half_distance": a,
        "eye_half_opening": dimensions.eye_half_opening,
        "loop_clearance": dimensions.loop_clearance,
        "bearing_offset": 0.5 * thick,
        "face_offset": 0.5 * thick + dimensions.pad_thickness,
        "offset_gap": dimensions.offset_gap,
        "height": height,
        "face_length": bar,
        "face_width": np.maximum(face + dimensions.lamination_width, dimensions.pad_width),
        "bar_width": face + dimensions.lamination_width,
        "bevel": dimensions.bevel,
        "set_angle": dimensions.set_angle,
        "jaw_inertia": inertia,
        "weight_moment": moment * GRAVITY,
    }


def _strip_shift(dimensions: Dimensions) -> Number:
    """Middle of a lamination beyond the middle of the bar [m]; none where its side is not known."""
    side = dimensions.lamination_side
    if side not in (None, INSIDE, OUTSIDE):
        raise OutOfRange(
            "no such side of a jaw", field="lamination_side", found=side, allowed=f"{INSIDE}, {OUTSIDE}"
        )  # fmt: skip
    half = 0.5 * np.add(dimensions.face_width, dimensions.lamination_width)
    return 0.0 if side is None else np.where(side == INSIDE, -half, half)


def clear_spread(dimensions: Dimensions) -> Floats:
    """Opening of the set trap between the strips of its jaws [m].

    Parameters
    ----------
    dimensions : Dimensions
        Readings; `spread` is taken inside the jaws, without the strip.

    Returns
    -------
    array [m]
        The spread, less two widths of strip when the strip lies inside; NaN where a strip is there and its side
        is not known.

    """
    spread, strip = (np.asarray(value, dtype=float) for value in (dimensions.spread, dimensions.lamination_width))
    if dimensions.lamination_side is None:
        return np.where(strip > 0.0, np.nan, spread)
    return np.asarray(spread - (2.0 * strip if dimensions.lamination_side == INSIDE else 0.0 * strip))


def _set_coordinate(trap: Trap) -> Floats:
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        return loop_at(trap, trap.set_angle).coordinate


def _coil(dimensions: Dimensions) -> Trap:
    if dimensions.springs not in (2, 4):
        raise OutOfRange("a coil-spring trap has 2 or 4 coils", field="springs", found=dimensions.springs)
    wire, coil = _read(dimensions, "wire_diameter"), _read(dimensions, "coil_diameter")
    length = _read(dimensions, "lever_length")
    mass = _read(dimensions, "lever_mass")
    per_loop = dimensions.springs // 2
    turns = springs.active_turns(dimensions.coil_turns, coil, np.multiply(2.0, dimensions.coil_leg))
    rate = springs.coil_rate(wire, coil, turns) / (2.0 * np.pi)
    strength = springs.wire_strength(wire)
    stress = dimensions.set_stress_share * strength
    travel = springs.coil_moment(stress, wire, coil) / rate
    used = rate if dimensions.spring_rate is None else dimensions.spring_rate * np.multiply(length, length)
    coil_mass = STEEL_DENSITY * 0.25 * np.pi * np.square(wire) * np.pi * coil * dimensions.coil_turns
    inertia = mass * np.square(length) / 3.0 + per_loop * coil_mass * np.square(0.5 * coil) / 3.0
    common: dict[str, Any] = {
        **_jaws(dimensions),
        "loops": 2.0,
        "loop_inertia": inertia,
        "lever_length": length,
        "pivot_height": -_read(dimensions, "pivot_drop"),
        "spring_rate": per_loop * used * dimensions.spring_health,
        "set_stress": stress * (used * dimensions.spring_health / rate),
        "strength": strength,
    }
    first = Trap(family=COIL, eye=dimensions.eye, free_coordinate=0.0, **common)
    return replace(first, free_coordinate=_set_coordinate(first) + travel)


def _long(dimensions: Dimensions) -> Trap:
    if dimensions.springs not in (1, 2):
        raise OutOfRange("a long-spring trap has 1 or 2 springs", field="springs", found=dimensions.springs)
    width, thick = _read(dimensions, "leaf_width"), _read(dimensions, "leaf_thickness")
    arm, bend = _read(dimensions, "leaf_arm"), _read(dimensions, "leaf_bend")
    lift = _read(dimensions, "leaf_lift")
    rate = springs.leaf_rate(width, thick, arm, bend, taper=dimensions.arm_taper)
    used = (rate if dimensions.spring_rate is None else dimensions.spring_rate) * dimensions.spring_health
    common: dict[str, Any] = {
        **_jaws(dimensions),
        "loops": float(dimensions.springs),
        "loop_inertia": ARM_SHARE * STEEL_DENSITY * width * thick * arm + dimensions.ring_mass,
        "spring_rate": used,
        "set_stress": springs.leaf_stress(used * lift, width, thick, arm, bend),
    }
    first = Trap(family=LONG, free_coordinate=0.0, **common)
    return replace(first, free_coordinate=_set_coordinate(first) + lift)
