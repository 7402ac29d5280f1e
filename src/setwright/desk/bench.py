"""One trap on the bench: what its readings and its pattern say, for comparing it with others."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike
from pydantic import BaseModel, ConfigDict, Field

from setwright.basis.errors import BadInput
from setwright.basis.fields import Length
from setwright.basis.source import Quantity
from setwright.basis.spread import Draws, band
from setwright.basis.yamlfile import line_of, load, read_text, validate
from setwright.desk.describe import springs_of, trip_words
from setwright.desk.wording import show
from setwright.line.book import TrapEntry
from setwright.line.outfit import trap_rig
from setwright.sets import tables
from setwright.sets.context import Floats
from setwright.sets.model import TrapRig
from setwright.trap.build import build
from setwright.trap.closing import Closing, close, water_terms
from setwright.trap.holding import clamp, dog_force, set_torque

SCHEMA = "setwright/trap/1"
LIMBS = (0.012, 0.016, 0.020, 0.025, 0.030)
DRAWS = 200


class TrapFile(TrapEntry):
    """A trap described by itself: a pattern, its tuning, and whatever was read on the bench."""

    model_config = ConfigDict(extra="forbid", arbitrary_types_allowed=True)

    schema_: Literal["setwright/trap/1"] = Field(alias="schema")
    limb: Length | None = None


class BenchRow(BaseModel):
    """One figure: median and 90 % band in SI where it has one, and in words."""

    what: str
    shown: str
    note: str = ""
    value: float | None = None
    low: float | None = None
    high: float | None = None
    unit: str = "one"


class BenchPart(BaseModel):
    """Figures that belong together."""

    head: str
    rows: list[BenchRow]


class BenchSheet(BaseModel):
    """All that is told of one trap."""

    title: str
    say: str
    parts: list[BenchPart]
    remarks: list[str]


def bench(path: Path, *, draws: int = DRAWS) -> BenchSheet:
    """Read a trap file and explain the trap.

    Raises
    ------
    BadInput
        When the file cannot be used, with file, line, field, found and allowed.
    """
    data = load(read_text(path), file=path)
    if data.get("schema") != SCHEMA:
        raise BadInput(
            "this is not a trap file of a known version",
            file=path,
            field="schema",
            found=data.get("schema"),
            allowed=SCHEMA,
        )
    entry = validate(TrapFile, data, file=path)
    try:
        rig = trap_rig({}, entry, entry.id)
    except BadInput as error:
        name = (error.field or "pattern").split()[-1]
        raise error.at(file=path, line=line_of(data, (name,))) from None
    return sheet(rig, None if entry.limb is None else entry.limb.number, draws=draws)


def sheet(rig: TrapRig, limb: float | None, *, draws: int = DRAWS) -> BenchSheet:
    """The bench sheet of a trap; `limb` [m] adds one thickness to the usual ones."""
    trap = build(rig.dimensions)
    drawn = Draws(draws, 20, "bench")
    friction = drawn.quantity("friction", tables.figures()["friction"])
    error = drawn.quantity("closing_error", tables.figures()["closing_error"])
    air = close(trap, friction=friction)
    inertia, drag = water_terms(trap)
    water = close(trap, friction=friction, added_inertia=inertia, drag=drag)
    parts = [
        BenchPart(head="The trap", rows=_facts(rig)),
        BenchPart(
            head="Closing", rows=[*_closing("in air, no cover", air, error), *_closing("in water", water, error)]
        ),
        BenchPart(head="Grip at the bar", rows=_grips(rig, friction, limb)),
        BenchPart(head="When set", rows=_set(rig, friction)),
    ]
    time = band(np.asarray(air.time) * error)
    say = (
        f"Closes in about {show(time[0], 'short_time')} ({show(time[1], 'short_time')} to "
        f"{show(time[2], 'short_time')}) in air, for comparing with your other traps."
        if np.isfinite(time[0])
        else "Does not close as described: see the remarks."
    )
    return BenchSheet(title=f"{rig.trap_id}: {rig.label}", say=say, parts=parts, remarks=_remarks(rig, air))


def _row(what: str, draws: ArrayLike, kind: str, unit: str, note: str = "") -> BenchRow:
    values = np.asarray(draws, dtype=float)
    middle, low, high = band(values)
    if np.isnan(middle):
        return BenchRow(what=what, shown="cannot tell", note=note, unit=unit)
    shown = show(middle, kind)
    if show(low, kind) != show(high, kind):
        shown += f" ({show(low, kind)} to {show(high, kind)})"
    return BenchRow(what=what, shown=shown, note=note, value=middle, low=low, high=high, unit=unit)


def _stated(what: str, quantity: Quantity, kind: str) -> BenchRow:
    if quantity.value is None:
        return BenchRow(what=what, shown="not read", note=str(quantity.source), unit=quantity.unit)
    return BenchRow(
        what=what,
        shown=show(quantity.value, kind),
        note=str(quantity.source),
        value=quantity.value,
        low=quantity.low,
        high=quantity.high,
        unit=quantity.unit,
    )


def _facts(rig: TrapRig) -> list[BenchRow]:
    return [
        _stated("jaw spread", rig.spread, "length"),
        BenchRow(
            what="jaws",
            shown=rig.jaws or "not stated, taken as regular",
            note=f"gap {show(float(rig.dimensions.offset_gap), 'length')}",
        ),
        BenchRow(what="springs", shown=springs_of(rig.family, rig.springs)),
        _stated("pan trip force", rig.trip_force, "force"),
        _stated("mass", rig.mass, "mass"),
        BenchRow(
            what="read on the bench",
            shown=", ".join(rig.measured) or "nothing yet",
            note="the rest stands as in the table of patterns",
        ),
    ]


def _closing(where: str, run: Closing, error: Floats) -> list[BenchRow]:
    factor = np.asarray(error, dtype=float)
    return [
        _row(f"closing time {where}", np.asarray(run.time) * factor, "short_time", "s"),
        BenchRow(
            what=f"speed of the bar {where}",
            shown=_speed(np.asarray(run.tip_speed) / factor),
            value=_median(np.asarray(run.tip_speed) / factor),
            unit="m/s",
        ),
    ]


def _median(values: ArrayLike) -> float | None:
    found = float(np.median(np.asarray(values, dtype=float)))
    return None if np.isnan(found) else found


def _speed(values: ArrayLike) -> str:
    middle, low, high = band(np.asarray(values, dtype=float))
    return "cannot tell" if np.isnan(middle) else f"{middle:.1f} m/s ({low:.1f} to {high:.1f})"


def _grips(rig: TrapRig, friction: Floats, limb: float | None) -> list[BenchRow]:
    trap = build(rig.dimensions)
    rows = []
    for thickness in sorted({*LIMBS, *([] if limb is None else [limb])}):
        found = clamp(trap, friction=friction, limb=thickness)
        closing, opening = _median(found.closing_force), np.asarray(found.opening_force, dtype=float)
        locked = float(np.mean(np.asarray(found.locked, dtype=float)))
        what = f"limb of {show(thickness, 'length')}"
        if closing is None or closing <= 0:
            rows.append(BenchRow(what=what, shown="not held", note="the gap is as wide, or the spring is spent"))
            continue
        free = opening[np.isfinite(opening)]
        top = "locked" if locked > 0.5 or free.size == 0 else show(float(np.median(free)), "force")
        rows.append(
            BenchRow(
                what=what,
                shown=f"{show(closing, 'force')} to {top}",
                note=f"closing to opening; locks in {locked:.0%} of the draws of friction",
                value=closing,
                high=None if top == "locked" else float(np.median(free)),
                unit="N",
            )
        )
    return rows


def _set(rig: TrapRig, friction: Floats) -> list[BenchRow]:
    trap = build(rig.dimensions)
    return [
        _row(
            "torque that lifts a jaw",
            set_torque(trap, friction=friction),
            "torque",
            "N*m",
            "what frost and cover must not exceed",
        ),
        _row("force on the dog", dog_force(trap), "force", "N"),
        BenchRow(
            what="pan", shown=trip_words(rig.trip_force), note="three pulls with a spring scale, after every catch"
        ),
    ]


def _remarks(rig: TrapRig, run: Closing) -> list[str]:
    found = [
        "Absolute figures are comparative until bench readings calibrate them: spread, leg thickness, eye opening, "
        "force to hold the lever down at two heights, lever angle closed empty, force to open it on a dowel.",
        "Momentum and grip say nothing about injury: that is judged by what is seen on animals.",
        "Set and unset it from outside and below the loose jaw, setters within reach.",
    ]
    if np.isnan(np.asarray(run.time, dtype=float)).any():
        found.insert(0, "As described it does not close: springs spent, or no clearance at the eye. Read it again.")
    if bool(np.any(build(rig.dimensions).over_stressed)):
        found.insert(0, "As described its springs are strained beyond their strength: read wire and coil again.")
    if not rig.trip_force.known:
        found.insert(0, "Read the pan trip force: until then nobody can say who fires it.")
    return found
