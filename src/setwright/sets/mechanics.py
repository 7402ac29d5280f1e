"""The trap under this cover and water: closing and clamp over draws of what is uncertain in it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from setwright.sets.context import Context, Floats
from setwright.sets.model import TrapRig
from setwright.trap.build import build
from setwright.trap.closing import Closing, close, water_terms
from setwright.trap.holding import Clamp, clamp, set_torque
from setwright.trap.model import Trap

# The kernel runs on a fifth of the draws, each used five times: closing errs far more by model than by sampling.
SHARE = 5
NODES = 65
COVER_DENSITY = 1300.0
COVER_RADIUS_SHARE = 0.6


@dataclass(frozen=True)
class Load:
    """What the jaws must carry when they rise: cover [m] and whether they stand in water."""

    cover: float = 0.0
    water: bool = False


def few(context: Context) -> int:
    """Number of draws that the kernel runs on."""
    return max(2, context.n // SHARE)


def spread_out(context: Context, few_draws: Floats) -> Floats:
    """Repeat draws of the kernel over all draws, in a fixed shuffled order, shape (n,)."""
    pick = np.floor(context.shared.uniform("mechanics") * few_draws.shape[0]).astype(int)
    return np.asarray(few_draws[pick])


def _friction(context: Context) -> Floats:
    values = np.sort(context.shared_figure("friction"))
    return np.asarray(values[SHARE // 2 :: SHARE][: few(context)])


def trap_of(context: Context, rig_trap: TrapRig) -> Trap:
    """Derived parameters of a trap, kept by its dimensions."""
    return context.line_kept.get(("trap", rig_trap.dimensions), lambda: build(rig_trap.dimensions))


def closing(context: Context, rig_trap: TrapRig, load: Load) -> Closing:
    """Closing of the trap over the draws of friction, shape (few,)."""

    def make() -> Closing:
        trap = trap_of(context, rig_trap)
        inertia: ArrayLike = 0.0
        drag: ArrayLike = 0.0
        if load.water:
            inertia, drag = water_terms(trap)
        half_disc = np.pi * (0.5 * rig_trap.spread.number) ** 2 / 2.0
        return close(
            trap,
            friction=_friction(context),
            cover_mass=half_disc * load.cover * COVER_DENSITY,
            cover_radius=COVER_RADIUS_SHARE * 0.5 * rig_trap.spread.number,
            added_inertia=inertia,
            drag=drag,
            nodes=NODES,
        )

    return context.line_kept.get(("close", rig_trap.dimensions, load), make)


def grip(context: Context, rig_trap: TrapRig, limb: Floats) -> Clamp:
    """Clamp interval on limbs of thickness `limb` [m], shape (n,), over the draws of friction."""
    friction = context.shared_figure("friction")
    return clamp(trap_of(context, rig_trap), friction=friction, limb=limb, margin_to_lock=False)


def torque_when_set(context: Context, rig_trap: TrapRig) -> Floats:
    """Torque that lifts one jaw out of the set position [N m], shape (n,)."""
    return context.line_kept.get(
        ("torque", rig_trap.dimensions),
        lambda: np.broadcast_to(
            np.asarray(set_torque(trap_of(context, rig_trap), friction=context.shared_figure("friction"))),
            (context.n,),
        ),
    )
