"""Units of the trap room: records with a unit to each number, figures in SI inside the code, what is not held.

A figure in SI inside the code wants a line in `CONSTANTS`; `dimension_specs.py` has the calls.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from setwright.trap import flight, guard, model, strength

# Figures in SI that stand inside the code: module, name (or function.argument for a default), unit, why.
CONSTANTS = {
    ("closing", "GRAVITY"): ("m/s**2", "weight of the cover"),
    ("trigger", "GRAVITY"): ("m/s**2", "weight of the pan"),
    ("build", "GRAVITY"): ("m/s**2", "weight of the jaws"),
    ("release", "GRAVITY"): ("m/s**2", "weight of the cover"),
    ("setting", "GRAVITY"): ("m/s**2", "weight of whoever sets"),
    ("build", "STEEL_DENSITY"): ("kg/m**3", "mass of bars, leaves and coils"),
    ("build", "PAD_DENSITY"): ("kg/m**3", "mass of pads"),
    ("build", "HINGE_PLAY"): ("m", "hinge distance that nobody measured"),
    ("holding", "LEAST_WIDTH"): ("m", "no edge is sharper on what is soft"),
    ("springs", "WIRE_STRENGTH"): ("Pa*m**0.145", "table of wire, diameters in mm"),
    ("springs", "coil_rate.modulus"): ("Pa", "steel"),
    ("springs", "leaf_rate.modulus"): ("Pa", "steel"),
    ("spring_check", "check_coil.modulus"): ("Pa", "steel"),
    ("spring_check", "check_leaf.modulus"): ("Pa", "steel"),
    ("release", "_SLOWEST"): ("s", "longest time that is stepped through"),
}

# Not held here, with the reason. A whole module, or one function.
APART = {
    "lanes": "inside of `close`, which is held with the engine numba",
    "disagree": "statistics of readings in SI",
    "calibrate": "statistics of readings in SI against a table of errors in SI",
    "posterior": "statistics of standard scores",
    "unknowns": "turns standard scores into readings in SI, with bands from tables in SI",
    "weigh": "statistics of standard scores",
    "fit": "least squares of standard scores",
    "forward": "readings in SI, each by a function that is held here",
    "next_reading": "offers readings in SI: forces and limbs that a bench has",
    "readings": "records of readings and their names",
    "sense": "looks for slips of unit: millimetres for inches and the like",
    "tables": "readers of tables in SI",
    "plain.move": "inside of `close`, which is held with this engine",
    "compiled.move_compiled": "inside of `close`, which is held with this engine",
    "kernel.close_many": "inside of `close`, which is held with the engine numba",
    "flight.crossing": "inside of `close`; a root of whatever function it is given",
    "motion.pick": "takes an entry of an array",
    "pulls.student_quantile": "a pure number from a count",
    "pulls.rust_factor": "a growth for each wet week of seven days: the day is its unit by definition",
    "pulls.retest": "the same growth; held in forces below, in days as it stands",
    "pan.notch_state": "a word from two pure numbers",
    "spring_check.agreed": "a word from words",
    "overhaul.overhaul": "a word from findings in words, their work in seconds added up",
    "overhaul.parts_of": "counts of parts",
    "overhaul.parts_list": "counts of parts",
    "overhaul.below": "a share of draws, in whatever unit both have",
    "build.clear_spread": "a length less two lengths, or NaN by a word",
}


@dataclass(frozen=True)
class Record:
    """A record whose fields are numbers with a unit: (number, unit), or anything else as it stands."""

    kind: type
    fields: dict[str, Any]


@dataclass(frozen=True)
class Spec:
    """A call: arguments as in `Record`, and the unit of what comes back, by field of a record or place of a tuple."""

    name: str
    call: Callable[..., Any]
    gives: str | dict[str, str] | tuple[str, ...]
    given: tuple[Any, ...]
    named: dict[str, Any]


M, RAD, ONE = "m", "rad", ""
_COMMON = {
    "hinge_half_distance": (0.003, M), "eye_half_opening": (0.016, M), "loop_clearance": (0.0043, M),
    "bearing_offset": (0.0025, M), "face_offset": (0.0025, M), "height": (0.0732, M), "face_length": (0.12954, M),
    "bevel": (0.244, RAD), "set_angle": (0.052, RAD), "jaw_inertia": (3.5632e-4, "kg*m**2"),
    "weight_moment": (0.054267, "N*m"), "offset_gap": (0.003, M), "face_width": (0.0095, M), "bar_width": (0.0095, M),
    "set_stress": (1.4e9, "Pa"), "strength": (1.8e9, "Pa"),
}  # fmt: skip
_LEVER = {
    "family": "coil", "loops": 2.0, "spring_rate": (9.04333, "N*m"), "free_coordinate": (1.34343, RAD),
    "loop_inertia": (5.893e-5, "kg*m**2"), "lever_length": (0.048, M), "pivot_height": (-0.013, M), **_COMMON,
}  # fmt: skip
_RING = {
    "family": "long", "loops": 1.0, "spring_rate": (2891.0, "N/m"), "free_coordinate": (0.057, M),
    "loop_inertia": (0.0204, "kg"), **_COMMON, "bevel": (0.035, RAD),
}  # fmt: skip
TRAPS = {
    "lever": Record(model.Trap, _LEVER),
    "slot": Record(model.Trap, {**_LEVER, "eye": "slot"}),
    "ring": Record(model.Trap, _RING),
}
_READINGS = {
    "spread": (0.1524, M), "face_width": (0.0095, M), "leg_thickness": (0.005, M), "eye_half_opening": (0.016, M),
    "loop_clearance": (0.0043, M), "bevel": (0.244, RAD), "offset_gap": (0.004, M), "lamination_width": (0.006, M),
    "lamination_thickness": (0.004, M), "pad_width": (0.012, M), "pad_thickness": (0.003, M),
    "lamination_side": "inside", "swivel_place": "end", "jaw_kind": "double",
}  # fmt: skip
_COIL = {
    "family": "coil", **_READINGS, "wire_diameter": (0.0045, M), "coil_diameter": (0.018, M), "coil_leg": (0.025, M),
    "lever_length": (0.048, M), "pivot_drop": (0.013, M), "lever_mass": (0.075, "kg"),
}  # fmt: skip
_LEAF = {
    "family": "long", **_READINGS, "bevel": (0.035, RAD), "leaf_width": (0.019, M), "leaf_thickness": (0.0028, M),
    "leaf_arm": (0.125, M), "leaf_bend": (0.010, M), "leaf_lift": (0.070, M), "ring_mass": (0.012, "kg"),
}  # fmt: skip
DIMENSIONS = {
    "coil": Record(model.Dimensions, _COIL),
    "coil measured": Record(model.Dimensions, {**_COIL, "spring_rate": (4200.0, "N/m"), "jaw_kind": "regular"}),
    "leaf": Record(model.Dimensions, _LEAF),
    "leaf measured": Record(
        model.Dimensions, {**_LEAF, "spring_rate": (2100.0, "N/m"), "hinge_half_distance": (0.003, M)}
    ),
}
GUARD = Record(
    guard.Guard,
    {
        "length": (0.06, M),
        "mass": (0.03, "kg"),
        "torque": (0.4, "N*m"),
        "rate": (0.1, "N*m"),
        "swing_angle": (1.5, RAD),
    },
)
STOCK_LENGTHS = ("eye_side", "eye_thickness", "pin_diameter", "ear_thickness", "ear_edge")
STOCK = Record(
    strength.Stock,
    {
        "yield_strength": (250e6, "Pa"), "bar_section": (6e-8, "m**3"), "leg_section": (5e-8, "m**3"),
        **dict.fromkeys(STOCK_LENGTHS, (0.004, M)),
    },
)  # fmt: skip
FLIGHT = Record(
    flight.Flight,
    {
        "angle": ([[1.2]], RAD), "square": ([[9000.0]], "rad**2/s**2"), "weight": ([[150.0]], "1/s**2"),
        "drag": ([[0.2]], ONE),
    },
)  # fmt: skip
