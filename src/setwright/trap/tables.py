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
from setwright.trap.model import COIL, LONG, Dimensions

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
    return replace(dimensions, jaw_kind=kind, **parts)


def dimensions(
    key: str,
    *,
    overrides: Mapping[str, Quantity] = MappingProxyType({}),
    springs: int | None = None,
    jaws: str = "regular",
    dogless: bool = False,
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

    Raises
    ------
    BadInput
        When key, kind or field is not known, a reading has the wrong unit or lies outside its range, or
        the number of springs does not fit the family.

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
    plain = Dimensions(
        family=COIL if family == COIL else LONG, springs=fitted, dogless=dogless, **figures
    )  # fmt: skip
    return replace(with_jaws(plain, jaws), **readings)


def _checked(key: str, name: str, quantity: Quantity) -> float:
    field = DIMENSION_FIELDS.get(name)
    if field is None:
        raise BadInput("no such reading of a trap", field=f"{key} {name}", allowed=", ".join(DIMENSION_FIELDS))
    if quantity.unit != field.unit or quantity.value is None:
        raise BadInput("wrong unit", field=f"{key} {name}", found=quantity.unit, allowed=field.unit)
    if not field.low <= quantity.value <= field.high:
        raise BadInput(
            "outside the range of this reading", field=f"{key} {name}", found=quantity.value,
            allowed=f"{field.low:g} to {field.high:g} {field.unit}",
        )  # fmt: skip
    return quantity.value
