"""Tables of the trap room: patterns by family and size number, kinds of jaws."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from types import MappingProxyType
from typing import Any

from setwright.basis.errors import BadInput
from setwright.basis.source import Quantity
from setwright.basis.tables import Field, Table, read_table, shipped
from setwright.trap.model import COIL, INSIDE, LONG, OUTSIDE, ROUND, Dimensions, Eye, Side, SwivelPlace
from setwright.trap.overhaul import ACTS
from setwright.trap.readings import ReadingError
from setwright.trap.sense import contradictions, likely_slip

_TEXT = Field("text", needed=True)

# What a pattern holds and a reading may replace.
DIMENSION_FIELDS: Mapping[str, Field] = {
    "spread": Field("m", 0.05, 0.5, needed=True),
    "face_width": Field("m", 0.001, 0.05, needed=True),
    "leg_thickness": Field("m", 0.0005, 0.03, needed=True),
    "eye_half_opening": Field("m", 0.003, 0.06, needed=True),
    "loop_clearance": Field("m", 0.0005, 0.03, needed=True),
    "bevel": Field("rad", -0.5, 0.8, needed=True),
    "set_angle": Field("rad", -0.3, 0.6, needed=True),
    "hinge_half_distance": Field("m", 0.0005, 0.03),
    "offset_gap": Field("m", 0.0, 0.03),
    "lamination_width": Field("m", 0.0, 0.03),
    "lamination_thickness": Field("m", 0.0, 0.03),
    "pad_width": Field("m", 0.0, 0.05),
    "pad_thickness": Field("m", 0.0, 0.03),
    "wire_diameter": Field("m", 0.0005, 0.012),
    "coil_diameter": Field("m", 0.004, 0.08),
    "coil_turns": Field("one", 1.0, 40.0),
    "coil_leg": Field("m", 0.0, 0.2),
    "set_stress_share": Field("one", 0.05, 1.5),
    "lever_length": Field("m", 0.01, 0.2),
    "pivot_drop": Field("m", -0.05, 0.08),
    "lever_mass": Field("kg", 0.002, 1.0),
    "leaf_width": Field("m", 0.003, 0.08),
    "leaf_thickness": Field("m", 0.0005, 0.015),
    "leaf_arm": Field("m", 0.02, 0.5),
    "leaf_bend": Field("m", 0.001, 0.06),
    "leaf_lift": Field("m", 0.01, 0.3),
    "arm_taper": Field("one", 1.0, 1.5),
    "ring_mass": Field("kg", 0.0, 0.2),
    "spring_health": Field("one", 0.0, 1.5),
    "spring_rate": Field("N/m", 10.0, 1e6),
    "pan_radius": Field("m", 0.005, 0.12),
    "mass": Field("kg", 0.05, 10.0),
}

PATTERN_FIELDS: Mapping[str, Field] = {
    "label": _TEXT,
    "nominal": _TEXT,
    "family": Field("text", needed=True, words=(COIL, LONG)),
    "springs": Field("one", 1.0, 4.0, needed=True),
    **DIMENSION_FIELDS,
    "pan_radius": Field("m", 0.005, 0.12, needed=True),
    "mass": Field("kg", 0.05, 10.0, needed=True),
    "bearing_area": Field("m**2", 0.0005, 0.2, needed=True),
    "bed_length": Field("m", 0.05, 1.0, needed=True),
    "bed_width": Field("m", 0.05, 1.0, needed=True),
    "bed_depth": Field("m", 0.02, 0.3, needed=True),
    "set_height": Field("m", 0.01, 0.2, needed=True),
}

JAW_PARTS = ("offset_gap", "lamination_width", "lamination_thickness", "pad_width", "pad_thickness")
JAW_FIELDS: Mapping[str, Field] = {
    "label": _TEXT,
    **{name: Field("m", 0.0, 0.03, needed=True) for name in JAW_PARTS},
    "lamination_side": Field("text", words=(INSIDE, OUTSIDE)),
}

LIMB_FIELDS: Mapping[str, Field] = {
    "label": _TEXT,
    "thickness": Field("m", 0.001, 0.1, needed=True),
    "width": Field("m", 0.001, 0.3, needed=True),
}

# Figures of the trap's stock that nobody reads from a trap, and what stands in for them.
STOCK_FIELDS: Mapping[str, Field] = {
    "yield_strength": Field("Pa", 1e8, 1e9),
    "leaf_strength": Field("Pa", 5e8, 3e9),
    "yield_share": Field("one", 0.3, 1.2),
    "set_removed_share": Field("one", 0.3, 1.2),
    "relaxation": Field("one", 0.0, 0.5),
    "index": Field("one", 1.0, 30.0),
    "eye_side": Field("one", 0.1, 5.0),
    "eye_thickness": Field("one", 0.1, 5.0),
    "pin_diameter": Field("one", 0.1, 5.0),
    "ear_thickness": Field("one", 0.1, 5.0),
    "ear_edge": Field("one", 0.1, 10.0),
    "edge_radius": Field("m", 0.0, 0.01),
}

LOOK_FIELDS: Mapping[str, Field] = {
    "act": Field("text", words=ACTS),
    "why": Field("text"),
    "do": Field("text"),
    "part": Field("text"),
    "pieces": Field("one", 0.0, 8.0),
    "minutes": Field("s", 30.0, 14400.0),
    "health_least": Field("one", 0.1, 1.0),
    "strength_least": Field("one", 0.1, 1.0),
    "sure": Field("one", 0.5, 1.0),
    "overlap_least": Field("m", 1e-4, 0.01),
}

WORKING_FIELDS: Mapping[str, Field] = {
    "setter_ratio": Field("one", 1.0, 20.0),
    "foot_share": Field("one", 0.1, 1.5),
    "steepest": Field("rad", 0.1, 1.56),
    "rubbing": Field("one", 0.0, 1.0),
    "setting_doubt": Field("one", 0.0, 0.9),
    "trip_scatter": Field("one", 0.0, 1.0),
    "wet_week_growth": Field("one", 1.0, 5.0),
    "swivel_base": Field("m", 0.0, 0.1),
    "guard_length": Field("m", 0.01, 0.5),
    "guard_mass": Field("kg", 0.001, 1.0),
    "guard_torque": Field("N*m", 0.0, 50.0),
    "guard_rate": Field("N*m/rad", 0.0, 50.0),
    "guard_swing": Field("rad", 0.1, 3.2),
}

_NEEDED: Mapping[str, tuple[str, ...]] = {
    COIL: ("wire_diameter", "coil_diameter", "coil_turns", "coil_leg", "set_stress_share", "lever_length",
           "pivot_drop", "lever_mass"),
    LONG: ("leaf_width", "leaf_thickness", "leaf_arm", "leaf_bend", "leaf_lift", "arm_taper", "ring_mass"),
}  # fmt: skip
_SPRINGS: Mapping[str, tuple[int, ...]] = {COIL: (2, 4), LONG: (1, 2)}
# Readings that belong to the trap but not to its mechanics.
_ELSEWHERE = ("bearing_area",)


@cache
def patterns() -> Table:
    """Patterns by key, such as `coil-1.5` or `long-11`: dimensions, mass, bed and words."""
    table = read_table("patterns.csv", shipped("trap", "patterns.csv"), PATTERN_FIELDS)
    keys = table.keys()
    for key in keys:
        for name in _NEEDED[table.text(key, "family")]:
            table.get(key, name)
    return table


@cache
def jaws() -> Table:
    """Kinds of jaws by the word of the line book: gap, strip and pad that they add."""
    return read_table("jaws.csv", shipped("trap", "jaws.csv"), JAW_FIELDS)


@cache
def limbs() -> Table:
    """Limbs by key, from a thin toe to a hind foot, and a tail on edge: thickness between the faces, and width."""
    return read_table("limbs.csv", shipped("trap", "limbs.csv"), LIMB_FIELDS)


@cache
def stock() -> Table:
    """Steel and sections that stand in where nothing was read: strength of bars, limits of springs, eye, pin."""
    return read_table("stock.csv", shipped("trap", "stock.csv"), STOCK_FIELDS)


@cache
def working() -> Table:
    """Figures of setting, pan and guard that stand in where nothing was read."""
    return read_table("working.csv", shipped("trap", "working.csv"), WORKING_FIELDS)


@cache
def looks() -> Table:
    """What is looked at on a trap that comes in, by `part state`, and what follows; under `limits` what wears out."""
    return read_table("looks.csv", shipped("trap", "looks.csv"), LOOK_FIELDS)


def labels() -> dict[str, str]:
    """Trade name of every pattern by key."""
    keys = patterns().keys()
    return {key: patterns().text(key, "label") for key in keys}


def with_jaws(dimensions: Dimensions, kind: str) -> Dimensions:
    """The same trap with jaws of another kind, by the table's usual gap, strip and pad.

    Parameters
    ----------
    dimensions : Dimensions
        The trap as it is.
    kind : str
        Key of the table of jaws.

    Raises
    ------
    BadInput
        When the kind is not known.

    """
    parts: dict[str, Any] = {name: jaws().number(kind, name) for name in JAW_PARTS}
    sides: Mapping[str, Side] = {INSIDE: INSIDE, OUTSIDE: OUTSIDE}
    side = sides.get(jaws().text(kind, "lamination_side"))
    return replace(dimensions, jaw_kind=kind, lamination_side=side, **parts)


def dimensions(
    key: str,
    *,
    overrides: Mapping[str, Quantity] = MappingProxyType({}),
    springs: int | None = None,
    jaws: str = "regular",
    dogless: bool = False,
    eye: Eye = ROUND,
    lamination_side: Side | None = None,
    swivel_place: SwivelPlace | None = None,
) -> Dimensions:
    """Dimensions of a pattern, with own readings in place of the table's.

    Parameters
    ----------
    key : str
        Key in the table of patterns.
    overrides : mapping of str to Quantity
        Readings by field name of `Dimensions`, in SI.
    springs : int, optional
        Coils or long-springs fitted; as the pattern when None.
    jaws : str
        Kind of jaws.
    dogless : bool
        The pan holds the jaw itself.
    eye : {"round", "slot"}
        Eye of the levers.
    lamination_side : {"inside", "outside"}, optional
        Where the strip lies; as the kind of jaws says when None.
    swivel_place : {"base", "side", "end"}, optional
        Where the chain is fixed.

    Raises
    ------
    BadInput
        When key, kind or field is not known, a reading has the wrong unit, lies outside its range (the likely slip
        of unit is named) or contradicts another one, or the number of springs does not fit the family.

    """
    table = patterns()
    family = table.text(key, "family")
    figures: dict[str, Any] = {name: q.number for name, q in table.record(key).items() if name in DIMENSION_FIELDS}
    readings: dict[str, Any] = {
        name: _checked(key, name, q) for name, q in overrides.items() if name not in _ELSEWHERE
    }
    fitted = int(table.number(key, "springs")) if springs is None else springs
    if fitted not in _SPRINGS[family]:
        raise BadInput(
            "this number of springs does not fit the family", field=f"{key} springs", found=fitted,
            allowed=" or ".join(map(str, _SPRINGS[family])),
        )  # fmt: skip
    plain = with_jaws(
        Dimensions(
            family=COIL if family == COIL else LONG, springs=fitted, dogless=dogless, eye=eye,
            swivel_place=swivel_place, **figures,
        ),
        jaws,
    )  # fmt: skip
    side = plain.lamination_side if lamination_side is None else lamination_side
    found = replace(plain, lamination_side=side, **readings)
    _in_accord(key, found)
    return found


def _in_accord(key: str, found: Dimensions) -> None:
    """Raise BadInput that names the first two readings which cannot both be true."""
    for one in contradictions(found):
        raise BadInput(
            f"these two readings cannot both be true: {one.relation}",
            field=f"{key} {one.fields[0]} and {one.fields[1]}",
            found=" and ".join(f"{value:.5g}" for value in one.values),
        )


def _checked(key: str, name: str, quantity: Quantity) -> float:
    field = DIMENSION_FIELDS.get(name)
    if field is None:
        raise BadInput("no such reading of a trap", field=f"{key} {name}", allowed=", ".join(DIMENSION_FIELDS))
    if quantity.unit != field.unit or quantity.value is None:
        raise BadInput("wrong unit", field=f"{key} {name}", found=quantity.unit, allowed=field.unit)
    if not field.low <= quantity.value <= field.high:
        slip = likely_slip(name, quantity.value, field.low, field.high, unit=field.unit)
        raise BadInput(
            "outside the range of this reading" + (f"; {slip}?" if slip else ""),
            field=f"{key} {name}", found=quantity.value,
            allowed=f"{field.low:g} to {field.high:g} {field.unit}",
        )  # fmt: skip
    return quantity.value


# A method of reading, its usual error, and in the rows of `prior` what no pattern holds.
READING_FIELDS: Mapping[str, Field] = {
    "label": Field("text"),
    "sd_length": Field("m", 1e-6, 0.01),
    "sd_angle": Field("rad", 1e-4, 0.2),
    "sd_force": Field("N", 0.01, 50.0),
    "sd_mass": Field("kg", 1e-5, 0.1),
    "sd_count": Field("one", 0.01, 2.0),
    "sd_share": Field("one", 0.001, 0.5),
    "friction": Field("one", 0.02, 0.6),
    "spring_health": Field("one", 0.3, 1.5),
    "height_share": Field("one", 0.8, 1.2),
    "hinge_play": Field("m", 1e-5, 0.005),
    "jaw_mass_share": Field("one", 0.5, 2.0),
    "inertia_share": Field("one", 0.5, 2.0),
    "trip_force": Field("N", 0.1, 60.0),
    "time_factor": Field("one", 0.5, 2.0),
}


@cache
def readings() -> Table:
    """Methods of bench reading by name with their usual errors, and under `prior` what no pattern holds."""
    return read_table("readings.csv", shipped("trap", "readings.csv"), READING_FIELDS)


@cache
def reading_errors() -> Mapping[str, ReadingError]:
    """Usual error of every method of reading, by its name."""
    found = {}
    for key in readings():
        parts = {name: q.number for name, q in readings().record(key).items() if name.startswith("sd_")}
        if parts:
            share = parts.pop("sd_share", 0.0)
            found[key] = ReadingError(sum(parts.values()), share)
    return MappingProxyType(found)


def priors(key: str) -> dict[str, Quantity]:
    """What is known of a trap before it is read: figures of its pattern, and of what no pattern holds.

    Parameters
    ----------
    key : str
        Key in the table of patterns.

    """
    return {**readings().record("prior"), **patterns().record(key)}
