"""Bridge from traps to the compiled kernel and back."""

from __future__ import annotations

from typing import Any

import numpy as np

from setwright.trap.kernel import ANSWERS, close_many
from setwright.trap.lanes import COLUMNS, LONG_CODE, ROUND_CODE, SLOT_CODE
from setwright.trap.model import LONG, SLOT, Floats, Trap
from setwright.trap.plain import Load, Motion


def move_compiled(
    trap: Trap,
    load: Load,
    limb: Floats,
    shape: tuple[int, ...],
    nodes: int,
    first: int,
    workers: int | None,
    motion: bool,
) -> Motion:
    """Motion of n designs by the compiled kernel, as `plain.move`; `limb` [m] with a last axis of one."""
    given: dict[str, Any] = {"friction": load.friction, "limb": limb, **vars(load)}
    count = int(np.prod(shape, dtype=int))
    designs = np.empty((len(COLUMNS), count))
    for place, name in enumerate(COLUMNS):
        value = given[name] if name in given else getattr(trap, name)
        designs[place] = np.broadcast_to(np.asarray(value, dtype=float)[..., 0], shape).ravel()
    code = LONG_CODE if trap.family == LONG else SLOT_CODE if trap.eye == SLOT else ROUND_CODE
    found, angles, times = close_many(code, designs, nodes=nodes, first=first, motion=motion, workers=workers)
    columns: dict[str, Any] = {
        name: found[:, place].reshape(shape) for place, name in enumerate(ANSWERS) if name != "angle"
    }
    for name in ("separates", "ahead", "stalls"):
        columns[name] = columns[name] > 0
    kept = (*shape, nodes) if motion else (0,)
    return Motion(angles=angles.reshape(kept), times=times.reshape(kept), **columns)
