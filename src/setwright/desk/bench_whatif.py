"""A trap with something changed on it, on the same draws, so that differences are paired."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from setwright.basis.errors import BadInput
from setwright.basis.source import Kind, Quantity, Source
from setwright.basis.units import parse
from setwright.desk import bench_document as doc
from setwright.desk.bench_figures import KEYS, Bed, Numbers, middle, values
from setwright.sets.model import TrapRig
from setwright.sets.retune import with_jaws, with_springs
from setwright.trap import tables as trap_tables
from setwright.trap.model import COIL
from setwright.trap.sense import contradictions, likely_slip
from setwright.trap.unknowns import Unknown, Unknowns

_YES = {"yes": True, "no": False}
# Conditions of the bed by the word of the command: field, unit, least, greatest.
_BED: Mapping[str, tuple[str, str, float, float]] = {
    "limb": ("limb", "m", 0.001, 0.2),
    "limb_width": ("limb_width", "m", 0.001, 0.3),
    "cover": ("cover", "m", 0.0, 0.15),
    "tilt": ("tilt", "rad", -3.1416, 3.1416),
    "dog_delay": ("delay", "s", 0.0, 0.02),
}
_EXACT = ("offset_gap", "lamination_width", "lamination_thickness", "pad_width", "pad_thickness")


@dataclass(frozen=True)
class Changed:
    """A trap and its bed after changes, in words as they were asked for."""

    rig: TrapRig
    unknowns: Unknowns
    bed: Bed
    words: Mapping[str, str]


def names(unknowns: Unknowns) -> tuple[str, ...]:
    """Every word that may stand before the equals sign."""
    figures = [name for name in trap_tables.DIMENSION_FIELDS if name in _known(unknowns)]
    return ("springs", "jaws", "offset", "friction", "trip_force", *_BED, "water", *_EXACT, *figures)


def _known(unknowns: Unknowns) -> set[str]:
    return {*unknowns.names, *unknowns.fixed}


def apply(text: str, rig: TrapRig, unknowns: Unknowns, bed: Bed) -> Changed:
    """Apply changes such as `springs=4,jaws=laminated,offset=6 mm`.

    Raises
    ------
    BadInput
        When a change is not known, lies outside its range, or leaves a trap that cannot be.
    """
    words: dict[str, str] = {}
    for part in (part.strip() for part in text.split(",")):
        name, _, value = (piece.strip() for piece in part.partition("="))
        name = name.replace("-", "_")
        if not name or not value:
            raise BadInput("a change is written as name=value", field="what-if", found=part, allowed="springs=4")
        if name in words:
            raise BadInput("this is changed twice", field="what-if", found=name)
        words[name] = value
        rig, unknowns, bed = _one(name, value, rig, unknowns, bed)
    for wrong in contradictions(rig.dimensions):
        raise BadInput(
            f"this leaves a trap that cannot be: {wrong.relation}",
            field=f"what-if {wrong.fields[0]} and {wrong.fields[1]}",
            found=" and ".join(f"{value:.5g}" for value in wrong.values),
        )
    return Changed(rig, unknowns, bed, words)


def _one(name: str, value: str, rig: TrapRig, unknowns: Unknowns, bed: Bed) -> tuple[TrapRig, Unknowns, Bed]:
    field = f"what-if {name}"
    if name == "springs":
        allowed = ("2", "4") if rig.family == COIL else ("1", "2")
        if value not in allowed:
            raise BadInput(
                "this number of springs does not fit the family",
                field=field,
                found=value,
                allowed=" or ".join(allowed),
            )
        return with_springs(rig, int(value)), unknowns, bed
    if name == "jaws":
        trap_tables.jaws().need(value, field)
        return with_jaws(rig, value), unknowns, bed
    if name == "water":
        if value not in _YES:
            raise BadInput("say yes or no", field=field, found=value, allowed="yes, no")
        return rig, unknowns, replace(bed, water=_YES[value])
    if name in _BED:
        attribute, unit, low, high = _BED[name]
        asked: dict[str, Any] = {attribute: _within(field, value, unit, low, high)}
        return rig, unknowns, replace(bed, **asked)
    if name == "trip_force":
        force = _within(field, value, "N", 0.0, 300.0)
        tried = Quantity(force, "N", Source(Kind.ASSUMED, "tried"), 0.85 * force, 1.15 * force)
        return replace(rig, trip_force=tried), unknowns, bed
    if name == "friction":
        return rig, _settled(unknowns, name, _within(field, value, "one", 0.0, 0.6)), bed
    name = "offset_gap" if name == "offset" else name
    span = trap_tables.DIMENSION_FIELDS.get(name)
    if span is None or (name not in _EXACT and name not in _known(unknowns)):
        raise BadInput(
            "nothing of this name can be changed on this trap", field="what-if", found=name,
            allowed=", ".join(names(unknowns)),
        )  # fmt: skip
    number = _within(field, value, span.unit, span.low, span.high)
    figure: dict[str, Any] = {name: number}
    rig = replace(rig, dimensions=replace(rig.dimensions, **figure))
    return rig, unknowns if name in _EXACT else _settled(unknowns, name, number), bed


def _within(field: str, value: str, unit: str, low: float, high: float) -> float:
    try:
        number = parse(value, unit)
    except BadInput as error:
        raise BadInput(error.message, field=field, found=error.found, allowed=error.allowed) from None
    if not low <= number <= high:
        slip = likely_slip(field.split()[-1], number, low, high, unit=unit)
        raise BadInput(
            "outside the range of this figure" + (f"; {slip}?" if slip else ""), field=field, found=value,
            allowed=f"{low:g} to {high:g} {'' if unit == 'one' else unit}".rstrip(),
        )  # fmt: skip
    return number


def _settled(unknowns: Unknowns, name: str, value: float) -> Unknowns:
    """The same unknowns with one of them known; its column of draws stays, so that the others keep theirs."""
    if name in unknowns.fixed:
        return replace(unknowns, fixed={**unknowns.fixed, name: value})
    free = tuple(
        Unknown(name, value, value, value, one.logarithmic) if one.name == name else one for one in unknowns.free
    )
    return replace(unknowns, free=free)


def differences(before: Numbers, after: Numbers, show: Callable[[str, Any], str]) -> list[doc.Difference]:
    """Paired differences of every figure; those that are not known on either side are left out."""
    first, second = values(before), values(after)
    rows = []
    for key, label, unit, factor, _ in KEYS:
        one, two = first[key] * factor, second[key] * factor
        with np.errstate(invalid="ignore"):
            change = two - one
        if key == "locked":
            change = np.array([np.nanmean(two) - np.nanmean(one)]) if not np.isnan([*one, *two]).all() else change
        found = middle(change)
        rows.append(
            doc.Difference(
                key=key,
                label=label,
                unit=unit,
                before=show(key, one),
                after=show(key, two),
                change=show(key, change),
                median=found[0],
                low=found[1],
                high=found[2],
            )
        )
    return rows
