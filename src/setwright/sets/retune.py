"""A trap as it would be after work on the bench, and what it may be tuned to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from setwright.basis.source import Kind, Quantity, Source
from setwright.sets.context import Context
from setwright.sets.fire import carried
from setwright.sets.model import TrapRig
from setwright.trap import tables as trap_tables

LBF = 4.4482216152605
FORCES = tuple(LBF * pounds for pounds in (0.25, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0))
TRIED = Source(Kind.ASSUMED, "tried by the advice")
# A trip force within a tenth of the reading is the reading.
SAME_FORCE = 0.1


def tried(value: float, unit: str) -> Quantity:
    """A figure that is not read but meant, with the spread that work on the bench leaves."""
    return Quantity(value, unit, TRIED, 0.85 * value, 1.15 * value)


def with_springs(trap: TrapRig, springs: int) -> TrapRig:
    """The trap with this many springs (coils 2 or 4, long-springs 1 or 2)."""
    return replace(trap, springs=springs, dimensions=replace(trap.dimensions, springs=springs))


def with_jaws(trap: TrapRig, jaws: str) -> TrapRig:
    """The trap with jaws of another kind, by the table's usual gap and lamination."""
    return replace(trap, jaws=jaws, dimensions=trap_tables.with_jaws(trap.dimensions, jaws))


def with_force(trap: TrapRig, force: float) -> TrapRig:
    """The trap with its pan set to a trip force [N]."""
    return replace(trap, trip_force=tried(force, "N"))


def more_springs(trap: TrapRig) -> int | None:
    """Number of springs after more were fitted, or None when it has all that it takes."""
    return {("coil", 2): 4, ("long", 1): 2}.get((trap.family, trap.springs))


def other_jaws(trap: TrapRig, medium: str) -> tuple[str, ...]:
    """Kinds of jaws that are worth fitting: kinder ones on land, ones that meet in water."""
    if trap.jaws in (None, "regular") and medium == "land":
        return ("offset", "laminated", "offset laminated")
    return ("regular",) if medium == "water" and trap.has_jaws("offset") else ()


def other_forces(context: Context, trap: TrapRig) -> Iterator[float]:
    """Trip forces [N] that the pan may be set to: within the band in use for the target, where a foot bears weight.

    A slack pan is fired by anything; for a floating animal no force is known.
    """
    if carried(context, context.target) is None:
        return
    low, high = context.target.pan_low, context.target.pan_high
    banded = low.known and high.known
    known = trap.trip_force
    for force in FORCES:
        if banded and not 0.99 * low.number <= force <= 1.01 * high.number:
            continue
        if not (known.known and abs(force - known.number) < SAME_FORCE * force):
            yield force
