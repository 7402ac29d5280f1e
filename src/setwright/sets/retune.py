"""A trap as it would be after work on the bench."""

from __future__ import annotations

from dataclasses import replace

from setwright.sets.model import TrapRig
from setwright.trap import tables as trap_tables


def with_springs(trap: TrapRig, springs: int) -> TrapRig:
    """The trap with this many springs (coils 2 or 4, long-springs 1 or 2)."""
    return replace(trap, springs=springs, dimensions=replace(trap.dimensions, springs=springs))


def with_jaws(trap: TrapRig, jaws: str) -> TrapRig:
    """The trap with jaws of another kind, by the table's usual gap and lamination."""
    return replace(trap, jaws=jaws, dimensions=trap_tables.with_jaws(trap.dimensions, jaws))
