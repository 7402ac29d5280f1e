"""Tables of the trap: patterns by number, and what a kind of jaw adds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from functools import cache
from types import MappingProxyType
from typing import Any, cast

from setwright.basis.errors import BadInput
from setwright.basis.source import Quantity
from setwright.basis.tables import Field, Table, read_table, shipped
from setwright.trap.model import Dimensions, Family

_LENGTH = {
    "spread": (0.06, 0.25), "face_width": (0.003, 0.02), "leg_thickness": (0.002, 0.012),
    "eye_half_opening": (0.004, 0.04), "loop_clearance": (0.001, 0.012), "pan_radius": (0.01, 0.05),
    "bed_length": (0.05, 0.9), "bed_width": (0.05, 0.6), "bed_depth": (0.01, 0.2), "set_height": (0.01, 0.15),
}  # fmt: skip
_COIL = {
    "wire_diameter": Field("m", 0.001, 0.01),
    "coil_diameter": Field("m", 0.005, 0.05),
    "coil_turns": Field("one", 1, 20),
    "coil_leg": Field("m", 0.005, 0.08),
    "lever_length": Field("m", 0.01, 0.12),
    "pivot_drop": Field("m", 0.0, 0.05),
    "lever_mass": Field("kg", 0.005, 0.5),
}
_LONG = {
    "leaf_width": Field("m", 0.005, 0.05),
    "leaf_thickness": Field("m", 0.0005, 0.008),
    "leaf_arm": Field("m", 0.03, 0.4),
    "leaf_bend": Field("m", 0.002, 0.05),
    "leaf_lift": Field("m", 0.01, 0.2),
}
_JAWS = ("offset_gap", "lamination_width", "lamination_thickness", "pad_width", "pad_thickness")
# Readings by which the book may replace a figure of a pattern.
_READ = tuple(
    field.name for field in fields(Dimensions) if field.name not in ("family", "springs", "jaw_kind", "dogless")
)


@cache
def patterns() -> Table:
    """Patterns by number (`coil-1.5`, `long-11`): dimensions, mass, bearing area, bed."""
    return read_table(
        "patterns.csv",
        shipped("trap", "patterns.csv"),
        {
            "label": Field("text", needed=True),
            "family": Field("text", needed=True, words=("coil", "long")),
            "nominal": Field("text", needed=True),
            **{name: Field("m", low, high, needed=True) for name, (low, high) in _LENGTH.items()},
            "bevel": Field("rad", 0.0, 0.6, needed=True),
            "set_angle": Field("rad", 0.0, 0.3, needed=True),
            "springs": Field("one", 1, 4, needed=True),
            "mass": Field("kg", 0.1, 5.0, needed=True),
            "bearing_area": Field("m**2", 0.001, 0.05, needed=True),
            **_COIL,
            **_LONG,
        },
    )


@cache
def jaws() -> Table:
    """Kinds of jaw: gap when closed, strip or pad added."""
    return read_table(
        "jaws.csv",
        shipped("trap", "jaws.csv"),
        {"label": Field("text", needed=True), **{name: Field("m", 0.0, 0.03, needed=True) for name in _JAWS}},
    )


def with_jaws(dimensions: Dimensions, kind: str) -> Dimensions:
    """The same trap with jaws of another kind, by the table's usual gap, strip or pad."""
    added = {name: jaws().number(kind, name) for name in _JAWS}
    return replace(dimensions, jaw_kind=kind, **cast("dict[str, Any]", added))


def dimensions(
    key: str,
    *,
    overrides: Mapping[str, Quantity] = MappingProxyType({}),
    springs: int | None = None,
    jaws: str = "regular",
    dogless: bool = False,
) -> Dimensions:
    """Dimensions of a pattern with what was read on the bench in place of the table's figures.

    Parameters
    ----------
    key : str
        Pattern in the table.
    overrides : mapping of str to Quantity
        Readings by dimension name, SI.
    springs : int, optional
        Coils (2, 4) or long-springs (1, 2); the pattern's own number when None.
    jaws : str
        Kind of jaw in the table of jaws.
    dogless : bool
        The pan holds the jaw itself.

    Raises
    ------
    BadInput
        For an unknown pattern, or springs that the family cannot have.

    """
    table = patterns()
    record = table.record(key)
    family = cast("Family", table.text(key, "family"))
    count = int(table.number(key, "springs")) if springs is None else springs
    allowed = (2, 4) if family == "coil" else (1, 2)
    if count not in allowed:
        raise BadInput(
            f"a {family}-spring trap cannot have this number of springs", field="springs", found=count,
            allowed=" or ".join(map(str, allowed)),
        )  # fmt: skip
    figures = {name: record[name].number for name in _READ if name in record}
    plain = Dimensions(family=family, springs=count, dogless=dogless, **cast("dict[str, Any]", figures))
    built = with_jaws(plain, jaws)
    read = {name: quantity.number for name, quantity in overrides.items() if name in _READ and quantity.known}
    return replace(built, **cast("dict[str, Any]", read))
